"""Colours and sizes of the theme against the written look and the contrast formula of WCAG 2."""

import pytest

from coaxtell.window.kit.theme import DARK, LIGHT, MOTION_S, TEXT_SIZES, Colour, Palette, contrast, rgb, scale_for

WRITTEN = [
    # the contrasts of the written look, measured apart from this code: colour, on bench, on panel
    (DARK.text, DARK, 15.0, 13.1),
    (DARK.quiet, DARK, 8.2, 7.2),
    (DARK.action, DARK, 8.9, 7.8),
    (DARK.harm, DARK, 6.9, 6.1),
    (DARK.fits, DARK, 10.2, 9.0),
    (LIGHT.text, LIGHT, 14.8, 16.6),
    (LIGHT.quiet, LIGHT, 6.0, 6.8),
    (LIGHT.action, LIGHT, 6.0, 6.7),
    (LIGHT.harm, LIGHT, 5.8, 6.5),
    (LIGHT.fits, LIGHT, 5.7, 6.5),
]


@pytest.mark.parametrize(("colour", "palette", "on_bench", "on_panel"), WRITTEN)
def test_contrasts_are_those_of_the_written_look(
    colour: Colour, palette: Palette, on_bench: float, on_panel: float
) -> None:
    assert contrast(colour, palette.bench) == pytest.approx(on_bench, abs=0.15)
    assert contrast(colour, palette.panel) == pytest.approx(on_panel, abs=0.15)


@pytest.mark.outside(
    "Contrast of two colours",
    "WCAG 2.2; a published pair",
    "0.005 to 1",
)
def test_contrast_of_black_on_white_is_21() -> None:
    # WCAG 2.2, definition of contrast ratio: from 1 to 21
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    # a worked pair that is published widely: #777777 on white has 4.48 to 1
    assert contrast(rgb("#777777"), (255, 255, 255)) == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("palette", [DARK, LIGHT], ids=["dark", "light"])
def test_controls_stand_off_their_ground(palette: Palette) -> None:
    # WCAG 2.2, 1.4.11: outlines of controls at least 3 to 1
    assert contrast(palette.edge, palette.panel) >= 3
    assert contrast(palette.action, palette.panel) >= 3
    assert contrast(palette.on_action, palette.action) >= 4.5
    assert contrast(palette.text, palette.raised) >= 4.5
    assert contrast(palette.quiet, palette.raised) >= 4.5


def test_text_is_never_smaller_than_asked() -> None:
    for percent in TEXT_SIZES:
        for size in ((640, 400), (1024, 640), (1366, 768), (3840, 2160)):
            assert scale_for(*size, percent) >= percent / 100
    assert scale_for(2732, 1536, 100) == 2.0


def test_motion_is_short() -> None:
    assert MOTION_S < 0.25
