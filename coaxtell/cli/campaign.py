"""`coaxtell campaign`: who must do what before a site's work ends."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime, timedelta
from pathlib import Path

from coaxtell import kept_items
from coaxtell.cli import record_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.port_list import counted
from coaxtell.quiz import lead
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.outlook import Outlook
from coaxtell.quiz.words import pair_words

NAME = "campaign"
HELP = "for the lead: who is ready for a site's ports until a day, and who must do what by then"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ports", type=Path, metavar="PORTS", help="the site's port list")
    parser.add_argument("--until", metavar="DATE", required=True, help="last day of the work, such as 2099-05-31")
    record_args.add_records(parser)


def day(words: str) -> datetime:
    """The end of a day named as 2099-05-31 [UTC]; raises InputError where it is no day."""
    try:
        return datetime.strptime(words, "%Y-%m-%d").replace(tzinfo=UTC) + timedelta(days=1)
    except (ValueError, OverflowError):
        raise InputError(f"--until {words!r} is no day; write it as 2099-05-31.") from None


def run(args: argparse.Namespace) -> int:
    """List everyone in the record; raises InputError where the day is past."""
    until, now = day(args.until), datetime.now(UTC)
    # wherever it still is that day, the work may go on
    if until.date() <= min(now.date(), now.astimezone().date()):
        raise InputError(f"--until {args.until} is past; give the last day of the work, today or later.")
    stock = kept_items.stock(tables.load(args.tables).halves)
    site, ports = counted(args.ports, stock.halves)
    plan = Blueprint(stock, ports)
    plan.assessable()
    with record_args.open_record(args, create=False, write=False) as store:
        events = record_args.held(store).events
        record_args.warn_of_damage(store)
    found = lead.campaign(events, plan, now, until)
    outlook = Outlook(events, plan, now)
    ready = sum(one.ready is not None for one in found)
    print(f"{site or args.ports}, until {args.until}: {ready} of {len(found)} ready.")
    for one in found:
        ends = None if one.today is None else one.today.until
        state = "not ready" if ends is None else f"ready until {ends:%Y-%m-%d}"
        if ends is not None and one.ready is None:
            state += ", which is too soon"
        print(wrapped(f"{one.person}: {state}. By {args.until}: {one.to_do}", "- "))
        if one.confused:
            print(wrapped(f"Wrong most often: {'; '.join(map(pair_words, one.confused))}.", "  "))
        print(wrapped(" ".join(outlook.of(one.person)), "  "))
        for said in one.taken:
            print(wrapped(said, "  "))
        print(wrapped(f"Lines not signed off: {one.unsigned}.", "  "))
    return 0
