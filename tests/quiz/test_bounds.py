"""Assumed constants of training, just below and just above them; figures stand in full."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from types import SimpleNamespace
from typing import cast

import pytest

from coaxtell.cables.classes import CableClass
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.measure import Grade, Measure
from coaxtell.quiz import assessment, everyday, option_sets, poses, readiness, tells, tries
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.items import cable, look, mates
from coaxtell.quiz.option_sets import crossed_near
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves


class Widths:
    """Halves that are so wide [mm]."""

    def __init__(self, **wide: float) -> None:
        self.wide = wide

    def width(self, half_id: str) -> Measure:
        return Measure(grade=Grade.HIGH, source=["test"], mm=self.wide[half_id])


@pytest.mark.parametrize(("wide", "near"), [(21.9, True), (22.1, False)])
def test_halves_up_to_2_2_times_as_wide_are_taken_for_each_other(wide: float, near: bool) -> None:
    """Assumed: TNC beside SMA (1.75), N beside TNC (1.43), not 7/16 beside SMA (4.6)."""
    stock = cast(Stock, Widths(a=10.0, b=wide))
    assert crossed_near(stock, ("a", "b")) is near


@pytest.mark.parametrize("pairs", [8, 9])
def test_an_assessment_asks_eight_harmful_pairs_and_names_the_rest(pairs: int) -> None:
    names = tuple(f"fact {i}" for i in range(pairs))
    plan = SimpleNamespace(harmful_pairs=names)
    facts, left_out = (cast(property, getattr(Blueprint, one)).fget for one in ("facts", "left_out"))
    assert facts is not None
    assert left_out is not None
    assert facts(plan) == names[:8]
    assert left_out(plan) == names[8:]


@pytest.mark.parametrize(("wide", "alike"), [(15.66, True), (15.70, False)])
def test_halves_are_look_alikes_up_to_so_much_wider(wide: float, alike: bool) -> None:
    """Assumed: 0.45 in the logarithm of the width, 1.568 times; here of two halves of one family."""
    one, two = (SimpleNamespace(id=name, family="X", key=None) for name in ("a", "b"))
    stock = cast(Stock, SimpleNamespace(halves={"a": one, "b": two}, width=Widths(a=10.0, b=wide).width))
    assert list(look._look_alikes(stock)) == ([("a", "b")] if alike else [])


class Tables:
    """Halves as the quiz knows them, each met so often, with the verdicts of some pairs; all others mate."""

    def __init__(self, met: dict[str, float], verdicts: dict[tuple[str, str], Verdict] | None = None) -> None:
        self.met = met
        self.halves = {name: SimpleNamespace(id=name, family=name, impedance_ohm=50) for name in met}
        self._verdicts = verdicts or {}

    def verdict(self, one: str, two: str) -> Verdict:
        return self._verdicts.get((one, two), Verdict.MATES)


@pytest.mark.parametrize(("share", "everyday_too"), [(0.0199, False), (0.0201, True)])
def test_one_port_in_fifty_is_everyday(share: float, everyday_too: bool) -> None:
    """Assumed: 0.02 of the ports that are met."""
    stock = cast(Stock, Tables({"n": 1 - share, "odd": share}))
    assert ("odd" in everyday.halves(stock)) is everyday_too


@pytest.mark.parametrize(
    ("other", "share", "answer"),
    [
        (Verdict.NO_JOIN, 0.099, "mates"),
        (Verdict.NO_JOIN, 0.101, mates.LOOK_FIRST),
        (Verdict.DAMAGES, 0.0049, "mates"),
        (Verdict.DAMAGES, 0.0051, mates.LOOK_FIRST),
    ],
)
def test_a_seldom_twin_is_left_aside_and_a_harmful_one_hardly_ever(
    other: Verdict, share: float, answer: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Assumed: a tenth of the pairs that look the same, one in two hundred where it damages."""
    stock = cast(Stock, Tables({"a": 1 - share, "twin": share, "b": 1.0}, {("twin", "b"): other}))
    monkeypatch.setattr(mates, "twins", lambda stock, name: ("a", "twin") if name == "a" else (name,))
    assert mates._answer(stock, "a", "b") == answer


def sized(**sizes: tuple[float, float, float]) -> tuple[Stock, list[Half]]:
    """Halves of these widths, couplings and contacts [mm], and the stock that has them."""
    halves = {
        name: SimpleNamespace(id=name, centre=SimpleNamespace(butt=None), sizes=three) for name, three in sizes.items()
    }
    widths = {name: SimpleNamespace(nominal=three[0]) for name, three in sizes.items()}
    return cast(Stock, SimpleNamespace(width=widths.__getitem__)), cast(list[Half], list(halves.values()))


@pytest.fixture
def _by_sizes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tells, "coupling_mm", lambda half: half.sizes[1])
    monkeypatch.setattr(tells, "contact_mm", lambda half: half.sizes[2])
    monkeypatch.setattr(option_sets, "told_apart", lambda *_: False)


@pytest.mark.usefixtures("_by_sizes")
@pytest.mark.parametrize(("coupling", "tried"), [(15.66, True), (15.70, False)])
def test_a_pair_is_asked_about_where_someone_may_try_to_join_it(coupling: float, tried: bool) -> None:
    """Assumed: couplings up to 0.45 apart in the logarithm, 1.568 times."""
    _, (one, two) = sized(one=(1.0, 10.0, 1.0), two=(1.0, coupling, 1.0))
    assert mates.likely(one, two) is tried


@pytest.mark.usefixtures("_by_sizes")
@pytest.mark.parametrize(
    ("other", "twins"),
    [
        # e^0.15 = 1.1618 times as wide, or at the coupling; contacts 2.2 times as thick
        ((11.61, 10.0, 1.0), True),
        ((11.63, 10.0, 1.0), False),
        ((10.0, 11.61, 1.0), True),
        ((10.0, 11.63, 1.0), False),
        ((10.0, 10.0, 2.19), True),
        ((10.0, 10.0, 2.21), False),
    ],
)
def test_twins_are_as_wide_and_have_contacts_much_as_thick(other: tuple[float, float, float], twins: bool) -> None:
    """Assumed: 0.15 in the logarithm of the widths, and a ratio of the contacts of 2.2."""
    stock, (one, two) = sized(one=(10.0, 10.0, 1.0), two=other)
    assert mates._alike(stock, one, two) is twins


def test_the_thinner_class_is_asked_about_from_four_tenths_of_its_reach() -> None:
    """Assumed: 0.4; the reach is 10 m."""
    names = cast(CableClass, None)
    assert cable.Boundary(names, names, "us", 3.0, 10.0, 20.0).lengths(True)[0] == pytest.approx(4.0)


@pytest.mark.parametrize(("rate", "middle"), [(0.979, 0.979), (0.981, 0.98), (0.999, 0.98)])
def test_no_band_has_its_middle_above_98_in_a_hundred(rate: float, middle: float) -> None:
    """Assumed: people slip."""
    assert readiness.Forecast(40, rate).band == pytest.approx((middle, middle))


class Most(Random):
    """Draws the most there is."""

    def uniform(self, a: float, b: float) -> float:
        return b


def test_a_part_is_drawn_so_worn_dirty_and_blurred_at_most(monkeypatch: pytest.MonkeyPatch) -> None:
    """Assumed: wear and dirt of 0.6, a blur of 0.7 px."""
    monkeypatch.setattr(poses, "_shows_centres", lambda *_: True)
    found = poses.drawn(cast(Stock, None), (), (), Most(1))
    assert (found.wear, found.dirt, found.blur) == (0.6, 0.6, 0.7)


def test_a_camera_is_held_ten_degrees_crooked_at_most_and_never_beside_another_half() -> None:
    """Assumed: 10 degrees."""
    held = Stock(dict(all_halves()))
    tilts = [poses.drawn(held, ("sma-jack",), [], Random(seed)).tilt for seed in range(200)]
    assert 9.8 < max(tilts) <= 10.0
    assert -10.0 <= min(tilts) < -9.8
    assert poses.drawn(held, ("sma-jack", "sma-plug"), [], Random(1)).tilt == 0


@pytest.mark.parametrize(("days", "counts"), [(89.9, True), (90.1, False)])
def test_a_lost_try_counts_for_ninety_days(days: float, counts: bool) -> None:
    """Assumed: 90 days."""
    now = datetime(2026, 11, 30, tzinfo=UTC)
    lost = cast(tries.Try, SimpleNamespace(costs=True, ended=now - timedelta(days=days)))
    assert (tries.against([lost], now) == [lost]) is counts


@pytest.mark.parametrize(("hours", "ready"), [(14 * 24 - 1, True), (14 * 24 + 1, False)])
def test_who_has_passed_is_ready_for_fourteen_days(hours: int, ready: bool) -> None:
    """Assumed: 14 days."""
    passed = datetime(2026, 11, 1, 12, tzinfo=UTC)
    assert (assessment.until(passed) > passed + timedelta(hours=hours)) is ready
