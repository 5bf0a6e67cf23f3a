"""The window from a cold start: usable, first picture, turning, answers while rendering, memory.

Run: python -m benchmarks.window_start (with a screen, or `xvfb-run`; else SDL's dummy driver is used and said). With
`keep` it runs without a screen and on a virtual one (needs Xvfb), and keeps benchmarks/results/window_start.json.
Goals: usable in 2.0 s, the first picture at 1 s (from the package), 30 pictures a second while turning, no event
answered later than 50 ms while rendering, both processes at 400 MB together and never above 450. The window is 1366
by 768 pixels large; a quick picture may be smaller than the place that shows it.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from benchmarks.study import circumstances, tables_sum

if TYPE_CHECKING:
    from coaxtell.window.desk.pictures import Rendered
    from coaxtell.window.screen import Window
    from coaxtell.window.views.in_hand import InHand

RESULTS = Path(__file__).parent / "results" / "window_start.json"
TURN_S = 4.0
"""How long the half is turned [s]."""
SIZE = (1366, 768)
"""The window [px]."""
FULL = 8
"""Pictures in full that are asked for while keys are pressed."""


def shared_mb(pid: int) -> float:
    """Proportional memory of a process [MB], none where it has ended; Linux only."""
    try:
        told = Path(f"/proc/{pid}/smaps_rollup").read_text()
    except (FileNotFoundError, ProcessLookupError):
        return 0.0
    for line in told.splitlines():
        if line.startswith("Pss:"):
            return int(line.split()[1]) / 1024
    return 0.0


def own_seconds(pid: int) -> float:
    """Processor time a process has used [s]; Linux only."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def answers_while_rendering(window: Window, in_hand: InHand, pictures: Rendered) -> list[float]:
    """From each key to the window shown, while the worker renders in full [ms]."""
    import pygame

    answers = []
    for k in range(FULL):
        in_hand.turn(7.0 + k, 0.0)
        waited = time.monotonic()
        while time.monotonic() - waited < 0.2:
            window.step()
        while pictures.busy:
            pressed = time.monotonic()
            pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_TAB, unicode="\t", mod=0))
            while not window.step():
                pass
            answers.append((time.monotonic() - pressed) * 1000)
    return answers


def most_memory(window: Window, in_hand: InHand, pictures: Rendered) -> tuple[float, float]:
    """The most that window and worker hold, and what they hold at rest [MB], over pictures in full of whole and cut."""

    def both() -> float:
        # the worker may have ended to rest, and another have begun
        worker = pictures.process_id
        return shared_mb(os.getpid()) + (0.0 if worker is None else shared_mb(worker))

    most = 0.0
    for k in range(FULL):
        in_hand.open_by(180.0 * (k % 2))
        in_hand.turn(11.0 + k, 0.0)
        waited = time.monotonic()
        while time.monotonic() - waited < 0.2 or pictures.busy:
            window.step()
            most = max(most, both())
    return most, both()


def measured(started: float) -> dict[str, float]:
    """Run the real window in this process and print what it does; `started` on the monotonic clock."""
    # the package first: it keeps pygame from greeting
    from coaxtell.window.desk.pictures import Rendered
    from coaxtell.window.kit.pen import Picture, Shape
    from coaxtell.window.scenes.name_port import NamePort
    from coaxtell.window.screen import Window

    import pygame  # isort: skip

    window = Window(scene="name")
    pictures = window.pictures
    assert isinstance(pictures, Rendered)
    # a screen driver that shows nothing has a smaller desktop, to which a window is fitted
    pygame.display.set_mode(SIZE, pygame.RESIZABLE)
    while not window.step():
        pass
    usable = time.monotonic() - started
    usable_own = time.process_time()
    on_linux = Path("/proc/self/smaps_rollup").exists()
    app = window.app
    scene = app.scene
    assert isinstance(scene, NamePort)
    post = pygame.event.post
    while not any(isinstance(call, Picture) for call in app.draw().calls) and not pictures.why:
        window.step()
    first = time.monotonic() - started
    first_own = own_seconds(pictures.process_id) if on_linux and pictures.process_id is not None else 0.0
    while any(isinstance(call, Shape) for call in app.draw().calls) and not pictures.why:
        window.step()
    whole = time.monotonic() - started
    print(f"{'window, px':<44}{f'{app.size[0]} x {app.size[1]}':>12}")
    print(f"{'screen driver':<44}{pygame.display.get_driver():>12}")
    print(f"{'window usable after':<44}{usable:>10.2f} s   goal 2.00   ({usable_own:.2f} s of processor time)")
    worked = f"   ({first_own:.2f} s of the worker's processor time)" if first_own else ""
    print(f"{'first picture after':<44}{first:>10.2f} s   goal 1.00, from the package{worked}")
    print(f"{'every half and card of it pictured after':<44}{whole:>10.2f} s")
    app.safely(scene.name_now)
    app.arrange()
    while pictures.busy:
        window.step()
    box = app.room.bench
    x, y = box.x + box.w / 2, box.y + box.h / 2
    at = (round(x * app.type.scale), round(y * app.type.scale))
    post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1))
    window.step()
    worker = pictures.process_id
    before, start, moves = pictures.frames, time.monotonic(), 0
    used = own_seconds(worker) if on_linux and worker is not None else 0.0
    while time.monotonic() - start < TURN_S:
        moves += 1
        post(pygame.event.Event(pygame.MOUSEMOTION, pos=(at[0] + moves % 200, at[1]), rel=(1, 0), buttons=(1, 0, 0)))
        window.step()
    made = pictures.frames - before
    rate = made / (time.monotonic() - start)
    if on_linux and worker is not None:
        used = own_seconds(worker) - used
    post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1))
    window.step()
    side = scene.in_hand._side
    told = {"usable_s": usable, "first_picture_s": first, "turning_per_s": rate, "turning_px": float(side)}
    print(f"{'turning, pictures a second':<44}{rate:>10.1f}     goal 30   ({side} px)")
    if used:
        print(f"{'turning, per second of the worker alone':<44}{made / used:>10.1f}")
    answers = answers_while_rendering(window, scene.in_hand, pictures)
    print(f"{'answers to a key while rendering, median':<44}{statistics.median(answers):>10.1f} ms")
    told |= {"answer_median_ms": statistics.median(answers), "answer_slowest_ms": max(answers)}
    print(f"{'and the slowest of ' + str(len(answers)):<44}{max(answers):>10.1f} ms   goal 50")
    if on_linux and worker is not None:
        own, other = shared_mb(os.getpid()), shared_mb(worker)
        print(f"{'memory, window and worker':<44}{own:>6.0f} + {other:.0f} MB = {own + other:.0f}   goal 400, most 450")
        most, rest = most_memory(window, scene.in_hand, pictures)
        print(f"{'the most while pictures are made in full':<44}{most:>10.0f} MB, at rest {rest:.0f}   most 450")
        told |= {"memory_mb": own + other, "memory_most_mb": most}
    window.close()
    return told


def check_sum() -> str:
    """What the figures rest on beside the machine: the tables that are drawn."""
    return tables_sum(("models",))


def begun(display: str) -> dict[str, float]:
    """Start the window cold on a screen, or on none, with an empty cache, in a process of its own; its figures."""
    env = dict(os.environ)
    if display:
        env["DISPLAY"] = display
        env.pop("SDL_VIDEODRIVER", None)
    elif sys.platform.startswith("linux"):
        env["SDL_VIDEODRIVER"] = "dummy"
    with tempfile.TemporaryDirectory() as home:
        env["COAXTELL_HOME"] = home
        kept = Path(home) / "config" / "window.json"
        kept.parent.mkdir()
        kept.write_text(json.dumps({"seen": True, "width": SIZE[0], "height": SIZE[1]}), encoding="utf-8")
        told = Path(home) / "figures.json"
        env["COAXTELL_STARTED"] = repr(time.monotonic())
        subprocess.run([sys.executable, "-m", "benchmarks.window_start", "here", str(told)], env=env, check=True)
        found: dict[str, float] = json.loads(told.read_text(encoding="utf-8"))
    return found


def main() -> None:
    """Start it where there is a screen, or keep what it does without one and on a virtual one."""
    if sys.argv[1:] != ["keep"]:
        begun(os.environ.get("DISPLAY", ""))
        return
    from tests.window.virtual import screen

    row: dict[str, object] = {"study": "window_start", "tables": check_sum(), **circumstances()}
    row |= begun("")
    with screen(1500, 960) as display:
        row |= {f"x11_{name}": value for name, value in begun(display).items()}
    row["load_after"] = circumstances()["load"]
    RESULTS.write_text(json.dumps(row, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if sys.argv[1:2] == ["here"]:
        found = measured(float(os.environ["COAXTELL_STARTED"]))
        Path(sys.argv[2]).write_text(json.dumps({key: round(value, 3) for key, value in found.items()}), "utf-8")
    else:
        main()
