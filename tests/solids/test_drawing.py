"""Drawings: true size on paper, hatching inside its area, the deciding place marked and named, red only for harm."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image

from coaxtell.models.catalogue import MODELS
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.drawings import section
from coaxtell.models.drawings.drafting import wide
from coaxtell.models.drawings.drawing import Drawing, Item, Line, Polygon, Text, hatch
from coaxtell.models.drawings.outlines import cut_regions, overlaps
from coaxtell.models.drawings.pair import drawn
from coaxtell.models.mating.confidence import Confidence, interval
from coaxtell.models.mating.deciding import deciding
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.palette import ACTION, FILLS, HARM, HOLLOW, INK
from coaxtell.models.words import said
from tests.halves import half
from tests.solids.parts import IDS

SVG = "{http://www.w3.org/2000/svg}"
MATES = [(h, h.replace("-plug", "-jack")) for h in IDS if h.endswith("-plug")]


def words(drawing: Drawing) -> list[str]:
    return [item.words for item in drawing.items if isinstance(item, Text)]


def red(drawing: Drawing) -> list[Item]:
    return [i for i in drawing.items if HARM in (getattr(i, "stroke", None), getattr(i, "fill", None))]


def ghosts(drawing: Drawing) -> list[Line]:
    """The outlines of what would be in the way, without the one in the legend."""
    foot = drawing.height_mm - 8
    return [i for i in red(drawing) if isinstance(i, Line) and i.dash and i.points[0][1] < foot]


@pytest.mark.parametrize("half_id", IDS)
def test_every_half_is_drawn_face_on_and_in_section(half_id: str) -> None:
    for drawing in (section.face_on(half(half_id)), section.half_section(half(half_id))):
        root = ElementTree.fromstring(drawing.svg())
        assert root.get("width") == f"{drawing.width_mm:g}mm"
        assert root.get("height") == f"{drawing.height_mm:g}mm"
        assert root.get("viewBox") == f"0 0 {drawing.width_mm:g} {drawing.height_mm:g}"
        assert half(half_id).name in words(drawing)
        for item in drawing.items:
            if isinstance(item, Polygon):
                for x, y in (p for outline in item.outlines for p in outline):
                    assert 0 <= x <= drawing.width_mm
                    assert 0 <= y <= drawing.height_mm


def test_face_on_measures_as_the_table_says() -> None:
    """SMA jack: bore of 4.62 mm and hexagon of 8.0 mm over its flats, read back off the paper."""
    drawing = section.face_on(half("sma-jack"))
    widths = {
        round((max(p[0] for p in outline) - min(p[0] for p in outline)) / drawing.scale, 3)
        for item in drawing.items if isinstance(item, Polygon) for outline in item.outlines
    }  # fmt: skip
    assert 4.62 in widths
    assert 8.0 in widths
    assert 5.36 in widths


def test_scale_bar_is_as_long_as_it_says() -> None:
    for half_id in ("sma-jack", "7-16-plug", "bnc-50-jack"):
        drawing = section.half_section(half(half_id))
        label = next(w for w in words(drawing) if " mm, scale" in w)
        length = float(label.split()[0])
        bars = [i for i in drawing.items if isinstance(i, Line) and i.width == 0.4 and i.points[0][1] == i.points[1][1]]
        assert len(bars) == 1
        assert math.dist(*bars[0].points) == pytest.approx(length * drawing.scale)


def test_png_states_its_true_size(tmp_path: Path) -> None:
    drawing = section.facing(half("sma-plug"), half("sma-jack"), 0.0)
    drawing.png(tmp_path / "a.png", dpi=127)
    with Image.open(tmp_path / "a.png") as image:
        assert image.size == (round(drawing.width_mm * 5), round(drawing.height_mm * 5))
        assert image.info["dpi"] == pytest.approx((127, 127), abs=0.1)
    into = io.BytesIO()
    drawing.png(into, dpi=127)
    assert into.getvalue() == (tmp_path / "a.png").read_bytes()


def test_svg_and_png_show_the_same_red(tmp_path: Path) -> None:
    drawing = drawn(half("sma-plug"), half("rp-sma-jack"))
    drawing.png(tmp_path / "a.png", dpi=100)
    with Image.open(tmp_path / "a.png") as image:
        colours = image.convert("RGB").getcolors(1 << 20)
    assert colours is not None
    red = sum(count for count, rgb in colours if isinstance(rgb, tuple) and rgb[0] > 150 and rgb[1] < 90)
    assert red > 200
    assert HARM in drawing.svg()


@pytest.mark.parametrize(("plug", "jack"), MATES)
def test_nothing_is_in_the_way_of_a_seated_pair(plug: str, jack: str) -> None:
    """A plug and jack of one family, impedance and polarity fit (common practice, no source)."""
    drawing = section.facing(half(plug), half(jack), 0.0)
    assert HARM not in drawing.svg()
    assert "seated: the reference planes meet" in words(drawing)
    assert overlaps(half(plug), half(jack), 0.0) == []


def test_two_pins_are_marked_where_they_meet_and_outlined_where_they_would_be() -> None:
    """Two pins share the length by which both pass the reference plane: tip of the plug plus tip of the jack."""
    plug, jack = half("sma-plug"), half("rp-sma-jack")
    assert plug.centre.pin is not None
    assert jack.centre.pin is not None
    shared = plug.centre.pin.tip.nominal + jack.centre.pin.tip.nominal
    drawing = drawn(plug, jack)
    assert f"pin of SMA plug meets pin of RP-SMA jack with {shared:.2f} mm still to go" in words(drawing)
    assert f"gap {shared:.2f} mm" in words(drawing)
    assert "would be in the way" in words(drawing)
    assert not [i for i in red(drawing) if isinstance(i, Polygon) and len(i.outlines[0]) > 3], "no red area"
    lengths = {
        round((max(x for x, _ in one.points) - min(x for x, _ in one.points)) / drawing.scale, 2)
        for one in ghosts(drawing)
    }
    assert lengths == {round(shared, 2)}
    (touch,) = {i.points[0][0] for i in red(drawing) if isinstance(i, Line) and i.width == 0.9}
    (arrow,) = [i for i in red(drawing) if isinstance(i, Polygon)]
    assert arrow.outlines[0][0][0] == pytest.approx(touch)


def test_an_open_centre_is_marked_between_its_ends_and_the_seated_shell_is_not_red() -> None:
    """RP-SMA plug on SMA jack: the shells seat, and between the two sockets nothing stands."""
    drawing = drawn(half("rp-sma-plug"), half("sma-jack"))
    assert HARM not in drawing.svg()
    (said,) = [w for w in words(drawing) if w.startswith("0.14 mm open between the socket of RP-SMA plug and the")]
    ends = sorted({i.points[0][0] for i in drawing.items if isinstance(i, Line) and i.width == 0.35})
    assert (ends[-1] - ends[0]) / drawing.scale == pytest.approx(0.14, abs=0.005)
    assert said.endswith("socket of SMA jack")


def test_a_pair_that_is_not_known_shows_its_place_with_the_doubt_and_nothing_red() -> None:
    """MMCX plug and SMP jack: two guessed diameters decide, so the place is that of the numbers as drawn."""
    plug, jack = half("mmcx-plug"), half("smp-jack")
    assert mate(plug, jack).verdict is Verdict.NOT_KNOWN
    drawing = drawn(plug, jack)
    assert any(w.startswith("not known; as drawn, pin of MMCX plug meets pin of SMP jack") for w in words(drawing))
    assert not [i for i in red(drawing) if not (isinstance(i, Line) and i.dash) and not isinstance(i, Text)]
    assert deciding(plug, jack).kind == "harm"


@pytest.mark.parametrize(("draws", "why"), [(60, "only 60 of the ways"), (0, "In none of the ways")])
def test_a_pair_with_too_few_draws_to_tell_by_says_so(draws: int, why: str) -> None:
    """60 of 60 have Wilson's interval from 0.94 on, under the 0.95 that a verdict is told from."""
    plug, jack = half("sma-plug"), half("sma-jack")
    low, high = interval(draws, draws)
    share = float(draws > 0)
    sure = Confidence(Verdict.MATES, share, low, high, draws, {Verdict.MATES: share}, [])
    found = mate(plug, jack, confidence=sure)
    assert found.verdict is Verdict.NOT_KNOWN
    assert any(why in sentence for sentence in said(found.reasons))
    assert any(why in w for w in words(drawn(plug, jack, found)))


def test_a_stop_of_solid_parts_is_no_harm_and_a_seat_short_of_the_planes_hides_nothing() -> None:
    """The N plug's sleeve stops at the UHF insulator before the thread catches; SMP and MMCX lock 1.5 mm apart, so
    that nothing would be pushed on."""
    stopped = deciding(half("n-50-plug"), half("uhf-jack"))
    assert stopped.kind == "stop"
    assert "outer contact sleeve of N plug 50 ohm meets insulator of UHF jack" in MODELS.say(stopped.what)
    assert deciding(half("sma-plug"), half("rp-sma-jack")).kind == "harm"
    assert ghosts(drawn(half("n-50-plug"), half("n-75-jack")))
    assert ghosts(drawn(half("smp-plug"), half("mmcx-jack"))) == []


def test_an_empty_socket_is_drawn_as_a_void() -> None:
    """Two holes, each as wide and as deep as the table says, dark; a pin that stands in one is drawn over it."""
    drawing = drawn(half("rp-sma-plug"), half("sma-jack"))
    holes = [i for i in drawing.items if isinstance(i, Polygon) and i.fill == HOLLOW and len(i.outlines[0]) == 6]
    assert len(holes) == 2
    socket = half("sma-jack").centre.socket
    assert socket is not None
    ys = [y for _, y in holes[1].outlines[0]]
    assert (max(ys) - min(ys)) / drawing.scale == pytest.approx(socket.hole.nominal)
    seated = drawn(half("sma-plug"), half("sma-jack")).items
    order = [n for n, i in enumerate(seated) if isinstance(i, Polygon) and i.fill == HOLLOW]
    pins = [n for n, i in enumerate(seated) if isinstance(i, Polygon) and i.fill == FILLS["pin"]]
    assert min(pins) > min(order)


@pytest.mark.parametrize("kind", ["harm", "stop", "open", "holds"])
def test_words_at_the_deciding_place_name_both_halves(kind: str) -> None:
    pairs = {
        "harm": ("n-50-plug", "n-75-jack"), "stop": ("sma-plug", "n-50-jack"), "open": ("rp-tnc-plug", "tnc-jack"),
        "holds": ("bnc-50-plug", "bnc-50-jack"),
    }  # fmt: skip
    a, b = (half(half_id) for half_id in pairs[kind])
    place = deciding(a, b)
    assert place.kind == kind
    for one, two, found in ((a, b, place), (b, a, deciding(b, a))):
        said = MODELS.say(found.what)
        assert one.name in said
        assert two.name in said
        assert " mm" in said


def test_thick_pin_is_in_the_way_of_the_thin_socket() -> None:
    found = overlaps(half("n-50-plug"), half("n-75-jack"), 0.0)
    assert [(o.name_a, o.name_b) for o in found] == [("pin", "socket")]
    # the wall of the 75 ohm socket lies within the 50 ohm pin: an annulus of pin radius less hole radius
    wall = (1.64 - 0.95) / 2
    assert found[0].area == pytest.approx(wall * found[0].length, rel=0.1)


def test_overlap_is_the_same_from_either_side() -> None:
    ab = overlaps(half("n-50-plug"), half("n-75-jack"), 0.0)
    ba = overlaps(half("n-75-jack"), half("n-50-plug"), 0.0)
    assert [(o.name_a, o.name_b) for o in ab] == [(o.name_b, o.name_a) for o in ba]
    assert [o.area for o in ab] == pytest.approx([o.area for o in ba])


def test_a_nut_is_an_obstacle_only_where_the_couplings_do_not_fit() -> None:
    plug, jack = half("sma-plug"), half("n-50-jack")
    names = {o.name_a for o in overlaps(plug, jack, 0.0, coupled=False)}
    assert "nut" in names
    assert "nut" not in {o.name_a for o in overlaps(plug, jack, 0.0)}


@pytest.mark.parametrize(("plug", "jack"), [m for m in MATES if half(m[0]).coupling_thread is not None])
@pytest.mark.parametrize("share", [0.0, 0.3])
def test_the_nut_is_drawn_with_its_thread_in_the_mates_thread(plug: str, jack: str, share: float) -> None:
    """Basic forms fit line to line (ISO 68-1), so the cut faces of nut and shell share no area above or below: seated,
    and with a share of the engaged length still to go."""
    import manifold3d

    thread = half(jack).thread
    assert thread is not None
    distance = share * mate(half(plug), half(jack), doubt=False).turns_caught * thread.pitch_mm

    def shared(turn: float, angle: float) -> float:
        nut = next(r for r in cut_regions(half(plug), angle, turn) if r.moving)
        shell = next(r for r in cut_regions(half(jack), angle) if r.role == "outer")
        facing = [(distance - z, r) for z, r in reversed(shell.outline)]
        rule = manifold3d.FillRule.EvenOdd
        mine = manifold3d.CrossSection([list(nut.outline)], rule)
        return float((mine ^ manifold3d.CrossSection([facing], rule)).area())

    turn = meshing_turn(half(plug), half(jack), distance)
    for angle in (0.0, math.pi):
        assert shared(turn, angle) < 1e-6
        assert shared(turn + math.pi, angle) > 0.05


def test_what_is_home_shows_nothing_in_the_way() -> None:
    """Flat springs press each other back, beads rest in grooves, teeth in notches: joints, not obstacles."""
    for a, b in MATES:
        drawing = drawn(half(a), half(b))
        assert HARM not in drawing.svg(), (a, b)
        assert not ghosts(drawing), (a, b)
    for a, b in (("n-50-plug", "uhf-jack"), ("sma-plug", "rp-sma-jack")):
        drawing = drawn(half(a), half(b))
        assert not any("deep in the socket" in w for w in words(drawing)), (a, b)


def test_the_reason_under_a_pair_is_the_one_that_decides() -> None:
    def under(a: str, b: str) -> str:
        return " ".join(i.words for i in drawn(half(a), half(b)).items if isinstance(i, Text))

    assert "Before the coupling can catch" in under("n-50-plug", "uhf-jack")
    assert "The nut slides over" in under("2.4-plug", "sma-jack")
    assert "the pin of sma-plug meets the pin of rp-sma-jack" in under("sma-plug", "rp-sma-jack")


def test_names_of_two_halves_never_run_into_each_other() -> None:
    from coaxtell.models.drawings.drafting import wide

    pairs = (("sma-jack", "sma-jack"), ("micro-1-plug", "micro-3-jack"), ("7-mm", "7-mm"), ("sma-plug", "n-50-jack"))
    for a, b in pairs:
        sheet = drawn(half(a), half(b))
        one, other = [i for i in sheet.items if isinstance(i, Text) and i.at[1] == 7][-2:]
        assert one.at[0] + wide(one.words, one.size) / 2 < other.at[0] - wide(other.words, other.size) / 2
        assert one.at[0] - wide(one.words, one.size) / 2 > 0
        assert other.at[0] + wide(other.words, other.size) / 2 < sheet.width_mm


def test_touch_is_marked_where_the_faces_meet() -> None:
    marked = drawn(half("sma-plug"), half("rp-sma-jack"))
    thick = [i for i in marked.items if isinstance(i, Line) and i.width == 0.9]
    assert len(thick) == 2
    pin = half("sma-plug").centre.pin
    assert pin is not None
    assert math.dist(*thick[0].points) == pytest.approx(pin.d.sourced_high / 2 * marked.scale)
    plain = section.facing(half("sma-plug"), half("rp-sma-jack"), 4.65)
    assert not [i for i in plain.items if isinstance(i, Line) and i.width == 0.9]


def test_hatching_stays_inside_its_area() -> None:
    """A square with a square hole: total length of the strokes is area over spacing, none lies in the hole."""
    outer = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    hole = ((3.0, 3.0), (7.0, 3.0), (7.0, 7.0), (3.0, 7.0))
    lines = hatch((outer, hole), 0.1, 30.0, "#000000", 0.1)
    total = sum(math.dist(*line.points) for line in lines)
    assert total == pytest.approx((100 - 16) / 0.1, rel=0.01)
    for line in lines:
        (x0, y0), (x1, y1) = line.points
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        assert not (3.01 < x < 6.99 and 3.01 < y < 6.99)


def test_several_halves_share_one_scale() -> None:
    drawing = section.side_by_side([half("sma-jack"), half("n-50-jack")], "face")
    assert drawing.scale == section.face_on(half("n-50-jack")).scale
    bars = {w for w in words(drawing) if " mm, scale" in w}
    assert len(bars) == 1


def test_names_are_escaped_in_svg() -> None:
    drawing = Drawing(10, 10, "a < b & c", "#FFFFFF", (Text((1, 1), "<&>", 3, "#000000"),), 1.0)
    root = ElementTree.fromstring(drawing.svg())
    assert root.findtext(f"{SVG}title") == "a < b & c"
    assert root.findtext(f"{SVG}text") == "<&>"
    assert not re.search(r"<text[^>]*><&>", drawing.svg())


def test_no_words_of_a_pair_run_over_the_edge() -> None:
    """The legend has most entries where something would be in the way of a socket."""
    for one, other in (("n-50-plug", "n-75-jack"), ("n-50-plug", "bnc-50-jack"), ("rp-sma-plug", "sma-jack")):
        drawing = drawn(half(one), half(other))
        words = [item for item in drawing.items if isinstance(item, Text)]
        assert (
            max(item.at[0] + wide(item.words, item.size) for item in words if item.anchor == "start") < drawing.width_mm
        )


def test_the_arrow_to_a_narrow_gap_comes_from_aside() -> None:
    """The seat's line runs along the gap below the axis only, the arrow's line at a slant above it."""
    drawing = drawn(half("rp-sma-plug"), half("sma-jack"))
    lines = [item for item in drawing.items if isinstance(item, Line)]
    (seat, *_) = [line for line in lines if line.stroke == ACTION and line.dash]
    (arrow,) = [line for line in lines if line.stroke == INK and line.width == 0.3 and len(line.points) == 2]
    assert min(y for _, y in seat.points) >= max(y for _, y in arrow.points) - 6
    assert arrow.points[0][0] - arrow.points[1][0] > 5
