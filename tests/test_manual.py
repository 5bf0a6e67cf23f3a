"""The manual: every example runs and says what stands there, every page is in the list, every option in the commands.

A page is read from its top to its end in one folder. A block headed ```toml NAME or ```csv NAME writes that file; in a
block headed ```console each line after `$ coaxtell` runs, and what follows is what it prints (`...` for anything); what
begins with `coaxtell: ` is a refusal.
"""

from __future__ import annotations

import argparse
import doctest
import re
import shlex
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from coaxtell.cli.main import COMMANDS, joined, main, parser
from coaxtell.models.errors import InputError
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
            (tmp_path / name).parent.mkdir(exist_ok=True)
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


def lines(page: str) -> Iterator[str]:
    """Every line that a page names as one to type, in its sentences and set apart; those of its examples run above."""
    text = BLOCK.sub("", (DOCS / page).read_text(encoding="utf-8"))
    for found in re.findall(r"`coaxtell ([^`]+)`", text):
        yield " ".join(found.split())
    for found in re.findall(r"^    coaxtell (.+)$", text, re.MULTILINE):
        yield re.split(r" {2,}", found)[0]  # what stands beside it is no part of it


@cache
def of_command(name: str) -> argparse.ArgumentParser:
    return parser((name,))


def names(command: str) -> set[str]:
    """The options and tasks of a command."""
    found: set[str] = set()
    waiting = [of_command(command)]
    while waiting:
        for action in waiting.pop()._actions:
            found.update(action.option_strings)
            if isinstance(action, argparse._SubParsersAction):
                found.update(action.choices)
                waiting += action.choices.values()
    return found


def taken(line: str) -> bool:
    """Whether the program takes the line; a command with bare options, as sentences name them, stands for itself."""
    words = shlex.split(line)
    if words[0] not in COMMANDS:
        return False
    if "--help" in words:
        return set(words[1:]) <= names(words[0])
    try:
        of_command(words[0]).parse_args(joined(words))
    except InputError:
        return set(words[1:]) <= names(words[0])
    return True


def test_every_line_that_a_page_names_is_one_that_the_program_takes() -> None:
    found = [(page, line) for page in PAGES for line in lines(page)]
    assert len(found) > 80
    assert [(page, line) for page, line in found if not taken(line)] == []


def test_a_line_that_the_program_does_not_take_is_found() -> None:
    assert taken("cable")
    assert taken("records verify")
    assert not taken("mates sma-plug")
    assert not taken("mate sma-plug --wide")
    assert not taken("cable rp-tnc-jack --length")


def test_every_command_is_on_the_page_of_a_job() -> None:
    jobs = [page for page in PAGES if page not in ("commands.md", "window.md")]
    named = {line.split()[0] for page in jobs for line in lines(page)}
    named |= {line.split()[0] for page in jobs for line in re.findall(r"^\$ coaxtell (.+)$", read(page), re.MULTILINE)}
    assert set(COMMANDS) - named == {"practice"}  # another word for practise


def read(page: str) -> str:
    return (DOCS / page).read_text(encoding="utf-8")
