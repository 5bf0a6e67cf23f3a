"""What items are made of: halves, their matings, what they show and the cables, each worked out once."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from functools import cached_property
from typing import NamedTuple

from coaxtell.cables import tables as cable_tables
from coaxtell.cables.ends import Matings
from coaxtell.cables.tables import CableTables
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import Feature, seen_values
from coaxtell.identifier.sizes import size
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, Verdict, mate
from coaxtell.quiz.item import Task

SETTING = "uhf-reader"
"""Where the people who are trained meet their ports, in the identifier's words."""


Shares = dict[str, dict[Task, float]]
"""By kind of item, each task that may be asked with its share."""


class Width(NamedTuple):
    """A width over its soft numbers: least, nominal, most [mm]."""

    low: float
    nominal: float
    high: float


class Stock:
    """Halves by id with their matings, kept once asked for; it never changes what it was given."""

    def __init__(
        self,
        halves: Mapping[str, Half],
        cables: CableTables | None = None,
        shares: MutableMapping[str, Shares] | None = None,
    ) -> None:
        """`shares` is where what may be asked is looked for and put down, by ports and kinds."""
        self.halves = dict(halves)
        self.shares: MutableMapping[str, Shares] = {} if shares is None else shares
        self._cables = cables
        self._matings: dict[tuple[str, str], Mating] = {}
        self._verdicts: dict[tuple[str, str], Verdict] = {}
        self._mates: dict[str, str | None] = {}
        self._shown: dict[tuple[str, Feature], frozenset[str]] = {}
        self._widths: dict[str, Width] = {}

    def half(self, half_id: str) -> Half:
        """The half of that id; raises InputError where there is none."""
        found = self.halves.get(half_id)
        if found is None:
            raise RefusedError("quiz.no_half", half_id=half_id)
        return found

    def mating(self, a: str, b: str) -> Mating:
        """The mating of two halves with what is unsure of it."""
        found = self._matings.get((a, b))
        if found is None:
            found = self._matings[a, b] = mate(self.half(a), self.half(b))
        return found

    def verdict(self, a: str, b: str) -> Verdict:
        """What two halves come to, the same in either order; as the tables alone tell it."""
        key = (a, b) if a <= b else (b, a)
        found = self._verdicts.get(key)
        if found is None:
            found = self._verdicts[key] = mate(self.half(key[0]), self.half(key[1]), doubt=False).verdict
        return found

    def firm(self, a: str, b: str) -> bool:
        """True where the verdict stands whatever the memory and assumed numbers really are; in either order."""
        held = self._matings.get((b, a))
        found = self.mating(a, b) if held is None else held
        return found.verdict is not Verdict.NOT_KNOWN and not found.depends_on

    def damages(self, a: str, b: str) -> bool:
        """True where two halves damage a contact, or may in one case of twenty though their verdict is known."""
        found = self.mating(a, b)
        if found.verdict is Verdict.NOT_KNOWN:
            return False
        return found.verdict is Verdict.DAMAGES or (found.confidence is not None and found.confidence.may_harm)

    def unsettled(self, a: str, b: str) -> bool:
        """True where it is not known what becomes of two halves, and damage is among what may."""
        found = self.mating(a, b)
        return found.verdict is Verdict.NOT_KNOWN and found.confidence is not None and found.confidence.may_harm

    def mate_of(self, half_id: str) -> str | None:
        """The half made for this one: it mates without limits, is of the same family, and its verdict is firm."""
        if half_id not in self._mates:
            own = self.half(half_id)
            self._mates[half_id] = next(
                (
                    other.id
                    for other in self.halves.values()
                    if other.family == own.family
                    and other.gender != own.gender
                    and other.impedance_ohm == own.impedance_ohm
                    and self.verdict(half_id, other.id) is Verdict.MATES
                    and self.firm(half_id, other.id)
                ),
                None,
            )
        return self._mates[half_id]

    def confusion_harms(self, one: str, two: str) -> bool:
        """True where taking one half for the other leads to a mate that damages a contact, beyond doubt."""
        return any(
            mate_id is not None and self.verdict(mate_id, port) is Verdict.DAMAGES and self.firm(mate_id, port)
            for port, mate_id in ((one, self.mate_of(two)), (two, self.mate_of(one)))
        )

    def shown(self, half_id: str, feature: Feature) -> frozenset[str]:
        """The values of coupling, centre or plastic that a half may show, over its soft numbers."""
        found = self._shown.get((half_id, feature))
        if found is None:
            half = self.half(half_id)
            found = self._shown[half_id, feature] = frozenset(seen_values(half, feature, Draws(half)))
        return found

    def width(self, half_id: str) -> Width:
        """The widest part of a half's face [mm]."""
        found = self._widths.get(half_id)
        if found is None:
            half = self.half(half_id)
            over = size(half, Draws(half))
            found = self._widths[half_id] = Width(float(over.min()), float(size(half, Nominal())[0]), float(over.max()))
        return found

    @cached_property
    def shortlist(self) -> Shortlist:
        """What every half shows and how likely each is met, from the identifier."""
        return Shortlist(list(self.halves.values()), SETTING)

    @cached_property
    def met(self) -> dict[str, float]:
        """How often each half is met where the trained people work, as a share of all ports."""
        return dict(zip(self.shortlist.ids, map(float, self.shortlist.prior), strict=True))

    @cached_property
    def cables(self) -> CableTables:
        """The cable tables: those handed in, else those that ship."""
        return self._cables if self._cables is not None else cable_tables.load()

    @cached_property
    def ends(self) -> Matings:
        """Which halves truly mate, as the search for cables and adapters asks for it: all pairs, by the tables alone.

        Ends that become an answer are checked for firmness apart.
        """
        return Matings(self.halves, lambda a, b: mate(a, b, doubt=False))
