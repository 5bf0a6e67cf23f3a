"""The picture of an item: halves from any side in one of several lights, with or without a scale.

Where a cable's way belongs to it, its sketch lies beneath.
"""

from __future__ import annotations

from functools import cache

import msgspec
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from coaxtell.models import body
from coaxtell.models.half import Half
from coaxtell.models.helix import Array
from coaxtell.models.solids import bench, panel, picture
from coaxtell.models.solids.camera import Camera, camera_at, rolled
from coaxtell.models.solids.solid import solid
from coaxtell.models.solids.studio import Staged, Studio
from coaxtell.quiz import lesson, words
from coaxtell.quiz.item import Picture
from coaxtell.quiz_pages import run_sketch
from coaxtell.used import used

TINTS = {
    "bench": (1.0, 1.0, 1.0),
    "lamp": (1.0, 0.91, 0.76),
    "shade": (0.62, 0.66, 0.72),
    "dark bench": (1.0, 1.0, 1.0),
}
"""Factors on red, green and blue of the rendered parts, by the name of the light."""


SKETCH = 0.32
"""Share of a picture's height for the sketch of a cable's way."""
BLUR_WIDTH = 840
"""Width for which a picture's blur is given [px]."""


def lit(look: Picture) -> bench.Theme:
    """The colours of a picture's bench."""
    return bench.DARK if look.light == "dark bench" else bench.LIGHT


def themed(look: Picture) -> bench.Theme:
    """The bench of a picture; without scale its millimetre grid and bar are not drawn."""
    theme = lit(look)
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


def write(halves: list[Half], look: Picture, size: tuple[int, int], path: str, letters: float = 1.0) -> None:
    """Draw the picture into a PNG file; raises RuntimeError where none can be drawn on this machine."""
    image(halves, look, size, letters).save(path, "PNG")


def image(halves: list[Half], look: Picture, size: tuple[int, int], letters: float = 1.0) -> Image.Image:
    """The picture of all halves of its row, `size` in pixels, its figures so many times the usual size.

    Raises RuntimeError where none can be drawn on this machine.
    """
    if not look.legs:
        return _halves(halves, look, size, letters)
    width, height = size
    above = round(height * (1 - SKETCH))
    whole = Image.new("RGB", size, lit(look).bench)
    whole.paste(_halves(halves, look, (width, above), letters), (0, 0))
    run_sketch.draw(whole, (0, above, width, height), look.legs, lit(look))
    return whole


def _halves(halves: list[Half], look: Picture, size: tuple[int, int], letters: float) -> Image.Image:
    """The halves on their bench."""
    width, height = size
    bodies = () if look.panel else look.bodies
    bodies = bodies or ("",) * len(halves)
    halves = [body.styled(half, style) if style else half for half, style in zip(halves, bodies, strict=True)]
    if look.finish:
        halves = [msgspec.structs.replace(half, finish=look.finish) for half in halves]
    eye = rolled(camera_at(look.azimuth, look.elevation), look.tilt)
    groups = [picture.lying(half, "three-quarter") for half in halves]
    if look.panel:
        groups = [picture.on_bench(panel.stood(halves, look.panel.index(look.halves[0]), look.azimuth))]
    if look.tilt:
        # beside each other they would climb along a crooked picture: its left edge is met on the bench itself
        level = camera_at(look.azimuth, look.elevation).right
        groups = [_met(group, eye.right, level) for group in groups]
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
    colour = used(colour, look.wear, look.dirt, look.grain) * np.array(TINTS[look.light])
    # without scale there is no shadow either: the grid, the bar and its figure vanish in the bench's own colour
    ground = (eye.right, eye.up) if look.elevation > 5 and look.scale else None
    whole = bench.compose(
        colour, cover, layout, themed(look), names=[], ground=ground, letters=letters, halo=bool(look.panel)
    )
    whole = _blurred(whole, look.blur * width / BLUR_WIDTH)
    if look.labelled:
        for half, group, shift in zip(halves, groups, layout.shifts, strict=True):
            _label(whole, half, group, shift, eye, layout)
    return whole


def _met(group: list[Staged], right: Array, level: Array) -> list[Staged]:
    """Parts moved along the level line of sight until they begin where the picture's row begins."""
    begins = min(float((part.points @ right).min()) for part in group)
    return [part._replace(points=part.points - level * begins / float(level @ right)) for part in group]


def _label(
    whole: Image.Image, half: Half, group: list[Staged], shift: float, eye: Camera, layout: bench.Layout
) -> None:
    """Write the words of the first lesson beside a half, each with a line to its place."""
    from PIL import ImageDraw, ImageFont

    points = np.concatenate([part.points for part in group])
    whole_half = np.concatenate([part.points for part in solid(half)])
    moved = np.array([0.0, -whole_half[:, 1].min(), -whole_half[:, 2].max()]) + eye.right * shift
    middle = points.mean(axis=0) + eye.right * shift
    reach = float(np.ptp(points @ eye.right)) / 2
    pen, letters = ImageDraw.Draw(whole), ImageFont.load_default(whole.width / 56)

    def pixel(at: NDArray[np.float64]) -> tuple[float, float]:
        across, up = (float(at @ one) - held for one, held in zip((eye.right, eye.up), layout.centre, strict=True))
        return whole.width / 2 + across * layout.px_per_mm, whole.height / 2 - up * layout.px_per_mm

    for label in lesson.labels(half):
        place = pixel(np.array(label.at) + moved)
        beside = pixel(middle + reach * (label.beside[0] * eye.right + label.beside[1] * eye.up))
        pen.line([beside, place], fill=(176, 64, 32), width=2)
        pen.ellipse([place[0] - 3, place[1] - 3, place[0] + 3, place[1] + 3], fill=(176, 64, 32))
        pen.text(beside, words.say(label.word), fill=(20, 24, 28), font=letters, anchor="mm",
                 stroke_width=3, stroke_fill=(245, 243, 236))  # fmt: skip


def _blurred(image: Image.Image, pixels: float) -> Image.Image:
    from PIL import ImageFilter

    return image.filter(ImageFilter.GaussianBlur(pixels)) if pixels else image
