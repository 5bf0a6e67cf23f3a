"""Life size: a half at exactly 1:1 on the screen, to hold the real part against; the screen is set with a card."""

from __future__ import annotations

from typing import Any

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.kit.widgets import Stage
from coaxtell.window.scenes import port_words
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views.scales import CARD, THIN, ground, ruler
from coaxtell.window.views.viewpoints import FACE, SIDE, View, picture_at

USUAL = 96 / 25.4
"""Pixels per mm of a screen that nobody has set yet: 96 to the inch."""
LEAST, MOST = 1.5, 40.0
"""Bounds of a believable screen [px per mm]."""
FINE, COARSE = 0.2, 2.0
"""Steps of the outline's width [mm of the card]; with Shift the coarse one."""


class LifeSize(Scene):
    """One half, two views, the ruler; or the card's outline while the screen is set."""

    desk: Desk
    name = "life-size"
    word = "Life size"
    help = "Hold the real part against its picture at exactly 1:1."
    serves = ("lifesize",)

    half_id = "sma-plug"
    setting = False
    wanted = USUAL

    @property
    def per_px(self) -> float:
        """Pixels per mm on this display."""
        return self.desk.settings.per_mm.get(self.desk.display, USUAL)

    @property
    def is_set(self) -> bool:
        """Whether this display was set with a card."""
        return self.desk.display in self.desk.settings.per_mm

    @property
    def column_first(self) -> bool:
        """That nothing is held near a port comes first."""
        return bool(port_words.from_afar(self.desk, self.half_id))

    def arrange(self, room: Room) -> None:
        """The bench with the part; the column with its name, or how to set the screen."""
        self.scale = room.type.scale
        if self.setting:
            self._arrange_card(room)
            return
        half = self.desk.half(self.half_id)
        room.on_bench(Stage("bench", room.bench, self._draw_part, self._part_key))
        column, afar = room.column, port_words.from_afar(self.desk, self.half_id)
        for number, told in enumerate(afar):
            column.check(told, None, key=f"afar-{number}")
        column.title(half.name)
        if half.trade_names:
            column.say("Also called " + ", ".join(half.trade_names) + ".", role="quiet")
        if self.is_set:
            column.check("This screen is set: what you see is life size.", True, key="is-set")
        else:
            column.check("This screen is not set yet: sizes are a guess.", None, key="is-set")
        column.button("choose", "Another half", self._choose, "action" if self.is_set else "plain")
        words = "Set the screen again" if self.is_set else "Set the screen with a bank card"
        column.button("set", words, self._start, "plain" if self.is_set else "action")
        others = [n for n in self.desk.named if n.half_id != self.half_id]
        if others:
            column.part("Ports named here")
            column.buttons([
                (f"named-{n.half_id}", self.desk.half(n.half_id).name, self._put(n.half_id), False) for n in others
            ])  # fmt: skip
        column.part("How to use it")
        if afar:
            column.say("Compare it from where you stand, by its looks: nothing is held near it.")
            return
        column.say("Hold the real part close to the glass and look square on, with one eye.")
        column.say("Do not press on the glass, and keep a part that is connected to a transmitter away from it.")

    def _arrange_card(self, room: Room) -> None:
        room.on_bench(Stage("bench", room.bench, self._draw_card, self._card_key, self._drag_card))
        column = room.column
        column.title("Lay a bank card on the screen")
        column.say("Make the outline exactly as large as the card.")
        column.buttons([
            ("narrower", "Smaller", lambda: self._grow(-FINE), False),
            ("wider", "Larger", lambda: self._grow(FINE), False),
        ])  # fmt: skip
        column.say("Arrow keys do the same; with Shift ten times as far.", role="quiet")
        column.say(f"Card: {CARD[0]:.2f}{THIN}mm wide (ISO/IEC 7810). Now {self.wanted:.3f} pixels to the mm.",
                   SMALL, "quiet")  # fmt: skip
        if self._card_width_units(self.wanted) > room.bench.w:
            column.check("The outline is wider than the bench: make the window larger.", None, key="too-wide")
        column.button("done", "It fits: keep it", self._keep, "action")
        column.button("cancel", "Leave it as it was", self._cancel)

    # -- the part ------------------------------------------------------------------------------------------------

    def _per_mm(self) -> float:
        return self.per_px / self.scale

    def _draw_part(self, pen: Pen, box: Box) -> None:
        half = self.desk.half(self.half_id)
        per_mm = self._per_mm()
        foot = Box(box.x, box.bottom - 48, box.w, 48)
        extent = self.desk.art.extent(half)
        room = Box(box.x, box.y, box.w, box.h - 48)
        middle = room.y + room.h / 2
        gap = 8 * per_mm
        face_w, side_w = 2 * extent.radius * per_mm, extent.length * per_mm
        start = room.x + (room.w - face_w - gap - side_w) / 2
        left = start + face_w + gap
        pen.grid(ground(box), per_mm, (start, foot.y))
        self._view(pen, half, FACE, Box(start, middle - face_w / 2, face_w, face_w))
        self._view(pen, half, SIDE, Box(left, middle - face_w / 2, side_w, face_w))
        name = f"{half.name}, 1{THIN}:{THIN}1" if self.is_set else f"{half.name}, screen not set"
        wide = room.w - 4 * STEP
        tall = len(pen.type.folded(name, SMALL, wide, True)) * pen.type.line(SMALL)
        top = max(room.y, middle - extent.reach * per_mm - STEP - tall)
        pen.lines(name, Box(room.x + 2 * STEP, top, wide, tall), SMALL, pen.palette.text, True, "middle")
        ruler(pen, foot, per_mm, start)

    def _view(self, pen: Pen, half: Half, view: View, area: Box) -> None:
        """One view in its area at 1 : 1: pictured pixel by pixel, else drawn, the side then cut open."""
        per_mm = self._per_mm()
        found = picture_at(self.desk, half, view, self.per_px)
        name = f"{half.id} {'face' if view is FACE else 'side'}"
        x, y = area.middle
        if found is not None:
            wide = found[1] * per_mm
            pen.picture(Box(x - wide / 2, y - wide / 2, wide, wide), found[0], name)
        elif view is FACE:
            pen.shape(self.desk.art.face(half, pen.palette), (x, y), per_mm, area, name)
        else:
            rear = self.desk.art.extent(half).rear
            pen.shape(self.desk.art.cut_open(half, pen.palette), (area.x - rear * per_mm, y), per_mm, area, name)

    def _part_key(self, event: pygame.event.Event) -> bool:
        if event.key not in (pygame.K_LEFT, pygame.K_RIGHT):
            return False
        ids = [half.id for half in self.desk.usual]
        self.half_id = ids[(ids.index(self.half_id) + (1 if event.key == pygame.K_RIGHT else -1)) % len(ids)]
        return True

    def _choose(self) -> None:
        Picker(self.desk, "Which half?", self.half_id, lambda i: setattr(self, "half_id", i)).open()

    def _put(self, half_id: str) -> Any:
        return lambda: setattr(self, "half_id", half_id)

    # -- the card ------------------------------------------------------------------------------------------------

    def _start(self) -> None:
        self.setting, self.wanted = True, self.per_px
        # the outline is seen before anything is kept
        self.desk.wanted_top, self.desk.wanted_focus = True, "bench"

    def _keep(self) -> None:
        self.desk.settings.per_mm[self.desk.display] = round(self.wanted, 4)
        self.setting = False
        self.desk.say("The screen is set and remembered for this display.")

    def _cancel(self) -> None:
        self.setting = False

    def _card_width_units(self, per_mm: float) -> float:
        return CARD[0] * per_mm / self.scale

    def _grow(self, mm: float) -> None:
        """Make the outline wider by `mm` as the screen now shows it."""
        self.wanted = max(LEAST, min(MOST, self.wanted * (1 + mm / CARD[0])))

    def _card_key(self, event: pygame.event.Event) -> bool:
        step = COARSE if event.mod & pygame.KMOD_SHIFT else FINE
        if event.key in (pygame.K_RIGHT, pygame.K_UP):
            self._grow(step)
        elif event.key in (pygame.K_LEFT, pygame.K_DOWN):
            self._grow(-step)
        else:
            return False
        return True

    def _drag_card(self, dx: float, dy: float) -> None:
        # the right edge follows the mouse; the outline is centred, so it grows on both sides
        self._grow(2 * dx * self.scale / self.wanted)

    def key(self, event: pygame.event.Event) -> bool:
        """Arrows size the outline, or go to the next half, wherever the focus is."""
        return self._card_key(event) if self.setting else self._part_key(event)

    def _draw_card(self, pen: Pen, box: Box) -> None:
        per_mm = self.wanted / self.scale
        w, h = CARD[0] * per_mm, CARD[1] * per_mm
        card = Box(box.x + (box.w - w) / 2, box.y + (box.h - h) / 2, w, h)
        pen.grid(ground(box), per_mm, (card.x, card.y))
        with pen.clipped(box):
            pen.fill(card, pen.palette.panel, CARD[2] * per_mm)
            pen.frame(card, pen.palette.action, 3, CARD[2] * per_mm)
            words = f"85.60{THIN}\N{MULTIPLICATION SIGN}{THIN}53.98{THIN}mm"
            if pen.type.width(words, SMALL) < w:
                pen.words(words, (card.x + w / 2, card.y + h / 2 - 10), SMALL, pen.palette.quiet, anchor="middle")

    def back(self) -> bool:
        """Esc leaves the setting of the screen."""
        if self.setting:
            self.setting = False
            return True
        return False

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        if self.setting:
            return [("Arrow keys", f"smaller, larger by {FINE}{THIN}mm; with Shift {COARSE:g}{THIN}mm")]
        return [("\N{RIGHTWARDS ARROW}, \N{LEFTWARDS ARROW}", "the next half, the one before"),
                ("Tab, Enter", "choose another half, set the screen")]  # fmt: skip

    def remembered(self) -> dict[str, Any]:
        """Which half was shown."""
        return {"half": self.half_id}

    def recall(self, held: dict[str, Any]) -> None:
        """The half of last time."""
        if held.get("half") in self.desk.tables.halves:
            self.half_id = str(held["half"])
