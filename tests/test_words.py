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


def test_a_code_has_one_text() -> None:
    """The rooms' catalogues apart from what they share: the same code says the same in each, or stands in one alone."""
    shared = MODELS.texts()
    texts: dict[str, set[str]] = {}
    for catalogue in CATALOGUES.values():
        for code, text in catalogue.texts().items():
            if shared.get(code) != text:
                texts.setdefault(code, set()).add(text)
    assert {code for code, said in texts.items() if len(said) > 1 or code in shared} == set()


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


SLIPS = {
    "models.profile": {"a half with a thread has a threaded step"},
    "models.solids.solid": {"lugs stand on the shell"},
    "models.solids.studio": {"the window stayed empty"},
    "identifier.contradiction": {"answers that clash have a smallest clash"},
    "identifier.features": {"{} has no fixed values"},
    "identifier.guide": {"a guide needs at least two halves", "question {} has no answer for {}"},
    "cables.classes": {"class {} has no loss with a source"},
    "cables.order": {"class {} has no end for this run"},
    "quiz.assessment": {"the verdict stands; nothing is asked"},
    "quiz.item": {"{}: options are too few or alike", "{}: the right option is not offered"},
    "quiz.poses": {"no pose tells {} apart"},
    "quiz.rates": {"counts of answers are not below zero"},
    "quiz.score": {"an item has two options or more", "how sure is a chance from 0 to 1, not {}"},
    "quiz.sequential": {"error rates lie between 0 and one half", "the rates {} and {} are not two rising chances"},
    "quiz.sitting": {"nothing was begun"},
}
"""What is raised at a slip of ours in the program: no input of a user's comes to it, and no face prints it."""
KEPT = {
    "units and how people write them": {
        "models.bounds": {"per inch"},
        "models.drawings.gauge_place": {"{} mm"},
        "models.family": {" {} ohm"},
        "models.mating.trust": {" {} ohm"},
        "models.quantity": {
            "cm centimetre centimetres centimeter centimeters", "ft foot feet '", 'in inch inches "', "mil mils thou",
            "km kilometre kilometres kilometer kilometers", "m metre metres meter meters", "per in", "per inch",
            "mm millimetre millimetres millimeter millimeters", "threads per 10 mm", "threads per 10mm",
            "threads per inch",
        },
        "models.solids.bench": {"{} mm"},
        "quiz.wording": {" {} ohm"},
        "cables.classes": {"of light", "{} MHz"},
        "cables.units": {"mm, cm, m, in, ft"},
    },
    "names by which records, pictures and numbers are kept; what is shown of them has a text": {
        "models.mating.kept": {"{} with {}"},
        "models.mating.trust": {"bead at", "groove at"},
        "identifier.answers": {"by photograph", "not sure", "not there"},
        "identifier.guide": {"none there"},
        "identifier.likelihood": {"{} to {}"},
        "cables.ports": {"# Port list of a site, written by coaxtell plan. It is written anew with each plan."},
        "quiz.exchange": {"how sure"},
        "quiz.items.cable": {"{} own"},
        "quiz.items.mates": {"look first", "mates or does not join", "mates with limits", "stays open"},
        "quiz.items.name": {"name by the centre", "name by the coupling", "name by the family"},
        "quiz.lead": {"join {}|{}", "tell {}"},
        "quiz.poses": {"dark bench"},
        "quiz.qti": {"{} harmful"},
        "quiz.readiness": {"skill {}", "sort {}/{}"},
        "quiz.terms": {"one harmful fact half known, 0.50", "one harmful fact half known, 0.50, over a year"},
    },
    "colours as the RAL register calls them in English, keys of the tables": {
        "models.plastics": {"carmine red", "cream white", "pastel green", "pastel orange", "water blue"},
    },
    "what the reader of TOML says, and marks by which its words are known, beside those of tomli itself": {
        "models.toml": {"A number has too many digits", "Values are nested too deep"},
        "cables.site_blocks": {
            " ?\\(at end of document\\)", " ?\\(at line (\\d+), column \\d+\\)", "Illegal character '\\n'",
        },
    },
    "what SQLite says of a damaged file": {
        "quiz.rescue": {"no such table", "not a database"}, "quiz.store": {"not a database", "Could not decode"},
    },
}  # fmt: skip
"""Other literals of more than one word that engines keep, by the reason why."""
SEVERAL = re.compile(r"[A-Za-z]{2,}[,;:.']* +[A-Za-z{]|\} [A-Za-z]{2,}")
OF_A_LANGUAGE = re.compile(
    r"^ ?(SELECT|INSERT|CREATE|DELETE|WHERE|PRAGMA|BEGIN|VACUUM|person IN)\b|^<\??[a-z]+ |^DejaVu "
)
"""Statements of SQL and elements of SVG."""


def literals(text: str) -> set[str]:
    """String literals that hold more than one word: docstrings and members of enumerations apart, and SQL and SVG."""
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
            found.add("".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values))
            aside |= {id(v) for v in node.values}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.add(node.value)
    return {one for one in found if SEVERAL.search(one) and not OF_A_LANGUAGE.search(one)}


def inflected(text: str) -> set[str]:
    """Words that a string of several chooses between by a number or a state: the one and the many of a language."""
    found: set[str] = set()
    for whole in ast.walk(ast.parse(text)):
        if not isinstance(whole, ast.JoinedStr):
            continue
        if not any(isinstance(part, ast.Constant) and " " in str(part.value) for part in whole.values):
            continue
        for part in whole.values:
            if isinstance(part, ast.FormattedValue) and isinstance(part.value, ast.IfExp):
                ends = (part.value.body, part.value.orelse)
                found |= {str(one.value) for one in ends if isinstance(one, ast.Constant) and str(one.value).isalpha()}
    return found


def test_no_engine_makes_the_many_of_a_word() -> None:
    assert {module: inflected(text) for module, text in ENGINES.items() if inflected(text)} == {}
    assert inflected("f\"{n} {'answer' if n == 1 else 'answers'}\"") == {"answer", "answers"}
    assert inflected("f\"{n} answer{'' if n == 1 else 's'}\"") == {"s"}


def test_engines_hold_no_english_but_what_is_named_here() -> None:
    allowed: dict[str, set[str]] = {module: set(texts) for module, texts in SLIPS.items()}
    for modules in KEPT.values():
        for module, texts in modules.items():
            allowed.setdefault(module, set()).update(texts)
    found = {module: literals(text) for module, text in ENGINES.items() if not module.startswith("photo.training")}
    assert {module: texts for module, texts in found.items() if texts} == allowed


@pytest.mark.parametrize(
    "slip",
    [
        'raise InputError("There is no such half.")',
        'raise ValueError(f"{name} is no half")',
        'notes.append(f"{half.id}: its wall is thin")',
        'NAMES = {"usual": "usual frequency"}',
        'x = "most of it" if y else ""',
    ],
)
def test_english_put_into_an_engine_is_seen(slip: str) -> None:
    assert literals(slip)
    assert literals(f'"""Docstring of a module."""\n\nclass A(StrEnum):\n    B = "not known"\n{slip}') == literals(slip)
