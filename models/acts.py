"""What one does to a port, and what must hold before: one table that every proposal passes.

Common practice, no source; where work can hurt someone local codes and licensed practice stand above it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from enum import StrEnum

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half


class Act(StrEnum):
    """What one does to a port, the gentler first."""

    LOOK = "look"
    HOLD = "hold"
    """Something is held near the port or against it, to see how large it is."""
    TOUCH = "touch"
    """Something goes into the face or onto a contact: a wooden tip, jaws, a rod, and be it to measure there."""
    MEASURE = "measure"
    """Jaws or a thread gauge are laid against the outside."""
    UNSCREW = "unscrew"
    JOIN = "join"


class Need(StrEnum):
    """What must hold before an act."""

    SWITCHED_OFF = "switched-off"
    """Transmitter off, no DC on the coax."""
    SECURED = "secured"
    """At height: secured, or off the ladder; on the ground it holds."""
    NO_HIGH_VOLTAGE = "no-high-voltage"
    """Radio or video equipment: confirmed wherever a two-lug bayonet may be one for high voltage."""
    NOT_PRECISION = "not-precision"
    """Nothing but its maker's own gauge touches or enters the face of a precision port."""


NEEDS: dict[Act, tuple[Need, ...]] = {
    Act.LOOK: (),
    Act.HOLD: (Need.SWITCHED_OFF, Need.SECURED, Need.NO_HIGH_VOLTAGE),
    Act.TOUCH: (Need.SWITCHED_OFF, Need.SECURED, Need.NO_HIGH_VOLTAGE, Need.NOT_PRECISION),
    Act.MEASURE: (Need.SWITCHED_OFF, Need.SECURED, Need.NO_HIGH_VOLTAGE),
    Act.UNSCREW: (Need.SWITCHED_OFF, Need.SECURED, Need.NO_HIGH_VOLTAGE),
    Act.JOIN: (Need.SWITCHED_OFF, Need.SECURED, Need.NO_HIGH_VOLTAGE),
}


def allowed(act: Act, holds: Collection[Need]) -> bool:
    """Whether everything holds that must before this act."""
    return all(need in holds for need in NEEDS[act])


def from_afar(holds: Collection[Need]) -> list[Reason]:
    """What is said first of a look that has one hold something beside the port, where that may not be done: it is taken
    from a distance."""
    lacking = [need for need in NEEDS[Act.HOLD] if need not in holds]
    found = [Reason("need.from_afar_live")] if Need.SWITCHED_OFF in lacking else []
    return [*found, Reason("need.from_afar_kilovolts")] if Need.NO_HIGH_VOLTAGE in lacking else found


def on_the_port(energised: bool, high_voltage: bool) -> list[Reason]:
    """What was said to be on a port, told wherever it is named, ordered for or planned with.

    `high_voltage` is that it may carry some, or that nobody knows, of a port that does not look like one for it.
    """
    found = [Reason("need.energised")] if energised else []
    return [*found, Reason("need.may_carry")] if high_voltage else found


def before(acts: Iterable[Act], halves: Iterable[Half] = ()) -> list[Reason]:
    """What is said before acts are proposed on a port that may be any of `halves`.

    Where nothing is proposed, nothing is said. Work at height and on live sites is named before every act but a look;
    what looks like a port for high voltage and what is a precision port only where one of the halves is.
    """
    acts, known = list(acts), list(halves)
    if not acts:
        return []
    needs = {need for act in acts for need in NEEDS[act]}
    words = _listed([Reason(f"act.{act}") for act in acts])
    said: list[Reason] = []
    if Need.SWITCHED_OFF in needs:
        said.append(Reason("need.switched_off", {"acts": words}))
    alike = sorted({name for half in known for name in half.like_high_voltage})
    if Need.NO_HIGH_VOLTAGE in needs and alike:
        said.append(Reason("need.no_high_voltage", {"acts": words, "alike": _listed(alike)}))
    if {Act.TOUCH, Act.MEASURE} & set(acts):
        said += own_gauge(known)
    return [*said, Reason("caution.site")] if Need.SECURED in needs else said


def own_gauge(halves: Iterable[Half]) -> list[Reason]:
    """That nothing but the maker's own gauge touches or enters the face, where one of the halves is a precision one."""
    families = list(dict.fromkeys(half.family for half in halves if half.precision))
    return [Reason("need.own_gauge", {"families": _listed(families)})] if families else []


def _listed(names: Sequence[str | Reason]) -> Reason:
    """Names one after the other, the last behind `or`."""
    found = [Reason("names.one", {"name": name}) for name in names]
    if len(found) == 1:
        return found[0]
    rest = found[0]
    for one in found[1:-1]:
        rest = Reason("names.comma", {"first": rest, "next": one})
    return Reason("names.or", {"first": rest, "last": found[-1]})
