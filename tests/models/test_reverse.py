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
    assert abs(pin.tip.nominal - jack.shell.rim.nominal) <= 0.5
    assert pin.tip.min == pytest.approx(jack.shell.rim.nominal - 0.5)
    assert pin.tip.max == pytest.approx(jack.shell.rim.nominal + 0.5)
    for measure in (socket.tip, socket.bottom, pin.tip, pin.shoulder):
        assert measure.grade is Grade.ASSUMED
    assert (rp_plug.shell, rp_plug.insulator, rp_plug.nut) == (plug.shell, plug.insulator, plug.nut)
    assert (rp_jack.shell, rp_jack.insulator, rp_jack.lugs) == (jack.shell, jack.insulator, jack.lugs)
