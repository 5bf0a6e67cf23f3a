"""A photograph on its way to the bench: named or chosen, looked through beside the window, taken up as it was left."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.pen import Point
from coaxtell.window.scenes.file_list import FileList

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.window.scenes.photo_marks import Marks

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".bmp", ".tif", ".tiff", ".gif")


class Left(NamedTuple):
    """A picture that was left: where it lies, what was marked on it [px] and what was answered."""

    path: Path
    written: tuple[int, int]
    """When its file was written, and its size: another picture under that name was agreed to by nobody."""
    centre: Point
    radius: float
    corners: list[Point]
    placed: bool
    agreed: bool
    mates: bool | None


class Opening:
    """One picture at a time; `opened` is told what was found on it, and how it was left where it was."""

    def __init__(self, desk: Desk, opened: Callable[[Marks, Left | None], None], begun: Callable[[], None]) -> None:
        """Nothing named yet; `begun` is told when a picture is being looked through."""
        self.desk, self.opened, self.begun = desk, opened, begun
        self.typed = Edit()
        self.loading = ""
        """The name of the picture that is being looked through; empty where none is."""
        self.trouble = ""
        """Why the last picture did not open."""
        self.left: Left | None = None
        self._asked = 0
        """How many pictures were asked for: one that comes late takes no other's place."""

    def open(self) -> None:
        """Open the picture that was typed; raises InputError where none was."""
        self._open(None)

    def take_up(self) -> None:
        """Open the picture that was left again, if there is one."""
        if self.left is not None:
            self.typed.set(str(self.left.path))
            self._open(self.left)

    def _open(self, left: Left | None) -> None:
        if not self.typed.text.strip():
            raise InputError("Which picture? Type its place, drop it here, or choose it.")
        path = files.typed(self.typed.text)
        self.begun()
        self.loading, self.trouble, self.left = path.name, "", None
        self._asked += 1
        asked = self._asked

        def work() -> Marks:
            from coaxtell.window.scenes.photo_marks import Marks

            return Marks(path)

        def opened(marks: Marks) -> None:
            if asked == self._asked:
                self.loading = ""
                if left is not None:
                    marks.put(left.centre, left.radius, left.corners, left.placed)
                self.opened(marks, left)

        def failed(why: str) -> None:
            if asked == self._asked:
                self.loading, self.trouble, self.desk.wanted_focus = "", why, "file"

        # a large picture needs the memory that pictures in the round take
        self.desk.pictures.rest()
        self.desk.later(work, opened, failed)

    def drop(self, path: str) -> None:
        """Open a picture that was dropped on the window; raises InputError for any other file."""
        if Path(path).suffix.lower() not in ENDINGS:
            raise InputError(f"{Path(path).name} is no picture; drop a .jpg or .png.")
        self._take(path)

    def _take(self, path: str) -> None:
        self.typed.set(path)
        self.open()

    def choose(self) -> None:
        """Choose a picture from its folder."""
        FileList(self.desk, "Which picture?", ENDINGS, self._take).open()
