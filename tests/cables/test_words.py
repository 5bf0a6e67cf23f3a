"""Every text of the cables' room is asked for somewhere, and every code that an engine names has its text."""

import re
from pathlib import Path

from coaxtell.cables.target import Aim
from coaxtell.cables.words import CABLES
from coaxtell.models import toml
from coaxtell.models.catalogue import MODELS
from coaxtell.models.mating.outcome import Verdict

ROOM = Path(__file__).parent.parent.parent / "cables"
TEXTS = {
    f"{subject}.{code}"
    for subject, texts in toml.loads((ROOM / "texts" / "en.toml").read_text(encoding="utf-8")).items()
    for code in texts
}
SOURCE = "\n".join(path.read_text(encoding="utf-8") for path in sorted(ROOM.rglob("*.py"))) + "".join(
    path.read_text(encoding="utf-8") for path in (ROOM.parent / "coaxtell" / "cli").glob("*.py")
)
BY_NAME = (
    "legal.",
    "check.",
    "setting.e",
    "count.",
    "site.",
    "field.",
    "onto.",
    "doubt.",
    "arrival.",
    "order.",
    "note.",
    "caution.",
    "part.",
    "delivery.",
    "aim.",
    "miss.",
    "screen.thinnest",
)
"""Codes that are put together from a name: the engine's own values stand behind the dot."""


def test_every_text_is_asked_for() -> None:
    named = {code for code in TEXTS if f'"{code}"' in SOURCE}
    values = {
        "yes",
        "by-grant",
        "no",
        "eirp",
        "erp",
        *Aim,
        *(verdict.name.lower() for verdict in Verdict),
        "thinnest",
        "thinnest_own_ends",
        "adapter",
        "jumpers",
        "jumper",
        "adapters",
    }
    for code in TEXTS - named:
        assert code.startswith(BY_NAME), code
        last = code.split(".")[1]
        assert last in values or re.search(rf"[^a-z]{last}[^a-z]", SOURCE), code


def test_every_code_has_its_text() -> None:
    subjects = "|".join(sorted({code.split(".")[0] for code in TEXTS}))
    asked = set(re.findall(rf'"((?:{subjects})\.[a-z_-]+)"', SOURCE)) - {"arrival.toml"}
    assert len(asked) > 60
    assert asked <= CABLES.texts().keys()


def test_no_code_hides_one_of_the_rooms_below() -> None:
    # a text of the same code and other fields would break every sentence of the models that quotes it
    assert TEXTS & MODELS.texts().keys() == set()
