"""Engines make no English: what they refuse and what they say has its text in a catalogue of the room."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from string import Formatter

from coaxtell.models import toml
from coaxtell.models.errors import RefusedError, refusals
from tests.rooms import ROOT, sources

ENGINES = {module: text for module, text in sources().items() if not module.startswith("coaxtell")}
ROOMS = ("models", "identifier", "cables", "quiz", "photo")


def called(name: str) -> Iterator[tuple[str, ast.Call]]:
    """Every call of a name in the engines, with the room that it stands in."""
    for module, text in ENGINES.items():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == name:
                yield module.split(".")[0], node


def fields(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def own(room: str) -> dict[str, str]:
    path = ROOT / room / "texts" / "refused.en.toml"
    return dict(toml.loads(path.read_text(encoding="utf-8"))["refused"])


def test_every_refusal_has_its_text_and_gives_what_that_quotes() -> None:
    texts = {room: own(room) for room in ROOMS}
    found = 0
    for room, call in called("RefusedError"):
        first = call.args[0]
        if not isinstance(first, ast.Constant):
            continue
        named, _, code = str(first.value).partition(".")
        assert named == room, first.value
        assert fields(texts[room][code]) == {keyword.arg for keyword in call.keywords}, first.value
        found += 1
    assert found > 180


def test_every_text_of_a_refusal_is_asked_for() -> None:
    for room in ROOMS:
        code = "".join(text for module, text in ENGINES.items() if module.split(".")[0] == room)
        asked = {text for text in own(room) if f'"{room}.{text}"' in code or f'"refused.{text}"' in code}
        rest = {text for text in set(own(room)) - asked if not re.search(rf'"{text.removeprefix("like_")}"', code)}
        if room == "models":
            rest -= {text for text in rest if text.startswith("like_") and _liked(text)}
        assert rest == set(), room


def _liked(text: str) -> bool:
    return any(f'"{text.removeprefix("like_")}"' in source for source in ENGINES.values())


def test_a_refusal_is_said_in_the_language_of_a_catalogue() -> None:
    refused = RefusedError("cables.no_unit", what="length", text="'12'", example="12m")
    assert str(refused) == "length '12' has no unit; write it like 12m."
    assert refused.said("xx") == str(refused)
    assert refused.reason.values["what"] == "length"
    assert refusals("cables").texts()["refused.no_unit"].startswith("{what} {text}")
