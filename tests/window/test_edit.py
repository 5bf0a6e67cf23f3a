"""Text fields: what is selected, copied, cut and pasted; and that no text and no room makes them slow or endless."""

import time

import pygame
import pytest

from coaxtell.window.kit import fields
from coaxtell.window.kit.edit import LONGEST, Edit, shown
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, DARK
from coaxtell.window.kit.widgets import Mood
from tests.window.driving import Hand

SHIFT, CTRL = pygame.KMOD_SHIFT, pygame.KMOD_CTRL


def test_what_is_typed_takes_the_place_of_what_is_selected() -> None:
    edit = Edit("rp-sma jack")
    edit.key(pygame.K_LEFT, SHIFT | CTRL)
    assert edit.selection == "jack"
    edit.insert("plug")
    assert edit.text == "rp-sma plug"
    assert edit.selection == ""
    edit.key(pygame.K_HOME, SHIFT)
    assert edit.selection == "rp-sma plug"
    edit.key(pygame.K_DELETE)
    assert edit.text == ""


def test_words_are_moved_over_and_deleted_whole() -> None:
    edit = Edit("one  two three")
    edit.key(pygame.K_BACKSPACE, CTRL)
    assert edit.text == "one  two "
    edit.key(pygame.K_LEFT, CTRL)
    assert edit.caret == 5
    edit.key(pygame.K_LEFT, CTRL)
    assert edit.caret == 0
    edit.key(pygame.K_DELETE, CTRL)
    assert edit.text == "  two "


@pytest.mark.parametrize("room", [-40.0, 0.0, 1.0, 30.0, 1e6])
def test_the_part_in_sight_holds_the_caret_in_any_room(room: float) -> None:
    edit = Edit("x" * 3_000)
    for place in (0, 17, 1_500, 3_000):
        edit.move(place)
        start, end = shown(edit, room, lambda words: 7.0 * len(words))
        assert start <= place <= end
        assert 7.0 * (end - start) <= max(room, 0.0) + 7.0


def test_three_thousand_characters_are_drawn_at_once() -> None:
    pygame.font.init()
    type_ = Type(1.0)
    pen = Pen(DARK, type_)
    edit = Edit("W" * 3_000)
    field = fields.TextField("f", Box(0, 0, 300, 60), "", edit, lambda: None, width=lambda w: type_.width(w, BODY))
    began = time.process_time()
    field.paint(pen, Mood(True, False))
    type_.folded("W" * 3_000, BODY, 300)
    # over a second before; the bound is far above what it takes
    assert time.process_time() - began < 0.5


def test_fields_copy_cut_and_paste_by_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    held = [""]
    monkeypatch.setattr(fields, "copy", lambda words: held.__setitem__(0, words) or True)
    monkeypatch.setattr(fields, "paste", lambda: held[0])
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("40ft")
    hand.key(pygame.K_a, "\x01", CTRL)
    hand.key(pygame.K_x, "\x18", CTRL)
    assert held == ["40ft"]
    hand.key(pygame.K_v, "\x16", CTRL)
    hand.key(pygame.K_v, "\x16", CTRL)
    assert hand.app.scene.typed.text == "40ft40ft"  # type: ignore[attr-defined]


def test_without_a_clipboard_nothing_typed_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fields, "copy", lambda words: False)
    monkeypatch.setattr(fields, "paste", lambda: "")
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("40ft")
    for key, typed in ((pygame.K_x, "\x18"), (pygame.K_c, "\x03")):
        hand.desk.notice = ""
        hand.key(pygame.K_a, "\x01", CTRL)
        hand.key(key, typed, CTRL)
        assert hand.says("no clipboard")
    hand.key(pygame.K_v, "\x16", CTRL)
    assert hand.app.scene.typed.text == "40ft"  # type: ignore[attr-defined]


def test_the_mouse_sets_the_caret_and_selects() -> None:
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("8.5dBi")
    field = hand.widget("typed")
    assert isinstance(field, fields.TextField)
    left = field.field.x + 12
    field.grab((left + field.width("8.5"), 0.0))
    assert field.edit.caret == 3
    field.drag((left + 500.0, 0.0))
    assert field.edit.selection == "dBi"


@pytest.mark.parametrize("place", [0, 17, 2_000, 4_096])
def test_a_field_measures_no_more_than_about_what_is_in_sight(place: int) -> None:
    measured: list[int] = []

    def width(words: str) -> float:
        measured.append(len(words))
        return 7.0 * len(words)

    edit = Edit("x" * LONGEST)
    edit.move(place)
    start, end = shown(edit, 300.0, width)
    assert end - start == 42  # 300 / 7
    edit.place_at(150.0, width)
    assert max(measured) <= 2 * 43
    assert len(measured) < 60


def test_a_path_as_long_as_the_system_takes_goes_in_whole_and_more_is_refused_in_a_sentence() -> None:
    hand = Hand("papers")
    hand.choose("paper-sheet")
    field = hand.tab_to("where")
    assert isinstance(field, fields.TextField)
    field.edit.set("")
    path = "/tmp/" + "d" * 4_087 + ".pdf"
    hand.post(pygame.event.Event(pygame.TEXTINPUT, text=path))
    # PATH_MAX of Linux is 4,096 with the nought that ends it (limits.h)
    assert len(path) == 4_096
    assert hand.app.scene.where.text == path  # type: ignore[attr-defined]
    hand.post(pygame.event.Event(pygame.TEXTINPUT, text="more"))
    assert hand.app.scene.where.text == path  # type: ignore[attr-defined]
    assert hand.says("takes 4,096 characters")
    hand.key(pygame.K_BACKSPACE)
    hand.key(ord("x"), "x")
    assert hand.app.scene.where.text == path[:-1] + "x"  # type: ignore[attr-defined]


def test_what_is_pasted_beyond_the_longest_is_refused_and_the_text_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fields, "paste", lambda: "p" * 5_000)
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("40ft")
    hand.key(pygame.K_v, "\x16", CTRL)
    assert hand.app.scene.typed.text == "40ft"  # type: ignore[attr-defined]
    assert hand.says("these would be 5,004")


def test_a_name_too_long_for_the_system_is_refused_in_a_sentence() -> None:
    for scene, open_, key in (("papers", "paper-sheet", "where"), ("photo", "", "file")):
        hand = Hand(scene)
        if open_:
            hand.choose(open_)
        field = hand.tab_to(key)
        assert isinstance(field, fields.TextField)
        for typed in ("/tmp/" + "d" * 4_000 + ".pdf", "~nobody-here/x.pdf"):
            field.edit.set(typed)
            hand.enter()
            assert hand.app.faults == []
            assert not hand.says("That did not work")
