"""The suite itself: what is left out is counted and skips fail the run, on one core and on two; the list of mutants
is abreast of the program."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.conftest import SKIPPED
from tests.mutants.trial import HERE, ROOT, Fate, Mutant, gone, place, read, try_out

FEW = """
import pytest

@pytest.mark.needs("a-program-that-nobody-has")
@pytest.mark.parametrize("number", range(3))
def test_left_out(number): raise AssertionError

def test_good(): pass

def test_skipped(request):
    if request.config.getoption("--qti-xsd"): pytest.skip("asked for")
"""


@pytest.mark.parametrize("cores", [(), ("-n", "2", "--dist", "loadscope")], ids=["one core", "two cores"])
def test_what_is_left_out_is_counted_and_skips_fail(cores: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "conftest.py").write_text((ROOT / "tests" / "conftest.py").read_text(encoding="utf-8"), "utf-8")
    (tmp_path / "test_few.py").write_text(FEW, encoding="utf-8")
    for more, status in (((), 0), (("--qti-xsd", "x"), SKIPPED)):
        line = [sys.executable, "-m", "pytest", "-q", "--skips-fail", *cores, *more, "test_few.py"]
        done = subprocess.run(line, cwd=tmp_path, capture_output=True, text=True, check=False)
        assert done.returncode == status, done.stdout + done.stderr
        assert "left out: 3 tests that need a-program-that-nobody-has" in done.stdout


@pytest.mark.parametrize("mutant", read(), ids=lambda m: m.name)
def test_every_mutant_can_be_placed(mutant: Mutant) -> None:
    """Where this fails the program has moved on: give the mutant the text that now stands in its file."""
    changed = place(mutant, ROOT)
    assert changed is not None, f"{mutant.file} does not hold this exactly once: {mutant.old}"
    if mutant.file.endswith(".py"):
        compile(changed, mutant.file, "exec")
    assert all((ROOT / test).exists() for test in mutant.tests)


def test_the_table_of_mutants_is_that_of_the_list() -> None:
    """Where this fails: `python -m tests.mutants NAME` for each that is missing."""
    rows = tomllib.loads((HERE / "results.toml").read_text(encoding="utf-8"))
    mutants = read()
    assert set(rows) == {mutant.name for mutant in mutants} | set(gone())
    for mutant in mutants:
        assert rows[mutant.name]["now"] == ("survived" if mutant.survives else "killed"), mutant.name


def test_a_mutant_is_told_from_one_that_lives(tmp_path: Path) -> None:
    (tmp_path / "coaxtell" / "models").mkdir(parents=True)
    for module in ("coaxtell/__init__.py", "coaxtell/models/__init__.py"):
        (tmp_path / module).touch()
    (tmp_path / "coaxtell" / "sums.py").write_text("def plus(a, b):\n    return a + b  # a sum\n", encoding="utf-8")
    (tmp_path / "test_sums.py").write_text(
        "from coaxtell.sums import plus\ndef test_plus(): assert plus(2, 3) == 5\n", encoding="utf-8"
    )

    def fate(old: str, new: str) -> tuple[Fate, str]:
        trial = try_out(Mutant("x", "coaxtell/sums.py", old, new, ("test_sums.py",), ""), tmp_path)
        return trial.fate, trial.seen_by

    assert fate("a + b", "a - b") == (Fate.KILLED, "test_sums.py::test_plus")
    assert fate("a sum", "the sum") == (Fate.SURVIVED, "")
    assert fate("a * b", "a - b") == (Fate.MISPLACED, "")
    assert fate("a", "b") == (Fate.MISPLACED, "")
    assert "a + b  # a sum" in (tmp_path / "coaxtell" / "sums.py").read_text(encoding="utf-8")
