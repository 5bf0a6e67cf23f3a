"""Packages against schema files in a folder, as 1EdTech gives them out; nothing is fetched."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

from lxml import etree

LOCATION = re.compile(rb'(schemaLocation\s*=\s*")[^"]*/([^"/]+)"')
"""The schema files name each other by their web address; here only the file's name is left of it."""

ITEMS, MANIFEST = "imsqti_v2p2*.xsd", "*imscp*.xsd"


def faults(package: bytes, folder: Path, room: Path) -> list[str]:
    """What the schema files find wrong with a package, with the file's name; `room` is an empty folder to work in.

    Raises FileNotFoundError where the folder holds no schema of QTI 2.2 items, XMLSchemaParseError where one of them
    cannot be used, for example since a file that it needs is not there.
    """
    for path in folder.rglob("*.xsd"):
        (room / path.name).write_bytes(LOCATION.sub(rb'\1\2"', path.read_bytes()))
    found: list[str] = []
    schemas = {True: _schema(room, MANIFEST), False: _schema(room, ITEMS)}
    if schemas[False] is None:
        raise FileNotFoundError(f"{folder} holds no {ITEMS}")
    with zipfile.ZipFile(io.BytesIO(package)) as archive:
        for name in archive.namelist():
            schema = schemas[name == "imsmanifest.xml"]
            if name.endswith(".xml") and schema is not None and not schema.validate(_parsed(archive.read(name))):
                found += [f"{name}: {error.message}" for error in schema.error_log]
    return found


def _schema(room: Path, pattern: str) -> etree.XMLSchema | None:
    newest = sorted(room.glob(pattern))[-1:]
    return etree.XMLSchema(etree.parse(str(newest[0]), etree.XMLParser(no_network=True))) if newest else None


def _parsed(content: bytes) -> etree._Element:
    return etree.fromstring(content, etree.XMLParser(no_network=True))
