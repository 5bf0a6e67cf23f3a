"""The one list of sources that every number in a table points into."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import msgspec

from coaxtell.models import toml
from coaxtell.models.errors import RefusedError


class Source(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a number comes from: the document with its clause or figure, and what kind it is."""

    title: str
    kind: str


def load(text: str, where: str) -> dict[str, Source]:
    """Sources by key from TOML text; `where` names the file in errors.

    Raises InputError naming the file and the key.
    """
    try:
        raw = toml.loads(text)
        found = msgspec.convert(raw, dict[str, Source])
    except (toml.TOMLDecodeError, OverflowError, RecursionError, msgspec.ValidationError) as error:
        raise RefusedError("models.entry", file=where, error=str(error)) from None
    for key, source in found.items():
        if not source.title.strip() or not source.kind.strip():
            raise RefusedError("models.source_bare", file=where, key=key)
    return found


def load_package(package: str, file: str) -> dict[str, Source]:
    """Sources that ship with `package` in its tables folder."""
    text = (resources.files(package) / "tables" / file).read_text(encoding="utf-8")
    return load(text, file)


def load_folder(folder: Path) -> dict[str, Source]:
    """Sources of a user's own table folder; none where the folder has no sources.toml.

    Raises InputError where its sources.toml cannot be read.
    """
    path = folder / "sources.toml"
    if not path.is_file():
        return {}
    try:
        return load(path.read_text(encoding="utf-8"), str(path))
    except (OSError, UnicodeDecodeError) as error:
        raise RefusedError("models.unread", path=str(path), error=str(error)) from None
