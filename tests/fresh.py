"""Fresh machines: the program as a stranger's machine has it, a cell for each way it is installed and each lack.

Every cell plays the same tasks and asks for an answer, or one sentence: no traceback, no status of its own making.
What this machine cannot play is said. `python -m tests.fresh` plays all (minutes), `... NAME` some.
The dependencies are those of the Python that runs it; under other Pythons the whole test run goes in CI.
"""

from __future__ import annotations

import argparse
import os
import re
import shlex
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import tempfile
import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from benchmarks.identify_batch import write_clashing
from coaxtell.models.lines import cells
from tests.gate import SITE

ROOT = Path(__file__).parent.parent
TERMINAL = (
    "--version",
    "list",
    "identify --saw coupling=thread-outside --saw centre=pin --measured coupling-diameter=6.3",
    "mate sma-plug rp-sma-jack",
    "cable rp-tnc-jack n-50-jack --length 12m --gain 8.5dBic --want-dbm 24",
    "sources sma-plug",
    "practise --person Kim --items 1 --pictures none --seed 3",
    "progress --person Kim",
    "identify",
)
PAPER = (
    "plan site.toml -o plan.html", "plan site.toml -o plan.xlsx", "lifesize --family F -o life.pdf",
    "show f-plug --size 200x160 -o f.png", "draw f-plug -o f.svg", "export f-plug -o f.stl",
)  # fmt: skip
FILES = (
    *(f"identify --batch walk.csv -o ports.{kind}" for kind in ("csv", "xlsx", "html")), "mate --all -o pairs.csv",
    "identify --saw coupling=lugs -o port.png", "draw f-plug -o f.png", "export f-plug -o f.3mf",
)  # fmt: skip
SOME = (*TERMINAL[:5], PAPER[0], PAPER[3], PAPER[4])


class Cell(NamedTuple):
    """A machine: what is set there, what wraps the command line, and which tasks it plays."""

    tasks: tuple[str, ...] = SOME
    env: Mapping[str, str | None] = {}
    """Variables; none takes one away."""
    shell: str = "{}"
    """The shell line round the command."""
    where: Callable[[Path], Path] | None = None
    """Makes the folder that Python finds the program in; the checkout without."""
    statuses: tuple[int, ...] = (0, 1, 2, 3)
    columns: int = 0
    """Letters that no line may be longer than but by a single word; 0 where the terminal is as wide as any."""
    needs: str = ""
    """A shell line that fails where the cell cannot be played."""


def _wheel(work: Path) -> Path:
    return _unpacked(_copy(work, links=True), work)


def _no_links(work: Path) -> Path:
    return _unpacked(_copy(work, links=False), work)


def _source_archive(work: Path) -> Path:
    source = _copy(work, links=True)
    build = "import setuptools.build_meta as b; b.build_sdist('made')"
    subprocess.run([sys.executable, "-c", build], cwd=source, check=True, capture_output=True)
    (archive,) = (source / "made").glob("*.tar.gz")
    with tarfile.open(archive) as packed:
        packed.extractall(work / "unpacked", filter="data")
    (inside,) = (work / "unpacked").iterdir()
    return _unpacked(inside, work)


def _copy(work: Path, links: bool) -> Path:
    """The checkout as it is cloned; without links, as a system without them clones it."""
    names = ("tests", "assets", "benchmarks", "build", "__pycache__", "*.egg-info", ".*")
    source = work / "source"
    shutil.copytree(ROOT, source, ignore=shutil.ignore_patterns(*names), symlinks=True)
    if not links:
        for path in (source / "coaxtell").iterdir():
            if path.is_symlink():
                target = os.readlink(path)
                path.unlink()
                path.write_text(target, encoding="utf-8")
    return source


def _unpacked(source: Path, work: Path) -> Path:
    """The wheel of a source folder, unpacked as pip does."""
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(work), "."],
        cwd=source, check=True, capture_output=True,
    )  # fmt: skip
    (wheel,) = work.glob("coaxtell-*.whl")
    zipfile.ZipFile(wheel).extractall(work / "site")
    return work / "site"


def _broken_graphics(work: Path) -> Path:
    """The checkout behind a graphics library that ends whoever loads it, as without OpenGL."""
    for name in ("vtkmodules/__init__.py", "pyvista.py"):
        (work / "broken" / name).parent.mkdir(parents=True, exist_ok=True)
        (work / "broken" / name).write_text("import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n", "utf-8")
    return work / "broken"


NO_SCREEN = {"DISPLAY": None, "WAYLAND_DISPLAY": None, "SDL_VIDEODRIVER": None}
OWN = {"COAXTELL_HOME": None, "XDG_CACHE_HOME": None, "XDG_CONFIG_HOME": None, "XDG_DATA_HOME": None}
CELLS: dict[str, Cell] = {
    "wheel": Cell((*TERMINAL, *PAPER), where=_wheel),
    "source archive": Cell(where=_source_archive),
    "checkout without links": Cell(where=_no_links),
    "no graphics library": Cell((*TERMINAL[:2], *PAPER), where=_broken_graphics),
    "no screen": Cell((*SOME, "window"), NO_SCREEN),
    "no home": Cell((*TERMINAL, *PAPER), {**OWN, "HOME": "/nowhere/at/all"}),
    "read-only home": Cell((*TERMINAL, *PAPER), {**OWN, "HOME": "/proc/self"}, needs="test -d /proc/self"),
    "full disk": Cell(
        (*PAPER, *FILES),
        shell="unshare -m sh -c 'mount -t tmpfs -o size=16k none full && cd full && cp ../*.toml ../*.csv . && {}'",
        statuses=(2,), needs="unshare -m true",
    ),
    "full output": Cell(TERMINAL[:6], shell="{} >/dev/full", needs="test -c /dev/full"),
    "cp1252": Cell((*TERMINAL, PAPER[0]), {"PYTHONIOENCODING": "cp1252"}),
    "ascii": Cell((*TERMINAL, PAPER[0]), {"LC_ALL": "POSIX", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}),
    "1 GB of memory": Cell(TERMINAL, {"OPENBLAS_NUM_THREADS": "1"}, "ulimit -v 1000000; {}", needs="ulimit -v 1000000"),
    "20 columns": Cell(TERMINAL, {"COLUMNS": "20"}, columns=20),
    "closed input": Cell(TERMINAL, shell="{} <&-"),
    "closed output": Cell(TERMINAL, shell="{} >&-"),
    "all closed": Cell(TERMINAL, shell="{} <&- >&- 2>&-"),
}  # fmt: skip


def played(name: str, cell: Cell) -> Iterator[str]:
    """What is wrong on a machine, a line each; nothing where all is well."""
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        (work / "site.toml").write_text(SITE, encoding="utf-8")
        write_clashing(work / "walk.csv", 100)
        (work / "full").mkdir()
        place = cell.where(work) if cell.where is not None else ROOT
        paths = [str(place), *([str(ROOT)] if place.name == "broken" else [])]
        # an editable install would come first: only the libraries beside it are wanted
        env = {**os.environ, "PYTHONPATH": os.pathsep.join(paths), "COAXTELL_HOME": str(work / "own")}
        for variable, value in cell.env.items():
            env.pop(variable, None)
            if value is not None:
                env[variable] = value
        for task in cell.tasks:
            line = cell.shell.format(f"{shlex.quote(sys.executable)} -m coaxtell {task}")
            done = subprocess.run(["sh", "-c", line], cwd=work, env=env, capture_output=True, stdin=subprocess.DEVNULL)
            said = done.stderr.decode(errors="replace")
            if done.returncode not in cell.statuses:
                yield f"{name}: {task}: status {done.returncode}: {said[-300:]}"
            elif "Traceback" in said or (said.count("\n") > 1 and not cell.columns):
                yield f"{name}: {task}: {said[-500:]}"
            wide = too_wide(done.stdout.decode(errors="replace") + said, cell.columns) if cell.columns else []
            if wide:
                yield f"{name}: {task}: {len(wide)} lines are wider than {cell.columns}: {wide[0]!r}"


def too_wide(text: str, columns: int) -> list[str]:
    """The lines of more cells than a terminal has columns, but for those of a single word or a command to copy."""
    return [
        line
        for line in text.splitlines()
        if cells(line) > columns and not re.fullmatch(r" *(?:coaxtell .*|[^ `]*`[^`]*`[^ `]*|\S+) ?", line)
    ]


def possible(cell: Cell) -> bool:
    """Whether this machine can play a cell."""
    return not cell.needs or subprocess.run(["sh", "-c", cell.needs], capture_output=True, check=False).returncode == 0


def main() -> int:
    """Play the cells and print what came of each; 1 where one fails."""
    parser = argparse.ArgumentParser(prog="python -m tests.fresh", description=__doc__)
    parser.add_argument("names", nargs="*", choices=(*CELLS, []), help="cells to play; without, all")
    names = parser.parse_args().names or list(CELLS)
    print(f"Python {sys.version.split()[0]}, {sysconfig.get_platform()}")
    bad = 0
    for name in names:
        cell = CELLS[name]
        if not possible(cell):
            print(f"{name:<24} not played here: {cell.needs}", flush=True)
            continue
        wrong = list(played(name, cell))
        print(f"{name:<24} {len(cell.tasks)} tasks, {'all well' if not wrong else f'{len(wrong)} wrong'}", flush=True)
        for line in wrong:
            print(f"  {line}", flush=True)
        bad += bool(wrong)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
