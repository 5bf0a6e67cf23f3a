"""Where a tool may go: never into a spring contact, onto a pin or a precision port; what it reads there."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from coaxtell.models.drawings.drafting import wide
from coaxtell.models.drawings.drawing import Text
from coaxtell.models.drawings.gauge_place import HEIGHT, WIDTH, place_drawing
from coaxtell.models.gauging.asking import Doubt, asked, question
from coaxtell.models.gauging.places import Place, Tool, places
from coaxtell.models.half import Half
from coaxtell.models.numbers import SHAPELESS, replaced, walk
from coaxtell.models.words import said
from tests.halves import all_halves, half

ALL = list(all_halves().values())


def codes(one: Half) -> dict[tuple[str | int, ...], str]:
    return {refusal.path: refusal.why.code.removeprefix("gauge.not_") for refusal in places(one)[1]}


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.id)
def test_nothing_enters_a_spring_contact_or_rests_on_a_pin(one: Half) -> None:
    found, refused = places(one)
    for place in found:
        assert place.path[0] != "centre"
        assert place.path[0] != "snap"
        assert not one.precision
        if place.path[0] == "shell" and one.shell.slots is not None and one.shell.slot_length is not None:
            z = dict(walk(one))[place.path].nominal if place.path[-1] == "to" else one.shell.rim.nominal
            assert place.path[-2] != 0 or z <= one.shell.rim.nominal - one.shell.slot_length.nominal
    both = [place.path for place in found] + [refusal.path for refusal in refused]
    shape = [path for path, measure in walk(one) if path[0] not in SHAPELESS and measure.unit == "mm"]
    assert sorted(map(str, both)) == sorted(map(str, shape))


def test_why_not() -> None:
    sma = codes(half("sma-plug"))
    assert sma["centre", "pin", "d"] == "pin"
    assert sma["shell", "outside", 0, "d"] == "hidden"
    assert codes(half("sma-jack"))["centre", "socket", "hole"] == "socket"
    assert codes(half("bnc-50-plug"))["shell", "outside", 0, "d"] == "spring"
    assert set(codes(half("3.5-jack")).values()) == {"precision"}
    assert codes(half("n-50-jack"))["shell", "outside", 0, "to"] == "thread"
    for one in ALL:
        assert all(sentence and "{" not in sentence for sentence in said(r.why for r in places(one)[1]))


def test_what_is_measured_with_what() -> None:
    jack = {place.path: place for place in places(half("n-50-jack"))[0]}
    assert jack["shell", "inside", 1, "d"].tool is Tool.INSIDE
    assert jack["shell", "outside", 0, "d"].tool is Tool.OUTSIDE
    bead = jack["insulator", 0, "face"]
    assert (bead.tool, bead.origin) == (Tool.DEPTH, 9.1)
    # by hand: the bead's face lies 11.6 mm behind the rim, 2.5 mm behind the reference plane
    assert bead.reading(-2.5) == pytest.approx(11.6)
    assert bead.size(11.6) == pytest.approx(-2.5)
    nut = {place.path: place for place in places(half("sma-plug"))[0]}
    assert nut["nut", "body", "outside", 0, "d"] == Place(("nut", "body", "outside", 0, "d"), Tool.OUTSIDE, 12.0, None)


def test_the_rim_of_a_wide_jack_is_the_depth_to_its_ledge() -> None:
    """The N jack's ledge is 0.5 mm wide, too narrow for a rod; with a line bore of 4 mm it is 2 mm wide."""
    jack = half("n-50-jack")
    last = len(jack.shell.inside) - 1
    path = ("shell", "inside", last, "d")
    wide = replaced(jack, path, dict(walk(jack))[path].at(4.0))
    assert codes(jack)["shell", "rim"] == "narrow"
    (rim,) = (place for place in places(wide)[0] if place.path == ("shell", "rim"))
    assert (rim.tool, rim.origin) == (Tool.DEPTH, None)


def test_the_most_doubt_a_minute_comes_first() -> None:
    jack = half("n-50-jack")
    bead, bore = ("insulator", 0, "face"), ("shell", "inside", 1, "d")
    told = [Doubt("x", 0.4, {bead: 0.3, bore: 0.2}), Doubt("y", 0.1, {bore: 0.9}), Doubt("z", 0.9, {})]
    found = asked(jack, told)
    assert [one.place.path for one in found[:2]] == [bore, bead]
    assert found[0].settles == pytest.approx(0.4 * 0.2 + 0.1 * 0.9)
    assert found[0].others == ("y", "x")
    assert all(one.settles == 0 for one in found[2:])
    # without a doubt the weakest numbers come, and what a document backs does not
    measures = dict(walk(jack))
    assert all(measures[one.place.path].soft for one in asked(jack, []))


def test_each_place_is_asked_and_pictured_with_its_number() -> None:
    for half_id in ("n-50-jack", "sma-plug", "bnc-50-jack", "7-16-plug"):
        one = half(half_id)
        measures = dict(walk(one))
        for place in places(one)[0]:
            (words,) = said([question(one, place)])
            drawn = place_drawing(one, place, words)
            text = "".join(ElementTree.fromstring(drawn.svg()).itertext())
            assert f"{place.reading(measures[place.path].nominal):.2f} mm" in text
            assert words.split(":")[0] in " ".join(text.split())


@pytest.mark.parametrize("on_paper", [True, False])
def test_the_reading_stands_whole_on_its_sheet(on_paper: bool) -> None:
    for half_id in ("n-50-jack", "sma-plug", "sma-jack", "bnc-50-jack", "7-16-plug", "mcx-jack"):
        one = half(half_id)
        for place in places(one)[0]:
            drawn = place_drawing(one, place, "", on_paper)
            for item in drawn.items:
                if isinstance(item, Text):
                    long = wide(item.words, item.size)
                    left = item.at[0] - {"start": 0.0, "middle": long / 2, "end": long}[item.anchor]
                    assert left >= 0, (half_id, place.path, item)
                    assert left + long <= WIDTH, (half_id, place.path, item)
                    assert item.size / 2 <= item.at[1] <= HEIGHT - item.size / 2, (half_id, place.path, item)
