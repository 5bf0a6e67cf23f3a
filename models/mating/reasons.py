"""Why two halves fare as they do, what a pair loses, and the cautions that go with it: codes with their numbers."""

from __future__ import annotations

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.impedance import return_loss_db
from coaxtell.models.mating.meeting import Meeting
from coaxtell.models.mating.outcome import Outcome, Verdict
from coaxtell.models.profile import YIELDS

LEVEL = 0.005
"""Reference planes nearer than this count as met [mm]."""


def losses(a: Half, b: Half) -> list[Reason]:
    """What two halves that connect lose: of match [ohm, dB], of frequency [GHz], of torque [N m]."""
    found: list[Reason] = []
    if a.impedance_ohm is not None and b.impedance_ohm is not None:
        db = return_loss_db(a.impedance_ohm, b.impedance_ohm)
        if db is not None:
            found.append(Reason("loss.match", {"one": a.impedance_ohm, "other": b.impedance_ohm, "db": db}))
    if a.top_ghz is not None and b.top_ghz is not None and a.top_ghz.nominal != b.top_ghz.nominal:
        low, high = sorted((a.top_ghz.nominal, b.top_ghz.nominal))
        found.append(Reason("loss.frequency", {"low": low, "high": high}))
    if a.torque_nm is not None and b.torque_nm is not None:
        gentle, firm = sorted((a.torque_nm, b.torque_nm), key=lambda t: t.nominal)
        if gentle.high < firm.low:
            found.append(Reason("loss.torque", {"gentle": gentle.nominal, "firm": firm.nominal}))
    return found


def planes(distance: float) -> Reason:
    """Where two reference planes stand to each other [mm]: met, apart or past each other."""
    if abs(distance) < LEVEL:
        return Reason("planes.meet")
    return Reason("planes.apart" if distance > 0 else "planes.past", {"distance": abs(distance)})


def _seat(found: Outcome) -> Reason:
    if found.coupling.lock is not None:
        return Reason("seat.snapped", {"planes": planes(found.distance)})
    code = "seat.turned" if found.coupling.ramps is None else "seat.locked"
    return Reason(code, {"distance": found.distance, "turns": found.turns})


def reasons(a: Half, b: Half, found: Outcome) -> list[Reason]:
    """Why the verdict is what it is: the coupling first, then what stops the halves, then the contacts."""

    def stopped(code: str, meeting: Meeting) -> Reason:
        met = Reason("stop.meets", {"a_face": meeting.a.name, "a": a.id, "b_face": meeting.b.name, "b": b.id})
        away = "stop.to_go" if meeting.distance >= 0 else "stop.past"
        return Reason(code, {"meeting": met, "away": Reason(away, {"distance": abs(meeting.distance)})})

    why = [found.coupling.why]
    stop, blocked = found.stop, found.blocked_nut
    if not found.coupling.fits:
        if blocked is not None and blocked.a.seats and blocked.b.seats and abs(blocked.distance) < LEVEL:
            why.append(Reason("stop.seat_unheld"))
        elif blocked is not None:
            why.append(stopped("stop.no_further", blocked))
    elif found.verdict is Verdict.DAMAGES:
        assert stop is not None
        why.append(stopped("stop.before_seat", stop))
        caught = found.turns > 0
        why.append(Reason("stop.turns_caught", {"turns": found.turns}) if caught else Reason("stop.push"))
        if not found.contact.makes:
            why.append(found.contact.why)
    elif found.verdict is Verdict.NO_JOIN:
        if stop is None:
            why.append(Reason("stop.nothing"))
        elif stop.a.seats and stop.b.seats and found.coupling.lock is None:
            why.append(Reason("stop.few_turns", {"turns": found.turns}))
        else:
            soft = {stop.a.role, stop.b.role} & YIELDS
            why.append(stopped("stop.before_catch" if soft else "stop.solid", stop))
    else:
        why.append(_seat(found))
        if blocked is not None:
            why.append(stopped("stop.nut_blocked", blocked))
        why.append(found.contact.why)
    return why


LIVE, FORCE, OPEN, SITE = (Reason(f"caution.{code}") for code in ("live", "force", "open", "site"))

CAUTIONS = {
    Verdict.DAMAGES: [FORCE, LIVE],
    Verdict.NO_CONTACT: [OPEN, LIVE],
    Verdict.NO_JOIN: [FORCE],
    Verdict.NOT_KNOWN: [FORCE, LIVE],
}


def cautions(verdict: Verdict, harm: float) -> list[Reason]:
    """What must be said before anyone joins, parts or forces such a pair; `harm` is the share in which it is hurt,
    zero where that is too small to tell."""
    may = [Reason("caution.may_harm", {"share": 100 * harm})] if harm and verdict is not Verdict.DAMAGES else []
    return may + CAUTIONS.get(verdict, [LIVE, SITE])
