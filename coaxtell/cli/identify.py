"""`coaxtell identify`: name a port from what is seen and measured, question by question or all at once."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from coaxtell import files, narrow, saved_port, streams, under_way
from coaxtell.cli import show
from coaxtell.cli.show import View
from coaxtell.identifier import answers, instruments, looks, record, report, words
from coaxtell.identifier.answers import State, Term
from coaxtell.identifier.belief import Shortlist, shortlist_of
from coaxtell.identifier.contrast import FROM_THE_SIDE
from coaxtell.identifier.features import MEASURED, SEEN, Feature
from coaxtell.identifier.identification import Identification, identify, nothing_told, with_unmeasured
from coaxtell.identifier.looks import Looks
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.models.tables import Tables
from coaxtell.under_way import UnderWay

NAME = "identify"
HELP = "name a port from what you see and measure, and say what mates with it"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.set_defaults(set_aside=[])  # what is said of the readings of --tables that do not count
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _looks()
    parser.add_argument(
        "--saw", action="append", default=[], metavar="FEATURE=VALUE", help="what you see: coupling=thread-outside, ..."
    )
    parser.add_argument(
        "--measured", action="append", default=[], metavar="FEATURE=SIZE",
        help="what you measure: coupling-diameter=6.3, bore=1/4in, threads-per-10mm=36tpi, pin-diameter=none, ...",
    )  # fmt: skip
    parser.add_argument(
        "--with", dest="instrument", default=None, metavar="INSTRUMENT",
        help="calliper (default), ruler, none (only your eyes), or how far a reading may be off, such as +-0.1",
    )  # fmt: skip
    parser.add_argument(
        "--setting", default=None, metavar="SETTING",
        help="where you met the port: uhf-reader, wifi, cellular, video, bench or any (default)",
    )  # fmt: skip
    parser.add_argument("--from", dest="start", type=Path, metavar="FILE.json", help="go on from a saved one")
    parser.add_argument("--resume", action="store_true", help="go on with the one that was left unfinished last")
    parser.add_argument("--save", type=Path, metavar="FILE.json", help="save the identification and its answers")
    parser.add_argument(
        "--batch", type=Path, metavar="IN.csv",
        help="a row a port, its columns named by looks and sizes: each is named in the file of -o",
    )  # fmt: skip
    parser.add_argument(
        "-o", dest="output", type=Path, metavar="FILE",
        help="picture the port beside what fits it, at one scale (.png); with --batch the rows (.csv, .html, .xlsx)",
    )  # fmt: skip
    parser.add_argument("--why", action="store_true", help="what it rests on, every look-alike, every caution")
    parser.add_argument(
        "--again",
        action="append",
        default=[],
        metavar="FEATURE=VALUE",
        help="what you saw or measured at a second look",
    )
    parser.add_argument(
        "--no-high-voltage", action="store_true",
        help="it is radio or video equipment without high voltage (a bayonet is not touched before)",
    )  # fmt: skip
    parser.add_argument(
        "--high-voltage", action="store_true", help="nobody knows that: a bayonet may carry kilovolts and is left alone"
    )
    parser.add_argument("--look-only", action="store_true", help="it is energised: ask for nothing that touches it")
    parser.add_argument("--no-reach", action="store_true", help="you cannot get behind it")
    parser.add_argument("--mated", action="store_true", help="its mate is still on it, and may be taken off")
    parser.add_argument("--json", action="store_true", help="as JSON, without questions")


def _looks() -> str:
    """Every look with the values that --saw takes, and every size that --measured takes."""
    known = looks.load()
    lines = ["what --saw takes, and not-sure for each:"]
    lines += [f"  {feature}: {', '.join(answers.values(feature, known))}" for feature in SEEN]
    lines += ["what --measured takes:", f"  {', '.join(MEASURED)}"]
    return wrapped("\n".join(lines), "", "    ")


class Known:
    """The tables and what is thought of a port before anything is seen, each worked out once."""

    def __init__(self, extra: Path | None) -> None:
        self._extra = extra

    @cached_property
    def tables(self) -> Tables:
        """The tables, own ones among them."""
        return tables.load(self._extra)

    def shortlist(self, setting: str) -> Shortlist:
        """All halves in a setting."""
        return shortlist_of(self.tables.halves, setting)


def run(args: argparse.Namespace) -> int:
    """Identify from the answers given, or ask in the terminal where none are."""
    return told(args, Known(args.tables))


def told(args: argparse.Namespace, held: Known, ahead: str = "") -> int:
    """As `run`, with tables that are at hand already; `ahead` is told first, once all is saved."""
    if args.batch is not None:
        from coaxtell.cli import identify_batch

        identify_batch.check(args)
    else:
        _files_can_be_written(args)
    resumed = _resumed(args)
    try:
        return _named(args, held, resumed, ahead)
    finally:
        if resumed is not None:
            resumed.leave()


def _named(args: argparse.Namespace, held: Known, resumed: UnderWay | None, ahead: str) -> int:
    known = looks.load()
    saved = None if args.start is None else saved_port.loaded(args.start)
    state, beside = _given(args, _start(args, known, resumed, saved), known)
    loaded, shortlist = held.tables, held.shortlist(state.setting)
    if args.batch is not None:
        from coaxtell.cli import identify_batch

        return identify_batch.run(args, loaded, state)
    changed = "" if saved is None else _changed(saved, args.start, held)
    first = [] if resumed is None else [_which(resumed, state)]
    if not (args.saw or args.measured or args.again or args.json):
        _tell(args, changed, first)
        state, changed, first = _asked(shortlist, state, resumed), "", []
    found = with_unmeasured(identify(shortlist, state), loaded)
    data = record.plain(state, found, tables.version(loaded)) | {"set_aside": args.set_aside}
    text = json.dumps(data, indent=1, ensure_ascii=False)
    # what is asked for in files is there before anything is told: who reads may go away
    written = []
    if args.save is not None:
        files.write_text(args.save, text + "\n")
        written.append(f"Saved: {args.save}")
    if args.output is not None:
        written += _picture(args, shortlist, found)
    _tell(args, changed, [*filter(None, [ahead]), *first, *beside])
    if args.json:
        print(text)
    else:
        unnamed = nothing_told(found)
        lines = report.nothing_known(found) if unnamed else report.lines(found)
        for told in words.on_it(found):
            print(wrapped(told, ""))
        print("\n".join([*lines, *(report.why(found) if args.why and not unnamed else [])]))
        if args.output is None and not unnamed:
            hint = "" if args.why else "All the reasons: --why. "
            view = _view(found)
            from_there = "" if view == "three-quarter" else f" --view {view}"
            narrow.copied(f"{hint}For a picture:", f"coaxtell show {' '.join(_shown(found))}{from_there}")
        for sentence in written:
            print(sentence)
    return 0


def _tell(args: argparse.Namespace, changed: str, first: list[str]) -> None:
    """What comes before the port's name; as JSON that alone stands in standard output."""
    if changed:
        streams.told(changed)
    tell = streams.beside if args.json else print
    for text in first:
        tell(text)


def _which(resumed: UnderWay, state: State) -> str:
    """Which identification is gone on with: when it was begun, and what was answered there."""
    said = "; ".join(words.said(feature, answer) for feature, answer in state.counted.items())
    other = "A newer one is being asked in another terminal. " if resumed.newer else ""
    begun = f"{resumed.begun_at():%Y-%m-%d %H:%M}"
    return wrapped(f"{other}This goes on with the one begun on {begun}, with {said or 'nothing answered yet'}.")


def _changed(data: dict[str, Any], path: Path, held: Known) -> str:
    """What working a saved identification out anew changes, where it was saved under other tables."""
    if data.get("tables") in (None, tables.version(held.tables)):
        return ""
    now = saved_port.anew(data, path, held.shortlist(data["setting"]), held.tables)
    return saved_port.changed(data, now, path, held.tables)


def _resumed(args: argparse.Namespace) -> UnderWay | None:
    """The identification to go on with, where that is asked for."""
    if args.resume and args.start is not None:
        raise InputError("--resume and --from both say where to go on; give one of them.")
    return UnderWay.newest() if args.resume else None


def _asked(shortlist: Shortlist, state: State, resumed: UnderWay | None) -> State:
    """What is known after the questions; each answer is kept as it is given, until they are ended."""
    from coaxtell.cli import identify_dialogue

    if resumed is None and under_way.left() and sys.stdin.isatty():
        print("One was left unfinished: `coaxtell identify --resume` goes on with it. This is a new one.")
    own = UnderWay.begun(datetime.now(UTC)) if resumed is None else resumed
    dialogue = identify_dialogue.Dialogue(shortlist, state, own.keep)
    try:
        state = dialogue.run()
        if dialogue.ended:
            own.end()
    finally:
        own.leave()
    if not dialogue.ended and (dialogue.kept or resumed is not None):
        print(f"{identify_dialogue.GOES_ON}\n")
    return state


def _files_can_be_written(args: argparse.Namespace) -> None:
    """Refuse a file that cannot be written before anything is asked, so that no answer is lost by it."""
    files.kind(args.output, "a picture is a .png file", ".png")
    for path in (args.save, args.output):
        if path is not None:
            files.check(path)


def _shown(found: Identification) -> list[str]:
    """What a picture of the port holds: itself, and the best of what mates with it, or its rival if not settled."""
    if not found.settled and found.rival is not None:
        return [found.candidates[0].id, found.rival.id]
    return [found.candidates[0].id, *found.mates_with[:1]]


def _view(found: Identification) -> View:
    """From where the sign is seen that decides between the port and what it is likeliest taken for."""
    alike = found.rival or (found.beware[0] if found.beware else None)
    if alike is None or not alike.look:
        return "three-quarter"
    feature = Feature(alike.look)
    if feature is Feature.PLASTIC:
        return "three-quarter"
    return "side" if feature in FROM_THE_SIDE else "face"


def _picture(args: argparse.Namespace, shortlist: Shortlist, found: Identification) -> list[str]:
    """Write the picture; returns what is to be said of it."""
    shown = _shown(found)
    halves = [shortlist.halves[shortlist.index(half_id)] for half_id in shown]
    drawn = show.write(halves, args.output, _view(found))
    beside = " and what fits it, " if found.settled or found.rival is None else " and what it may be instead, "
    return [*filter(None, [drawn]), f"Picture: {args.output} shows {beside.join(shown)}"]


def _start(args: argparse.Namespace, known: Looks, resumed: UnderWay | None, saved: Any) -> State:
    """The state to begin with: a saved or resumed one, or none, in the setting and with the instrument asked for."""
    state = State()
    if resumed is not None:
        try:
            state = record.state_from(saved_port.loaded(resumed.path), str(resumed.path), known)
        except InputError:
            raise InputError(
                f"{resumed.path} is damaged and cannot be gone on with; mend it or take it away, then --resume finds "
                f"the one before it."
            ) from None
    elif args.start is not None:
        state = record.state_from(saved, str(args.start), known)
    setting = args.setting or state.setting
    known.setting(setting)
    instrument = args.instrument or state.instrument
    instruments.plus_minus(instrument, known)
    options = {
        Term.LOOK_ONLY: args.look_only, Term.NO_REACH: args.no_reach,
        Term.MATED: args.mated,
        Term.NO_HIGH_VOLTAGE: args.no_high_voltage, Term.HIGH_VOLTAGE: args.high_voltage,
    }  # fmt: skip
    if args.high_voltage and args.no_high_voltage:
        raise InputError("--high-voltage and --no-high-voltage say the opposite of each other; give one of them.")
    terms = state.terms | {term for term, given in options.items() if given}
    return State(setting, instrument, state.answers, state.again, terms)


def _given(args: argparse.Namespace, state: State, known: Looks) -> tuple[State, list[str]]:
    """The state with what was given, and what becomes of other readings beside those by photograph, in sentences."""
    beside: list[str] = []
    for text in args.saw:
        name, value = _split(text, "--saw")
        feature = answers.feature_named(name)
        state = state.tell(feature, answers.saw(feature, value, known))
    for text in args.measured:
        name, typed = _split(text, "--measured")
        state = _measured(state, answers.feature_named(name), typed, known, beside)
    for text in args.again:
        name, typed = _split(text, "--again")
        feature = answers.feature_named(name)
        if feature in SEEN:
            state = state.tell(feature, answers.saw(feature, typed, known), again=True)
        else:
            state = _measured(state, feature, typed, known, beside, again=True)
    return state, beside


def _measured(
    state: State, feature: Feature, typed: str, known: Looks, beside: list[str], again: bool = False
) -> State:
    """The state with a size; what becomes of another reading beside one by photograph goes to `beside`."""
    answer = answers.measured(feature, typed, state.instrument, known)
    said = words.other_reading(state, feature, answer, again)
    beside += [wrapped(said, "")] if said else []
    return state.tell(feature, answer, again)


def _split(text: str, option: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        examples = {"--saw": "coupling=thread-outside", "--measured": "coupling-diameter=6.3", "--again": "centre=pin"}
        raise InputError(f"{option} takes FEATURE=VALUE, such as {examples[option]}, not {text!r}.")
    return name.strip().lower(), value
