"""The guide walked as printed: from the words on paper alone every half is reached."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
import pytest

from coaxtell.cli.main import main
from coaxtell.identifier import features, sizes
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import Feature
from coaxtell.identifier.guide import Group, Guide, Question, Way, answer, guide
from coaxtell.identifier.looks import load
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, mate
from coaxtell.models.words import order_words
from coaxtell.pages import guide as content
from coaxtell.pages import lifesize
from tests.drawings import paper
from tests.halves import all_halves, half

PORTS = """site = "North gate"
[[port]]
id = "rp-tnc-jack"
where = ["R1"]
takes = "rp-tnc-plug"
[[port]]
id = "sma-jack"
"""
NONE_PRINTED = "there is none"
"""The answer on paper that a half has nothing of the kind."""


class Printed(NamedTuple):
    """A question as it stands on paper: its words, and each answer's words with where it points."""

    ask: str
    ways: list[tuple[str, str]]


@pytest.fixture(scope="module")
def whole() -> Guide:
    return guide(list(all_halves().values()))


@pytest.fixture(scope="module")
def pdf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("guide") / "guide.pdf"
    assert main(["guide", "-o", str(path)]) == 0
    return path


def on_paper(path: Path) -> tuple[dict[int, Printed], dict[str, set[str]]]:
    """Questions and shared ends as printed, told apart by the size of their type as the eye does."""
    questions: dict[int, Printed] = {}
    ends: dict[str, set[str]] = {}
    words, number, end = "", 0, ""

    def read(text: str, cm: Any, tm: Any, font: Any, size: float) -> None:
        nonlocal words, number, end
        text = text.strip()
        if not text:
            return
        points = round(float(size), 1)
        if points == 13.0:
            number = int(text)
            questions[number] = Printed("", [])
        elif points == 10.5:
            questions[number] = questions[number]._replace(ask=f"{questions[number].ask} {text}".strip())
        elif points == 8.5 and number:
            words = f"{words} {text}".strip()
        elif points == 9.0 and text.startswith("→") and number:
            questions[number].ways.append((words, text.removeprefix("→").strip()))
            words = ""
        elif points == 11.0 and text.startswith("End "):
            end = f"end {text[4:]}"
            ends[end] = set()
        elif points == 9.5 and end:
            ends[end].add(text)

    for page in paper.reader(path).pages:
        page.extract_text(visitor_text=read)
    return questions, ends


def reply(printed: Printed, one: Half) -> str:
    """Where a person with this half in hand is sent by the printed words of a question."""
    table = load().table
    asked = {
        ask: Feature(name)
        for rows in (table.seen, table.measured)
        for name, row in rows.items()
        for ask in (row.ask, *row.after.values())
    }
    feature = asked[printed.ask]
    found: list[str]
    if feature in features.LIKENED:
        wide = sizes.nominal_size(one, feature, table.jaws.reach)
        if wide is None:
            found = [to for words, to in printed.ways if words.lower() == NONE_PRINTED]
            assert len(found) == 1, (printed, one.id)
            return found[0]
        widths = {float(re.findall(r"\(([\d.]+) mm\)", words)[-1]): to for words, to in printed.ways if "mm" in words}
        return widths[min(widths, key=lambda size: abs(math.log(size / wide)))]
    if feature in features.SEEN:
        # of an impedance the usual is found: nothing is printed
        value = "none" if feature is Feature.MARKED else next(iter(features.seen_values(one, feature, Nominal())), "")
        seen = table.seen[feature].values[value] if value else NONE_PRINTED
        found = [to for words, to in printed.ways if words.lower() == seen.lower()]
    else:
        size = sizes.nominal_size(one, feature, table.jaws.reach)
        found = [to for words, to in printed.ways if _holds(words, size)]
    assert len(found) == 1, (printed, one.id)
    return found[0]


def _holds(words: str, size: float | None) -> bool:
    """Whether a size is meant by words such as `under 5 mm`, `5 to 7 mm`, `7 mm or more`, `there is none`."""
    if words.lower() == NONE_PRINTED or size is None:
        return words.lower() == NONE_PRINTED and size is None
    numbers = [float(n) for n in re.findall(r"\d+(?:\.\d+)?", words.replace("on 10 mm", ""))]
    if words.lower().startswith("any size"):
        return True
    if words.lower().startswith("under"):
        return size < numbers[0]
    if words.endswith("or more"):
        return size >= numbers[0]
    return numbers[0] <= size < numbers[1]


@pytest.mark.parametrize("half_id", all_halves())
def test_the_printed_guide_alone_leads_to_every_half(half_id: str, pdf: Path) -> None:
    questions, ends = printed(pdf)
    one = half(half_id)
    place = "question 1"
    for _ in range(12):
        if not place.startswith("question "):
            break
        place = reply(questions[int(place.removeprefix("question "))], one)
    reached = ends.get(place, {place})
    assert one.name in reached


_PRINTED: dict[Path, tuple[dict[int, Printed], dict[str, set[str]]]] = {}


def printed(path: Path) -> tuple[dict[int, Printed], dict[str, set[str]]]:
    if path not in _PRINTED:
        _PRINTED[path] = on_paper(path)
    return _PRINTED[path]


def test_the_first_page_holds_questions_beside_the_opening_words(pdf: Path) -> None:
    text = " ".join(paper.words(pdf, 1).split())
    assert "How is the port held to its mate?" in text
    assert "What stands in the very centre?" in text


def test_halves_without_sizes_are_named_in_the_guide(pdf: Path) -> None:
    """TS-9 is taken for MCX, 4.1-9.5 for 4.3-10: the table of halves without sizes."""
    text = " ".join(paper.words(pdf, 1).split())
    assert "no source gives their sizes" in text
    assert "4.1-9.5, taken for 4.3-10" in text
    last = " ".join(" ".join(paper.words(pdf, page) for page in range(2, len(paper.reader(pdf).pages) + 1)).split())
    assert "C plug and C jack: two-lug bayonet about as wide as N" in last
    assert "HN plug and HN jack: screwed as N and wider, 3/4-20 thread, for higher voltage and power than N" in last


def test_what_is_held_otherwise_is_not_taken_for_a_port() -> None:
    """A C jack has two lugs, as a BNC jack, and an N jack has a thread: the table of halves without sizes."""

    def taken(*ids: str) -> dict[str, tuple[str, ...]]:
        return {one.family: one.taken_for for one in content.absent(tables.load(), ids)}

    assert set(taken("n-50-jack", "rp-tnc-jack", "sma-jack")) == {"SC", "HN"}
    assert taken("n-50-jack", "bnc-50-jack")["C"] == ("BNC",)
    assert content.not_here(content.absent(tables.load(), ["rp-tnc-jack"])) == ""


@pytest.mark.parametrize(("judged", "least"), [(features.MEASURED, 1800), (features.LIKENED, 1000)])
def test_nobody_is_led_astray_by_a_part_at_its_limit(judged: tuple[Feature, ...], least: int, whole: Guide) -> None:
    """Each size of each half at every one of its possible values: the half stands behind the answer that it gives.

    Read with an instrument, or likened by eye to the nearest thing. `least` tells that enough was tried.
    """
    halves = list(all_halves().values())
    shortlist = Shortlist(halves)
    missed = given = 0
    for question in whole.questions():
        if question.feature not in judged:
            continue
        found = shortlist.sizes(question.feature)
        here = {half_id for way in question.ways for half_id in _behind(way.to)}
        for i, one in enumerate(halves):
            if one.id not in here or not found.there[i]:
                continue
            for size in found.mm[i]:
                given += 1
                missed += not any(one.id in _behind(way.to) for way in _meant(question, size))
    assert given > least
    assert missed / given < 0.02


def _meant(question: Question, size: float) -> list[Way]:
    """The answers that a size gives: the range it lies in, or the thing that is nearest to it."""
    if question.feature in features.MEASURED:
        return [way for way in question.ways if way.high and way.low <= size < way.high]
    things = load().things
    likened = [way for way in question.ways if way.value in things]
    return [min(likened, key=lambda way: abs(math.log(things[way.value].d.nominal / size)))]


def _behind(place: Question | Group) -> set[str]:
    if isinstance(place, Group):
        return set(place.ids)
    return {half_id for way in place.ways for half_id in _behind(way.to)}


def test_the_stated_seconds_are_those_that_people_spend(whole: Guide) -> None:
    """Walked by every half at nominal, weighed by how often it is met: near the expectation over all parts."""
    halves = list(all_halves().values())
    shortlist = Shortlist(halves)
    spent = 0.0
    for i, one in enumerate(halves):
        place: Question | Group = whole.first
        while isinstance(place, Question):
            spent += float(shortlist.prior[i]) * place.seconds
            place = answer(place, one, shortlist).to
    assert spent == pytest.approx(whole.seconds, rel=0.15)


def test_it_begins_as_a_technician_does(whole: Guide) -> None:
    """First what holds the port; no hole of a socket or hand of a thread before one is known to be there."""
    assert whole.first.feature is Feature.COUPLING
    table = load().table
    open_: list[tuple[Question, frozenset[str]]] = [(whole.first, frozenset())]
    while open_:
        question, asked = open_.pop()
        assert set(table.seen[question.feature].where if question.feature in table.seen else ()) <= asked
        open_ += [(way.to, asked | {question.feature}) for way in question.ways if isinstance(way.to, Question)]


def test_no_path_is_long_and_groups_are_true_twins(whole: Guide) -> None:
    assert whole.longest <= 9
    ends = {way.to.ids for question in whole.questions() for way in question.ways if isinstance(way.to, Group)}
    assert {half_id for ids in ends for half_id in ids} == set(all_halves())
    # halves that differ in the contact, in kind of coupling or by a millimetre in size never end together
    for ids in ends:
        assert len({features.coupling(half(half_id)) for half_id in ids}) == 1
        assert len({features.centre(half(half_id)) for half_id in ids}) == 1


def test_a_guide_to_a_few_families_and_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["guide", "--family", "SMA", "--family", "N", "-o", str(tmp_path / "a.pdf")]) == 0
    # a family's name takes in its further kinds: N stands for the left-hand thread too
    named = {"SMA", "RP-SMA", "N", "RP-N", "N left-hand"}
    assert f", {sum(h.family in named for h in all_halves().values())} halves" in capsys.readouterr().out
    assert main(["guide", "-o", str(tmp_path / "a.html")]) == 2
    assert "is .pdf" in capsys.readouterr().err


def test_ports_that_are_all_held_alike_are_parted_by_what_differs() -> None:
    """What holds them parts none of these; the plan of a site once ended here in a fault."""
    halves = [half(one) for one in ("rp-tnc-jack", "n-50-jack", "sma-jack")]
    found = guide(halves)
    assert {way.to for question in found.questions() for way in question.ways if isinstance(way.to, Group)} == {
        Group((one.id,)) for one in halves
    }
    with pytest.raises(InputError, match="apart"):
        guide([half("sma-jack"), msgspec.structs.replace(half("sma-jack"), id="its-twin")])


def test_the_ends_say_what_fits_the_port_and_what_it_is(pdf: Path) -> None:
    """The paper had said to order the very half that one stands before, which mates with no second of its kind."""
    text = " ".join(" ".join(paper.words(pdf, page) for page in range(1, len(paper.reader(pdf).pages) + 1)).split())
    _, _, shared = text.partition("Ends that several ports share")
    known = tables.load()
    _, ends = printed(pdf)
    named = {name for names in ends.values() for name in names}
    ends_at = [one for one in all_halves().values() if one.name in named]
    assert len(ends_at) >= 15
    for one in ends_at:
        fits = content.fit(one, known)
        assert fits is not None
        assert mate(one, fits).verdict in JOINED
        assert f"To order, what fits it: {order_words(fits)}. The port itself: {order_words(one)}." in shared, one.id
    assert "Order:" not in text
    lone = lifesize.shown(ends_at[0], [ends_at[0]])
    assert ("plain", "Nothing in the tables fits it.") in content.said(lone, None)


def test_no_page_is_left_mostly_empty(pdf: Path) -> None:
    """A long question goes on over the page, and the shared ends begin under the last one."""
    pages = len(paper.reader(pdf).pages)
    for page in range(1, pages):
        reached = max(y for run in paper.outlines(pdf, page) for _, y in run.points)
        assert reached > 0.72 * 297, page
    goes_on = [page for page in range(1, pages + 1) if "the other answers" in paper.words(pdf, page)]
    assert goes_on
    text = " ".join(paper.words(pdf, goes_on[0]).split())
    number = int(re.findall(r"Question (\d+), the other answers", text)[0])
    assert len(printed(pdf)[0][number].ways) >= 8


def test_a_guide_to_a_list_shows_each_of_its_ports(tmp_path: Path) -> None:
    """Its only page had been two thirds empty, and said nothing of the site or of what to order."""
    ports = tmp_path / "ports.toml"
    ports.write_text(PORTS, encoding="utf-8")
    path = tmp_path / "guide.pdf"
    assert main(["guide", "--ports", str(ports), "-o", str(path)]) == 0
    assert len(paper.reader(path).pages) == 1
    text = " ".join(paper.words(path, 1).split())
    assert "Ports of North gate" in text
    assert "Which port is it? Ports of North gate" in text, "on the foot of each page"
    for half_id, fits in (("sma-jack", "sma-plug"), ("rp-tnc-jack", "rp-tnc-plug")):
        one = half(half_id)
        assert f"To order, what fits it: {order_words(half(fits))}. The port itself: {order_words(one)}." in text
    assert "On R1; takes RP-TNC plug." in text
    assert max(y for run in paper.outlines(path, 1) for _, y in run.points) > 150


def test_a_guide_to_a_list_says_that_it_is_one() -> None:
    """An RP-SMA jack that is not on the list ends at the SMA jack that is: the paper says so before it asks."""
    few = [half("sma-jack"), half("n-50-jack")]
    assert "Only the listed halves are considered" in " ".join(content.opening(few, False))
    assert "Only the listed" not in " ".join(content.opening(all_halves().values(), True))


def test_a_question_that_parts_precision_ports_is_answered_by_their_marking(whole: Guide, pdf: Path) -> None:
    """Their bores differ, and nothing but the maker's own gauge enters them; on the other ports jaws go in."""
    every = range(1, len(paper.reader(pdf).pages) + 1)
    known, printed = all_halves(), " ".join(" ".join(paper.words(pdf, page) for page in every).split())
    parted = 0
    for question in whole.questions():
        behind = [known[half_id] for way in question.ways for half_id in content.behind(way)]
        precise = {half.family for half in behind if half.precision}
        inside = question.feature in (Feature.BORE, Feature.PIN_DIAMETER, Feature.SOCKET_BORE)
        assert set(question.gauged) == (precise if inside else set())
        if question.gauged:
            parted += 1
            assert content.how(question).startswith("Read the marking; the maker's own gauge tells: nothing else ")
            assert content.how(question) in printed
            assert "jaws" not in content.how(question)
        else:
            assert content.how(question) == question.how
    assert parted == 3, "the jacks of 1.0, 2.92 and 3.5 mm, those of 1.85 to 3.5 mm, and their plugs"


def test_where_a_question_parts_others_too_the_precision_ports_among_them_are_left_out(whole: Guide) -> None:
    mixed = whole.first._replace(gauged=("3.5 mm", "2.92 mm"), measured=True, how="Inside jaws.")
    told = (
        "Inside jaws. Not on a precision port (3.5 mm, 2.92 mm): there read the marking; the maker's own gauge tells."
    )
    assert content.how(mixed) == told
    assert content.how(mixed._replace(measured=False)).startswith("Read the marking; ")
