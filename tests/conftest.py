"""Options of the whole test run."""

from __future__ import annotations

import pytest

SKIPPED = 3
"""Status of a run in which a test was skipped, where --skips-fail asks for it."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--qti-xsd",
        metavar="DIR",
        default=None,
        help="folder with the 1EdTech schema files of QTI 2.2; the package is then checked against them (needs lxml)",
    )
    parser.addoption("--skips-fail", action="store_true", help="fail the run where any test was skipped")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    skipped = [] if reporter is None else reporter.stats.get("skipped", [])
    if session.config.getoption("--skips-fail") and skipped and exitstatus == 0:
        session.exitstatus = SKIPPED
