"""The page of a half: found by a part of its name, opened, taken apart, dressed; its numbers with their sources."""

import itertools
import math
from itertools import pairwise
from pathlib import Path

import pygame
import pytest

from coaxtell.models import apart, tables
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.numbers import walk
from coaxtell.window.kit.pen import Pen, Ring, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.scenes.half import MOST, HalfPage
from coaxtell.window.scenes.picker import matching
from coaxtell.window.views import half as view
from tests.halves import all_halves
from tests.window.driving import Hand
from tests.window.looking import problems
from tests.window.test_name import Recorder

HALVES = tables.load().halves


def scene(hand: Hand) -> HalfPage:
    assert isinstance(hand.app.scene, HalfPage)
    return hand.app.scene


def test_a_letter_opens_the_list_and_a_part_of_an_alias_finds_the_half() -> None:
    hand = Hand("half")
    hand.key(pygame.K_n, "n")
    assert hand.desk.dialogs
    hand.type(" jack 75")
    hand.enter()
    assert scene(hand).half_id == "n-75-jack"
    # by what the trade calls it
    hand.choose("choose")
    hand.type("sma male")
    hand.enter()
    assert "SMA male" in scene(hand).half.trade_names


def test_the_cut_and_what_is_taken_apart_are_pictured_so() -> None:
    pictures = Recorder()
    hand = Hand("half", pictures=pictures)
    hand.calls()
    hand.tab_to("opened")
    for _ in range(12):
        hand.key(pygame.K_RIGHT)
    hand.tab_to("apart")
    hand.key(pygame.K_END)
    hand.now += 1.0
    hand.app.tick()
    hand.calls()
    assert (120, 1.0) in {(job.opened, job.apart) for job in pictures.jobs if not job.quick}
    for name in apart.shifts(scene(hand).half):
        assert hand.says(name)
    hand.choose("plating-gold")
    hand.calls()
    assert "gold" in {job.finish for job in pictures.jobs}


@pytest.mark.parametrize(("size", "text"), [((1024, 600), 200), ((1366, 768), 100)])
def test_each_part_taken_apart_is_named_in_sight(size: tuple[int, int], text: int) -> None:
    hand = Hand("half", size, Settings(motion=False, text=text), Recorder())
    for half_id in HALVES:
        scene(hand)._show(half_id)
        scene(hand).in_hand.take_apart(1.0)
        hand.app.arrange()
        pen, stage = Pen(hand.desk.palette, hand.app.type), hand.widget("bench").box
        scene(hand).draw(pen, stage)
        names = {part.name for part in apart.lain(HALVES[half_id], 1.0)}
        drawn = [call for call in pen.calls if isinstance(call, Words) and call.words in names]
        assert {call.words for call in drawn} == names, half_id
        for i, one in enumerate(drawn):
            assert stage.holds(one.box.x, one.box.y), (half_id, one.words)
            assert stage.holds(one.box.right, one.box.bottom), (half_id, one.words)
            assert not any(one.box.overlaps(other.box) for other in drawn[i + 1 :]), (half_id, one.words)


def test_where_drawings_take_the_place_of_pictures_no_part_is_named_where_it_is_not() -> None:
    hand = Hand("half")
    hand.calls()
    hand.tab_to("apart")
    hand.key(pygame.K_END)
    names = {part.name for part in apart.lain(scene(hand).half, 1.0)}
    assert not names & {call.words for call in hand.calls() if isinstance(call, Words)}


def test_all_that_mates_is_a_press_away_where_it_is_many() -> None:
    hand = Hand("half")
    scene(hand)._show("fakra-z-plug")
    hand.app.arrange()
    company = scene(hand).desk.company(HALVES["fakra-z-plug"])
    assert company is not None
    mates = [half for verdict in (Verdict.MATES, Verdict.LIMITS) for half in company.get(verdict, [])]
    assert len(mates) > MOST
    for press in (hand.choose, hand.click):
        scene(hand).whole.clear()
        hand.app.arrange()
        assert sum(w.key.startswith("pair-") for w in hand.app.widgets) == MOST
        assert hand.says(f"Show the other {len(mates) - MOST} too")
        press("all-mates")
        assert {f"pair-{half.id}" for half in mates} <= {w.key for w in hand.app.widgets}


def test_wheel_and_keys_bring_it_nearer() -> None:
    hand = Hand("half", pictures=Recorder())
    before = scene(hand).in_hand.reach
    hand.tab_to("bench")
    hand.key(pygame.K_PLUS, "+")
    assert scene(hand).in_hand.reach < before
    hand.key(pygame.K_MINUS, "-")
    assert scene(hand).in_hand.reach == pytest.approx(before)


def test_every_number_is_told_with_its_grade_and_the_title_of_its_source() -> None:
    hand = Hand("half")
    page = scene(hand)
    measures = [measure for _, measure in walk(page.half)]
    assert len(page.dimensions) == len(measures)
    for at, measure in enumerate(measures):
        page._move(at)
        hand.app.arrange()
        said = next(getattr(w, "words", "") for w in hand.app.widgets if w.key == "source")
        assert f"Grade: {measure.grade.value}." in said
        for key in measure.source:
            assert hand.desk.tables.sources[key].title in said


def test_pointing_at_a_place_of_the_section_tells_its_number() -> None:
    from coaxtell.window.views.half import section_of

    hand = Hand("half")
    page = scene(hand)
    at = next(i for i, d in enumerate(page.dimensions) if "pin" in d.name and d.kind == "diameter")
    one = page.dimensions[at]
    bench = hand.widget("bench").box
    x, y = section_of(bench, hand.desk, page.half).at(one.z, one.r)
    scale = hand.app.type.scale
    pos = (round(x * scale), round(y * scale))
    hand.post(pygame.event.Event(pygame.MOUSEMOTION, pos=pos, rel=(0, 0), buttons=(0, 0, 0)))
    told = page.dimensions[page.chosen]
    assert (told.z, told.r) == pytest.approx((one.z, one.r), abs=0.6)


@pytest.mark.parametrize("size", [(1024, 600, 200), (1366, 768, 100)])
def test_the_words_of_no_number_lie_on_the_section(size: tuple[int, int, int]) -> None:
    hand = Hand("half", size[:2], Settings(motion=False, text=size[2]))
    page = scene(hand)
    for half_id in HALVES:
        page._show(half_id)
        said = [len(f"{one.name}{one.words}") for one in page.dimensions]
        page._move(said.index(max(said)))
        hand.app.arrange()
        assert [one for one in problems(hand.app) if "cut off above" not in one] == [], half_id


def test_mates_and_harms_are_those_of_the_matings_and_lead_to_the_pair() -> None:
    hand = Hand("half")
    page = scene(hand)
    company = hand.desk.company(page.half)
    assert company is not None
    for verdict, halves in company.items():
        for other in halves[:3]:
            assert mate(page.half, other).verdict is verdict
    harmed = company[Verdict.DAMAGES][0]
    hand.choose(f"pair-{harmed.id}")
    assert hand.app.scene.name == "together"
    assert (hand.app.scene.a, hand.app.scene.b) == (page.half_id, harmed.id)  # type: ignore[attr-defined]


def test_a_half_of_ones_own_mates_with_nothing_of_which_it_is_not_known(tmp_path: Path) -> None:
    """A family based on one whose numbers are from memory: no source states that it mates, so that its draws decide."""
    (tmp_path / "sources.toml").write_text('[own]\ntitle = "Drawing of our own"\nkind = "maker"\n', encoding="utf-8")
    (tmp_path / "house.toml").write_text(
        'based_on = "qma"\nkey = "house"\nfamily = "House QMA"\nreverse_key = ""\n'
        'shares = [{ key = "qma", why = "the same connector of our own", source = ["own"] }]\n'
        '[plug]\ntrade_names = ["House plug"]\n[jack]\ntrade_names = ["House jack"]\n',
        encoding="utf-8",
    )
    hand = Hand("half", extra=tmp_path)
    company = hand.desk.company(hand.desk.half("house-plug"))
    assert company is not None
    told = {other.id: verdict for verdict, halves in company.items() for other in halves}
    assert told["qma-jack"] is mate(hand.desk.half("house-plug"), hand.desk.half("qma-jack")).verdict
    assert told["qma-jack"] is Verdict.NOT_KNOWN


@pytest.mark.parametrize("half_id", sorted(HALVES))
def test_parts_taken_apart_hide_no_other(half_id: str) -> None:
    lain = [p for p in apart.lain(HALVES[half_id], 1.0) if p.role not in apart.WITH_SHELL]
    shell = [p for p in apart.lain(HALVES[half_id], 1.0) if p.role in apart.WITH_SHELL]
    spans = sorted((p.z0, p.z1) for p in lain)
    spans = sorted([*spans, (min(p.z0 for p in shell), max(p.z1 for p in shell))])
    for (_, end), (start, _) in pairwise(spans):
        assert start > end


@pytest.mark.parametrize("text", [100, 150, 200])
@pytest.mark.parametrize("half_id", ["sma-plug", "bnc-50-plug", "fakra-a-plug", "n-50-jack"])
def test_the_places_of_dimensions_stand_apart(half_id: str, text: int) -> None:
    hand = Hand("half", (1024, 600), Settings(motion=False, text=text))
    scene(hand)._show(half_id)
    hand.app.arrange()
    stage, pen = hand.widget("bench"), Pen(hand.desk.palette, hand.app.type)
    hand.app.scene.draw(pen, stage.box)  # type: ignore[attr-defined]
    dots = [call for call in pen.calls if isinstance(call, Ring)]
    assert dots
    for one, two in itertools.combinations(dots, 2):
        assert math.dist(one.centre, two.centre) >= max(one.radius, two.radius)
    # every dimension is reached by pointing at the dot that stands for it, or by the list
    section = view.section_of(stage.box, hand.desk, scene(hand).half)
    for said in scene(hand).dimensions:
        if said.kind != "note":
            assert min(math.dist(section.at(said.z, said.r), dot.centre) for dot in dots) <= view.CATCH


@pytest.mark.parametrize("half", list(all_halves().values()), ids=lambda half: half.id)
def test_a_name_typed_in_full_opens_that_half(half: Half) -> None:
    for typed in (half.name, half.id, half.name.upper()):
        assert matching(list(all_halves().values()), typed)[0].id == half.id


@pytest.mark.parametrize(
    ("typed", "half_id"),
    [
        ("N-jack", "n-50-jack"), ("N jack", "n-50-jack"), ("type n female", "n-50-jack"), ("K female", "2.92-jack"),
        ("2,92 female", "2.92-jack"), ("pl259", "uhf-plug"), ("APC-7", "7-mm"), ("rpsma jack", "rp-sma-jack"),
        ("fakra k jack", "fakra-k-jack"), ("n jack 75", "n-75-jack"), ("rp-n jack", "rp-n-jack"),
    ],
)  # fmt: skip
def test_a_name_as_the_trade_types_it_opens_the_half_that_is_met_most(typed: str, half_id: str) -> None:
    """As people in the trade write them: common practice, no source."""
    hand = Hand("half")
    hand.type(typed)
    hand.enter()
    assert scene(hand).half_id == half_id
