"""A language of marks: every text of every catalogue in letters of another block, so that English that no catalogue
holds stands out in what the engines say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from random import Random
from string import Formatter, ascii_letters
from typing import Any

import msgspec
import pytest

from coaxtell.cables import tables
from coaxtell.cables import words as cable_words
from coaxtell.cables.words import CABLES
from coaxtell.identifier import words as identifier_words
from coaxtell.identifier.identification import identify
from coaxtell.identifier.words import TEXTS
from coaxtell.models import body, catalogue, errors, toml
from coaxtell.models.catalogue import MODELS, Reason
from coaxtell.models.drawings import detail_drawing, pair, section
from coaxtell.models.drawings.drawing import Drawing, Text
from coaxtell.models.mating.mate import mate, shipped
from coaxtell.models.mating.profiles import profile_of
from coaxtell.models.measure import text
from coaxtell.models.numbers import walk
from coaxtell.models.solids.print_layout import plate
from coaxtell.models.solids.printable import printable
from coaxtell.models.words import coupling_words, gender_words, label, order_words, said
from coaxtell.quiz import items
from coaxtell.quiz import words as quiz_words
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.wording import seen_as
from coaxtell.quiz.words import QUIZ
from tests.cables.kit import cable_tables, choice, run
from tests.halves import all_halves, half
from tests.identifier.kit import shortlist, true_state
from tests.rooms import ROOT

MARKED = str.maketrans({letter: chr(ord(letter) + 0xFEE0) for letter in ascii_letters})
"""Letters of the full width for those of ASCII."""
WORDS = re.compile(r"(?<![-\w])[A-Za-z]{2,}[,;:.']* +[A-Za-z]{2,}(?![-\w])")


def marked(text: str) -> str:
    """A text with its own words marked and its fields as they are."""
    found = ""
    for words, field, spec, conversion in Formatter().parse(text):
        found += words.translate(MARKED).replace("{", "{{").replace("}", "}}")
        if field is not None:
            found += "{" + field + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}"
    return found


@pytest.fixture(autouse=True)
def of_marks(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    catalogues = (MODELS, TEXTS, CABLES, QUIZ, *(errors.refusals(room) for room in ("models", "cables", "quiz")))
    # all are read before any is marked: one takes from another, and keeps what it took
    plain = [known.texts() for known in catalogues]
    for known, own in zip(catalogues, plain, strict=True):
        texts = {code: marked(text) for code, text in own.items()}
        monkeypatch.setattr(known, "texts", lambda language="en", texts=texts: texts)
    monkeypatch.setattr(profile_of, "_held", {})  # profiles hold what their faces are called, and so do matings
    for kept in (catalogue.piece, shipped):
        kept.cache_clear()
    yield
    for kept in (catalogue.piece, shipped):
        kept.cache_clear()


@cache
def stated() -> list[str]:
    """Every text that a table states, longest first: names, sources, notes, what looks are called."""
    found: set[str] = set()

    def within(value: Any) -> None:
        if isinstance(value, str):
            found.add(value)
            found.add(value.partition(":")[0])
        elif isinstance(value, dict):
            for key, one in value.items():
                found.add(key)
                within(one)
        elif isinstance(value, list):
            for one in value:
                within(one)

    for room in ("models", "identifier", "cables"):
        for path in (ROOT / room).rglob("*.toml"):
            if "texts" not in path.parts and not any(parent.is_symlink() for parent in path.parents):
                within(toml.loads(path.read_text(encoding="utf-8")))
    for one in all_halves().values():
        found |= {one.name, one.family, one.wording or one.name, seen_as(one)}
    return sorted((text for text in found if " " in text), key=len, reverse=True)


def english(sentence: str) -> list[str]:
    """What stands in a sentence in English of more than one word, and in no table: a line may be a piece of one."""
    if any(sentence in known for known in stated()):
        return []
    for known in stated():
        if known in sentence:
            sentence = sentence.replace(known, "#")
    # a number with its unit
    return WORDS.findall(re.sub(r"[0-9.]+ [A-Za-z]+", "#", sentence))


def test_the_marks_leave_fields_alone_and_show_what_has_none() -> None:
    assert marked("{a} meets {b:.2f} mm").format(a="x", b=1) == "x ｍｅｅｔｓ 1.00 ｍｍ"
    assert english(marked("it goes no further")) == []
    assert english("it goes no further") == ["it goes", "no further"]
    assert english(f"{half('sma-plug').name} goes") == []


PAIRS = [
    ("sma-plug", "sma-jack"), ("sma-plug", "rp-sma-jack"), ("n-50-plug", "n-75-jack"), ("n-50-plug", "uhf-jack"),
    ("bnc-50-plug", "tnc-jack"), ("smb-plug", "smb-jack"), ("7-mm", "7-mm"), ("fakra-c-plug", "fakra-d-jack"),
    ("qma-plug", "qma-jack"), ("tnc-plug", "bnc-50-jack"), ("2.92-plug", "sma-jack"), ("mcx-plug", "mmcx-jack"),
    ("sma-plug", "sma-plug"), ("rp-tnc-plug", "tnc-jack"), ("smp-plug", "smp-jack"), ("f-plug", "f-jack"),
]  # fmt: skip


def test_matings_say_all_by_their_texts() -> None:
    for a, b in PAIRS:
        found = mate(half(a), half(b))
        reasons = [*found.reasons, *found.cautions, *found.depends_on, *(rule.why for rule in found.rules)]
        told = [*said(reasons), *said(rule.state for rule in found.rules), catalogue.word(found.verdict)]
        assert [(a, b, one) for sentence in told for one in english(sentence)] == []


def test_halves_and_their_numbers_are_named_by_texts() -> None:
    for one in all_halves().values():
        told = [coupling_words(one), gender_words(one), order_words(one)]
        told += [f"{label(one, path)}: {text(measure)}" for path, measure in walk(one)]
        assert [words for sentence in told for words in english(sentence)] == []


def test_bodies_and_prints_say_all_by_their_texts() -> None:
    for style in body.STYLES:
        back = body.styled(half("n-50-jack"), style).back
        assert back is not None
        assert [words for sentence in said(back.states) for words in english(sentence)] == []
    made = [printable(half(name), 4.0) for name in ("sma-plug", "ssmb-jack")]
    laid = plate([one.half for one in made], 4.0, "small")
    told = [*said(note for one in made for note in one.notes), *said(laid.notes)]
    told += [name.partition(" ")[2] for name, _ in laid.parts]
    assert [words for sentence in told for words in english(sentence)] == []


def drawn(drawing: Drawing) -> list[str]:
    """Title and words of a drawing, the lines of one sentence together."""
    found: list[str] = [drawing.title]
    before: Text | None = None
    for item in drawing.items:
        if isinstance(item, Text):
            goes_on = before is not None and (before.at[0], before.colour) == (item.at[0], item.colour)
            found = [*found[:-1], f"{found[-1]} {item.words}"] if goes_on else [*found, item.words]
            before = item
    return found


def test_drawings_say_all_by_their_texts() -> None:
    one, other = half("sma-plug"), half("rp-sma-jack")
    told = [*drawn(section.half_section(one)), *drawn(section.face_on(one)), *drawn(detail_drawing.detail(one))]
    told += drawn(detail_drawing.detail(half("fakra-c-jack")))
    told += drawn(pair.drawn(one, other, mate(one, other, doubt=False)))
    told += drawn(section.side_by_side([one, half("n-50-jack")], "section"))
    assert [words for sentence in told for words in english(sentence)] == []


@pytest.mark.parametrize("half_id", ["sma-plug", "rp-tnc-jack", "bnc-50-jack", "smb-plug", "n-50-jack"])
def test_identifications_say_all_by_their_texts(half_id: str) -> None:
    found = identify(shortlist(), true_state(half(half_id)))
    told = [identifier_words.order(found), identifier_words.port(found), identifier_words.settles(found)]
    told += [*identifier_words.cautions(found), *map(identifier_words.alike, found.beware)]
    told += [identifier_words.rest(one, False) for one in found.rests_on]
    assert [words for sentence in told for words in english(sentence)] == []


def reasons(value: object) -> Iterator[Reason]:
    """Every reason that a result holds, however deep."""
    if isinstance(value, Reason):
        yield value
    elif isinstance(value, msgspec.Struct):
        for field in value.__struct_fields__:
            yield from reasons(getattr(value, field))
    elif isinstance(value, tuple | list):
        for one in value:
            yield from reasons(one)


def test_cables_say_all_by_their_texts() -> None:
    told = [cable_words.say(name) for name, _ in tables.named_measures(cable_tables())]
    chosen = choice(run(length="12m"))
    found = list(reasons(chosen))
    assert len(found) > 30
    told += map(cable_words.say, found)
    assert [words for sentence in told for words in english(sentence)] == []


def test_items_say_all_by_their_texts() -> None:
    rng, stock = Random(3), Stock(all_halves())
    for kind in items.KINDS:
        for task in rng.sample(items.tasks(stock, [kind]), 6):
            item = items.make(stock, task, rng)
            found = quiz_words.of(item)
            told = [found.question, *found.options.values(), found.in_words, *found.reasons, found.look]
            told += [*found.cautions, quiz_words.asked(item), quiz_words.alternative(item)]
            assert [(kind, words) for sentence in told for words in english(sentence)] == []
    assert [words for skill in Skill for words in english(quiz_words.word(skill) + quiz_words.meaning(skill))] == []


def test_refusals_are_said_by_their_texts() -> None:
    refused = errors.RefusedError("cables.no_unit", what="length", text="'12'", example="12m")
    assert english(str(refused)) == []
