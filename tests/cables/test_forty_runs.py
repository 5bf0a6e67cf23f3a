"""The forty everyday runs, kept as they were read and found right."""

import re
from pathlib import Path

from tests.cables.forty_runs import table

KEPT = Path(__file__).parent / "forty_runs.txt"


def test_forty_runs_are_chosen_as_kept() -> None:
    assert table() == KEPT.read_text(encoding="utf-8")


def test_no_short_run_orders_a_thick_cable_without_its_own_reason() -> None:
    for line in KEPT.read_text(encoding="utf-8").splitlines():
        found = re.search(r"\s([\d.]+) m .*-> (\S+) .*dBm: (.*)", line)
        assert found is not None, line
        if float(found[1]) < 3 and found[2] in ("400", "600", "RG-213"):
            assert "which no thinner class that meets it has" in found[3], line
