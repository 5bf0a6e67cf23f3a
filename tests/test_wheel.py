"""The wheel holds every module and every table: an editable install would not show that one is missing."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
ROOMS = ("models", "identifier", "cables", "quiz")


def test_a_built_wheel_is_whole(tmp_path: Path) -> None:
    source = tmp_path / "source"
    ignored = shutil.ignore_patterns(".*", "*.egg-info", "build", "tests", "assets", "benchmarks", "__pycache__")
    shutil.copytree(ROOT, source, ignore=ignored, symlinks=True)
    # no build isolation: nothing is fetched, the test extras bring setuptools and wheel
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(tmp_path), "."],
        cwd=source, check=True, capture_output=True,
    )  # fmt: skip
    (wheel,) = tmp_path.glob("coaxtell-*.whl")
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    wanted = {
        path.relative_to(ROOT).as_posix()
        for suffix in ("py", "toml", "html")
        for path in (ROOT / "coaxtell").rglob(f"*.{suffix}")
        if path.relative_to(ROOT / "coaxtell").parts[0] not in ROOMS
    } | {"coaxtell/py.typed"}
    wanted |= {
        f"coaxtell/{path.relative_to(ROOT).as_posix()}"
        for room in ROOMS
        for suffix in ("py", "toml")
        for path in (ROOT / room).rglob(f"*.{suffix}")
    }
    assert packed == wanted
