"""`coaxtell list`: every half by id."""

from __future__ import annotations

import argparse
import json

from coaxtell.models import tables
from coaxtell.models.words import contact_words, coupling_words

NAME = "list"
HELP = "list every connector half that the tables hold"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's options."""
    parser.add_argument("--json", action="store_true", help="as a JSON list of the halves with sizes")


def run(args: argparse.Namespace) -> int:
    """Print the halves."""
    loaded = tables.load(args.tables)
    halves = list(loaded.halves.values())
    if args.json:
        rows = [
            {
                "id": h.id,
                "family": h.family,
                "half": h.gender,
                "polarity": h.polarity,
                "impedance_ohm": h.impedance_ohm,
                "name": h.name,
            }
            for h in halves
        ]
        print(json.dumps(rows, indent=1, ensure_ascii=False))
        return 0
    width = max(len(h.id) for h in halves)
    for h in halves:
        ohm = "-" if h.impedance_ohm is None else f"{h.impedance_ohm:g}"
        print(f"{h.id:<{width}}  {h.polarity:<8}  {ohm:>3} ohm  {coupling_words(h)}, {contact_words(h)} in the centre")
    for half_id, known in loaded.unmeasured.items():
        print(f"{half_id:<{width}}  {known.name}: known to exist, not drawn to scale, no verdicts")
    print(f"{len(halves)} halves; `coaxtell sources ID` shows where each number comes from.")
    return 0
