"""The two ports of a run: chosen by hand, carried over from the naming of ports, or dropped; and their doubts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coaxtell import saved_port
from coaxtell.cables.assembly import Assembly
from coaxtell.cables.doubt import Doubt, doubtful
from coaxtell.cables.ends import Matings
from coaxtell.cables.rows import NamedPort, of_names, on_ports
from coaxtell.models.acts import on_the_port
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.stack import Stack
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.scenes.port_words import LOOK_AGAIN, SAY_WHAT

SIDES = ("reader", "antenna")
(MAY_CARRY,) = on_the_port(energised=False, high_voltage=True)


class RunPorts:
    """The port at either side by its half's id, and its doubt; a port chosen by hand is taken as told."""

    def __init__(self, desk: Desk) -> None:
        """The usual run of a reader in a ceiling."""
        self.desk = desk
        self.ports = {
            "reader": NamedPort(desk.half("rp-tnc-jack")), "antenna": NamedPort(desk.half("n-50-jack")),
        }  # fmt: skip
        self._data: dict[str, dict[str, Any]] = {}
        """The identification that a port came from, as it is saved."""
        self._files: dict[str, str] = {}
        """The saved identification that a port came from, where it was dropped."""
        self._looking = "reader"
        """The side whose port is looked at again."""

    @property
    def ids(self) -> dict[str, str]:
        """The half at either side."""
        return {side: port.half.id for side, port in self.ports.items()}

    @property
    def halves(self) -> tuple[Half, Half]:
        """The reader's port and the antenna's."""
        return self.ports["reader"].half, self.ports["antenna"].half

    @property
    def doubts(self) -> dict[str, Doubt]:
        """What is not settled, by its side."""
        return {side: port.doubt for side, port in self.ports.items() if port.doubt is not None}

    @property
    def settled(self) -> tuple[bool, bool]:
        """Whether something may be ordered for each."""
        return "reader" not in self.doubts, "antenna" not in self.doubts

    @property
    def on_them(self) -> list[Reason]:
        """What was said to be on the ports, the reader's first."""
        return on_ports((self.ports["reader"], self.ports["antenna"]))

    @property
    def unsure(self) -> str:
        """The side whose port is to be named again before anything is ordered, or is to be said what is on it; empty
        where neither is."""
        unsettled = [side for side in SIDES if self.ports[side].doubt or self.ports[side].clash]
        unsaid = [side for side in SIDES if MAY_CARRY in self.ports[side].on_it]
        return next(iter([*unsettled, *unsaid]), "")

    @property
    def way_back(self) -> str:
        """The words that lead to the naming of that port; empty where none is needed."""
        if not self.unsure:
            return ""
        port = self.ports[self.unsure]
        unsaid = not port.clash if port.doubt is None else port.doubt.kilovolts
        return SAY_WHAT if unsaid else LOOK_AGAIN

    def take(self, side: str, port: NamedPort, data: dict[str, Any] | None = None, file: str = "") -> None:
        """A port for one side, from an identification or not, from a file or not."""
        self.ports[side] = port
        self._files.pop(side, None)
        self._data.pop(side, None)
        if data:
            told = data.get("file") or Path(file).name or saved_port.NAMED_HERE
            self._data[side] = {**saved_port.kept(data), "file": told}
        if file:
            self._files[side] = file

    def take_named(self, half_id: str) -> None:
        """A port that was named: at the side that was to be looked at again, else at the reader's."""
        here = self.desk.named_here(half_id)
        if here is None:
            self.take(self._looking, NamedPort(self.desk.half(half_id)))
        else:
            port = saved_port.named(here.data, Path(saved_port.NAMED_HERE), self.desk.tables)
            self.take(self._looking, port, here.data)
        self._looking = "reader"

    def take_file(self, path: str) -> None:
        """The reader's port from a saved identification; raises InputError where it is none."""
        if Path(path).suffix.lower() != ".json":
            raise InputError(f"{Path(path).name} is no saved identification; drop the .json file beside its sheet.")
        port, data = saved_port.worked_out(saved_port.loaded(Path(path)), Path(path), self.desk.tables)
        self.take("reader", port, data, path)
        if port.changed:
            self.desk.say(port.changed)

    def told(self, assembly: Assembly, matings: Matings) -> tuple[Reason, ...]:
        """What is on the ports; what is not settled, what this assembly's end would do then, and the look that settles
        it; then answers that clash, and what else a port may be."""
        both = (self.ports["reader"], self.ports["antenna"])
        doubts = doubtful((both[0].doubt, both[1].doubt), assembly, matings)
        return (*self.on_them, *doubts, *of_names(both))

    def look_again(self) -> None:
        """Go on with the questions about the first port that is not settled, or say what is on it; it comes back to its
        side."""
        self._looking = self.unsure or "reader"
        if self._looking in self._files:
            self.desk.carry["name"] = (self._files[self._looking],)
        self.desk.unsaid = self.way_back == SAY_WHAT
        self.desk.go("name")

    def swap(self) -> None:
        """Each port at the other side."""
        other = {"reader": "antenna", "antenna": "reader"}
        self.ports = {other[side]: port for side, port in self.ports.items()}
        self._files = {other[side]: file for side, file in self._files.items()}
        self._data = {other[side]: data for side, data in self._data.items()}

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
        """Both ports with what they rest on."""
        return {**self.ids, "named": self._data}

    def recall(self, held: dict[str, Any]) -> None:
        """The ports of last time, as far as they still are; what was named under other tables is worked out anew."""
        every, changed = held.get("named"), []
        for side in SIDES:
            half_id = str(held.get(side))
            if half_id in self.desk.tables.halves:
                self.take(side, NamedPort(self.desk.half(half_id)))
            data = every.get(side) if isinstance(every, dict) else None
            if not isinstance(data, dict):
                continue
            file = str(data.get("file"))
            try:
                port, now = saved_port.recalled(data, Path(file), self.desk.tables)
            except InputError as error:
                changed.append(str(error))
                continue
            self.take(side, port, now | {"file": file})
            changed += [port.changed] if port.changed else []
        if changed:
            self.desk.say(" ".join(changed))
