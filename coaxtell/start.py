"""Where the program starts: what package is missing is said before anything is loaded that needs one."""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its status, 2 where a package is missing that all of them need, 130 after Ctrl-C."""
    try:
        from coaxtell.cli.main import main as run
    except ModuleNotFoundError as error:
        if str(error.name).startswith("coaxtell"):
            raise
        sys.stderr.write(
            f"coaxtell: The package {error.name!r} is missing; run it in the environment it was installed in, or "
            "install coaxtell again with all it needs.\n"
        )
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped.\n")
        return 130
    return run(arguments)
