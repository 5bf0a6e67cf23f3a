"""Five real tasks of the README, each done from start to end in a fresh copy of the checkout by the commands alone."""

from __future__ import annotations

import csv
import io
import os
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pypdf
import pytest

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
LEFT_BEHIND = shutil.ignore_patterns(
    ".*", "*.egg-info", "build", "dist", "assets", "tests", "benchmarks", "__pycache__"
)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What a clone holds and a command needs; the environment is shared."""
    place = tmp_path_factory.mktemp("clone") / "coaxtell"
    shutil.copytree(ROOT, place, ignore=LEFT_BEHIND, symlinks=True)
    return place


@pytest.fixture
def at(copy: Path, tmp_path: Path) -> Path:
    """A folder to work in."""
    assert (copy / "coaxtell" / "__main__.py").is_file()
    return tmp_path


def does(copy: Path, at: Path, line: str, typed: str = "", status: int = 0) -> str:
    """What a command says, run in a folder by the program of the copy."""
    env = {
        **os.environ, "PYTHONPATH": str(copy), "COAXTELL_HOME": str(at / "home"), "PYTHONDONTWRITEBYTECODE": "",
        "SDL_VIDEODRIVER": "nothing-of-that-name",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "coaxtell", *shlex.split(line)], cwd=at, env=env, input=typed, capture_output=True,
        text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout


def named(part: str) -> None:
    """The README names what is done here."""
    assert part in " ".join(README.split()), f"the README no longer names {part}"


def test_a_port_is_named_and_its_cable_ordered(copy: Path, at: Path) -> None:
    named("coaxtell identify --saw coupling=thread-outside --saw centre=pin --measured coupling-diameter=6.3")
    named("A saved port that is not settled gets no order words, but the look to take")
    told = does(copy, at, "identify --saw coupling=thread-outside --measured coupling-diameter=6.3 --save port.json")
    assert "Not settled" in told
    cable = "cable port.json n-50-jack --length 12m --gain 8.5dBic --want-dbm 24"
    does(copy, at, cable, status=3)
    # the look that was asked for, and it is settled
    assert "RP-SMA jack" in does(copy, at, "identify --from port.json --saw centre=pin --save port.json")
    assert "To order" in does(copy, at, cable)


def test_a_walk_is_named_at_once_and_two_halves_are_held_together(copy: Path, at: Path) -> None:
    named("coaxtell identify --batch walk.csv -o ports.xlsx")
    named("coaxtell mate sma-plug rp-sma-jack")
    (at / "walk.csv").write_text(
        "mast,coupling,centre,coupling-diameter\n1,thread-outside,pin,6.26\n2,lugs,,\n", "utf-8"
    )
    does(copy, at, "identify --batch walk.csv -o ports.csv")
    rows = list(csv.DictReader(io.StringIO((at / "ports.csv").read_text("utf-8-sig"))))
    assert rows[0]["port"] == "rp-sma-jack"
    assert rows[1]["look next"]
    verdict = does(copy, at, "mate sma-plug rp-sma-jack -o pair.svg")
    assert verdict.startswith("sma-plug with rp-sma-jack: ")
    assert (at / "pair.svg").read_text("utf-8").startswith("<?xml")


def test_a_site_is_planned_and_its_people_made_ready(copy: Path, at: Path) -> None:
    named("`coaxtell plan --help` prints a site file to copy")
    help_ = does(copy, at, "plan --help")
    site = help_[help_.index("  [site]\n") : help_.index("What an antenna does not say")]
    assert tomllib.loads(site)["site"]
    (at / "site.toml").write_text(site, "utf-8")
    does(copy, at, "plan site.toml -o gate.html --ports gate-ports.toml")
    assert "Order list" in (at / "gate.html").read_text("utf-8")
    ports = tomllib.loads((at / "gate-ports.toml").read_text("utf-8"))
    assert ports["port"]
    told = does(copy, at, "practise --person Kim --ports gate-ports.toml --items 2 --seed 4", typed="a 60\n\na 60\n")
    assert "2 items" in told
    assert "Kim" in does(copy, at, "progress --team")
    does(copy, at, "records verify")


def test_paper_and_phone_for_up_a_ladder(copy: Path, at: Path) -> None:
    named("`coaxtell guide` prints the questions on paper")
    named("coaxtell lifesize")
    does(copy, at, "guide --family SMA -o guide.pdf")
    does(copy, at, "lifesize --family SMA -o life.pdf")
    sheet = pypdf.PdfReader(at / "life.pdf").pages[0]
    # A4 by ISO 216: 210 x 297 mm, in points of 1/72 inch
    assert [round(float(side) / 72 * 25.4) for side in sheet.mediabox[2:]] == [210, 297]
    assert "SMA" in "".join(page.extract_text() for page in pypdf.PdfReader(at / "guide.pdf").pages)


def test_a_number_is_asked_where_it_comes_from_and_a_half_goes_to_other_programs(copy: Path, at: Path) -> None:
    named("coaxtell sources ID")
    named("`coaxtell export sma-jack -o jack.glb`")
    assert "MIL-STD-348" in does(copy, at, "sources sma-plug")
    does(copy, at, "draw sma-plug -o plug.svg")
    does(copy, at, "export sma-jack -o jack.glb")
    # the magic of a binary glTF file: ISO/IEC 12113, section on GLB
    assert (at / "jack.glb").read_bytes()[:4] == b"glTF"
