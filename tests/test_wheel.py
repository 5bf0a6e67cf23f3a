"""The wheel holds every module, table and type: an editable install would not show that one is missing."""

from __future__ import annotations

import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from tests.release import GOOD, SAID

ROOT = Path(__file__).parent.parent
ROOMS = ("models", "identifier", "cables", "photo", "quiz")

BAD = """
from coaxtell import half, nonsense

half(3)
wide: int = half("sma-plug").family
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from a copy of the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    ignored = shutil.ignore_patterns(".*", "*.egg-info", "build", "tests", "assets", "benchmarks", "__pycache__")
    shutil.copytree(ROOT, source, ignore=ignored, symlinks=True)
    # no build isolation: nothing is fetched, the test extras bring setuptools and wheel
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(folder), "."],
        cwd=source, check=True, capture_output=True,
    )  # fmt: skip
    (found,) = folder.glob("coaxtell-*.whl")
    return found


def test_a_built_wheel_is_whole(wheel: Path) -> None:
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    wanted = {
        path.relative_to(ROOT).as_posix()
        for suffix in ("py", "toml", "csv", "html", "js", "css", "webp", "json")
        for path in (ROOT / "coaxtell").rglob(f"*.{suffix}")
        if path.relative_to(ROOT / "coaxtell").parts[0] not in ROOMS
    } | {"coaxtell/py.typed"}
    wanted |= {
        f"coaxtell/{path.relative_to(ROOT).as_posix()}"
        for room in ROOMS
        for suffix in ("py", "toml", "json", "cu")
        for path in (ROOT / room).rglob(f"*.{suffix}")
    }
    assert packed == wanted


def test_the_wheel_states_its_licence_as_packaging_asks(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (name,) = (n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
    lines = archive.read(name).decode().splitlines()
    assert "License-Expression: MIT" in lines
    assert "License-File: LICENSE" in lines


def test_a_program_elsewhere_is_typed_and_runs(wheel: Path, tmp_path: Path) -> None:
    # an environment of its own: the wheel first, our dependencies behind it
    venv = tmp_path / "venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(venv)], check=True)
    python = venv / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    ask = "import sysconfig; print(sysconfig.get_paths()['purelib'])"
    site = Path(subprocess.run([python, "-c", ask], check=True, capture_output=True, text=True).stdout.strip())
    zipfile.ZipFile(wheel).extractall(site)
    ours = [path for path in sys.path if path.endswith("site-packages")] or [sysconfig.get_paths()["purelib"]]
    (site / "dependencies.pth").write_text("\n".join(ours) + "\n")
    for name, text in (("good.py", GOOD), ("bad.py", BAD)):
        (tmp_path / name).write_text(text)
    ran = subprocess.run([python, "-I", "good.py"], cwd=tmp_path, capture_output=True, text=True)
    assert ran.stderr == ""
    assert ran.stdout.startswith(SAID)
    checked = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--python-executable", str(python), "good.py", "bad.py"],
        cwd=tmp_path, capture_output=True, text=True,
    )  # fmt: skip
    told = [line for line in checked.stdout.splitlines() if ": error: " in line]
    assert [line.split(":")[0] for line in told] == ["bad.py"] * 3, checked.stdout + checked.stderr
    assert [line.rsplit("[", 1)[1] for line in told] == ["attr-defined]", "arg-type]", "assignment]"]
