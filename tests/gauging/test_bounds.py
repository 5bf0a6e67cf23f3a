"""Every assumed constant of readings, just below and just above it; figures stand in full."""

from __future__ import annotations

import pytest

from coaxtell.models import against, tables
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.parts import Sitting, Stated, agrees, spread

PRINTED, WEAK = Stated(10.0, 9.9, 10.1), Stated(10.0, 9.9, 10.1, printed=False)
"""Limits that a document prints, of a spread of 0.1 / 1.96 = 0.05102 mm; and a range of a weak number."""


def one_part(mm: float) -> Sitting:
    """One part read once, with an instrument that is off by nothing to speak of."""
    return Sitting("calliper", 5e-4, "Ana", "2026-01-01", [[mm]])


@pytest.mark.parametrize(("mean", "agree"), [(10.2520, True), (10.2541, False)])
def test_a_mean_contradicts_a_range_from_three_standard_errors_on(mean: float, agree: bool) -> None:
    """Assumed: 3; one part, whose error is the spread: 10.1 + 3 x 0.05102 = 10.2531 mm."""
    assert agrees([one_part(mean)], PRINTED) is agree


@pytest.mark.parametrize(
    ("stated", "reach"),
    [
        # 4 parts before and the one: 2.5706 x 0.05102 x sqrt(4 / 5 x (1 + 1 / 2))
        (PRINTED, 0.14367),
        # 2 before, by the general tolerance of 0.1 mm: 4.3027 x 0.05102 x sqrt(2 / 2 x (1 + 1))
        (WEAK, 0.31046),
    ],
)
def test_printed_limits_count_for_four_parts_and_a_weak_number_for_two(stated: Stated, reach: float) -> None:
    """Assumed: 4 and 2, by hand with one part in the middle of the range; Student's 2.5706 at five degrees of freedom
    and 4.3027 at two (Abramowitz and Stegun, table 26.10). One part more or less is 7 % or 25 % in the reach."""
    found = spread([one_part(10.0)], stated)
    assert found.high - found.value == pytest.approx(reach, rel=2e-4)
    assert found.value - found.low == pytest.approx(reach, rel=2e-4)


@pytest.mark.parametrize(("mated", "told"), [(14, None), (15, Verdict.NO_JOIN)])
def test_a_pair_that_mated_in_fifteen_draws_of_a_hundred_and_fifty_may_be_gone_against(
    mated: int, told: Verdict | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Assumed: a tenth. BNC halves whose nut no longer passes the collar stand for a reading that does not go."""
    halves = tables.load().halves
    plug, jack, other = halves["bnc-50-plug"], halves["bnc-50-jack"], halves["sma-jack"]
    asked: list[int] = []

    def mates(pair: against.Pair, times: int) -> bool:
        asked.append(times)
        return pair == (plug, jack) and mated >= times

    monkeypatch.setattr(against, "_mates", mates)
    assert against.against((plug, jack), (plug, other)) is told
    assert asked == [1, 15]
