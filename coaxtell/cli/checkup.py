"""`coaxtell checkup`: what of the program works on this machine, what does not, and what to do about it."""

from __future__ import annotations

import argparse
import json
import os
import platform
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from importlib import metadata
from importlib.util import find_spec
from itertools import takewhile
from pathlib import Path
from typing import Any, NamedTuple

from coaxtell import __version__, folders
from coaxtell.cli import screens
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped

NAME = "checkup"
HELP = "see what of coaxtell works on this machine, and what to do about the rest"

FAULTY = 1
"""Status where something does not work."""
WORKS, STANDS_IN, FAILS = "works", "stands in", "does not work"
SIGNS = "±−≥⌀Ω✓▀"
"""Signs that the program writes and not every terminal can."""
NARROW = 40
"""Columns below which lines no longer fit as they are meant."""
LEAST_FREE = 300_000_000
"""Room that pictures, records and papers may take [bytes]."""
AGAIN = "install coaxtell again with all it needs, as its README says"
EXTRAS = {
    "scikit-rf": "`coaxtell arrival` reads no sweeps: install coaxtell[arrival]",
    "psycopg": "the record cannot lie on a PostgreSQL server: install coaxtell[postgres]",
    "onnxruntime": "`coaxtell photo --evaluate --weights` scores no network: install coaxtell[photo]",
}
"""Packages that one job alone needs, and what is missing without them."""
ALIKE = {"pygame": "pygame-ce", "pygame-ce": "pygame"}
"""Packages of which one serves, by the version of Python."""
IMPORTED = {
    "pygame-ce": "pygame", "pillow": "PIL", "opencv-python-headless": "cv2", "fpdf2": "fpdf", "scikit-rf": "skrf",
}  # fmt: skip
"""Under which name a package is imported, where that is not its own."""
OPENGL = (
    "install an OpenGL library (on Debian and Ubuntu the packages libgl1 and libegl1; elsewhere the graphics driver)"
)


class Finding(NamedTuple):
    """One thing looked at: its name, whether it works, what was found, and what to do where it does not."""

    name: str
    state: str
    found: str
    do: str = ""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument(
        "--records",
        metavar="PLACE",
        default=None,
        help=f"the record to look at (else {folders.RECORDS}, else your own)",
    )
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    """Look at each part and print what was found; 1 where something does not work."""
    looked: dict[str, Callable[[], Iterator[Finding]]] = {
        "versions": _versions, "tables": lambda: _tables(args.tables), "screen": _screen, "graphics": _graphics,
        "fonts": _fonts, "terminal": _terminal, "record": lambda: _record(args.records), "disk": _disk,
    }  # fmt: skip
    found: list[Finding] = []
    for name, look in looked.items():
        try:
            found += look()
        except Exception as error:  # a check-up goes on past whatever is broken: that is what it is for
            found.append(Finding(name, FAILS, f"{type(error).__name__}: {error}", AGAIN))
    bad = sum(one.state == FAILS for one in found)
    if args.json:
        data: dict[str, Any] = {"coaxtell": __version__, "works": not bad, "findings": [one._asdict() for one in found]}
        print(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        print("\n".join(_told(found)))
        print(f"\n{'Everything works, or something stands in.' if not bad else f'{bad} of {len(found)} do not work.'}")
    return FAULTY if bad else 0


def _told(found: list[Finding]) -> Iterator[str]:
    wide = max(len(one.name) for one in found)
    for one in found:
        mark = {WORKS: "✓", STANDS_IN: "·", FAILS: "✗"}[one.state]
        beside = "" if one.state == WORKS else f"{one.state}: "
        yield wrapped(f"{mark} {one.name:<{wide}}  {beside}{one.found}", "", " " * 4)
        if one.do:
            yield wrapped(f"    To mend it: {one.do}.", "", " " * 4)


def _versions() -> Iterator[Finding]:
    yield Finding(
        "versions", WORKS,
        f"coaxtell {__version__}, Python {platform.python_version()}, {platform.system()} {platform.machine()}",
    )  # fmt: skip
    installed = _version("coaxtell") is not None
    asked = _asked(installed)
    wrong = list(dict.fromkeys(told for told in map(_lacking, asked) if told))
    if wrong:
        yield Finding("packages", FAILS, "; ".join(wrong), AGAIN)
    elif installed:
        yield Finding("packages", WORKS, f"{len(asked)} of {len(asked)} as they are asked for")
    else:
        yield Finding("packages", STANDS_IN, "coaxtell runs from a folder and is not installed", AGAIN)
    for name, without in EXTRAS.items():
        if not _found(name):
            yield Finding(name, STANDS_IN, "is not installed", f"only if you need it, since {without}")


def _asked(installed: bool) -> list[str]:
    """The packages asked for, as the installation has them or the folder that the program runs from."""
    if installed:
        return [line for line in metadata.requires("coaxtell") or [] if "extra ==" not in line]
    try:
        project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))
    except OSError:
        return []
    return list(project["project"]["dependencies"])


def _found(name: str) -> bool:
    """Whether a package can be imported; it is not."""
    return find_spec(IMPORTED.get(name, name)) is not None


def _version(name: str) -> str | None:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return None


def _lacking(requirement: str) -> str:
    """What is wrong with a package that the program asks for; empty where nothing is."""
    name = "".join(takewhile(lambda c: c.isalnum() or c in "-_.", requirement))
    least = requirement.partition(">=")[2].partition(";")[0].strip()
    here = _version(name)
    # of two that serve, by the version of Python, the other stands under another name
    if not _found(name) or (here is None and _version(ALIKE.get(name, name)) is None):
        return f"{name} is missing"
    old = here is not None and _numbers(here) < _numbers(least)
    return f"{name} {here} is older than {least}" if old else ""


def _numbers(version: str) -> list[int]:
    return [int("".join(takewhile(str.isdigit, part)) or 0) for part in version.split(".") if part]


def _tables(extra: Path | None) -> Iterator[Finding]:
    from coaxtell.models import tables

    try:
        known = tables.load(extra)
    except InputError as error:
        yield Finding("tables", FAILS, str(error), "mend your own table, or leave out --tables")
        return
    yield Finding("tables", WORKS, f"{len(known.halves)} halves")


def _screen() -> Iterator[Finding]:
    if screens.shown():
        yield Finding("screen", WORKS, "the window opens")
    else:
        yield Finding(
            "screen", STANDS_IN, "no screen is found: `coaxtell` asks in the terminal, the window stays shut",
            "sit at the machine itself, or forward its screen (DISPLAY or WAYLAND_DISPLAY)",
        )  # fmt: skip


def _graphics() -> Iterator[Finding]:
    from coaxtell import painter

    with tempfile.TemporaryDirectory() as folder:
        try:
            painter.shared().draw(_drawn, str(Path(folder) / "try.png"))
        except RuntimeError as error:
            do = AGAIN if "No module named" in str(error) else OPENGL
            yield Finding("graphics", STANDS_IN, f"no picture is rendered ({error}), drawings take its place", do)
            return
    yield Finding("graphics", WORKS, "a half was rendered")


def _drawn(path: str) -> None:
    from coaxtell.models import tables
    from coaxtell.models.solids import picture

    picture.picture([tables.load().half("sma-jack")], "face", 160, 160).save(path, "PNG")


def _fonts() -> Iterator[Finding]:
    from coaxtell.models import lettering

    missing = [
        name for name, bold in (("DejaVu Sans", False), ("DejaVu Sans Bold", True)) if not lettering.font_file(bold)
    ]
    if missing:
        yield Finding("fonts", FAILS, f"{' and '.join(missing)} missing: no .pdf", "`pip install --upgrade matplotlib`")
    else:
        yield Finding("fonts", WORKS, "DejaVu Sans for paper and pictures")


def _terminal() -> Iterator[Finding]:
    encoding = sys.stdout.encoding or "ascii"
    lost = "".join(sign for sign in SIGNS if not _writes(encoding, sign))
    if lost:
        yield Finding(
            "encoding", STANDS_IN, f"{encoding} cannot write all signs, plain ones stand in (such as +- and ohm)",
            "set PYTHONUTF8=1, and on Windows `chcp 65001`, or a locale in UTF-8",
        )  # fmt: skip
    else:
        yield Finding("encoding", WORKS, encoding)
    columns = shutil.get_terminal_size().columns
    if columns < NARROW:
        yield Finding("terminal", STANDS_IN, f"{columns} columns: lines break to fit", "make it wider")
    else:
        yield Finding("terminal", WORKS, f"{columns} columns")


def _writes(encoding: str, sign: str) -> bool:
    try:
        sign.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _record(named: str | None) -> Iterator[Finding]:
    from coaxtell import records
    from coaxtell.quiz.words import say

    where = folders.record(named)
    if "://" not in where and not Path(where).is_file():
        place = Path(where).absolute().parent
        if Path(where).exists():
            yield Finding("record", FAILS, f"{where} is no file", f"name a file with --records or {folders.RECORDS}")
        elif _may_write(place):
            yield Finding("record", WORKS, f"none yet; practice begins one in {place}")
        else:
            yield Finding(
                "record", FAILS, f"{place} cannot be written", f"name a place with --records or {folders.RECORDS}"
            )
        return
    try:
        with records.opened(where, create=False, write=False) as store:
            count, faults = store.verify()
            name = store.name
    except InputError as error:
        yield Finding("record", FAILS, str(error), "`coaxtell records verify` says what of it is whole")
        return
    if faults:
        yield Finding(
            "record", FAILS, f"{name}: {len(faults)} faults, the first: {say(faults[0])}",
            "`coaxtell records verify --rescue FILE` writes out what is whole",
        )  # fmt: skip
    elif "://" not in where and not os.access(where, os.W_OK):
        yield Finding("record", FAILS, f"{name} may only be read", "ask who keeps it for the right to write there")
    else:
        yield Finding("record", WORKS, f"{name}: {count} events, no fault")


def _disk() -> Iterator[Finding]:
    kinds = {"config": "settings", "cache": "pictures that are kept", "data": "answers and records"}
    closed: dict[Path, str] = {}
    for kind, what in kinds.items():
        place = folders.folder(kind)  # type: ignore[arg-type]
        if not _may_write(place):
            closed[place] = what
    for place, what in closed.items():
        yield Finding(
            "folders",
            STANDS_IN,
            f"{place} cannot be written: {what} are not kept",
            f"set {folders.HOME} to a folder of yours",
        )
    if not closed:
        yield Finding("folders", WORKS, f"settings, pictures and answers are kept ({folders.folder('data')})")
    for name, place in (
        ("own disk", _standing(folders.folder("data"))),
        ("temporary disk", Path(tempfile.gettempdir())),
    ):
        free = shutil.disk_usage(place).free
        if free < LEAST_FREE:
            yield Finding(name, FAILS, f"{free / 1e6:.0f} MB are free at {place}", "make room, or choose another place")
        else:
            yield Finding(name, WORKS, f"{free / 1e9:.1f} GB free at {place}")


def _standing(place: Path) -> Path:
    """The folder itself, or the nearest above it that there is."""
    return next(one for one in (place, *place.parents) if one.is_dir())


def _may_write(place: Path) -> bool:
    """Whether a folder can be written, or made where it is missing; nothing of it stays."""
    # below a device, a file or a link that leads nowhere no folder can be made
    nearest = next(one for one in (place, *place.parents) if os.path.lexists(one))
    try:
        with tempfile.TemporaryDirectory(dir=nearest) as folder, tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False
