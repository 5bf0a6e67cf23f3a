"""The pictures that come with the package: of these tables, all that the first screens show, used only while true."""

import importlib.util
import io
import json
import os
import time
from importlib import resources
from pathlib import Path

import msgspec
import numpy as np
import pygame
import pytest
from PIL import Image

from coaxtell.models import tables
from coaxtell.window.desk.pictures import Pictures, Rendered
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.desk.shipped import FOLDER, INDEX, Shipped, key_of, mark_of
from coaxtell.window.kit.pen import Picture, Shape
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import LIGHT, contrast
from tests.window.driving import Hand

HALVES = tables.load().halves
PLACE = resources.files("coaxtell.window") / FOLDER
LIST = json.loads((PLACE / INDEX).read_text(encoding="utf-8"))
ROOT = Path(__file__).parents[2]


def test_they_are_those_of_the_build_step_and_of_these_tables() -> None:
    spec = importlib.util.spec_from_file_location("ship", ROOT / "assets" / "window" / "ship.py")
    assert spec is not None
    assert spec.loader is not None
    ship = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(ship)
    wanted = {key_of(job): mark_of(HALVES[job.half_id]) for job in ship.jobs(HALVES)}
    found = {key: row["mark"] for key, row in LIST.items()}
    assert found == wanted, "make them anew: python assets/window/ship.py"
    assert sum(len((PLACE / row["file"]).read_bytes()) for row in LIST.values()) < 1_000_000


def test_each_shows_its_part_in_the_middle_of_clear_ground() -> None:
    for row in LIST.values():
        pixels = np.asarray(Image.open(io.BytesIO((PLACE / row["file"]).read_bytes())).convert("RGBA"))
        assert pixels.shape == (row["side"], row["side"], 4)
        assert 0.05 < (pixels[..., 3] > 128).mean() < 0.95


class OnlyShipped(Pictures):
    """A worker that has not made anything yet."""

    why = ""

    def __init__(self) -> None:
        self._shipped = Shipped(HALVES)

    def shipped(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        return self._shipped.find(job)


@pytest.mark.parametrize("setting", ["uhf-reader"])
def test_the_first_screen_is_never_flat(setting: str) -> None:
    hand = Hand("name", pictures=OnlyShipped())
    calls = hand.calls()
    pictures = [call.name for call in calls if isinstance(call, Picture)]
    flat = [call.name for call in calls if isinstance(call, Shape) and call.name in HALVES]
    assert len(pictures) >= 10
    assert flat == []


def test_another_number_in_the_table_makes_a_picture_stale() -> None:
    half = HALVES["sma-plug"]
    job = Job("sma-plug", 35.0, 24.0, 0.0, 64, 4.0, False)
    pygame.display.init()
    pygame.display.set_mode((64, 64))
    assert Shipped(HALVES).find(job) is not None
    assert half.nut is not None
    pin = half.centre.pin
    assert pin is not None
    thicker = msgspec.structs.replace(pin, d=msgspec.structs.replace(pin.d, mm=1.1))
    for other in (
        msgspec.structs.replace(half, finish="gold"),
        msgspec.structs.replace(half, centre=msgspec.structs.replace(half.centre, pin=thicker)),
    ):
        assert Shipped({**HALVES, "sma-plug": other}).find(job) is None
    # a better source for the same number changes no picture
    sourced = msgspec.structs.replace(pin, d=msgspec.structs.replace(pin.d, note="read again"))
    same = msgspec.structs.replace(half, centre=msgspec.structs.replace(half.centre, pin=sourced))
    assert mark_of(same) == mark_of(half)


def test_gold_stands_off_the_light_bench() -> None:
    """WCAG 2.2, 1.4.11: what carries meaning at least 3 to 1, measured from the pixels of a gilt half."""
    hand = Hand("half", settings=Settings(motion=False, tone="light"), pictures=OnlyShipped())
    hand.app.scene._show("sma-jack")  # type: ignore[attr-defined]
    hand.app.arrange()
    target = pygame.Surface(hand.app.size)
    hand.app.show(target)
    shown = next(call for call in hand.calls() if isinstance(call, Picture))
    box = shown.box
    scale = hand.app.type.scale
    area = pygame.surfarray.array3d(target)[
        round(box.x * scale) : round(box.right * scale), round(box.y * scale) : round(box.bottom * scale)
    ].astype(int)
    red, green, blue = area[..., 0], area[..., 1], area[..., 2]
    gold = area[(red > green + 12) & (green > blue + 18)]
    assert len(gold) > 500
    mean = tuple(int(c) for c in np.median(gold, axis=0))
    assert contrast(mean, LIGHT.bench) >= 3.0  # type: ignore[arg-type]


def test_a_worker_that_is_killed_is_replaced(tmp_path: Path) -> None:
    pictures = Rendered(HALVES, None, tmp_path, time.monotonic)
    try:
        end = time.monotonic() + 120
        while not pictures._standing and time.monotonic() < end:
            pictures.poll()
            time.sleep(0.02)
        first = pictures.process_id
        assert first is not None
        os.kill(first, 9)
        job = Job("sma-plug", 35.0, 24.0, 0.0, 80, 3.0, False)
        while pictures.want(job) is None and time.monotonic() < end:
            pictures.poll()
            time.sleep(0.02)
        assert pictures.ready(job) is not None
        assert pictures.process_id not in (None, first)
        assert pictures.why == ""
    finally:
        pictures.close()


def test_workers_that_end_again_and_again_are_given_up(tmp_path: Path) -> None:
    now = [0.0]
    pictures = Rendered(HALVES, None, tmp_path, lambda: now[0])
    try:
        for _ in range(8):
            if pictures.why:
                break
            assert pictures._process is not None
            pictures._process.kill()
            pictures._process.join(20)
            pictures.poll()
            now[0] += 1.0
        assert "again and again" in pictures.why
    finally:
        pictures.close()
