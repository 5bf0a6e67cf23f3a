"""The items of the day as the page shows them: drawn as on the desk, with all that varies there."""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path

import numpy as np
from PIL import Image

from coaxtell.cli import pocket
from coaxtell.models import tables
from coaxtell.pocket import practice


def test_pose_light_body_plating_and_wear_vary() -> None:
    pictures = [one.picture for one in practice.chosen(tables.load().halves, date(2026, 11, 30)) if one.picture]
    assert len(pictures) == practice.COUNT
    poses = {(one.azimuth, one.elevation) for one in pictures}
    assert len(poses) > 6
    assert min(len({one.light for one in pictures}), len({one.finish for one in pictures})) >= 3
    assert len({style for one in pictures for style in one.bodies}) >= 3
    assert max(one.wear for one in pictures) - min(one.wear for one in pictures) > 0.2


def test_a_drawn_picture_stands_in_the_page_at_its_size(tmp_path: Path) -> None:
    drawn = tmp_path / "item.png"
    Image.new("RGB", pocket.ITEM_SIZE, (200, 150, 60)).save(drawn)
    held = pocket._webp(drawn)
    assert held is not None
    with Image.open(io.BytesIO(held)) as image:
        assert (image.format, image.size) == ("WEBP", pocket.ITEM_SIZE)
        assert np.abs(np.asarray(image.convert("RGB"), dtype=float) - (200, 150, 60)).max() < 6
    assert pocket._webp(None) is None
