"""What an xAPI statement may look like, written from the standard (IEEE 9274.1.1, xAPI 2.0, clause 4.2)."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

Uuid = Annotated[str, Meta(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")]
Iri = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9+.-]*:[^\s]+$")]
Language = Annotated[str, Meta(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]+)*$")]
LanguageMap = dict[Language, str]
Extensions = dict[Iri, object]
Stamp = Annotated[str, Meta(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$")]
ChoiceId = Annotated[str, Meta(pattern=r"^[^\s,\[\]]+$")]


class Part(msgspec.Struct, forbid_unknown_fields=True):
    """Statements are closed: a property that the standard does not name is refused."""


class Account(Part, forbid_unknown_fields=True):
    homePage: Iri  # noqa: N815 (the standard's own spelling, here and below)
    name: str


class Agent(Part, forbid_unknown_fields=True):
    objectType: Literal["Agent"]  # noqa: N815
    account: Account


class Verb(Part, forbid_unknown_fields=True):
    id: Iri
    display: LanguageMap


class Choice(Part, forbid_unknown_fields=True):
    id: ChoiceId
    description: LanguageMap


class Definition(Part, forbid_unknown_fields=True):
    name: LanguageMap
    description: LanguageMap
    type: Iri
    interactionType: Literal["choice"]  # noqa: N815
    correctResponsesPattern: list[ChoiceId]  # noqa: N815
    choices: list[Choice]


class Activity(Part, forbid_unknown_fields=True):
    objectType: Literal["Activity"]  # noqa: N815
    id: Iri
    definition: Definition


class Score(Part, forbid_unknown_fields=True):
    scaled: Annotated[float, Meta(ge=-1, le=1)]
    raw: float
    min: float
    max: float


class Result(Part, forbid_unknown_fields=True):
    success: bool
    completion: bool
    response: str
    score: Score
    extensions: Extensions


class Context(Part, forbid_unknown_fields=True):
    registration: Uuid
    extensions: Extensions


class Statement(Part, forbid_unknown_fields=True):
    id: Uuid
    actor: Agent
    verb: Verb
    object: Activity
    result: Result
    context: Context
    timestamp: Stamp


def statement(line: str) -> Statement:
    """The statement in a line; raises ValidationError where it is none. Rules across properties are checked too."""
    found = msgspec.json.decode(line, type=Statement)
    score = found.result.score
    if not score.min <= score.raw <= score.max:
        raise msgspec.ValidationError("raw score outside min and max")
    offered = {choice.id for choice in found.object.definition.choices}
    if len(offered) != len(found.object.definition.choices):
        raise msgspec.ValidationError("two choices have one id")
    if not {found.result.response, *found.object.definition.correctResponsesPattern} <= offered:
        raise msgspec.ValidationError("a response that is no choice")
    return found
