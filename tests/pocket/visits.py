"""What a person does first at the page, for the tests of more than one kind."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from msgspec import structs

from coaxtell.models import tables
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone


def page_of(halves: Sequence[str], language: str = "en") -> bytes:
    """The single file of a few halves, made in a moment."""
    every = tables.load()
    few = structs.replace(every, halves={id: every.halves[id] for id in halves})
    return build.single(build.made(Wanted(few, date(2026, 11, 29), language)))


def fresh(phone: Phone, url: str) -> None:
    """Open the page as on a phone that never saw it."""
    phone.open(url)
    phone.run("localStorage.clear(); sessionStorage.clear()")
    phone.open(url)


def name_an_rp_sma(phone: Phone) -> None:
    phone.tap("A thread on the outside")
    phone.run("ask('coupling-diameter')")
    phone.run("document.querySelector('form input').focus()")
    phone.type("6,3")
    phone.key("Enter")
    phone.run("ask('centre')")
    phone.tap("A pin")


def handed_over(phone: Phone, button: str) -> str:
    """The text of the file that a button hands over."""
    phone.run("window.files = []; handOver = async (name, type, content) => files.push(content)")
    phone.tap(button, "main")
    phone.until("files.length > 0")
    found: str = phone.run("files[0]")
    return found
