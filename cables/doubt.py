"""A port that is named and not settled, or worn: its rival, what the wrong end would do, the look that settles it."""

from __future__ import annotations

import msgspec

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.ends import Matings
from coaxtell.cables.reasons import because
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import Verdict


class Doubt(msgspec.Struct, frozen=True):
    """What a saved identification leaves open: the half it names, its rival, their shares, the look that tells.

    There is no rival where the name is settled and the port is worn.
    """

    file: str
    named: Half
    probability: float
    rival: Half | None
    rival_probability: float
    tell: str
    kilovolts: bool = False
    """Whether it may be a port for high voltage that looks like the named half."""
    worn: str = ""
    """What was read so far beyond its limits that it is worn or not made to standard; empty where nothing was."""
    misfits: str = ""
    """What does not go with the named half; empty where all does."""

    def reasons(self, place: Reason, assembly: Assembly | None, side: int, matings: Matings) -> list[Reason]:
        """That it is worn, what does not go with it, the rival, what the named half's end does to that, what tells."""
        worn = [because("doubt.worn", file=self.file, place=place, looks=self.worn)] if self.worn else []
        if self.rival is None:
            return worn
        odd = []
        if self.misfits and not self.kilovolts:  # nobody is sent to look again at what may carry high voltage
            odd.append(because("doubt.misfits", named=self.named.name, looks=self.misfits))
        found = [
            *worn,
            *odd,
            because(
                "doubt.open" if self.kilovolts else "doubt.rival",
                file=self.file,
                place=place,
                named=self.named.name,
                percent=100 * self.probability,
                rival=self.rival.name,
                rival_percent=100 * self.rival_probability,
            ),
        ]
        onto = _onto(assembly, side)
        if onto is not None:
            verdict = Verdict(matings.verdict(onto, self.rival))
            found.append(because(f"onto.{verdict.name.lower()}", rival=self.rival.name, end=onto.name))
        if self.kilovolts:  # no look settles that, and none is worth touching the port
            return [because("doubt.kilovolts", place=place), *found]
        found.append(because("doubt.tell", tell=self.tell) if self.tell else Reason("doubt.look"))
        return found


def _onto(assembly: Assembly | None, side: int) -> Half | None:
    """What would be joined onto the port at one side."""
    if assembly is None:
        return None
    return assembly.links[side][0].outer if assembly.links[side] else assembly.ends[side]


def doubtful(
    doubts: tuple[Doubt | None, Doubt | None], assembly: Assembly | None, matings: Matings
) -> tuple[Reason, ...]:
    """What is not settled of the two ports of a run, the reader's first."""
    places = (Reason("place.reader"), Reason("place.antenna"))
    sides = zip(doubts, places, (0, 1), strict=True)
    return tuple(r for doubt, place, side in sides if doubt for r in doubt.reasons(place, assembly, side, matings))
