"""How often the halves of a task are met, so that everyday ports come first in practice and most in an assessment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coaxtell.models.half import Half
from coaxtell.quiz.stock import Stock

OFTEN = 0.02
"""Families of which one port in fifty or more is are met every day (assumed, like the shares themselves)."""


def families(stock: Stock) -> dict[str, float]:
    """Each family's share of the ports that are met, most first; families of two impedances stand apart."""
    shares: dict[str, float] = {}
    for half in stock.halves.values():
        name = _family(half)
        shares[name] = shares.get(name, 0.0) + stock.met[half.id]
    return dict(sorted(shares.items(), key=lambda entry: (-entry[1], entry[0])))


def halves(stock: Stock, ports: Iterable[str] = ()) -> frozenset[str]:
    """The halves of everyday families, and the ports of the site in question."""
    often = {name for name, share in families(stock).items() if share >= OFTEN}
    return frozenset(half.id for half in stock.halves.values() if _family(half) in often) | frozenset(ports)


def weight(stock: Stock, one: str, two: str, ports: Mapping[str, float]) -> float:
    """How often a pair is drawn beside others: by the count of its port on the list and how often its partner is met.

    Without a list both count by how often they are met. 0 where neither half is on the list.
    """
    shares = ports or stock.met
    return max(shares.get(one, 0) * stock.met[two], shares.get(two, 0) * stock.met[one])


def _family(half: Half) -> str:
    ohm = "" if half.impedance_ohm in (None, 50) else f" {half.impedance_ohm:g}"
    return half.family + ohm
