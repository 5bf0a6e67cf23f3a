"""A release with one command: refuses what is not ready, builds, installs and tries it elsewhere, and sums it up.

Built is what is committed, by the version of setuptools that `tested-versions.txt` names, which the test extras bring;
so building needs no network. The wheel is then installed into a fresh environment outside the checkout: its
dependencies come from where pip is set to look or, with `--offline`, from the environment that runs this. Nothing is
pushed and no tag is set. Run: python -m tests.release [--offline]; what was made lies in `dist`.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

ROOT = Path(__file__).parent.parent
SUMS = "SHA256SUMS"
BACKEND = "setuptools"
NAMED = "rp-sma-jack"
LOOKS = ["--saw", "coupling=thread-outside", "--saw", "centre=pin", "--measured", "coupling-diameter=6.3"]
JOB = ["identify", *LOOKS, "--json"]
"""A main job, whose first candidate is `NAMED`: a pin within a thread 6.3 mm wide."""
GOOD = """
from coaxtell import Belief, InputError, cable_run, half, load, mate, solid

tables = load()
verdict: str = mate(half("sma-plug", tables), half("sma-jack")).verdict.value
named: str = Belief(tables).saw("coupling", "thread-outside").identification().name
volume: float = sum(part.volume_mm3 for part in solid(half("sma-plug")))
best = cable_run(half("rp-tnc-jack"), half("n-50-jack"), 12.0, "us", gain="8.5dBic").best
try:
    half("no-such-half")
except InputError:
    print(verdict, named, volume > 0, best is not None)
"""
"""A program of somebody else's, which strict types pass and which says `SAID`."""
SAID = "mates "


class NotReadyError(Exception):
    """What keeps a release from being made, a sentence."""


def version_of(root: Path) -> str:
    """The version that the project file names."""
    found: str = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    return found


def unready(root: Path, today: date) -> Iterator[str]:
    """What is not ready for a release, a sentence each."""
    told = subprocess.run(["git", "status", "--porcelain"], cwd=root, check=True, capture_output=True, text=True)
    if lines := told.stdout.splitlines():
        yield f"{lines[0][3:]} differs from the last commit ({len(lines)} files in all); commit it or put it back."
    named = version_of(root)
    stands = re.search(r'^__version__ = "(.*)"$', (root / "coaxtell/__init__.py").read_text("utf-8"), re.MULTILINE)
    if stands is None or stands[1] != named:
        at = "none" if stands is None else stands[1]
        yield f"pyproject.toml says version {named} and coaxtell/__init__.py {at}; write the same in both."
    yield from _unready_log((root / "CHANGELOG.md").read_text(encoding="utf-8"), named, today)
    pinned = _pinned(root)
    here = _installed(BACKEND)
    if here != pinned:
        yield f"tested-versions.txt names {BACKEND} {pinned} and here is {here}; install that version of it."
    for tool in ("build", "mypy"):
        if _installed(tool) == "none":
            yield f"{tool} is not installed here; install the test extras."


def _unready_log(text: str, named: str, today: date) -> Iterator[str]:
    """What of the change log is not ready."""
    parts = re.split(r"^## (.*)$", text, flags=re.MULTILINE)
    heads = dict(zip(parts[1::2], parts[2::2], strict=True))
    if "Unreleased" not in heads:
        yield "CHANGELOG.md has no heading Unreleased; write an empty one above the releases."
    elif heads["Unreleased"].strip():
        yield f"CHANGELOG.md has lines under Unreleased; move them under ## {named} - {today}."
    days = [head.removeprefix(f"{named} - ") for head in heads if head.startswith(f"{named} - ")]
    if len(days) != 1 or not heads[f"{named} - {days[0]}"].strip():
        yield f"CHANGELOG.md says nothing of {named}; write what changed under ## {named} - {today}."
        return
    try:
        if date.fromisoformat(days[0]) > today:
            yield f"CHANGELOG.md dates {named} {days[0]}, and today is {today}; write the day of the release."
    except ValueError:
        yield f"CHANGELOG.md dates {named} {days[0]!r}, which is no day; write it as {today}."


def _pinned(root: Path) -> str:
    lines = (root / "tested-versions.txt").read_text(encoding="utf-8").splitlines()
    return next((line.split("==")[1] for line in lines if line.startswith(f"{BACKEND}==")), "none")


def _installed(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "none"


def _ran(words: Sequence[str | Path], where: Path, doing: str, **more: str) -> str:
    """What a program says that runs apart from the checkout; raises NotReadyError with its last line where it fails."""
    apart = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COAXTELL"))}
    apart |= more
    done = subprocess.run(words, cwd=where, env=apart, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if done.returncode:
        last = (done.stderr.strip() or done.stdout.strip() or "it said nothing").splitlines()[-1]
        raise NotReadyError(f"{doing} ended with status {done.returncode}: {last}")
    return done.stdout


def built(root: Path, work: Path) -> tuple[Path, Path]:
    """The source archive of what is committed, and the wheel that is made of that archive."""
    packed = work / "committed.tar"
    _ran(["git", "-C", root, "archive", "-o", packed, "HEAD"], work, "Reading what is committed")
    with tarfile.open(packed) as archive:
        archive.extractall(work / "source", filter="data")
    words: list[str | Path] = [
        sys.executable,
        "-m",
        "build",
        "--no-isolation",
        "--outdir",
        work / "made",
        work / "source",
    ]
    when = _ran(["git", "-C", root, "log", "-1", "--format=%ct"], work, "Reading what is committed").strip()
    _ran(words, work, "Building", SOURCE_DATE_EPOCH=when)  # a wheel built again is the same to the byte
    (wheel,), (source,) = (work / "made").glob("*.whl"), (work / "made").glob("*.tar.gz")
    return wheel, source


def installed(wheel: Path, work: Path, offline: bool) -> Path:
    """The Python of a fresh environment that holds the wheel and nothing of the checkout."""
    _ran([sys.executable, "-m", "venv", work / "fresh"], work, "Making a fresh environment")
    bin_ = work / "fresh" / ("Scripts" if sys.platform == "win32" else "bin")
    python = bin_ / ("python.exe" if sys.platform == "win32" else "python")
    ask = "import sysconfig; print(sysconfig.get_paths()['purelib'])"
    site = Path(_ran([python, "-c", ask], work, "Looking into the fresh environment").strip())
    if offline:
        ours = [path for path in sys.path if path.endswith("site-packages")]
        (site / "dependencies.pth").write_text("\n".join(ours) + "\n", encoding="utf-8")
    missing = ["--no-deps", "--no-index"] if offline else []
    _ran([python, "-m", "pip", "install", "-q", *missing, wheel], work, "Installing the wheel")
    ask = "import coaxtell, coaxtell.models as m, coaxtell.quiz as q; print(coaxtell.__file__, m.__file__, q.__file__)"
    for place in _ran([python, "-c", ask], work, "Loading the wheel").split():
        if not Path(place).resolve().is_relative_to(site.resolve()):
            raise NotReadyError(f"The fresh environment loads {place}, which lies outside it.")
    for path in (site / "coaxtell").rglob("*"):
        if path.is_symlink():
            raise NotReadyError(f"The wheel put a link, {path.relative_to(site)}, where a file belongs.")
    return python


def tried(python: Path, named: str, work: Path) -> str:
    """What the installed program says in a main job, once its version, that job and a typed program are right."""
    empty = work / "empty"
    empty.mkdir()
    said = _ran([python, "-m", "coaxtell", "--version"], empty, "coaxtell --version").split()
    if said[-1] != named:
        raise NotReadyError(f"The installed program says version {said[-1]}, and the project file {named}.")
    first = json.loads(_ran([python, "-m", "coaxtell", *JOB], empty, "coaxtell identify"))["candidates"][0]
    if first["id"] != NAMED:
        raise NotReadyError(f"The installed program takes a reverse SMA jack for {first['id']}.")
    (work / "program.py").write_text(GOOD, encoding="utf-8")
    if not _ran([python, "program.py"], work, "A program that calls the library").startswith(SAID):
        raise NotReadyError("A program that calls the library is told that an SMA pair does not mate.")
    typed: list[str | Path] = [sys.executable, "-m", "mypy", "--strict", "--python-executable", python, "program.py"]
    _ran(typed, work, "Strict types over that program")
    return f"{NAMED} {first['probability']:.3f}"


def sums(folder: Path, files: Sequence[Path]) -> str:
    """Check sums of files, a line each, as `sha256sum -c` reads them."""
    text = "".join(f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n" for path in files)
    (folder / SUMS).write_text(text, encoding="utf-8")
    return text


def main(words: Sequence[str] | None = None, root: Path = ROOT) -> int:
    """Make the release in `dist`, all of it or nothing, and say what was done; 1 where it is not ready."""
    parser = argparse.ArgumentParser(prog="python -m tests.release", description=__doc__)
    parser.add_argument("--offline", action="store_true", help="dependencies of the environment that runs this")
    offline: bool = parser.parse_args(words).offline
    found = list(unready(root, datetime.now(UTC).date()))
    for line in found:
        print(line, file=sys.stderr)
    if found:
        return 1
    named = version_of(root)
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        try:
            files = built(root, work)
            print(f"{named} built by {BACKEND} {_pinned(root)}: {', '.join(path.name for path in files)}", flush=True)
            python = installed(files[0], work, offline)
            how = "beside the dependencies here" if offline else "with its dependencies"
            print(f"installed {how} in a fresh environment, no file of it outside, no link", flush=True)
            print(f"identify names the port: {tried(python, named, work)}; a typed program runs and strict types pass")
        except NotReadyError as error:
            print(error, file=sys.stderr)
            return 1
        out = root / "dist"
        out.mkdir(exist_ok=True)
        made = [Path(shutil.copy2(path, out)) for path in files]
        print(sums(out, made), end="")
    print(f"{out.name}: whole. Nothing was pushed.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
