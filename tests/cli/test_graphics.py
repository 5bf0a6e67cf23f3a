"""Graphics that end their process by a signal, as VTK does where no OpenGL library is: drawings stand in, status 0."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from coaxtell import painter
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.painter import Painter
from tests.mutants.trial import ROOT

BROKEN = "import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n"
"""A stand-in for the graphics library that ends whatever loads it, as the real one does without OpenGL."""


def run(words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    """A command on a machine whose graphics are broken."""
    broken = folder / "broken"
    broken.mkdir()
    (broken / "vtkmodules").mkdir()
    for name in ("pyvista.py", "vtkmodules/__init__.py"):
        (broken / name).write_text(BROKEN, encoding="utf-8")
    env = {
        **os.environ, "PYTHONPATH": f"{broken}{os.pathsep}{ROOT}", "XDG_CACHE_HOME": str(folder / "cache"),
        "HOME": str(folder),
    }  # fmt: skip
    return subprocess.run(
        [sys.executable, "-m", "coaxtell", *words], env=env, cwd=folder, capture_output=True, text=True, check=False
    )


@pytest.mark.needs("linux")
@pytest.mark.parametrize(
    ("words", "stands_in"),
    [
        (["show", "sma-plug", "--size", "320x200", "-o", "a.png"], "the drawing stands in its place"),
        (["sheet", "sma-plug", "-o", "a.pdf"], "drawings stand in their place"),
        (["exam", "-o", "a.zip", "--items", "1", "--kinds", "name", "--seed", "1"], "words stand in its place"),
    ],
)
def test_a_command_outlives_its_graphics(words: list[str], stands_in: str, tmp_path: Path) -> None:
    found = run(words, tmp_path)
    assert found.returncode == 0, found.stderr
    assert found.stderr == ""
    said = [line for line in found.stdout.splitlines() if "SIGSEGV" in line]
    assert len(said) == 1
    assert stands_in in said[0]
    made = next(tmp_path.glob("a.*"))
    if made.suffix == ".png":
        with Image.open(made) as image:
            assert image.size[0] == pytest.approx(320, abs=2)
    else:
        assert made.stat().st_size > 1000


@pytest.mark.needs("linux")
def test_no_notice_of_a_library_reaches_the_person(tmp_path: Path) -> None:
    """Without a home, matplotlib and the OpenGL driver complain about their own caches."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "HOME": "/proc/nowhere"}
    for name in ("XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "COAXTELL_HOME", "MPLCONFIGDIR"):
        env.pop(name, None)
    words = ["show", "sma-plug", "--size", "160x160", "-o", str(tmp_path / "a.png")]
    found = subprocess.run(
        [sys.executable, "-m", "coaxtell", *words], env=env, capture_output=True, text=True, check=False
    )
    assert (found.returncode, found.stderr) == (0, "")
    assert found.stdout == f"Picture: {tmp_path / 'a.png'}\n"


def _write(path: str) -> None:
    Path(path).write_text("drawn", encoding="utf-8")


def _refuse() -> None:
    raise InputError("That half has no thread; choose another.")


def _fail() -> None:
    raise ZeroDivisionError("no pixels")


def _no_room() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _no_library() -> None:
    raise OSError("libOSMesa.so.8: cannot open shared object file")


def _end() -> None:
    os.kill(os.getpid(), signal.SIGTERM)


def test_a_painter_draws_tells_and_starts_again(tmp_path: Path) -> None:
    own = Painter()
    try:
        own.begin(_fail)
        own.draw(_write, str(tmp_path / "one"))
        with pytest.raises(RuntimeError, match="no pixels"):
            own.draw(_fail)
        with pytest.raises(InputError, match="has no thread"):
            own.draw(_refuse)
        with pytest.raises(OSError, match="No space left"):
            own.draw(_no_room)
        with pytest.raises(RuntimeError, match="libOSMesa"):
            own.draw(_no_library)
        if sys.platform != "win32":
            with pytest.raises(RuntimeError, match="ended by SIGTERM"):
                own.draw(_end)
        own.draw(_write, str(tmp_path / "two"))
    finally:
        own.close()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["one", "two"]


def test_a_disk_without_room_is_no_fault_of_the_graphics(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(painter.shared(), "draw", full)
    assert main(["show", "f-plug", "-o", str(tmp_path / "f.png")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "cannot be written (No space left on device)" in err
    assert list(tmp_path.iterdir()) == []
