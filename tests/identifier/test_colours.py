"""Colours of plastic housings: places in CIELAB, which are taken for which, and what a letter adds."""

from __future__ import annotations

import pytest

from coaxtell.identifier import colours
from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import ranked
from coaxtell.identifier.features import COLOURS, Feature
from coaxtell.models import plastics
from tests.identifier.kit import shortlist


@pytest.mark.outside(
    "Colours in CIELAB",
    "IEC 61966-2-1 primaries as handbooks print them, from memory",
    "0.1 of a unit",
)
@pytest.mark.parametrize(
    ("linear", "lab"),
    [((1, 1, 1), (100, 0, 0)), ((0, 0, 0), (0, 0, 0)), ((1, 0, 0), (53.24, 80.09, 67.20)),
     ((0, 1, 0), (87.73, -86.18, 83.18)), ((0, 0, 1), (32.30, 79.19, -107.86))],
)  # fmt: skip
def test_the_primaries_of_a_screen_have_their_places(
    linear: tuple[float, float, float], lab: tuple[float, float, float]
) -> None:
    """The primaries of IEC 61966-2-1 in CIELAB under D65, as handbooks print them (from memory)."""
    assert colours.lab(linear) == pytest.approx(lab, abs=0.1)


def test_neighbours_are_mixed_up_and_strangers_are_not() -> None:
    mixed = colours.confusion(COLOURS, 7.0)

    def rate(true: str, said: str) -> float:
        return float(mixed[COLOURS.index(true), COLOURS.index(said)])

    assert mixed == pytest.approx(mixed.T)
    assert rate("bordeaux", "carmine-red") > 10 * rate("bordeaux", "pastel-green")
    assert rate("cream-white", "beige") > 10 * rate("cream-white", "black")
    assert rate("grey", "water-blue") > rate("grey", "pastel-orange")
    assert not mixed[COLOURS.index("other")].any()
    assert mixed.sum(axis=1).max() < 0.2


def test_every_plastic_of_the_tables_has_its_colour() -> None:
    found = {half.key.colour for half in shortlist().halves if half.key is not None}
    assert found <= set(plastics.SRGB)


def test_the_letter_decides_where_the_colour_is_a_neighbour() -> None:
    """A bordeaux housing, code D, whose worn plastic is called carmine red, code L: the letter outweighs it."""
    worn = State().tell(Feature.COUPLING, Saw("housing")).tell(Feature.COLOUR, Saw("carmine-red"))
    assert ranked(shortlist(), worn)[0][0].family == "FAKRA L"
    assert ranked(shortlist(), worn.tell(Feature.LETTER, Saw("d")))[0][0].family == "FAKRA D"
