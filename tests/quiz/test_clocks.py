"""Clocks that are off: what is dated in the future is told and moves nothing; what went on in two places is named."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
import pytest

from coaxtell.cli.main import main
from coaxtell.quiz import exchange, lead, overview
from coaxtell.quiz.log import AHEAD, Event, ahead, answers, as_of, split
from coaxtell.quiz.schedule import replayed
from coaxtell.quiz.sitting import Assessing
from coaxtell.quiz.store import Store
from tests.quiz.kill import answer
from tests.quiz.test_assessment import plan
from tests.quiz.test_lead import NOW, passed
from tests.quiz.test_sitting import outside

YEARS = (400, 3650, -3650)
"""By how many days a clock is off."""


def moved(days: int) -> list[Event]:
    """A passed assessment, and ten answers of practice from a machine whose clock is so many days off."""
    own = passed()
    given = [msgspec.structs.replace(one, id=f"off {i}", sitting="off", number=i + 1, person="Ana",
                                     time=NOW + timedelta(days=days, minutes=i))
             for i, one in enumerate(answers(own)[:10])]  # fmt: skip
    return [*own, *given]


@pytest.mark.parametrize("days", YEARS)
def test_no_schedule_goes_beyond_what_today_allows(days: int) -> None:
    events = moved(days)
    shifted = as_of(events, NOW)
    assert max(event.time for event in shifted) <= NOW + AHEAD
    assert len(ahead(events, NOW)) == (10 if days > 0 else 0)
    for card in replayed(answers(shifted)).held(NOW):
        assert card.due < NOW + timedelta(days=200)  # and not in years
    assert len(answers(shifted)) == len(answers(events))  # nothing is lost


@pytest.mark.parametrize("days", YEARS)
def test_ready_ends_on_its_day_whatever_a_clock_says(days: int) -> None:
    state = overview.person("Ana", moved(days), NOW)
    held = state.ready_until(NOW)
    assert held is not None
    assert held.until is not None
    assert held.until < NOW + timedelta(days=30)
    assert overview.person("Ana", moved(days), NOW + timedelta(days=30)).ready_until(NOW + timedelta(days=30)) is None


def test_an_assessment_dated_ahead_clears_nobody() -> None:
    late = [msgspec.structs.replace(event, time=event.time + timedelta(days=400)) for event in passed()]
    for day in (0, 30, 200):
        now = NOW + timedelta(days=day)
        assert overview.person("Ana", late, now).ready_until(now) is None
        (standing,) = lead.campaign(late, plan(), now, now)
        assert standing.ready is None
    # and one who sits down again is asked the whole of it, today
    again = Assessing(plan(), "", late, outside([])._replace(now=lambda: NOW))
    assert not again.terms.recheck


def test_the_progress_says_no_day_that_a_clock_ahead_made_up(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It said ready until 2029 of one whose machine was years ahead, beside a team's table that said not ready."""
    place = str(tmp_path / "r.db")
    with Store(place) as store:
        for event in passed():
            store.add(msgspec.structs.replace(event, time=event.time + timedelta(days=1200)))
    assert main(["progress", "--person", "Ana", "--records", place]) == 0
    said = capsys.readouterr().out
    assert "not by a clock ahead" in said
    assert f"{(NOW + timedelta(days=1214)).year}-" not in said.split("Assessments")[1].replace(
        f"{NOW + timedelta(days=1199):%Y-%m-%d}", ""
    )
    ahead = [msgspec.structs.replace(e, time=e.time + timedelta(days=1200)) for e in passed()]
    first = exchange.rows(ahead, NOW)[0]
    assert (first["verdict"], first["until"], first["line"]) == (None, None, "dated-ahead")
    later = NOW + timedelta(days=1201)
    assert exchange.rows(ahead, later)[0]["until"] is not None
    assert "verbs/passed" not in exchange.as_xapi(ahead, NOW)
    assert "verbs/passed" in exchange.as_xapi(ahead, later)


def test_verify_names_clocks_ahead_and_sittings_in_two_places(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = str(tmp_path / "r.db")
    twice = [answer("kim's", number, "Kim") for number in (1, 2)]
    other = [msgspec.structs.replace(one, id=f"other {one.number}") for one in twice]
    soon = msgspec.structs.replace(answer("later", 1, "Kim"), id="soon", time=datetime.now(UTC) + timedelta(days=400))
    with Store(place) as store:
        for event in (*twice, *other, soon):
            store.add(event)
    assert split([*twice, *other]) == {twice[0].sitting: 2}
    main(["records", "verify", "--records", place])
    said = " ".join(capsys.readouterr().out.split())
    assert "later than now" in said
    assert twice[0].sitting in said
