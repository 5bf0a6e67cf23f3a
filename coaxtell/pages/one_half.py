"""What the sheet of one half says: what it is, what to see and measure, what mates with it, what to beware of."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from coaxtell.identifier import contrast, words
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import MEASURED, Feature
from coaxtell.identifier.question import seconds
from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import tell
from coaxtell.models.drawings.pair import main_reason
from coaxtell.models.family import Unmeasured
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Mating, Verdict, couplings_fit, mate
from coaxtell.models.words import gender_words, order_words, said
from coaxtell.pages.lifesize import weakness

BY_THE_WAY = (Feature.TOUCH, Feature.HOLE, Feature.RIM, Feature.FORM)
"""Looks that say again what another line says, or tell few ports apart; they stand where they tell a look-alike."""
AT_FOOT = ("need.switched_off", "caution.site")
"""What the foot of every page says before an act, and the cautions below."""
HARMS = 4
"""Matings that do harm told with their reason; of more the names stand."""


class Alike(msgspec.Struct, frozen=True):
    """A half that is taken for this one, and the look that tells them apart."""

    name: str
    tell: str


class OneHalf(msgspec.Struct, frozen=True):
    """The sheet of one half."""

    half: Half
    gender: str
    before: tuple[str, ...]
    """What must hold before it is touched or measured beside what the foot of every page says."""
    measures: tuple[tuple[str, str], ...]
    """Feature and what is seen or measured of it; of a precision port what is seen alone."""
    mates: tuple[str, ...]
    limited: tuple[tuple[str, str], ...]
    """What mates with limits, and what they are."""
    breaks: tuple[tuple[str, str], ...]
    """What is damaged on joining, with the reason."""
    breaks_too: tuple[str, ...]
    """Names of further halves that do harm."""
    empty: tuple[str, ...]
    """Names of halves that join without contact."""
    open: tuple[tuple[str, str], ...]
    """What is not known to mate or to harm, with what becomes of it probably."""
    alike: tuple[Alike, ...]
    order: str
    fit: str
    """Order words of the half that fits it, empty where none does."""
    cautions: tuple[str, ...]
    weak: str


def told(shortlist: Shortlist, half: Half, unmeasured: Iterable[Unmeasured] = ()) -> OneHalf:
    """The sheet of a half of the shortlist, the likelier halves first.

    `unmeasured`: halves known to exist without sizes; those that are taken for this one head its look-alikes, what may
    carry kilovolts first.
    """
    i = shortlist.index(half.id)
    order = sorted(range(len(shortlist)), key=lambda j: (-float(shortlist.prior[j]), j))
    matings = [(shortlist.halves[j], mate(half, shortlist.halves[j])) for j in order]

    def best(pair: tuple[Half, Mating]) -> tuple[bool, bool, bool]:
        other, mating = pair
        strange = other.family != half.family
        return mating.verdict is not Verdict.MATES, strange, other.impedance_ohm != half.impedance_ohm

    joined = sorted((pair for pair in matings if pair[1].verdict in JOINED), key=best)
    harm = [pair for pair in matings if pair[1].verdict is Verdict.DAMAGES]
    empty = [other.name for other, mating in matings if mating.verdict is Verdict.NO_CONTACT]
    fit = joined[0] if joined else None
    left_out = {*BY_THE_WAY, *(MEASURED if half.precision else ())}
    measured = [(feature, contrast.shows(shortlist, feature, half)) for feature in Feature if feature not in left_out]
    bare = sorted((one for one in unmeasured if half.id in one.mistaken_for), key=lambda one: not one.high_voltage)
    return OneHalf(
        half=half,
        gender=gender_words(half),
        before=tuple(said(one for one in before([Act.TOUCH, Act.MEASURE], [half]) if one.code not in AT_FOOT)),
        measures=tuple(
            (feature.value.replace("-", " "), words.say(shown))
            for feature, shown in measured
            if shown != contrast.NOTHING
        ),
        mates=tuple(
            tell("told.practice", verdict=other.name) if mating.by_practice else other.name
            for other, mating in joined
            if mating.verdict is Verdict.MATES
        ),
        limited=tuple(
            (other.name, main_reason(mating)) for other, mating in joined if mating.verdict is Verdict.LIMITS
        ),
        breaks=tuple((other.name, main_reason(mating)) for other, mating in harm[:HARMS]),
        breaks_too=tuple(other.name for other, _ in harm[HARMS:]),
        empty=tuple(empty),
        open=tuple((other.name, likely(mating)) for other, mating in matings if mating.verdict is Verdict.NOT_KNOWN),
        alike=(
            *(Alike(one.name, f"{one.known} (not in the tables)") for one in bare),
            *_alike(shortlist, i, order, None if fit is None else fit[0]),
        ),
        order=order_words(half),
        fit="" if fit is None else order_words(fit[0]),
        cautions=tuple(said(fit[1].cautions if fit is not None else harm[0][1].cautions if harm else ())),
        weak=weakness(half),
    )


def likely(mating: Mating) -> str:
    """What becomes of a pair whose verdict is not known, probably."""
    return mating.geometry.value if mating.confidence is None else mating.confidence.probably.value


def _tell(shortlist: Shortlist, one: Half, other: Half, feature: Feature | None) -> str:
    """The look that tells two halves apart, in words; a marking is on some parts only."""
    if feature is None:
        return "nothing seen or measured on the part tells them apart; read the marking"
    here, there = (words.say(contrast.shows(shortlist, feature, half)) for half in (one, other))
    if feature is Feature.MARKED:
        return f"only a marking tells, where there is one; here: {here}; there: {there}"
    told = f"{feature.value.replace('-', ' ')} here: {here}; there: {there}"
    by_gauge = contrast.gauged(shortlist, feature, one, other)
    return f"read the marking; the maker's own gauge tells: {told}" if by_gauge else told


def _alike(shortlist: Shortlist, i: int, order: list[int], fit: Half | None) -> list[Alike]:
    """Halves to be ordered by other words that look like one without measuring.

    First those that the same mate's coupling takes, since nothing but a look stops that mistake; then the likelier.
    Of housings that differ in their code alone one stands for all.
    """
    near = contrast.alike(shortlist, i)
    if fit is not None:
        order = sorted(order, key=lambda j: not couplings_fit(shortlist.halves[j], fit))
    took = {feature: seconds(shortlist, feature) for feature in Feature}
    found: list[Alike] = []
    keyed = False
    for j in order:
        if j == i or shortlist.order_of[j] == shortlist.order_of[i] or near[j] < contrast.NEAR:
            continue
        other = shortlist.halves[j]
        if other.key is not None and keyed:
            continue
        keyed = keyed or other.key is not None
        feature = contrast.telling(shortlist, i, j, took)
        found.append(Alike(other.name, _tell(shortlist, shortlist.halves[i], other, feature)))
    return found
