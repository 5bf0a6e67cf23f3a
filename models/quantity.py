"""One grammar of quantities for all that a person types: a number, its unit, and how far it may be off.

Decimals with a point or a comma (`6.3`, `12,5m`), fractions (`1/4in`, `1 1/8"`, `¼in`), feet with inches (`40'6"`),
units short or written out (`10 metres`), and `+-0.1` behind. What a number without a unit means is for the caller.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from typing import NamedTuple

from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError

INCH_MM = 25.4
"""One inch [mm] (exact, international yard and pound agreement of 1959)."""
FOOT_MM = 12 * INCH_MM

_SPELLINGS = {
    1.0: "mm millimetre millimetres millimeter millimeters",
    10.0: "cm centimetre centimetres centimeter centimeters",
    1000.0: "m metre metres meter meters",
    1e6: "km kilometre kilometres kilometer kilometers",
    INCH_MM: 'in inch inches "',
    FOOT_MM: "ft foot feet '",
    INCH_MM / 1000: "mil mils thou",
}
LENGTHS = {name: factor for factor, names in _SPELLINGS.items() for name in names.split()}
"""Millimetres in each unit of length, by every spelling."""
BARE = {"": 1.0}
"""A number without a unit."""
DIGITS = 12
"""Digits of a number in another unit: more than any fraction of an inch has, fewer than a machine rounds at."""
MINUTES = {"": 1.0, "min": 1.0, "minute": 1.0, "minutes": 1.0, "h": 60.0, "hour": 60.0, "hours": 60.0}
MOST_SEED = 10**9
"""Largest number by which something is drawn."""
PER_INCH = ("tpi", "per inch", "threads per inch", "per in", "/in", "/inch")
PER_10MM = ("per 10 mm", "per 10mm", "threads per 10 mm", "threads per 10mm", "/10 mm", "/10mm")

_PLAIN = str.maketrans({
    "−": "-", "–": "-", "‐": "-", "″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "º": "°", "µ": "u", "μ": "u",
    "±": "+-", "⁄": "/",
})  # fmt: skip
_NUMBER = r"(?:\d{1,3}[- ])?\d{1,4}/\d{1,4}|\d+(?:[.,]\d+)?|[.,]\d+"
_UNIT = r"(?:threads )?(?:per|/) ?(?:10 ?mm|inch|in)|[a-z%°]+|[\"']"
_ONE = re.compile(
    rf"(?P<sign>[+-]?) ?(?P<value>{_NUMBER}) ?(?P<unit>{_UNIT})?"
    rf"(?: ?(?:\+-|\+/-) ?(?P<off>{_NUMBER}) ?(?P<off_unit>{_UNIT})?)?",
    re.ASCII | re.IGNORECASE,
)
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>\d+) ?(?:ft|foot|feet|') ?(?P<inches>{_NUMBER}) ?(?:in|inch|inches|\")?", re.ASCII | re.IGNORECASE
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+", re.ASCII)


class Quantity(NamedTuple):
    """A number with its unit as it was typed, empty where there was none; so the plus-minus, where one was typed.

    A unit behind the plus-minus alone is that of both, as in `0.25 +- 0.004 in`.
    """

    value: float
    unit: str
    off: float | None = None
    off_unit: str = ""
    bare_fraction: bool = False
    """Whether it is a fraction without a unit, or its plus-minus is one that has none to take over."""

    @property
    def per_mm(self) -> float | None:
        """Millimetres in one of its unit of length; none where it has no unit or another."""
        return LENGTHS.get(self.unit.lower())


def counted(number: float, unit: float) -> float:
    """So many of a unit that counts so much: `1.5` of 25.4 mm are 38.1, not 38.099999999999994."""
    return float(f"{number * unit:.{DIGITS}g}")


def quoted(text: str) -> str:
    """What a person typed, in quotes, cut where it is too long to read."""
    return repr(text if len(text) <= 40 else f"{text[:39]}…")


def example(like: str) -> Value:
    """What a quantity is written like: the text of that name, else the words themselves."""
    return Reason(f"refused.like_{like}") if like.isalpha() else like


def read(text: str, what: str, like: str) -> Quantity:
    """The quantity in a text; `what` it is and what it is written `like`, an example or
    the name of one in `texts/refused.LANGUAGE.toml`, stand in errors.

    Raises InputError where the text is no number with or without a unit, has digits of another script, a comma that
    may mark thousands or decimals, or a number that is not finite.
    """

    def refused(why: str) -> RefusedError:
        reason = Reason(f"refused.{why}")
        return RefusedError("models.quantity", what=what, text=quoted(text), why=reason, example=example(like))

    plain = _plain(text)
    if any(c.isdigit() and not c.isascii() for c in plain):
        raise refused("foreign_digits")

    def number(digits: str) -> float:
        value = _number(digits)
        if not math.isfinite(value):
            raise refused("by_nought" if "/" in digits else "too_large_number")
        return value

    both = _FEET_AND_INCHES.fullmatch(plain)
    if both is not None:
        return Quantity(number(both["feet"]) + number(both["inches"]) / 12, "ft")
    found = _ONE.fullmatch(plain)
    if found is None:
        raise refused("no_number")
    if any(part and _THOUSANDS.fullmatch(part) for part in (found["value"], found["off"])):
        raise refused("two_commas")
    value = number(found["value"]) * (-1 if found["sign"] == "-" else 1)
    off = None if found["off"] is None else number(found["off"])
    off_unit = found["off_unit"] or ""
    unit = found["unit"] or off_unit
    bare = not unit and ("/" in found["value"] or "/" in (found["off"] or ""))
    return Quantity(value, unit, off, off_unit, bare)


def within(text: str, what: str, like: str, least: float, most: float, units: Mapping[str, float] = BARE) -> float:
    """The number in a text times what its unit counts; `units` by their names in small letters, "" for none.

    Raises InputError as `read` does, and where the unit is another, a fraction of a length has none, a plus-minus
    stands behind it, or the number lies outside `least` to `most`.
    """
    found = read(text, what, like)
    factor = units.get(found.unit.lower())
    if found.bare_fraction and "mm" in units:
        reason = Reason("refused.bare_fraction")
        raise RefusedError("models.quantity", what=what, text=quoted(text), why=reason, example=example(like))
    if factor is None or found.off is not None:
        raise RefusedError("models.other_unit", what=what, text=quoted(text), example=example(like))
    value = counted(found.value, factor)
    if not least <= value <= most:
        raise RefusedError("models.outside", what=what, text=quoted(text), least=least, most=most)
    return value


def whole(text: str, what: str, least: int, most: int) -> int:
    """A count; raises InputError as `within` does, and where it is not whole."""
    found = within(text, what, "10", least, most)
    if found != int(found):
        raise RefusedError("models.not_whole", what=what, text=quoted(text), least=least, most=most)
    return int(found)


def _plain(text: str) -> str:
    """The text with fractions of one character, dashes, primes and narrow spaces as one types them."""
    spelt = "".join(
        f" {unicodedata.normalize('NFKC', c)}" if unicodedata.decomposition(c).startswith("<fraction>") else c
        for c in text
    )
    return " ".join(spelt.translate(_PLAIN).replace("''", '"').split())


def _number(text: str) -> float:
    """A decimal with point or comma, a fraction, or a whole number with a fraction; infinite where it divides by 0."""
    if "/" not in text:
        return float(text.replace(",", "."))
    whole, _, fraction = text.replace(" ", "-").rpartition("-")
    above, _, below = fraction.partition("/")
    if int(below) == 0:
        return math.inf
    return (int(whole) if whole else 0) + int(above) / int(below)


def grammar() -> dict[str, str | int | dict[str, str]]:
    """The grammar as patterns and spellings, for a reader in another programming language."""
    return {
        "one": _ONE.pattern,
        "feetAndInches": _FEET_AND_INCHES.pattern,
        "thousands": _THOUSANDS.pattern,
        "digits": DIGITS,
        "plain": {chr(code): str(said) for code, said in _PLAIN.items()},
    }
