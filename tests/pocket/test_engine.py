"""The page's engine against Python's: the same belief, next look and contradiction in every state, and wrong engines
found out. `python -m benchmarks.study pocket` plays 2,000 traces."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from coaxtell.pocket import belief
from coaxtell.pocket.build import PAGE
from tests.halves import all_halves
from tests.pocket.node import node
from tests.pocket.traces import traces

pytestmark = pytest.mark.needs("node")
CLOSE = 1e-12


@pytest.fixture(scope="module")
def played() -> tuple[dict[str, Any], list[dict[str, Any]]]:
    states, thought = traces(60, 16)
    return {"tables": belief.tables(list(all_halves().values())), "states": states}, thought


def differences(found: list[dict[str, Any]], thought: list[dict[str, Any]]) -> list[int]:
    """The states of which the two engines do not think the same."""
    return [
        i
        for i, (page, python) in enumerate(zip(found, thought, strict=True))
        if page["next"] != python["next"]
        or page["clash"] != python["clash"]
        or page["misfits"] != python["misfits"]
        or np.abs(np.array(page["belief"]) - python["belief"]).max() > CLOSE
        or np.abs(np.array(page["orders"]) - python["orders"]).max() > CLOSE
    ]


def test_the_page_thinks_as_python_does(played: tuple[dict[str, Any], list[dict[str, Any]]]) -> None:
    given, thought = played
    assert len(thought) > 120
    assert sum(one["clash"] is not None for one in thought) > 5
    assert sum(one["next"] is None for one in thought) > 5
    assert differences(node("traces.js", given), thought) == []


WRONG = {
    "one level of care for all": ("(feature, level, answer.none", "(feature, 0, answer.none"),
    "the prior left out": ("+ Math.log(prior[i % this.count])", ""),
    "care left out": ("Math.log(this.tables.care[Math.floor(i / this.count)])", "0"),
    "what an answer implies left out": ("if (implied.has(feature.name)) {", "if (false) {"),
    "the spread of the hand left out": ("Math.hypot(off / Math.sqrt(3), hand)", "off / Math.sqrt(3)"),
    "the instrument's range taken as a spread": ("off / Math.sqrt(3)", "off"),
    "a reading that is altogether wrong left out": ("m.gross * anywhere)", "0)"),
    "an overlooked part left out": ("if (answer.none) p = there ? m.overlooked", "if (answer.none) p = there ? 0.5"),
    "no look ahead": ("if (bits <= few)", "if (false)"),
    "one look tried ahead": (".slice(0, tried)", ".slice(0, 1)"),
    "the quickest near the end": ("nearlyBest * Math.max(...value)", "-Infinity"),
    "sure of everything": ("sure += most;", "sure += all;"),
    "going on for nothing": ("if (!value.some((v) => v > 0)) return null;", ""),
    "seconds left out": ("gain / seconds[k])", "gain)"),
    "asked again": ("!answers[f.name] && ", ""),
    "wrong places left out": ("if (!others.length) return even;", "return even;"),
    "touch free of the centre": ("if (!before || before.saw === undefined) return found;", "return found;"),
    "everything allowed": (" && may(f)", ""),
    "a look that pays lives on the next": ("Math.max(rate[look], (first", "Math.max(0, (first"),
    "nothing is a misfit": ("< this.tables.unlikely", "< 0"),
    "no centre wanted": ("if (look !== null) return open[look];", "return look === null ? null : open[look];"),
    "no room minded": ("this.hasRoom(answers, f)", "true"),
    "a reading reaches half as far": ("this.tables.readingReach *", "0.5 * this.tables.readingReach *"),
    "any clash for the smallest": (
        "clashes.find((c) => c.includes(misread)) || clashes[0]", "clashes[clashes.length - 1]",
    ),
    "the others not asked": ("const among = mending.length ? mending : said;", "const among = said;"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_engine_is_found_out(
    name: str, played: tuple[dict[str, Any], list[dict[str, Any]]], tmp_path: Path
) -> None:
    given, thought = played
    before, after = WRONG[name]
    for file in ("engine.js", "read.js"):
        shutil.copy(str(PAGE / file), tmp_path / file)
    code = (tmp_path / "engine.js").read_text(encoding="utf-8")
    assert before in code, "the engine has changed; mend this list"
    (tmp_path / "engine.js").write_text(code.replace(before, after), encoding="utf-8")
    found = node("traces.js", given, tmp_path)
    assert differences(found, thought), "nothing tells this engine from the right one"
