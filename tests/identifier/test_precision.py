"""A precision port: nothing but its maker's own gauge is sent into its face, in any question, result or row."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from coaxtell.cli.main import main
from coaxtell.identifier import contradiction, words
from coaxtell.identifier.answers import Answer, Read, Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import Settled, brief, identify
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.question import Look, lacking, next_look, open_looks, question
from coaxtell.models.acts import Need
from tests.halves import all_halves
from tests.identifier.kit import HANDY, answer, shortlist, truths

PRECISE = [one for one in all_halves().values() if one.precision]
FACE = {Feature.TOUCH, Feature.PIN_DIAMETER, Feature.SOCKET_BORE, Feature.BORE}
IN_THE_NUT = {Feature.COUPLING_DIAMETER, Feature.THREADS}
JACK = ("coupling=thread-outside", "centre=socket", "plastic=deep")
PLUG = ("coupling=thread-inside", "centre=pin", "plastic=deep")
ALONE = "Nothing but the maker's own gauge touches or enters the face of a precision port"


def seen(setting: str, *told: str) -> State:
    state = State(setting, terms=HANDY)
    for one in told:
        look, _, value = one.partition("=")
        state = state.tell(Feature(look), Saw(value))
    return state


def given(*told: str) -> list[str]:
    return ["identify", "--setting", "bench", *(word for one in told for word in ("--saw", one))]


def likely(known: Shortlist, state: State) -> float:
    """How likely the port is a precision one."""
    return float(known.belief(state.answers, state.again)[known.precision].sum())


@pytest.mark.parametrize("setting", ["any", "bench"])
@pytest.mark.parametrize("one", PRECISE, ids=lambda one: one.id)
def test_nothing_is_sent_into_the_face_on_the_way_to_a_precision_port(one: Any, setting: str) -> None:
    known, state, barred = shortlist(setting), State(setting, terms=HANDY), 0
    while (look := next_look(known, state)) is not None:
        asked = {open_look.feature for open_look in open_looks(known, state, known.belief(state.answers, state.again))}
        if likely(known, state) > 0.05:
            barred += 1
            assert not asked & FACE
            if state.answers.get(Feature.COUPLING) == Saw("thread-inside"):
                assert not asked & IN_THE_NUT
        state = state.tell(look.feature, answer(look.feature, truths(one)[look.feature]), look.again)
    assert barred, "the way leads past a state in which it may be one"
    found = identify(known, state)
    tells = [alike.tell.code for alike in found.beware if alike.look in {"bore", "pin-diameter", "socket-bore"}]
    assert "tells.shown" not in tells


def test_the_thread_outside_is_measured_and_the_nut_of_a_plug_is_not() -> None:
    known = shortlist("bench")
    for told, measured in ((JACK, True), (PLUG, False)):
        state = seen("bench", *told)
        assert likely(known, state) > 0.05
        looks = open_looks(known, state, known.belief(state.answers, state.again))
        assert (Look(Feature.COUPLING_DIAMETER) in looks) is measured
        assert (lacking(known, state, Feature.THREADS) == []) is measured
        assert lacking(known, state, Feature.BORE) == [Need.NOT_PRECISION]
    first = question(known, seen("bench", *JACK), Feature.COUPLING_DIAMETER).first
    assert words.say(first[0]).startswith(f"{ALONE}: 3.5 mm, 2.92 mm")


def test_a_port_that_cannot_be_one_is_measured_in_its_face_and_told_nothing_of_gauges() -> None:
    known, state = shortlist("wifi"), seen("wifi", "coupling=thread-outside", "centre=socket", "plastic=level")
    assert likely(known, state) <= 0.05
    looks = open_looks(known, state, known.belief(state.answers, state.again))
    assert {Look(Feature.BORE), Look(Feature.SOCKET_BORE), Look(Feature.COUPLING_DIAMETER)} <= set(looks)
    assert question(known, state, Feature.BORE).first == ()
    assert identify(known, state).gauge_alone == []


@pytest.mark.parametrize("told", [(*JACK, "6.9"), (*PLUG, "6.5")])
def test_two_precision_ports_are_told_by_their_marking(
    told: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """1.85 and 2.4 mm, of one thread: their bores differ, and no calliper goes in."""
    *looks, thread = told
    options = [*given(*looks), "--measured", f"coupling-diameter={thread}", "--no-reach"]
    assert main(options) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "To settle it, read the marking; the maker's own gauge tells: bore: 2.4" in out
    assert f"{ALONE}: 2.4 mm" in out
    assert "jaws" not in out
    assert main([*options, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["next"] is None or Feature(data["next"]["feature"]) not in FACE
    assert data["rival"]["tell"].startswith("read the marking; the maker's own gauge tells: bore: ")
    assert any(ALONE in caution for caution in data["cautions"])
    monkeypatch.chdir(tmp_path)
    row = {one.partition("=")[0]: one.partition("=")[2] for one in looks} | {"coupling-diameter": thread}
    Path("walk.csv").write_text(f"{','.join(row)}\n{','.join(row.values())}\n", encoding="utf-8")
    assert main(["identify", "--setting", "bench", "--no-reach", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    with Path("out.csv").open(encoding="utf-8-sig", newline="") as file:
        (written,) = csv.DictReader(file)
    assert written["look next"].startswith("To settle it, read the marking; the maker's own gauge tells: bore: 2.4")
    assert ALONE in written["what is wrong"]


def test_who_has_measured_the_face_already_is_believed_and_warned(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*given(*JACK), "--measured", "coupling-diameter=6.9", "--measured", "bore=2.4"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert out.startswith("2.4 mm jack (2.4-jack), standard polarity: over 99 % sure, settled")
    assert f"{ALONE}: 2.4 mm" in out


def test_nobody_is_sent_back_into_the_face_by_a_clash_or_by_two_readings() -> None:
    known = shortlist("bench")
    state = seen("bench", *JACK).tell(Feature.COUPLING_DIAMETER, Read(6.9, 0.05)).tell(Feature.BORE, Read(12.0, 0.05))
    found = contradiction.find(known, state.counted)
    assert found is not None
    assert found.misread is Feature.BORE
    for one in (identify(known, state), brief(known, state, lambda half: partners_of(known, half))):
        assert one.state is Settled.NOT_SETTLED
        assert "left to the maker's own gauge: take it back" in words.doubted(one)
        assert "Look at that again" not in words.doubted(one)
    state = seen("bench", *JACK).tell(Feature.BORE, Read(2.4, 0.05))
    pictured: Answer = Read(5.0, 1.0, "5.000mm+-1.00 by photograph")
    state = state.tell(Feature.BORE, pictured)
    assert Feature.BORE in state.apart
    assert "the face is left to the maker's own gauge" in words.settles(identify(known, state))
    assert "measure" not in words.settles(identify(known, state))
