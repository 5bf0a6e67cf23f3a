"""The words an assembly is ordered by, and its label: length, class, jacket, both ends in both gender words."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.links import Link
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M
from coaxtell.models.half import Half
from coaxtell.models.words import counted, order_words


def length_words(length_m: float) -> str:
    """A length in metres and feet, as orders state it; length in [m]."""
    return f"{length_m:.4g} m ({length_m / FEET_M:.1f} ft)"


def link_count_words(links: Iterable[Link]) -> str:
    """How many adapters and jumpers these are, such as `2 adapters and 1 jumper`; empty where there is none."""
    jumpers = [link.jumper for link in links]
    counts = ((jumpers.count(False), "adapter"), (jumpers.count(True), "jumper"))
    return " and ".join(counted(number, word) for number, word in counts if number)


def end_words(half: Half) -> str:
    """One end to order: family, gender, polarity and impedance, and the gender in both the trade's ways."""
    if half.gender == "sexless":
        both = "both halves alike"
    else:
        by_body = "male" if half.gender == "plug" else "female"
        by_contact = "male" if half.centre.pin is not None else "female"
        both = f"{by_body} by its body, {by_contact} by its contact"
    note = f"; {half.wording}" if half.wording else ""
    return f"{order_words(half)}, {both}{note}"


def assembly_words(assembly: Assembly, tables: CableTables) -> str:
    """The whole order text of an assembly in one paragraph.

    Raises ValueError where an end is missing: such an assembly cannot be ordered.
    """
    one, two = assembly.ends
    if one is None or two is None:
        raise ValueError(f"class {assembly.cable.name!r} has no end for this run")
    cable = assembly.cable
    jacket = tables.practice.jackets[assembly.jacket].name if assembly.jacket is not None else "any"
    kind = f"{cable.name} cable" if cable.name.startswith("RG") else f"{cable.name}-class coaxial cable"
    return (
        f"Coaxial cable assembly, {length_words(assembly.length_m)}, {kind}, {cable.impedance.nominal:g} ohm, "
        f"jacket {jacket}. End A: {end_words(one)}. End B: {end_words(two)}."
    )


def link_words(link: Link) -> str:
    """The order text of an adapter or a jumper."""
    sides = f"One side: {end_words(link.outer)}. Other side: {end_words(link.inner)}."
    if link.thickest_mm is None:
        return f"Coaxial adapter. {sides}"
    cable = f"of coaxial cable up to about {link.thickest_mm:g} mm thick"
    return f"Short flexible jumper, as short as reaches, {cable}. {sides}"


def order_lines(assembly: Assembly, tables: CableTables) -> list[str]:
    """The order texts of an assembly and of everything that goes with it.

    Raises ValueError as `assembly_words` does.
    """
    return [assembly_words(assembly, tables), *(link_words(link) for side in assembly.links for link in side)]
