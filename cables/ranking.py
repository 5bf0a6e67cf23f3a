"""All classes held against one run: ranked, each explained in a line."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import msgspec
from msgspec.structs import replace

from coaxtell.cables.assembly import Assembly, work_out
from coaxtell.cables.cautions import advice, cautions
from coaxtell.cables.ends import Matings
from coaxtell.cables.order import link_count_words
from coaxtell.cables.rules import Legal
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
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
    reason: str


class Ranked(msgspec.Struct, frozen=True):
    """An assembly in its place, with the reasons: the first line says why it stands there."""

    assembly: Assembly
    reasons: tuple[str, ...]


class Choice(msgspec.Struct, frozen=True):
    """The answer for one run: assemblies best first, classes only listed, first advice, cautions."""

    run: Run
    ranked: tuple[Ranked, ...]
    not_ranked: tuple[NotRanked, ...]
    advice: tuple[str, ...]
    cautions: tuple[str, ...]
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


def _line(assembly: Assembly, prefer: Preference, currency: str) -> str:
    """Why an assembly stands where it stands, in one line."""
    loss = f"{assembly.loss.cable_db:.2f} dB in {assembly.length_m:.4g} m of cable"
    if not assembly.buildable:
        return f"not buildable: {assembly.not_buildable[0]}"
    if assembly.legal is Legal.NO:
        return f"over the limits at {assembly.power_dbm:.2f} dBm: {'; '.join(assembly.not_legal)}"
    if assembly.adapter_count:
        needed = link_count_words(part for side in assembly.links for part in side)
        return f"{loss}, but needs {needed}: behind every cable with its own ends"
    if assembly.not_sensible:
        return f"{loss}, but not sensible: {assembly.not_sensible[0]}"
    if prefer is Preference.BEND:
        cable = assembly.cable
        once, repeated = cable.bend_once.nominal, cable.bend_repeated.nominal
        return f"bends to {once:g} mm once, {repeated:g} mm repeated; {loss}"
    if prefer is Preference.PARTS:
        return f"{assembly.parts} part{'s' if assembly.parts > 1 else ''} to order; {loss}"
    if prefer is Preference.PRICE:
        price = "no price in your table" if assembly.price is None else f"{assembly.price:.2f} {currency}"
        return f"{price}; {loss}"
    return loss


def _reasons(assembly: Assembly, prefer: Preference, currency: str) -> tuple[str, ...]:
    found = [_line(assembly, prefer, currency)]
    letter, radiated = assembly.settings.by_letter_dbm, assembly.settings.by_radiated_dbm
    if assembly.settings.judge(assembly.power_dbm) is Legal.BY_GRANT:
        found.append(
            f"only by grant: {assembly.power_dbm:.2f} dBm lies over the {letter:.2f} dBm by the letter "
            f"and within the {radiated:.2f} dBm by radiated power; the equipment's grant and local rules "
            "decide"
        )
    elif assembly.legal is Legal.BY_GRANT:
        found.append("not judged: the antenna's gain is not known; give it as the label states it")
    found += [f"not buildable: {reason}" for reason in assembly.not_buildable]
    found += [f"over the limits: {reason}" for reason in assembly.not_legal]
    found += [f"not sensible: {reason}" for reason in assembly.not_sensible]
    # What the first line says already is not said again.
    told = [reason for reason in found[1:] if reason.split(": ", 1)[1] not in found[0]]
    return (found[0], *told, *assembly.notes)


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
            NotRanked(c.name, f"loss: unknown ({c.note or 'fewer than two sourced loss rows'})")
            for c in tables.classes.values()
            if not c.loss_known
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
