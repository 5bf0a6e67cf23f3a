"""The page and a phone to open it on."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import date

import pytest
from PIL import Image

from coaxtell.models import tables
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from coaxtell.quiz.item import Picture
from tests.pocket.browser import Phone


def tinted(picture: Picture) -> bytes:
    """What stands for the drawn picture of an item: a colour of its own."""
    held = io.BytesIO()
    Image.new("RGB", (30, 20), (picture.grain % 256, len(picture.halves), 90)).save(held, "WEBP")
    return held.getvalue()


@pytest.fixture(scope="session")
def made() -> build.Made:
    """The page of all tables, with a colour for each picture."""
    return build.made(Wanted(tables.load(), date(2026, 11, 29)), draw=tinted)


@pytest.fixture(scope="session")
def file(made: build.Made, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Where that page lies as a single file."""
    path = tmp_path_factory.mktemp("page") / "port.html"
    path.write_bytes(build.single(made))
    return path.as_uri()


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A browser of a phone's size."""
    with Phone(tmp_path_factory.mktemp("phone") / "profile") as found:
        yield found
