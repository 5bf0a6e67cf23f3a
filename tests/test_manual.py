"""The manual: every example runs and says what stands there, every page is in the list, every option in the commands.

A page is read from its top to its end in one folder. A block headed ```toml NAME or ```csv NAME writes that file; in a
block headed ```console each line after `$ coaxtell` runs, and what follows is what it prints (`...` for anything); what
begins with `coaxtell: ` is a refusal.
"""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

import pytest

from coaxtell.cli.main import main
from tests import manual

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
PAGES = sorted(path.name for path in DOCS.glob("*.md"))
BLOCK = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def examples(page: str) -> list[tuple[str, str, str]]:
    """The blocks of a page: their kind, the file that they write, and their text."""
    return BLOCK.findall((DOCS / page).read_text(encoding="utf-8"))


WITH = [page for page in PAGES if any(kind == "console" for kind, _, _ in examples(page))]


@pytest.mark.parametrize("page", WITH)
def test_the_examples_of_a_page_run(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COAXTELL_RECORDS", str(tmp_path / "record.db"))
    checker = doctest.OutputChecker()
    for kind, name, text in examples(page):
        if name:
            (tmp_path / name).write_text(text, encoding="utf-8")
        if kind != "console":
            continue
        for part in re.split(r"^\$ coaxtell ", text, flags=re.MULTILINE)[1:]:
            line, _, due = part.partition("\n")
            status = main(shlex.split(line))
            found = capsys.readouterr()
            told = found.out + found.err
            assert checker.check_output(due.strip() + "\n", told.strip() + "\n", doctest.ELLIPSIS), (line, told)
            assert (status == 2) is due.startswith("coaxtell: "), (line, told)


def test_examples_are_told_apart_from_what_the_program_says() -> None:
    assert doctest.OutputChecker().check_output("a ... c\n", "a b c\n", doctest.ELLIPSIS)
    assert not doctest.OutputChecker().check_output("a ... d\n", "a b c\n", doctest.ELLIPSIS)
    assert len(WITH) >= 6


def test_the_page_of_commands_is_made_from_the_commands() -> None:
    assert (DOCS / "commands.md").read_text(encoding="utf-8") == manual.commands(), "python -m tests.manual"


@pytest.mark.parametrize("page", manual.PARTS)
def test_families_and_keys_are_those_of_the_program(page: str) -> None:
    assert (DOCS / page).read_text(encoding="utf-8") == manual.filled(page), "python -m tests.manual"


def test_every_page_is_in_the_list_and_every_link_leads_somewhere() -> None:
    index = (DOCS / "manual.md").read_text(encoding="utf-8")
    assert {page for page in PAGES if f"({page})" not in index} == {"manual.md"}
    for page in PAGES:
        text = (DOCS / page).read_text(encoding="utf-8")
        for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", text):
            assert (DOCS / link).exists(), (page, link)
