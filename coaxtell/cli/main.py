"""The command line: finds the command, runs it, and tells bad input in one sentence with status 2."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from itertools import cycle
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from coaxtell import __version__, narrow, streams
from coaxtell.cli import screens
from coaxtell.models import unseen
from coaxtell.models.errors import InputError

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

COMMANDS = (
    "window",
    "identify",
    "photo",
    "list",
    "mate",
    "show",
    "draw",
    "sheet",
    "lifesize",
    "guide",
    "pocket",
    "export",
    "gauge",
    "sources",
    "cable",
    "plan",
    "arrival",
    "practise",
    "practice",
    "assess",
    "progress",
    "records",
    "exam",
    "campaign",
    "signoff",
    "certificate",
    "checkup",
    "demo",
)
"""In the order of the help text; each is a module of this package with NAME, HELP, configure and run."""

LONGEST_NAME = 80
"""Characters of a file name, or of a word that someone typed, that a sentence quotes."""
LONGEST_SENTENCE = 2000
"""Characters of a sentence on what is wrong."""

MODULES = {"list": "list_halves", "practice": "practise"}


class Parser(argparse.ArgumentParser):
    """An argument parser that tells what is wrong in one sentence."""

    example = ""
    """Lines of its help that someone copies: they are never broken."""

    def error(self, message: str) -> NoReturn:
        """Tell what is wrong in one sentence.

        Raises InputError, always: argparse calls it for what it cannot read.
        """
        raise InputError(f"{message[:1].upper()}{message[1:]}; `{self.prog} --help` shows what it takes.")

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        # argparse itself passes over a help that cannot be written
        stream = file or sys.stderr
        before, example, after = message.partition(self.example) if self.example else (message, "", "")
        stream.write(before)
        narrow.unbroken(example, stream)
        stream.write(after)


def parser(commands: Sequence[str] = COMMANDS) -> argparse.ArgumentParser:
    """The whole parser, with the named commands filled in."""
    top = Parser(
        prog="coaxtell",
        description="Tells coaxial ports apart, says what mates and what breaks, and finds the cable to order.",
        epilog="Without a command it opens the window; where there is no screen it asks what you see in the terminal.",
    )
    top.add_argument("--version", action="version", version=f"coaxtell {__version__}")
    subs = top.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    for name in commands:
        module = import_module(f"coaxtell.cli.{MODULES.get(name, name)}")
        sub = subs.add_parser(name, help=module.HELP, description=module.HELP)
        sub.add_argument(
            "--tables", type=Path, metavar="DIR", default=None, help="folder with tables of your own that join in"
        )
        module.configure(sub)
        sub.example = getattr(module, "EXAMPLE", "")
        sub.set_defaults(run=module.run)
    return top


def joined(words: Sequence[str]) -> list[str]:
    """The words with `--temperature -20C` written `--temperature=-20C`, so that the minus is no option."""
    found: list[str] = []
    for word in words:
        if re.match(r"-[.\d]", word) and found and re.fullmatch(r"--[a-z-]+", found[-1]):
            found[-1] += f"={word}"
        else:
            found.append(word)
    return found


def _one_line(sentence: str, typed: Sequence[str] = ()) -> str:
    """The sentence with what a terminal acts on (line ends, escapes) written out and what someone typed or wrote into
    a file cut where it is too long to be read; a command that it advises stays whole, to be copied."""
    parts = [
        part if advised and not any(part in word for word in typed) else _cut(part, typed)
        for advised, part in zip(cycle((False, True)), _ADVISED.split(sentence), strict=False)
    ]
    return unseen.written_out("".join(parts))


def _cut(sentence: str, typed: Sequence[str]) -> str:
    for word in typed:
        name, _, value = word.partition("=")
        for part in (word, name, value):
            if len(part) > LONGEST_NAME:
                for said in (part, part.lower(), repr(part)[1:-1], repr(part.lower())[1:-1]):
                    sentence = sentence.replace(said, _short(part))
    cut = _QUOTED.sub(lambda found: _short(found[0]), sentence)
    whole = _WORD.sub(lambda found: _short(found[0]), cut)
    return whole if len(whole) <= LONGEST_SENTENCE else f"{whole[:LONGEST_SENTENCE].rpartition(' ')[0]} ..."


_ADVISED = re.compile(r"(`coaxtell [^`]+`)")
"""A command of ours in a sentence."""
_WORD = re.compile(rf"\S{{{LONGEST_NAME + 1},}}")
_QUOTED = re.compile(rf"(?<=[\s(=:])(?P<mark>['\"])(?=\S)(?:(?!(?P=mark)).){{{LONGEST_NAME},}}(?P=mark)", re.DOTALL)
"""What stands between quotation marks and is longer than anyone reads."""


def _short(text: str) -> str:
    """A long text by its beginning and its end: of a path the end says most, the file and the entry in it."""
    half = LONGEST_NAME // 2
    return text if len(text) <= LONGEST_NAME else f"{text[: half - 3]}...{text[-half:]}"


def _unusable(error: OSError) -> str:
    return f"{_short(str(error.filename))!r} cannot be used ({error.strerror or error}); choose another file or folder."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status: 0 done, 2 bad input, 130 stopped with Ctrl-C."""
    streams.prepare()
    words = list(sys.argv[1:] if arguments is None else arguments)
    with narrow.held():
        return _answered(words or ["window" if screens.shown() else "identify"])


def _answered(words: list[str]) -> int:
    try:
        return _run(words)
    except InputError as error:
        return _told(str(error), words)
    except ModuleNotFoundError as error:
        if str(error.name).startswith("coaxtell"):
            raise
        return _told(f"The package {error.name!r} is missing; install coaxtell again with all it needs.")
    except KeyboardInterrupt:
        streams.beside("\nStopped.")
        return 130
    except BrokenPipeError:
        # the reader has gone away, as `| head` does: end quietly
        streams.give_up()
        return 0
    except OSError as error:
        if error.filename is None:
            streams.give_up()
            return _told(
                f"What there is to say cannot be written ({error.strerror or error}); make room and try again."
            )
        # what no command foresaw of files and folders: a name too long, a disk that is full
        return _told(_unusable(error))


def _run(words: list[str]) -> int:
    for word in words:
        try:
            os.fsencode(word)
        except UnicodeEncodeError:
            raise InputError(f"{word!r} holds a sign that no text and no file's name can hold; type it anew.") from None
    # only the named command is loaded, so that a quick question is answered quickly
    wanted = (words[0],) if words[0] in COMMANDS else COMMANDS
    try:
        args = parser(wanted).parse_args(joined(words))
    except SystemExit:
        # help has been printed; whether it arrived shows only now
        sys.stdout.flush()
        raise
    if getattr(args, "json", False):
        narrow.whole()
    if args.command != "gauge" and getattr(args, "tables", None) is not None:
        args.set_aside = _tell_changes(args.tables)
    status: int = args.run(args)
    sys.stdout.flush()
    return status


def _tell_changes(folder: Path) -> list[str]:
    """Say which readings of a folder do not count, and what the tables tell otherwise of a measured number than when it
    was measured; `gauge` does so itself. The former are given back for whoever hands an answer on."""
    from coaxtell.models import gauged

    if not (folder / gauged.FILE).is_file():
        return []
    from coaxtell.gauge_bench import changes, contradicted, own_book

    aside = contradicted(folder)
    for sentence in (*changes(folder, own_book(folder)), *aside):
        streams.told(_one_line(sentence))
    return aside


def _told(sentence: str, typed: Sequence[str] = ()) -> int:
    streams.told(_one_line(sentence, typed))
    return 2
