"""Nothing is ordered for a port that is not settled, or that is to be looked at again."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.pocket.browser import Phone
from tests.pocket.visits import fresh

CODE = (Path(__file__).parent / "ordered.js").read_text(encoding="utf-8")


@pytest.mark.needs("chromium")
def test_nothing_is_ordered_for_a_port_that_is_not_settled_or_to_be_looked_at_again(phone: Phone, file: str) -> None:
    """Whatever it was that keeps it open, at either end, from the screen or from the site; nor do message and lists say
    what it takes. One that is settled has its order words."""
    fresh(phone, file)
    found = phone.run(f"(() => {{ {CODE} return orderedFor(32); }})()")
    held = [one for one in found if one["held"]]
    assert [one for one in held if any(one["cables"]) or one["takes"] or one["message"]] == []
    assert {one["state"].removeprefix("pocket.") for one in held} >= {
        "unsettled", "centre_untold", "clashing", "misfits", "high_voltage",
    }  # fmt: skip
    assert len(held) > 15
    assert [all(one["cables"]) and one["takes"] and one["message"] for one in found][-1]
