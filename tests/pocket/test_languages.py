"""Other languages: every text has its place in English and quotes the same values; English stands in for the rest."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from coaxtell.identifier import looks
from coaxtell.models import tables
from coaxtell.models.words import name
from coaxtell.pocket import data, halves, pairs, practice
from coaxtell.pocket.data import WORDS, languages
from coaxtell.quiz.item import Item

ROOT = Path(__file__).parent.parent.parent
ROOMS = ("models", "identifier", "quiz", "coaxtell/pocket")
OTHERS = [language for language in languages() if language != "en"]
DAY = date(2026, 11, 30)
OWN = {"thing", "setting", "look", "word"}
"""Subjects that English takes from the tables."""
OUTCOMES = {
    "act", "caution", "contact", "coupling", "deciding", "doubt", "hand", "loss", "names", "need", "number", "planes",
    "rule", "seat", "stop", "verdict",
}  # fmt: skip
"""Subjects of the models whose texts say how a pair ends and why."""


def read(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def flat(table: dict[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from flat(value, f"{before}{key}.")
        elif isinstance(value, str):
            yield f"{before}{key}", value


def fields(text: str) -> set[str]:
    return set(re.findall(r"\{(\w+)[^}]*\}", text))


def test_there_are_two() -> None:
    assert OTHERS == ["de", "es"]


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("room", ROOMS)
def test_texts_have_their_place_and_quote_the_same_values(room: str, language: str) -> None:
    english = dict(flat(read(ROOT / room / "texts" / "en.toml")))
    other = dict(flat(read(ROOT / room / "texts" / f"{language}.toml")))
    assert other
    for code, text in other.items():
        if code.split(".")[0] not in OWN:
            assert code in english, f"{room}: {code} stands in no English catalogue"
            wanted = fields(english[code]) - (
                {"id"} if code.startswith("named.") else set()
            )  # an id is an English name
            assert fields(text) == wanted, f"{room}: {code}"


@pytest.mark.parametrize("language", OTHERS)
def test_what_the_page_refuses_in_the_desks_words_is_said_in_the_language(language: str) -> None:
    english, own = data.texts([], "en"), data.texts([], language)
    for code in data.REFUSED:
        assert own[code] != english[code]
        assert fields(own[code]) == fields(english[code])


@pytest.mark.parametrize("language", OTHERS)
def test_questions_answers_cautions_and_the_page_are_whole(language: str) -> None:
    """What issue 16 names: questions, answers, names, verdicts, cautions and the interface."""
    english, own = WORDS.texts(), WORDS.texts(language)
    subjects = {"pocket", "gender", "polarity", "holds", "centre", "order", "rule"}
    wanted = [code for code in english if code.split(".")[0] in subjects]
    wanted += [code for code in english if code.startswith("caution.") and "{looks}" not in english[code]]
    told = [
        dict(flat(read(ROOT / "models/texts" / f"{language}.toml"))),
        dict(flat(read(ROOT / "coaxtell/pocket/texts" / f"{language}.toml"))),
    ]
    told.append(dict(flat(read(ROOT / "identifier/texts" / f"{language}.toml"))))
    missing = [code for code in wanted if not any(code in one for one in told) and english[code]]
    assert [code for code in missing if code not in LEFT] == []
    known, here = looks.load(), looks.load(language)
    for feature in (*known.table.seen, *known.table.measured):
        assert here.row(feature).ask != known.row(feature).ask, feature
    assert own["pocket.name_title"] != english["pocket.name_title"]


@pytest.mark.parametrize("language", OTHERS)
def test_every_reason_of_a_harm_has_its_sentence(language: str) -> None:
    """Whole subjects, whichever of their codes today's halves lead to; and why a number is not to be measured."""
    own = dict(flat(read(ROOT / "models/texts" / f"{language}.toml")))
    english = dict(flat(read(ROOT / "models/texts/en.toml")))
    wanted = [code for code in english if code.split(".")[0] in OUTCOMES or code.startswith("gauge.not_")]
    assert len(wanted) > 180
    assert [code for code in wanted if code not in own] == []
    in_words = {code for code in wanted if re.search("[a-z]{3}", re.sub(r"\{\w+[^}]*\}", "", english[code]))}
    assert {code for code in in_words if own[code] == english[code]} <= {"number.pin", "number.whole"}


@pytest.fixture(scope="module")
def quoted() -> set[str]:
    """The names that reasons quote, of every second half with every other."""

    def strings(value: Any) -> Iterator[str]:
        if isinstance(value, dict):
            for one in value.values():
                yield from strings(one)
        elif isinstance(value, list):
            # a reason is its code and its values
            yield from (found for one in value[bool(value) and isinstance(value[0], str) :] for found in strings(one))
        elif isinstance(value, str):
            yield value

    return set(strings(pairs.pairs(list(tables.load().halves.values())[::2])["reasons"]))


@pytest.mark.parametrize("language", OTHERS)
def test_no_name_within_a_reason_is_left_in_english(language: str, quoted: set[str]) -> None:
    """Parts that meet, colours, forces, threads, families and halves."""
    every = list(tables.load().halves.values())
    words = data.texts(every, language)
    assert len(quoted) > 100
    left = {one for one in quoted if re.search("[a-z]{3}", one) and f"word.{one}" not in words}
    assert left <= {"mini-UHF"}, "a name of its own"
    called = [WORDS.say(name(half), language) for half in every]
    assert [one for one in called if re.search(r"ohm\b|left|limited|smooth|plug|jack|snap", one)] == []


@pytest.fixture(scope="module")
def items() -> list[Item]:
    return practice.chosen(tables.load().halves, DAY)


@pytest.mark.parametrize("language", OTHERS)
def test_items_are_said_in_the_language_and_recorded_in_english(language: str, items: list[Item]) -> None:
    """Every sentence of the day's items is another than the English one; what goes to the record is the same."""
    english, own = (practice.practice(items, tables.load().halves, DAY, one)["items"] for one in ("en", language))
    for one, other in zip(english, own, strict=True):
        assert one["event"] == other["event"]
        assert other["english"] == one["cautions"]
        for key in ("reasons", "cautions"):
            assert len(one[key]) == len(other[key])
            assert not set(one[key]) & set(other[key]), key
        assert one["question"] != other["question"]
        assert one["look"] != other["look"]
        assert one["in_words"] == "" or one["in_words"] != other["in_words"]
        assert list(one["options"]) == list(other["options"])
        assert not set(one["options"].values()) & set(other["options"].values())
        told = " ".join([other["question"], other["look"], *other["reasons"], *other["options"].values()])
        assert not re.search(r"\b(the|plug|jack|with|thread|ohm|body|female)\b", told), told


@pytest.mark.parametrize("language", OTHERS)
def test_what_an_item_says_is_said_in_every_language(language: str) -> None:
    """Every text that a kind of item spells out, whether one of today's items says it or not."""
    english, own = (dict(flat(read(ROOT / "quiz/texts" / f"{one}.toml"))) for one in ("en", language))
    asked = {
        code
        for file in (ROOT / "quiz/items").glob("*.py")
        for code in re.findall(r'"([\w-]+\.[\w-]+)"', file.read_text("utf-8"))
    }
    assert len(asked & english.keys()) > 15
    assert sorted(asked & english.keys() - own.keys()) == []


@pytest.mark.parametrize("language", OTHERS)
def test_no_question_or_answer_is_left_in_english(language: str) -> None:
    english, own = halves.questions(WORDS), halves.questions(WORDS, language)
    for feature, said in english.items():
        for key in ("ask", "how", "otherwise"):
            assert not said[key] or own[feature][key] != said[key], (feature, key)
        same = {value for value, text in said.get("answers", {}).items() if own[feature]["answers"][value] == text}
        assert same <= {"beige", "pastel-orange"}, feature


LEFT = {
    "pocket.title", "caution.misfit", "caution.worn", "caution.or", "caution.unsure", "caution.harm",
}  # fmt: skip
"""Names, and texts that the page says in words of its own."""


def test_every_text_of_the_page_is_there_and_used() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "coaxtell/pocket/page").glob("*.js"))
    texts = {name.removeprefix("pocket.") for name in WORDS.texts() if name.startswith("pocket.")}
    asked = set(re.findall(r"""\b(?:t|ours|title)\("(\w+)\"""", code))
    assert len(asked) > 50
    assert asked <= texts | {"before_acts"}, "one is made of the table of acts"
    made = ("tab_", "instrument_", "refused_", "verdict_", "term_", "photo_part_", "photo_height_")
    of_the_frame = {"title", "no_script", "mixed"}
    assert {n for n in texts - of_the_frame if f'"{n}"' not in code and not n.startswith(made)} == set()


BUTTONS = (
    "begin_again", "face_on", "undo", "remove", "put_back", "back", "go_on", "take", "add", "send", "picture", "change",
    "withdraw", "more", "less", "scale_set", "scale_anew", "nothing", "cannot_tell", "photo_leave", "photo_other",
    "tab_name", "tab_turn", "tab_together", "tab_life", "tab_cable", "tab_practise", "tab_site",
)  # fmt: skip


@pytest.mark.parametrize("language", data.languages())
def test_no_two_buttons_are_called_alike(language: str) -> None:
    """A person who wants the front view must not let the answers go."""
    words = WORDS.texts(language)
    called = [words[f"pocket.{code}"].casefold() for code in BUTTONS]
    assert sorted(called) == sorted(set(called))
    assert "`" not in "".join(words[code] for code in words if code.startswith("pocket."))


@pytest.mark.parametrize(
    ("language", "wrong"),
    [("de", "dünne Hülse|Orte\\b|schlimmsten|schlechtesten|Dämpfung und Impedanz|linkes Außengewinde|Zwischenkabel"),
     ("es", "casquillo|alojamiento|enclava")],
)  # fmt: skip
def test_one_part_has_one_name(language: str, wrong: str) -> None:
    """Words of the trade, by memory: a socket contact is no sleeve, a site is one thing."""
    words = data.texts(list(tables.load().halves.values()), language)
    assert [code for code, text in words.items() if re.search(wrong, text)] == []
