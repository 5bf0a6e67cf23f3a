"""Every job of the page, worked as a person works it: by touch alone or by keys alone, then opened anew.

A list's choice opens in the phone's own window, which nothing here can touch: by touch its value is set.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import numpy as np
from PIL import Image

from coaxtell.models.mating.mate import Verdict
from tests.pocket.browser import Phone
from tests.pocket.test_photo import drawn

WAYS = ("touch", "keys")
TABS_MOST = 150
MIDDLE = """(one, share) => {
  one.scrollIntoView({ block: "center" });
  const box = one.getBoundingClientRect();
  return [box.x + share * box.width, box.y + box.height / 2];
}"""
"""Where a finger touches an element: so far along it."""


class Hand(NamedTuple):
    """Who works the page: by touch or by keys, with a folder for what he needs."""

    phone: Phone
    way: str
    folder: Path

    def press(self, words: str, within: str = "body") -> None:
        """Press the button of these words."""
        if self.way == "touch":
            self.phone.tap(words, within)
            return
        # from where the page's own order of keys leads first, no script helps
        for _ in range(TABS_MOST):
            self.phone.key("Tab")
            told = self.phone.run(f"(e => e.closest({json.dumps(within)}) && e.innerText)(document.activeElement)")
            if told is not None and words in told:
                self.phone.key("Enter")
                return
        raise AssertionError(f"no Tab reaches {words!r}")

    def step(self, label: str, by: int = 1) -> None:
        """Choose the next thing from the list of a label, or the one before."""
        place = self._place(label, "select")
        if self.way == "touch":
            self.phone.run(f"(s => {{ s.selectedIndex += {by}; s.dispatchEvent(new Event('change')); }})({place})")
            return
        self._focus(place)
        self.phone.key("ArrowDown" if by > 0 else "ArrowUp")

    def write(self, label: str, text: str) -> None:
        """Write into the field of a label."""
        place = self._place(label, "input")
        if self.way == "touch":
            self.phone.touched(*self.phone.run(f"({MIDDLE})({place}, 0.5)"))
        else:
            self._focus(place)
        self.phone.run(f"{place}.select()")
        self.phone.type(text)
        self.phone.run("document.activeElement.blur()")

    def _place(self, label: str, kind: str) -> str:
        labels = "[...document.querySelectorAll('main label')]"
        return f"{labels}.find((l) => l.innerText.includes({json.dumps(label)})).querySelector('{kind}')"

    def _focus(self, place: str) -> None:
        for _ in range(TABS_MOST):
            self.phone.key("Tab")
            if self.phone.run(f"document.activeElement === {place}"):
                return
        raise AssertionError(f"no Tab reaches {place}")

    def slide(self, label: str) -> None:
        """Move the slider of a label by a little."""
        place = self._place(label, "input")
        if self.way == "touch":
            self.phone.touched(*self.phone.run(f"({MIDDLE})({place}, 0.4)"))
            return
        self._focus(place)
        self.phone.key("ArrowRight")


def name(hand: Hand) -> None:
    """Two answers, one changed, one taken back; the rest stands after the page is opened anew."""
    hand.press("A thread on the outside", "main")
    hand.step("Take another look")
    hand.press("I cannot tell", "main")
    assert hand.phone.run("port.given.length") == 2
    hand.press("Change", "main")
    hand.press("A thread on the inside", "main")
    assert hand.phone.run("port.answers.coupling.saw") == "thread-inside"
    hand.press("Take back", "main")
    assert hand.phone.run("port.given.length") == 1


def turn(hand: Hand) -> None:
    """A half chosen, turned, cut open, seen face on."""
    hand.press("Turn", "nav")
    hand.step("Half")
    hand.phone.run("world.drawn")
    assert hand.phone.run("state.turned === document.querySelector('main select').value")
    hand.slide("Cut")
    assert hand.phone.run("Number(document.querySelector('main input[type=range]').value)") < 101
    hand.press("Face on", "main")


def together(hand: Hand) -> None:
    """Two halves chosen, the verdict read."""
    hand.press("Pair", "nav")
    hand.step("One half")
    hand.step("The other half")
    assert hand.phone.run("state.pair.join()") == hand.phone.run(
        "[...document.querySelectorAll('main select')].map((s) => s.value).join()"
    )
    assert hand.phone.run("document.querySelector('[data-verdict]').dataset.verdict") in [*Verdict]


def life(hand: Hand) -> None:
    """The scale set by a card, a half shown at its size."""
    hand.press("1 : 1", "nav")
    hand.slide("Width of the frame")
    hand.press("It fits", "main")
    assert hand.phone.run("document.querySelectorAll('.true svg').length") == 2


def cable(hand: Hand) -> None:
    """A run described, the classes ranked."""
    hand.press("Cable", "nav")
    hand.step("Antenna's port")
    hand.write("Length", "12m")
    hand.write("Power at the reader", "30")
    assert "dBm arrive" in hand.phone.text()


def practise(hand: Hand) -> None:
    """An item answered with how sure, and explained."""
    hand.press("Train", "nav")
    hand.write("Your name", "Kim")
    first = hand.phone.run("Object.values(world.practice.items[0].options)[0]")
    hand.press(first[0].upper() + first[1:], "main")
    hand.press("% sure", "main")
    assert hand.phone.run("state.practice.events.length") == 2
    hand.press("Next", "main")


def site(hand: Hand) -> None:
    """A port named and added with its place; the port list handed over."""
    hand.press("A thread on the outside", "main")
    hand.press("Add to the site", "main")
    hand.write("Place", "gate")
    hand.phone.run("window.files = []; handOver = async (name, type, content) => files.push(content)")
    hand.press("ports.toml", "main")
    hand.phone.until("files.length > 0")
    assert 'where = ["gate"]' in hand.phone.run("files[0]")


def photo(hand: Hand) -> None:
    """A width measured in a photograph that is opened as a file: the phone's own window for it is not ours."""
    hand.phone.run("ask('coupling-diameter')")
    hand.press("Measure by photograph", "main")
    grey, corners, middle, radius = drawn(np.random.Generator(np.random.PCG64(3)), 640, 480)
    picture = hand.folder / "port.png"
    Image.fromarray(grey.astype(np.uint8)).convert("RGB").save(picture)
    hand.phone.choose_file("main input[type=file]:not([capture])", picture)
    hand.phone.until("document.querySelector('canvas.shot') !== null")
    wide, high = hand.phone.run("(c => [c.clientWidth, c.clientHeight])(document.querySelector('canvas.shot'))")
    scale = min(wide / 640, high / 480)
    for words, (x, y) in zip(("Corner 1", "Corner 2", "Corner 3", "Corner 4", "Face"), [*corners, middle], strict=True):
        hand.press(words, "main")
        if hand.way == "touch":
            hand.phone.touch("canvas.shot", (wide - 640 * scale) / 2 + x * scale, (high - 480 * scale) / 2 + y * scale)
        else:
            _moved(hand, words, x, y)
    hand.phone.run(f"shot.marks.radius = {radius}")
    hand.slide("Nearer")
    hand.step("level with the face", -1)
    assert hand.phone.run("shot.level") == "level"
    hand.press("Yes, the mating side: take this width", "main")
    assert hand.phone.run("port.answers['coupling-diameter'].read") > 10


def _moved(hand: Hand, words: str, x: float, y: float) -> None:
    """The mark that is chosen moved by arrow keys until it is near its place."""
    at = "shot.marks.face" if words == "Face" else f"shot.marks.corners[{int(words[-1]) - 1}]"
    hand.phone.run("document.querySelector('canvas.shot').focus()")
    for axis, keys, goal in ((0, ("ArrowLeft", "ArrowRight"), x), (1, ("ArrowUp", "ArrowDown"), y)):
        for _ in range(120):
            off = goal - hand.phone.run(f"{at}[{axis}]")
            if abs(off) < 5:
                break
            hand.phone.key(keys[int(off > 0)])


JOBS: dict[str, Callable[[Hand], None]] = {
    "name": name, "turn": turn, "together": together, "life size": life, "cable": cable, "practise": practise,
    "site": site, "photograph": photo,
}  # fmt: skip


def work(hand: Hand, job: str, url: str) -> None:
    """A job worked from a page that nobody has touched; raises AssertionError where it cannot be, or is not kept."""
    phone = hand.phone
    phone.open(url)
    phone.run("localStorage.clear(); sessionStorage.clear()")
    phone.open(url)
    JOBS[job](hand)
    kept = phone.run("JSON.stringify([state, port.plain()])")
    phone.open(url)
    assert phone.run("JSON.stringify([state, port.plain()])") == kept, "the state is kept"
    assert phone.run("document.documentElement.scrollWidth <= innerWidth"), "nothing runs off the screen"
    # plain http knows nothing of that header, and says so
    faults = [fault for fault in phone.faults if "Cross-Origin-Opener-Policy" not in fault]
    phone.faults.clear()
    assert faults == [], faults
