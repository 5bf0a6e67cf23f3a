"""Options of the whole test run, and the tests that need a program which Python packages do not bring.

The same counts come out on one core and on several: what a worker left out it tells its controller at its end.
"""

from __future__ import annotations

import gc
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

# both cores have a worker of their own: threads of a library would wait for each other there, and burn time at it
os.environ.update(dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"), "1"))

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")  # a busy machine must not fail a property

SKIPPED = 3
"""Status of a run in which a test was skipped, where --skips-fail asks for it."""

LEFT_OUT = pytest.StashKey[dict[str, int]]()
"""How many tests each missing program left out."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--qti-xsd",
        metavar="DIR",
        default=None,
        help="folder with the 1EdTech schema files of QTI 2.2; the package is then checked against them (needs lxml)",
    )
    parser.addoption("--skips-fail", action="store_true", help="fail the run where any test was skipped")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[LEFT_OUT] = {}
    config.addinivalue_line("markers", "outside(what, source, margin): holds the program to something outside it")
    config.addinivalue_line(
        "markers", "needs(*programs): left out, and counted in the last lines, where one of the programs is missing"
    )


@pytest.fixture(autouse=True, scope="session")
def _own_data(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What commands keep of a person's answers goes into a folder of the tests, not into that of whoever runs them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        yield


@pytest.fixture(autouse=True)
def _no_assessments_of_others() -> Iterator[None]:
    """What the machine has seen of assessments counts for the same name in every record: each test begins with none."""
    yield
    shutil.rmtree(Path(os.environ["XDG_DATA_HOME"]) / "coaxtell" / "assessments", ignore_errors=True)


@cache
def present(program: str) -> bool:
    """Whether a program is on this machine; `npm:NAME` asks for a package that node can load, `py:NAME` for one that
    Python can, `linux` for Linux, `a git repository` for git and a checkout that it can clone."""
    if program == "a git repository":
        return shutil.which("git") is not None and (Path(__file__).parent.parent / ".git").exists()
    if program == "linux":
        return sys.platform.startswith("linux")
    if program.startswith("py:"):
        return find_spec(program.removeprefix("py:")) is not None
    if program.startswith("npm:"):
        return node_path(program.removeprefix("npm:")) is not None
    return shutil.which(program) is not None


@cache
def node_path(package: str) -> str | None:
    """The folder that NODE_PATH must name for node to load `package`; none where it cannot."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return None
    root = subprocess.run([npm, "root", "-g"], capture_output=True, text=True, check=False).stdout.strip()
    found = subprocess.run(
        [node, "-e", f"require({package!r})"], env={**os.environ, "NODE_PATH": root}, capture_output=True, check=False
    )
    return root if found.returncode == 0 else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    kept, out = [], []
    for item in items:
        wanted = [p for mark in item.iter_markers("needs") for p in mark.args]
        missing = [p for p in wanted if not present(p)]
        if missing:
            left = config.stash[LEFT_OUT]
            left[missing[0]] = left.get(missing[0], 0) + 1
            out.append(item)
        else:
            kept.append(item)
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = kept


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: whoever collects garbage need not look through it again."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """A worker has ended; each of them collects every test, so that their counts are alike and not added."""
    left_out: dict[str, int] = getattr(node, "workeroutput", {}).get("left_out", {})
    node.config.stash[LEFT_OUT].update(left_out)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    for program, count in config.stash[LEFT_OUT].items():
        terminalreporter.write_line(f"left out: {count} tests that need {program}, which is not on this machine")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["left_out"] = session.config.stash[LEFT_OUT]
        return
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    skipped = [] if reporter is None else reporter.stats.get("skipped", [])
    if session.config.getoption("--skips-fail") and skipped and exitstatus == 0:
        session.exitstatus = SKIPPED
