"""An identification and its answers as plain data, and the answers back from it."""

from __future__ import annotations

from typing import Any

import msgspec

from coaxtell.identifier import answers, instruments, words
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, State
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import Identification, LookAlike
from coaxtell.identifier.looks import Looks
from coaxtell.models.errors import InputError


class Kept(msgspec.Struct, frozen=True):
    """What a saved identification must hold to go on from; whatever else stands in it is left alone."""

    setting: str
    instrument: str
    answers: dict[Feature, Answer]


def plain(state: State, found: Identification) -> dict[str, Any]:
    """The identification with the answers it rests on, as data that JSON can hold."""
    result: dict[str, Any] = {
        "setting": state.setting,
        "instrument": state.instrument,
        "answers": {feature.value: msgspec.to_builtins(answer) for feature, answer in state.answers.items()},
        "name": found.name,
        "gender": words.gender(found),
        "polarity": found.polarity,
        "candidates": [{"id": c.id, "probability": round(c.probability, 6)} for c in found.candidates],
        "next": None if found.next is None else msgspec.to_builtins(found.next) | {"why": words.say(found.next.why)},
        "mates_with": found.mates_with,
        "with_limits": found.with_limits,
        "beware": [_alike(one) for one in found.beware],
        "order": words.order(found),
        "order_port": words.port(found),
        "order_fit": words.fit(found),
        "cautions": words.cautions(found),
        "rests_on": [
            {"feature": one.feature.value, "said": words.said(one.feature, one.answer), "without": one.without}
            for one in found.rests_on
        ],
        "soft_numbers": [words.number(found.half, one) for one in found.soft_numbers],
    }
    if found.contradiction is not None:
        sentence = words.clash(found.contradiction, found.answers)
        result["contradiction"] = msgspec.to_builtins(found.contradiction) | {"sentence": sentence}
    return result


def _alike(one: LookAlike) -> dict[str, Any]:
    """A look-alike as plain data, with its sentences."""
    told = {field: getattr(one, field) for field in ("id", "name", "probability", "mate", "verdict")}
    return told | {"reason": words.outcome(one), "look": one.look, "tell": words.say(one.tell)}


def state_from(data: Any, where: str, looks: Looks) -> State:
    """The state of a saved identification; `where` names the file in errors.

    Raises InputError where it is no saved identification, or holds an answer that no port can get.
    """
    try:
        kept = msgspec.convert(data, Kept)
    except msgspec.ValidationError as error:
        raise InputError(
            f"{where} is no saved identification ({error}); write one with `coaxtell identify --save`."
        ) from None
    looks.setting(kept.setting)
    instruments.plus_minus(kept.instrument, looks)
    state = State(kept.setting, kept.instrument)
    for feature, answer in kept.answers.items():
        state = state.tell(feature, _checked(feature, answer, kept.instrument, looks))
    return state


def _checked(feature: Feature, answer: Answer, instrument: str, looks: Looks) -> Answer:
    if isinstance(answer, NotSure):
        return answer
    if isinstance(answer, NotThere):
        return answers.measured(feature, "none", instrument, looks)
    if isinstance(answer, Read):
        unit = "" if feature is Feature.THREADS else "mm"
        answers.measured(feature, f"{answer.value:.6f}{unit}+-{answer.plus_minus:.6f}", instrument, looks)
        return answer
    return answers.saw(feature, answer.value, looks)
