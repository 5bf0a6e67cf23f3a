"""Every text of the cables' room is asked for somewhere, and every code that an engine names has its text."""

import re
from pathlib import Path

from coaxtell.cables.words import CABLES
from coaxtell.models import toml

ROOM = Path(__file__).parent.parent.parent / "cables"
TEXTS = {
    f"{subject}.{code}"
    for subject, texts in toml.loads((ROOM / "texts" / "en.toml").read_text(encoding="utf-8")).items()
    for code in texts
}
SOURCE = "\n".join(path.read_text(encoding="utf-8") for path in sorted(ROOM.glob("*.py"))) + (
    ROOM.parent / "coaxtell" / "cli" / "cable.py"
).read_text(encoding="utf-8")
BY_NAME = ("legal.", "check.", "setting.e", "count.", "site.", "caution.", "delivery.")
"""Codes that are put together from a name: the engine's own values stand behind the dot."""


def test_every_text_is_asked_for() -> None:
    named = {code for code in TEXTS if f'"{code}"' in SOURCE}
    together = {code for code in TEXTS - named if code.startswith(BY_NAME) and f'"{code.split(".")[1]}' in SOURCE}
    counted = {code for code in TEXTS if code.startswith("count.")}
    assert TEXTS - named - together - counted - {f"legal.{x}" for x in ("yes", "by-grant", "no")} - {
        "setting.eirp", "setting.erp"} == set()  # fmt: skip


def test_every_code_has_its_text() -> None:
    subjects = "|".join(sorted({code.split(".")[0] for code in TEXTS}))
    asked = set(re.findall(rf'"((?:{subjects})\.[a-z_-]+)"', SOURCE))
    assert len(asked) > 60
    assert asked <= CABLES.texts().keys()
