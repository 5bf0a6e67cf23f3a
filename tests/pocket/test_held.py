"""Nothing is ordered for a port that is not settled, or that is to be looked at again."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.pocket.browser import Phone
from tests.pocket.visits import fresh

CODE = (Path(__file__).parent / "ordered.js").read_text(encoding="utf-8")


@pytest.mark.needs("chromium")
def test_nothing_is_ordered_for_a_port_that_is_not_settled_or_to_be_looked_at_again(phone: Phone, file: str) -> None:
    """Whatever it was that keeps it open, at either end, from the screen or from the site; nor do message, lists and
    file say what it takes. One that is settled has its order words."""
    fresh(phone, file)
    found = phone.run(f"(() => {{ {CODE} return orderedFor(32); }})()")
    held = [one for one in found if one["held"]]
    assert [one for one in held if any(one["cables"]) or one["takes"] or one["message"] or one["file"]] == []
    assert {one["state"].removeprefix("pocket.") for one in held} >= {
        "unsettled", "centre_untold", "clashing", "misfits", "high_voltage",
    }  # fmt: skip
    assert len(held) > 15
    assert [all(one["cables"]) and one["takes"] and one["message"] and one["file"] for one in found][-1]


@pytest.mark.needs("chromium")
@pytest.mark.parametrize("where", ["screen", "roof", ""])
def test_the_caution_says_which_port_it_is_about_and_which_may_be_the_half_chosen(
    phone: Phone, file: str, where: str
) -> None:
    """A thread as thick as a pencil, nobody has seen its centre: an SMA jack, or one of reverse polarity."""
    fresh(phone, file)
    phone.run("port = port.in({answers: {coupling: {saw: 'thread-outside'}, size: {saw: 'pencil'}}}); state.run = {}")
    assert phone.run("[world.halves[port.first].id, port.settled]") == ["sma-jack", False]
    share = phone.run("port.percent(port.belief[world.index['rp-sma-jack']])")
    which = "the port on the screen"
    if where != "screen":
        phone.run("addToSite()")
        phone.run(f"changeSite((site) => site.map((one) => ({{...one, where: '{where}'}})))")
        which = f"the port at {where}" if where else "a port of the site without a place"
    run = "length: '3m', power: '40', want: '1', antenna: 'n-50-jack'"
    told = {}
    for half in ("sma-jack", "rp-sma-jack", "n-50-jack"):
        phone.run(f"go('cable', {{run: {{{run}, reader: '{half}'}}}})")
        told[half] = phone.text()
    assert told["sma-jack"].count(f"until that is cleared up (this is about {which})") == 1
    assert "may be the SMA jack too" not in told["sma-jack"], "that is its name, and held"
    said = f"A port whose name is open may be the RP-SMA jack too: {which} ({share}). Look there again"
    assert told["rp-sma-jack"].count(said) == 1
    assert "✓" in told["rp-sma-jack"], "chosen by hand it is reckoned all the same"
    assert "this is about" not in told["n-50-jack"]
    assert "name is open" not in told["n-50-jack"]
    phone.run(f"(() => {{ {CODE} changeSite(() => []); port = new Port(world, {{answers: SETTLED}}); }})()")
    assert phone.run("port.named") == "settled"
    for half in ("sma-jack", "rp-sma-jack"):
        phone.run(f"go('cable', {{run: {{{run}, reader: '{half}'}}}})")
        assert "this is about" not in phone.text()
        assert "name is open" not in phone.text()
