"""Pictures of items: any side and light, with and without scale; drawn once and kept."""

from __future__ import annotations

import math
from pathlib import Path

import msgspec
import numpy as np
import pytest
from PIL import Image

from coaxtell import quiz, quiz_pages
from coaxtell.cli.item_pictures import Pictures
from coaxtell.models.half import Half
from coaxtell.quiz import lesson, words
from coaxtell.quiz.item import Explanation, Picture
from coaxtell.quiz_pages import item_picture
from coaxtell.window.kit.theme import contrast
from tests.halves import all_halves, half

SIZE = (240, 160)


def drawn(look: Picture) -> np.ndarray:
    return np.asarray(item_picture.image([half(h) for h in look.row], look, SIZE), dtype=float)


def test_pose_light_and_finish_change_the_picture_and_nothing_else_does() -> None:
    base = Picture(("rp-sma-jack",), -20, 20)
    first = drawn(base)
    assert np.abs(first - drawn(base)).max() <= 2  # the same picture, up to the last bits of the renderer
    for other in (
        Picture(("rp-sma-jack",), 30, 20),
        Picture(("rp-sma-jack",), -20, 5),
        Picture(("rp-sma-jack",), -20, 20, "lamp"),
        Picture(("rp-sma-jack",), -20, 20, "dark bench"),
        Picture(("rp-sma-jack",), -20, 20, finish="nickel"),
        Picture(("sma-jack",), -20, 20),
    ):
        assert np.abs(first - drawn(other)).mean() > 0.5, other


def ringed(look: Picture) -> tuple[float, float]:
    """How much of a picture is of the ring's colour, and where that is, from left to right, 0 to 1."""
    red, green, blue = np.moveaxis(drawn(look), 2, 0)
    ring = (red > 1.35 * green) & (green > 1.25 * blue) & (red - blue > 60) & (blue < 60)
    return float(ring.mean()), float(np.nonzero(ring)[1].mean() / SIZE[0]) if ring.any() else 0.0


@pytest.mark.parametrize(
    ("light", "panel", "low", "high"),
    [
        ("bench", ("sma-jack", "tnc-jack", "bnc-50-jack"), 0.0, 0.4),
        ("lamp", ("tnc-jack", "sma-jack", "bnc-50-jack"), 0.4, 0.65),
        ("shade", ("tnc-jack", "sma-jack"), 0.6, 1.0),
        ("dark bench", ("sma-jack", "bnc-50-jack"), 0.0, 0.5),
        ("lamp", (), 0.0, 0.0),
    ],
)
def test_in_a_panel_a_ring_marks_the_one_that_is_asked_about(
    light: str, panel: tuple[str, ...], low: float, high: float
) -> None:
    """Worn, dirty and blurred as far as any is, and seen from as far aside: the ring stands where that port does."""
    look = Picture(("sma-jack",), 38, 30, light, True, "nickel", (), 0.6, 0.6, 0.7, 7, panel=panel)
    share, place = ringed(look)
    assert (share > 0.003) == bool(panel)
    assert share < 0.001 or low < place < high


def test_a_picture_is_turned_as_its_camera_was_held() -> None:
    """The upper edge of a panel rises to the right by as much as the camera was turned clockwise."""
    level = Picture(("sma-jack",), 0, 4, panel=("sma-jack", "tnc-jack"), scale=False)
    rises = []
    for tilt in (0.0, 10.0, -10.0):
        picture = drawn(msgspec.structs.replace(level, tilt=tilt))
        part = np.abs(picture - picture[2, 2]).max(axis=2) > 40
        columns = np.nonzero(part.any(axis=0))[0]
        inner = columns[len(columns) // 3 : -len(columns) // 3]
        tops = part[:, inner].argmax(axis=0)
        rises.append(math.degrees(math.atan(-np.polyfit(inner, tops, 1)[0])))
    level_deg, left, right = rises
    assert level_deg == pytest.approx(0.0, abs=1.5)
    assert (left - level_deg, right - level_deg) == pytest.approx((10.0, -10.0), abs=1.5)


def test_a_panel_held_crooked_may_stand_on_one_corner() -> None:
    """No picture came of this one, and words stood in for all that followed."""
    row = ("tnc-jack", "tnc-plug", "fakra-h-jack")
    look = Picture(("tnc-plug",), 22, 29, scale=True, finish="gold", panel=row, tilt=5.3)
    assert item_picture.image([half(one) for one in row], look, (210, 140)).size == (210, 140)


@pytest.mark.parametrize("light", ["bench", "lamp", "shade", "dark bench"])
def test_without_scale_nothing_but_the_part_is_to_be_seen(light: str) -> None:
    picture = drawn(Picture(("n-50-plug",), 20, 15, light, scale=False))
    # the right edge holds the bar, its figure and the grid where there is a scale; here it is one colour
    edge = picture[:, -8:]
    assert np.ptp(edge.reshape(-1, 3), axis=0).max() <= 1
    assert np.ptp(drawn(Picture(("n-50-plug",), 20, 15, light))[:, -8:].reshape(-1, 3), axis=0).max() > 5


@pytest.mark.parametrize("light", ["bench", "lamp", "shade", "dark bench"])
@pytest.mark.parametrize("scale", [True, False])
def test_the_way_of_a_cable_is_sketched_beneath_in_every_light(light: str, scale: bool) -> None:
    look = Picture(("n-50-plug",), 20, 15, light, scale=scale, legs=(3.0, 3.5, 5.5))
    picture, longer = drawn(look), drawn(msgspec.structs.replace(look, legs=(3.0, 3.5, 6.5)))
    above = round(len(picture) * (1 - item_picture.SKETCH))
    assert not (picture[:above] - longer[:above]).any()
    # ink on ground, in the light of the bench or of the dark: at least 4.5 to 1 for what must be read (WCAG 2.2, 1.4.3)
    sketch = [(int(r), int(g), int(b)) for r, g, b in picture[above + 2 :].reshape(-1, 3)]
    assert contrast(min(sketch, key=sum), max(sketch, key=sum)) >= 4.5
    # only the last leg's figure changed
    rows, columns = np.nonzero(np.abs(picture[above:] - longer[above:]).sum(axis=-1))
    assert len(rows)
    assert columns.min() > picture.shape[1] / 2


def test_a_picture_is_drawn_once_and_again_when_the_table_changes(tmp_path: Path) -> None:
    halves: dict[str, Half] = dict(all_halves())
    shop = Pictures(halves, "file", tmp_path)
    look = Picture(("tnc-jack",), 10, 12)
    first = shop.file(look)
    assert first is not None
    stamp = first.stat().st_mtime_ns
    assert shop.file(look) == first
    assert first.stat().st_mtime_ns == stamp
    with Image.open(first) as image:
        assert image.size == (840, 560)
    other = Pictures({**halves, "tnc-jack": half("rp-tnc-jack")}, "file", tmp_path)
    assert other._place(look) != first
    assert [path for path in tmp_path.iterdir() if path.suffix != ".png"] == []


def test_a_kept_picture_is_drawn_anew_after_a_change_of_what_draws_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, look = Pictures(all_halves(), "none", tmp_path), Picture(("tnc-jack",), 10, 12)
    places = [shop._place(look)]
    for room in (quiz, quiz_pages):
        changed = tmp_path / room.__name__
        changed.mkdir()
        for module in Path(str(room.__file__)).parent.glob("*.py"):
            (changed / module.name).write_bytes(module.read_bytes() + b"# another line\n")
        monkeypatch.setattr(room, "__file__", str(changed / "__init__.py"))
        places.append(shop._place(look))
    assert len(set(places)) == 3


def test_blocks_say_the_width_that_their_scale_cannot(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Pictures(all_halves(), "blocks", tmp_path) as shop:
        for scale in (True, False):
            assert shop.show(Picture(("sma-plug",), 10, 12, scale=scale))
    # an SMA nut is 5/16 in across its flats (MIL-STD-348), that is 7.94 mm
    assert capsys.readouterr().out.count("measures 7.9 mm") == 1


def test_blocks_say_the_lengths_that_no_figure_can(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Pictures(all_halves(), "blocks", tmp_path) as shop:
        assert shop.show(Picture(("sma-plug",), 10, 12, legs=(2.5, 4.0)))
    assert "The sketch gives 2.5 m; 4 m." in capsys.readouterr().out


def test_the_pair_is_drawn_or_its_command_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = Explanation(("why",), "look", ("sma-plug", "rp-sma-jack"), 4.23)
    Pictures(all_halves(), "none").show_pair(told)
    assert "coaxtell mate sma-plug rp-sma-jack -o pair.png" in capsys.readouterr().out
    Pictures(all_halves(), "file", tmp_path).show_pair(told)
    said = capsys.readouterr().out
    path = Path(said.split(": ", 1)[1].strip())
    with Image.open(path) as image:
        pixels = np.asarray(image.convert("RGB"), dtype=int)
    red = (pixels[..., 0] > 150) & (pixels[..., 1] < 80) & (pixels[..., 2] < 80)
    assert red.sum() > 50  # what stands in the way


def test_where_nothing_can_be_drawn_words_stand_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = Pictures(all_halves(), "file", tmp_path)
    assert shop._painter is not None

    def fails(*_: object) -> None:
        raise RuntimeError("no graphics")

    monkeypatch.setattr(shop._painter, "draw", fails)
    assert not shop.show(Picture(("sma-jack",)))
    assert "words stand in its place" in capsys.readouterr().out
    assert not shop.show(Picture(("sma-jack",)))
    assert capsys.readouterr().out == ""


def test_the_first_lesson_writes_the_words_of_the_trade_on_the_parts() -> None:
    bare = Picture(("sma-plug", "sma-jack"), 16, 12)
    labelled = Picture(("sma-plug", "sma-jack"), 16, 12, labelled=True)
    changed = np.abs(drawn(bare) - drawn(labelled)).max(axis=2) > 30
    assert 0.01 < changed.mean() < 0.4
    said = [words.say(label.word) for half_id in ("rp-sma-plug", "sma-jack") for label in lesson.labels(half(half_id))]
    for word in ("plug", "jack", "socket", "reverse polarity", "standard polarity", "reference plane"):
        assert any(word in one for one in said), word


def test_the_words_stand_at_their_places() -> None:
    # MIL-STD-348: the outer conductors of SMA butt at the reference plane, z = 0, and the plug's pin stands in front
    for half_id, contact in (("sma-plug", "pin"), ("sma-jack", "socket")):
        places = {label.word.code.removeprefix("label."): label.at for label in lesson.labels(half(half_id))}
        assert places["plane"][2] == 0.0
        assert places[contact][:2] == (0.0, 0.0)
    pin = {label.word.code: label.at for label in lesson.labels(half("sma-plug"))}["label.pin"]
    assert pin[2] == half("sma-plug").centre.pin.tip.nominal  # type: ignore[union-attr]
