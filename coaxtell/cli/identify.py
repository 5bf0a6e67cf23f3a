"""`coaxtell identify`: name a port from what is seen and measured, question by question or all at once."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import msgspec

from coaxtell.cli import files
from coaxtell.identifier import answers, instruments, looks, record
from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.identification import identify
from coaxtell.identifier.looks import Looks
from coaxtell.models import tables
from coaxtell.models.errors import InputError

NAME = "identify"
HELP = "name a port from what you see and measure, and say what mates with it"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument(
        "--saw", action="append", default=[], metavar="FEATURE=VALUE", help="what you see: coupling=thread-outside, ..."
    )
    parser.add_argument(
        "--measured", action="append", default=[], metavar="FEATURE=SIZE",
        help="what you measure: coupling-diameter=6.3, bore=1/4in, threads-per-10mm=36tpi, pin-diameter=none, ...",
    )  # fmt: skip
    parser.add_argument(
        "--with", dest="instrument", default=None, metavar="INSTRUMENT",
        help="calliper (default), ruler, or how far a reading may be off, such as +-0.1",
    )  # fmt: skip
    parser.add_argument(
        "--setting", default=None, metavar="SETTING",
        help="where you met the port: uhf-reader, wifi, cellular, video, bench or any (default)",
    )  # fmt: skip
    parser.add_argument("--from", dest="start", type=Path, metavar="FILE.json", help="go on from a saved one")
    parser.add_argument("--save", type=Path, metavar="FILE.json", help="save the identification and its answers")
    parser.add_argument("--json", action="store_true", help="as JSON, without questions")


def run(args: argparse.Namespace) -> int:
    """Identify from the answers given, or ask in the terminal where none are."""
    known = looks.load()
    state = _given(args, _start(args, known), known)
    loaded = tables.load(args.tables)
    shortlist = Shortlist(list(loaded.halves.values()), state.setting)
    if not (args.saw or args.measured or args.json):
        from coaxtell.cli import identify_dialogue

        state = identify_dialogue.Dialogue(shortlist, state).run()
    found = identify(shortlist, state)
    if found.rests_on:
        unmeasured = loaded.taken_for(found.candidates[0].id)
        found = msgspec.structs.replace(found, cautions=[*found.cautions, *unmeasured])
    data = record.plain(state, found)
    if args.save is not None:
        files.write_text(args.save, json.dumps(data, indent=1, ensure_ascii=False) + "\n")
    if args.json:
        print(json.dumps(data, indent=1, ensure_ascii=False))
        return 0
    from coaxtell.identifier import report

    print("\n".join(report.lines(found) if found.rests_on else report.nothing_known(found)))
    if args.save is not None:
        print(f"Saved: {args.save}")
    return 0


def _start(args: argparse.Namespace, known: Looks) -> State:
    """The state to begin with: a saved one, or none, in the setting and with the instrument asked for."""
    state = State()
    if args.start is not None:
        try:
            data = json.loads(args.start.read_text(encoding="utf-8"))
        except OSError as error:
            raise InputError(f"{args.start}: cannot be read ({error.strerror}); check the file.") from None
        except (ValueError, RecursionError):
            raise InputError(f"{args.start} is no saved identification; write one with --save.") from None
        state = record.state_from(data, str(args.start), known)
    setting = args.setting or state.setting
    known.setting(setting)
    instrument = args.instrument or state.instrument
    instruments.plus_minus(instrument, known)
    return State(setting, instrument, state.answers)


def _given(args: argparse.Namespace, state: State, known: Looks) -> State:
    for text in args.saw:
        name, value = _split(text, "--saw")
        feature = answers.feature_named(name)
        state = state.tell(feature, answers.saw(feature, value, known))
    for text in args.measured:
        name, typed = _split(text, "--measured")
        feature = answers.feature_named(name)
        state = state.tell(feature, answers.measured(feature, typed, state.instrument, known))
    return state


def _split(text: str, option: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        example = "coupling=thread-outside" if option == "--saw" else "coupling-diameter=6.3"
        raise InputError(f"{option} takes FEATURE=VALUE, such as {example}, not {text!r}.")
    return name.strip().lower(), value
