"""What the window remembers: size, tone, text size, motion, last scene, screens calibrated, work in hand.

One JSON file in the user's settings folder, written aside and renamed, so that a crash leaves the old one whole.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any

import msgspec

from coaxtell.window.kit.theme import TEXT_SIZES


class Settings(msgspec.Struct):
    """All that is remembered; sizes in [px], `per_mm` in [px per mm] by display, `seen`: opened before."""

    width: int = 1280
    height: int = 800
    tone: str = "dark"
    text: int = 100
    motion: bool = True
    full: bool = False
    seen: bool = False
    scene: str = "name"
    person: str = ""
    per_mm: dict[str, float] = {}
    work: dict[str, dict[str, Any]] = {}


def load(path: Path) -> Settings:
    """The settings of a file; those that a damaged or missing file does not give are as new."""
    try:
        raw = msgspec.json.decode(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return Settings()
    found = Settings()
    if isinstance(raw, dict):
        for field in msgspec.structs.fields(Settings):
            if field.name in raw:
                with contextlib.suppress(msgspec.ValidationError):
                    setattr(found, field.name, msgspec.convert(raw[field.name], field.type))
    found.width, found.height = max(640, min(16_384, found.width)), max(400, min(16_384, found.height))
    if found.tone not in ("dark", "light"):
        found.tone = "dark"
    if found.text not in TEXT_SIZES:
        found.text = 100
    return found


def encoded(settings: Settings) -> bytes:
    """The settings as bytes, to see whether they changed."""
    return msgspec.json.encode(settings)


def save(path: Path, settings: Settings) -> None:
    """Write the settings whole; where the folder cannot be written they are not remembered."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".settings-", suffix=".tmp")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                json.dump(msgspec.to_builtins(settings), file, ensure_ascii=False, indent=1)
            Path(name).replace(path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
