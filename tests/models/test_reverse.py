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
    "a seventh part, which the range of the table was not made of",
    "none: within the range that six others show",
)
def test_where_a_part_that_the_range_was_not_made_of_ends_the_pin_of_a_reverse_sma_jack() -> None:
    """2.43 mm, read from a model in a public repository; the range is that of six other parts of two makers."""
    pin = half("rp-sma-jack").centre.pin
    assert pin is not None
    assert pin.tip.low <= 2.43 <= pin.tip.high
    assert not pin.tip.soft
    rim = half("rp-sma-jack").shell.rim
    assert pin.tip.low > rim.nominal, "it stands proud of the rim on every part"
