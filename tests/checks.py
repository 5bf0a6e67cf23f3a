"""The checks against something outside the project, gathered from the tests' own marks into `docs/checks.md`.

A test that holds the program to a standard, a maker's sheet, a table or another library carries
`@pytest.mark.outside(what, source, margin)`; what rests on memory or common practice says so in `source`.

Run: python -m tests.checks
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

TESTS = Path(__file__).parent
PAGE = TESTS.parent / "docs" / "checks.md"
ROOMS = {
    "models": "Shapes, threads and mating", "gauging": "Gauging", "identifier": "Naming a port",
    "cables": "Cables and radio rules", "photo": "Widths from photographs", "solids": "Solids and pictures",
    "exports": "Files and prints", "drawings": "Drawings and sheets", "quiz": "Training and assessment",
    "window": "The window",
}  # fmt: skip
OPENING = """# What is checked against something outside

Gathered from the tests by `python -m tests.checks`; a test sees to it that this page is whole. The margin is how far
the program may be off before the test fails. Checks that only repeat a number of our own tables, or work a sum out
again by hand, are not listed.
"""


class Check(NamedTuple):
    """What is checked, against which source, within which margin, and the test that does it."""

    what: str
    source: str
    margin: str
    test: str


def marked(file: Path) -> Iterator[Check]:
    """The checks of a test file, in its order."""
    for node in ast.parse(file.read_text(encoding="utf-8")).body:
        for mark in node.decorator_list if isinstance(node, ast.FunctionDef) else []:
            if isinstance(mark, ast.Call) and ast.unparse(mark.func) == "pytest.mark.outside":
                what, source, margin = (ast.literal_eval(value) for value in mark.args)
                assert isinstance(node, ast.FunctionDef)
                yield Check(what, source, margin, f"{file.relative_to(TESTS).as_posix()}::{node.name}")


def gathered() -> dict[str, list[Check]]:
    """All checks by room, in the order of ROOMS."""
    return {
        room: [check for file in sorted((TESTS / room).glob("test_*.py")) for check in marked(file)] for room in ROOMS
    }


def page() -> str:
    """The page as it must stand."""
    lines = [OPENING]
    for room, checks in gathered().items():
        if checks:
            lines += [f"## {ROOMS[room]}", "", "| what | against | margin | test |", "|---|---|---|---|"]
            lines += [f"| {check.what} | {check.source} | {check.margin} | `{check.test}` |" for check in checks]
            lines.append("")
    return "\n".join(lines).rstrip() + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"{sum(map(len, gathered().values()))} checks in {PAGE}")
