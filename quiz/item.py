"""One item: a question with its options, the right one, and what is said after the answer."""

from __future__ import annotations

from itertools import combinations
from typing import Literal

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.quiz.skills import Skill

Said = Reason | str
"""What is said of an item: its code with values, said by the words module, or a text that is the same in every
language."""


class Task(msgspec.Struct, frozen=True, order=True):
    """What an item is about, before its picture is drawn: a kind and two halves.

    The order of the halves matters to the kind: the port that is asked about stands first.
    """

    kind: str
    a: str
    b: str
    among: tuple[str, ...] = ()
    """The set that the options are made from, where the kind has several for one pair; not part of the record."""

    @property
    def key(self) -> str:
        """Kind and pair, the same for both orders of the pair."""
        one, two = sorted((self.a, self.b))
        return f"{self.kind}:{one}|{two}"


class Option(msgspec.Struct, frozen=True):
    """One answer to choose: its id in the log and its words."""

    id: str
    words: Said


class Picture(msgspec.Struct, frozen=True):
    """What the person is shown: halves at one scale, pose [deg], light and whether a scale bar stands by.

    `finish` plates the halves otherwise than their table says, since a colour tells no family; empty leaves it.
    `bodies` names the body behind each half; empty leaves the plain tail of its table. `wear` and `dirt` go from 0
    to 1, `blur` is in pixels at a width of 840; `grain` is the seed by which wear and dirt lie.
    Where it is `labelled`, the words of the trade stand on the parts. `panel` names a row of halves in one plate, left
    to right, in which a ring marks the one half that is shown; `tilt` is how far the camera was held crooked [deg,
    counter-clockwise in the picture]. `legs` is a cable's way from the reader to the antenna, sketched beneath leg by
    leg [m].
    """

    halves: tuple[str, ...]
    azimuth: float = 0.0
    elevation: float = 0.0
    light: str = "bench"
    scale: bool = True
    finish: Literal["", "gold", "nickel", "steel", "brass"] = ""
    bodies: tuple[str, ...] = ()
    wear: float = 0.0
    dirt: float = 0.0
    blur: float = 0.0
    grain: int = 0
    labelled: bool = False
    panel: tuple[str, ...] = ()
    tilt: float = 0.0
    legs: tuple[float, ...] = ()

    @property
    def row(self) -> tuple[str, ...]:
        """All that is drawn, left to right: the halves, or the whole panel in which one stands."""
        return self.panel or self.halves

    def at(self, azimuth: float, elevation: float, scale: bool) -> Picture:
        """The same picture from another side, with or without its scale."""
        return msgspec.structs.replace(self, azimuth=azimuth, elevation=elevation, scale=scale)


class Explanation(msgspec.Struct, frozen=True):
    """What is said after the answer: reasons, the look that would have told, and the pair to draw cut open.

    `stop_mm` is the distance of the reference planes at which the pair is drawn [mm].
    """

    reasons: tuple[Said, ...]
    look: Said
    pair: tuple[str, str] | None = None
    stop_mm: float = 0.0
    cautions: tuple[Said, ...] = ()


class Item(msgspec.Struct, frozen=True):
    """A question with exactly one right option.

    `in_words` says what the picture shows, for where no picture can be shown. `harmful` marks an item in which a
    wrong answer may end in a damaged contact.

    Raises ValueError where options are too few or alike, or the right one is not among them.
    """

    task: Task
    question: Reason
    options: tuple[Option, ...]
    right: str
    skills: tuple[Skill, ...]
    explanation: Explanation
    picture: Picture | None = None
    in_words: Reason | None = None
    harmful: bool = False

    def __post_init__(self) -> None:
        ids = [option.id for option in self.options]
        alike = any(one.words == two.words for one, two in combinations(self.options, 2))
        if len(ids) < 2 or len(set(ids)) != len(ids) or alike:
            raise ValueError(f"{self.task.key}: options are too few or alike")
        if self.right not in ids:
            raise ValueError(f"{self.task.key}: the right option is not offered")

    def option(self, option_id: str) -> Option:
        """The option of that id; raises KeyError where it is not offered."""
        for option in self.options:
            if option.id == option_id:
                return option
        raise KeyError(option_id)
