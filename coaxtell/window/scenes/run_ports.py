"""The two ports of a run: chosen by hand, carried over from the naming of ports, or dropped; and their doubts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coaxtell import saved_port
from coaxtell.cables.assembly import Assembly
from coaxtell.cables.doubt import Doubt, doubtful
from coaxtell.cables.ends import Matings
from coaxtell.cables.rows import NamedPort
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.stack import Stack
from coaxtell.window.scenes.picker import Picker

SIDES = ("reader", "antenna")


class RunPorts:
    """The port at either side by its half's id, and its doubt; a port chosen by hand is taken as told."""

    def __init__(self, desk: Desk) -> None:
        """The usual run of a reader in a ceiling."""
        self.desk = desk
        self.ids = {"reader": "rp-tnc-jack", "antenna": "n-50-jack"}
        self.doubts: dict[str, Doubt] = {}
        self._files: dict[str, str] = {}
        """The saved identification that a port came from, where it was dropped."""
        self._looking = "reader"
        """The side whose port is looked at again."""

    @property
    def halves(self) -> tuple[Half, Half]:
        """The reader's port and the antenna's."""
        return self.desk.half(self.ids["reader"]), self.desk.half(self.ids["antenna"])

    @property
    def settled(self) -> tuple[bool, bool]:
        """Whether something may be ordered for each."""
        return "reader" not in self.doubts, "antenna" not in self.doubts

    def take(self, side: str, port: NamedPort, file: str = "") -> None:
        """A port for one side, from a file or not."""
        self.ids[side] = port.half.id
        for kept in (self.doubts, self._files):
            kept.pop(side, None)
        if port.doubt is not None:
            self.doubts[side] = port.doubt
            if file:
                self._files[side] = file

    def take_named(self, half_id: str) -> None:
        """A port that was named: at the side that was to be looked at again, else at the reader's."""
        self.take(self._looking, NamedPort(self.desk.half(half_id), self.desk.doubt_of(half_id)))
        self._looking = "reader"

    def take_file(self, path: str) -> None:
        """The reader's port from a saved identification; raises InputError where it is none."""
        if Path(path).suffix.lower() != ".json":
            raise InputError(f"{Path(path).name} is no saved identification; drop the .json file beside its sheet.")
        port = saved_port.read(Path(path), self.desk.tables)
        self.take("reader", port, path)
        if port.changed:
            self.desk.say(port.changed)

    def told(self, assembly: Assembly, matings: Matings) -> tuple[Reason, ...]:
        """What is not settled: rival, what this assembly's end would do to it, and the look that settles it."""
        return doubtful((self.doubts.get("reader"), self.doubts.get("antenna")), assembly, matings)

    def look_again(self) -> None:
        """Go on with the questions about the first port that is not settled; it comes back to its side."""
        self._looking = next((side for side in SIDES if side in self.doubts), "reader")
        if self._looking in self._files:
            self.desk.carry["name"] = (self._files[self._looking],)
        self.desk.go("name")

    def swap(self) -> None:
        """Each port at the other side."""
        other = {"reader": "antenna", "antenna": "reader"}
        self.ids = {other[side]: half_id for side, half_id in self.ids.items()}
        self.doubts = {other[side]: doubt for side, doubt in self.doubts.items()}
        self._files = {other[side]: file for side, file in self._files.items()}

    def arrange(self, column: Stack) -> None:
        """A button for each port."""
        column.buttons([
            (side, f"{side.capitalize()}: {half.name}", self._choosing(side), False)
            for side, half in zip(SIDES, self.halves, strict=True)
        ])  # fmt: skip

    def _choosing(self, side: str) -> Any:
        def taken(half_id: str) -> None:
            self.take(side, NamedPort(self.desk.half(half_id)))

        return lambda: Picker(self.desk, f"Port of the {side}", self.ids[side], taken).open()

    def remembered(self) -> dict[str, Any]:
        """Both ports with their doubts."""
        return {**self.ids, "doubts": {side: saved_port.plain(doubt) for side, doubt in self.doubts.items()}}

    def recall(self, held: dict[str, Any]) -> None:
        """The ports of last time, as far as they still are."""
        doubts = held.get("doubts")
        for side in SIDES:
            half_id = str(held.get(side))
            if half_id in self.desk.tables.halves:
                self.take(side, NamedPort(self.desk.half(half_id)))
            data = doubts.get(side) if isinstance(doubts, dict) else None
            if not isinstance(data, dict):
                continue
            try:
                port = saved_port.named(data, Path(str(data.get("file"))), self.desk.tables)
            except InputError:
                continue
            if port.half.id == self.ids[side]:
                self.take(side, port)
