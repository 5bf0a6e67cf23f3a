"""How people look at a port, what they hold beside it and what they meet where: the identifier's own tables.

The only module of the identifier that reads files: looks.toml, things.toml, priors.toml, sources.toml and, for
another language, texts/looks.LANGUAGE.toml.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import cache
from importlib import resources
from typing import Any

import msgspec

from coaxtell.models import sources, toml
from coaxtell.models.acts import Act
from coaxtell.models.catalogue import ENGLISH
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Measure
from coaxtell.models.sources import Source

PACKAGE = "coaxtell.identifier"


class _Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An entry of a table; a misspelt key stops the load."""


class Level(_Entry, frozen=True):
    """How careful a person is: share of people, factor on rates of mistakes, factor on spreads."""

    weight: Measure
    slips: Measure
    spread: Measure


class Follows(_Entry, frozen=True):
    """Who was asked about another feature before: this share answer by what was said of it, whatever is there."""

    feature: str
    share: Measure
    says: dict[str, str]


class Seen(_Entry, frozen=True):
    """A feature that is looked at: its question, what to do, seconds [s], rate of slips, names of its values.

    `spread` is how well a width [relative] or a colour [CIELAB] is judged by eye, for these two alone. `shown` is the
    share of parts on which it is to be seen at all, where it is not on every one. `where` names the answers to other
    features without which there is nothing to look at. `rarely` names values that little else is taken for: the share
    of slips that lead there, of an even part. `after` holds the question in other words, by what was seen of the
    coupling. `act` is what it does to the port, `reach` that one must get behind it, `mated` that its mate must still
    be on it; `follows` what it depends on.
    """

    ask: str
    how: str
    seconds: Measure
    slip: Measure
    values: dict[str, str] = {}
    spread: Measure | None = None
    shown: Measure | None = None
    where: dict[str, list[str]] = {}
    after: dict[str, str] = {}
    rarely: dict[str, Measure] = {}
    act: Act = Act.LOOK
    reach: bool = False
    mated: bool = False
    follows: Follows | None = None


class Measured(_Entry, frozen=True):
    """A feature that is measured: its question, what to do, seconds [s] and what goes wrong.

    `hand` is the spread of the hand [unit of the feature]; `gross`, `overlooked` and `phantom` are shares of people
    who misread it altogether, say there is none, or measure one where there is none; a reading that is altogether
    wrong lies anywhere between `least` and `most`. `within` names the couplings on which it is measured inside the
    mouth, where it touches. `where`, `after`, `act`, `reach` and `mated` are as for what is seen.
    """

    ask: str
    how: str
    seconds: Measure
    hand: Measure
    gross: Measure
    overlooked: Measure
    phantom: Measure
    least: float
    most: float
    where: dict[str, list[str]] = {}
    after: dict[str, str] = {}
    act: Act = Act.MEASURE
    within: list[str] = []
    reach: bool = False
    mated: bool = False


class Mistake(_Entry, frozen=True):
    """One value taken for another, by this share of people; not the other way round unless that is listed too."""

    feature: str
    shows: str
    taken_for: str
    rate: Measure


class Instrument(_Entry, frozen=True):
    """An instrument and how far a reading may be off [mm]."""

    plus_minus: Measure


class Jaws(_Entry, frozen=True):
    """How deep the inside jaws of a calliper enter [mm]."""

    reach: Measure


class Counting(_Entry, frozen=True):
    """How far counted threads may be off [per 10 mm], along a ruler and by thread gauge."""

    ruler: Measure
    gauge: Measure


class Otherwise(_Entry, frozen=True):
    """A second look by other means: what to do, the share that still say what they said, how long it takes [s]."""

    how: str
    same: Measure
    seconds: Measure


class Again(_Entry, frozen=True):
    """Second looks: share of people who say again what they said whatever is there, and how long one takes [s].

    `otherwise` holds, by feature, those that are taken by other means.
    """

    same: Measure
    seconds: Measure
    otherwise: dict[str, Otherwise] = {}


class Elsewhere(_Entry, frozen=True):
    """Wrong readings taken elsewhere on the same part: their share, and how far they scatter there [mm]."""

    share: Measure
    spread: Measure


class Stopping(_Entry, frozen=True):
    """What a wrong order costs [s]."""

    wrong_order: Measure


class LooksTable(_Entry, frozen=True):
    """looks.toml as a whole."""

    levels: dict[str, Level]
    stopping: Stopping
    again: Again
    elsewhere: Elsewhere
    instruments: dict[str, Instrument]
    jaws: Jaws
    counting: Counting
    seen: dict[str, Seen]
    measured: dict[str, Measured]
    mistake: list[Mistake]


class Thing(_Entry, frozen=True):
    """An everyday thing with its diameter [mm]; a `step` is an answer to how wide a port is, a `hole` to how
    wide the hole of a socket is."""

    name: str
    d: Measure
    step: bool = False
    hole: bool = False


class Setting(_Entry, frozen=True):
    """How often each family is met in one setting [of 100], and the share of jacks."""

    words: str
    jack: Measure
    other: Measure
    weight: dict[str, Measure]


class Looks(msgspec.Struct, frozen=True):
    """All that the identifier knows of people, things and places, with the sources of its numbers."""

    table: LooksTable
    things: dict[str, Thing]
    settings: dict[str, Setting]
    sources: dict[str, Source]

    def row(self, feature: str) -> Seen | Measured:
        """The row of a feature, seen or measured."""
        return self.table.seen[feature] if feature in self.table.seen else self.table.measured[feature]

    def act(self, feature: str, couplings: Collection[str]) -> Act:
        """What a look does to a port with one of these couplings; where none was seen, what it does to any."""
        row = self.row(feature)
        within = row.within if isinstance(row, Measured) else []
        return Act.TOUCH if within and (not couplings or set(within) & set(couplings)) else row.act

    def second(self, feature: str) -> Again | Otherwise:
        """How a second look at a feature is taken: by other means where there are any."""
        return self.table.again.otherwise.get(feature, self.table.again)

    @property
    def steps(self) -> dict[str, Thing]:
        """The things that are answers to how wide a port is, smallest first."""
        return {key: thing for key, thing in self.things.items() if thing.step}

    def scale(self, feature: str) -> dict[str, Thing]:
        """The things that a width judged by eye is likened to, smallest first: of a port, or of a socket's hole."""
        return self.steps if feature == "size" else {key: thing for key, thing in self.things.items() if thing.hole}

    def setting(self, name: str) -> Setting:
        """The setting of that name; raises InputError where there is none."""
        found = self.settings.get(name)
        if found is None:
            raise RefusedError("identifier.no_setting", name=name, settings=", ".join(self.settings))
        return found


def _read(file: str) -> dict[str, Any]:
    return toml.loads((resources.files(PACKAGE) / file).read_text(encoding="utf-8"))


def _over(table: dict[str, Any], language: str) -> dict[str, Any]:
    """The table with the texts of a language laid over it, from texts/looks.LANGUAGE.toml, where it has any."""
    file = f"texts/looks.{language}.toml"
    return laid_over(table, _read(file)) if (resources.files(PACKAGE) / file).is_file() else table


def laid_over(table: dict[str, Any], texts: dict[str, Any]) -> dict[str, Any]:
    """A table with some of its texts said in other words: `texts` has the same keys down to each text."""
    return table | {key: laid_over(table[key], text) if isinstance(text, dict) else text for key, text in texts.items()}


@cache
def load(language: str = ENGLISH) -> Looks:
    """The tables that ship with the identifier, their questions and answers in a language, else in English."""
    return Looks(
        table=msgspec.convert(_over(_read("looks.toml"), language), LooksTable),
        things=msgspec.convert(_read("things.toml"), dict[str, Thing]),
        settings=msgspec.convert(_read("priors.toml"), dict[str, Setting]),
        sources=sources.load((resources.files(PACKAGE) / "sources.toml").read_text(encoding="utf-8"), "sources.toml"),
    )
