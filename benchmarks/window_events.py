"""Random keys, clicks, drags, wheels, drops, resizes and closings sent to the window: faults, slow steps, answers lost.

Someone sits down and answers a few items first, so that there are answers to lose; from there on all is chance. A step
is one event with what it changes arranged anew; its time is the processor's, so that other work on the machine does not
count, nor what the window does in a thread of its own. Run: python -m benchmarks.study window_events
"""

from __future__ import annotations

import os
import tempfile
import time
from pathlib import Path
from random import Random
from typing import Any
from unittest import mock

import numpy as np
from PIL import Image

from benchmarks.photo_scene import scene
from benchmarks.study import Study, Tally
from coaxtell.folders import HOME
from coaxtell.quiz.log import Answered, answers
from coaxtell.quiz.sitting import Sitting
from coaxtell.quiz.store import Store
from coaxtell.window import sitting
from coaxtell.window.desk import errands
from coaxtell.window.jobs import ALL
from tests.window.driving import Hand

import pygame  # isort: skip  (after the window, which keeps its greeting off the terminal)

KEYS = [
    (pygame.K_TAB, "\t"), (pygame.K_RETURN, "\r"), (pygame.K_SPACE, " "), (pygame.K_ESCAPE, "\x1b"),
    (pygame.K_LEFT, ""), (pygame.K_RIGHT, ""), (pygame.K_UP, ""), (pygame.K_DOWN, ""), (pygame.K_HOME, ""),
    (pygame.K_END, ""), (pygame.K_PAGEUP, ""), (pygame.K_PAGEDOWN, ""), (pygame.K_BACKSPACE, "\x08"),
    (pygame.K_DELETE, "\x7f"), *((pygame.K_0 + n, str(n)) for n in range(10)), (pygame.K_t, "t"), (pygame.K_a, "a"),
    (pygame.K_c, "c"), (pygame.K_PERIOD, "."), (pygame.K_QUESTION, "?"),
    *((pygame.K_F1 + n, "") for n in range(9)), (pygame.K_LEFTBRACKET, "["), (pygame.K_RIGHTBRACKET, "]"),
    (pygame.K_v, "v"), (pygame.K_y, "y"), (pygame.K_e, "é"), (0, "\u4e2d"), (pygame.K_MINUS, "-"),
]  # fmt: skip
CONTROL = [pygame.K_PLUS, pygame.K_MINUS, pygame.K_l, pygame.K_a, pygame.K_c, pygame.K_v, pygame.K_x, pygame.K_LEFT]
WINDOWS = [(1, 1), (2, 900), (640, 400), (1024, 640), (1366, 768), (1920, 1080), (700, 1000)]
TYPED = (
    "10..31.5/0.25", "10..30", "31..10", "10..60", "../x", "12..5m", "40ft", "0.00001dBi", "9e9dBi", "1W", "10dBm",
    "6.3", "6.3+-0.1", "1/4in", "1/0in", "none", "28tpi", "-3", "0", "n jack", "port.png", "Kim",
)  # fmt: skip
"""What is typed into fields as a whole: sizes, ranges, names and places, right ones and wrong ones."""
FILLED_IN = 0.02
"""Share of the steps in which a field on the page is filled in, and Enter pressed."""
SLOW_S = 1.0
"""A step that takes longer is slow."""
FIRST = 3
"""Items answered before chance takes over."""
_DRAWN = 7
"""Every so many events all is drawn, in calls."""


def event(dice: Random, size: tuple[int, int], folder: Path) -> list[pygame.event.Event]:
    """One thing that a person, a cat or the system may do; files are dropped from a folder."""
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
        return [*found, pygame.event.Event(pygame.KEYUP, key=key, mod=mod)]
    if kind < 0.70:
        return [
            pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=pos, button=1),
            pygame.event.Event(pygame.MOUSEBUTTONUP, pos=pos, button=1),
        ]
    if kind < 0.76:
        way = dice.choice([pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP])
        return [pygame.event.Event(way, pos=pos, button=dice.choice([1, 1, 2, 3]))]
    if kind < 0.93:
        return [pygame.event.Event(pygame.MOUSEMOTION, pos=pos, rel=(3, 1), buttons=(1, 0, 0))]
    if kind < 0.97:
        return [pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=dice.choice([-3, -1, 1, 2]), flipped=False)]
    if kind < 0.98:
        w, h = dice.choice(WINDOWS)
        return [pygame.event.Event(pygame.VIDEORESIZE, w=w, h=h, size=(w, h))]
    if kind < 0.988:
        return [pygame.event.Event(pygame.WINDOWFOCUSLOST)]
    if kind < 0.99:
        return [pygame.event.Event(pygame.QUIT)]
    name = dice.choice(["none.json", "bad.json", "port.toml", "cut.s1p", "bad.png", "port.png"])
    return [pygame.event.Event(pygame.DROPFILE, file=str(folder / name))]


def filled_in(dice: Random, hand: Hand) -> list[pygame.event.Event]:
    """A field on the page is gone to, and something is typed in place of what stands there; nothing without a field."""
    fields = [widget.key for widget in hand.app.widgets if widget.takes_text]
    if not fields:
        return []
    hand.app.focus(dice.choice(fields))
    select, enter = (pygame.K_a, "", pygame.KMOD_CTRL), (pygame.K_RETURN, "\r", 0)
    keys = [pygame.event.Event(pygame.KEYDOWN, key=k, unicode=typed, mod=mod) for k, typed, mod in (select, enter)]
    return [keys[0], pygame.event.Event(pygame.TEXTINPUT, text=dice.choice(TYPED)), keys[1]]


def play(block: int, size: int) -> dict[str, Tally]:
    """Steps without a fault, steps that were not slow, answers and sessions kept, and a sound record."""
    given: list[str] = []
    write_down = Sitting._written

    def written(seat: Sitting, *asked: Any, **more: Any) -> Answered:
        found = write_down(seat, *asked, **more)
        given.append(found.id)
        return found

    with (
        tempfile.TemporaryDirectory() as name,
        mock.patch.dict(os.environ, {HOME: name}),
        mock.patch("webbrowser.open", return_value=True),
        mock.patch.object(errands, "done", return_value="Written."),
        mock.patch.object(errands, "print_file", return_value="Printed."),
        mock.patch.object(Sitting, "_written", written),
        mock.patch.object(sitting, "SystemRandom", return_value=Random(f"{STUDY.seed}/{block}/items")),
    ):
        folder = Path(name)
        (folder / "bad.png").write_bytes(b"no picture")
        Image.fromarray(scene(202, 1200, 900, np.array([11.11]), False).picture).save(folder / "port.png")
        (folder / "bad.json").write_text('{"candidates": [{"id": 7}]}', encoding="utf-8")
        found = _played(Random(f"{STUDY.seed}/{block}"), size, folder)
        with Store(str(folder / "records.db")) as store:
            _, problems = store.verify()
            kept = {answer.id for answer in answers(store.events())}
        found["record sound"] = Tally(float(not problems), 1)
        found["answers in the record"] = Tally(float(len(kept & set(given))), len(given))
        return found


def _sat_down(hand: Hand) -> None:
    """Someone practises: a name, and the first items answered, each taken as the first of its answers."""
    hand.app.go("practise")
    hand.app.arrange()
    hand.tab_to("person")
    hand.type("Kim")
    hand.enter()
    hand.choose("practise")
    for _ in range(FIRST):
        hand.key(pygame.K_1, "1")
        hand.key(pygame.K_8, "8")
        hand.enter()
        hand.enter()


class _Aside:
    """How long the work took that a window does beside itself, and the driven one at once [s]."""

    def __init__(self, hand: Hand) -> None:
        """Take the time of a window's work from now on."""
        self.spent_s = 0.0
        later = hand.desk.later

        def timed(*work: Any) -> None:
            began = time.process_time()
            later(*work)
            self.spent_s += time.process_time() - began

        hand.desk.later = timed  # type: ignore[method-assign, assignment]


def _played(dice: Random, size: int, folder: Path) -> dict[str, Tally]:
    records = folder / "records.db"
    hand = Hand(ALL[0].name, (1024, 640), records=records, sheets=folder)
    whole = quick = steps = sent = closed = kept = 0
    seen: set[str] = set()
    _sat_down(hand)
    aside = _Aside(hand)
    while sent < size:
        began = time.process_time()
        aside.spent_s = 0.0
        filled = filled_in(dice, hand) if dice.random() < FILLED_IN else []
        for one in filled or event(dice, hand.app.size, folder):
            hand.app.handle(one)
            sent += 1
        if not hand.app.running:
            # a new window takes up what was held
            held = {job: dict(work) for job, work in hand.settings.work.items()}
            hand = Hand(hand.settings.scene, hand.app.size, hand.settings, records=records, sheets=folder)
            aside = _Aside(hand)
            hand.app.keep()
            closed += 1
            kept += hand.settings.work[hand.settings.scene] == held[hand.settings.scene]
            began = time.process_time()
        hand.now += 0.05
        hand.app.tick()
        seen.add(hand.app.scene.name)
        if sent % _DRAWN == 0:
            hand.app.show(pygame.Surface(hand.app.size))
        steps += 1
        whole += not hand.app.faults
        hand.app.faults.clear()
        quick += time.process_time() - began - aside.spent_s <= SLOW_S
    found = {
        "steps without a fault": Tally(whole, steps),
        f"steps within {SLOW_S:g} s of processor": Tally(quick, steps),
        "scenes seen": Tally(len(seen), len(ALL)),
    }
    if closed:
        found["sessions taken up as they were left"] = Tally(kept, closed)
    return found


STUDY = Study(
    name="window_events",
    about="Random events sent to the window: shares of steps without a fault and not slow, sessions and answers kept",
    rooms=(),
    seed=20_251,
    blocks=10,
    play=play,
    size=10_000,
    sample=1500,
    rests_on=lambda: " ".join(scene.name for scene in ALL),
)
