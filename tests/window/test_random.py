"""A hundred thousand random events under a seed: no fault, nothing answered is lost."""

import os
import random
from pathlib import Path

import pygame
import pytest

from coaxtell.quiz.store import Store
from coaxtell.window.desk import errands
from coaxtell.window.jobs import ALL
from tests.window.driving import Hand

EVENTS = int(os.environ.get("COAXTELL_EVENTS", "100000"))
KEYS = [
    (pygame.K_TAB, "\t"), (pygame.K_RETURN, "\r"), (pygame.K_SPACE, " "), (pygame.K_ESCAPE, "\x1b"),
    (pygame.K_LEFT, ""), (pygame.K_RIGHT, ""), (pygame.K_UP, ""), (pygame.K_DOWN, ""), (pygame.K_HOME, ""),
    (pygame.K_END, ""), (pygame.K_PAGEUP, ""), (pygame.K_PAGEDOWN, ""), (pygame.K_BACKSPACE, "\x08"),
    (pygame.K_DELETE, "\x7f"), *((pygame.K_0 + n, str(n)) for n in range(10)), (pygame.K_t, "t"), (pygame.K_a, "a"),
    (pygame.K_c, "c"), (pygame.K_PERIOD, "."), (pygame.K_QUESTION, "?"), (pygame.K_F1, ""), (pygame.K_F2, ""),
    (pygame.K_F3, ""), (pygame.K_F4, ""), (pygame.K_F5, ""),
    (pygame.K_F6, ""), (pygame.K_F7, ""), (pygame.K_F8, ""), (pygame.K_LEFTBRACKET, "["), (pygame.K_RIGHTBRACKET, "]"),
    (pygame.K_v, "v"), (pygame.K_e, "é"), (0, "\u4e2d"), (pygame.K_MINUS, "-"),
]  # fmt: skip
CONTROL = [pygame.K_PLUS, pygame.K_MINUS, pygame.K_l, pygame.K_a, pygame.K_c, pygame.K_v, pygame.K_x, pygame.K_LEFT]
WINDOWS = [(1, 1), (2, 900), (640, 400), (1024, 640), (1366, 768), (1920, 1080), (700, 1000)]


def event(dice: random.Random, size: tuple[int, int], folder: Path) -> list[pygame.event.Event]:
    kind = dice.random()
    pos = (dice.randrange(-5, size[0] + 5), dice.randrange(-5, size[1] + 5))
    if kind < 0.52:
        key, typed = dice.choice(KEYS)
        mod = dice.choice([0, 0, 0, pygame.KMOD_SHIFT])
        if dice.random() < 0.04:
            key, typed, mod = dice.choice(CONTROL), "", pygame.KMOD_CTRL
        found = [pygame.event.Event(pygame.KEYDOWN, key=key, unicode=typed, mod=mod)]
        if typed.isprintable() and typed:
            found.append(pygame.event.Event(pygame.TEXTINPUT, text=typed))
        return found
    if kind < 0.70:
        return [
            pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=pos, button=1),
            pygame.event.Event(pygame.MOUSEBUTTONUP, pos=pos, button=1),
        ]
    if kind < 0.76:
        return [pygame.event.Event(dice.choice([pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP]), pos=pos,
                                   button=dice.choice([1, 1, 2, 3]))]  # fmt: skip
    if kind < 0.93:
        return [pygame.event.Event(pygame.MOUSEMOTION, pos=pos, rel=(3, 1), buttons=(1, 0, 0))]
    if kind < 0.97:
        return [pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=dice.choice([-3, -1, 1, 2]), flipped=False)]
    if kind < 0.98:
        w, h = dice.choice(WINDOWS)
        return [pygame.event.Event(pygame.VIDEORESIZE, w=w, h=h, size=(w, h))]
    if kind < 0.99:
        return [pygame.event.Event(pygame.WINDOWFOCUSLOST)]
    return [pygame.event.Event(pygame.DROPFILE, file=str(folder / dice.choice(["none.json", "bad.json", "port.toml"])))]


def test_random_events_leave_no_fault_and_lose_no_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webbrowser.open", lambda url: True)
    monkeypatch.setattr(errands, "done", lambda words: "Written.")
    monkeypatch.setattr(errands, "print_file", lambda path: "Printed.")
    (tmp_path / "bad.json").write_text('{"candidates": [{"id": 7}]}', encoding="utf-8")
    dice = random.Random(20_251)
    records = tmp_path / "records.db"
    hand = Hand(ALL[0].name, (1024, 640), records=records, sheets=tmp_path)
    sent = drawn = 0
    seen: set[str] = set()
    while sent < EVENTS:
        for one in event(dice, hand.app.size, tmp_path):
            hand.app.handle(one)
            sent += 1
        if not hand.app.running:
            # closed from the jobs dialog: a new window takes up what was held
            held = {name: dict(work) for name, work in hand.settings.work.items()}
            hand = Hand(hand.settings.scene, hand.app.size, hand.settings, records=records, sheets=tmp_path)
            hand.app.keep()
            assert hand.settings.work[hand.settings.scene] == held[hand.settings.scene]
        hand.now += 0.05
        hand.app.tick()
        seen.add(hand.app.scene.name)
        if sent % 7 == 0:
            hand.app.draw()
            drawn += 1
        assert not hand.app.faults, f"after {sent} events: {hand.app.faults[0]!r}"
    # every answer acknowledged is in the record, and the record is sound
    with Store(str(tmp_path / "records.db")) as store:
        events, problems = store.verify()
    assert events > 0
    assert problems == []
    assert drawn > EVENTS / 100
    assert seen == {scene.name for scene in ALL}
