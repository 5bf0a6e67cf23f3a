"""Measuring on the page is Python's measuring: the same card, rim and width from the same marks on a picture."""

from __future__ import annotations

import base64
import io
from typing import Any

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from benchmarks.photo_scene import scene
from coaxtell import photo_bench
from coaxtell.models.drawings import face
from coaxtell.models.drawings.drawing import Polygon
from coaxtell.models.errors import RefusedError
from coaxtell.photo import blur, card, file, width
from coaxtell.photo.card import Array, Grey
from coaxtell.pocket import pictures
from coaxtell.pocket.data import WORDS
from coaxtell.pocket.photograph import HEIGHTS, photograph
from tests.halves import all_halves
from tests.pocket.node import node

pytestmark = pytest.mark.needs("node")
CLOSE = 1e-9
"""Of every millimetre and every pixel that both work out."""


def text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def drawn(rng: np.random.Generator, wide: int, high: int) -> tuple[Grey, Array, Array, float]:
    """A plain picture: a light card and a ring beside it, with noise; its corners, the ring's middle and radius."""
    corners = np.array([[0.18, 0.2], [0.62, 0.17], [0.64, 0.52], [0.17, 0.5]]) * (wide, high)
    corners += rng.uniform(-8, 8, (4, 2))
    y, x = np.mgrid[0:high, 0:wide].astype(float)
    inside = np.ones((high, wide), dtype=bool)
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0]) > 0
    middle, radius = np.array([0.5 * wide, 0.77 * high]) + rng.uniform(-9, 9, 2), rng.uniform(0.05, 0.11) * wide
    away = np.hypot(x - middle[0], (y - middle[1]) * rng.uniform(0.97, 1.03))
    light = 90 + 110 * inside - 60 * (away < radius) + 45 * (away < 0.7 * radius) + rng.normal(0, 6, (high, wide))
    return np.clip(np.round(light), 0, 255).astype(np.float32), corners, middle, float(radius)


def python(grey: Grey, mark: dict[str, Any]) -> dict[str, Any]:
    """What Python makes of a mark, as the page tells it."""
    found = card.fitted(grey, np.array(mark["corners"]))
    if found is None:
        return {"card": None, "width": None, "across": None}
    measured = width.measure(grey, found, np.array(mark["face"]), mark["radius"], tuple(mark["height"]), mark["focal"])
    told = {"corners": found.corners.tolist(), "toMm": found.to_mm.ravel().tolist(),
            "cornerPx": found.corner_px, "pxPerMm": found.px_per_mm}  # fmt: skip
    across = str(blur.across(grey, found))
    return {"card": told, "across": across.removesuffix(".0"), "width": None if measured is None else {
        "mm": measured.mm, "plusMinus": measured.plus_minus, "parts": measured.parts,
        "rim": {"centre": measured.rim.centre.tolist(), "diameter": measured.rim.diameter, "share": measured.rim.share,
                "scatter": measured.rim.scatter, "other": measured.rim.other, "fromMark": measured.rim.from_mark},
    }}  # fmt: skip


def apart(ours: Any, theirs: Any) -> float:
    """The farthest that two of the same numbers lie apart; endless where one has what the other has not."""
    if isinstance(ours, str):
        return 0.0 if ours == theirs or abs(float(ours) - float(theirs)) < CLOSE else np.inf
    if ours is None or theirs is None:
        return 0.0 if ours is theirs else np.inf
    if isinstance(ours, dict):
        return max(apart(one, theirs.get(name)) for name, one in ours.items())
    if isinstance(ours, list):
        return max(apart(*pair) for pair in zip(ours, theirs, strict=True))
    return abs(float(ours) - float(theirs))


def shots(seed: int) -> list[tuple[Grey, list[dict[str, Any]]]]:
    """Pictures with marks: near, carelessly, beside everything."""
    rng = np.random.Generator(np.random.PCG64(seed))
    found = []
    for k in range(6):
        if k == 0:
            shot = scene(44, 1024, 768, np.array([11.11]), False)
            grey, corners = card.grey_of(shot.picture), np.asarray(shot.corners)
            middle, radius = np.asarray(shot.centre), float(shot.radius)
        else:
            grey, corners, middle, radius = drawn(rng, 640, 480)
        marks = []
        for off in (1.0, 3.0, 6.0, 12.0, 60.0):
            marks.append({
                "corners": (corners + rng.uniform(-off, off, (4, 2)))[rng.permutation(4)].tolist(),
                "face": (middle + rng.uniform(-off, off, 2) / 3).tolist(),
                "radius": radius * (1 + rng.uniform(-off, off) / 90),
                "height": rng.choice([*HEIGHTS.values(), (4.0, width.TOLD)]).tolist(),
                "focal": float(rng.choice([24, 28, 50])) if rng.random() < 0.5 else None,
            })  # fmt: skip
        found.append((grey, marks))
    return found


def given(every: list[tuple[Grey, list[dict[str, Any]]]]) -> dict[str, Any]:
    """Pictures and marks as the page's code takes them."""
    told = [
        {"wide": grey.shape[1], "high": grey.shape[0], "grey": text(grey.astype(np.uint8).tobytes()), "marks": marks}
        for grey, marks in every
    ]
    return {"wanted": "widths", "given": {"known": photograph(), "shots": told}}


def test_the_page_measures_as_python_does() -> None:
    every = shots(17)
    page = node("photo.js", given(every))
    held = [python(grey, mark) for grey, marks in every for mark in marks]
    theirs = [one for marks in page for one in marks]
    assert sum(one["width"] is not None for one in held) > 12
    assert sum(one["card"] is None for one in held) > 3
    assert max(apart(one, other) for one, other in zip(held, theirs, strict=True)) <= CLOSE


def test_corners_that_fall_together_make_no_card() -> None:
    grey, corners, middle, radius = drawn(np.random.Generator(np.random.PCG64(23)), 640, 480)
    mark = {"face": middle.tolist(), "radius": radius, "height": HEIGHTS["level"], "focal": None}
    for one, other in ((0, 1), (0, 2), (1, 3), (2, 3)):
        moved = corners.copy()
        moved[one] = moved[other] + [card.LEAST_APART - 1, 0]
        told = {**mark, "corners": moved.tolist()}
        assert python(grey, told)["card"] is None
        assert node("photo.js", given([(grey, [told])]))[0][0]["card"] is None


def test_a_ring_on_the_card_is_refused_as_on_the_desk() -> None:
    grey, corners, _, _ = drawn(np.random.Generator(np.random.PCG64(23)), 640, 480)
    middle = corners.mean(axis=0)
    y, x = np.mgrid[0:480, 0:640]
    grey = np.where(np.hypot(x - middle[0], y - middle[1]) < 40, np.float32(30), grey)
    mark = {"corners": corners.tolist(), "face": middle.tolist(), "radius": 40.0, "focal": None,
            "height": HEIGHTS["level"]}  # fmt: skip
    with pytest.raises(RefusedError, match="lies on the card itself"):
        python(grey, mark)
    assert node("photo.js", given([(grey, [mark])]))[0][0]["width"] == {"on": True}


def test_a_face_too_near_to_the_camera_is_refused_as_on_the_desk() -> None:
    """On both sides of half the camera's distance, where the desk refuses too."""
    grey, corners, middle, radius = drawn(np.random.Generator(np.random.PCG64(23)), 640, 480)
    found = card.fitted(grey, corners)
    assert found is not None
    far = width.distance(found, grey.shape[1], grey.shape[0], None)[0]
    for share, refused in ((0.49, False), (0.51, True)):
        mark = {"corners": corners.tolist(), "face": middle.tolist(), "radius": radius, "focal": None,
                "height": [share * far, width.TOLD]}  # fmt: skip
        told = node("photo.js", given([(grey, [mark])]))[0][0]["width"]
        assert ("far" in told) is refused
        if refused:
            assert told["far"] == pytest.approx(far)
            with pytest.raises(RefusedError):
                python(grey, mark)
        else:
            assert told["mm"] == pytest.approx(python(grey, mark)["width"]["mm"])


def test_a_blurred_picture_is_refused_as_on_the_desk() -> None:
    """Under a Gaussian of 5 px, measured as softly as Python does it, past the same limit, in the same sentence."""
    known, held, theirs = photograph(), [], []
    rng = np.random.Generator(np.random.PCG64(23))
    for sigma in (0.0, 1.5, 5.0):
        grey, corners, middle, radius = drawn(rng, 640, 480)
        soft = np.round(ndimage.gaussian_filter(grey, sigma)).astype(np.float32)
        mark = {"corners": corners.tolist(), "face": middle.tolist(), "radius": radius, "height": HEIGHTS["level"],
                "focal": None}  # fmt: skip
        found = card.fitted(soft, corners)
        assert found is not None
        held.append(blur.across(soft, found))
        theirs.append(float(node("photo.js", given([(soft, [mark])]))[0][0]["across"]))
        assert (photo_bench.blurred(soft, found) is not None) == (theirs[-1] > known["blurMost"])
    assert theirs == pytest.approx(held, abs=CLOSE)
    assert theirs[1] < known["blurMost"] < theirs[2]
    assert found is not None
    said = photo_bench.blurred(soft, found)
    assert said is not None
    assert WORDS.texts()["pocket.photo_blurred"] == said[0].upper() + said[1:]


def test_brightness_is_what_the_library_makes_of_colours() -> None:
    rng = np.random.Generator(np.random.PCG64(5))
    picture = rng.integers(0, 256, (64, 64, 3), dtype=np.uint8)
    opaque = np.dstack([picture, np.full((64, 64), 255, np.uint8)])
    page = node("photo.js", {"wanted": "grey", "given": {"known": photograph(), "pixels": text(opaque.tobytes())}})
    assert (np.array(page) == card.grey_of(picture).ravel()).all()


def test_the_lens_is_read_as_python_reads_it(tmp_path: Any) -> None:
    files = []
    for mm in (None, 26, 3, 500):
        exif = Image.Exif()
        exif[0x0112] = 1
        if mm is not None:
            exif.get_ifd(file.EXIF_IFD)[file.LENS_35MM] = mm
        out = io.BytesIO()
        Image.new("RGB", (240, 240), "grey").save(out, "JPEG", exif=exif.tobytes())
        (tmp_path / f"{mm}.jpg").write_bytes(out.getvalue())
        files.append(out.getvalue())
    files += [files[1][:40], b"", b"\x89PNG", files[1].replace(b"Exif", b"Exig")]
    page = node("photo.js", {"wanted": "lens", "given": {"known": photograph(), "files": [text(one) for one in files]}})
    assert page == [*(file.load(tmp_path / f"{mm}.jpg").focal_mm for mm in (None, 26, 3, 500)), None, None, None, None]


def test_the_outlines_laid_over_are_those_of_the_drawing() -> None:
    half = all_halves()["tnc-jack"]
    items = [item for item in face.parts(half, (0.0, 0.0), 1.0) if isinstance(item, Polygon)]
    paths = [shape[0] for shape in pictures.views(half)["face"]["shapes"]]
    page = node("photo.js", {"wanted": "lines", "given": {"paths": paths}})
    lines = [np.array(line) for part in page for line in part]
    outlines = [np.array(outline) for item in items for outline in item.outlines]
    assert len(outlines) > 5
    for outline in outlines:
        reach = np.abs(outline).max()
        assert any(abs(np.abs(line).max() - reach) < 0.01 for line in lines)
