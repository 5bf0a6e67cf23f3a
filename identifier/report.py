"""An identification in words for the technician, line by line."""

from __future__ import annotations

import textwrap

from coaxtell.identifier.identification import Candidate, Identification, LookAlike, Rest, percent

WIDTH = 79
SHORTLIST = 5
"""Candidates shown at most."""
LIKELY_ENOUGH = 0.005
"""Candidates below this are not shown beside the first."""

AGAINST = 0.005
"""An answer speaks against the named port where this much more would be thought of it without the answer."""


def shown(candidates: list[Candidate]) -> list[Candidate]:
    """The candidates worth showing, best first."""
    return [c for i, c in enumerate(candidates[:SHORTLIST]) if i == 0 or c.probability >= LIKELY_ENOUGH]


def wrapped(text: str, first: str = "  ", rest: str = "    ") -> list[str]:
    """The text in lines that a terminal holds, ids kept whole."""
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def shortlist_lines(found: Identification) -> list[str]:
    """What is still possible, best first, with its probability and a bar."""
    few = shown(found.candidates)
    width = max(len(c.id) for c in few)
    return [f"  {c.id:<{width}}  {percent(c.probability):>9}  {'#' * round(20 * c.probability)}".rstrip() for c in few]


def _alike_lines(alike: LookAlike) -> list[str]:
    lines = wrapped(f"- {alike.name} ({alike.id}), {percent(alike.probability)}", "  ")
    if alike.verdict:
        lines += wrapped(f"joined to {alike.mate} by mistake: {alike.verdict}. {alike.reason}", "      ", "      ")
    lines += wrapped(f"What tells: {alike.tell}", "      ", "      ")
    return lines


def _rest_line(rest: Rest, probability: float) -> str:
    against = "speaks against it; " if rest.without > probability + AGAINST else ""
    return f"  {rest.said}  ({against}without it: {percent(rest.without)})"


def nothing_known(found: Identification) -> list[str]:
    """What to say where no answer was given: only what is met in this setting."""
    return ["Nothing was seen or measured, so no port is named. Met most in this setting:", *shortlist_lines(found)]


def lines(found: Identification) -> list[str]:
    """The whole identification: name, how sure, what it rests on, mates, look-alikes, order words, cautions."""
    first = found.candidates[0]
    out = [f"{found.name} ({first.id}), {found.polarity} polarity: {percent(first.probability)} sure"]
    out += wrapped(f"It is {found.gender}.")
    out += ["", "Still possible"]
    out += shortlist_lines(found)
    out += ["", "It rests on"]
    out += [_rest_line(rest, first.probability) for rest in found.rests_on]
    out += [line for n in found.soft_numbers for line in wrapped(f"number that matters: {n}")]
    if found.contradiction is not None:
        out += ["", "These answers clash"]
        out += wrapped(found.contradiction.sentence)
    out += ["", "It mates with"]
    limited = set(found.with_limits)
    mates = [f"{one} (with limits)" if one in limited else one for one in found.mates_with]
    out += wrapped(", ".join(mates) if mates else "nothing in the tables")
    if found.beware:
        out += ["", "Beware: these look like it"]
        out += [line for alike in found.beware for line in _alike_lines(alike)]
    out += ["", "To order" if found.settled else f"Not settled enough to order by; if it is the {found.name}"]
    out += wrapped(f"what fits it: {found.fit_words or 'nothing in the tables'}")
    out += wrapped(f"the port itself: {found.port_words}")
    out += ["", "Cautions"]
    out += [line for caution in found.cautions for line in wrapped(f"- {caution}")]
    if found.next is not None:
        out += ["", *wrapped(f"Worth another look, {found.next.feature}: {found.next.ask}", "")]
        out += wrapped(found.next.how)
    return out
