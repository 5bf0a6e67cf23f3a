"""Pictures of items at the terminal: drawn once, kept in the cache, shown as blocks, in a viewer or as a file."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

import msgspec

from coaxtell import files, folders, narrow, quiz, quiz_pages, used
from coaxtell.cli import blocks
from coaxtell.identifier import sizes
from coaxtell.identifier.draws import Nominal
from coaxtell.kept import code_mark
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.painter import Painter
from coaxtell.quiz import visible, words
from coaxtell.quiz.item import Explanation, Picture

if TYPE_CHECKING:
    from PIL import Image

WAYS = ("auto", "blocks", "file", "viewer", "none")
HELP = (
    "how pictures are shown: as blocks in the terminal, in the viewer, as a file that is named, or described in words "
    "(auto: blocks where the terminal can, else the file)"
)
SIZE = (840, 560)
DRAWING_DPI = 130


class Pictures:
    """Draws and shows the pictures of items in one of the ways."""

    def __init__(
        self,
        halves: Mapping[str, Half],
        way: str,
        folder: Path | None = None,
        size: tuple[int, int] = SIZE,
        letters: float = 1.0,
    ) -> None:
        """`way` is one of WAYS, `size` in pixels, `letters` the size of figures in the usual one.

        Raises InputError where the cache folder cannot be made.
        """
        self._halves = halves
        self._size, self._letters = size, letters
        self._way = way
        if way == "auto":
            self._way = "blocks" if blocks.possible() else "file" if sys.stdout.isatty() else "none"
        self._folder = folder or folders.folder("cache") / "quiz"
        self._failed = False
        self._painter: Painter | None = None
        if self._way != "none":
            self._painter = Painter()
            self._painter.begin(_ready)
            files.make_folder(self._folder, f"do without pictures (--pictures), or set {folders.HOME}")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """End the drawing process."""
        if self._painter is not None:
            self._painter.close()
            self._painter = None

    @property
    def in_words(self) -> bool:
        """True where pictures are off or have failed, so that items are described in words."""
        return self._way == "none" or self._failed

    def show(self, picture: Picture) -> bool:
        """Show an item's picture; false where it is not, so that words must do."""
        path = self.file(picture)
        if path is None:
            return False
        self._present(path, "Picture")
        if self._way == "blocks" and picture.scale and len(picture.halves) == 1:
            # the figure at the scale bar is lost between the blocks
            wide = sizes.size(self._halves[picture.halves[0]], Nominal())
            print(f"By its scale the widest part of the face measures {wide[0]:.1f} mm.")
        if self._way == "blocks" and picture.legs:
            print(words.say(Reason("shown.legs", {"legs": visible.said_legs(picture)})))
        return True

    def file(self, picture: Picture) -> Path | None:
        """The picture as a PNG file, drawn if it is not yet in the cache; none where pictures are off or fail."""
        if self._painter is None or self._failed:
            return None
        path = self._place(picture)
        if not path.is_file():
            try:
                files.write(path, self._drawn(picture))
            except (ImportError, RuntimeError, OSError) as error:
                print(f"No picture can be rendered on this machine ({error}); words stand in its place.")
                self._failed = True
                return None
        return path

    def _place(self, picture: Picture) -> Path:
        shown = [msgspec.to_builtins(self._halves[half_id]) for half_id in picture.row]
        mark = code_mark(quiz.__file__, quiz_pages.__file__, used.__file__)
        key = msgspec.json.encode([mark, msgspec.to_builtins(picture), shown, self._size, self._letters])
        return self._folder / f"{hashlib.sha256(key).hexdigest()[:24]}.png"

    def _drawn(self, picture: Picture) -> Callable[[Path], None]:
        assert self._painter is not None
        halves = [self._halves[half_id] for half_id in picture.row]
        painter, size, letters = self._painter, self._size, self._letters
        return lambda aside: painter.draw(_draw, halves, picture, size, str(aside), letters)

    def show_pair(self, explanation: Explanation) -> None:
        """Show the pair cut open where it stops, or say which command draws it."""
        assert explanation.pair is not None
        a, b = explanation.pair
        if self._way == "none":
            narrow.copied("The pair cut open:", f"coaxtell mate {a} {b} -o pair.png")
            return
        from coaxtell.models.drawings import pair
        from coaxtell.models.mating.mate import mate

        one, two = self._halves[a], self._halves[b]
        key = msgspec.json.encode([code_mark(), msgspec.to_builtins(one), msgspec.to_builtins(two)])
        path = self._folder / f"pair-{hashlib.sha256(key).hexdigest()[:24]}.png"
        if not path.is_file():
            drawing = pair.drawn(one, two, mate(one, two, doubt=False))
            files.write(path, lambda aside: drawing.png(aside, dpi=DRAWING_DPI))
        self._present(path, "The pair cut open where it stops")

    def _present(self, path: Path, title: str) -> None:
        if self._way == "blocks":
            print(blocks.fitted(_opened(path)))
        elif self._way == "viewer":
            _view(path)
        print(f"{title}: {path}")


def _ready() -> None:
    from coaxtell.quiz_pages import item_picture

    item_picture.ready()


def _draw(halves: list[Half], picture: Picture, size: tuple[int, int], path: str, letters: float) -> None:
    from coaxtell.quiz_pages import item_picture

    item_picture.write(halves, picture, size, path, letters)


def _opened(path: Path) -> Image.Image:
    from PIL import Image

    with Image.open(path) as image:
        return image.convert("RGB")


def _view(path: Path) -> None:
    """Open a file in the viewer of the desk, without waiting for it."""
    if sys.platform == "win32":
        os.startfile(path)
        return
    program = "open" if sys.platform == "darwin" else "xdg-open"
    try:
        subprocess.Popen([program, str(path)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except OSError:
        print(f"No viewer was found ({program}); open the file yourself.")
