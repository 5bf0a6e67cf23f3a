"""The verdict on two profiles: coupling first, then what stops them, then whether the contacts make."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.models.mating.contacts import Contact, contact
from coaxtell.models.mating.coupling import Coupling, couple
from coaxtell.models.mating.meeting import Meeting, first_collision, housing_meeting, nut_meeting
from coaxtell.models.physics import Physics, nominal
from coaxtell.models.profile import BENDS, YIELDS, Profile


class Verdict(StrEnum):
    """What becomes of two halves that someone tries to join."""

    MATES = "mates"
    LIMITS = "mates with limits"
    NO_CONTACT = "joins, no contact"
    DAMAGES = "damages"
    NO_JOIN = "does not join"
    NOT_KNOWN = "not known"
    """The numbers are too unsure to tell; never the outcome of the geometry itself."""


JOINED = frozenset({Verdict.MATES, Verdict.LIMITS})
"""Verdicts with which a signal passes and nothing is hurt."""


class Outcome(NamedTuple):
    verdict: Verdict
    coupling: Coupling
    stop: Meeting | None
    distance: float
    turns: float
    contact: Contact
    blocked_nut: Meeting | None
    """Where the moving part stops it short; with couplings that do not fit, the first stop of all."""


def _harms(stop: Meeting, turns: float) -> bool:
    """Whether something gives way where two halves stop: centre contacts under a mere push, fingers and insulator only
    where the coupling has caught and drives what presses on them."""
    roles = {stop.a.role, stop.b.role}
    return bool(roles & BENDS) or (turns > 0 and bool(roles & YIELDS))


def judge(a: Profile, b: Profile, losses: Sequence[Reason] = (), physics: Physics | None = None) -> Outcome:
    """What becomes of two profiles; `losses` are those of match, frequency and torque that the pair would have.

    The halves seat where outer conductors meet first, wherever that is; without `physics` its constants are nominal.
    """
    physics = physics or nominal()
    coupling = couple(a, b, physics)
    stop = housing_meeting(a, b) if coupling.barred else first_collision(a, b, physics.seat_play)
    distance = stop.distance if stop is not None else 0.0
    made = contact(a, b, distance, physics)
    nut = None if coupling.barred else nut_meeting(a, b, coupling.fits, coupling.slides)
    if not coupling.fits:
        first = nut if nut is not None and (stop is None or nut.distance > stop.distance) else stop
        return Outcome(Verdict.NO_JOIN, coupling, stop, distance, 0.0, made, first)
    blocked = nut if nut is not None and nut.distance > distance + physics.seat_play else None
    seated = stop is not None and stop.a.seats and stop.b.seats
    if coupling.lock is not None:
        seated = stop is None or stop.distance <= coupling.lock + physics.lock_play
        if seated:
            # solid metal a little before the groove's middle is where they come to rest
            distance = coupling.lock if stop is None else max(coupling.lock, stop.distance)
            made = contact(a, b, distance, physics)
            blocked = nut if nut is not None and nut.distance > distance + physics.lock_play else None
    turns = coupling.turns(distance)
    if not seated:
        verdict = Verdict.DAMAGES if stop is not None and _harms(stop, turns) else Verdict.NO_JOIN
        return Outcome(verdict, coupling, stop, distance, turns, made, None)
    if turns < coupling.needed_turns - 1e-9:
        return Outcome(Verdict.NO_JOIN, coupling, stop, distance, turns, made, None)
    if not made.makes or blocked is not None:
        return Outcome(Verdict.NO_CONTACT, coupling, stop, distance, turns, made, blocked)
    verdict = Verdict.LIMITS if losses else Verdict.MATES
    return Outcome(verdict, coupling, stop, distance, turns, made, None)
