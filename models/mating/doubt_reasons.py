"""What is said of how sure a verdict is: its share, what else comes out, and the measurement that would settle most."""

from __future__ import annotations

from coaxtell.models.catalogue import Reason, called
from coaxtell.models.gauging.places import places
from coaxtell.models.half import Half
from coaxtell.models.mating.confidence import FIRM, Confidence
from coaxtell.models.mating.kept import shipped_share
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.numbers import named
from coaxtell.models.statements import Statement, shipped

TELLS = 0.1
"""A number that explains less of a doubt than this is not named."""
SETTLES = 0.05
"""Measuring a number that explains less of a doubt than this settles nothing."""


def number(half: Half, path: tuple[str | int, ...]) -> Reason:
    """A number of a half, by both names."""
    return Reason("doubt.number", {"half": half.id, "number": named(half, path)})


def deciding(a: Half, b: Half, sure: Confidence) -> list[Reason]:
    """The numbers that explain the doubt, most first; none where the verdict is as good as certain."""
    halves = {a.id: a, b.id: b}
    told = [] if sure.share >= FIRM else [tell for tell in sure.tells if tell.explains >= TELLS][:3]
    return [number(halves[tell.half], tell.path) for tell in told]


def _outcomes(shares: dict[Verdict, float]) -> list[Reason]:
    return [Reason("doubt.outcome", {"verdict": called(one), "share": 100 * share}) for one, share in shares.items()]


def doubts(sure: Confidence) -> list[Reason]:
    """What makes a verdict doubtful; nothing where it is known and firm, or told by practice, which `beside` says."""
    if sure.draws == 0:
        return [Reason("doubt.no_way")]
    if sure.known and (sure.share >= FIRM or sure.by_practice):
        return []
    if sure.known:
        return [Reason("doubt.holds", {"share": 100 * sure.share, "others": _outcomes(sure.otherwise)})]
    if sure.share >= FIRM:
        return [Reason("doubt.few", {"draws": sure.draws})]
    return [Reason("doubt.not_known", {"outcomes": _outcomes(sure.outcomes)})]


def measurement(a: Half, b: Half, sure: Confidence) -> list[Reason]:
    """The one measurement that would settle most and that may be made; where what tells most may not be measured, why.

    Nothing where the verdict is firm, or told by practice.
    """
    settling = [tell for tell in sure.tells if tell.explains >= SETTLES]
    if sure.share >= FIRM or sure.by_practice or sure.draws == 0:
        return []
    if not settling:
        return [Reason("doubt.no_one")]
    halves = {a.id: a, b.id: b}
    refused = {(half.id, one.path): one.why for half in halves.values() for one in places(half)[1]}
    allowed = {(half.id, one.path) for half in halves.values() for one in places(half)[0]}
    named = [(number(halves[tell.half], tell.path), (tell.half, tell.path)) for tell in settling]
    most, key = named[0]
    if key in allowed:
        return [Reason("doubt.measure", {"number": most})]
    why = refused.get(key, Reason("gauge.not_length"))
    following = next((one for one, key in named if key in allowed), None)
    after = Reason("doubt.nothing_here") if following is None else Reason("doubt.following", {"number": following})
    return [Reason("doubt.not_here", {"number": most, "why": why}), after]


def beside(a: Half, b: Half, sure: Confidence) -> list[Reason]:
    """What stands beside a verdict: in how many draws it holds where that is firm, and what is stated of the pair."""
    firm = [Reason("doubt.firm", {"share": int(100 * sure.share), "draws": sure.draws})] if sure.share >= FIRM else []
    return _grounds(a, b, sure.stated, sure.free, firm)


def beside_firm(a: Half, b: Half, stated: Statement | None, free: float | None) -> list[Reason]:
    """The same of a pair that is on no list of doubts, so that its verdict holds in `FIRM` of the draws and more."""
    return _grounds(a, b, stated, free, [Reason("doubt.firm_least", {"share": int(100 * FIRM)})])


def _grounds(a: Half, b: Half, stated: Statement | None, free: float | None, firm: list[Reason]) -> list[Reason]:
    found = firm
    if stated is not None and free is not None:
        found = [Reason("doubt.stated", {"ground": stated.ground, "free": 100 * free})]
    elif stated is not None:
        # numbers of one's own that take long to draw: said of the tables that ship
        plug, jack = sorted((a, b), key=lambda half: half.gender == "jack")
        share = shipped_share(plug.id, jack.id)
        found = [Reason("doubt.stated_shipped", {"ground": stated.ground, "free": 100 * share})]
    against = shipped().against(a, b)
    if against is not None:
        found = [*found, Reason("doubt.apart", {"says": against.says, "ground": against.ground})]
    return found
