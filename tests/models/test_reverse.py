"""Reverse polarity by the rule: contacts exchanged at the contact plane, shells and insulators untouched."""

import pytest

from coaxtell.models.measure import Grade
from tests.halves import half


@pytest.mark.parametrize(
    ("key", "reverse"), [("sma", "rp-sma"), ("tnc", "rp-tnc"), ("n-50", "rp-n"), ("bnc-50", "rp-bnc")]
)
def test_contacts_change_places(key: str, reverse: str) -> None:
    plug, jack = half(f"{key}-plug"), half(f"{key}-jack")
    rp_plug, rp_jack = half(f"{reverse}-plug"), half(f"{reverse}-jack")
    assert plug.centre.pin is not None
    assert jack.centre.socket is not None
    socket, pin = rp_plug.centre.socket, rp_jack.centre.pin
    assert socket is not None
    assert pin is not None
    assert socket.tip.nominal == plug.centre.pin.shoulder.nominal
    assert pin.shoulder.nominal == jack.centre.socket.tip.nominal
    if key != "sma":
        assert abs(pin.tip.nominal - jack.shell.rim.nominal) <= 0.5
        assert pin.tip.min == pytest.approx(jack.shell.rim.nominal - 0.5)
        assert pin.tip.max == pytest.approx(jack.shell.rim.nominal + 0.5)
        assert pin.tip.grade is Grade.ASSUMED
    for measure in (socket.tip, socket.bottom, pin.shoulder):
        assert measure.grade is Grade.ASSUMED
    assert (rp_plug.shell, rp_plug.insulator, rp_plug.nut) == (plug.shell, plug.insulator, plug.nut)
    assert (rp_jack.shell, rp_jack.insulator, rp_jack.lugs) == (jack.shell, jack.insulator, jack.lugs)


@pytest.mark.outside(
    "Where the pin of a reverse SMA jack ends",
    "six parts of two makers",
    "none: within what they show",
)
def test_where_makers_end_the_pin_of_a_reverse_sma_jack() -> None:
    """Six parts of two makers, read from their models and a drawing: 2.15, 2.08, 2.30, 2.70, 2.80 and 2.20 mm."""
    measured = (2.15, 2.08, 2.30, 2.70, 2.80, 2.20)
    pin = half("rp-sma-jack").centre.pin
    assert pin is not None
    assert (pin.tip.low, pin.tip.high) == (min(measured), max(measured))
    assert pin.tip.nominal == pytest.approx(sum(measured) / len(measured), abs=0.05)
    assert not pin.tip.soft
    rim = half("rp-sma-jack").shell.rim
    assert pin.tip.low > rim.nominal, "it stands proud of the rim on every part"
