"""A certificate: what a person showed, by which test, with which error rates, until when; as data that is signed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import lead, operating, overview, terms
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Event, in_order
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.words import say


class Statement(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a certificate says. Times are UTC, in ISO 8601."""

    person: str
    site: str
    ports: dict[str, int]
    tables: str
    assessment: str
    """Id of the try in the record."""
    passed: str
    until: str
    tries: int
    items: int
    facts: list[str]
    left_out: list[str]
    unsettled: list[str]
    """Pairs of these ports that are not asked, since it is not known whether they damage a contact."""
    strata: list[str]
    rates: list[str]
    """How often the test errs, a sentence each."""
    signed_off: list[str]
    not_signed_off: list[str]
    program: str
    extends: str = ""
    """When the whole assessment was passed that a re-check extends; empty where it is the whole assessment that holds.
    Left out of what is signed where it is empty, so that older certificates keep their signatures."""
    twins: list[str] = []
    """Harmless pairs that were asked until they sat, as the harmful ones; left out of what is signed where there are
    none."""
    remarks: list[str] = []
    """How the tries of the last 90 days were taken, where there is something to know, a sentence each; left out of what
    is signed where there is nothing."""


class Certificate(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A statement with the lead's name, public key and signature (Ed25519, RFC 8032), both in hexadecimal."""

    statement: Statement
    lead: str
    key: str
    signature: str

    @property
    def text(self) -> bytes:
        """What is signed."""
        return signed_text(self.statement, self.lead)


def signed_text(statement: Statement, by: str) -> bytes:
    """The bytes that a lead signs: the same for the same statement and name."""
    return msgspec.json.encode([by, statement], order="sorted")


def statement(person: str, events: Sequence[Event], plan: Blueprint, now: datetime, program: str) -> Statement:
    """What can be certified of a person on these ports now.

    Where a re-check extends a whole assessment, it is the re-check that is told of. Raises InputError where the person
    is not ready for them.
    """
    state = overview.person(person, events, now)
    ready = lead.ready_for(state, plan, now)
    if ready is None or ready.until is None or ready.start.terms is None:
        raise RefusedError("quiz.not_ready", person=person)
    whole = [
        one.ended
        for one in state.tries
        if one.verdict is Decision.READY
        and not one.recheck
        and one.start.ports == ready.start.ports
        and one.ended < ready.ended
    ]
    done = lead.signed_off(events, plan)
    lines = lead.checklist(plan)
    return Statement(
        person=in_order(events)[0].person,  # the name first kept, however it was typed since
        site=ready.start.site,
        ports=plan.ports,
        tables=ready.start.terms.tables,
        assessment=ready.start.id,
        passed=ready.ended.isoformat(),
        until=ready.until.isoformat(),
        tries=ready.start.terms.number,
        items=ready.items,
        facts=ready.start.terms.facts,
        twins=[] if ready.recheck else ready.start.terms.twins,
        left_out=ready.start.terms.left_out,
        unsettled=list(plan.unsettled),
        strata=[] if ready.recheck else ready.start.terms.strata,
        rates=[
            *terms.errs(ready.start.terms),
            say(Reason("certificate.rules", {"rules": operating.table().rules})),
        ],
        signed_off=[
            f"{line.words} ({done[line.id].by}, {done[line.id].time:%Y-%m-%d})" for line in lines if line.id in done
        ],
        not_signed_off=[line.words for line in lines if line.id not in done],
        program=program,
        extends=max(whole).isoformat() if ready.recheck and whole else "",
        remarks=list(lead.how_taken(state, now)),
    )


def read(text: bytes, name: str) -> Certificate:
    """A certificate from its file; raises InputError where it is none."""
    try:
        found = msgspec.json.decode(text, type=Certificate)
        _time(found.statement.until)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError, ValueError):
        raise RefusedError("quiz.no_certificate", name=name) from None
    return found


def over(said: Statement, now: datetime) -> bool:
    """True where the day has passed until which the person is ready by it."""
    return _time(said.until) <= now


def _time(text: str) -> datetime:
    found = datetime.fromisoformat(text)
    return found if found.tzinfo is not None else found.replace(tzinfo=UTC)
