"""Pictures by the real worker: they come, they are kept, the worker ends with the window, faults become a sentence."""

import math
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pygame
import pytest

from coaxtell.kept import marks_of, prune
from coaxtell.models import tables
from coaxtell.models.panel import row
from coaxtell.window.desk.art import Art
from coaxtell.window.desk.pictures import Rendered
from coaxtell.window.desk.render_worker import Job, file_of
from tests.window.driving import Hand

HALVES = tables.load().halves
LONG_S = 60.0


def job(half_id: str = "sma-plug", azimuth: float = 35.0, quick: bool = False, side: int = 120) -> Job:
    reach = Art().extent(HALVES[half_id]).reach
    return Job(half_id, azimuth, 24.0, False, side, round(side / 2 / reach, 3), quick)


@pytest.fixture(scope="module")
def worker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Rendered]:
    """One worker for tests that look at single pictures."""
    pygame.display.init()
    pictures = Rendered(HALVES, None, tmp_path_factory.mktemp("pictures"), time.monotonic)
    yield pictures
    pictures.close()


def wait(pictures: Rendered, wanted: Job) -> pygame.Surface:
    end = time.monotonic() + LONG_S
    while time.monotonic() < end:
        pictures.want(wanted)
        found = pictures.ready(wanted)
        if found is not None:
            return found
        assert not pictures.why, pictures.why
        pictures.poll()
        time.sleep(0.005)
    raise AssertionError("no picture came")


def test_the_worker_renders_turns_keeps_and_ends(tmp_path: Path) -> None:
    pygame.display.init()
    pictures = Rendered(HALVES, None, tmp_path, time.monotonic)
    process = pictures._process
    assert process is not None
    full = job()
    surface = wait(pictures, full)
    assert surface.get_size() == (120, 120)
    # the part is there and the corners are clear
    assert surface.get_at((60, 60)).a == 255
    assert surface.get_at((0, 0)).a == 0
    # turned by 60 degrees it is another picture; of many places only the newest is made
    for azimuth in (40.0, 50.0, 95.0):
        pictures.turn(job(azimuth=azimuth, quick=True))
    end = time.monotonic() + LONG_S
    while time.monotonic() < end:
        pictures.poll()
        newest = pictures.newest(job())
        if newest is not None and newest[0].azimuth == 95.0:
            break
        time.sleep(0.005)
    newest = pictures.newest(job())
    assert newest is not None
    assert newest[0].azimuth == 95.0
    assert pictures.frames <= 2
    assert pygame.image.tobytes(newest[1], "RGBA") != pygame.image.tobytes(surface, "RGBA")
    # on disk, under a name that the half's own numbers decide
    path = file_of(tmp_path, full, marks_of(HALVES))
    assert path is not None
    while not path.is_file() and time.monotonic() < end:
        time.sleep(0.01)
    assert path.is_file()
    pictures.close()
    process.join(5)
    assert not process.is_alive()


def test_a_sketch_stands_in_until_the_picture_comes(tmp_path: Path) -> None:
    pygame.display.init()
    pictures = Rendered(HALVES, None, tmp_path, time.monotonic)
    wanted = job("tnc-plug")
    end = time.monotonic() + LONG_S
    found = pictures.want(wanted)
    while found is None and time.monotonic() < end:
        pictures.poll()
        found = pictures.want(wanted)
        time.sleep(0.002)
    assert found is not None
    assert pictures.ready(wanted) is None
    full = wait(pictures, wanted)
    assert pygame.image.tobytes(full, "RGBA") != pygame.image.tobytes(found, "RGBA")
    assert pictures.want(wanted) is full
    # what is forgotten is not made, and can be wanted again
    pictures.want(job("n-50-plug"))
    pictures.want(job("n-50-jack"))
    pictures.forget()
    assert list(pictures._wanted) == []
    assert wait(pictures, job("n-50-jack")) is not None
    pictures.close()


def test_kept_pictures_show_without_the_worker(tmp_path: Path) -> None:
    pygame.display.init()
    first = Rendered(HALVES, None, tmp_path, time.monotonic)
    wanted = job("n-50-jack")
    wait(first, wanted)
    first.close()
    again = Rendered(HALVES, None, tmp_path, time.monotonic)
    # before the worker can have started
    assert again.want(wanted) is not None
    again.close()


def test_a_row_in_a_panel_comes_whole_with_its_ring(tmp_path: Path) -> None:
    """The worker draws it within the box that the window gives it, the ring on the side of its port."""
    pygame.display.init()
    pictures = Rendered(HALVES, None, tmp_path, time.monotonic)
    for panel in (("sma-jack", "tnc-jack"), ("tnc-jack", "sma-jack")):
        corners = row([HALVES[one] for one in panel], panel.index("sma-jack"), 35.0).corners
        reach = max(math.hypot(*one) for one in corners)
        wanted = job("sma-jack")._replace(panel=panel, side=160, px_per_mm=round(80 / reach, 3))
        surface = wait(pictures, wanted)
        assert file_of(tmp_path, wanted, marks_of(HALVES)) is None, "its mark would say nothing of its neighbours"
        pixels = pygame.surfarray.pixels3d(surface).astype(int)
        cover = pygame.surfarray.pixels_alpha(surface)
        assert not cover[[0, -1]].any()
        assert not cover[:, [0, -1]].any()
        ring = (pixels[..., 0] - pixels[..., 2] > 130) & (pixels[..., 0] - pixels[..., 1] > 60)
        assert ring.sum() > 40
        assert (np.nonzero(ring)[0].mean() < 80) == (panel[0] == "sma-jack")
    pictures.close()


def test_a_picture_that_lights_one_part_leaves_the_others_without_colour(tmp_path: Path) -> None:
    pygame.display.init()
    pictures = Rendered(HALVES, None, tmp_path, time.monotonic)

    def share_of_gold(lit: tuple[str, ...]) -> float:
        surface = wait(pictures, job("sma-jack")._replace(lit=lit))
        pixels = pygame.surfarray.pixels3d(surface).astype(int)
        shown = pygame.surfarray.pixels_alpha(surface) > 128
        return float(((pixels[..., 0] - pixels[..., 2] > 40) & shown).sum() / shown.sum())

    # a gilt jack: all of it shines, with only the contact lit hardly anything does, but something
    assert share_of_gold(()) > 0.5
    assert 0 < share_of_gold(("pin", "socket")) < 0.1
    pictures.close()


def test_another_number_in_a_table_is_another_picture(tmp_path: Path) -> None:
    marks = marks_of(HALVES)
    other = marks_of({"sma-plug": HALVES["rp-sma-plug"]})
    assert file_of(tmp_path, job(), marks) != file_of(tmp_path, job(), other)
    assert file_of(tmp_path, job("none", 1.0) if "none" in HALVES else job()._replace(half_id="none"), marks) is None


def test_old_pictures_go_first(tmp_path: Path) -> None:
    import os

    for i in range(5):
        path = tmp_path / f"{i}.png"
        path.write_bytes(b"x" * 100)
        os.utime(path, (i, i))
    prune(tmp_path, 250)
    assert sorted(p.name for p in tmp_path.glob("*.png")) == ["3.png", "4.png"]


def test_a_worker_that_cannot_start_leaves_drawings_and_a_line(tmp_path: Path) -> None:
    pygame.display.init()
    pictures = Rendered(HALVES, tmp_path / "no such folder", tmp_path, time.monotonic)
    end = time.monotonic() + LONG_S
    while not pictures.why and time.monotonic() < end:
        pictures.poll()
        time.sleep(0.01)
    assert "Drawings take the place of pictures" in pictures.why
    hand = Hand("name", pictures=pictures)
    hand.choose("name-now")
    assert hand.says("Drawings take the place of pictures: the graphics cannot start")


@pytest.mark.parametrize("half_id", sorted(HALVES))
def test_the_ball_a_half_turns_in_holds_all_of_it(half_id: str) -> None:
    # measured on the solid itself, which the window never builds
    from coaxtell.models.solids.turntable import reach

    assert Art().extent(HALVES[half_id]).reach >= reach(HALVES[half_id]) - 0.05


@pytest.mark.parametrize(("half_id", "style"), [("rp-tnc-jack", "right-angle"), ("sma-plug", "")])
def test_where_a_half_shows_in_its_picture_is_known_before_it_is_drawn(
    half_id: str, style: str, worker: Rendered
) -> None:
    """By the pixels of the picture, within two of them on each side."""
    seen, side = Art().seen(HALVES[half_id], style, 30.0, 20.0), 240
    reach = max(-seen.x, seen.right, -seen.y, seen.bottom) + 0.2
    per_mm = side / 2 / reach
    surface = wait(worker, Job(half_id, 30.0, 20.0, 0, side, round(per_mm, 3), False, style=style))
    drawn = surface.get_bounding_rect()
    middle = side / 2
    edges = (seen.x, seen.y, seen.right, seen.bottom)
    found = (drawn.x, drawn.y, drawn.right, drawn.bottom)
    assert found == pytest.approx([middle + edge * per_mm for edge in edges], abs=2.0)
    assert min(drawn.x, drawn.y) > 0
    assert max(drawn.right, drawn.bottom) < side
