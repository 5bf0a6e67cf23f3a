"""Forty everyday runs and what is ordered for each, to be read as a buyer would.

Print the table anew: python -m tests.cables.forty_runs
"""

from __future__ import annotations

from msgspec.structs import replace

from coaxtell.cables import units
from coaxtell.cables.words import say
from tests.cables.kit import choice, run

PORTS = (
    ("rp-tnc-jack", "n-50-jack"),
    ("sma-jack", "n-50-jack"),
    ("n-50-jack", "n-50-jack"),
    ("rp-sma-jack", "rp-tnc-jack"),
    ("tnc-jack", "4.3-10-jack"),
)
LENGTHS = ("0.5m", "1m", "2m", "3m", "5m", "8m", "12m", "18m", "24m", "30m")
TARGETS: tuple[dict[str, float], ...] = ({"want_dbm": 24.0}, {"want_dbm": 27.0}, {"budget_db": 2.0}, {})
READER = units.power_range("10..31.5/0.25")


def table() -> str:
    """The forty runs, one a line."""
    lines = []
    for n in range(40):
        reader, antenna = PORTS[n % 5]
        region = ("us", "eu-lower")[n // 5 % 2]
        asked = replace(
            run(reader, antenna, LENGTHS[(3 * n + n // 10) % 10], region, ("6dBi", "8.5dBic", "2dBi")[n % 3]),
            power=READER,
            outdoor=n % 4 == 3,
            **TARGETS[(n // 10 + n) % 4],
        )
        found = choice(asked)
        first = found.ranked[0]
        a, target = first.assembly, found.target
        wish = (
            f"{target.want_dbm:g} dBm" if target.want_dbm is not None else f"{target.aim.value} {target.most_db:.1f} dB"
        )
        lines.append(
            f"{reader:11} {antenna:11} {asked.length_m:4g} m {region:8} {asked.gain!s:9} {wish:13} -> "
            f"{a.cable.name:6} at {a.power_dbm:5.2f} dBm: {say(first.reasons[0])}"
        )
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(table(), end="")
