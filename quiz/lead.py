"""What a lead needs before a site: who is ready for its ports, who must do what, and what to see done by hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import items, overview, terms, tries, words
from coaxtell.quiz.assessment import UNTIL_DAYS
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Event, Signed, answers
from coaxtell.quiz.overview import PersonState
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.tries import Try


class Line(msgspec.Struct, frozen=True):
    """A line of the checklist: its id in the record, its words, and whether printed parts alone will do."""

    id: str
    words: str
    printed: bool


class Standing(msgspec.Struct, frozen=True):
    """One person before a campaign: ready to its end by which try, and until today by which; what to do next, what is
    confused, what is not signed off, how the tries that count were taken where there is something to know."""

    person: str
    ready: Try | None
    today: Try | None
    to_do: str
    confused: tuple[str, ...]
    unsigned: int
    taken: tuple[str, ...] = ()


def checklist(plan: Blueprint) -> list[Line]:
    """What a person does by hand under a lead's eyes: each port with its end, and each harmful pair, printed.

    Harmful pairs are shown with printed parts of ten times the size, never with real ones.
    """
    lines = []
    for port in plan.ports or dict.fromkeys(half for fact in plan.facts for half in fact.split("|")):
        end = plan.stock.mate_of(port)
        if end is not None:
            values = {"port": plan.stock.half(port).name, "end": plan.stock.half(end).name}
            lines.append(Line(f"join {port}|{end}", words.say(Reason("signoff.join", values)), False))
    for fact in plan.facts:
        one, two = (plan.stock.half(half_id).name for half_id in fact.split("|"))
        lines.append(Line(f"tell {fact}", words.say(Reason("signoff.tell", {"one": one, "two": two})), True))
    return lines


def signed_off(events: Sequence[Event], plan: Blueprint) -> dict[str, Signed]:
    """The lines of this plan's checklist that were ticked for a person, the latest of each."""
    wanted = {line.id for line in checklist(plan)}
    return {event.line: event for event in events if isinstance(event, Signed) and event.line in wanted}


def ready_for(state: PersonState, plan: Blueprint, now: datetime, until: datetime | None = None) -> Try | None:
    """The assessment on these very ports and tables that is passed now and still holds on that day, or now."""
    return tries.holding(
        state.tries, now, until, lambda one: (one.start.ports, one.start.blueprint) == (plan.ports, plan.fingerprint)
    )


def standing(events: Sequence[Event], plan: Blueprint, now: datetime, until: datetime) -> Standing:
    """Where one person stands before a campaign; `events` are theirs alone."""
    state = overview.person(events[0].person, events, now)
    ready, today = ready_for(state, plan, now, until), ready_for(state, plan, now)
    unsigned = len(checklist(plan)) - len(signed_off(events, plan))
    since = until - timedelta(days=UNTIL_DAYS)  # what is passed sooner ends too soon
    last = next((one for one in reversed(state.tries) if one.start.ports == plan.ports), None)
    if ready is not None:
        code = "campaign.sign" if unsigned else "campaign.nothing"
    elif today is not None and (today.until or now) > since and tries.may_recheck(state.tries, today):
        code = "campaign.recheck"
    elif last is not None and last.verdict is Decision.UNDECIDED and last.start.blueprint == plan.fingerprint:
        code = "campaign.finish"
    elif last is not None and last.verdict is Decision.NOT_YET:
        code = "campaign.practise"
    else:
        code = "campaign.assess"
    lost = [] if last is None else last.result.lost
    weak = "; ".join(map(words.pair_words, lost)) or words.say(Reason("campaign.weak"))
    to_do = words.say(Reason(code, {"lost": weak}))
    if ready is None and since > now:
        to_do += " " + words.say(Reason("campaign.since", {"day": f"{since:%Y-%m-%d}"}))
    return Standing(state.name, ready, today, to_do, _confused(events), unsigned, how_taken(state, now))


def how_taken(state: PersonState, now: datetime) -> tuple[str, ...]:
    """How the tries within the window were taken, a sentence each, of those of which there is something to know."""
    return tuple(
        words.say(
            Reason("taken.try", {"try": one.number, "day": f"{one.start.time:%Y-%m-%d}", "remarks": "; ".join(said)})
        )
        for one in state.tries
        for said in [terms.taken(one)]
        if said and one.ended > now - tries.WINDOW
    )


def _confused(events: Sequence[Event], most: int = 3) -> tuple[str, ...]:
    """The pairs that were answered wrong most often among the latest answers."""
    counts: dict[str, int] = {}
    for answer in answers(events)[-100:]:
        if not answer.correct and items.confuses(answer.kind):
            counts[answer.pair] = counts.get(answer.pair, 0) + 1
    return tuple(sorted(counts, key=lambda pair: (-counts[pair], pair))[:most])


def campaign(events: Sequence[Event], plan: Blueprint, now: datetime, until: datetime) -> list[Standing]:
    """Everyone in the record before a campaign that ends on a day, by name."""
    by_person: dict[str, list[Event]] = {}
    for event in events:
        by_person.setdefault(event.person.casefold(), []).append(event)
    return [standing(by_person[name], plan, now, until) for name in sorted(by_person)]
