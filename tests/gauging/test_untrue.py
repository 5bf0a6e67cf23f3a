"""Own readings that go against what a source states to mate: nothing is ordered by them, in any face."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from coaxtell.cli.main import main
from coaxtell.gauge_bench import keep
from coaxtell.identifier.belief import Shortlist
from coaxtell.models import tables
from coaxtell.models.catalogue import MODELS
from coaxtell.models.gauged import Book
from coaxtell.models.mating.untrue import untrue
from coaxtell.models.parts import Sitting
from coaxtell.pocket.data import Wanted

SAID = "which are stated to mate, come to this: joins, no contact. Measure those parts again"
SEEN = ("coupling=thread-outside", "centre=socket", "plastic=level")


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three SMA nuts read at 6.30 mm, narrower than the 1/4 inch thread that must enter them."""
    folder = tmp_path_factory.mktemp("shop") / "own"
    one = Sitting(instrument="calliper", plus_minus=0.02, who="Ana", date="2026-01-01", parts=[[6.3], [6.3], [6.31]])
    keep(folder, Book().plus("sma-plug", "nut.body.inside.0.d", [one]))
    return folder


def test_no_pair_that_is_stated_to_mate_fails_by_the_tables_that_ship() -> None:
    halves = tables.load().halves
    assert [half.id for half in halves.values() if untrue(half, halves.values())] == []


def test_both_halves_of_the_pair_are_told_with_what_becomes_of_it(own: Path) -> None:
    halves = tables.load(own).halves
    told = {half.id for half in halves.values() if untrue(half, halves.values())}
    assert told == {"sma-plug", "sma-jack", "3.5-jack", "2.92-jack"}  # IEC 61169-15 names 3.5 mm as a mate
    said = MODELS.say(untrue(halves["sma-jack"], halves.values())[0])
    assert said.startswith("By the numbers of your own that are in use the SMA jack and the SMA plug, ")
    assert SAID in said
    assert [untrue(halves["tnc-jack"], halves.values()), Shortlist(list(halves.values())).untrue(0)] == [[], []]


def test_a_port_is_named_and_nothing_ordered_for_it(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    looks = [word for one in SEEN for word in ("--saw", one)]
    assert main(["identify", *looks, "--measured", "coupling-diameter=6.3", "--tables", str(own)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert told.startswith("Not settled: SMA jack (sma-jack)")
    assert SAID in told
    assert "Order nothing yet." in told
    assert "To order, what fits it" not in told
    assert main(["identify", *looks, "--json", "--tables", str(own)]) == 0
    assert json.loads(capsys.readouterr().out)["state"] == "not settled"


def test_a_row_of_a_site_walk_gets_no_order(own: Path, tmp_path: Path) -> None:
    (tmp_path / "walk.csv").write_text(
        "coupling,centre,coupling-diameter\nthread-outside,socket,6.3\nlugs,socket,9.6\n", encoding="utf-8"
    )
    assert main(["identify", "--batch", str(tmp_path / "walk.csv"), "-o", str(tmp_path / "ports.csv"),
                 "--tables", str(own)]) == 0  # fmt: skip
    sma, bnc = csv.DictReader((tmp_path / "ports.csv").read_text(encoding="utf-8-sig").splitlines())
    assert (sma["port"], sma["named"], sma["order"]) == ("sma-jack", "not settled", "")
    assert SAID in sma["look next"]
    assert SAID not in bnc["look next"]


def test_a_cable_is_told_of_before_anything_is_ordered(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["cable", "sma-jack", "n-50-jack", "--length", "3m", "--want-dbm", "24", "--tables", str(own)]
    assert main(asked) == 3
    told = " ".join(capsys.readouterr().out.split())
    assert told.startswith("By the numbers of your own that are in use the SMA jack and the SMA plug,")
    assert "To order" not in told
    assert main([*asked, "--json"]) == 3
    assert SAID in " ".join(json.loads(capsys.readouterr().out)["look_again"])


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_the_paper_of_a_plan_tells_it(kind: str, own: Path, tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text(
        '[site]\nregion = "us"\nwant = "24dBm"\n[[reader]]\nid = "R1"\nport = "sma-jack"\n'
        '[[antenna]]\nid = "left"\nreader = "R1"\nport = "n-50-jack"\nlength = "3m"\ngain = "8dBic"\n',
        encoding="utf-8",
    )
    paper = tmp_path / f"plan.{kind}"
    assert main(["plan", str(tmp_path / "site.toml"), "-o", str(paper), "--tables", str(own)]) == 3
    if kind == "html":
        text = paper.read_text(encoding="utf-8")
    else:
        from pypdf import PdfReader

        text = " ".join(page.extract_text() for page in PdfReader(paper).pages)
    assert SAID in " ".join(text.split())


def test_the_page_is_told_which_ports(own: Path) -> None:
    from datetime import date

    from coaxtell.pocket import data

    found = data.first(Wanted(tables.load(own), date(2026, 11, 30)), [])["untrue"]
    assert set(found) == {"sma-plug", "sma-jack", "3.5-jack", "2.92-jack"}
