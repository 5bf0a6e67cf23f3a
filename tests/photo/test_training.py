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
