"""The parts of the manual that are made from the program: commands with their options, families, keys of the window.

Run: python -m tests.manual
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from coaxtell.cli.main import COMMANDS, parser
from coaxtell.models import tables

DOCS = Path(__file__).parent.parent / "docs"
OPENING = """# Commands

All of them, with all options; made from the program by `python -m tests.manual`, and a test sees to it. `coaxtell`
alone opens the window, or asks in the terminal where there is no screen. Bad input ends in one sentence and status 2.
"""


def commands() -> str:
    """The page of all commands."""
    lines = [OPENING]
    for name in COMMANDS:
        (below,) = (one for one in parser((name,))._actions if isinstance(one, argparse._SubParsersAction))
        said = {one.dest: one.help for one in below._choices_actions}
        lines += [f"## coaxtell {name}", "", *_of(below.choices[name], said[name] or ""), ""]
    return "\n".join(lines).rstrip() + "\n"


def _of(command: argparse.ArgumentParser, said: str) -> Iterator[str]:
    yield f"{said[:1].upper()}{said[1:]}."
    own = [one for one in command._actions if one.dest not in ("help", "tables")]
    rows = [one for one in own if not isinstance(one, argparse._SubParsersAction)]
    if rows:
        yield from ("", "| | |", "|---|---|")
    for one in rows:
        words = " ".join((one.help or "").split()) % {"default": one.default, "prog": "coaxtell"}
        yield f"| `{_written(one)}` | {words.replace('|', '/')} |"
    for one in own:
        if isinstance(one, argparse._SubParsersAction):
            tasks = {task.dest: task.help or "" for task in one._choices_actions}
            for name, task in one.choices.items():
                yield from ("", f"`{task.prog.split(' ', 1)[1]}`: {tasks[name]}")
                yield from list(_of(task, ""))[1:]


def _written(one: argparse.Action) -> str:
    if not one.option_strings:
        name = one.metavar if isinstance(one.metavar, str) else one.dest
        return name if one.nargs not in ("?", "*") else f"[{name}]"
    value = "" if one.nargs == 0 else f" {one.metavar or '{' + ','.join(map(str, one.choices or ())) + '}'}"
    return f"{', '.join(one.option_strings)}{value}".replace("|", "/")


def families() -> str:
    """The families with the ids of their halves."""
    rows: dict[str, list[str]] = {}
    for half_id, half in tables.load().halves.items():
        rows.setdefault(half.family.removesuffix(f" {half.key.code}") if half.key else half.family, []).append(half_id)
    lines = [f"| {name} | {_ids(ids)} |" for name, ids in rows.items()]
    return "\n".join(["| family | halves |", "|---|---|", *lines])


def _ids(ids: list[str]) -> str:
    if len(ids) > 8:
        return f"`{ids[0]}` to `{ids[-1]}`, {len(ids)} halves by code"
    return ", ".join(f"`{one}`" for one in ids)


def keys() -> str:
    """The keys of every job of the window."""
    from coaxtell.window.jobs import ALL
    from coaxtell.window.kit.menu import EVERYWHERE
    from tests.window.driving import Hand

    lines = [
        "| where | key | does |",
        "|---|---|---|",
        *(f"| everywhere | {key} | {does} |" for key, does in EVERYWHERE),
    ]
    hand = Hand("name")
    for scene in ALL:
        hand.app.go(scene.name)
        own: list[tuple[str, str]] = hand.app.scene.keys()
        lines += [f"| {scene.word} | {key} | {does} |" for key, does in own]
    return "\n".join(lines)


PARTS = {"adding.md": ("families", families), "window.md": ("keys", keys)}


def filled(page: str) -> str:
    """A page with its part as the program has it now."""
    name, made = PARTS[page]
    head, start, rest = (DOCS / page).read_text(encoding="utf-8").partition(f"<!-- {name} -->\n")
    _, end, tail = rest.partition("<!-- end -->")
    if not (start and end):
        raise ValueError(f"{page} has no place for its {name}")
    return head + start + made() + "\n" + end + tail


if __name__ == "__main__":
    (DOCS / "commands.md").write_text(commands(), encoding="utf-8")
    for page in PARTS:
        (DOCS / page).write_text(filled(page), encoding="utf-8")
