"""The words an assembly is ordered by, and its label: length, class, jacket, both ends in both gender words."""

from __future__ import annotations

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M
from coaxtell.models.half import Half
from coaxtell.models.words import gender_words, order_words


def counted(number: int, word: str) -> str:
    """A number with its word in the singular or plural."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def length_words(length_m: float) -> str:
    """A length in metres and feet, as orders state it; length in [m]."""
    return f"{length_m:.4g} m ({length_m / FEET_M:.1f} ft)"


def end_words(half: Half) -> str:
    """One end to order: family, gender, polarity and impedance, and the gender in both the trade's ways."""
    return f"{order_words(half)}; {gender_words(half)}"


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


def adapter_words(outer: Half, inner: Half) -> str:
    """The order text of an adapter."""
    return f"Coaxial adapter. One side: {end_words(outer)}. Other side: {end_words(inner)}."
