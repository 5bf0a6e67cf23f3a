"""The picture of an item: halves from any side in one of several lights, with or without a scale."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import msgspec
import numpy as np

from coaxtell.models import body
from coaxtell.models.half import Half
from coaxtell.models.solids import bench, picture
from coaxtell.models.solids.studio import Studio, camera_at
from coaxtell.quiz.item import Picture

if TYPE_CHECKING:
    from PIL import Image

TINTS = {
    "bench": (1.0, 1.0, 1.0),
    "lamp": (1.0, 0.91, 0.76),
    "shade": (0.62, 0.66, 0.72),
    "dark bench": (1.0, 1.0, 1.0),
}
"""Factors on red, green and blue of the rendered parts, by the name of the light."""


Array = np.ndarray[Any, np.dtype[np.float64]]

BLUR_WIDTH = 840
"""Width for which a picture's blur is given [px]."""


def themed(look: Picture) -> bench.Theme:
    """The bench of a picture; without scale its millimetre grid and bar are not drawn."""
    theme = bench.DARK if look.light == "dark bench" else bench.LIGHT
    if look.scale:
        return theme
    return theme._replace(grid_fine=theme.bench, grid_coarse=theme.bench, text=theme.bench, quiet=theme.bench)


@cache
def _studio() -> Studio:
    """One window for all pictures of a run, since opening it takes longest."""
    return Studio()


def ready() -> None:
    """Open the window and let it draw once, so that the first picture asked for comes quickly."""
    from coaxtell.models import tables

    first = next(iter(tables.load().halves.values()))
    image([first], Picture((first.id,)), (64, 48))


def write(halves: list[Half], look: Picture, size: tuple[int, int], path: str) -> None:
    """Draw the picture into a PNG file; raises RuntimeError where none can be drawn on this machine."""
    image(halves, look, size).save(path, "PNG")


def image(halves: list[Half], look: Picture, size: tuple[int, int]) -> Image.Image:
    """The picture, `size` in pixels; raises RuntimeError where none can be drawn on this machine."""
    width, height = size
    bodies = look.bodies or ("",) * len(halves)
    halves = [body.styled(half, style) if style else half for half, style in zip(halves, bodies, strict=True)]
    if look.finish:
        halves = [msgspec.structs.replace(half, finish=look.finish) for half in halves]
    eye = camera_at(look.azimuth, look.elevation)
    groups = [picture.lying(half, "three-quarter") for half in halves]
    layout = bench.lay_out(
        [np.concatenate([part.points for part in group]) for group in groups], eye.right, eye.up, size, False
    )
    colour = np.zeros((height, width, 3))
    cover = np.zeros((height, width))
    for group, shift, points in zip(groups, layout.shifts, layout.points, strict=True):
        left, top, right, bottom = bench.frame(layout, size, points @ eye.right, points @ eye.up)
        middle = bench.place(layout, size, (left + right) / 2, (top + bottom) / 2)
        centre = eye.right * middle[0] + eye.up * middle[1]
        moved = [part._replace(points=part.points + eye.right * shift) for part in group]
        tile, covered = _studio().render(moved, eye, centre, layout.px_per_mm, (right - left, bottom - top))
        colour[top:bottom, left:right] = tile - (1 - covered)[..., None] * tile[0, 0]
        cover[top:bottom, left:right] = covered
    colour = _used(colour, look) * np.array(TINTS[look.light])
    # without scale there is no shadow either: the grid, the bar and its figure vanish in the bench's own colour
    ground = (eye.right, eye.up) if look.elevation > 5 and look.scale else None
    whole = bench.compose(colour, cover, layout, themed(look), names=[], ground=ground)
    return _blurred(whole, look.blur * width / BLUR_WIDTH)


def _used(colour: Array, look: Picture) -> Array:
    """The parts as wear and dirt leave them: duller and scratched by the one, darker in patches by the other."""
    if not (look.wear or look.dirt):
        return colour
    rng = np.random.default_rng(look.grain)
    height, width, _ = colour.shape
    grey = colour.mean(axis=2, keepdims=True)
    worn = colour + look.wear * (0.25 * (grey - colour) + 0.12 * (_patches(rng, height, width, 3) - 0.5) * colour)
    stained = 1 - 0.55 * look.dirt * np.clip(_patches(rng, height, width, 14) - 0.55, 0, 1) / 0.45
    return np.asarray(worn * stained)


def _patches(rng: np.random.Generator, height: int, width: int, size: int) -> Array:
    """Random light from 0 to 1 in soft patches of so many pixels."""
    from PIL import Image

    rough = rng.random((height // size + 2, width // size + 2))
    smooth = Image.fromarray((255 * rough).astype(np.uint8)).resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(smooth, dtype=float)[..., None] / 255


def _blurred(image: Image.Image, pixels: float) -> Image.Image:
    from PIL import ImageFilter

    return image.filter(ImageFilter.GaussianBlur(pixels)) if pixels else image
