"""The items of the day as the page shows them: drawn as on the desk, with all that varies there."""

from __future__ import annotations

import io
import re
from datetime import date
from pathlib import Path

import numpy as np
from PIL import Image

from coaxtell.cli import pocket
from coaxtell.models import tables
from coaxtell.pocket import practice
from coaxtell.pocket.data import languages
from coaxtell.quiz import words


def test_pose_light_body_plating_and_wear_vary() -> None:
    pictures = [one.picture for one in practice.chosen(tables.load().halves, date(2026, 11, 30)) if one.picture]
    assert len(pictures) == practice.COUNT
    poses = {(one.azimuth, one.elevation) for one in pictures}
    assert len(poses) > 6
    assert min(len({one.light for one in pictures}), len({one.finish for one in pictures})) >= 3
    assert len({style for one in pictures for style in one.bodies}) >= 3
    assert max(one.wear for one in pictures) - min(one.wear for one in pictures) > 0.2


def test_reasons_name_halves_and_no_ids() -> None:
    """In every sentence that the page shows of an item; what goes to the record keeps its ids."""
    every = tables.load().halves
    ids = re.compile(rf"(?<![\w-])({'|'.join(map(re.escape, every))})(?![\w-])")
    chosen = practice.chosen(every, date(2026, 11, 30))
    assert any(ids.search(" ".join(words.of(one).reasons)) for one in chosen), "the desk speaks in ids"
    for language in languages():
        for item in practice.practice(chosen, every, date(2026, 11, 30), language)["items"]:
            for said in (item, *item["after"].values()):
                told = [item["question"], said["look"], *said["reasons"], *said["cautions"], *said["english"]]
                assert ids.findall(" ".join(told)) == []
                assert re.findall(r"(?<!\w)(\w[^()]*) \(\1\)", " ".join(told)) == [], "nor a name twice"
            assert item["event"]["a"] in every


def test_a_drawn_picture_stands_in_the_page_at_its_size(tmp_path: Path) -> None:
    drawn = tmp_path / "item.png"
    Image.new("RGB", pocket.ITEM_SIZE, (200, 150, 60)).save(drawn)
    held = pocket._webp(drawn)
    assert held is not None
    with Image.open(io.BytesIO(held)) as image:
        assert (image.format, image.size) == ("WEBP", pocket.ITEM_SIZE)
        assert np.abs(np.asarray(image.convert("RGB"), dtype=float) - (200, 150, 60)).max() < 6
    assert pocket._webp(None) is None
