"""What `coaxtell` alone does: the window where a screen exists, else the questions; pygame only for the window."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pygame
import pytest

import tests.window.driving  # noqa: F401  (SDL without a screen)
from coaxtell.models.errors import InputError
from coaxtell.window.desk.pictures import Pictures
from coaxtell.window.screen import Window, fitting

ASK = "import sys; from coaxtell.cli.screens import shown; print(shown(), 'pygame' in sys.modules)"


def run(code: str, **env: str) -> str:
    clean = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}
    done = subprocess.run(
        [sys.executable, "-c", code], env={**clean, **env}, capture_output=True, text=True, check=True, timeout=60
    )
    assert "Traceback" not in done.stderr
    return done.stdout.strip()


@pytest.mark.needs("linux")
def test_without_a_display_no_window_and_no_pygame() -> None:
    assert run(ASK) == "False False"


def test_a_driver_that_shows_nothing_is_no_screen() -> None:
    assert run(ASK, DISPLAY=":0", SDL_VIDEODRIVER="dummy") == "False True"


@pytest.mark.needs("linux")
def test_a_display_that_nobody_serves_is_no_screen() -> None:
    assert run(ASK, DISPLAY=":4242").startswith("False")


@pytest.mark.parametrize(
    ("asked", "desktops", "given"),
    [
        ((1280, 800), [(1366, 768)], (1280, 672)),
        ((1280, 800), [(1920, 1080)], (1280, 800)),
        ((3000, 2000), [(1366, 768), (2560, 1440)], (2544, 1344)),
        ((1280, 800), [(800, 480)], (784, 400)),
        ((1280, 800), [], (1280, 800)),
    ],
)
def test_a_window_opens_no_larger_than_the_desktop(
    asked: tuple[int, int], desktops: list[tuple[int, int]], given: tuple[int, int]
) -> None:
    assert fitting(asked, desktops) == given


def test_other_commands_do_not_load_pygame() -> None:
    code = "import sys; from coaxtell.cli.main import main; main(['list']); print('pygame' in sys.modules)"
    assert run(code).endswith("False")


def test_a_window_that_cannot_open_is_told_in_one_sentence() -> None:
    clean = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    done = subprocess.run(
        [sys.executable, "-m", "coaxtell", "window"], env={**clean, "SDL_VIDEODRIVER": "x11", "DISPLAY": ":4242"},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "No window can be opened here" in done.stderr
    assert "Traceback" not in done.stderr


def test_without_a_screen_the_window_says_so_and_offers_the_terminal() -> None:
    unset = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")
    clean = {k: v for k, v in os.environ.items() if k not in unset}
    done = subprocess.run(
        [sys.executable, "-m", "coaxtell", "window"], env=clean, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 2
    assert "coaxtell identify" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_every_job_can_be_opened_at_once() -> None:
    from coaxtell.cli.main import parser
    from coaxtell.window.jobs import ALL

    for scene in ALL:
        assert parser(["window"]).parse_args(["window", "--scene", scene.name]).scene == scene.name
    with pytest.raises(InputError):
        parser(["window"]).parse_args(["window", "--scene", "nothing"])


def by_key(window: Window) -> None:
    for kind in (pygame.KEYDOWN, pygame.KEYUP):
        pygame.event.post(pygame.event.Event(kind, key=pygame.K_F11, unicode="", mod=0, scancode=0))


def by_button(window: Window) -> None:
    button = next(widget for widget in window.app.widgets if widget.key == "full")
    pos = tuple(round(place * window.app.type.scale) for place in button.box.middle)
    for kind in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
        pygame.event.post(pygame.event.Event(kind, pos=pos, button=1))


def test_the_whole_screen_and_back_to_the_window_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By its key, and by the button in its corner; what is kept for the next start is the window's size."""
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path))
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "window.json").write_text('{"seen": true}', encoding="utf-8")
    window = Window(pictures=Pictures())
    try:
        desktop, own = pygame.display.get_desktop_sizes()[0], (900, 620)
        pygame.display.set_mode(own, pygame.RESIZABLE)  # as a person drags its corner
        window.step()
        assert window.app.size == own
        for press in (by_key, by_button):
            press(window)
            window.step()
            window.step()
            assert pygame.display.get_surface().get_flags() & pygame.FULLSCREEN
            assert window.app.size == desktop != own
            press(window)
            window.step()
            window.step()
            assert not pygame.display.get_surface().get_flags() & pygame.FULLSCREEN
            assert window.app.size == own
        press(window)
        window.step()
    finally:
        window.close()
    kept = json.loads((tmp_path / "config" / "window.json").read_text(encoding="utf-8"))
    assert (kept["width"], kept["height"], kept["full"]) == (*own, True)
