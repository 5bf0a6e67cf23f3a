"""Engines give codes with numbers; the texts of `texts/en.toml` say them, and nothing else makes a sentence."""

import ast
import typing
from collections.abc import Iterable, Iterator
from importlib import resources
from itertools import combinations_with_replacement
from string import Formatter

import msgspec
import pytest

from coaxtell.models import tables
from coaxtell.models.catalogue import MODELS, Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.measure import Measure
from coaxtell.models.words import label, said
from tests.halves import all_halves, mating

ROOM = resources.files("coaxtell.models") / "mating"
SUBJECTS = ("coupling", "contact", "stop", "seat", "loss", "doubt", "rule", "caution", "planes", "hand")
"""Subjects of the catalogue that the mating room alone gives reasons in."""
BUILDERS = {"Reason": "", "_why": "coupling.", "_no": "coupling.", "stopped": ""}
"""Calls that build a reason from a literal code, with what they put before it."""
COMPUTED = {
    "hand.right",
    "hand.left",
    "doubt.join",
    "doubt.probably",
    *(f"caution.{code}" for code in ("live", "force", "open", "site")),
}
"""Codes that no literal spells out."""


def sources() -> Iterator[tuple[str, ast.Module]]:
    for file in sorted(ROOM.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".py"):
            yield file.name, ast.parse(file.read_text(encoding="utf-8"))


def sentences(tree: ast.AST) -> list[str]:
    """String literals that read like words for a person; docstrings and other bare strings are none."""
    bare = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    found = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in bare
    ]
    return [text for text in found if (text.rstrip().endswith(".") and " " in text) or len(text.split()) > 3]


def test_the_engine_holds_no_sentence() -> None:
    assert [(name, text) for name, tree in sources() for text in sentences(tree)] == []


@pytest.mark.parametrize(
    "slip",
    ['x = "It goes no further."', 'f"the {a} meets the {b} of the other half"', 'say(f"It snaps {there} home.")'],
)
def test_a_sentence_in_the_engine_would_be_seen(slip: str) -> None:
    assert sentences(ast.parse(slip))


def built() -> Iterator[tuple[str, set[str] | None]]:
    """Every code a literal spells out, with its values' names where they stand beside it."""
    for _, tree in sources():
        for node in ast.walk(tree):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in BUILDERS):
                continue
            names: set[str] | None = {word.arg for word in node.keywords if word.arg is not None}
            if node.func.id == "Reason" and len(node.args) > 1:
                values = node.args[1]
                names = None
                if isinstance(values, ast.Dict) and all(isinstance(key, ast.Constant) for key in values.keys):
                    names = {str(key.value) for key in values.keys if isinstance(key, ast.Constant)}
            if node.func.id == "stopped":
                names = {"meeting", "away"}
            for code in ast.walk(node.args[0]):
                if isinstance(code, ast.Constant) and isinstance(code.value, str):
                    yield BUILDERS[node.func.id] + code.value, names


def fields(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_every_code_has_its_text_and_every_text_its_numbers() -> None:
    texts = MODELS.texts()
    found = [(code, names) for code, names in built() if "." in code and not code.endswith(".")]
    assert len(found) > 60
    for code, names in found:
        assert code in texts, code
        assert names is None or fields(texts[code]) <= names, code
    spelt = {node.value for _, tree in sources() for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    kept = {code for code in texts if code.split(".")[0] in SUBJECTS}
    dead = kept - {code for code, _ in found} - spelt - COMPUTED
    assert {code for code in dead if code.removeprefix("coupling.") not in spelt} == set()


def reasons(of: Iterable[Reason]) -> Iterator[Reason]:
    for reason in of:
        yield reason
        for value in reason.values.values():
            yield from reasons(value if isinstance(value, list) else [value] if isinstance(value, Reason) else [])


def test_all_that_the_shipped_halves_come_to_can_be_said() -> None:
    """What variables carry to a text is seen only by saying it: every pair, every reason within a reason."""
    seen: set[str] = set()
    for a, b in combinations_with_replacement(list(all_halves().values()), 2):
        found = mate(a, b, doubt=False)
        told = [*found.reasons, *found.cautions, *(rule.why for rule in found.rules)]
        assert all(sentence.endswith(".") for sentence in said(told))
        seen |= {reason.code for reason in reasons(told)}
    assert len(seen) > 60


def test_the_three_rules_stand_beside_the_verdict() -> None:
    """The trade's rules for a beginner: same family, same polarity, opposite gender (common practice)."""

    def kept(a: str, b: str) -> list[bool | None]:
        return [rule.kept for rule in mating(a, b).rules]

    assert kept("sma-plug", "sma-jack") == [True, True, True]
    assert kept("sma-plug", "rp-sma-jack") == [True, False, True]
    assert kept("n-50-plug", "uhf-jack") == [False, True, True]
    assert kept("sma-plug", "sma-plug") == [True, True, False]
    assert kept("7-mm", "7-mm") == [True, True, True]
    # two families that are made to fit: geometry decides, and the rule says so
    assert kept("sma-plug", "2.92-jack") == [None, True, True]
    assert mating("sma-plug", "2.92-jack").verdict is Verdict.LIMITS


def test_every_number_of_a_half_has_a_name(half_fields: set[str]) -> None:
    assert {f"number.{name}" for name in half_fields} <= set(MODELS.texts())
    plug = all_halves()["sma-plug"]
    assert label(plug, ("centre", "pin", "tip")) == "centre pin tip (z)"


@pytest.fixture
def half_fields() -> set[str]:
    """Names of all fields that lead to a measure, from the types, so that a table of one's own is covered too."""
    found: set[str] = set()

    def leads(kind: object) -> bool:
        if kind is Reason:
            return False
        if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
            if kind is Measure:
                return True
            inside = [field.name for field in msgspec.structs.fields(kind) if leads(field.type)]
            found.update(inside)
            return bool(inside)
        parts = [leads(part) for part in typing.get_args(kind)]
        return any(parts)

    assert leads(Half)
    return found


def test_tables_name_the_same_number_once() -> None:
    assert label(tables.load().half("bnc-50-jack"), ("lugs", "centre")) == "lugs centre (z)"
