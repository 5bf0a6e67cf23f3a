"""Five real tasks of the README, each done from start to end by the commands of a fresh clone that is installed.

The clone is of the last commit: what is changed and not committed is not in it. Without git these tests are left out,
and the last lines say so. The new environment is offered the libraries of the one that runs the tests, nothing is
fetched.
"""

from __future__ import annotations

import csv
import io
import os
import shlex
import subprocess
import sys
import sysconfig
import tomllib
from pathlib import Path
from typing import NamedTuple

import pypdf
import pytest

ROOT = Path(__file__).parent.parent
pytestmark = pytest.mark.needs("a git repository")


class Clone(NamedTuple):
    """A clone, and the program that was installed from it."""

    folder: Path
    program: Path
    readme: str


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Clone:
    """The last commit, cloned and installed as the README's first line does, without the dependencies."""
    place = tmp_path_factory.mktemp("clone") / "coaxtell"

    def run(*words: str | Path) -> None:
        done = subprocess.run([*map(str, words)], cwd=place.parent, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr

    run("git", "clone", "-q", ROOT, place)
    environment = place / ".venv"
    run(sys.executable, "-m", "venv", "--without-pip", environment)
    scripts = environment / ("Scripts" if sys.platform == "win32" else "bin")
    python = scripts / ("python.exe" if sys.platform == "win32" else "python")
    own = Path(sysconfig.get_path("purelib", vars={"base": str(environment), "platbase": str(environment)}))
    libraries = [path for path in sys.path if Path(path).name in ("site-packages", "dist-packages")]
    (own / "libraries.pth").write_text("\n".join(libraries) + "\n", encoding="utf-8")
    run(
        sys.executable, "-m", "pip", "--python", python, "install", "-q", "--no-deps", "--no-build-isolation",
        "--no-index", "-e", place,
    )  # fmt: skip
    program = scripts / ("coaxtell.exe" if sys.platform == "win32" else "coaxtell")
    return Clone(place, program, (place / "README.md").read_text(encoding="utf-8"))


@pytest.fixture
def at(clone: Clone, tmp_path: Path) -> Path:
    """A folder to work in."""
    assert clone.program.is_file()
    return tmp_path


def does(clone: Clone, at: Path, line: str, typed: str = "", status: int = 0) -> str:
    """What a command says, run in a folder by the program of the clone."""
    env = {
        **{name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "COLUMNS")},
        "COAXTELL_HOME": str(at / "home"), "PYTHONDONTWRITEBYTECODE": "", "SDL_VIDEODRIVER": "nothing-of-that-name",
    }  # fmt: skip
    done = subprocess.run(
        [str(clone.program), *shlex.split(line)], cwd=at, env=env, input=typed, capture_output=True, text=True,
        encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout


def test_the_program_is_that_of_the_clone(clone: Clone, at: Path) -> None:
    """Not this checkout's, which the libraries beside it might bring along."""
    lines = (clone.folder / "coaxtell" / "__init__.py").read_text(encoding="utf-8")
    changed = lines.replace('__version__ = "', '__version__ = "clone-')
    assert changed != lines
    (clone.folder / "coaxtell" / "__init__.py").write_text(changed, encoding="utf-8")
    try:
        assert does(clone, at, "--version").startswith("coaxtell clone-")
    finally:
        (clone.folder / "coaxtell" / "__init__.py").write_text(lines, encoding="utf-8")


def named(clone: Clone, part: str) -> None:
    """The README names what is done here."""
    assert part in " ".join(clone.readme.split()), f"the README no longer names {part}"


def test_a_port_is_named_and_its_cable_ordered(clone: Clone, at: Path) -> None:
    named(clone, "coaxtell identify --saw coupling=thread-outside --saw centre=pin --measured coupling-diameter=6.3")
    named(clone, "A saved port that is not settled gets no order words, but the look to take")
    told = does(clone, at, "identify --saw coupling=thread-outside --measured coupling-diameter=6.3 --save port.json")
    assert "Not settled" in told
    cable = "cable port.json n-50-jack --length 12m --gain 8.5dBic --want-dbm 24"
    does(clone, at, cable, status=3)
    # the look that was asked for, and it is settled
    assert "RP-SMA jack" in does(clone, at, "identify --from port.json --saw centre=pin --save port.json")
    assert "To order" in does(clone, at, cable)


def test_a_walk_is_named_at_once_and_two_halves_are_held_together(clone: Clone, at: Path) -> None:
    named(clone, "coaxtell identify --batch walk.csv -o ports.xlsx")
    named(clone, "coaxtell mate sma-plug rp-sma-jack")
    (at / "walk.csv").write_text(
        "mast,coupling,centre,coupling-diameter\n1,thread-outside,pin,6.26\n2,lugs,,\n", "utf-8"
    )
    does(clone, at, "identify --batch walk.csv -o ports.csv")
    rows = list(csv.DictReader(io.StringIO((at / "ports.csv").read_text("utf-8-sig"))))
    assert rows[0]["port"] == "rp-sma-jack"
    assert rows[1]["look next"]
    verdict = does(clone, at, "mate sma-plug rp-sma-jack -o pair.svg")
    assert verdict.startswith("sma-plug with rp-sma-jack: ")
    assert (at / "pair.svg").read_text("utf-8").startswith("<?xml")


def test_a_site_is_planned_and_its_people_made_ready(clone: Clone, at: Path) -> None:
    named(clone, "`coaxtell plan --help` prints a site file to copy")
    help_ = does(clone, at, "plan --help")
    site = help_[help_.index("  [site]\n") : help_.index("What an antenna does not say")]
    assert tomllib.loads(site)["site"]
    (at / "site.toml").write_text(site, "utf-8")
    does(clone, at, "plan site.toml -o gate.html --ports gate-ports.toml")
    assert "Order list" in (at / "gate.html").read_text("utf-8")
    ports = tomllib.loads((at / "gate-ports.toml").read_text("utf-8"))
    assert ports["port"]
    told = does(clone, at, "practise --person Kim --ports gate-ports.toml --items 2 --seed 4", typed="a 60\n\na 60\n")
    assert "2 items" in told
    assert "Kim" in does(clone, at, "progress --team")
    does(clone, at, "records verify")


def test_paper_and_phone_for_up_a_ladder(clone: Clone, at: Path) -> None:
    named(clone, "`coaxtell guide` prints the questions on paper")
    named(clone, "coaxtell lifesize")
    does(clone, at, "guide --family SMA -o guide.pdf")
    does(clone, at, "lifesize --family SMA -o life.pdf")
    sheet = pypdf.PdfReader(at / "life.pdf").pages[0]
    # A4 by ISO 216: 210 x 297 mm, in points of 1/72 inch
    assert [round(float(side) / 72 * 25.4) for side in sheet.mediabox[2:]] == [210, 297]
    assert "SMA" in "".join(page.extract_text() for page in pypdf.PdfReader(at / "guide.pdf").pages)


def test_a_number_is_asked_where_it_comes_from_and_a_half_goes_to_other_programs(clone: Clone, at: Path) -> None:
    named(clone, "coaxtell sources ID")
    named(clone, "`coaxtell export sma-jack -o jack.glb`")
    assert "MIL-STD-348" in does(clone, at, "sources sma-plug")
    does(clone, at, "draw sma-plug -o plug.svg")
    does(clone, at, "export sma-jack -o jack.glb")
    # the magic of a binary glTF file: ISO/IEC 12113, section on GLB
    assert (at / "jack.glb").read_bytes()[:4] == b"glTF"
