"""What can be read off the recorded draw calls: grounds under text, overlaps, texts cut off."""

from __future__ import annotations

from coaxtell.window.kit.app import App
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Call, Clip, Fill, Grid, Picture, Shape, Words
from coaxtell.window.kit.theme import Colour, contrast

PLAY = 1.5
"""Texts may touch by so much [units]: the line box of a font is taller than its letters."""


def clipped_words(calls: list[Call]) -> list[tuple[Words, Box | None]]:
    """Each text with the box it is clipped to."""
    found: list[tuple[Words, Box | None]] = []
    clip: Box | None = None
    for call in calls:
        if isinstance(call, Clip):
            clip = call.box
        elif isinstance(call, Words):
            found.append((call, clip))
    return found


def problems(app: App) -> list[str]:
    """Texts cut short or sideways, by the window or its scrolled page, over each other or over a picture."""
    calls = app.draw().calls
    window = Box(0, 0, app.width, app.height)
    found: list[str] = []
    shown: list[Words] = []
    pictures: list[tuple[Box, str]] = []
    clip: Box | None = None
    for call in calls:
        if isinstance(call, Clip):
            clip = call.box
        elif isinstance(call, Words):
            room = window if clip is None else clip
            if call.words.endswith("\u2026"):
                found.append(f"cut short: {call.words!r}")
            if call.box.x < room.x - 1 or call.box.right > room.right + 1:
                found.append(f"cut off sideways: {call.words!r}")
            if clip is None and (call.box.y < -1 or call.box.bottom > window.bottom + 1):
                found.append(f"cut off above or below: {call.words!r}")
            if call.box.overlaps(room):
                shown.append(call._replace(box=call.box.shared(room)))
        elif isinstance(call, Fill) and call.alpha < 1 and call.box.w >= app.width - 0.01:
            # behind a dialog everything is dimmed and nothing is read
            shown, pictures = [], []
        elif isinstance(call, Shape | Picture):
            room = window if clip is None else clip
            box = call.box.shared(room)
            pictures.append((box, call.name))
    for i, one in enumerate(shown):
        for two in shown[i + 1 :]:
            if one.box.overlaps(two.box, PLAY):
                found.append(f"one over the other: {one.words!r} and {two.words!r}")
        for box, name in pictures:
            if one.box.overlaps(box, PLAY):
                found.append(f"text over the picture {name}: {one.words!r}")
    return found


def weak_contrasts(app: App, least: float = 4.5) -> list[str]:
    """Texts whose colour stands too little off the ground they lie on."""
    found: list[str] = []
    grounds: list[tuple[Box, Colour]] = []
    clip: Box | None = None
    for call in app.draw().calls:
        if isinstance(call, Clip):
            clip = call.box
        elif isinstance(call, Fill) and call.alpha >= 1:
            box = call.box if clip is None else call.box.shared(clip)
            grounds.append((box, call.colour))
        elif isinstance(call, Fill):
            if call.box.w >= app.width - 0.01:
                grounds, found = [], []
        elif isinstance(call, Grid):
            # the strongest line of the grid is the worst ground a letter can meet
            grounds.append((call.box, app.desk.palette.bench))
        elif isinstance(call, Words):
            x, y = call.box.middle
            if clip is not None and not clip.holds(x, y):
                continue  # scrolled out of sight
            under = [colour for box, colour in grounds if box.holds(x, y)]
            if under and contrast(call.colour, under[-1]) < least:
                found.append(f"{call.words!r}: {contrast(call.colour, under[-1]):.2f} to 1")
    return found
