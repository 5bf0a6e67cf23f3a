"""An identification in words for the technician, line by line."""

from __future__ import annotations

from coaxtell.identifier import words
from coaxtell.identifier.identification import Candidate, Identification, LookAlike, Settled
from coaxtell.identifier.words import percent
from coaxtell.models.catalogue import Reason, called
from coaxtell.models.lines import wrapped as broken
from coaxtell.models.mating.outcome import Verdict

SHORTLIST = 4
"""Candidates shown at most."""
ALIKE = 2
"""Look-alikes told at most on the first screen."""
SCREEN = 23
"""Lines of a small terminal, but for the last."""
LIKELY_ENOUGH = 0.005
"""Candidates below this are not shown beside the first."""

AGAINST = 0.005
"""An answer speaks against the named port where this much more would be thought of it without the answer."""


def shown(candidates: list[Candidate]) -> list[Candidate]:
    """The candidates worth showing, best first."""
    return [c for i, c in enumerate(candidates[:SHORTLIST]) if i == 0 or c.probability >= LIKELY_ENOUGH]


def wrapped(text: str, first: str = "  ", rest: str = "    ") -> list[str]:
    """The text in lines that a terminal holds, ids kept whole."""
    return broken(text, first, rest).split("\n")


def shortlist_lines(found: Identification) -> list[str]:
    """What is still possible, best first, with its probability and a bar."""
    few = shown(found.candidates)
    width = max(len(c.id) for c in few)
    return [f"  {c.id:<{width}}  {percent(c.probability):>9}  {'#' * round(20 * c.probability)}".rstrip() for c in few]


def _say(code: str, **values: str | Reason) -> str:
    return words.say(Reason(f"report.{code}", dict(values)))


def nothing_known(found: Identification) -> list[str]:
    """What to say where no answer was given: only what is met in this setting."""
    return [_say("met", nothing=words.unnamed()), *shortlist_lines(found)]


def lines(found: Identification) -> list[str]:
    """The answer on one screen: name in both ways, how sure, what to order or what is missing, what harms, cautions.

    A port that is not settled has its doubt in the first three lines: the rival, what the wrong end would do, and the
    look that settles it. What stands in the headline already is not told twice; of look-alikes there are as many as
    the screen has room for.
    """
    out = _doubt(found) if found.state is Settled.NOT_SETTLED else _name(found)
    out += wrapped(_say("gender", gender=words.gender(found)))
    headed = 2 if found.state is Settled.NOT_SETTLED and found.rival is not None else 1
    if len(shown(found.candidates)) > headed:
        out += [_say("possible"), *shortlist_lines(found)]
    fit = words.fit(found) or _say("nothing_mates")
    if found.settled and not found.worn:
        out += wrapped(_say("order", words=fit), "") + wrapped(_say("port", words=words.port(found)), "")
    else:
        out += wrapped(_say("if", name=found.name, words=fit), "")
    cautions = [line for caution in words.beside(found) for line in wrapped(_say("caution", caution=caution))]
    told = None if found.settled else found.rival
    others = sorted((one for one in found.beware if one is not told), key=lambda one: one not in found.harm)
    alike: list[str] = []
    for one in others[:ALIKE]:
        more = [*(alike or [_say("beware")]), *wrapped(words.alike(one))]
        if len(out) + len(more) + len(cautions) <= SCREEN or (one in found.harm and not alike):
            alike = more
    return out + alike + cautions


def _name(found: Identification) -> list[str]:
    """The headline of a port that can be ordered for."""
    sure = percent(found.order_probability)
    head = {"name": found.name, "id": found.half.id, "polarity": found.polarity, "sure": sure}
    out = wrapped(_say("settled" if found.state is Settled.SETTLED else "fits_all", **head), "")
    doubt = words.doubted(found)
    return out + (wrapped(doubt) if doubt else [])


def _doubt(found: Identification) -> list[str]:
    """The headline of a port that is not settled: three lines, or as many as they need."""
    rival = found.rival
    head = {"name": found.name, "id": found.half.id, "sure": percent(found.candidates[0].probability)}
    if rival is None:
        out = wrapped(_say("open", **head), "")
    else:
        told = {"rival": rival.name, "rival_id": rival.id, "rival_sure": percent(rival.probability)}
        out = wrapped(_say("open_or", **told, **head), "")
    if found.high_voltage:
        return out + wrapped(words.settles(found))
    doubt = words.doubted(found)
    out += wrapped(doubt) if doubt else []
    if rival is not None and rival.verdict:
        out += wrapped(_say("wrong_end", mate=rival.mate, rival=rival.name, verdict=called(Verdict(rival.verdict))))
    return out + wrapped(words.settles(found))


def why(found: Identification) -> list[str]:
    """All the rest: what it rests on, what mates, every look-alike with its reasons, every caution."""
    first = found.candidates[0]
    out = ["", _say("rests")]
    out += [f"  {words.rest(rest, rest.without > first.probability + AGAINST)}" for rest in found.rests_on]
    numbers = [words.number(found.half, soft) for soft in found.soft_numbers]
    out += [line for number in numbers for line in wrapped(_say("number", number=number))]
    if not found.settled:
        out += ["", *wrapped(_say("port", words=words.port(found)), "")]
    out += ["", _say("mates")]
    mates = [_say("limited", id=one) if one in found.with_limits else one for one in found.mates_with]
    out += wrapped(", ".join(mates) if mates else _say("nothing_mates"))
    if found.beware:
        out += ["", _say("beware")]
        out += [line for alike in found.beware for line in _alike_lines(alike)]
    out += ["", _say("cautions")]
    out += [line for caution in words.cautions(found) for line in wrapped(_say("caution", caution=caution))]
    if found.next is not None:
        out += ["", *wrapped(_say("next", look=found.next.feature.value, ask=found.next.ask), "")]
        out += [line for reason in found.next.first for line in wrapped(words.say(reason))]
        out += wrapped(found.next.how)
    return out


def _alike_lines(alike: LookAlike) -> list[str]:
    lines = wrapped(_say("alike", name=alike.name, id=alike.id, sure=percent(alike.probability)), "  ")
    if alike.verdict:
        joined = _say("joined", mate=alike.mate, verdict=called(Verdict(alike.verdict)), reason=words.outcome(alike))
        lines += wrapped(joined, "      ", "      ")
    lines += wrapped(_say("tells", tell=alike.tell), "      ", "      ")
    return lines
