"""Engines make no English: what they say and what they refuse has its text in a catalogue of the room."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from string import Formatter

import pytest

from coaxtell.cables.words import CABLES
from coaxtell.identifier.words import TEXTS
from coaxtell.models import toml
from coaxtell.models.catalogue import MODELS, Catalogue
from coaxtell.models.errors import RefusedError, refusals
from coaxtell.quiz.words import QUIZ
from tests.rooms import ROOT, sources

ENGINES = {module: text for module, text in sources().items() if not module.startswith("coaxtell")}
ROOMS = ("models", "identifier", "cables", "quiz", "photo")
CATALOGUES: dict[str, Catalogue] = {"models": MODELS, "identifier": TEXTS, "cables": CABLES, "quiz": QUIZ}


def called(names: set[str]) -> Iterator[tuple[str, str, set[str] | None]]:
    """Every code that a call of one of these spells out: the room, the code, and its values' names where they stand."""
    for module, text in ENGINES.items():
        for node in ast.walk(ast.parse(text)):
            if not (isinstance(node, ast.Call) and ast.unparse(node.func) in names and node.args):
                continue
            given: set[str] | None = {word.arg for word in node.keywords if word.arg}
            if any(word.arg is None for word in node.keywords):
                given = None
            if len(node.args) > 1:
                whole = isinstance(node.args[1], ast.Dict) and all(
                    isinstance(k, ast.Constant) for k in node.args[1].keys
                )
                given = {str(k.value) for k in node.args[1].keys} if whole else None  # type: ignore[attr-defined]
            codes = [node.args[0]]
            if isinstance(codes[0], ast.IfExp):
                codes = [codes[0].body, codes[0].orelse]
            for code in codes:
                if isinstance(code, ast.Constant) and isinstance(code.value, str):
                    yield module.split(".")[0], code.value, given


def fields(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def refused(room: str) -> dict[str, str]:
    path = ROOT / room / "texts" / "refused.en.toml"
    return dict(toml.loads(path.read_text(encoding="utf-8"))["refused"])


def test_every_reason_has_its_text_and_gives_what_that_quotes() -> None:
    found = 0
    for room, code, given in called({"Reason", "tell", "because"}):
        texts = refusals(room).texts() if code.startswith("refused.") else CATALOGUES[room].texts()
        assert code in texts, code
        assert given is None or fields(texts[code]) <= given, code
        found += 1
    assert found > 350


def test_every_refusal_has_its_text_and_gives_what_that_quotes() -> None:
    found = 0
    for room, code, given in called({"RefusedError"}):
        named, _, what = code.partition(".")
        assert named == room, code
        assert given is not None
        assert fields(refused(room)[what]) <= given, code
        found += 1
    assert found > 180


def test_every_text_of_a_refusal_is_asked_for() -> None:
    whole = "".join(ENGINES.values())
    for room in ROOMS:
        for code in refused(room):
            asked = (f'"{room}.{code}"', f'"refused.{code}"', f'"{code.removeprefix("like_")}"')
            assert any(name in whole for name in asked), f"{room}: {code}"


MEMBERS = {"verdict": "models.mating.outcome", "grade": "models.measure", "skill": "quiz.skills"}
"""Enumerations that are said by the text of each member; their values stand in files and in JSON alone."""


@pytest.mark.parametrize("name", MEMBERS)
def test_every_member_that_is_said_has_its_words(name: str) -> None:
    for node in ast.walk(ast.parse(ENGINES[MEMBERS[name]])):
        if isinstance(node, ast.ClassDef) and node.name.lower() == name:
            members = {n.targets[0].id.lower() for n in node.body if isinstance(n, ast.Assign)}  # type: ignore[attr-defined]
            texts = CATALOGUES[MEMBERS[name].split(".")[0]].texts()
            assert {code for code in texts if code.startswith(f"{name}.")} == {f"{name}.{one}" for one in members}


def test_a_refusal_is_said_in_the_language_of_a_catalogue() -> None:
    no_unit = RefusedError("cables.no_unit", what="length", text="'12'", example="12m")
    assert str(no_unit) == "length '12' has no unit; write it like 12m."
    assert no_unit.said("xx") == str(no_unit)
    assert no_unit.reason.values["what"] == "length"


KEPT = {
    "models.bounds": {"per inch"},
}
"""Literals of more than one word that engines keep: no words for a person, each with its reason."""
ENUMERATED = re.compile(r"[A-Za-z]{2,}[,;:.']* +[A-Za-z{]|\} [A-Za-z]{2,}")


def literals(text: str) -> set[str]:
    """String literals that hold more than one word: docstrings, annotations and members of enumerations apart."""
    tree = ast.parse(text)
    aside: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            aside.add(id(node.value))
        if isinstance(node, ast.ClassDef) and any("Enum" in ast.unparse(base) for base in node.bases):
            aside |= {id(one.value) for one in node.body if isinstance(one, ast.Assign)}
    found: set[str] = set()
    for node in ast.walk(tree):
        if id(node) in aside:
            continue
        if isinstance(node, ast.JoinedStr):
            text = "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
            aside |= {id(v) for v in node.values}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        if ENUMERATED.search(text):
            found.add(text)
    return found
