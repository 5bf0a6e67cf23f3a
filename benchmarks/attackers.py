"""What attackers that see no picture get right on 3,000 items a kind: `python -m benchmarks.attackers OUT`.

Half of the items to learn from, half to be judged by; the attackers are those of `tests/quiz/attackers.py`. The last
row is of the items that the harmful part of tries asks, of whatever kind.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from benchmarks.study import dated
from coaxtell.quiz import items
from tests.quiz.attackers import attacked
from tests.quiz.test_attackers import plan, seen, seen_in_tries

ITEMS = 3000
IN_TRIES = "harmful part of a try"


def main() -> None:
    found = []
    for kind in (*items.KINDS, IN_TRIES):
        scored = attacked(seen_in_tries(ITEMS, 2026) if kind == IN_TRIES else seen(kind, ITEMS, 2026))
        half = 1.96 * (scored.rate * (1 - scored.rate) / scored.items) ** 0.5
        row = {
            "kind": kind, "items": ITEMS, "judged": scored.items, "right": scored.rate, "low": scored.rate - half,
            "high": scored.rate + half, "chance": scored.chance,
        }  # fmt: skip
        found.append(row)
        print(
            f"{kind:<21} {scored.rate:.3f} ± {half:.3f}, chance {scored.chance:.3f}, {scored.items} judged", flush=True
        )
    out = {"tables": plan(False).tables, "seed": 2026, "rows": found}
    Path(sys.argv[1]).write_text(json.dumps(dated(out), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
