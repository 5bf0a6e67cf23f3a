"""A mutant read from the list, put into a copy of the checkout, and held against the tests of its room."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
import tomllib
from enum import StrEnum
from pathlib import Path
from typing import Any, NamedTuple

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
LIST = HERE / "list.toml"

LEFT_BEHIND = shutil.ignore_patterns(".git", ".venv", ".*_cache", ".hypothesis", "*.egg-info", "build", "dist")
"""What a copy of the checkout does without; what was compiled goes along, and counts for files as old as it alone."""
LONGEST_S = 600
"""A mutant that a test hangs on counts as killed after this long [s]."""


class Mutant(NamedTuple):
    """One change: where it is put, which text stands there and what takes its place, and the tests that must see it."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]
    survives: str
    """Why no test can see it; empty where one must."""


class Fate(StrEnum):
    """What became of a mutant."""

    KILLED = "killed"
    SURVIVED = "survived"
    MISPLACED = "not placed"
    """Its old text does not stand in its file exactly once: the list is behind the program."""


class Trial(NamedTuple):
    """A mutant's fate, the test that saw it, and the time it took [s]."""

    mutant: Mutant
    fate: Fate
    seen_by: str
    seconds: float


def read(path: Path = LIST) -> list[Mutant]:
    """The mutants of a list; raises ValueError on a name that stands twice or a change that changes nothing."""
    table: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    found = [
        Mutant(
            entry["name"], entry["file"], entry["old"], entry["new"], tuple(entry["tests"]), entry.get("survives", "")
        )
        for entry in table["mutant"]
    ]
    names = [mutant.name for mutant in found]
    for mutant in found:
        if names.count(mutant.name) > 1 or mutant.old == mutant.new or not mutant.tests:
            raise ValueError(f"mutant {mutant.name!r} stands twice, changes nothing or names no tests")
    return found


def gone(path: Path = LIST) -> dict[str, str]:
    """Mutants that were tried once and have no place in the program any more, with the reason."""
    table: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    return {entry["name"]: entry["why"] for entry in table.get("gone", [])}


def place(mutant: Mutant, root: Path) -> str | None:
    """The text of the mutant's file with the change put in; none where the old text is not there exactly once."""
    path = root / mutant.file
    if not path.is_file():
        return None
    text = path.read_text(encoding="utf-8")
    return text.replace(mutant.old, mutant.new) if text.count(mutant.old) == 1 else None


def copied(root: Path, folder: Path) -> Path:
    """A copy of the checkout to put mutants into."""
    return Path(shutil.copytree(root, folder / "copy", symlinks=True, ignore=LEFT_BEHIND))


def run_tests(copy: Path, tests: tuple[str, ...]) -> tuple[int, str]:
    """Status of the tests on a copy, ended at the first failure, and the name of the test that failed.

    Raises RuntimeError where the copy's own modules are not those that run.
    """
    env = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "COAXTELL_MUTANT": "1"}
    line = [sys.executable, "-c", "import coaxtell.models; print(coaxtell.models.__file__)"]
    home = subprocess.run(line, cwd=copy, env=env, capture_output=True, text=True, check=True).stdout.strip()
    if not Path(home).is_relative_to(copy):
        raise RuntimeError(f"the tests would run on {home}, not on the copy in {copy}")
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "--no-header",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:randomly",
        *tests,
    ]
    try:
        done = subprocess.run(
            command, cwd=copy, env=env, capture_output=True, text=True, timeout=LONGEST_S, check=False
        )
    except subprocess.TimeoutExpired:
        return 1, "no end"
    failed = [line.split()[1] for line in done.stdout.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    if done.returncode not in (0, 1, 2):
        raise RuntimeError(f"pytest ended with {done.returncode}:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return done.returncode, failed[0] if failed else ""


def try_out(mutant: Mutant, copy: Path) -> Trial:
    """Put a mutant into a copy, run its tests, and take it out again."""
    began = time.monotonic()
    path = copy / mutant.file
    changed = place(mutant, copy)
    tests = tuple(test for test in mutant.tests if (copy / test.partition("::")[0]).exists())
    if changed is None or not tests:
        return Trial(mutant, Fate.MISPLACED, "", 0.0)
    whole = path.read_text(encoding="utf-8")
    path.write_text(changed, encoding="utf-8")
    try:
        status, seen_by = run_tests(copy, tests)
    finally:
        path.write_text(whole, encoding="utf-8")
    return Trial(mutant, Fate.KILLED if status else Fate.SURVIVED, seen_by, time.monotonic() - began)
