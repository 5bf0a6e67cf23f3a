"""A real window under a virtual X screen, worked by real keys and a real mouse."""

import contextlib
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

import pygame
import pytest

from benchmarks.sweeps import Truth, sweep
from coaxtell.window.kit.pen import Fill, Words
from tests.window.driving import Hand
from tests.window.virtual import screen

pytestmark = pytest.mark.needs("Xvfb", "xdotool")


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    """A virtual screen of its own."""
    with screen(1400, 900) as found:
        yield found


def wait_for(what: Callable[[], object], seconds: float = 120.0) -> object:
    """The first true answer; fails after so many seconds, which only a stuck window takes on the busiest machine."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = what()
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError("waited in vain")


class Session:
    """`coaxtell` run as a person runs it."""

    def __init__(self, display: str, home: Path, *words: str) -> None:
        self.env = {**os.environ, "DISPLAY": display, "COAXTELL_HOME": str(home), "HOME": str(home)}
        self.env.pop("SDL_VIDEODRIVER", None)
        self.home = home
        kept = home / "config" / "window.json"
        if not kept.exists():
            # no first start: its three things to do would stand in front
            kept.parent.mkdir(parents=True, exist_ok=True)
            kept.write_text('{"seen": true}', encoding="utf-8")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "coaxtell", *words], env=self.env, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        try:
            self.window = str(wait_for(self._found))
        except AssertionError:
            self.process.kill()
            self.process.communicate()
            raise

    def _found(self) -> str:
        assert self.process.poll() is None, f"it ended: {self.end()}"
        # of this very program: that of one before may still stand there for a moment
        mine = ("--all", "--onlyvisible", "--pid", str(self.process.pid), "--class", "^coaxtell$")
        return self.xdotool("search", *mine)

    def xdotool(self, *words: str) -> str:
        done = subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True, check=False)
        return done.stdout.strip().split("\n")[0]

    def keys(self, *names: str) -> None:
        self.xdotool("windowfocus", "--sync", self.window)
        for name in names:
            self.xdotool("key", "--window", self.window, name)
            time.sleep(0.03)

    def keys_until(self, name: str, what: Callable[[], bool]) -> None:
        """Press a key until it has had its effect: the first ones may come before the window listens."""

        def press() -> bool:
            self.keys(name)
            time.sleep(0.2)
            return what()

        wait_for(press)

    def wait_until_it_listens(self) -> None:
        """Until a key has had its effect: the tone of the bench, which moves nothing on it."""
        before = self.kept().get("tone", "dark")
        self.keys_until("ctrl+l", lambda: self.kept().get("tone", "dark") != before)

    def kept(self) -> dict[str, object]:
        path = self.home / "config" / "window.json"
        try:
            found: dict[str, object] = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return found

    def size(self) -> tuple[int, int]:
        """Width and height of the window [px]; the system may make it anew while it starts, under another number."""

        def shape() -> dict[str, str]:
            words = ["xdotool", "getwindowgeometry", "--shell", self.window]
            done = subprocess.run(words, env=self.env, capture_output=True, text=True, check=False)
            if done.returncode:
                self.window = self._found() or self.window
                return {}
            return dict(line.split("=") for line in done.stdout.split())

        rows = wait_for(shape)
        assert isinstance(rows, dict)
        return int(rows["WIDTH"]), int(rows["HEIGHT"])

    def click(self, at: tuple[int, int]) -> None:
        """A click of the left button at a place in the window."""
        self.xdotool("mousemove", "--window", self.window, *map(str, at), "click", "1")

    def click_until(self, at: tuple[int, int], what: Callable[[], bool]) -> None:
        """Click until it has had its effect."""

        def press() -> bool:
            self.click(at)
            time.sleep(0.4)
            return what()

        wait_for(press)

    def work(self, scene: str) -> dict[str, object]:
        work = self.kept().get("work", {})
        assert isinstance(work, dict)
        found: dict[str, object] = work.get(scene, {})
        return found

    def end(self) -> tuple[int, str]:
        _, error = self.process.communicate(timeout=20)
        return self.process.returncode, error.decode()


def children(pid: int) -> list[int]:
    """Processes whose parent is this one."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            parts = stat.read_text().rsplit(")", 1)[1].split()
        except OSError:
            continue
        if int(parts[1]) == pid:
            found.append(int(stat.parent.name))
    return found


def test_keys_and_mouse_work_a_real_window(display: str, tmp_path: Path) -> None:
    session = Session(display, tmp_path, "window", "--scene", "together")
    session.keys_until("Right", lambda: bool(session.work("together")))
    start = session.work("together")["distance"]
    assert isinstance(start, float)
    session.keys("shift+Right", "shift+Right")
    wait_for(lambda: session.work("together")["distance"] == pytest.approx(start - 2.0, abs=0.01))
    # the mouse: press on the bench, move to the right, let go
    before = session.work("together")["distance"]
    assert isinstance(before, float)
    session.xdotool("mousemove", "--window", session.window, "300", "400", "mousedown", "1")
    for x in range(305, 345, 5):
        session.xdotool("mousemove", "--window", session.window, str(x), "400")
    session.xdotool("mouseup", "1")

    def slid() -> bool:
        now = session.work("together")["distance"]
        return isinstance(now, float) and now < before - 0.5

    wait_for(slid)
    workers = children(session.process.pid)
    session.keys("ctrl+q")
    status, error = session.end()
    assert (status, error) == (0, "")
    for pid in workers:
        wait_for(lambda pid=pid: not Path(f"/proc/{pid}").exists(), 5)  # type: ignore[misc]


def test_a_closed_window_takes_up_where_it_was(display: str, tmp_path: Path) -> None:
    first = Session(display, tmp_path, "window", "--scene", "cable")
    first.keys_until("ctrl+l", lambda: first.kept().get("tone") == "light")
    first.process.kill()
    first.process.communicate()
    again = Session(display, tmp_path, "window")
    assert again.kept()["tone"] == "light"
    assert again.kept()["scene"] == "cable"
    again.keys("ctrl+q")
    assert again.end() == (0, "")


@contextlib.contextmanager
def at_work(display: str, home: Path, scene: str) -> Iterator[Session]:
    """A window at one scene, closed by its keys at the end with nothing on its error output."""
    session = Session(display, home, "window", "--scene", scene)
    try:
        yield session
        session.keys("ctrl+q")
        assert session.end() == (0, "")
    finally:
        if session.process.poll() is None:
            session.process.kill()
            session.process.communicate()


def twin(session: Session, scene: str) -> Hand:
    """The same scene in a driven window of the same size, to know where things stand."""
    return Hand(scene, session.size())


@pytest.mark.parametrize(
    ("scene", "control", "told", "value"),
    [
        ("cable", "region-eu-lower", "region", "eu-lower"),
        ("cable", "aim-budget", "aim", "budget"),
        ("beside", "pictures", "only", False),
    ],
)
def test_the_newer_jobs_by_mouse_alone(
    display: str, tmp_path: Path, scene: str, control: str, told: str, value: object
) -> None:
    with at_work(display, tmp_path, scene) as session:
        session.click_until(twin(session, scene).at(control), lambda: session.work(scene).get(told) == value)


def test_a_half_is_opened_by_a_part_of_its_name(display: str, tmp_path: Path) -> None:
    with at_work(display, tmp_path, "half") as session:
        time.sleep(2)
        session.xdotool("type", "--window", session.window, "rp-sma jack")
        session.keys("Return")
        wait_for(lambda: session.work("half").get("half") == "rp-sma-jack")


def test_a_paper_is_saved_by_mouse_alone(display: str, tmp_path: Path) -> None:
    with at_work(display, tmp_path, "papers") as session:
        hand = twin(session, "papers")
        list_at = hand.at("paper-drawing")
        hand.choose("paper-drawing")
        # a click that is lost would leave the list open, and the next one take another paper from it
        session.wait_until_it_listens()
        session.click(list_at)
        time.sleep(1)
        session.click_until(hand.at("save"), lambda: any(tmp_path.glob("drawing-sma-plug*.pdf")))


def test_an_arrival_is_checked_by_keys_alone(display: str, tmp_path: Path) -> None:
    sweep(Truth("240", 12.0, "240", 9.6, "", 0.0, "two-port", True, 25.0), Random(3)).write_touchstone(
        "gate", dir=tmp_path
    )
    with at_work(display, tmp_path, "papers") as session:
        hand = twin(session, "papers")
        steps = walked(hand, "paper-arrival")
        hand.enter()
        session.keys(*["Tab"] * steps, "Return")
        session.keys(*["Tab"] * walked(hand, "typed-0"))
        session.xdotool("type", "--window", session.window, "240:12m")
        session.keys(*["Tab"] * walked(hand, "typed-1"))
        session.xdotool("type", "--window", session.window, str(tmp_path / "gate.s2p"))
        session.keys_until("Return", lambda: any(tmp_path.glob("arrival*.pdf")))


def walked(hand: Hand, key: str) -> int:
    """How many times Tab leads to a control, gone there in the driven window."""
    for steps in range(200):
        if hand.app.focused is not None and hand.app.focused.key == key:
            return steps
        hand.key(pygame.K_TAB, "\t")
    raise AssertionError(f"{key} is not reached by Tab")


def test_a_job_that_was_clicked_is_not_covered_by_its_own_tip() -> None:
    hand = Hand("name")
    hand.post(pygame.event.Event(pygame.MOUSEMOTION, pos=hand.at("go-papers"), rel=(0, 0), buttons=(0, 0, 0)))
    assert hand.says("Sheets, drawings, plans"), "what the job is, before it is chosen"
    hand.click("go-papers")
    assert hand.app.scene.name == "papers"
    title = next(call for call in hand.calls() if isinstance(call, Words) and call.words == "What is to be written?")
    over = [
        call for call in hand.calls() if isinstance(call, Fill) and call.box.overlaps(title.box) and call.radius > 0
    ]
    assert over == []
