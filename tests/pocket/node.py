"""The page's code under node."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from coaxtell.pocket.build import PAGE

HERE = Path(__file__).parent


def node(script: str, given: Any, code: Path | None = None) -> Any:
    """What a script of this folder gives for some data, with the page's code, or that in another folder."""
    done = subprocess.run(
        ["node", str(HERE / script), str(code or PAGE)],
        input=json.dumps(given), capture_output=True, text=True, encoding="utf-8",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


Thinker = Callable[[Sequence[Any], Traversable], list[Any]]
"""What the engine in a folder of code thinks of some states of answers."""


@contextmanager
def thinking(given: Any) -> Iterator[Thinker]:
    """The page's engine under node, and others like it, in one process: they are given the same."""
    with subprocess.Popen(
        ["node", str(HERE / "traces.js")], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        asked, answered = process.stdin, process.stdout
        assert asked is not None
        assert answered is not None
        print(json.dumps(given), file=asked)

        def think(states: Sequence[Any], code: Traversable) -> list[Any]:
            print(json.dumps({"code": str(code), "states": states}), file=asked, flush=True)
            line = answered.readline()
            assert line, f"the engine of {code} broke off"
            found: list[Any] = json.loads(line)
            return found

        yield think
