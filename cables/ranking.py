"""All classes held against one run: the thinnest that meets it first, each explained in a line."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import msgspec

from coaxtell.cables.assembly import Assembly, work_out
from coaxtell.cables.cautions import advice, cautions, not_known, too_strong
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Legal
from coaxtell.cables.order import link_count
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.target import Target, target_of
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError

_LEGAL_ORDER = {Legal.YES: 0, Legal.BY_GRANT: 1, Legal.NO: 2}


class Preference(StrEnum):
    """What comes first among the cables that meet a run."""

    THINNEST = "thinnest"
    LEAST_LOSS = "least-loss"
    TIGHTEST_BEND = "tightest-bend"
    FEWEST_PARTS = "fewest-parts"
    LOWEST_PRICE = "lowest-price"


class NotRanked(msgspec.Struct, frozen=True):
    """A class that is only listed, and why."""

    name: str
    reason: Reason


class Ranked(msgspec.Struct, frozen=True):
    """An assembly in its place: what it misses the target by [dB], how far it reaches [m], and the reasons.

    The first reason says why it stands where it stands. `too_strong` is True where the reader cannot be set low enough:
    the limits are broken, or kept only by a grant or by the cable's loss.
    """

    assembly: Assembly
    miss_db: float
    reach_m: float
    missed: Reason | None
    reasons: tuple[Reason, ...]
    too_strong: bool

    @property
    def orderable(self) -> bool:
        """True where it can be built and the reader can be set within the limits on it."""
        return self.assembly.buildable and not self.too_strong

    @property
    def meets(self) -> bool:
        """True where it can be ordered and meets the target."""
        return self.orderable and not self.miss_db


class Choice(msgspec.Struct, frozen=True):
    """The answer for one run: its target, assemblies best first, classes only listed, first advice, cautions."""

    run: Run
    target: Target
    ranked: tuple[Ranked, ...]
    not_ranked: tuple[NotRanked, ...]
    advice: tuple[Reason, ...]
    cautions: tuple[Reason, ...]

    @property
    def first(self) -> Ranked | None:
        """The first that can be built within the limits, whether or not it meets the target; none where none can."""
        return self.ranked[0] if self.ranked and self.ranked[0].orderable else None

    @property
    def best(self) -> Assembly | None:
        """The assembly of the first."""
        return None if self.first is None else self.first.assembly


def _preferred(assembly: Assembly, prefer: Preference) -> tuple[float, ...]:
    cable, loss = assembly.cable, assembly.loss.worst_db
    thin = (cable.diameter.nominal, loss)
    if prefer is Preference.LEAST_LOSS:
        return (loss, cable.diameter.nominal)
    if prefer is Preference.TIGHTEST_BEND:
        return (cable.bend_once.nominal, cable.bend_repeated.nominal, *thin)
    if prefer is Preference.FEWEST_PARTS:
        return (assembly.parts, *thin)
    if prefer is Preference.LOWEST_PRICE:
        return (float("inf") if assembly.price is None else assembly.price, *thin)
    return thin


def place(assembly: Assembly, prefer: Preference, miss_db: float = 0.0) -> tuple[object, ...]:
    """The key assemblies are sorted by.

    Buildable, within the limits, on target (else the nearest), adapters last, faults of sense, then the preference.
    """
    return (
        not assembly.buildable,
        _LEGAL_ORDER[assembly.legal],
        round(assembly.over_limit_db, 2),
        round(miss_db, 2),
        assembly.adapter_count,
        len(assembly.not_sensible),
        _preferred(assembly, prefer),
        assembly.cable.name,
    )


def rank(assemblies: Sequence[Assembly], prefer: Preference, target: Target | None = None) -> tuple[Assembly, ...]:
    """The assemblies, best first; without a target each counts as meeting it."""
    missed = {id(a): 0.0 if target is None else target.rank_db(a) for a in assemblies}
    return tuple(sorted(assemblies, key=lambda a: place(a, prefer, missed[id(a)])))


def _extra(assembly: Assembly) -> bool:
    """True where it needs more than a cable with ends of its own."""
    return bool(assembly.adapter_count or assembly.not_sensible)


def _missed(assembly: Assembly, target: Target, miss_db: float, reach_m: float) -> Reason:
    """By how much an assembly misses the target, and what it would need."""
    needs = because("miss.needs_length", reach_m=reach_m) if reach_m >= _SHORTEST_M else Reason("miss.needs_none")
    if target.want_dbm is None:
        return because(f"miss.{target.aim.value}", miss_db=miss_db, most_db=target.most_db, needs=needs)
    held = assembly.settings.highest_dbm - assembly.power_dbm < miss_db
    power = "" if held else because("miss.needs_power", power_dbm=assembly.power_dbm + miss_db)
    return because("miss.want", miss_db=miss_db, want_dbm=target.want_dbm, needs=needs, power=power)


_SHORTEST_M = 0.05
"""A run shorter than this is none [m]."""


def _by_grant(assembly: Assembly) -> Reason | None:
    """Said of a setting above the letter that radiated power still allows; none of others."""
    letter, settings = assembly.settings.by_letter_dbm, assembly.settings
    if letter is None or settings.judge(assembly.power_dbm) is not Legal.BY_GRANT:
        return None
    levels = {"power_dbm": assembly.power_dbm, "letter_dbm": letter, "radiated_dbm": settings.by_radiated_dbm}
    return because("why.by_grant", **levels)


def _first(
    assembly: Assembly, prefer: Preference, currency: str, missed: Reason | None, thinner: bool, strong: bool
) -> tuple[Reason, list[Reason]]:
    """Why an assembly stands where it stands, and what that quotes."""
    loss = because("why.loss", cable_db=assembly.loss.cable_db, length_m=assembly.length_m)
    if not assembly.buildable:
        return because("why.not_buildable", reason=assembly.not_buildable[0]), [assembly.not_buildable[0]]
    if assembly.legal is Legal.NO:
        over = {"power_dbm": assembly.power_dbm, "over_db": assembly.over_limit_db}
        needed = assembly.settings.highest_dbm
        broken = list(assembly.not_legal)
        return because("why.over_limit", broken=broken, needed_dbm=needed, **over), broken
    granted = _by_grant(assembly)
    if granted is not None:
        return granted, [granted]
    if strong:
        return because("why.by_loss", power_dbm=assembly.power_dbm, loss=loss), []
    if missed is not None:
        return because("why.missed", loss=loss, missed=missed), []
    needed_parts = link_count(part for side in assembly.links for part in side)
    if assembly.adapter_count and needed_parts is not None:
        return because("why.adapters", loss=loss, parts=needed_parts), []
    if assembly.not_sensible:
        first = assembly.not_sensible[0]
        return because("why.not_sensible_after", loss=loss, reason=first), [first]
    if prefer is Preference.TIGHTEST_BEND:
        cable = assembly.cable
        once, repeated = cable.bend_once.nominal, cable.bend_repeated.nominal
        return because("why.bend", once_mm=once, repeated_mm=repeated, loss=loss), []
    if prefer is Preference.FEWEST_PARTS:
        code = "why.part" if assembly.parts == 1 else "why.parts"
        return because(code, parts=assembly.parts, loss=loss), []
    if prefer is Preference.LOWEST_PRICE and assembly.price is None:
        return because("why.no_price", loss=loss), []
    if prefer is Preference.LOWEST_PRICE and assembly.price is not None:
        return because("why.price", price=assembly.price, currency=currency, loss=loss), []
    if prefer is Preference.THINNEST:
        code = "why.meets_own_ends" if thinner else "why.meets"
        return because(code, diameter_mm=assembly.cable.diameter.nominal, loss=loss), []
    return loss, []


def _ranked(
    assembly: Assembly, prefer: Preference, currency: str, target: Target, serving: Sequence[Assembly], held: bool
) -> Ranked:
    """An assembly with its reasons.

    `serving` are all that meet the run, be it with adapters; `held` is True where classes keep the limits only by loss.
    """
    thinner = any(a.cable.diameter.nominal < assembly.cable.diameter.nominal for a in serving if _extra(a))
    miss_db, reach_m = target.miss_db(assembly), target.reach_m(assembly)
    missed = _missed(assembly, target, miss_db, reach_m) if miss_db else None
    granted = _by_grant(assembly)
    strong = held or granted is not None or assembly.legal is Legal.NO
    first, quoted = _first(assembly, prefer, currency, missed, thinner, strong)
    found = [first]
    if granted is not None and granted not in quoted:
        found.append(granted)
    elif granted is None and assembly.legal is Legal.BY_GRANT:
        found.append(Reason("why.no_gain"))
    against = (
        ("why.not_buildable", assembly.not_buildable),
        ("why.over", assembly.not_legal),
        ("why.not_sensible", assembly.not_sensible),
    )
    # What the first line says already is not said again.
    found += [because(code, reason=r) for code, reasons in against for r in reasons if r not in quoted]
    if missed is not None and first.code != "why.missed":
        found.append(missed)
    return Ranked(assembly, miss_db, reach_m, missed, (*found, *assembly.notes), strong)


def choose(run: Run, matings: Matings, tables: CableTables, prefer: Preference = Preference.THINNEST) -> Choice:
    """Every class on this run, ranked; classes of unknown loss are only listed.

    Raises InputError where the region knows no such system, the frequency lies outside its band, or prices
    are asked for and the user gave none.
    """
    band = run.region.band
    if not band.low <= run.frequency_mhz <= band.high:
        raise RefusedError("cables.outside_band", frequency_mhz=run.frequency_mhz, name=run.region.name)
    if prefer is Preference.LOWEST_PRICE and tables.prices is None:
        raise RefusedError("cables.no_prices")
    worked = [work_out(run, c, matings, tables) for c in tables.classes.values() if c.loss_known]
    target = target_of(run, worked, tables)
    currency = tables.prices.currency if tables.prices is not None else ""
    serving = [a for a in worked if a.buildable and a.legal is not Legal.NO and not target.miss_db(a)]
    held = too_strong(worked)
    ranked = tuple(_ranked(a, prefer, currency, target, serving, held) for a in rank(worked, prefer, target))
    return Choice(
        run=run,
        target=target,
        ranked=ranked,
        not_ranked=tuple(
            NotRanked(c.name, because("loss.unknown", why=why))
            for c in tables.classes.values()
            if (why := c.loss_unknown) is not None
        ),
        advice=tuple(advice(run, [r.assembly for r in ranked], target)),
        cautions=(*not_known(run, matings), *cautions(run, tables, [r.assembly for r in ranked], target)),
    )
