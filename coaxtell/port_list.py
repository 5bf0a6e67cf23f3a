"""The port list of a site, read from the file that `coaxtell plan` writes or a person has written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from coaxtell import files
from coaxtell.cables import ports
from coaxtell.models.errors import InputError


def read(path: Path, known: Iterable[str]) -> ports.PortList:
    """The port list in a file; `known` are the ids of halves that exist.

    Raises InputError where the file cannot be read or used.
    """
    text = files.read_text(path)
    if re.search(r"^\s*\[site\]", text, re.MULTILINE):
        raise InputError(f"{path}: is a site file; give the port list that `coaxtell plan` writes from it.")
    return ports.parse(text, str(path), known)


def counted(path: Path, known: Iterable[str]) -> tuple[str, dict[str, int]]:
    """The site's name and how often each half stands on its list; raises InputError as `read` does."""
    found = read(path, known)
    counts: dict[str, int] = {}
    for port in found.ports:
        counts[port.id] = counts.get(port.id, 0) + port.count
    return found.site, counts
