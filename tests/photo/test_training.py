"""The renderer of the training, compiled for the processor: what it shows against what is known by geometry."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coaxtell.models import tables
from coaxtell.photo.training import render, scenes, shapes, variants

pytestmark = pytest.mark.needs("g++")


def test_a_disc_covers_what_a_pinhole_camera_shows_of_it(tmp_path: Path) -> None:
    """A disc of radius r at distance Z before a camera of half-width `half`: pi (r / (half Z))^2 / 4 of the picture."""
    engine = render.built(tmp_path, False)
    pile = variants.Pile()
    pile.cone(variants.CENTRE, 0.0, 0.0, 4.0, 0.0)
    it = variants.Variant(pile.done(), False, -1, -1, -1, 0.0, 4.0, 0.0, 0.0, "disc")
    record, _ = scenes.scene(scenes.Library(it.rows, np.zeros(1, np.int64), [it]), np.random.default_rng(3))
    away, half = 100.0, 0.08
    record[0:3], record[3:6], record[6:9], record[9:12] = (0, 0, away), (1, 0, 0), (0, 1, 0), (0, 0, -1)
    record[12], record[13], record[15], record[16], record[20] = half, 0.0, 0.0, 0.0, 1  # no blur, one part, centred
    light, parts = render.pictures(engine, record[None], it.rows, 96, 4)
    assert np.isfinite(light).all()
    assert (parts == variants.CENTRE).mean() == pytest.approx(np.pi * (4.0 / (half * away)) ** 2 / 4, rel=0.03)


def test_scenes_follow_from_their_seed_and_hold_every_look() -> None:
    held = shapes.all_of(tables.load())
    job = (held["halves"], 60, 150, 7)
    one, two = scenes.many(job), scenes.many(job)
    assert np.array_equal(one[1], two[1])
    truth = one[2]
    faces = truth[truth[:, 0] == 1]
    assert {0.0, 1.0} <= set(faces[:, 2])  # pin and socket
    assert len(set(faces[:, 1])) >= 5  # couplings
    assert (truth[:, 0] == 0).sum() > 20  # what is no face


def test_a_half_keeps_neither_family_nor_gender_in_its_centre() -> None:
    """Pin and socket by a coin in every half: the network cannot tell the centre by the rest."""
    shape = next(one for one in shapes.all_of(tables.load())["halves"] if one["id"] == "sma-jack")
    rng = np.random.default_rng(1)
    pins = sum(variants.face(shape, rng).centre == variants.CENTRES.index("pin") for _ in range(200))
    assert 70 <= pins <= 130


def test_what_stands_about_a_port_is_among_the_scenes() -> None:
    """Receptacles on a board, tape round a face and over one, and other ports beside it."""
    held = shapes.all_of(tables.load())["halves"]
    micro = next(one for one in held if one["id"] == "micro-1-jack")
    rng = np.random.default_rng(2)
    boards = [one for one in (variants.face(micro, rng) for _ in range(60)) if one.board is not None]
    assert 25 < len(boards) < 60
    for one in boards:
        assert one.board is not None
        assert 0.8 < one.rim_z - one.board < 1.8  # as low as such receptacles stand
    lib = scenes.Library(boards[0].rows, np.zeros(1, np.int64), boards[:1])
    record, truth = scenes.scene(lib, rng)
    assert record[17] == pytest.approx(boards[0].board, abs=1e-5)
    assert truth[1] == boards[0].coupling

    jack = next(one for one in held if one["id"] == "sma-jack")
    drawn = [variants.face(jack, rng) for _ in range(300)]
    taped = [one for one in drawn if ((one.rows[:, 0] == 0) & (one.rows[:, 1] == variants.HOUSING)).any()]
    assert 6 < len(taped) < 36
    assert all(one.board is None for one in drawn)
    none = [variants.nothing(rng) for _ in range(100)]
    assert sum(one.kind == "no-tape" for one in none) > 3

    _, records, _ = scenes.many((held, 40, 120, 5))
    assert 20 < (records[:, 20] > 1).sum() < 65, "other ports beside it"
