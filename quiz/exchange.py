"""The record for other programs: tables as CSV and JSON, and xAPI statements, a line of JSON each.

xAPI: IEEE 9274.1.1 (xAPI 2.0), clause 4.2 on statements and their interaction activities.
"""

from __future__ import annotations

import csv
import io
import json
import re
import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.cells import neutral
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import tries, words
from coaxtell.quiz.log import Answered, Event, Mode, Noted, Signed, Started, person_name
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.words import say

COLUMNS = (
    "time", "person", "mode", "site", "sitting", "number", "kind", "a", "b", "question", "options", "right", "chosen",
    "correct", "sure", "points", "skills", "harmful", "asks", "verdict", "until", "by", "line", "id",
)  # fmt: skip

CLOCK_AHEAD = "dated-ahead"
"""Stands in the line of a start whose assessment a clock dated later than now."""

SPACE = uuid.UUID("6f0c4b7e-2f5d-5a3e-9d51-0c0a7f1e5b11")
"""Name space of the ids that are made from names (RFC 4122, version 5)."""

ANSWERED = "http://adlnet.gov/expapi/verbs/answered"
"""The verb's id in the ADL vocabulary."""

HOME_PAGE = "https://records.invalid/"
"""Account system of people where none is named; the domain .invalid never exists (RFC 6761)."""


def rows(events: Iterable[Event], now: datetime) -> list[dict[str, Any]]:
    """One row for each event, plain values; those of a start say what its assessment came to and until when it holds,
    or that a clock dated it ahead, which tells neither. A person has one name, however it was typed."""
    found: list[dict[str, Any]] = []
    starts: dict[str, Started] = {}
    held = _one_name(events)
    outcomes = {one.start.id: one for one in tries.of(held)}
    for event in held:
        if isinstance(event, Started):
            starts[event.id] = event
        start = starts.get(event.sitting)
        row: dict[str, Any] = dict.fromkeys(COLUMNS)
        row |= {
            "time": event.time.isoformat(),
            "person": event.person,
            "mode": None if start is None else start.mode.value,
            "site": None if start is None else start.site,
            "sitting": event.sitting,
            "number": event.number,
            "id": event.id,
        }
        if isinstance(event, Answered):
            row |= {
                "kind": event.kind,
                "a": event.a,
                "b": event.b,
                "question": event.question,
                "options": event.options,
                "right": event.right,
                "chosen": event.chosen,
                "correct": event.correct,
                "sure": round(event.sure, 4),
                "points": round(event.points, 2),
                "skills": [skill.value for skill in event.skills],
                "harmful": event.harmful,
                "asks": event.asks,
            }
        if event.id in outcomes:
            one = outcomes[event.id]
            if one.on_time(now):
                until = None if one.until is None else one.until.isoformat()
                row |= {"verdict": one.verdict.value, "until": until}
            else:
                row["line"] = CLOCK_AHEAD
        if isinstance(event, Signed):
            row |= {"mode": "sign-off", "site": event.site, "by": event.by, "line": event.line}
        if isinstance(event, Noted):
            row["line"] = event.what.value
        found.append(row)
    return found


def as_csv(events: Iterable[Event], now: datetime) -> str:
    """The record as CSV for a spreadsheet; text that would be a formula is made plain text."""
    return table_csv(COLUMNS, ([row[column] for column in COLUMNS] for row in rows(events, now)))


def table_csv(headings: Sequence[str], lines: Iterable[Sequence[Any]]) -> str:
    """A table as CSV whose text cells are no formulas; numbers stay numbers."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow([neutral(heading) for heading in headings])
    for line in lines:
        table.writerow([_cell(value) for value in line])
    return text.getvalue()


def _cell(value: Any) -> Any:
    if value is None or isinstance(value, bool | int | float):
        return value
    return neutral("; ".join(value) if isinstance(value, list | tuple) else str(value))


def as_json(events: Iterable[Event], now: datetime) -> str:
    """The record as a JSON list."""
    return json.dumps(rows(events, now), ensure_ascii=False, indent=1) + "\n"


def _one_name(events: Iterable[Event]) -> list[Event]:
    """The events, each person's under the name that stands first: names that differ in capitals alone are one."""
    held = list(events)
    names: dict[str, str] = {}
    for event in held:
        names.setdefault(event.person.casefold(), event.person)
    return [msgspec.structs.replace(event, person=names[event.person.casefold()]) for event in held]


def as_xapi(events: Iterable[Event], now: datetime, home_page: str = HOME_PAGE) -> str:
    """The answers, and what assessments came to, as xAPI statements, one to a line.

    `home_page` names the system that the people's names are of. What a clock dated later than `now` came to is left
    out until then.
    """
    lines: list[str] = []
    starts: dict[str, Started] = {}
    held = _one_name(events)
    for event in held:
        if isinstance(event, Started):
            starts[event.id] = event
        elif isinstance(event, Answered):
            statement = _statement(event, starts.get(event.sitting), home_page)
            lines.append(json.dumps(statement, ensure_ascii=False))
    lines += [json.dumps(one, ensure_ascii=False) for one in _outcomes(held, now, home_page)]
    return "".join(f"{line}\n" for line in lines)


def _outcomes(events: Sequence[Event], now: datetime, home_page: str) -> list[dict[str, Any]]:
    """A statement for each assessment that came to a verdict: passed or failed, with its score and ports."""
    found = []
    for one in tries.of(events):
        if one.verdict is Decision.UNDECIDED or not one.on_time(now):
            continue
        right = sum(count.right for count in one.result.counts.values())
        verb = "passed" if one.verdict is Decision.READY else "failed"
        ports = dict(sorted(one.start.ports.items()))
        site = one.start.site or Reason("exchange.all_ports")
        about = uuid.uuid5(SPACE, json.dumps(["assessment", one.start.blueprint, ports]))
        found.append({
            "id": str(uuid.uuid5(SPACE, f"outcome/{one.start.id}")),
            "actor": {"objectType": "Agent", "account": {"homePage": home_page, "name": one.start.person}},
            "verb": {"id": f"http://adlnet.gov/expapi/verbs/{verb}", "display": {"en": verb}},
            "object": {
                "objectType": "Activity",
                "id": f"urn:uuid:{about}",
                "definition": {
                    "name": {"en": say(Reason("exchange.assessment", {"site": site}))},
                    "type": "http://adlnet.gov/expapi/activities/assessment",
                    "extensions": {"urn:uuid:" + str(uuid.uuid5(SPACE, "ports")): ports},
                },
            },
            "result": {
                "success": one.verdict is Decision.READY,
                "completion": True,
                "score": {"scaled": round(right / one.items, 4), "raw": right, "min": 0, "max": one.items},
            },
            "context": {"registration": _as_uuid(one.start.id)},
            "timestamp": one.ended.isoformat(),
        })  # fmt: skip
    return found


def _as_uuid(event_id: str) -> str:
    """The id as a UUID: its own where it is one, else one made from it."""
    try:
        return str(uuid.UUID(event_id))
    except ValueError:
        return str(uuid.uuid5(SPACE, event_id))


def _statement(answer: Answered, start: Started | None, home_page: str) -> dict[str, Any]:
    names = {option: re.sub(r"[^a-z0-9.]+", "-", option.lower()) for option in sorted(answer.options)}
    # one activity has one definition, in whatever order its choices were shown
    about = (answer.kind, answer.a, answer.b, answer.question, *sorted(answer.options), answer.right)
    activity = uuid.uuid5(SPACE, "/".join(about))
    mode = Mode.PRACTICE if start is None else start.mode
    return {
        "id": _as_uuid(answer.id),
        "actor": {"objectType": "Agent", "account": {"homePage": home_page, "name": answer.person}},
        "verb": {"id": ANSWERED, "display": {"en": "answered"}},
        "object": {
            "objectType": "Activity",
            "id": f"urn:uuid:{activity}",
            "definition": {
                "name": {"en": words.kind(answer.kind)},
                "description": {"en": answer.question},
                "type": "http://adlnet.gov/expapi/activities/cmi.interaction",
                "interactionType": "choice",
                "correctResponsesPattern": [names[answer.right]],
                "choices": [{"id": name, "description": {"en": option}} for option, name in names.items()],
            },
        },
        "result": {
            "success": answer.correct,
            "completion": True,
            "response": names[answer.chosen],
            "score": {
                "scaled": round(answer.points / 100, 4), "raw": round(answer.points, 2), "min": -100, "max": 100
            },
            "extensions": {"urn:uuid:" + str(uuid.uuid5(SPACE, "how sure")): round(answer.sure, 4)},
        },
        "context": {
            "registration": _as_uuid(answer.sitting),
            "extensions": {
                "urn:uuid:" + str(uuid.uuid5(SPACE, "mode")): mode.value,
                "urn:uuid:" + str(uuid.uuid5(SPACE, "skills")): [skill.value for skill in answer.skills],
            },
        },
        "timestamp": answer.time.isoformat(),
    }  # fmt: skip


def from_json(text: str, name: str) -> list[Event]:
    """The events that a phone's page hands over; `name` is the file's in errors.

    Raises InputError where it holds anything else.
    """
    try:
        found = msgspec.json.decode(text, type=list[Event])
        named = all(person_name(event.person) == event.person for event in found)
    except (msgspec.MsgspecError, RecursionError, ValueError) as error:
        raise RefusedError("quiz.no_answers", name=name, error=str(error)[:80]) from None
    if not named:
        raise RefusedError("quiz.no_name_kept", name=name)
    return found
