"""Quantities as people write them, and what is refused with a sentence."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.cables import units
from coaxtell.models.errors import InputError


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12m", 12),
        ("40ft", 12.192),
        ("40 ft", 12.192),
        ("25cm", 0.25),
        ("10in", 0.254),
        ("250mm", 0.25),
        ("40'", 12.192),
    ],
)
def test_lengths(text: str, metres: float) -> None:
    # One foot is 0.3048 m, one inch 0.0254 m (exact).
    assert units.length_m(text) == pytest.approx(metres)


def test_powers() -> None:
    # 1 W = 30 dBm, 0.5 W = 26.99 dBm, 4 W = 36.02 dBm (definition).
    for text, dbm in (("30dBm", 30), ("1W", 30), ("500mW", 26.9897), ("4 W", 36.0206), ("-3dBm", -3)):
        assert units.power_dbm(text) == pytest.approx(dbm, abs=1e-4)
    assert units.level_dbm("27", "want") == 27
    assert units.level_dbm("1W", "want") == pytest.approx(30)


def test_other_quantities() -> None:
    assert units.frequency_mhz("0.915GHz") == pytest.approx(915)
    assert units.temperature_c("104F") == pytest.approx(40)
    assert units.temperature_c("-20°C") == -20
    assert str(units.gain("8.5dbic")) == "8.5 dBic"


@pytest.mark.parametrize("text", ["8.5", "8.5dB", "dBi", "8,500dBi", "8.5dBm", "1e3dBi", "nandBi", "900dBi", ""])
def test_a_bare_or_strange_gain_is_refused(text: str) -> None:
    with pytest.raises(InputError) as error:
        units.gain(text)
    assert "8.5dBi" in str(error.value) or "label" in str(error.value)


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (units.length_m, "12"),
        (units.length_m, "0m"),
        (units.length_m, "-3m"),
        (units.length_m, "1,200ft"),
        (units.length_m, "12 furlongs"),
        (units.length_m, "9" * 400 + "m"),
        (units.power_dbm, "30"),
        (units.power_dbm, "0W"),
        (units.power_dbm, "30dB"),
        (units.power_dbm, "500dBm"),
        (units.frequency_mhz, "915"),
        (units.frequency_mhz, "0MHz"),
        (units.temperature_c, "40"),
        (units.temperature_c, "400C"),
    ],
)
def test_refused_in_one_sentence(read: object, text: str) -> None:
    assert callable(read)
    with pytest.raises(InputError) as error:
        read(text)
    assert str(error.value).endswith((".", "it."))
    assert "\n" not in str(error.value)


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (units.length_m, units.power_dbm, units.frequency_mhz, units.temperature_c, units.gain):
        with contextlib.suppress(InputError):
            read(text)


@given(dbm=st.floats(-60, 90))
def test_watts_and_dbm_are_inverse(dbm: float) -> None:
    assert units.watts_to_dbm(units.dbm_to_watts(dbm)) == pytest.approx(dbm, abs=1e-9)
