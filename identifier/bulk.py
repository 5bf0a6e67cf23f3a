"""Many ports at once: rows of looks and sizes, each to the port it names, what fits it, or the look that is missing.

Rows that say the same are worked out once.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress

import msgspec

from coaxtell.identifier import answers, words
from coaxtell.identifier.answers import Read, Saw, State
from coaxtell.identifier.belief import shortlist_of
from coaxtell.identifier.features import MEASURED, SEEN, Feature
from coaxtell.identifier.identification import brief, nothing_told, with_unmeasured
from coaxtell.identifier.looks import Looks
from coaxtell.identifier.partners import Partners, partners_of
from coaxtell.models.errors import InputError, RefusedError
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables

ALIKE = 0.75
"""A heading that is so much like a look's name is near it, and may be that name mistyped [share of difflib]."""
SHORT = 5
"""Letters of the longest names of looks that words of one's own lie near: `site` and `side` are near `size`."""


class Found(msgspec.Struct, frozen=True):
    """What is to be said of a row: the port and how sure, what mates, order words or the look, what to beware of.

    A row that is not read has no state, and a problem.
    """

    state: str = ""
    id: str = ""
    name: str = ""
    sure: float | None = None
    mates: tuple[str, ...] = ()
    order: str = ""
    look: str = ""
    warning: str = ""
    problem: str = ""


def columns(headings: Sequence[str], rows: Sequence[Sequence[str]], looks: Looks, where: str) -> dict[int, Feature]:
    """Which columns hold looks and sizes, by their place; the others are the person's own and stay as they are.

    Raises InputError where none does, one stands twice, or one is mistyped: nearly called as a look whose name no other
    word is near, or with its values below. `where` names the file.
    """
    found: dict[int, Feature] = {}
    known = [feature.value for feature in Feature]
    for place, heading in enumerate(headings):
        name = heading.strip().lower()
        if name in known:
            if Feature(name) in found.values():
                raise RefusedError("identifier.twice", file=where, name=name)
            found[place] = Feature(name)
            continue
        near = _near(name)
        if near is None or not (cells := _filled(rows, place)):
            continue
        if len(near) > SHORT or _holds(near, cells, looks):
            raise RefusedError("identifier.mistyped", file=where, name=heading.strip(), near=near.value)
    if not found:
        raise RefusedError("identifier.no_columns", file=where, seen=", ".join(SEEN), measured=", ".join(MEASURED))
    return found


def left(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> dict[str, Feature]:
    """The headings of columns that are taken for the person's own, with the look whose name each is near."""
    known = {feature.value for feature in Feature}
    found = {}
    for place, heading in enumerate(headings):
        name = heading.strip().lower()
        if name not in known and (near := _near(name)) is not None and _filled(rows, place):
            found[heading.strip()] = near
    return found


def _near(name: str) -> Feature | None:
    found = difflib.get_close_matches(name, [feature.value for feature in Feature], 1, ALIKE)
    return Feature(found[0]) if found else None


def _filled(rows: Sequence[Sequence[str]], place: int) -> set[str]:
    """The different cells of a column in which something stands."""
    return {cell for row in rows if place < len(row) and (cell := row[place].strip())}


def _holds(feature: Feature, filled: Collection[str], looks: Looks) -> bool:
    """Whether at least half of the different cells say something of a look; a site's number is no width by eye."""
    said = 0
    for cell in filled:
        with suppress(InputError):
            if feature in MEASURED:
                said += isinstance(answers.measured(feature, cell, State().instrument, looks), Read)
            elif not cell.isdigit():
                said += isinstance(answers.saw(feature, cell, looks), Saw)
    return len(filled) <= 2 * said


class Bulk:
    """Rows of one file, on the halves of some tables, from one state that says setting, instrument and terms."""

    def __init__(self, known: Tables, start: State) -> None:
        self._known = known
        self._shortlist = shortlist_of(known.halves, start.setting)
        self._start = start
        self._done: dict[tuple[tuple[Feature, str], ...], Found] = {}
        self._partners: dict[str, Partners] = {}

    def row(self, cells: Mapping[Feature, str]) -> Found:
        """What is to be said of a row by the words in its cells; what is wrong with it, where something is."""
        said = tuple((feature, cell) for feature, text in cells.items() if (cell := text.strip()))
        if said not in self._done:
            try:
                self._done[said] = self._found(self._told(said))
            except InputError as error:
                self._done[said] = Found(problem=str(error))
        return self._done[said]

    def _told(self, said: Sequence[tuple[Feature, str]]) -> State:
        if not said:
            raise RefusedError("identifier.empty_row")
        state = self._start
        for feature, cell in said:
            if feature in SEEN:
                state = state.tell(feature, answers.saw(feature, cell, self._shortlist.looks))
            else:
                state = state.tell(feature, answers.measured(feature, cell, state.instrument, self._shortlist.looks))
        return state

    def _found(self, state: State) -> Found:
        found = with_unmeasured(brief(self._shortlist, state, self._of), self._known)
        if nothing_told(found):
            warning = " ".join((*words.on_it(found), words.unnamed()))
            return Found(state=found.state.value, look=words.settles(found), warning=warning)
        return Found(
            state=found.state.value,
            id=found.half.id,
            name=found.half.name,
            sure=found.order_probability if found.settled else found.probability,
            mates=tuple(found.mates_with),
            order=words.fit(found) if found.settled and not found.worn else "",
            look=words.worn(found.worn) if found.settled else words.settles(found),
            warning=" ".join((*words.warned(found), *words.photographs(state.counted))),
        )

    def _of(self, half: Half) -> Partners:
        if half.id not in self._partners:
            self._partners[half.id] = partners_of(self._shortlist, half)
        return self._partners[half.id]
