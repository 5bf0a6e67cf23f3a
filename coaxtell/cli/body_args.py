"""`--body` and `--cable` of the commands that show or write a half: the body that stands behind its mating face."""

from __future__ import annotations

import argparse

from coaxtell.cables import tables as cable_tables
from coaxtell.models import body
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.words import said


def add(parser: argparse.ArgumentParser) -> None:
    """Add the two arguments."""
    parser.add_argument(
        "--body",
        metavar="STYLE",
        help=f"body behind the mating face: {', '.join(body.STYLES)} (the table's plain tail)",
    )
    parser.add_argument(
        "--cable", metavar="CLASS", help="cable class for a crimp or clamp body, such as 240 (the family's usual one)"
    )


def dressed(halves: list[Half], args: argparse.Namespace) -> list[Half]:
    """The halves with the body that was asked for; raises InputError for an unknown style or cable class."""
    if args.body is None:
        if args.cable is not None:
            raise InputError("--cable goes with --body cable-crimp or --body clamp; add one of them.")
        return halves
    return [body.styled(half, args.body, cable_diameter(args)) for half in halves]


def cable_diameter(args: argparse.Namespace) -> Measure | None:
    """Diameter of the named cable class over its jacket [mm]; none where none is named.

    Raises InputError where the class is not known or the body style takes no cable.
    """
    if args.cable is None:
        return None
    if args.body not in ("cable-crimp", "clamp"):
        raise InputError(f"--cable goes with --body cable-crimp or --body clamp, not with {args.body}.")
    classes = cable_tables.load(args.tables).classes
    if args.cable not in classes:
        raise InputError(f"Cable class {args.cable!r} is not known; choose one of {', '.join(classes)}.")
    return classes[args.cable].diameter


def told(halves: list[Half]) -> list[str]:
    """What a person must know of the bodies, each sentence once."""
    found: list[str] = []
    for half in halves:
        if half.back is not None:
            found += [state for state in said(half.back.states) if state not in found]
    return found
