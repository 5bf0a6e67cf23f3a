"""Files that the program writes for the window: each by its own command, in a process beside it.

So a file from the window is the one from the terminal, and a long one keeps nothing waiting.
"""

from __future__ import annotations

import os
import subprocess
import sys
import webbrowser
from pathlib import Path
from typing import Literal, NamedTuple

from coaxtell.models.errors import InputError

Takes = Literal["nothing", "one or two halves", "one to six halves", "a site file", "a sweep", "a record"]
FIELDS: dict[Takes, tuple[str, ...]] = {
    "a site file": ("Site file: type its place, or drop it here",),
    "a sweep": (
        "Class and length such as 240:12m, or a site file",
        "Sweep: the place of an .s1p or .s2p file, or a folder of them",
    ),
}
"""What is typed for a command, in the order of its words."""
OPTIONS: dict[Takes, tuple[str, dict[str, tuple[str, ...]]]] = {
    "a sweep": (
        "At the far end",
        {"second port": (), **{end: ("--far-end", end) for end in ("open", "short", "load")}},
    ),
}
"""What is chosen besides, and the words of the command for each choice; the first is usual."""
PATIENCE_S = 600.0
"""How long a command may take [s]."""

_FOUND = (1, 3)
"""Statuses of a command that wrote its file and found something to look at in it."""


class Errand(NamedTuple):
    """A command that writes a file: its words, what it takes, what kinds of file it writes (the first is usual)."""

    key: str
    words: str
    about: str
    command: tuple[str, ...]
    takes: Takes
    kinds: tuple[str, ...]
    name: str


ERRANDS = (
    Errand("drawing", "Drawing", "dimensioned, of one half, or of two where they stop", ("draw",), "one or two halves",
           ("pdf", "svg", "png"), "drawing"),
    Errand("sheet", "Sheet of a half", "pictures, life size, what to measure, what mates, what to beware of",
           ("sheet",), "one to six halves", ("pdf",), "sheet"),
    Errand("picture", "Picture", "halves at one scale in the light of the bench", ("show",), "one to six halves",
           ("png",), "picture"),
    Errand("life-size", "Life-size sheets", "every port at exactly 1 : 1, in rows of look-alikes", ("lifesize",),
           "nothing", ("pdf",), "life-size"),
    Errand("chart", "Wall chart", "three rules and the everyday look-alikes", ("lifesize", "--chart"), "nothing",
           ("pdf",), "wall-chart"),
    Errand("guide", "Guide on paper", "numbered questions that lead to every half without the program",
           ("guide",), "nothing", ("pdf",), "guide"),
    Errand("pocket", "Pocket page", "one page for a phone, without a network", ("pocket",), "nothing", ("html",),
           "pocket"),
    Errand("plan", "Plan of a site", "an assembly for each antenna, order list, labels", ("plan",), "a site file",
           ("pdf", "html", "xlsx"), "plan"),
    Errand("arrival", "Check of a delivered cable", "length, class, loss and faults from an analyser's sweep",
           ("arrival",), "a sweep", ("pdf", "html"), "arrival"),
    Errand("solid", "File for other programs", "one half, or two as far together as they go", ("export",),
           "one or two halves", ("glb", "stl", "3mf"), "solid"),
    Errand("print", "File for a 3D printer", "a half or a pair at ten times life size, with room between surfaces",
           ("export", "--printable"), "one or two halves", ("3mf", "stl"), "printable"),
    Errand("exam", "Test on paper", "twenty items with an answer key; .zip is a QTI 2.2 package", ("exam",), "nothing",
           ("pdf", "zip"), "test"),
    Errand("progress", "Progress of the team", "what sits, what does not, what is due", ("progress", "--team"),
           "a record", ("html", "pdf", "csv"), "progress"),
    Errand("records", "The record of answers", "as a table, as JSON, or as xAPI statements", ("records", "export"),
           "a record", ("csv", "json", "jsonl"), "record"),
)  # fmt: skip
"""Everything the terminal writes and no other job of the window does."""


def arguments(errand: Errand, given: list[str], target: Path, record: str, tables: Path | None) -> list[str]:
    """The words of the command after the program's name."""
    words = [*errand.command]
    if tables is not None:
        words[1:1] = ["--tables", str(tables)] if errand.command[0] != "records" else []
    if errand.takes == "a record":
        words += ["--records", record]
    if errand.takes == "a sweep" and Path(given[1]).is_dir():
        given = [given[0], "--batch", *given[1:]]
    return [*words, *given, "-o", str(target)]


def done(words: list[str]) -> str:
    """Run the command and return what it says; raises InputError with its own sentence where it fails.

    A command that did its work and found something to look at says so with a status of its own.
    """
    env = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    try:
        run = subprocess.run(
            [sys.executable, "-m", "coaxtell", *words], env=env, capture_output=True, timeout=PATIENCE_S, check=False,
            stdin=subprocess.DEVNULL,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise InputError(f"That took longer than {PATIENCE_S / 60:.0f} minutes and was stopped.") from None
    except OSError as error:
        raise InputError(f"The program cannot be started ({error}).") from None
    told = run.stdout.decode(errors="replace").strip()
    said = [line.removeprefix("coaxtell: ") for line in run.stderr.decode(errors="replace").strip().splitlines()]
    if run.returncode and (run.returncode not in _FOUND or not told):
        raise InputError(said[-1] if said else "It ended without a word.")
    return "\n".join([told, *said] if run.returncode else [told])


def open_file(path: Path) -> None:
    """Open a file by the system's own way; raises InputError where there is none."""
    try:
        if sys.platform == "win32":
            os.startfile(path)
        elif sys.platform == "darwin":
            subprocess.Popen(["open", str(path)])
        elif not webbrowser.open(path.absolute().as_uri()):
            raise OSError("no program opens it")
    except OSError as error:
        raise InputError(f"{path} cannot be opened here ({error}); open it from its folder.") from None


def print_file(path: Path) -> str:
    """Print a file by the system's own way and say so; raises InputError where there is none."""
    if sys.platform == "win32":
        try:
            os.startfile(path, "print")
        except OSError as error:
            raise InputError(f"{path} cannot be printed here ({error}); open it and print it there.") from None
        return f"{path.name} went to the printer."
    try:
        run = subprocess.run(["lp", str(path)], capture_output=True, timeout=20, check=False)
    except (OSError, subprocess.TimeoutExpired):
        raise InputError("No printer service answers here; open the file and print it from there, at 100 %.") from None
    if run.returncode:
        why = run.stderr.decode(errors="replace").strip().splitlines()
        raise InputError(f"It was not printed ({why[-1] if why else 'no reason given'}); open it and print it there.")
    return f"{path.name} went to the printer, at 100 % if its driver scales nothing."
