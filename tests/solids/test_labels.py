"""Names under parts stay apart and readable, however small the parts and long the names."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from coaxtell.models.lettering import font
from coaxtell.models.solids.bench import LEADING, SMALLEST_TYPE, Label, labels
from tests.halves import all_halves

DRAW = ImageDraw.Draw(Image.new("L", (1, 1)))
NAMES = [half.name for half in all_halves().values()]
WIDTH, SIZE = 1280, 25.6


def boxes(found: list[Label]) -> list[tuple[float, float, float, float]]:
    """Left, right, lowest and highest of each line [px], upwards."""
    out = []
    for one in found:
        half = DRAW.textlength(one.words, font=font(one.size)) / 2
        low = one.above * LEADING * one.size
        out.append((one.middle - half, one.middle + half, low, low + one.size))
    return out


@given(st.lists(st.sampled_from(NAMES), min_size=1, max_size=8), st.randoms(use_true_random=False))
@hypothesis_settings(max_examples=60)
def test_names_never_touch_or_shrink_away(names: list[str], chance: object) -> None:
    """Parts of any width beside each other, the narrowest 60 px: every word is there, none over another."""
    shares = [60 + 100 * chance.random() for _ in names]  # type: ignore[attr-defined]
    scale = WIDTH / sum(shares)
    middles = [scale * (sum(shares[:i]) + shares[i] / 2) for i in range(len(names))]
    found = labels(DRAW, names, middles, SIZE, WIDTH)
    assert sorted(" ".join(one.words for one in found).replace("\u00a0", " ").split()) == sorted(
        " ".join(names).split()
    )
    assert all(one.size >= SMALLEST_TYPE * SIZE for one in found)
    told = boxes(found)
    for i, a in enumerate(told):
        for b in told[i + 1 :]:
            assert a[1] <= b[0] or b[1] <= a[0] or a[3] <= b[2] or b[3] <= a[2]


@pytest.mark.parametrize("name", ["BNC jack 50 ohm"])
def test_a_number_stays_with_its_unit(name: str) -> None:
    (first, *rest) = labels(DRAW, [name], [60.0], SIZE, 120.0)
    assert [one.words for one in (first, *rest)][-1].endswith("50\u00a0ohm")
