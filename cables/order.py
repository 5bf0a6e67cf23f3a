"""What an assembly is ordered by: length, class, jacket, and both ends in both gender words."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.links import Link
from coaxtell.cables.reasons import because, chained
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.words import order_words


def order_length(length_m: float) -> Reason:
    """A length [m] in metres and feet, as orders state it."""
    return because("order.length", metres=length_m, feet=length_m / FEET_M)


def link_count(links: Iterable[Link]) -> Reason | None:
    """How many adapters and jumpers these are, such as `2 adapters and 1 jumper`; none where there is none."""
    jumpers = [link.jumper for link in links]
    counts = ((jumpers.count(False), "adapter"), (jumpers.count(True), "jumper"))
    parts = [because(f"count.{kind}{'' if n == 1 else 's'}", number=n) for n, kind in counts if n]
    return chained("list.and", parts) if parts else None


def end_order(half: Half) -> Reason:
    """One end to order: family, gender, polarity and impedance, and the gender in both the trade's ways."""
    note = because("order.note", note=half.wording) if half.wording else ""
    if half.gender == "sexless":
        return because("order.alike", words=order_words(half), note=note)
    body = Reason("order.male" if half.gender == "plug" else "order.female")
    contact = Reason("order.male" if half.centre.pin is not None else "order.female")
    return because("order.end", words=order_words(half), body=body, contact=contact, note=note)


def assembly_order(assembly: Assembly, tables: CableTables) -> Reason:
    """The whole order text of an assembly in one paragraph.

    Raises ValueError where an end is missing: such an assembly cannot be ordered.
    """
    one, two = assembly.ends
    if one is None or two is None:
        raise ValueError(f"class {assembly.cable.name!r} has no end for this run")
    cable, jackets = assembly.cable, tables.practice.jackets
    return because(
        "order.assembly",
        length=order_length(assembly.length_m),
        kind=because("order.rg" if cable.name.startswith("RG") else "order.class", cable=cable.name),
        ohm=cable.impedance.nominal,
        jacket=Reason("order.any_jacket") if assembly.jacket is None else jackets[assembly.jacket].name,
        end_a=end_order(one),
        end_b=end_order(two),
    )


def link_order(link: Link) -> Reason:
    """The order text of an adapter or a jumper."""
    sides = {"outer": end_order(link.outer), "inner": end_order(link.inner)}
    if link.thickest_mm is None:
        return because("order.adapter", **sides)
    return because("order.jumper", thickest_mm=link.thickest_mm, **sides)


def link_short(link: Link) -> Reason:
    """An adapter or a jumper by the names of its two halves, for where its order text has no room."""
    if link.thickest_mm is None:
        return because("order.short_adapter", outer=link.outer.name, inner=link.inner.name)
    names = {"outer": link.outer.name, "inner": link.inner.name}
    return because("order.short_jumper", thickest_mm=link.thickest_mm, **names)


def orders(assembly: Assembly, tables: CableTables) -> list[Reason]:
    """The order texts of an assembly and of everything that goes with it.

    Raises ValueError as `assembly_order` does.
    """
    return [assembly_order(assembly, tables), *(link_order(link) for side in assembly.links for link in side)]
