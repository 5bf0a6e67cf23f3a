"""`coaxtell certificate`: what a person showed and until when it holds, signed by the lead."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from coaxtell import __version__, files, kept_items
from coaxtell.cli import record_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.port_list import counted
from coaxtell.quiz import certificate
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import person_name

NAME = "certificate"
HELP = "for the lead: a signed certificate of who is ready for a site's ports (.pdf, with a .json that can be checked)"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument("--ports", type=Path, metavar="FILE", help="the site's port list; else all ports")
    parser.add_argument("--by", metavar="LEAD", help="the lead who signs")
    parser.add_argument("--key", type=Path, metavar="FILE", help="the lead's private key, kept outside the record")
    parser.add_argument("--new-key", type=Path, metavar="FILE", help="make a key and say its public half; nothing else")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="the .pdf to write")


def run(args: argparse.Namespace) -> int:
    """Make a key, or write a certificate.

    Raises InputError where an argument or the record cannot be used.
    """
    from coaxtell import signing

    if args.new_key is not None:
        public = signing.new_key(args.new_key)
        print(f"Private key: {args.new_key}. Keep it to yourself; this is the public one:\n{public}")
        return 0
    if args.output is None or args.by is None or args.key is None:
        raise InputError("A certificate needs --by LEAD, --key FILE and -o FILE.pdf; --new-key FILE makes a key first.")
    output: Path = args.output
    files.kind(output, "a certificate is written as .pdf, with a .json beside it", ".pdf")
    person, by = record_args.person(args), person_name(args.by)
    stock = kept_items.stock(tables.load(args.tables).halves)
    plan = Blueprint(stock, None if args.ports is None else counted(args.ports, stock.halves)[1])
    with record_args.open_record(args, create=False, write=False) as store:
        events = record_args.held(store, person).events
        record_args.warn_of_damage(store)
    said = certificate.statement(person, events, plan, datetime.now(UTC), f"coaxtell {__version__}")
    found = signing.sign(said, by, args.key)
    from coaxtell.quiz_pages import certificate_pdf

    beside = output.with_suffix(".json")
    text = msgspec.json.format(msgspec.json.encode(found), indent=1)
    files.write(beside, lambda aside: files.void(aside.write_bytes(text)))
    files.write(output, lambda aside: certificate_pdf.write(found, aside))
    print(f"Certificate: {output}; signed data: {beside}")
    return 0
