"""One grammar of quantities: what a technician types is read alike by every command, or refused with a sentence."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.cables import units
from coaxtell.cli.main import main
from coaxtell.identifier import answers, looks
from coaxtell.identifier.answers import Read
from coaxtell.identifier.features import Feature
from coaxtell.models import quantity
from coaxtell.models.errors import InputError
from coaxtell.models.quantity import Quantity

SPELLINGS = {
    "15.9mm": 15.9, "15,9 mm": 15.9, "1.59cm": 15.9, "0.0159 m": 15.9, "5/8in": 15.875, '5/8"': 15.875,
    "⅝in": 15.875, "5⁄8 in": 15.875, "0.625 inches": 15.875, ".625in": 15.875, ",625in": 15.875, "1 1/8in": 28.575,
    "1-1/8 inch": 28.575, "1⅛″": 28.575, "1 1/8''": 28.575, "625mil": 15.875, "625 thou": 15.875,
    "16 millimetres": 16, "16 millimeters": 16, "1.6 centimetres": 16, "0.016 metres": 16, "0.05ft": 15.24,
    "1/16 ft": 19.05, "0'1\"": 25.4, "0' 1 1/2\"": 38.1, "0ft 1in": 25.4, "15.9 MM": 15.9, "15.9\u2009mm": 15.9,
    "¼in": 6.35, "1,59 cm": 15.9,
}  # fmt: skip
"""An inch is 25.4 mm, a foot 12 inches, exactly (international yard and pound agreement of 1959; ISO 80000-3)."""
LONG = {
    "40'6\"": 12_344.4, "40' 6\"": 12_344.4, "40ft 6in": 12_344.4, "40 feet 6 inches": 12_344.4, "40'6": 12_344.4,
    "12,5m": 12_500, "10 metres": 10_000, "0.01 km": 10_000, "40'": 12_192, "40′6″": 12_344.4,
}  # fmt: skip
REFUSED = {
    "١٢ mm": "another script", "１２mm": "another script", "12²mm": "another script", "1,200mm": "thousands",
    "twelve": "not a number", "": "not a number", "1/0in": "nought", "12 mm mm": "not a number",
    "1e3mm": "not a number", "12 furlongs": "unit", "1.2.3mm": "not a number", "9" * 400 + "mm": "too large",
    "--help": "not a number", "5' 1/0\"": "nought", "9" * 400 + "'6\"": "too large", "6mm+-1/0": "nought",
}  # fmt: skip


@pytest.mark.parametrize(("typed", "mm"), [*SPELLINGS.items(), *LONG.items()])
def test_read(typed: str, mm: float) -> None:
    found = quantity.read(typed, "size", "1mm")
    assert found.per_mm is not None
    assert found.value * found.per_mm == pytest.approx(mm)


@pytest.mark.parametrize(("typed", "mm"), SPELLINGS.items())
def test_identify_and_cable_read_alike(typed: str, mm: float) -> None:
    read = answers.measured(Feature.COUPLING_DIAMETER, typed, "calliper", looks.load())
    assert isinstance(read, Read)
    assert read.value == pytest.approx(mm)
    assert units.length_m(typed, "bend") * 1000 == pytest.approx(mm)


EXACT = {
    "1 1/2in": 38.1, "1/64in": 0.396875, "1/1024in": 0.0248046875, "1 thou": 0.0254, "7.93mm": 7.93, "40'6\"": 12_344.4,
    "0.312in": 7.9248, "3 63/64 in": 101.203125,
}  # fmt: skip
"""By hand: inches times 25.4, to the last digit."""


@pytest.mark.parametrize(("typed", "mm"), EXACT.items())
def test_no_digit_is_added_or_lost_in_millimetres(typed: str, mm: float) -> None:
    assert quantity.within(typed, "size", "1mm", 0, 1e6, quantity.LENGTHS) == mm
    found = answers.measured(Feature.COUPLING_DIAMETER, typed, "calliper", looks.load()) if 1 <= mm <= 100 else None
    assert found is None or (isinstance(found, Read) and found.value == mm)


@pytest.mark.parametrize(("typed", "why"), REFUSED.items())
def test_identify_and_cable_refuse_alike(typed: str, why: str) -> None:
    for read in (
        lambda: answers.measured(Feature.COUPLING_DIAMETER, typed, "calliper", looks.load()),
        lambda: units.length_m(typed, "bend"),
    ):
        with pytest.raises(InputError, match=why) as refused:
            read()
        assert "\n" not in str(refused.value)


def test_the_commands_themselves(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["identify", "--measured", "coupling-diameter=٦.٣", "--json"]) == 2
    assert "another script" in capsys.readouterr().err
    assert main(["cable", "n-50-jack", "n-50-jack", "--length", "١٢m"]) == 2
    assert "another script" in capsys.readouterr().err
    assert main(["cable", "n-50-jack", "n-50-jack", "--length", "40'6\""]) == 0
    by_feet = capsys.readouterr().out
    assert main(["cable", "n-50-jack", "n-50-jack", "--length", "12,3444 metres"]) == 0
    assert capsys.readouterr().out == by_feet


def test_plus_minus() -> None:
    assert quantity.read("6,3 ± 0,1 mm", "size", "1mm") == Quantity(6.3, "mm", 0.1, "mm")
    assert quantity.read("¼in+/-1/64in", "size", "1mm") == Quantity(0.25, "in", 1 / 64, "in")
    with pytest.raises(InputError, match="plus-minus"):
        units.length_m("12m+-1m")


@given(st.integers(0, 999), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_whole_number_with_a_fraction(whole: int, above: int, below: int) -> None:
    found = quantity.read(f"{whole} {above}/{below} in", "size", "1in")
    assert found.value == pytest.approx(whole + above / below)


@given(st.floats(0, 1e6), st.sampled_from(sorted(quantity.LENGTHS)), st.booleans())
def test_any_number_in_any_unit_reads_back(value: float, unit: str, comma: bool) -> None:
    typed = f"{value:.4f}".replace(".", "," if comma else ".")
    found = quantity.read(f"{typed} {unit}", "size", "1mm")
    assert found.value == pytest.approx(value, abs=1e-4)
    assert found.per_mm == quantity.LENGTHS[unit]


@given(st.integers(0, 500), st.floats(0, 11.9))
def test_feet_and_inches(feet: int, inches: float) -> None:
    found = quantity.read(f"{feet}'{inches:.3f}\"", "length", "1ft")
    assert found.per_mm is not None
    assert found.value * found.per_mm == pytest.approx((feet * 12 + inches) * 25.4, abs=0.02)


@given(st.text(max_size=25))
def test_any_text_is_a_finite_number_or_one_sentence(typed: str) -> None:
    with suppress(InputError):
        assert math.isfinite(quantity.read(typed, "size", "1mm").value)
