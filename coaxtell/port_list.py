"""The port list of a site, read from the file that `coaxtell plan` writes or a person has written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

import msgspec

from coaxtell import files
from coaxtell.cables import ports
from coaxtell.models import tables
from coaxtell.models.catalogue import word
from coaxtell.models.errors import InputError
from coaxtell.models.mating.mate import JOINED, mate
from coaxtell.models.tables import Tables


def read(path: Path, known: Iterable[str]) -> ports.PortList:
    """The port list in a file; `known` are the ids of halves that exist.

    Raises InputError where the file cannot be read or used.
    """
    text = files.read_text(path)
    if re.search(r"^\s*\[site\]", text, re.MULTILINE):
        raise InputError(f"{path}: is a site file; give the port list that `coaxtell plan` writes from it.")
    return ports.parse(text, str(path), known)


def under(found: ports.PortList, where: str, known: Tables) -> tuple[ports.PortList, list[str]]:
    """A list that was written under other tables, without what its ports no longer take, and a sentence for each."""
    if found.tables in ("", tables.version(known)):
        return found, []
    kept: list[ports.SitePort] = []
    told: list[str] = []
    for port in found.ports:
        verdict = mate(known.half(port.id), known.half(port.takes)).verdict if port.takes in known.halves else None
        if port.takes and verdict not in JOINED:
            came = "there is no such half now" if verdict is None else f"worked out anew: {word(verdict)}"
            told.append(
                f"{where}: written under other tables; {port.id} with {port.takes}, {came}; plan the site anew."
            )
            port = msgspec.structs.replace(port, takes="")
        kept.append(port)
    return msgspec.structs.replace(found, ports=kept), told


def counted(path: Path, known: Iterable[str]) -> tuple[str, dict[str, int]]:
    """The site's name and how often each half stands on its list; raises InputError as `read` does."""
    found = read(path, known)
    counts: dict[str, int] = {}
    for port in found.ports:
        counts[port.id] = counts.get(port.id, 0) + port.count
    return found.site, counts
