"""A TOML file read block by block, so that one bad row names its line and the other rows stay.

The format read here is plain: `[name]` and `[[name]]` headers on lines of their own, and under each only its
keys. Multi-line strings are refused, since a header could hide inside one.
"""

from __future__ import annotations

import itertools
import re
from typing import Any

import msgspec

from coaxtell.cables.reasons import because
from coaxtell.models import toml, unseen
from coaxtell.models.catalogue import Reason

_HEADER = re.compile(r"\s*(\[\[|\[)\s*([A-Za-z0-9_-]+)\s*(?:\]\]|\])\s*(?:#.*)?")
_AT_LINE = re.compile(r" ?\(at line (\d+), column \d+\)")
_END = re.compile(r" ?\(at end of document\)")


class Problem(msgspec.Struct, frozen=True):
    """What is wrong in a file, with its line."""

    file: str
    line: int
    what: Reason

    @property
    def reason(self) -> Reason:
        """The problem with its file and line."""
        return because("site.problem", file=unseen.written_out(self.file), line=self.line, what=self.what)


class Block(msgspec.Struct, frozen=True):
    """One header with its keys: name, whether it is one of a list, first line, values, lines of the keys."""

    name: str
    repeated: bool
    line: int
    values: dict[str, Any]
    lines: dict[str, int]
    broken: bool = False
    """True where the block cannot be read as TOML; `values` then holds its id at most."""

    @property
    def title(self) -> str:
        """The block's name and id, as problems state it."""
        return unseen.written_out(f"{self.name} {self.values['id']}") if "id" in self.values else self.name

    def line_of(self, key: str) -> int:
        """The line that sets a key, else the header's."""
        return self.lines.get(key, self.line)


def _id_of(body: list[str]) -> dict[str, Any]:
    """The id of a block that cannot be read, so that rows which name it can say why they fail."""
    for line in body:
        if found := re.match(r"\s*id\s*=\s*[\"']([^\"']+)[\"']", line):
            return {"id": found[1]}
    return {}


def read(text: str, file: str) -> tuple[list[Block], list[Problem]]:
    """All blocks in order, and what is wrong with the broken ones; `file` is its name in the problems."""
    # TOML ends lines with a line feed alone; other separators may stand inside a text.
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    starts = [i for i, line in enumerate(lines) if _HEADER.fullmatch(line)]
    blocks: list[Block] = []
    problems: list[Problem] = []
    for number, line in enumerate(lines[: starts[0] if starts else len(lines)], start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            problems.append(Problem(file, number, Reason("site.before_first")))
    for start, end in itertools.pairwise([*starts, len(lines)]):
        header = _HEADER.fullmatch(lines[start])
        assert header is not None
        body = lines[start + 1 : end]
        broken = Block(header[2], header[1] == "[[", start + 1, _id_of(body), {}, broken=True)
        multi = next((i for i, line in enumerate(body) if '"""' in line or "'''" in line), None)
        if multi is not None:
            problems.append(Problem(file, start + multi + 2, Reason("site.multi_line")))
            blocks.append(broken)
            continue
        try:
            values = toml.loads("\n".join(body))
        except toml.TOMLDecodeError as error:
            at = _AT_LINE.search(str(error))
            # Counted from the header, which is not part of the text that was read.
            last = len(body) if _END.search(str(error)) else 0
            number = start + 1 + (int(at[1]) if at else last)
            said = _END.sub("", _AT_LINE.sub("", str(error)))
            what = because("site.toml", said=f"{said[:1].lower()}{said[1:]}")
            if "Illegal character '\\n'" in said:
                what = Reason("site.open_quote")
            problems.append(Problem(file, number, because("site.of_block", block=broken.title, what=what)))
            blocks.append(broken)
            continue
        keys = {}
        for number, line in enumerate(body, start=start + 2):
            found = re.match(r"\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*=", line)
            if found:
                keys[found[1]] = number
        blocks.append(Block(header[2], header[1] == "[[", start + 1, values, keys))
    return blocks, problems
