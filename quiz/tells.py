"""The look that tells: what a person sees or measures that decides between two halves, or whether they fit."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from itertools import product

from coaxtell.identifier import contrast
from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import SEEN, Feature, hand, seen_values
from coaxtell.identifier.sizes import sizes
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Verdict
from coaxtell.models.words import contact_words, coupling_words
from coaxtell.quiz.item import Said
from coaxtell.quiz.stock import Stock

SECOND_LOOKS = (
    Feature.PIN_DIAMETER, Feature.SOCKET_BORE, Feature.COUPLING_DIAMETER, Feature.BORE, Feature.HAND, Feature.MARKED,
)  # fmt: skip
"""What tells halves that look the same, in the order in which it is named; the marking is on some parts only."""


def coupling_mm(half: Half) -> float:
    """Diameter at which two couplings meet [mm]: the thread's major, the snap's bead or lip, else the bayonet's own."""
    if half.coupling_thread is not None:
        return half.coupling_thread.major.nominal
    if half.snap is not None:
        return half.snap.bead.nominal
    if half.groove is not None:
        return half.groove.lip.nominal
    first = half.nut.body.inside[0] if half.nut is not None else half.shell.outside[0]
    assert first.d is not None
    return first.d.nominal


def contact_mm(half: Half) -> float:
    """Diameter of the pin, or of the hole of the socket [mm]."""
    if half.centre.pin is not None:
        return half.centre.pin.d.nominal
    assert half.centre.socket is not None
    return half.centre.socket.hole.nominal


def shows(stock: Stock, half: Half, feature: Feature) -> Reason:
    """What a half shows of a feature, as a clause with its name."""
    if feature in SEEN and feature is not Feature.SIZE:
        values = stock.shortlist.looks.table.seen[feature].values
        shown = dict.fromkeys(seen_values(half, feature, Draws(half)))
        found: list[Said] = [
            Reason(f"lies.{value}") if feature is Feature.PLASTIC else values[value] for value in shown
        ]
        if not found:
            return Reason("shows.none", {"half": half.name})
        return Reason("shows.value", {"half": half.name, "value": either(found)})
    found_mm = sizes(half, feature, Nominal(), stock.shortlist.looks.table.jaws.reach)
    if found_mm is None:
        return Reason("shows.lacks", {"half": half.name})
    unit = "number" if feature is Feature.THREADS else "mm"
    return Reason(f"shows.{unit}", {"half": half.name, "figure": float(found_mm[0])})


def either(values: Iterable[Said]) -> Said:
    """One or another of some values."""
    first, *others = values
    found: Said = first
    for other in others:
        found = Reason("either.or", {"one": found, "two": other})
    return found


def between(stock: Stock, one: Half, two: Half, feature: Feature) -> Reason:
    """Where to look to tell two halves apart, and what either shows there."""
    shown = {"one": shows(stock, one, feature), "two": shows(stock, two, feature)}
    verb = "look" if feature in SEEN else _measured(stock, [one, two], feature)
    return Reason(f"tells.{verb}", {"feature": Reason(f"part.{feature.value}")} | shown)


def _measured(stock: Stock, halves: list[Half], feature: Feature) -> str:
    """Whether a size of some halves is measured, or left to the gauge of the maker of one that is a precision port."""
    pairs = product(halves, repeat=2)
    return "gauge" if any(contrast.gauged(stock.shortlist, feature, one, two) for one, two in pairs) else "measure"


def beyond_looking(stock: Stock, rivals: Iterable[tuple[Half, Half]]) -> Reason:
    """What tells halves, each paired with another that no picture tells from it: the fewest measures or markings that
    do, with what all of them have there."""
    left: dict[str, list[Half]] = {}
    for half, rival in rivals:
        left.setdefault(half.id, []).append(rival)
    named: dict[Feature, list[Half]] = {}
    not_told: list[Reason] = []
    for half_id, others in left.items():
        for most in (contrast.TELLS, contrast.TELLING):
            while others:
                told = {
                    feature: [one for one in others if _apart(stock, half_id, one.id, feature, most)]
                    for feature in SECOND_LOOKS
                }
                feature = max(SECOND_LOOKS, key=lambda one: len(told[one]))
                if not told[feature]:
                    break
                named.setdefault(feature, []).extend([stock.half(half_id), *told[feature]])
                others = [one for one in others if one not in told[feature]]
        if others:
            names = ", ".join(one.name for one in others)
            not_told.append(Reason("tells.sheet", {"one": stock.half(half_id).name, "two": names}))
    found = [*(_second(stock, halves, feature) for feature, halves in named.items()), *not_told]
    return reduce(lambda one, two: Reason("tells.then", {"one": one, "two": two}), found)


def _apart(stock: Stock, one: str, two: str, feature: Feature, most: float) -> bool:
    """True where the answers that two halves get in a feature overlap by no more than `most`."""
    if feature is Feature.MARKED:
        return stock.half(one).impedance_ohm != stock.half(two).impedance_ohm
    shortlist = stock.shortlist
    i, j = shortlist.ids.index(one), shortlist.ids.index(two)
    return contrast.overlap(shortlist, feature, i, j) <= most


def _second(stock: Stock, halves: list[Half], feature: Feature) -> Reason:
    """What to measure or to read, and what each of some halves has there; the last of them apart."""
    if feature is Feature.MARKED:
        verb = "marked"
        shown = [Reason("shows.ohm", {"half": half.name, "ohm": half.impedance_ohm or 0.0}) for half in halves]
    elif feature is Feature.HAND:
        verb, shown = "look", [Reason(f"shows.{hand(half)}-hand", {"half": half.name}) for half in halves]
    else:
        verb, shown = _measured(stock, halves, feature), [shows(stock, half, feature) for half in halves]
    *others, last = shown
    first = reduce(lambda one, two: Reason("tells.beside", {"one": one, "two": two}), others)
    return Reason(f"tells.{verb}", {"feature": Reason(f"part.{feature.value}"), "one": first, "two": last})


def for_mating(a: Half, b: Half, verdict: Verdict) -> Reason:
    """What to look at before these two are brought together."""
    one: Said = coupling_words(a)
    two: Said = coupling_words(b)
    mm = coupling_mm(a), coupling_mm(b)
    ids: dict[str, Said | float] = {"a": a.id, "b": b.id}
    if verdict is Verdict.NO_JOIN and one == two:
        return Reason("tells.same-coupling", {"coupling": one})
    if (a.coupling_thread is None) != (b.coupling_thread is None):
        return Reason("tells.coupling", {**ids, "one": one, "two": two})
    if verdict is Verdict.NO_JOIN and abs(mm[0] - mm[1]) > 0.5:
        return Reason("tells.coupling-size", {**ids, "one": mm[0], "two": mm[1]})
    if verdict is Verdict.NO_JOIN and a.key is not None and b.key is not None and a.key != b.key:
        codes = {"one": a.key.code, "one_colour": a.key.colour, "two": b.key.code, "two_colour": b.key.colour}
        return Reason("tells.housing", {**ids, **codes})
    threads = a.coupling_thread is not None and b.coupling_thread is not None
    if verdict is Verdict.NO_JOIN and threads and (a.nut is None) == (b.nut is None):
        return Reason("tells.two-threads" if a.nut is None else "tells.two-nuts")
    if a.coupling_thread and b.coupling_thread and a.coupling_thread.hand != b.coupling_thread.hand:
        return Reason("tells.slope", {"left": a.id if a.coupling_thread.hand == "left" else b.id})
    if verdict not in JOINED and contact_words(a) == contact_words(b):
        contact = "pins" if a.centre.pin is not None else "sockets"
        return Reason(f"tells.two-{contact}", {"contact": contact_words(a)})
    pin, socket = (a, b) if a.centre.pin is not None else (b, a)
    if pin.centre.pin and socket.centre.socket and abs(contact_mm(pin) - contact_mm(socket)) > 0.15:
        values: dict[str, Said | float] = {
            "pin": pin.id,
            "socket": socket.id,
            "pin_mm": contact_mm(pin),
            "hole_mm": contact_mm(socket),
        }
        return Reason("tells.centre-size", values)
    lies = [seen_values(half, Feature.PLASTIC, Nominal()) for half in (a, b)]
    if a.family != b.family and verdict is not Verdict.MATES and not set(lies[0]) & set(lies[1]):
        one, two = (either([Reason(f"lies.{value}") for value in values]) for values in lies)
        return Reason("tells.plastic", {**ids, "one": one, "two": two})
    if verdict is Verdict.NO_JOIN:
        return Reason("tells.coupling", {**ids, "one": coupling_words(a), "two": coupling_words(b)})
    if a.impedance_ohm and b.impedance_ohm and a.impedance_ohm != b.impedance_ohm:
        return Reason("tells.impedance", {"one": a.impedance_ohm, "two": b.impedance_ohm})
    return Reason("tells.both")
