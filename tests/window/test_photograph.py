"""A photograph dropped on the window: card and face marked by keys alone and by mouse alone, measured, named on."""

import gc
import os
import shutil
import weakref
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import numpy as np
import pygame
import pytest
from PIL import Image, ImageFilter

from benchmarks.photo_scene import Scene as Shot
from benchmarks.photo_scene import scene as shot_of
from coaxtell.identifier.answers import Read
from coaxtell.identifier.features import Feature
from coaxtell.photo.width import distance
from coaxtell.window.kit.lists import ListBox
from coaxtell.window.kit.pen import Curve, Ring
from coaxtell.window.kit.theme import Tone
from coaxtell.window.scenes.name_port import NamePort
from coaxtell.window.scenes.photo_marking import CIRCLE, Marking
from coaxtell.window.scenes.photograph import Photograph
from tests.photo.test_command import cut_png
from tests.window.driving import Hand


@pytest.fixture(scope="module")
def shot(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Shot]:
    """A drawn photograph, level with its card, by the renderer that shares no code with what measures."""
    drawn = shot_of(202, 1600, 1200, np.array([11.11]), False)
    path = tmp_path_factory.mktemp("shot") / "port.png"
    Image.fromarray(drawn.picture).save(path)
    return path, drawn


def scene(hand: Hand) -> Photograph:
    assert isinstance(hand.app.scene, Photograph)
    return hand.app.scene


def marking(hand: Hand) -> Marking:
    found = scene(hand).marking
    assert found is not None
    return found


def dropped(path: Path, at: str = "name", sheets: Path | None = None) -> Hand:
    hand = Hand(at, sheets=sheets)
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
    return hand


def marked(hand: Hand, drawn: Shot) -> None:
    """The true corners and face, as if each had been dragged there; a test of its own drags."""
    marks = scene(hand).marks
    assert marks is not None
    marks.corners = np.array(drawn.corners)
    marks.fit()
    marks.centre, marks.radius, marks.placed = np.array(drawn.centre), drawn.radius, True
    scene(hand).height = "level"
    hand.app.arrange()


def agreed(hand: Hand) -> None:
    if "confirm" in [w.key for w in hand.app.widgets]:
        hand.choose("confirm")
    hand.choose("mating-yes")


def test_a_dropped_picture_is_measured_and_its_width_names_the_port(shot: tuple[Path, Shot], tmp_path: Path) -> None:
    path, drawn = shot
    hand = dropped(path, sheets=tmp_path)
    marked(hand, drawn)
    found = scene(hand).width
    assert found is not None
    assert abs(found.mm - drawn.width_mm) <= 2 * found.plus_minus
    # no number, and no likeliest half, of a ring that nobody has looked at
    assert "mm across" not in hand.words()
    assert "Likeliest" not in hand.words()
    hand.choose("confirm")
    assert hand.says(f"{found.mm:.2f}\u2009mm across")
    # the rim, the card and the likeliest half's outline lie over the picture
    colours = {call.colour for call in hand.calls() if isinstance(call, Curve)}
    p = hand.desk.palette
    assert {p.action, p.fits, p.harm} <= colours
    hand.choose("save")
    assert [one.name for one in tmp_path.glob("*.png")] == ["port-measured.png"]
    agreed(hand)
    hand.choose("name-it")
    naming = hand.app.scene
    assert isinstance(naming, NamePort)
    read = naming.inquiry.state.answers[Feature.COUPLING_DIAMETER]
    assert isinstance(read, Read)
    assert read.value == pytest.approx(found.mm, abs=0.01)
    assert read.plus_minus == pytest.approx(found.counted, abs=0.01)
    assert hand.says("coupling diameter")
    # what it is stands on its chip, among the cautions of the name, and with the run that it is carried to
    assert hand.says(f"{read.typed} (experimental)")
    assert read.typed.endswith("by photograph")
    best = naming._carry()
    hand.desk.carry["cable"] = (best,)
    hand.desk.go("cable")
    hand.app.arrange()
    assert hand.says("The reader port was measured in a photograph, which is experimental")
    again = Hand("cable")
    again.app.scene.recall(hand.app.scene.remembered())
    again.app.arrange()
    assert again.says("measured in a photograph")


def test_the_width_goes_to_the_port_being_named_or_begins_another(shot: tuple[Path, Shot]) -> None:
    path, drawn = shot
    hand = Hand("name")
    hand.choose("value-thread-outside")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
    marked(hand, drawn)
    found = scene(hand).width
    assert found is not None
    # what was answered counts for what is laid over the face
    assert all(half.thread is not None for half in scene(hand).fits.held(found).likeliest)
    agreed(hand)
    hand.choose("name-anew")
    assert isinstance(hand.app.scene, NamePort)
    assert list(hand.app.scene.inquiry.state.answers) == [Feature.COUPLING_DIAMETER]


def test_circle_and_corners_are_moved_by_keys_alone(shot: tuple[Path, Shot]) -> None:
    path, _ = shot
    hand = dropped(path)
    marks = scene(hand).marks
    assert marks is not None
    hand.tab_to("bench")
    before, radius = marks.centre.copy(), marks.radius
    hand.key(pygame.K_RIGHT)
    hand.key(pygame.K_DOWN, "", pygame.KMOD_SHIFT)
    step = 1 / marking(hand).sight.per_px(marking(hand).box)
    assert marks.centre - before == pytest.approx([step, 10 * step])
    hand.key(pygame.K_RIGHTBRACKET, "]")
    assert marks.radius > radius
    # a corner pushed off its edge goes back to it
    hand.key(pygame.K_c, "c")
    assert marking(hand).force == 0
    true = marks.corners.copy()
    hand.key(pygame.K_LEFT)
    assert marks.card is not None
    assert np.abs(marks.corners - true).max() < 2.0
    hand.key(pygame.K_PLUS, "+")
    assert marking(hand).sight.nearer > 1


def test_circle_and_corners_are_dragged_by_the_mouse_alone(shot: tuple[Path, Shot]) -> None:
    path, drawn = shot
    hand = dropped(path)
    scene_ = scene(hand)
    marks = scene_.marks
    assert marks is not None

    def drag(start: tuple[float, float], end: tuple[float, float]) -> None:
        scale = hand.app.type.scale
        a, b = (
            [round(v * scale) for v in marking(hand).sight.on_bench(marking(hand).box, one)] for one in (start, end)
        )
        hand.post(
            pygame.event.Event(pygame.MOUSEMOTION, pos=tuple(a), rel=(0, 0), buttons=(0, 0, 0)),
            pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=tuple(a), button=1),
            pygame.event.Event(pygame.MOUSEMOTION, pos=tuple(b), rel=(1, 0), buttons=(1, 0, 0)),
            pygame.event.Event(pygame.MOUSEBUTTONUP, pos=tuple(b), button=1),
        )

    x, y = drawn.centre
    drag(tuple(marks.centre), (x, y))
    assert np.abs(marks.centre - [x, y]).max() < 3
    drag((x + marks.radius, y), (x + drawn.radius, y))
    assert marks.radius == pytest.approx(drawn.radius, abs=3)
    hand.choose("confirm")
    assert scene(hand).agreed
    drag(tuple(marks.corners[1]), (marks.corners[1][0] + 6, marks.corners[1][1] - 6))
    assert marks.card is not None
    assert not scene(hand).agreed, "a card that was moved is looked at anew"
    assert hand.says("Does the outline lie on the card, and the green ring on the rim")


def test_without_a_card_its_corners_are_dragged_and_no_width_is_told(tmp_path: Path) -> None:
    plain = tmp_path / "plain.png"
    Image.fromarray(np.full((400, 600, 3), 90, dtype=np.uint8)).save(plain)
    hand = dropped(plain)
    assert hand.says("No bank card lies at these corners")
    assert not hand.says("mm across")
    # all corners in one place make no card either
    marks = scene(hand).marks
    assert marks is not None
    marks.corners = np.full((4, 2), 50.0)
    marks.fit()
    assert marks.card is None
    assert len([call for call in hand.calls() if isinstance(call, Ring)]) >= 9


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("bad.png", b"nothing", "no picture that can be read"),
        ("small.png", None, "too small to measure"),
        ("gone.jpg", b"", "is no picture"),
        ("phone.heic", b"ftypheic", "pillow-heif"),
    ],
)
def test_bad_files_are_one_sentence(tmp_path: Path, name: str, content: bytes | None, told: str) -> None:
    path = tmp_path / name
    if content is None:
        Image.fromarray(np.zeros((20, 20, 3), dtype=np.uint8)).save(path)
    else:
        path.write_bytes(content)
    hand = dropped(path, "cable")
    assert scene(hand).marks is None
    assert told in scene(hand).opening.trouble
    assert hand.says(told)
    # and by typing its place
    hand.tab_to("file")
    hand.type("x")
    hand.enter()
    assert scene(hand).opening.trouble


def test_a_picture_is_chosen_from_its_folder_by_mouse_alone(shot: tuple[Path, Shot]) -> None:
    path, _ = shot
    hand = Hand("photo", sheets=path.parent.parent)
    hand.click("choose")
    rows = [row.words for row in hand.widget("files").rows]  # type: ignore[attr-defined]
    hand.click("files", 0.3, (rows.index(path.parent.name) + 0.5) / len(rows))
    rows = [row.words for row in hand.widget("files").rows]  # type: ignore[attr-defined]
    hand.click("files", 0.3, (rows.index(path.name) + 0.5) / len(rows))
    assert scene(hand).marks is not None


def test_of_a_crowded_folder_the_newest_files_are_listed_and_the_rest_is_counted(tmp_path: Path) -> None:
    for number in range(310):
        (tmp_path / f"folder {number:03d}").mkdir()
    for number in range(210):
        path = tmp_path / f"{number:03d}.jpg"
        path.write_bytes(b"")
        os.utime(path, (number, number))
    hand = Hand("photo")
    hand.desk.folder = tmp_path
    hand.click("choose")
    listed = hand.widget("files")
    assert isinstance(listed, ListBox)
    words = [row.words for row in listed.rows]
    assert [word for word in words if word.endswith(".jpg")] == [f"{number:03d}.jpg" for number in range(209, 9, -1)]
    assert words[listed.at] == "209.jpg"
    assert hand.says(f"{310 + 210 + 1 - len(words)} more lie here than are listed")


@pytest.mark.parametrize("locked", ["shut", "within", "port.jpg"])
def test_what_may_not_be_looked_at_is_left_out_or_told(
    locked: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever runs the tests may look anywhere, so a path under the locked one is refused here as the system does."""
    (tmp_path / "shut" / "within").mkdir(parents=True)
    (tmp_path / "port.jpg").write_bytes(b"")
    (tmp_path / "other.jpg").write_bytes(b"")
    shut = next(tmp_path.rglob(locked))

    def refused(path: Path) -> None:
        if path == shut or shut in path.parents:
            raise PermissionError(13, "Permission denied", str(path))

    class Entry:
        def __init__(self, path: Path) -> None:
            self.path, self.name = path, path.name

        def __fspath__(self) -> str:
            return str(self.path)

        def _asked(self, what: str) -> Any:
            refused(self.path)
            return getattr(self.path, what)()

        def is_dir(self) -> Any:
            return self._asked("is_dir")

        def is_file(self) -> Any:
            return self._asked("is_file")

        def stat(self) -> Any:
            return self._asked("stat")

    def scandir(folder: Path) -> Any:
        refused(folder)
        return nullcontext([Entry(folder / name) for name in os.listdir(folder)])

    looked_at = Path.is_dir

    def is_dir(path: Path) -> bool:
        refused(path)
        return looked_at(path)

    monkeypatch.setattr("coaxtell.window.scenes.file_list.os.scandir", scandir)
    monkeypatch.setattr(Path, "is_dir", is_dir)
    hand = Hand("photo")
    for folder in (tmp_path, tmp_path / "shut", tmp_path / "shut" / "within"):
        hand.desk.folder = folder
        hand.click("choose")
        assert hand.says("other.jpg") == (folder == tmp_path)
        hand.choose("leave")
    hand.desk.folder, hand.desk.sheets = None, shut
    hand.click("choose")
    assert hand.says("cannot be looked into (Permission denied); choose another folder.") or locked == "port.jpg"
    assert hand.says("the folder above") or locked == "within"
    hand.choose("leave")


def test_no_width_names_a_port_before_the_circle_and_the_side_are_confirmed(shot: tuple[Path, Shot]) -> None:
    path, drawn = shot
    hand = dropped(path)
    # the focus lies on the picture, so that no key agrees unseen, and nothing leads on yet
    assert hand.app.focused_key == "bench"
    assert "name-it" not in [w.key for w in hand.app.widgets]
    marked(hand, drawn)
    hand.key(pygame.K_y, "y")
    assert hand.app.focused_key == "mating-yes"
    assert "name-it" not in [w.key for w in hand.app.widgets]
    hand.choose("mating-no")
    assert hand.says("this width names no port")
    assert "name-it" not in [w.key for w in hand.app.widgets]
    hand.key(pygame.K_y, "y")
    assert hand.app.focused_key == "name-it"
    # another circle is another question
    hand.key(pygame.K_RIGHTBRACKET, "]")
    assert "name-it" not in [w.key for w in hand.app.widgets]
    scene(hand).name_it(False)()
    assert hand.app.scene.name == "photo"
    hand.click("confirm")
    assert "name-it" in [w.key for w in hand.app.widgets]


def test_no_key_agrees_to_a_ring_that_was_only_proposed(shot: tuple[Path, Shot]) -> None:
    """Here it is another thing than the rim: Y, Y had brought its width to the naming of the port."""
    path, drawn = shot
    hand = dropped(path)
    marks = scene(hand).marks
    assert marks is not None
    assert abs(marks.radius / drawn.radius - 1) > 0.04, "the first proposal is the rim: take another scene"
    for _ in range(3):
        hand.key(pygame.K_y, "y")
        assert hand.app.focused_key == "bench"
        assert hand.says("It is only proposed")
        assert not {"confirm", "mating-yes", "name-it"} & {w.key for w in hand.app.widgets}
        assert "mm across" not in hand.words()
    # another proposal is none the better for that
    hand.key(pygame.K_n, "n")
    hand.key(pygame.K_y, "y")
    assert "confirm" not in [w.key for w in hand.app.widgets]
    # Enter on the picture says that it lies right, and leads to the question of card and rim
    hand.tab_to("bench")
    hand.enter()
    assert hand.app.focused_key == "confirm"
    assert "mm across" not in hand.words()


def test_a_ring_out_of_sight_is_agreed_to_by_no_key(shot: tuple[Path, Shot]) -> None:
    """Near to a corner of the card, Enter, Y, Y had named a port by a ring that was not on the bench."""
    path, _ = shot
    hand = dropped(path)

    def placed() -> bool:
        return marking(hand).marks.placed

    def in_sight() -> bool:
        return marking(hand).in_sight

    def agreed_now() -> bool:
        return scene(hand).agreed

    def near_a_corner() -> None:
        marking(hand).force = 0
        for _ in range(14):
            hand.key(pygame.K_PLUS, "+")
        marking(hand).force = CIRCLE
        assert not in_sight()

    hand.tab_to("bench")
    near_a_corner()
    hand.enter()
    assert not placed()
    assert in_sight()
    assert hand.says("The ring was out of sight")
    hand.enter()
    assert placed()
    for by_key in (True, False):
        near_a_corner()
        if by_key:
            hand.key(pygame.K_y, "y")
        else:
            hand.choose("confirm")
        assert not agreed_now()
        assert in_sight()
        assert "mm across" not in hand.words()
    hand.key(pygame.K_y, "y")
    assert agreed_now()


def test_enter_on_a_corner_of_the_card_says_nothing_of_a_circle_that_nobody_saw(shot: tuple[Path, Shot]) -> None:
    """Where no card is found the circle stands in the middle of the picture, which had been agreed to by that Enter."""
    path, _ = shot
    hand = dropped(path)
    marks = scene(hand).marks
    assert marks is not None
    marks.proposed, marks.placed = [], False
    for force in (0, CIRCLE):
        marking(hand).force = force
        hand.tab_to("bench")
        hand.enter()
        assert not marks.placed
    # rounds were seen, and the circle lies on none of them
    marks.proposed = [(marks.centre + 40, marks.radius), (marks.centre, 2 * marks.radius)]
    hand.enter()
    assert not marks.placed
    marks.proposed.append((marks.centre, marks.radius))
    marking(hand).force = 0
    hand.enter()
    assert not marks.placed
    marking(hand).force = CIRCLE
    hand.tab_to("bench")
    hand.enter()
    assert marks.placed


def test_rings_that_are_seen_once_the_card_lies_get_the_circle_on_the_first_of_them(shot: tuple[Path, Shot]) -> None:
    """It had stayed in the middle of the picture, on none of them, and *n* had begun with the second."""
    path, drawn = shot
    hand = dropped(path)
    marks = scene(hand).marks
    assert marks is not None
    assert len(marks.proposed) > 1

    def fitted(placed: bool) -> None:
        marks.card, marks.proposed, marks.placed, marks.chosen = None, [], placed, 0
        marks.centre, marks.radius = np.array(marks.size) / 2, 40.0
        marks.corners = np.array(drawn.corners)
        marks.fit()
        assert marks.card is not None

    fitted(placed=False)
    assert marks.on_round
    assert not marks.placed
    assert not scene(hand).agreed
    assert (*marks.centre, marks.radius) == pytest.approx((*marks.proposed[0][0], marks.proposed[0][1]))
    # where a person has put it, it stays
    fitted(placed=True)
    assert tuple(marks.centre) == (marks.size[0] / 2, marks.size[1] / 2)


def test_what_was_agreed_to_ends_with_the_picture_that_was_seen(shot: tuple[Path, Shot], tmp_path: Path) -> None:
    """A retake under the same name while a port was being named: its width had stood there, agreed to by nobody."""
    path, drawn = shot
    here = tmp_path / "port.png"
    shutil.copy(path, here)
    hand = dropped(here)
    marked(hand, drawn)
    agreed(hand)
    for retaken in (False, True):
        if retaken:
            with Image.open(here) as picture:
                picture.transpose(Image.Transpose.ROTATE_180).save(here)
        hand.desk.go("name")
        hand.app.arrange()
        hand.desk.go("photo")
        hand.app.arrange()
        assert scene(hand).height == ("unknown" if retaken else "level")
        assert scene(hand).agreed is not retaken
        assert not retaken or "mm across" not in hand.words()


def test_a_click_on_the_ring_itself_says_that_it_lies_right(shot: tuple[Path, Shot]) -> None:
    hand = dropped(shot[0])
    marks = scene(hand).marks
    assert marks is not None
    before = (*marks.centre, marks.radius)
    x, y = marking(hand).sight.on_bench(marking(hand).box, (marks.centre[0] + marks.radius, marks.centre[1]))
    at = tuple(round(v * hand.app.type.scale) for v in (x, y))
    hand.post(
        pygame.event.Event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(0, 0, 0)),
        pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1),
        pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1),
    )
    assert "confirm" in [w.key for w in hand.app.widgets]
    assert (*marks.centre, marks.radius) == pytest.approx(before)


@pytest.mark.parametrize("tone", ["dark", "light"])
def test_the_ring_that_is_called_green_is_green(shot: tuple[Path, Shot], tone: Tone) -> None:
    path, drawn = shot
    hand = dropped(path)
    marked(hand, drawn)
    hand.settings.tone = tone
    hand.app.arrange()
    marking(hand).near()
    assert hand.says("green ring")
    picture, scale = hand.picture(), hand.app.type.scale
    rims = [call for call in hand.calls() if isinstance(call, Curve) and call.colour == hand.desk.palette.fits]
    (rim,) = rims
    seen = [picture.get_at((round(x * scale), round(y * scale))) for x, y in rim.points]
    green = [one.g > 1.15 * max(one.r, one.b) for one in seen]
    # handles and the focus may lie over some of it
    assert sum(green) > 0.9 * len(green)


@pytest.mark.parametrize(("feature", "value"), [(Feature.SIZE, "m2-screw"), (Feature.COUPLING, "thread-outside")])
def test_a_width_that_clashes_with_what_was_answered_says_so(
    shot: tuple[Path, Shot], feature: Feature, value: str
) -> None:
    """A width of 11.1 mm beside one likened to a screw of 2 mm, and beside a thread, which clashes with nothing."""
    path, drawn = shot
    hand = Hand("name")
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.inquiry.saw(feature, value)
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
    marked(hand, drawn)
    hand.choose("confirm")
    keys = [w.key for w in hand.app.widgets]
    assert "lay-" in " ".join(keys)
    assert ("clash" in keys) == (feature is Feature.SIZE)
    assert hand.says("No connector in the tables shows this") == (feature is Feature.SIZE)


@pytest.mark.parametrize(("typed", "said"), [("15.75", "a ring that is not the rim"), ("11.1", "being finer than")])
def test_a_finer_reading_stays_and_it_is_said_before_and_when_the_width_is_taken(
    shot: tuple[Path, Shot], typed: str, said: str
) -> None:
    path, drawn = shot
    hand = Hand("name")
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.inquiry.measured(Feature.COUPLING_DIAMETER, typed)
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
    marked(hand, drawn)
    assert "beside" not in [w.key for w in hand.app.widgets]
    hand.choose("confirm")
    assert "beside" in [w.key for w in hand.app.widgets]
    assert hand.says(f"{float(typed):.2f} +-0.05, told before, ")
    assert hand.says(said)
    apart = typed == "15.75"
    agreed(hand)
    hand.choose("name-it")
    assert isinstance(hand.app.scene, NamePort)
    read = hand.app.scene.inquiry.state.answers[Feature.COUPLING_DIAMETER]
    assert isinstance(read, Read)
    assert read.typed == typed
    assert hand.says(said)
    # the chip shows what counts: both of two that exclude each other, and neither settles
    inquiry = hand.app.scene.inquiry
    shown = inquiry.said(Feature.COUPLING_DIAMETER)
    assert ("by photograph (experimental)" in shown) is apart
    assert f"{typed} mm" in shown
    inquiry.saw(Feature.COUPLING, "thread-outside")
    inquiry.saw(Feature.CENTRE, "socket")
    inquiry.saw(Feature.PLASTIC, "level")
    if apart:
        assert not inquiry.found.settled
        assert inquiry.found.worn == []
        assert "exclude each other" in inquiry.doubted
        assert "measure coupling-diameter anew by hand" in inquiry.settles
    inquiry.measured(Feature.COUPLING_DIAMETER, "11.0")
    assert inquiry.said(Feature.COUPLING_DIAMETER) == "11 mm"
    assert "exclude" not in inquiry.doubted


def test_a_large_png_whose_pixels_end_early_is_told_in_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "cut.png"
    cut_png(path, 7000, 10)
    hand = dropped(path)
    assert hand.says("cut.png cannot be read (it is cut short or damaged); give another picture.")
    assert not hand.app.faults


def test_a_blurred_picture_is_refused_first_of_all(shot: tuple[Path, Shot], tmp_path: Path) -> None:
    _, drawn = shot
    soft = tmp_path / "soft.png"
    Image.fromarray(drawn.picture).filter(ImageFilter.GaussianBlur(9)).save(soft)
    hand = dropped(soft)
    marked(hand, drawn)
    assert scene(hand).width is None
    words = hand.words()
    # it stands where the card is told of, with what to do, as the terminal says it
    assert "Too blurred" in words
    assert "take the picture anew" in " ".join(words.split())
    assert "mm across" not in words
    assert hand.app.focused_key in ("another", "bench")


def test_a_height_beyond_the_camera_is_refused_in_a_sentence(shot: tuple[Path, Shot], tmp_path: Path) -> None:
    """Where the picture says that the lens was wide and near, no face stands so high over the card."""
    path, drawn = shot
    near = tmp_path / "near.jpg"
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 10  # its focal length on a frame of 35 mm film
    Image.open(path).convert("RGB").save(near, exif=exif, quality=95)
    hand = Hand("photo", (1024, 640))
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(near)))
    marks = scene(hand).marks
    assert marks is not None
    assert marks.card is not None
    marks.centre, marks.radius = drawn.centre, drawn.radius
    hand.choose("height-mm")
    hand.type("59")
    hand.app.arrange()
    far, _ = distance(marks.card, *marks.size, 10.0)
    assert far / 2 < 59
    assert scene(hand).width is None
    assert hand.says("so no face stands 59 mm over it")
    assert not hand.app.faults
    for _ in range(2):
        hand.key(pygame.K_BACKSPACE)
    hand.type("9")
    assert scene(hand).width is not None
    assert not hand.says("no face stands")


def test_a_picture_that_was_let_go_is_held_by_nothing(shot: tuple[Path, Shot]) -> None:
    path, _ = shot
    hand = dropped(path)
    hand.picture()
    hand.choose("near")
    hand.picture()
    marks = scene(hand).marks
    assert marks is not None
    pixels = weakref.ref(marks.photo.picture)
    del marks
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
    hand.picture()
    gc.collect()
    assert pixels() is None


def test_a_picture_that_is_left_is_let_go_and_taken_up_as_it_was_marked(shot: tuple[Path, Shot]) -> None:
    path, drawn = shot
    hand = dropped(path)
    marked(hand, drawn)
    agreed(hand)
    before = scene(hand).width
    marks = scene(hand).marks
    assert before is not None
    assert marks is not None
    circle, pixels = marking(hand).circle, weakref.ref(marks.photo.picture)
    del marks
    photo = scene(hand)
    hand.click("go-cable")
    hand.picture()
    gc.collect()
    assert photo.marks is None
    assert pixels() is None
    hand.click("go-photo")
    assert marking(hand).circle == pytest.approx(circle)
    after = scene(hand).width
    assert after is not None
    assert after.mm == pytest.approx(before.mm, abs=0.02)
    assert "name-it" in [w.key for w in hand.app.widgets]
