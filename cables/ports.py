"""The port list of a site (`ports.toml`): which ports people meet there, how often and where.

    site = "North gate"

    [[port]]
    id = "rp-tnc-jack"            # a half, as `coaxtell list` names it
    count = 4                     # how many of them the site has
    where = ["R1", "R2"]          # equipment that carries them, for the person who looks
    takes = "rp-tnc-plug"         # what is joined to them

Only `id` must stand. Training and the life-size sheets read the list as well as people do.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from coaxtell.models import toml
from coaxtell.models.errors import RefusedError

HEADER = "# Port list of a site, written by coaxtell plan. It is written anew with each plan."
"""First line of a list that the program wrote itself, and so may write again."""


FORMAT = 1
"""Of a port list; one of before, or that a person wrote, has none."""


class SitePort(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of port on a site: half id, how many, on which equipment, and the half joined to it.

    Raises InputError where the id is empty or the count below 1.
    """

    id: str
    count: int = 1
    where: list[str] = []
    takes: str = ""

    def __post_init__(self) -> None:
        if not self.id.strip():
            raise RefusedError("cables.port_id")
        if self.count < 1:
            raise RefusedError("cables.port_count", id=self.id, count=self.count)


class PortList(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The ports of one site."""

    site: str = ""
    ports: list[SitePort] = msgspec.field(name="port", default_factory=list)
    format: int = FORMAT
    tables: str = ""
    """Version of the tables under which the program wrote it; empty where a person did."""


def parse(text: str, file: str, known: Iterable[str] | None = None) -> PortList:
    """The port list in a TOML text; `file` is its name in errors, `known` the half ids that exist.

    Raises InputError naming the file and what to mend.
    """
    try:
        found = msgspec.convert(toml.loads(text), PortList)
    except (toml.TOMLDecodeError, msgspec.ValidationError) as error:
        raise RefusedError("cables.entry", file=file, error=str(error)) from None
    if found.format > FORMAT:
        raise RefusedError("cables.newer", file=file)
    if not found.ports:
        raise RefusedError("cables.no_port", file=file)
    if known is not None:
        names = set(known)
        unknown = [port.id for port in found.ports if port.id not in names]
        if unknown:
            raise RefusedError("cables.no_half", file=file, unknown=unknown[0])
    return found


def _quoted(text: str) -> str:
    """A TOML basic string."""
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in plain) + '"'


def text(ports: PortList, notes: Iterable[str] = ()) -> str:
    """The list as TOML, as `parse` reads it; `notes` are for the person who opens it, each a line of its own."""
    lines = [HEADER, *("# " + "".join(c if c.isprintable() else " " for c in note) for note in notes)]
    lines += [f"format = {ports.format}", f"tables = {_quoted(ports.tables)}", f"site = {_quoted(ports.site)}"]
    for port in ports.ports:
        lines += ["", "[[port]]", f"id = {_quoted(port.id)}", f"count = {port.count}"]
        lines.append(f"where = [{', '.join(_quoted(name) for name in port.where)}]")
        if port.takes:
            lines.append(f"takes = {_quoted(port.takes)}")
    return "\n".join(lines) + "\n"
