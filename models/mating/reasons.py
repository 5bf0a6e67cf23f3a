"""Why two halves fare as they do, in sentences that quote the millimetres, and the cautions that go with it."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.impedance import return_loss_db
from coaxtell.models.mating.meeting import Meeting
from coaxtell.models.mating.outcome import Outcome, Verdict
from coaxtell.models.profile import YIELDS
from coaxtell.models.words import planes_words


def losses(a: Half, b: Half) -> list[str]:
    """Named losses of two halves that do connect: match, frequency, torque."""
    found: list[str] = []
    if a.impedance_ohm is not None and b.impedance_ohm is not None:
        loss = return_loss_db(a.impedance_ohm, b.impedance_ohm)
        if loss is not None:
            found.append(
                f"{a.impedance_ohm:g} ohm meets {b.impedance_ohm:g} ohm: the step reflects, return loss "
                f"{loss:.1f} dB at best."
            )
    if a.top_ghz is not None and b.top_ghz is not None and a.top_ghz.nominal != b.top_ghz.nominal:
        low, high = sorted((a.top_ghz.nominal, b.top_ghz.nominal))
        found.append(f"The pair is rated only to the lower {low:g} GHz, not to {high:g} GHz.")
    if a.torque_nm is not None and b.torque_nm is not None:
        gentle, firm = sorted((a.torque_nm, b.torque_nm), key=lambda t: t.nominal)
        if gentle.high < firm.low:
            found.append(f"Tighten to the gentler half: {gentle.nominal:g} N m, not {firm.nominal:g} N m.")
    return found


def _touching(meeting: Meeting, a: Half, b: Half) -> str:
    return f"the {meeting.a.name} of {a.id} meets the {meeting.b.name} of {b.id}"


def _seat_words(found: Outcome) -> str:
    if found.coupling.lock is not None:
        return f"It snaps home where the reference planes {planes_words(found.distance)}."
    if found.coupling.ramps is not None:
        return f"The outer contacts seat at {found.distance:.2f} mm and the bayonet locks."
    return f"The outer contacts seat at {found.distance:.2f} mm with {found.turns:.1f} turns caught."


def _away(distance: float) -> str:
    """Where two reference planes stand, in words."""
    if distance >= 0:
        return f"with {distance:.2f} mm still to go"
    return f"with the reference planes {-distance:.2f} mm past each other"


def reasons(a: Half, b: Half, found: Outcome) -> list[str]:
    reasons = [found.coupling.sentence]
    stop = found.stop
    if not found.coupling.fits:
        first = found.blocked_nut
        if first is not None and first.a.reference and first.b.reference:
            reasons.append("The outer contacts reach their seat, and nothing holds them there.")
        elif first is not None:
            reasons.append(f"It goes no further than where {_touching(first, a, b)}.")
        return reasons
    if found.verdict is Verdict.DAMAGES:
        assert stop is not None
        reasons.append(f"Before the halves seat, {_touching(stop, a, b)} {_away(found.distance)}.")
        if found.turns > 0:
            reasons.append(
                f"By then {found.turns:.1f} turns of the coupling have caught, so turning on forces the parts "
                f"into each other."
            )
        else:
            reasons.append("No turn of the coupling has caught by then; pushing is what does the harm.")
        if not found.contact.makes:
            reasons.append(found.contact.sentence)
        return reasons
    if found.verdict is Verdict.NO_JOIN:
        if stop is None:
            reasons.append("Nothing stops the halves and nothing seats.")
        elif stop.a.reference and stop.b.reference:
            reasons.append(
                f"The halves seat, but only {found.turns:.1f} turns of the coupling have caught: it does not hold."
            )
        elif {stop.a.role, stop.b.role} & YIELDS:
            reasons.append(f"Before the coupling can catch, {_touching(stop, a, b)} {_away(found.distance)}.")
        else:
            reasons.append(f"Solid metal stops them: {_touching(stop, a, b)} {_away(found.distance)}.")
        return reasons
    reasons.append(_seat_words(found))
    if found.blocked_nut is not None:
        reasons.append(
            f"The nut runs out of way: {_touching(found.blocked_nut, a, b)} "
            f"{_away(found.blocked_nut.distance)}, so the outer contacts stay apart."
        )
    reasons.append(found.contact.sentence)
    return reasons


LIVE = "Switch the transmitter off and take DC off the coax before joining or parting."


FORCE = "Do not force it: a bent pin or spread socket passes the damage on to the next part it meets."


OPEN = "It goes together and feels right; the open end reflects all power back into the transmitter."


RULES = "At height, near lightning protection or on a live site, local codes and licensed practice decide."


def cautions(verdict: Verdict) -> list[str]:
    if verdict is Verdict.DAMAGES:
        return [FORCE, LIVE]
    if verdict is Verdict.NO_CONTACT:
        return [OPEN, LIVE]
    if verdict is Verdict.NO_JOIN:
        return [FORCE]
    return [LIVE, RULES]
