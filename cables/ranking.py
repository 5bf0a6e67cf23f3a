"""All classes held against one run: ranked, each explained in a line."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import msgspec
from msgspec.structs import replace

from coaxtell.cables.assembly import Assembly, work_out
from coaxtell.cables.cautions import advice, cautions
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Legal
from coaxtell.cables.order import link_count
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError

_LEGAL_ORDER = {Legal.YES: 0, Legal.BY_GRANT: 1, Legal.NO: 2}


class Preference(StrEnum):
    """What to rank by among cables that are legal, buildable and sensible."""

    LOSS = "loss"
    BEND = "bend"
    PARTS = "parts"
    PRICE = "price"


class NotRanked(msgspec.Struct, frozen=True):
    """A class that is only listed, and why."""

    name: str
    reason: Reason


class Ranked(msgspec.Struct, frozen=True):
    """An assembly in its place, with the reasons: the first line says why it stands there."""

    assembly: Assembly
    reasons: tuple[Reason, ...]


class Choice(msgspec.Struct, frozen=True):
    """The answer for one run: assemblies best first, classes only listed, first advice, cautions."""

    run: Run
    ranked: tuple[Ranked, ...]
    not_ranked: tuple[NotRanked, ...]
    advice: tuple[Reason, ...]
    cautions: tuple[Reason, ...]
    turned_down: Assembly | None = None
    """What serves better with the reader turned down to the highest setting allowed, where the setting asked for
    leaves only a worse cable or none within the limits."""

    @property
    def best(self) -> Assembly | None:
        """The first assembly that can be built and is not illegal; none where there is none."""
        first = self.ranked[0].assembly if self.ranked else None
        return first if first is not None and first.buildable and first.legal is not Legal.NO else None


def _preferred(assembly: Assembly, prefer: Preference) -> tuple[float, ...]:
    cable, loss = assembly.cable, assembly.loss.total_db
    if prefer is Preference.BEND:
        return (cable.bend_once.nominal, cable.bend_repeated.nominal, loss)
    if prefer is Preference.PARTS:
        return (assembly.parts, loss)
    if prefer is Preference.PRICE:
        return (float("inf") if assembly.price is None else assembly.price, loss)
    return (loss, cable.diameter.nominal)


def place(assembly: Assembly, prefer: Preference) -> tuple[bool, int, int, int, tuple[float, ...], str]:
    """The key assemblies are sorted by: buildable, legal, adapters last, faults of sense, then the preference."""
    return (
        not assembly.buildable,
        _LEGAL_ORDER[assembly.legal],
        assembly.adapter_count,
        len(assembly.not_sensible),
        _preferred(assembly, prefer),
        assembly.cable.name,
    )


def rank(assemblies: Sequence[Assembly], prefer: Preference) -> tuple[Assembly, ...]:
    """The assemblies, best first."""
    return tuple(sorted(assemblies, key=lambda assembly: place(assembly, prefer)))


def _first(assembly: Assembly, prefer: Preference, currency: str) -> tuple[Reason, list[Reason]]:
    """Why an assembly stands where it stands, and what that quotes."""
    loss = because("why.loss", cable_db=assembly.loss.cable_db, length_m=assembly.length_m)
    if not assembly.buildable:
        return because("why.not_buildable", reason=assembly.not_buildable[0]), [assembly.not_buildable[0]]
    if assembly.legal is Legal.NO:
        broken = list(assembly.not_legal)
        return because("why.over_at", power_dbm=assembly.power_dbm, broken=broken), broken
    needed = link_count(part for side in assembly.links for part in side)
    if assembly.adapter_count and needed is not None:
        return because("why.adapters", loss=loss, parts=needed), []
    if assembly.not_sensible:
        first = assembly.not_sensible[0]
        return because("why.not_sensible_after", loss=loss, reason=first), [first]
    if prefer is Preference.BEND:
        cable = assembly.cable
        once, repeated = cable.bend_once.nominal, cable.bend_repeated.nominal
        return because("why.bend", once_mm=once, repeated_mm=repeated, loss=loss), []
    if prefer is Preference.PARTS:
        code = "why.part" if assembly.parts == 1 else "why.parts"
        return because(code, parts=assembly.parts, loss=loss), []
    if prefer is Preference.PRICE and assembly.price is None:
        return because("why.no_price", loss=loss), []
    if prefer is Preference.PRICE and assembly.price is not None:
        return because("why.price", price=assembly.price, currency=currency, loss=loss), []
    return loss, []


def _reasons(assembly: Assembly, prefer: Preference, currency: str) -> tuple[Reason, ...]:
    first, quoted = _first(assembly, prefer, currency)
    found = [first]
    letter, radiated = assembly.settings.by_letter_dbm, assembly.settings.by_radiated_dbm
    if letter is not None and assembly.settings.judge(assembly.power_dbm) is Legal.BY_GRANT:
        levels = {"power_dbm": assembly.power_dbm, "letter_dbm": letter, "radiated_dbm": radiated}
        found.append(because("why.by_grant", **levels))
    elif assembly.legal is Legal.BY_GRANT:
        found.append(Reason("why.no_gain"))
    against = (
        ("why.not_buildable", assembly.not_buildable),
        ("why.over", assembly.not_legal),
        ("why.not_sensible", assembly.not_sensible),
    )
    # What the first line says already is not said again.
    found += [because(code, reason=r) for code, reasons in against for r in reasons if r not in quoted]
    return (*found, *assembly.notes)


def choose(run: Run, matings: Matings, tables: CableTables, prefer: Preference = Preference.LOSS) -> Choice:
    """Every class on this run, ranked; classes of unknown loss are only listed.

    Raises InputError where the region knows no such system, the frequency lies outside its band, or prices
    are asked for and the user gave none.
    """
    band = run.region.band
    if not band.low <= run.frequency_mhz <= band.high:
        raise InputError(
            f"frequency {run.frequency_mhz:g} MHz lies outside {run.region.name}; choose the region of the "
            "site or mend the frequency."
        )
    if prefer is Preference.PRICE and tables.prices is None:
        raise InputError(
            "prices come only from your own table: put a prices.toml into a folder named cables inside the "
            "folder given with --tables, or prefer loss, bend or parts."
        )
    worked = [work_out(run, c, matings, tables) for c in tables.classes.values() if c.loss_known]
    ordered = rank(worked, prefer)
    turned_down = _turned_down(run, ordered, matings, tables, prefer)
    currency = tables.prices.currency if tables.prices is not None else ""
    return Choice(
        run=run,
        ranked=tuple(Ranked(a, _reasons(a, prefer, currency)) for a in ordered),
        not_ranked=tuple(
            NotRanked(c.name, because("loss.unknown", why=why))
            for c in tables.classes.values()
            if (why := c.loss_unknown) is not None
        ),
        advice=tuple(advice(run, ordered, turned_down)),
        cautions=tuple(cautions(run, tables, ordered)),
        turned_down=turned_down,
    )


def _turned_down(
    run: Run, ordered: Sequence[Assembly], matings: Matings, tables: CableTables, prefer: Preference
) -> Assembly | None:
    """The choice at the highest setting allowed, where the limits alone keep it from coming first."""
    if run.hold_to_letter or run.power_dbm is None or all(a.legal is not Legal.NO for a in ordered):
        return None
    best = choose(replace(run, hold_to_letter=True), matings, tables, prefer).best
    if best is None:
        return None
    first = ordered[0]
    lost_place = not first.buildable or first.legal is Legal.NO or first.cable.name != best.cable.name
    return best if lost_place else None
