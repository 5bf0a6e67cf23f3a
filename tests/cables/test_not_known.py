"""What is not known to mate is ordered by nothing and listed nowhere as a mate, though by its numbers it joins."""

from __future__ import annotations

import json
import tomllib
from datetime import date
from pathlib import Path

import msgspec
import pytest

from coaxtell import library
from coaxtell.cables import tables as cable_tables
from coaxtell.cli.main import main
from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.bulk import Bulk
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import identify
from coaxtell.identifier.record import plain
from coaxtell.identifier.words import cautions
from coaxtell.models import tables
from coaxtell.models.catalogue import Reason
from coaxtell.models.mating.mate import JOINED, Verdict, mate
from coaxtell.models.mating.surely import left_open, to_order
from coaxtell.models.tables import Tables
from coaxtell.pocket import cables, data

OWN = """\
based_on = "n-50"
key = "own-n"
family = "House N"
reverse_key = ""
[plug]
trade_names = ["House N plug"]
[plug.centre.pin]
d = { mm = 1.64, min = 1.5, max = 1.95, grade = "assumed", source = ["assumption"] }
[jack]
trade_names = ["House N jack"]
"""
"""A pin of our own that nobody has measured: it joins as it is drawn, and in half of its range it does harm."""
FEW = ("own-n-plug", "own-n-jack", "n-50-jack", "n-50-plug")
SITE = """\
[site]
region = "us"
[[reader]]
id = "R1"
port = "{port}"
[[antenna]]
id = "left"
reader = "R1"
port = "{other}"
length = "6m"
"""


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A folder with the table of our own."""
    folder = tmp_path / "own"
    folder.mkdir()
    (folder / "own-n.toml").write_text(OWN, encoding="utf-8")
    return folder


@pytest.fixture
def known(own: Path) -> Tables:
    """Those tables."""
    return tables.load(own)


def test_by_its_numbers_it_joins_and_by_their_doubt_it_is_not_known(known: Tables) -> None:
    plug, jack = known.half("own-n-plug"), known.half("n-50-jack")
    assert mate(plug, jack, doubt=False).verdict in JOINED
    assert to_order(plug, jack).verdict is mate(plug, jack).verdict is Verdict.NOT_KNOWN
    assert to_order(plug, jack) is to_order(plug, jack)  # it takes a while, and is asked for over and over


def test_no_cable_is_ordered_by_it_and_it_is_told(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = ["cable", "own-n-plug", "n-50-jack", "--length", "12m", "--tables", str(own)]
    assert main(line) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "Nothing to order" in shown
    assert "End A" not in shown
    assert "What becomes of the reader port (House N plug) with N jack 50 ohm or House N jack is not known, " in shown
    assert "it may harm" in shown
    assert "do not join them" in shown
    assert main([*line, "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert all(one["ends"][0] is None for one in found["assemblies"])
    assert any(one.startswith("What becomes of the reader port (House N plug)") for one in found["cautions"])


def test_what_is_known_of_the_same_table_is_ordered(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The jack of our own takes the shipped plug, and not the plug of our own, which stands nearer to it."""
    assert main(["cable", "own-n-jack", "n-50-jack", "--length", "6m", "--tables", str(own), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["assemblies"][0]["ends"] == ["n-50-plug", "n-50-plug"]


def test_no_plan_orders_it_and_the_port_list_takes_nothing_for_it(own: Path, tmp_path: Path) -> None:
    site, ports = tmp_path / "site.toml", tmp_path / "ports.toml"
    site.write_text(SITE.format(port="own-n-plug", other="n-50-jack"), encoding="utf-8")
    page = tmp_path / "plan.html"
    assert main(["plan", str(site), "-o", str(page), "--ports", str(ports), "--tables", str(own)]) == 1
    listed = {one["id"]: one.get("takes", "") for one in tomllib.loads(ports.read_text(encoding="utf-8"))["port"]}
    assert listed["own-n-plug"] == ""
    told = " ".join(page.read_text(encoding="utf-8").split())
    assert "What becomes of the reader port (House N plug) with N jack 50 ohm or House N jack is not known" in told


def test_the_library_orders_nothing_by_it(known: Tables) -> None:
    plug, jack = known.half("own-n-plug"), known.half("n-50-jack")
    assert library.cable_run(plug, jack, 6.0, "us", tables=known).best is None
    assert library.plan(SITE.format(port="own-n-plug", other="n-50-jack"), known).order == ()


def test_a_port_that_is_named_mates_with_none_of_which_it_is_not_known(known: Tables) -> None:
    shortlist = Shortlist([known.half(one) for one in FEW])
    state = State().tell(Feature.COUPLING, Saw("thread-inside")).tell(Feature.CENTRE, Saw("pin"))
    named = shortlist.alone("own-n-plug").halves[0]
    found = identify(Shortlist([named, known.half("n-50-jack"), known.half("own-n-jack")]), state)
    assert (found.half.id, found.fit, found.mates_with) == ("own-n-plug", None, [])
    said = " ".join(cautions(found))
    assert "What becomes of it with N jack 50 ohm or House N jack is not known, and it may harm" in said
    assert plain(state, found, "")["mates_with"] == []
    # and what is taken for it by mistake is told as it is: the shipped plug mates with its jack, this one maybe not
    told = {one.id: one.verdict for one in identify(shortlist, state).beware}
    assert told["own-n-plug"] == Verdict.NOT_KNOWN.value


def test_a_row_of_many_lists_no_such_mate_and_says_why(known: Tables) -> None:
    few = ("own-n-plug", "own-n-jack", "n-50-jack")
    bulk = Bulk(msgspec.structs.replace(known, halves={one: known.half(one) for one in few}), State())
    row = bulk.row({Feature.COUPLING: "thread-inside", Feature.CENTRE: "pin"})
    assert (row.id, row.mates, row.order) == ("own-n-plug", (), "")
    assert "What becomes of it with House N jack or N jack 50 ohm is not known" in row.warning


def test_the_page_brings_no_cable_onto_it(known: Tables) -> None:
    every = [known.half(one) for one in FEW]
    found = cables.sides(every, cable_tables.load())
    for places in found["of"].values():
        ends = [found["all"][place]["end"] for place in places]
        assert ends[0] is None  # our own plug
        assert ends[1] in (None, FEW.index("n-50-plug"))  # our own jack


def test_the_page_says_of_its_port_what_is_not_known(known: Tables) -> None:
    halves = {one: known.half(one) for one in FEW}
    wanted = data.Wanted(msgspec.structs.replace(known, halves=halves), date(2026, 12, 1))
    told = data.later(wanted, lambda done: None)["unsure"]
    assert set(told) == set(FEW) - {"n-50-plug"}
    code, values = told["own-n-plug"]
    sentence = data.WORDS.say(Reason(code, {"others": data.WORDS.say(Reason(*values["others"]))}))
    assert sentence.startswith("What becomes of it with House N jack or N jack 50 ohm is not known, and it may harm")
    page = Path(data.__file__).parent / "page"
    for script in ("said.js", "name.js", "cable.js"):
        assert "unsureReason(" in (page / script).read_text(encoding="utf-8"), script


def test_nothing_that_ships_is_left_open() -> None:
    """Its answers, on paper and on the page, stay as they are."""
    wanted = list(tables.load().halves.values())
    assert not [(a.id, b.id) for a in wanted for b in wanted if left_open(to_order(a, b))]
