"""What the identifier says comes from its texts, and another language can take their place."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from coaxtell.identifier import looks, words
from coaxtell.models import toml
from coaxtell.models.catalogue import MODELS, Reason

ROOM = Path(looks.__file__).parent


def test_every_text_is_said_somewhere() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in ROOM.glob("*.py"))
    own = {
        name
        for name in words.TEXTS.texts().keys() - MODELS.texts().keys()
        if name.split(".")[0] not in ("thing", "value")
    }
    assert len(own) > 50
    written = toml.loads((ROOM / "texts/en.toml").read_text(encoding="utf-8"))
    assert own == {f"{subject}.{short}" for subject, texts in written.items() for short in texts}
    for name in own:
        subject, _, short = name.partition(".")
        assert f'"{name}"' in code or (subject == "report" and f'"{short}"' in code), name


def test_another_language_is_laid_over_the_looks() -> None:
    table = {"seen": {"centre": {"ask": "What?", "seconds": 5, "values": {"pin": "a pin", "flat": "flat"}}}}
    found = looks.laid_over(table, {"seen": {"centre": {"ask": "Was?", "values": {"pin": "ein Stift"}}}})
    assert found["seen"]["centre"] == {"ask": "Was?", "seconds": 5, "values": {"pin": "ein Stift", "flat": "flat"}}
    assert table["seen"]["centre"]["ask"] == "What?"


def test_a_language_without_texts_says_it_in_english() -> None:
    assert looks.load("xx").table == looks.load().table
    assert words.say(Reason("guide.none"), "xx") == words.say(Reason("guide.none")) == "there is none"


@pytest.mark.parametrize("path", sorted(ROOM.glob("*.py")), ids=lambda path: path.name)
def test_engines_make_no_sentences(path: Path) -> None:
    """Only the words module, the report and the sentences of refusals hold text for people."""
    if path.name in ("words.py", "report.py"):
        return
    tree = ast.parse(path.read_text(encoding="utf-8"))
    aside = [node for node in ast.walk(tree) if isinstance(node, ast.Raise | ast.Expr | ast.Assert)]
    apart = {id(part) for node in aside for part in ast.walk(node)}
    said = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in apart
    ]
    assert [text for text in said if re.match(r"[A-Z][a-z]+ ", text)] == []
