"""An identification and its answers as plain data, and the answers back from it."""

from __future__ import annotations

from typing import Any

import msgspec

from coaxtell.identifier import answers, instruments, words
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, State, Term
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import Identification, LookAlike, nothing_told
from coaxtell.identifier.looks import Looks
from coaxtell.identifier.question import Next
from coaxtell.models.errors import InputError, RefusedError

ELSEWHERE_SINCE = "insulator"
"""A look of 0.1.0 at another plane than the plastic is looked at now: its answer says nothing any more."""


FORMAT = 1
"""Of a saved identification; one of before has none."""


class Kept(msgspec.Struct, frozen=True):
    """What a saved identification must hold to go on from; whatever else stands in it is left alone."""

    setting: str
    instrument: str
    answers: dict[str, Answer]
    again: dict[Feature, Answer] = {}
    terms: list[Term] = []
    format: int = FORMAT


def answers_of(state: State) -> dict[str, Any]:
    """The answers alone, from which an identification can go on, as data that JSON can hold."""
    return {
        "format": FORMAT,
        "setting": state.setting,
        "instrument": state.instrument,
        "answers": {feature.value: msgspec.to_builtins(answer) for feature, answer in state.answers.items()},
        "again": {feature.value: msgspec.to_builtins(answer) for feature, answer in state.again.items()},
        "terms": sorted(state.terms),
    }


def _next(asked: Next) -> dict[str, Any]:
    """The next question with its reason, and what is said before it, in words."""
    told = {"why": words.say(asked.why), "first": [words.say(reason) for reason in asked.first]}
    return {**msgspec.to_builtins(asked), **told}


def plain(state: State, found: Identification, tables: str) -> dict[str, Any]:
    """The identification with the answers it rests on and the version of its tables, as data that JSON can hold.

    Where nothing was seen or measured no port is named in it: its candidates are what is met most in that setting.
    """
    result: dict[str, Any] = {
        **answers_of(state),
        "tables": tables,
        "state": found.state.value,
        "candidates": [{"id": c.id, "probability": c.probability} for c in found.candidates],
        "next": None if found.next is None else _next(found.next),
        **(
            _UNNAMED | {"order": words.unnamed(), "cautions": words.on_it(found)}
            if nothing_told(found)
            else _named(found)
        ),
    }
    result["misfits"] = [feature.value for feature in found.misfits]
    result["worn"] = [feature.value for feature in found.worn]
    result["pictured"] = [feature.value for feature in found.pictured]
    if found.apart:
        sentences = zip(found.apart, words.excluding(found), strict=True)
        result["apart"] = {feature.value: sentence for feature, sentence in sentences}
    if found.contradiction is not None:
        to_gauge = words.left_to_gauge(found, [found.contradiction.misread])
        sentence = words.clash(found.contradiction, found.answers, to_gauge)
        result["contradiction"] = msgspec.to_builtins(found.contradiction) | {"sentence": sentence}
    return result


_UNNAMED: dict[str, Any] = {
    **dict.fromkeys(("name", "gender", "polarity", "order_port", "order_fit"), ""),
    **{part: [] for part in ("mates_with", "with_limits", "beware", "rests_on", "soft_numbers")},
}
"""What `_named` holds of a port, where none is named."""


def _named(found: Identification) -> dict[str, Any]:
    """What is said of the named port."""
    result: dict[str, Any] = {
        "name": found.name,
        "gender": words.gender(found),
        "polarity": found.polarity,
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
    if found.rival is not None:
        result["rival"] = _alike(found.rival)
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
        raise RefusedError("identifier.no_record", file=where, error=str(error)) from None
    if kept.format > FORMAT:
        raise RefusedError("identifier.newer", file=where)
    looks.setting(kept.setting)
    instruments.plus_minus(kept.instrument, looks)
    state = State(kept.setting, kept.instrument, terms=frozenset(kept.terms))
    try:
        for name, answer in kept.answers.items():
            if name != ELSEWHERE_SINCE:
                feature = answers.feature_named(name)
                state = state.tell(feature, _checked(feature, answer, kept.instrument, looks))
        for feature, answer in kept.again.items():
            state = state.tell(feature, _checked(feature, answer, kept.instrument, looks), again=True)
    except InputError as error:
        raise InputError(f"{where}: {error}") from None
    return state


def _checked(feature: Feature, answer: Answer, instrument: str, looks: Looks) -> Answer:
    if isinstance(answer, NotSure):
        return answer
    if isinstance(answer, NotThere):
        return answers.measured(feature, "none", instrument, looks)
    if isinstance(answer, Read):
        unit = "" if feature is Feature.THREADS else "mm"
        answers.measured(feature, f"{answer.value:.6f}{unit}+-{answer.plus_minus:.6f}", instrument, looks)
        if answer.typed:
            _as_typed(feature, answer, instrument, looks)
        return answer
    return answers.saw(feature, answer.value, looks)


SAME = 1e-3
"""Readings that differ by less are one: nobody types finer digits [mm; threads per 10 mm]."""
OFF = ("+-", "+/-", "±")


def _as_typed(feature: Feature, answer: Read, instrument: str, looks: Looks) -> None:
    """Refuse a reading that counts otherwise than it was typed, which is how it is shown.

    Its plus-minus may be that of an instrument that was changed since, unless it was typed with it.
    """
    read = answers.measured(feature, answer.typed, instrument, looks)
    same = isinstance(read, Read) and abs(read.value - answer.value) <= SAME
    if isinstance(read, Read) and any(sign in answer.typed for sign in OFF):
        same = same and abs(read.plus_minus - answer.plus_minus) <= SAME
    if not same:
        raise RefusedError("identifier.typed_otherwise", feature=feature, typed=answer.typed, value=answer.value)
