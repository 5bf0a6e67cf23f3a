"""Pictures, measured in pixels: one scale for all, the bar true, the same request the same picture."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from coaxtell.models.solids import bench, picture
from coaxtell.models.solids.light import panorama
from coaxtell.models.solids.studio import Studio
from tests.halves import half

GREEN = bench.Theme("#00FF00", "#00FF00", "#00FF00", "#FF00FF", "#00FF00", 0.0)
"""A bench without grid and shadow, in a colour that no part has; the bar and names in another."""


@pytest.fixture(scope="module")
def studio() -> Iterator[Studio]:
    with Studio() as own:
        yield own


def shot(studio: Studio, ids: list[str], view: picture.View, width: int = 480, height: int = 300) -> NDArray[np.uint8]:
    image = picture.picture(
        [half(i) for i in ids], view, width, height, studio=studio, theme=GREEN, names=False
    )  # fmt: skip
    return np.asarray(image)


def covered(pixels: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Pixels that a part covers by half or more: green stands out less than half."""
    r, g, b = (pixels[..., i].astype(int) for i in range(3))
    bar = (r > 200) & (g < 60) & (b > 200)
    found: NDArray[np.bool_] = (g - np.maximum(r, b) < 110) & ~bar
    return found


def runs(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags.astype(int), [0]])))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def bar_mm(pixels: NDArray[np.uint8], px_per_mm: float) -> float:
    """Length of the scale bar by a scale measured on a part [mm]; it must be an even one."""
    r, g, b = (pixels[..., i].astype(int) for i in range(3))
    return float(((r > 200) & (g < 60) & (b > 200)).sum(axis=1).max()) / px_per_mm


def test_two_halves_are_pictured_at_one_common_scale(studio: Studio) -> None:
    """Width over all seen face on: SMA hexagon 8.0 mm over flats, N flange 25.4 mm square, from their tables."""
    pixels = shot(studio, ["sma-jack", "n-50-jack"], "face", 960, 400)
    pieces = runs(np.asarray(covered(pixels).any(axis=0)))
    assert len(pieces) == 2
    small, large = (b - a for a, b in pieces)
    scale = large / 25.4
    assert small == pytest.approx(8.0 * scale, abs=1.5)
    assert bar_mm(pixels, scale) == pytest.approx(10.0, rel=0.015)


@pytest.mark.parametrize(("half_id", "long", "bar"), [("sma-plug", 14.5, 2.0), ("uhf-jack", 17.0, 5.0)])
def test_side_view_is_as_long_as_the_half(studio: Studio, half_id: str, long: float, bar: float) -> None:
    """From tail to tip: SMA plug -12 to its nut at 2.5, UHF jack -17 to its rim at 0, as the tables say."""
    pixels = shot(studio, [half_id], "side")
    (a, b), = runs(np.asarray(covered(pixels).any(axis=0)))  # fmt: skip
    assert bar_mm(pixels, (b - a) / long) == pytest.approx(bar, rel=0.02)


def test_mating_face_looks_to_the_person(studio: Studio) -> None:
    """White PTFE and a gold contact show in the middle of an SMA jack's face; from the side neither does."""
    face = shot(studio, ["3.5-jack"], "face", 320, 320)
    rows, columns = np.nonzero(covered(face))
    # as wide as the socket's wall: its hole is dark
    middle = face[int(rows.mean()) - 3 : int(rows.mean()) + 4, int(columns.mean()) - 24 : int(columns.mean()) + 25]
    gold = (middle[..., 0].astype(int) - middle[..., 2]) > 50
    assert gold.any()
    side = shot(studio, ["3.5-jack"], "side", 320, 320)
    inside = side[covered(side)].astype(int)
    assert ((inside[:, 0] - inside[:, 2]) > 50).mean() < 0.02


def test_ptfe_is_white_and_gold_is_warm(studio: Studio) -> None:
    face = shot(studio, ["sma-jack"], "face", 320, 320)
    rows, columns = np.nonzero(covered(face))
    y, x = int(rows.mean()), int(columns.mean())
    scale = (columns.max() - columns.min() + 1) / 8.0
    white = face[y - 2 : y + 3, x + int(1.2 * scale) : x + int(1.7 * scale)].astype(int)
    assert white.min() > 185
    assert np.ptp(white, axis=-1).max() < 14
    rim = face[y - 2 : y + 3, x + int(2.4 * scale) : x + int(2.6 * scale)].astype(int)
    assert (rim[..., 0] - rim[..., 2]).mean() > 40


def test_metal_mirrors_bright_and_dark(studio: Studio) -> None:
    """What tells metal from plastic: a wide spread of light over one round part."""
    pixels = shot(studio, ["tnc-jack"], "three-quarter", 480, 400)
    grey = pixels[covered(pixels)].astype(float).mean(axis=1)
    assert np.percentile(grey, 98) - np.percentile(grey, 2) > 110


def test_cut_view_shows_the_section_colour(studio: Studio) -> None:
    def blue(pixels: NDArray[np.uint8]) -> float:
        inside = pixels[covered(pixels)].astype(int)
        return float(((inside[:, 2] - inside[:, 0]) > 30).mean())

    assert blue(shot(studio, ["n-50-jack"], "cut")) > 0.05
    assert blue(shot(studio, ["n-50-jack"], "three-quarter")) < 0.001


def test_same_request_same_picture_and_nothing_is_left_behind(studio: Studio) -> None:
    first = shot(studio, ["bnc-50-plug"], "three-quarter", 240, 200)
    shot(studio, ["sma-jack", "tnc-plug"], "cut", 320, 200)
    again = shot(studio, ["bnc-50-plug"], "three-quarter", 240, 200)
    assert np.array_equal(first, again)
    assert studio._renderer.GetActors().GetNumberOfItems() == 0


def test_equal_halves_take_the_light_equally(studio: Studio) -> None:
    pixels = shot(studio, ["sma-jack", "sma-jack"], "three-quarter", 600, 300)
    pieces = runs(np.asarray(covered(pixels).any(axis=0)))
    assert len(pieces) == 2
    means = [pixels[:, a:b][covered(pixels[:, a:b])].astype(float).mean() for a, b in pieces]
    assert means[0] == pytest.approx(means[1], abs=2)


def test_studios_open_and_close_repeatedly() -> None:
    for _ in range(3):
        image = picture.picture([half("sma-jack")], "face", 160, 160)
        assert isinstance(image, Image.Image)
        assert image.size == (160, 160)


def test_names_and_bar_stand_clear_of_the_parts(studio: Studio) -> None:
    image = picture.picture([half("uhf-plug"), half("uhf-jack")], "three-quarter", 640, 400, studio=studio, theme=GREEN)
    pixels = np.asarray(image)
    r, g, b = (pixels[..., i].astype(int) for i in range(3))
    magenta = (r > 150) & (g < 110) & (b > 150)
    assert magenta.any()
    written = np.flatnonzero(magenta.any(axis=1)).min()
    parts = np.flatnonzero((covered(pixels) & ~magenta)[: written - 3].any(axis=1))
    assert parts.max() < written - 3


def test_light_has_bright_boxes_and_dark_strips() -> None:
    light = panorama(128)
    assert light.dtype == np.float32
    assert light.shape == (64, 128, 3)
    assert light.max() > 4
    assert light.min() < 0.05


@pytest.mark.parametrize(("hole", "pin"), [("sma-jack", "rp-sma-jack"), ("rp-tnc-plug", "tnc-plug")])
def test_face_on_a_socket_is_a_dark_hole_and_a_pin_is_not(studio: Studio, hole: str, pin: str) -> None:
    def brightness(half_id: str) -> float:
        pixels = shot(studio, [half_id], "face", 400, 400)
        rows, columns = np.nonzero(covered(pixels))
        y, x = int(rows.min() + rows.max()) // 2, int(columns.min() + columns.max()) // 2
        return float(pixels[y - 3 : y + 4, x - 3 : x + 4].mean())

    assert brightness(hole) < 60
    assert brightness(pin) > 100
