"""What must hold before each act, in every face that proposes one; and the cautions that come from the pair."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coaxtell.cli.main import main
from coaxtell.models.acts import NEEDS, Act, Need, allowed, before, on_the_port
from coaxtell.models.mating.mate import mate
from coaxtell.models.tables import load
from coaxtell.models.words import said
from coaxtell.pages import guide
from tests.drawings import paper
from tests.halves import half
from tests.rooms import ROOT


def test_only_a_look_is_free() -> None:
    """Common practice, no source: nothing is touched under power; a precision face is touched by its gauge alone."""
    assert allowed(Act.LOOK, ())
    for act in Act:
        if act is not Act.LOOK:
            assert not allowed(act, ())
            assert not allowed(act, {Need.SWITCHED_OFF})
            assert not allowed(act, set(Need) - {Need.SECURED})
            assert allowed(act, set(Need))
    assert Need.NOT_PRECISION in NEEDS[Act.TOUCH]


def test_what_is_said_before_an_act_depends_on_what_the_port_may_be() -> None:
    plain = said(before([Act.MEASURE], [half("sma-jack")]))
    assert plain[0].startswith("Before you measure a port: switch the transmitter off, take DC off the coax, and at ")
    assert plain[0].endswith("at height be secured.")
    assert not any("kilovolts" in words or "gauge" in words for words in plain)
    both = " ".join(said(before([Act.UNSCREW, Act.MEASURE], [half("bnc-50-jack"), half("2.4-jack")])))
    assert "Before you unscrew or measure a port with two lugs or slots: make sure" in both
    assert "MHV or SHV looks alike and may carry kilovolts" in both
    assert "maker's own gauge touches or enters the face of a precision port: 2.4 mm" in both
    assert said(before([Act.LOOK], [half("bnc-50-jack")])) == []
    assert before([], [half("bnc-50-jack"), half("2.4-jack")]) == []


def test_what_was_said_to_be_on_a_port_is_told_each_by_itself_and_nothing_of_a_port_of_which_nothing_was() -> None:
    live, carries = said(on_the_port(energised=True, high_voltage=True))
    assert said(on_the_port(energised=True, high_voltage=False)) == [live]
    assert said(on_the_port(energised=False, high_voltage=True)) == [carries]
    assert on_the_port(energised=False, high_voltage=False) == []
    for words in (live, carries):
        assert "ouch" in words
        assert "join nothing" in words
        assert words.endswith("licensed practice decides.")


@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "at height be secured"), ("de", "in der Höhe sichern"), ("es", "en altura, asegúrese")],
)
def test_what_is_said_before_an_act_has_the_height_in_it_in_every_language(language: str, words: str) -> None:
    text = (ROOT / "models" / "texts" / f"{language}.toml").read_text(encoding="utf-8")
    assert words in tomllib.loads(text)["need"]["switched_off"]


def test_families_for_high_voltage_are_named_by_those_that_look_like_them() -> None:
    """What a table of a family says and what the list of halves without sizes says are one thing."""
    loaded = load(None)
    alike = {name: set(one.like_high_voltage) for name, one in loaded.halves.items() if one.polarity == "standard"}
    stated: dict[str, set[str]] = {name: set() for name in alike}
    for one in loaded.unmeasured.values():
        if one.high_voltage:
            for name in one.mistaken_for:
                stated[name].add(one.family)
    assert alike == stated
    assert {one.family for one in loaded.unmeasured.values() if one.high_voltage} == {"MHV", "SHV"}
    assert loaded.halves["rp-bnc-jack"].like_high_voltage == ["MHV", "SHV"]


@pytest.mark.outside(
    "Which families are of precision",
    "IEEE Std 287, by memory",
    "none: the whole list",
)
def test_precision_families_are_those_of_the_gauge_room() -> None:
    """Precision lines of IEEE Std 287: 7 mm, 3.5, 2.4, 1.85, 1.0 mm, and 2.92 mm with them (by memory)."""
    families = {one.family for one in load(None).halves.values() if one.precision}
    assert families == {"7 mm", "3.5 mm", "2.92 mm", "2.4 mm", "1.85 mm", "1.0 mm"}


def test_every_page_that_sends_a_person_to_a_port_says_what_must_hold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opening = " ".join(guide.opening([half("bnc-50-jack"), half("7-mm")], True))
    for words in ("unscrew, look into or measure a port", "MHV or SHV", "precision port: 7 mm", "local codes"):
        assert words in opening
    path = tmp_path / "life.pdf"
    assert main(["lifesize", "--family", "BNC", "--family", "3.5 mm", "-o", str(path)]) == 0
    shown = " ".join(paper.words(path, 1).split())
    for words in ("Before you unscrew, look into or touch a port", "MHV or SHV", "precision port: 3.5 mm"):
        assert words in shown
    assert main(["sources", "mhv-jack"]) == 0
    assert "high voltage" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        # makers' guides to connector care: gauge before a precision port is joined (key HNFA)
        ("sma-plug", "3.5-jack", "Gauge the pin of SMA plug before"),
        ("sma-plug", "2.92-jack", "Gauge the pin of SMA plug before"),
        ("2.4-plug", "1.85-jack", "Gauge the pin of 2.4 mm plug before"),
        # the torque is that of the gentler half
        ("sma-plug", "2.92-jack", "Tighten with a torque wrench at 0.45 N m"),
        # trade note on N connectors: the thick pin spoils the 75 ohm socket, the thin one is loose
        ("n-50-plug", "n-75-jack", "spreads the socket of N jack 75 ohm for good"),
        ("n-75-plug", "n-50-jack", "may pass a quick test and fail on site"),
        # common practice, no source
        ("bnc-50-plug", "bnc-75-jack", "MHV or SHV looks alike"),
        ("bnc-50-plug", "bnc-50-jack", "bent spring fingers of BNC plug 50 ohm"),
    ],
)
def test_cautions_come_from_the_pair(a: str, b: str, words: str) -> None:
    for one, two in ((a, b), (b, a)):
        assert any(words in caution for caution in said(mate(half(one), half(two), doubt=False).cautions))


def test_an_everyday_pair_has_no_caution_of_its_own() -> None:
    cautions = said(mate(half("tnc-plug"), half("tnc-jack"), doubt=False).cautions)
    assert not any(
        word in caution for caution in cautions for word in ("Gauge", "torque wrench", "kilovolts", "spreads")
    )
    plain = said(mate(half("n-50-plug"), half("n-50-jack"), doubt=False).cautions)
    assert not any("precision" in caution for caution in plain)
