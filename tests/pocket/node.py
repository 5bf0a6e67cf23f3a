"""The page's code under node."""

from __future__ import annotations

import json
import subprocess
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
