"""What a person has answered so far: one answer per feature, each of which can be changed or taken back.

A state is a value: telling it something gives a new state, and the order of telling leaves no trace, but that a
photograph's reading is held against the one told before it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from enum import StrEnum

import msgspec

from coaxtell.identifier import instruments
from coaxtell.identifier.features import LIKENED, MEASURED, SEEN, SIGHTS, Feature
from coaxtell.identifier.looks import Looks
from coaxtell.models import quantity
from coaxtell.models.errors import RefusedError
from coaxtell.models.quantity import LENGTHS

BY_PHOTOGRAPH = "by photograph"
"""With what a size that was measured in a photograph ends as it is typed, shown and saved: no calliper read it, and
such measuring is experimental."""
_PICTURED = re.compile(r"\s*by\s+photograph$", re.IGNORECASE)


class Saw(msgspec.Struct, frozen=True, tag="saw", forbid_unknown_fields=True):
    """A value that was seen."""

    value: str


class Read(msgspec.Struct, frozen=True, tag="read", forbid_unknown_fields=True):
    """A reading with how far the instrument may be off, both in mm or threads per 10 mm, and as it was typed."""

    value: float
    plus_minus: float
    typed: str = ""

    @property
    def pictured(self) -> bool:
        """Whether it was measured in a photograph."""
        return self.typed.endswith(BY_PHOTOGRAPH)


def apart(one: Read, other: Read) -> bool:
    """Whether two readings exclude each other: no size lies within the plus-minus of both."""
    return abs(one.value - other.value) > one.plus_minus + other.plus_minus


class NotThere(msgspec.Struct, frozen=True, tag="not there", forbid_unknown_fields=True):
    """The port has nothing of the kind, such as a pin."""


class NotSure(msgspec.Struct, frozen=True, tag="not sure", forbid_unknown_fields=True):
    """The person looked and could not tell: it says nothing, and is not asked again."""


Answer = Saw | Read | NotThere | NotSure


def pictured(answer: Answer | None) -> bool:
    """Whether an answer is a size that was measured in a photograph."""
    return isinstance(answer, Read) and answer.pictured


NOT_SURE = ("not-sure", "unsure", "?")
NOT_THERE = ("none", "not-there")


class Term(StrEnum):
    """What a person says of the port and the place, besides answers."""

    LOOK_ONLY = "look-only"
    """It is energised: nothing is touched."""
    NO_REACH = "no-reach"
    """One cannot get behind it."""
    MATED = "mated"
    """Its mate is still on it, and may be taken off."""
    NO_HIGH_VOLTAGE = "no-high-voltage"
    """It is radio or video equipment, with no high voltage on it."""
    HIGH_VOLTAGE = "high-voltage"
    """It may carry high voltage: nobody knows that it is radio or video equipment."""


class State(msgspec.Struct, frozen=True):
    """The answers so far, in what setting, the instrument at hand, and what was said of the port and the place.

    Equal states have equal answers, whatever the order in which they came. `again` holds the answers of second looks.
    """

    setting: str = "any"
    instrument: str = "calliper"
    answers: Mapping[Feature, Answer] = {}
    again: Mapping[Feature, Answer] = {}
    terms: frozenset[Term] = frozenset()

    @property
    def apart(self) -> dict[Feature, tuple[Read, Read]]:
        """The sizes read twice by readings that exclude each other, one of a photograph at least; as they were told.

        Neither of the two settles a port by itself.
        """
        found = {}
        for feature, second in self.again.items():
            first = self.answers.get(feature)
            if not (isinstance(first, Read) and isinstance(second, Read)):
                continue
            if (first.pictured or second.pictured) and apart(first, second):
                found[feature] = first, second
        return found

    def readings(self, feature: Feature) -> list[Read]:
        """The readings of a size that are kept, the first look's first."""
        kept = (self.answers.get(feature), self.again.get(feature))
        return [read for read in kept if isinstance(read, Read)]

    @property
    def counted(self) -> dict[Feature, Answer]:
        """The answers that count: at a feature looked at twice that of the second look, where it told something; of two
        readings that exclude each other the finer."""
        second = {feature: answer for feature, answer in self.again.items() if not isinstance(answer, NotSure)}
        finer = {feature: min(both, key=lambda read: read.plus_minus) for feature, both in self.apart.items()}
        return {feature: finer.get(feature, second.get(feature, answer)) for feature, answer in self.answers.items()}

    def tell(self, feature: Feature, answer: Answer, again: bool = False) -> State:
        """A new state with this answer; a first look takes the place of both looks before, a second of a second.

        A photograph's reading never takes the place of a finer one, and where the two exclude each other both are kept,
        see `apart`; another photograph then takes the place of the one that it excludes. Whoever tells a person's
        answer says what becomes of the readings before by `words.other_reading`.
        """
        if isinstance(answer, Read) and answer.pictured:
            return self._pictured(feature, answer, again)
        return self._second(feature, answer) if again else self._only(feature, answer)

    def _pictured(self, feature: Feature, shot: Read, again: bool) -> State:
        held = self
        if feature in self.apart:
            excluded = [read for read in self.apart[feature] if read.pictured and apart(read, shot)]
            if not excluded:
                return self._beside_both(feature, shot)
            # a photograph is taken anew: the one that it excludes goes, and never what was read by hand
            held = self._only(feature, next(read for read in self.apart[feature] if read is not excluded[-1]))
        before = held.counted.get(feature)
        if isinstance(before, Read) and apart(before, shot):
            return held._only(feature, before)._second(feature, shot)
        if isinstance(before, Read) and before.plus_minus < shot.plus_minus:
            return held
        if again or feature in held.again:
            return held._second(feature, shot)
        return held._only(feature, shot)

    def _beside_both(self, feature: Feature, shot: Read) -> State:
        # it goes with the photograph of the two: beside a reading by hand that it excludes the finer photograph is kept
        first, second = self.apart[feature]
        hand, photograph = (first, second) if second.pictured else (second, first)
        if hand.pictured or not apart(hand, shot) or photograph.plus_minus < shot.plus_minus:
            return self
        return self._only(feature, hand)._second(feature, shot)

    def _only(self, feature: Feature, answer: Answer) -> State:
        answers = _in_order({**self.answers, feature: answer})
        return msgspec.structs.replace(self, answers=answers, again=_without(self.again, feature))

    def _second(self, feature: Feature, answer: Answer) -> State:
        return msgspec.structs.replace(self, again=_in_order({**self.again, feature: answer}))

    def withdraw(self, feature: Feature) -> State:
        """A new state without the answers for this feature."""
        first, second = _without(self.answers, feature), _without(self.again, feature)
        return msgspec.structs.replace(self, answers=first, again=second)


def _in_order(told: Mapping[Feature, Answer]) -> dict[Feature, Answer]:
    return {feature: told[feature] for feature in Feature if feature in told}


def _without(told: Mapping[Feature, Answer], feature: Feature) -> dict[Feature, Answer]:
    return {other: answer for other, answer in told.items() if other is not feature}


def as_typed(answer: Answer) -> str:
    """An answer as one types it: `lugs`, `6.5`, `none`, `not-sure`."""
    if isinstance(answer, Saw):
        return answer.value
    if isinstance(answer, Read):
        return answer.typed or f"{answer.value:g}"
    return "none" if isinstance(answer, NotThere) else "not-sure"


def feature_named(name: str) -> Feature:
    """The feature of that name; raises InputError with all names where there is none."""
    try:
        return Feature(name)
    except ValueError:
        raise RefusedError(
            "identifier.no_feature", name=name, seen=", ".join(SEEN), measured=", ".join(MEASURED)
        ) from None


def values(feature: Feature, looks: Looks) -> tuple[str, ...]:
    """The values a seen feature may have, in the order they are offered."""
    return tuple(looks.scale(feature)) if feature in LIKENED else SIGHTS[feature].values


def saw(feature: Feature, value: str, looks: Looks) -> Answer:
    """The answer that this value was seen; a width may be typed, and stands for the thing that is as wide.

    Raises InputError where the feature has no such value, or no port is so wide.
    """
    value = value.strip().lower()
    if value in NOT_SURE:
        return NotSure()
    if feature in MEASURED:
        raise RefusedError("identifier.not_seen", feature=feature)
    known = values(feature, looks)
    if feature in LIKENED and value not in known and value[:1].isdigit():
        return Saw(_nearest(feature, value, looks))
    if value not in known:
        raise RefusedError("identifier.no_look", feature=feature, value=value, known=", ".join(known))
    return Saw(value)


def _nearest(feature: Feature, typed: str, looks: Looks) -> str:
    """The thing nearest to a width that was typed instead of likened: a reading by eye."""
    found = quantity.read(typed, f"{feature}:", "thing")
    if found.bare_fraction:
        raise RefusedError("identifier.bare_fraction", feature=feature, typed=typed, number=typed.strip())
    if found.off is not None:
        raise RefusedError("identifier.eye_plus_minus", feature=feature, typed=typed)
    factor = LENGTHS.get(found.unit.lower() or "mm")
    mm = quantity.counted(found.value, factor or 0.0)
    if mm <= 0:
        raise RefusedError("identifier.no_width", feature=feature, typed=typed)
    if not instruments.SMALLEST <= mm <= instruments.LARGEST:
        raise RefusedError("identifier.no_port_size", feature=feature, typed=typed, value=mm)
    things = looks.scale(feature)
    return min(things, key=lambda key: abs(math.log(things[key].d.nominal / mm)))


def measured(feature: Feature, typed: str, instrument: str, looks: Looks) -> Answer:
    """The answer from what was typed for a measured feature, such as `6.3`, `1/4in`, `6.3+-0.1`, `36tpi` or `none`.

    A size by photograph ends with `by photograph` and has a plus-minus of its own. Raises InputError where it is no
    size, or none that a connector has.
    """
    word = typed.strip().lower()
    if word in NOT_SURE:
        return NotSure()
    if feature in SEEN:
        raise RefusedError("identifier.not_measured", feature=feature)
    if word in NOT_THERE:
        return NotThere()
    typed = typed.strip()
    behind = _PICTURED.search(typed)
    size = typed if behind is None else typed[: behind.start()]
    reading = instruments.reading(feature, size, instrument, looks)
    if size == typed:
        return Read(reading.value, reading.plus_minus, typed)
    if quantity.read(size, f"{feature}:", "size").off is None:
        raise RefusedError("identifier.photograph_off", feature=feature, typed=typed)
    return Read(reading.value, reading.plus_minus, f"{size} {BY_PHOTOGRAPH}")
