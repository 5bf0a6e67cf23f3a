"""One of each is added to a scratch copy by the recipes of DEVELOPERS.md alone: a family, a look, a cable class, an
item kind. Each edit stands in a file that its recipe names, and what the recipe promises then comes true."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LEFT_BEHIND = shutil.ignore_patterns(".*", "*.egg-info", "build", "dist", "families", "node_modules")
"""What a copy does without. What was compiled of files that stay as they are goes along."""

FAMILY = """
# A family of our own invention: as smc with a metric thread.
based_on = "smc"
key = "xmc"
family = "XMC"
shares = [{ key = "smc", why = "the same connector with another thread", source = ["assumption"] }]
reverse_key = ""

[thread]
size = "M5x0.5"
major = { mm = 5, grade = "high", source = ["ISO-965"] }
pitch = { mm = 0.5, grade = "high", source = ["ISO-965"] }
hand = "right"
outside = "6g"
inside = "6H"

[plug]
trade_names = ["XMC plug"]

[jack]
trade_names = ["XMC jack"]
"""

LOOK = """
[seen.slots]
ask = "Is the edge of the body whole, or slotted so that it springs?"
how = "Look at the edge against the light."
seconds = { value = 4, unit = "s", min = 2, max = 9, grade = "assumed", source = ["assumption"] }
slip = { value = 0.02, unit = "share", min = 0.005, max = 0.06, grade = "assumed", source = ["assumption"] }
[seen.slots.values]
slotted = "slots cut into the edge"
whole = "an edge without slots"
"""
LOOK_IN = {
    "de": """
[seen.slots]
ask = "Ist der Rand des Körpers glatt, oder geschlitzt, damit er federt?"
how = "Den Rand gegen das Licht ansehen."
[seen.slots.values]
slotted = "Schlitze im Rand"
whole = "ein Rand ohne Schlitze"
""",
    "es": """
[seen.slots]
ask = "¿El borde del cuerpo es liso, o está ranurado para que ceda?"
how = "Mire el borde a contraluz."
[seen.slots.values]
slotted = "ranuras en el borde"
whole = "un borde sin ranuras"
""",
}
"""The look in every other language: its row of words."""
SIGHT = """    Feature.MARKED: Sight(MARKS, _one(marked)),
    Feature.SLOTS: Sight(("slotted", "whole"), _one(lambda half: "slotted" if half.shell.slots else "whole")),
"""

CLASS = """
[[class]]
name = "777"
ends = ["SMA", "TNC", "N"]
jackets = ["pe"]
impedance = { value = 50, unit = "ohm", grade = "medium", source = ["class-sheets"] }
diameter = { mm = 7.7, grade = "medium", source = ["class-sheets"] }
bend_once = { mm = 20, min = 15, max = 30, grade = "memory", source = ["memory"] }
bend_repeated = { mm = 77, min = 60, max = 90, grade = "memory", source = ["memory"] }
rows = [
    { mhz = 450, loss = { value = 3.0, unit = "dB/100 ft", grade = "high", source = ["printed-rows"] } },
    { mhz = 1000, loss = { value = 4.6, unit = "dB/100 ft", grade = "high", source = ["printed-rows"] } },
]
"""

ITEM = '''
"""*Plug or jack*: one port, and what its body makes it."""

from collections.abc import Mapping
from random import Random

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import skills
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Task
from coaxtell.quiz.kind import Kind, first
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "gender"
GENDERS = ("plug", "jack")


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Every half that is the one or the other, alike."""
    found = [half.id for half in stock.halves.values() if half.gender in GENDERS and (not ports or half.id in ports)]
    return {Task(NAME, half_id, half_id): 1 / len(found) for half_id in found}


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a task."""
    half = stock.half(task.a)
    return Item(
        task=task,
        question=Reason("gender_item.question", {"family": half.family}),
        options=tuple(Option(gender, Reason(f"gender_item.{gender}")) for gender in GENDERS),
        right=half.gender,
        skills=(Skill.GENDER,),
        explanation=Explanation(reasons=(Reason(f"gender_item.{half.gender}"),), look=Reason("gender_item.look")),
        picture=Picture((half.id,)),
    )


def sort(stock: Stock, task: Task) -> str:
    """Alike by family."""
    return skills.line(stock.half(task.a))


KIND = Kind(NAME, 9, shares, make, lambda stock, task: (Skill.GENDER,), lambda stock, task: False, sort, ports=first)
'''.lstrip()
ITEM_WORDS = """
[gender_item]
question = "Is this half of {family} a plug or a jack?"
plug = "a plug"
jack = "a jack"
look = "The coupling and the body."
"""

ITEM_WORDS_IN = {
    "de": """
[gender_item]
question = "Ist diese Hälfte von {family} ein Stecker oder eine Buchse?"
plug = "ein Stecker"
jack = "eine Buchse"
look = "Die Verschraubung und der Körper."
""",
    "es": """
[gender_item]
question = "¿Esta mitad de {family} es macho o hembra?"
plug = "un macho"
jack = "una hembra"
look = "El acoplamiento y el cuerpo."
""",
}

Edit = tuple[str, str, str]
"""A file, a text in it, and what stands there afterwards; for an empty text that goes to the end of the file, new or
not."""

RECIPES: dict[str, list[Edit]] = {
    "family": [
        ("models/tables/xmc.toml", "", FAMILY),
        (
            "models/statements.toml",
            "fits = [\n",
            'fits = [\n  { a = "xmc", b = "xmc", ground = "made so", source = ["assumption"] },\n',
        ),
        ("models/bodies/small.toml", 'families = ["SMB", ', 'families = ["XMC", "SMB", '),
        ("README.md", "FAKRA.\n", "FAKRA, XMC.\n"),
        ("tests/models/test_tables.py", "LEFT_OUT = {\n", 'LEFT_OUT = {\n    "xmc": "as SMC",\n'),
        (
            "cables/tables/practice.toml",
            "[thickest]\n",
            '[thickest]\nXMC = { mm = 3, min = 2, max = 4, grade = "assumed", source = ["assumed"] }\n',
        ),
    ],
    "look": [
        ("identifier/features.py", '    MARKED = "marked-ohm"\n', '    MARKED = "marked-ohm"\n    SLOTS = "slots"\n'),
        ("identifier/features.py", SIGHT.splitlines(keepends=True)[0], SIGHT),
        ("identifier/looks.toml", "\n[seen.size]\n", f"{LOOK}\n[seen.size]\n"),
        *((f"identifier/texts/looks.{language}.toml", "", text) for language, text in LOOK_IN.items()),
    ],
    "cable class": [
        ("cables/tables/classes.toml", '\n[[class]]\nname = "195"\n', f'{CLASS}\n[[class]]\nname = "195"\n')
    ],
    "item kind": [
        ("quiz/items/gender.py", "", ITEM),
        ("quiz/texts/en.toml", "[kind]\n", '[kind]\ngender = "plug or jack"\n'),
        ("quiz/texts/en.toml", "\n[kind]\n", f"{ITEM_WORDS}\n[kind]\n"),
        *((f"quiz/texts/{language}.toml", "", text) for language, text in ITEM_WORDS_IN.items()),
        (
            "tests/quiz/right.py",
            '    "cable": _cable,\n',
            '    "cable": _cable,\n    "gender": lambda task, options, right: [half(task.a).gender],\n',
        ),
    ],
}
HELD_BY = {
    "family": [
        "tests/test_docs.py::test_the_list_of_families_is_that_of_the_tables",
        "tests/exports/test_body.py::test_every_number_of_a_body_has_a_known_source",
        "tests/models/test_tables.py",
        "tests/test_manual.py::test_families_and_keys_are_those_of_the_program[adding.md]",
    ],
    "look": [
        "tests/identifier/test_features.py",
        "tests/identifier/test_words.py",
        "tests/pocket/test_languages.py::test_questions_answers_cautions_and_the_page_are_whole",
        "tests/pocket/test_languages.py::test_no_question_or_answer_is_left_in_english",
    ],
    "cable class": ["tests/cables/test_classes.py"],
    "item kind": [
        "tests/quiz/test_items.py::test_no_item_has_two_right_options",
        "tests/quiz/test_items.py::test_every_item_says_why_and_what_tells[gender]",
        "tests/quiz/test_items.py::test_same_generator_same_item[gender]",
        "tests/quiz/test_sitting.py::test_every_kind_skill_and_verdict_has_its_words",
        "tests/pocket/test_languages.py::test_what_an_item_says_is_said_in_every_language",
        "tests/test_manual.py::test_the_page_of_commands_is_made_from_the_commands",
    ],
}
"""The rooms' own tests that tell who forgets a place."""


def recipe(kind: str) -> str:
    """The paragraph of DEVELOPERS.md that says how to add one."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(rf"^\*\*Add an? {kind}:?\*\*.*?(?=\n\*\*|\n## |\Z)", text, re.MULTILINE | re.DOTALL)
    assert found is not None, f"DEVELOPERS.md has no recipe for a {kind}"
    return found[0]


@pytest.mark.parametrize("kind", RECIPES)
def test_each_edit_stands_in_a_place_that_the_recipe_names(kind: str) -> None:
    stars = recipe(kind).replace("KEY", "*").replace("NAME", "*").replace("LANGUAGE", "*")
    named = re.findall(r"`([\w./*]+)`", stars)
    named += [f"{name}/*" for name in named] + [f"*/{name}" for name in named]
    for path, _, _ in RECIPES[kind]:
        assert any(Path(path).match(name) for name in named), f"{path} is not in the recipe for a {kind}"


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the checkout with one of each added."""
    folder = tmp_path_factory.mktemp("scratch") / "copy"
    shutil.copytree(ROOT, folder, ignore=LEFT_BEHIND, symlinks=True)
    for edits in RECIPES.values():
        for path, before, after in edits:
            file = folder / path
            text = file.read_text(encoding="utf-8") if file.exists() else ""
            assert text.count(before) == 1 or not before, f"{path} has changed; mend this test"
            file.write_text(text.replace(before, after, 1) if before else text + after, encoding="utf-8")
    ran(folder, "-m", "tests.manual")
    return folder


def ran(copy: Path, *words: str, typed: str = "") -> str:
    """What a Python of the copy prints."""
    done = subprocess.run(
        [sys.executable, *words], cwd=copy, env={**os.environ, "PYTHONPATH": str(copy), "COAXTELL_HOME": str(copy)},
        input=typed, capture_output=True, text=True, encoding="utf-8",
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_tests_that_hold_each_place_pass(copy: Path) -> None:
    ran(copy, "-m", "pytest", "-q", *(test for tests in HELD_BY.values() for test in tests))


def test_a_family_joins_in_everywhere(copy: Path) -> None:
    asked = ["--saw", "coupling=thread-outside", "--measured", "coupling-diameter=5+-0.02"]
    assert "xmc-jack" in ran(copy, "-m", "coaxtell", "list")
    assert "xmc-plug with xmc-jack: mates" in ran(copy, "-m", "coaxtell", "mate", "xmc-plug", "xmc-jack")
    assert "xmc-plug with smc-jack: does not join" in ran(copy, "-m", "coaxtell", "mate", "xmc-plug", "smc-jack")
    assert "xmc-jack" in ran(copy, "-m", "coaxtell", "identify", *asked, "--measured", "threads-per-10mm=20")
    assert "To order" in ran(copy, "-m", "coaxtell", "cable", "xmc-jack", "n-50-jack", "--length", "1m")
    ran(copy, "-m", "coaxtell", "export", "xmc-jack", "--body", "bulkhead", "-o", "jack.stl")
    ran(copy, "-m", "coaxtell", "draw", "xmc-plug", "-o", "plug.svg")


def test_a_look_is_asked_and_answered(copy: Path) -> None:
    assert "slots: slotted, whole" in ran(copy, "-m", "coaxtell", "identify", "--help")

    def sma(slots: str) -> float:
        """What is thought of the SMA plug, whose body has no slots."""
        told = ran(copy, "-m", "coaxtell", "identify", "--saw", f"slots={slots}", "--json")
        found: dict[str, float] = {one["id"]: one["probability"] for one in json.loads(told)["candidates"]}
        return found["sma-plug"]

    assert sma("whole") > 10 * sma("slotted")


def test_a_cable_class_is_ranked_with_its_loss(copy: Path) -> None:
    told = json.loads(
        ran(
            copy, "-m", "coaxtell", "cable", "n-50-jack", "n-50-jack", "--length", "30.48m", "--budget", "9dB", "--json"
        )
    )
    (added,) = (one for one in told["assemblies"] if one["class"] == "777")
    # between its rows on doubly logarithmic paper: 3.0 (915/450)^(ln(4.6/3.0)/ln(1000/450)) by hand
    assert added["loss_db"] == pytest.approx(4.38, abs=0.01)


def test_an_item_kind_is_practised(copy: Path) -> None:
    asked = ["practise", "--kinds", "gender", "--items", "1", "--pictures", "none", "--person", "Ada", "--seed", "1"]
    told = ran(copy, "-m", "coaxtell", *asked, typed="a 100\n")
    assert "plug or jack" in told
    assert re.search(r"Is this half of .* a plug or a jack\?", told)
    assert "1 item," in told
