"""What an assembly is ordered by: length, class, jacket, and both ends in both gender words."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.links import Link
from coaxtell.cables.pieces import Piece
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


def piece_order(piece: Piece, jacket: str | None, tables: CableTables) -> Reason:
    """The whole order text of a made-up cable in one paragraph; `jacket` is the key of its jacket.

    Raises ValueError where an end is missing: such a cable cannot be ordered.
    """
    one, two = piece.ends
    if one is None or two is None:
        raise ValueError(f"class {piece.cable.name!r} has no end for this run")
    cable, jackets = piece.cable, tables.practice.jackets
    bent = [Reason("order.right_angle" if right else "order.straight") for right in piece.right_angle]
    return because(
        "order.assembly",
        length=order_length(piece.length_m),
        kind=because("order.rg" if cable.name.startswith("RG") else "order.class", cable=cable.name),
        ohm=cable.impedance.nominal,
        jacket=Reason("order.any_jacket") if jacket is None else jackets[jacket].name,
        end_a=because("order.bent", bent=bent[0], end=end_order(one)),
        end_b=because("order.bent", bent=bent[1], end=end_order(two)),
    )


def cable_orders(assembly: Assembly, tables: CableTables) -> list[Reason]:
    """The order texts of the made-up cables: the run's in one piece or two, and the pigtail.

    Raises ValueError as `piece_order` does.
    """
    found = [piece_order(piece, assembly.jacket, tables) for piece in assembly.pieces]
    if assembly.pigtail is not None:
        found.append(because("order.pigtail", cable=piece_order(assembly.pigtail, None, tables)))
    return found


def cables_short(assembly: Assembly) -> list[Reason]:
    """The made-up cables by length, class and ends, for where their order texts have no room."""
    tail = () if assembly.pigtail is None else (assembly.pigtail,)
    found = []
    for piece in (*assembly.pieces, *tail):
        bent = [Reason("order.right_angle" if right else "order.straight") for right in piece.right_angle]
        ends = [because("order.bent", bent=b, end=e.name) for b, e in zip(bent, piece.ends, strict=True) if e]
        length = order_length(piece.length_m)
        found.append(because("order.short_cable", length=length, cable=piece.cable.name, end_a=ends[0], end_b=ends[1]))
    return found


def beside_orders(assembly: Assembly, mhz: float) -> list[Reason]:
    """What is ordered beside cables and adapters: the inline part for a frequency [MHz], and what seals the joints."""
    found = []
    if assembly.inline is not None:
        found.append(because(f"order.{assembly.inline.kind.value}", mhz=mhz))
    if assembly.sealed:
        code = "order.seal" if assembly.sealed == 1 else "order.seals"
        found.append(because(code, joints=assembly.sealed))
    return found


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


def orders(assembly: Assembly, mhz: float, tables: CableTables) -> list[Reason]:
    """The order texts of an assembly and of everything that goes with it, at a frequency [MHz].

    Raises ValueError as `piece_order` does.
    """
    links = [link_order(link) for side in assembly.links for link in side]
    return [*cable_orders(assembly, tables), *links, *beside_orders(assembly, mhz)]
