"""Someone at the window under X11 with real keys alone or a real mouse alone, and the window that they sit at.

The window is the program's own, in a process of its own; a line of its state (where controls stand, what is said) is
written beside it after each frame, as a person would read it off the screen. Needs xdotool and xclip.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

PATIENCE_S = 60.0
"""How long something may take to come [s]: a busy machine starts commands slowly."""


def state(window: Any) -> dict[str, Any]:
    """What a person reads off the window: controls and where they are [px], the focus, all words."""
    from coaxtell.window.kit.lists import ListBox
    from coaxtell.window.kit.pen import Words

    app = window.app
    scale, page = app.type.scale, app.page
    controls = {}
    for widget in app.widgets:
        box = widget.box.moved(0, -app.offset if widget.scrolls else 0)
        controls[widget.key] = {
            "box": [v * scale for v in box], "scrolls": widget.scrolls, "focusable": widget.focusable,
            "rows": [row.words for row in widget.rows] if isinstance(widget, ListBox) else [],
        }  # fmt: skip
    words = "\n".join(call.words for call in app.draw().calls if isinstance(call, Words))
    said = " ".join(getattr(w, "words", "") for w in app.widgets)
    return {
        "scene": app.scene.name, "front": len(window.desk.dialogs), "focus": app.focused_key, "controls": controls,
        "words": f"{words}\n{said}\n{window.desk.notice}", "work": app.scene.remembered(),
        "page": [v * scale for v in page],
    }  # fmt: skip


def serve(home: Path) -> None:
    """Run the program's window and write its state after each frame."""
    from coaxtell.window.screen import Window

    window = Window(scene="name")
    told = home / "state.json"
    while window.app.running:
        if window.step():
            aside = told.with_suffix(".tmp")
            aside.write_text(json.dumps(state(window)), encoding="utf-8")
            aside.replace(told)
    window.close()


class Person:
    """Someone at the window with keys alone or a mouse alone."""

    def __init__(self, display: str, home: Path, by_keys: bool) -> None:
        """Open the window; the first start's dialog stands in front."""
        self.home, self.by_keys = home, by_keys
        self.env = {**os.environ, "DISPLAY": display, "COAXTELL_HOME": str(home), "HOME": str(home)}
        self.env.pop("SDL_VIDEODRIVER", None)
        self.process = subprocess.Popen(
            [sys.executable, "-m", "benchmarks.window_person", str(home)], env=self.env,
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
        )  # fmt: skip
        self.wait(lambda: (home / "state.json").exists(), "the window opens")
        self.window = self.x("search", "--onlyvisible", "--class", ".*").split("\n")[-1]
        self.x("windowfocus", "--sync", self.window)

    def x(self, *words: str) -> str:
        """What xdotool says."""
        done = subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True, check=False)
        return done.stdout.strip()

    def see(self) -> dict[str, Any]:
        """The window as it stands."""
        for _ in range(50):
            try:
                found: dict[str, Any] = json.loads((self.home / "state.json").read_text(encoding="utf-8"))
            except (OSError, ValueError):
                time.sleep(0.02)
                continue
            return found
        raise AssertionError("the window tells nothing")

    def wait(self, what: Callable[[], object], about: str, seconds: float = PATIENCE_S) -> None:
        """Until something is so; raises AssertionError where it does not come."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.process.poll() is not None:
                raise AssertionError(f"the window ended: {self.process.stderr.read().decode()[-500:]}")  # type: ignore[union-attr]
            if what():
                return
            time.sleep(0.05)
        raise AssertionError(f"in vain: {about}; focus on {self.see()['focus']} of {list(self.see()['controls'])}")

    def says(self, *words: str) -> None:
        """Wait until words stand in the window."""
        plain = ["".join(one.split()) for one in words]
        self.wait(lambda: all(one in "".join(self.see()["words"].split()) for one in plain), f"it says {words}")

    def has(self, key: str) -> None:
        """Wait until there is a control."""
        self.wait(lambda: key in self.see()["controls"], f"there is {key}")

    def key(self, *names: str) -> None:
        """Press keys, one after the other."""
        self.x("key", "--delay", "12", *names)
        time.sleep(0.12)

    def type(self, words: str) -> None:
        """Type words."""
        self.x("type", "--delay", "12", words)
        time.sleep(0.2)

    def tab_to(self, key: str) -> None:
        """Go to a control by Tab."""
        self.has(key)
        for _ in range(8):
            seen = self.see()
            if seen["focus"] == key and self.rests(key):
                return
            order = [k for k, c in seen["controls"].items() if c["focusable"]]
            if key not in order:
                raise AssertionError(f"{key} went away")
            at = order.index(seen["focus"]) if seen["focus"] in order else -1
            steps = (order.index(key) - at) % len(order)
            back = len(order) - steps
            self.key(*(["Tab"] * steps if steps <= back else ["shift+Tab"] * back))
            for _ in range(100):  # a busy window takes its time
                if self.see()["focus"] == key:
                    break
                time.sleep(0.05)
        raise AssertionError(f"Tab does not lead to {key}: {self.see()['focus']}")

    def rests(self, key: str) -> bool:
        """Whether the focus stays on a control: a busy window may still have Tabs before it."""
        time.sleep(0.3)
        return bool(self.see()["focus"] == key)

    def place(self, key: str, right: float = 0.5, down: float = 0.5) -> tuple[str, str]:
        """Where a control is [px], scrolled into sight by the wheel."""
        self.has(key)
        for _ in range(60):
            seen = self.see()
            x, y, w, h = seen["controls"][key]["box"]
            left, top, wide, tall = seen["page"]
            here = y + h * down
            outside = here < top + 8 or here > top + tall - 8
            if not outside or not seen["controls"][key]["scrolls"]:
                return str(round(x + w * right)), str(round(here))
            self.x("mousemove", "--window", self.window, str(round(left + wide - 14)), str(round(top + tall / 2)))
            self.x("click", "5" if here > top + tall / 2 else "4")
            time.sleep(0.12)
        raise AssertionError(f"{key} cannot be scrolled into sight")

    def click(self, key: str, right: float = 0.5, down: float = 0.5) -> None:
        """Click a control."""
        at = self.place(key, right, down)
        for _ in range(40):  # a busy window may still lay out what came before
            time.sleep(0.1)
            before, at = at, self.place(key, right, down)
            if at == before:
                break
        self.x("mousemove", "--window", self.window, *at)
        time.sleep(0.05)
        self.x("click", "1")
        time.sleep(0.2)

    def drag(self, key: str, start: tuple[float, float], by: tuple[int, int]) -> None:
        """Drag from a place in a control, in steps, by pixels."""
        x, y = (int(v) for v in self.place(key, *start))
        self.x("mousemove", "--window", self.window, str(x), str(y), "mousedown", "1")
        for k in range(1, 9):
            self.x("mousemove", "--window", self.window, str(x + by[0] * k // 8), str(y + by[1] * k // 8))
            time.sleep(0.03)
        self.x("mouseup", "1")
        time.sleep(0.2)

    def choose(self, key: str) -> None:
        """Press a control the way this person does."""
        if self.by_keys:
            self.tab_to(key)
            self.key("Return")
        else:
            self.click(key)

    def row(self, key: str, words: str) -> None:
        """Take a row of a list."""
        self.has(key)
        rows = self.see()["controls"][key]["rows"]
        at = next(i for i, row in enumerate(rows) if row == words)
        if not self.by_keys:
            self.click(key, 0.3, (at + 0.5) / len(rows))
            return
        self.tab_to(key)
        self.key("Home", *["Down"] * at, "Return")

    def job(self, name: str, function_key: str) -> None:
        """Go to a job."""
        if self.by_keys:
            self.key(function_key)
        else:
            self.click(f"go-{name}")
        self.wait(lambda: self.see()["scene"] == name, f"the job {name}")

    def clipboard(self) -> str:
        """What another program reads from the clipboard."""
        read = subprocess.run(["xclip", "-selection", "clipboard", "-o"], env=self.env, capture_output=True, timeout=20,
                              check=False)  # fmt: skip
        return read.stdout.decode()

    def close_all(self) -> None:
        """Take what stands in front away."""
        while (front := self.see()["front"]) > 0:
            if self.by_keys:
                self.key("Escape")
            else:
                self.x("click", "8")  # the mouse's back button
            self.wait(lambda front=front: self.see()["front"] < front, "one in front less")  # type: ignore[misc]

    def file(self, field: str, find: str, name: str) -> None:
        """Give a file: typed by keys, chosen from its folder by mouse."""
        if self.by_keys:
            self.tab_to(field)
            self.key("ctrl+a")
            self.type(str(self.home / name))
        else:
            self.click(find)
            self.row("files", name)


if __name__ == "__main__":
    serve(Path(sys.argv[1]))
