"""What the engines say, as the window says it."""

import pytest

from coaxtell.models import tables
from coaxtell.window.desk.spoken import speaker

SPOKEN = speaker(tables.load().halves)


@pytest.mark.parametrize(
    ("told", "spoken"),
    [
        ("the pin of sma-plug meets the pin of rp-sma-jack with 4.23 mm to go.",
         "the pin of the SMA plug meets the pin of the RP-SMA jack with 4.23 mm to go."),
        ("centre: rp-tnc-jack shows a pin, tnc-jack a socket.", "centre: RP-TNC jack shows a pin, TNC jack a socket."),
        ("N plug 50 ohm (n-50-plug) is brought to N jack 75 ohm (n-75-jack).",
         "N plug 50 ohm is brought to N jack 75 ohm."),
        ("bnc-50-plug, tnc-left-jack; 7-mm.", "BNC plug 50 ohm, TNC left-hand jack; 7 mm."),
        ("-49 points, 3-5 turns, right-hand, -0.25 mm", "\u221249 points, 3-5 turns, right-hand, \u22120.25 mm"),
        ("my-sma-plug and sma-plug-2 are other words", "my-sma-plug and sma-plug-2 are other words"),
    ],
)  # fmt: skip
def test_names_stand_in_place_of_ids(told: str, spoken: str) -> None:
    assert SPOKEN(told) == spoken
