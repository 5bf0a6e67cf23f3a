"""Papers and files: everything the terminal writes, saved where a person says, opened and printed."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.window.desk import errands
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.errands import ERRANDS, Errand, Takes
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.theme import LARGE, SMALL, STEP
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes.file_list import FileList
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views.scales import ground
from coaxtell.window.views.viewpoints import draw_half

MOST = {"one or two halves": 2, "one to six halves": 6}
KINDS: dict[str, tuple[Takes, int]] = {
    ".toml": ("a site file", 0), ".s1p": ("a sweep", 1), ".s2p": ("a sweep", 1),
}  # fmt: skip
"""What a file is taken for by its ending, and the field that it goes into."""
SHOWN = 14
"""Most lines shown of what a command says."""


class Papers(Scene):
    """One file at a time, and what it is of."""

    desk: Desk
    name = "papers"
    word = "Papers and files"
    short = "Papers"
    help = "Sheets, drawings, plans, wall chart, guide, tests, records and files for other programs."
    serves = tuple(dict.fromkeys(errand.command[0] for errand in ERRANDS))
    takes = "a site file or a sweep"
    column_first = True

    def __init__(self, desk: Desk) -> None:
        """Nothing chosen yet."""
        super().__init__(desk)
        self.errand: Errand | None = None
        self.halves = ["sma-plug"]
        self.kind = ""
        self.typed = [Edit(), Edit()]
        self._before = ""
        """What the last paper took: what was typed stays for the next of its kind."""
        self.option = ""
        """What was chosen beside, where the errand offers a choice; empty for the usual."""
        self.where = Edit()
        self.written: Path | None = None
        self.agreed: Path | None = None
        """What may be written over: what this scene wrote, or a file that was named twice."""
        self.told = ""
        self.trouble = ""
        self.running = False

    def enter(self) -> None:
        """Take the halves that another scene carried over."""
        carried = self.desk.carry.pop(self.name, ())
        if carried:
            self.halves = list(carried)

    # -- arranging -----------------------------------------------------------------------------------------------

    def arrange(self, room: Room) -> None:
        """The list of papers, or the one chosen with what it takes and where it goes."""
        room.on_bench(Stage("bench", room.bench, self.draw))
        column = room.column
        if self.errand is None:
            column.title("What is to be written?")
            column.cards([Choice(f"paper-{e.key}", e.words, self._pick(e), note=e.about) for e in ERRANDS], columns=1)
            return
        self._form(column, self.errand)

    def _form(self, column: Stack, errand: Errand) -> None:
        column.title(errand.words)
        column.say(errand.about[:1].upper() + errand.about[1:] + ".", role="quiet")
        most = MOST.get(errand.takes, 0)
        if most:
            column.part("Of")
            halves = [
                (f"of-{i}", self.desk.half(h).name, self._drop(i), False) for i, h in enumerate(self.halves[:most])
            ]
            column.buttons(halves)
            if len(self.halves) < most:
                column.button("add", "Add a half: type a part of its name", self._add)
        for i, label in enumerate(errands.FIELDS.get(errand.takes, ())):
            column.field(f"typed-{i}", label, self.typed[i], lambda: None, self.save)
            column.button(f"find-{i}", "Choose it from its folder", self._find(errand, i))
        if errand.takes in errands.OPTIONS:
            label, options = errands.OPTIONS[errand.takes]
            chosen = self.option or next(iter(options))
            column.choice(label, [(f"option-{o}", o, self._choose(o), o == chosen) for o in options])
        if len(errand.kinds) > 1:
            column.choice("As", [(f"kind-{k}", f".{k}", self._as(k), k == self.kind) for k in errand.kinds])
        column.field("where", "Save as", self.where, lambda: None, self.save)
        if self.running:
            column.progress("running", None, "Being written; the window stays free meanwhile.")
        else:
            column.button("save", "Save", self.save, "action")
        if self.trouble:
            column.check(self.trouble, False, key="trouble")
        if self.written is not None:
            column.check(f"Written: {self.written}", True, key="written")
            column.buttons([("open", "Open it", self._open, False), ("print", "Print it", self._print, False)])
            lines = self.told.splitlines()
            for line in lines[:SHOWN]:
                column.say(line, SMALL, after=0.5)
            if len(lines) > SHOWN:
                column.say(f"and {len(lines) - SHOWN} lines more in the file.", SMALL, "quiet")
        column.button("others", "Other papers and files", self._others)

    def draw(self, pen: Pen, box: Box) -> None:
        """The halves the paper is of, at one scale; nothing where it is of none."""
        most = MOST.get(self.errand.takes, 0) if self.errand is not None else 6
        halves = [self.desk.half(h) for h in self.halves[:most]]
        inner = box.inset(4 * STEP)
        if not halves:
            pen.grid(ground(box), 8.0, box.middle)
            words = self.errand.words if self.errand is not None else ""
            pen.words(words, (box.middle[0], box.middle[1]), LARGE, pen.palette.quiet, anchor="middle")
            return
        reaches = [self.desk.art.extent(half).reach for half in halves]
        per_mm = min(inner.w / (2 * sum(reaches)), inner.h / (2 * max(reaches)))
        pen.grid(ground(box), per_mm, inner.middle)
        x = inner.middle[0] - sum(reaches) * per_mm
        for half, reach in zip(halves, reaches, strict=True):
            draw_half(pen, self.desk, half, (x + reach * per_mm, inner.middle[1]), per_mm, 1.0)
            x += 2 * reach * per_mm

    # -- what is done --------------------------------------------------------------------------------------------

    def _pick(self, errand: Errand) -> Action:
        def act() -> None:
            if self._before != errand.takes:
                for edit in self.typed:
                    edit.set("")
            self._before = errand.takes
            self.errand, self.kind, self.option = errand, errand.kinds[0], ""
            self.written, self.told, self.trouble = None, "", ""
            self.desk.wanted_top = True
            self._name()

        return act

    def _name(self) -> None:
        """The place where the file goes unless a person types another: no earlier file is lost."""
        assert self.errand is not None
        stem = self.errand.name
        most = MOST.get(self.errand.takes, 0)
        if most:
            stem += "-" + "-and-".join(self.halves[: min(most, 2)])
        path, number = self.desk.sheets / f"{stem}.{self.kind}", 2
        while path.exists():
            path = self.desk.sheets / f"{stem}-{number}.{self.kind}"
            number += 1
        self.where.set(str(path))

    def _as(self, kind: str) -> Action:
        def act() -> None:
            self.kind = kind
            typed = Path(self.where.text)
            self.where.set(str(typed.with_suffix(f".{kind}")) if typed.name else "")

        return act

    def _find(self, errand: Errand, field: int) -> Action:
        endings = tuple(end for end, (takes, at) in KINDS.items() if takes == errand.takes and at == field)

        def act() -> None:
            FileList(self.desk, "Which file?", endings or (".toml",), self.typed[field].set).open()

        return act

    def _choose(self, option: str) -> Action:
        def act() -> None:
            self.option = option

        return act

    def _add(self) -> None:
        def taken(half_id: str) -> None:
            self.halves = [*self.halves, half_id]
            self._name()

        Picker(self.desk, "Which half?", self.halves[-1] if self.halves else "", taken).open()

    def _drop(self, place: int) -> Action:
        def act() -> None:
            def other(half_id: str) -> None:
                self.halves[place] = half_id
                self._name()

            def without() -> None:
                self.desk.close_dialog()
                del self.halves[place]
                self._name()

            def another() -> None:
                self.desk.close_dialog()
                Picker(self.desk, "Which half?", self.halves[place], other).open()

            def fill(stack: Stack) -> None:
                stack.button("another", "Another half in its place", another, "action")
                if len(self.halves) > 1:
                    stack.button("without", "Leave it out", without)

            self.desk.ask(Dialog(self.desk.half(self.halves[place]).name, fill))

        return act

    def save(self) -> None:
        """Write the file beside the window; raises InputError where something is missing."""
        errand = self.errand
        assert errand is not None
        if self.running:
            return
        self.trouble = ""
        most = MOST.get(errand.takes, 0)
        given = list(dict.fromkeys(self.halves[:most]))
        if most and not given:
            raise InputError("Add a half first.")
        fields = errands.FIELDS.get(errand.takes, ())
        for edit, label in zip(self.typed, fields, strict=False):
            if not edit.text.strip():
                raise InputError(f"Something is missing: {label[:1].lower()}{label[1:]}.")
            given.append(str(files.typed(edit.text)))
        if self.option:
            given += errands.OPTIONS[errand.takes][1][self.option]
        target = files.typed(self.where.text)
        if not target.name or target.suffix.lower().removeprefix(".") not in errand.kinds:
            raise InputError(f"Save as a name that ends in {' or '.join('.' + kind for kind in errand.kinds)}.")
        if os.path.isfile(target) and target != self.agreed:  # false too where the name is too long for the system
            self.agreed = target
            raise InputError(f"{target.name} is there already: press Save once more to write over it.")
        words = errands.arguments(errand, given, target, self.desk.records, self.desk.extra)
        self.running, self.written = True, None

        def written(told: str) -> None:
            self.running, self.told, self.written = False, told, target
            self.agreed = target

        def failed(why: str) -> None:
            self.running, self.trouble = False, why

        self.desk.later(lambda: errands.done(words), written, failed)

    def _open(self) -> None:
        if self.written is not None:
            errands.open_file(self.written)

    def _print(self) -> None:
        if self.written is not None:
            self.desk.say(errands.print_file(self.written))

    def _others(self) -> None:
        self.errand, self.desk.wanted_top = None, True

    def back(self) -> bool:
        """Esc goes back to the list."""
        if self.errand is not None:
            self._others()
            return True
        return False

    def dropped(self, path: str) -> bool:
        """A site file is planned, a sweep judged; raises InputError for any other file."""
        found = KINDS.get(Path(path).suffix.lower())
        if found is None:
            raise InputError(f"{Path(path).name} is no site file (.toml) or sweep (.s1p, .s2p); drop one.")
        if self.errand is None or self.errand.takes != found[0]:
            self._pick(next(e for e in ERRANDS if e.takes == found[0]))()
        self.typed[found[1]].set(path)
        return True

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [("Enter in a field", "save"), ("Esc", "back to the list")]

    def remembered(self) -> dict[str, Any]:
        """The halves it was of."""
        return {"halves": self.halves}

    def recall(self, held: dict[str, Any]) -> None:
        """The halves of last time."""
        halves = [h for h in held.get("halves", []) if h in self.desk.tables.halves]
        self.halves = halves or self.halves
