"""Pictures kept on disk: named by a hash of all that they depend on, written aside and renamed, the oldest let go."""

from __future__ import annotations

import contextlib
import hashlib
import os
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

import coaxtell.models
from coaxtell.models.half import Half

if TYPE_CHECKING:
    from PIL import Image

KEEP_BYTES = 200_000_000
"""Most that the kept pictures take on disk [bytes]; the oldest go."""


@cache
def code_mark(*more: str) -> str:
    """A hash of the code that draws: all modules of `models` and of the files and folders named, so that none is
    forgotten when one is split."""
    code = hashlib.sha256()
    for place in (coaxtell.models.__file__, *more):
        whole = Path(place).parent if Path(place).name == "__init__.py" else Path(place)
        for module in sorted(whole.rglob("*.py")) if whole.is_dir() else [whole]:
            code.update(module.read_bytes())
    return code.hexdigest()


def marks_of(halves: dict[str, Half]) -> dict[str, str]:
    """A hash of everything a half's picture depends on but the view, by id: its table and the code that draws it."""
    base = code_mark()
    encode = msgspec.json.Encoder()
    return {i: hashlib.sha256(base.encode() + encode.encode(half)).hexdigest() for i, half in halves.items()}


def named(folder: Path, mark: str, view: str) -> Path:
    """Where the picture of a half is kept, by its mark and the view in words."""
    return folder / f"{hashlib.sha256(f'{mark} {view}'.encode()).hexdigest()[:32]}.png"


def keep(path: Path, image: Image.Image) -> None:
    """Write a finished picture aside and rename it; a full disk is no reason to stop."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        aside = path.with_suffix(f".{os.getpid()}.tmp")
        try:
            image.save(aside, "PNG", compress_level=1)
            aside.replace(path)
        finally:
            aside.unlink(missing_ok=True)


def prune(folder: Path, room: int = KEEP_BYTES) -> None:
    """Let the oldest pictures go until the rest fits the room [bytes]."""
    with contextlib.suppress(OSError):
        found = sorted(((f.stat().st_mtime, f.stat().st_size, f) for f in folder.glob("*.png")), reverse=True)
        total = 0
        for _, size, path in found:
            total += size
            if total > room:
                path.unlink(missing_ok=True)
