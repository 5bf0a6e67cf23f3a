"""What a person is warned of stands in front, is no longer than it must be, and has its whole English beside it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from msgspec import structs

from coaxtell.models import tables
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone

pytestmark = pytest.mark.needs("chromium")
FEW = ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "bnc-50-plug", "bnc-50-jack", "3.5-plug", "3.5-jack")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a few halves, in English and in German."""
    folder = tmp_path_factory.mktemp("pages")
    every = tables.load()
    few = structs.replace(every, halves={id: every.halves[id] for id in FEW})
    for language in ("en", "de"):
        page = folder / f"{language}.html"
        page.write_bytes(build.single(build.made(Wanted(few, date(2026, 11, 29), language))))
    return folder


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    with Phone(tmp_path_factory.mktemp("phone") / "profile") as found:
        yield found


def opened(phone: Phone, folder: Path, language: str) -> None:
    """The page as on a phone that never saw it."""
    for _ in range(2):
        phone.open((folder / f"{language}.html").as_uri())
        phone.run("localStorage.clear(); sessionStorage.clear()")
    phone.run("port = port.in({answers: {}, again: {}, terms: []})")


def cautions(phone: Phone, within: str = "main .caution") -> list[str]:
    found: list[str] = phone.run(f"[...document.querySelectorAll('{within}')].map((one) => one.innerText)")
    return found


def test_the_english_of_a_caution_names_halves_and_looks_in_english(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "de")
    phone.tap("Ein Gewinde außen")
    (harm,) = [one for one in cautions(phone, "main .named .caution") if "damages it" in one]
    own, english = harm.splitlines()
    assert "RP-SMA-Buchse" in own
    assert re.search(r"If the port is .*RP-SMA jack.* instead, SMA plug damages it\.", english)
    assert not re.search("Buchse|Stecker", english)
    phone.run(
        "Object.defineProperty(port, 'worn', {value: ['coupling-diameter', 'bore']}); change({open: true}); show()"
    )
    (worn,) = [one for one in cautions(phone, "main .named .caution") if "Worn or not" in one]
    assert worn.splitlines()[1].startswith("Worn or not standard, by coupling diameter; bore:")


def test_before_measuring_only_that_is_said_which_the_port_may_be(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "en")
    phone.run("ask('bore')")
    at_first = " ".join(cautions(phone))
    assert all(words in at_first for words in ("kilovolts", "maker's own gauge", "Transmitter off", "At height"))
    phone.run("answered('coupling', {saw: 'lugs'})")
    phone.run("ask('bore')")
    bayonet = " ".join(cautions(phone, "main [data-look] .caution"))
    assert "kilovolts" in bayonet
    assert "maker's own gauge" not in bayonet, "no precision port has lugs"
    phone.run("answered('coupling', {saw: 'thread-outside'})")
    phone.run("ask('bore')")
    threaded = " ".join(cautions(phone, "main [data-look] .caution"))
    assert "kilovolts" not in threaded, "no port for high voltage that looks alike has a thread"
    assert "maker's own gauge" in threaded


def test_what_is_settled_stands_before_the_next_look(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "en")
    phone.run("answered('coupling', {saw: 'thread-outside'})")
    order = (
        "[...document.querySelectorAll('main > section')].map((one) => 'look' in one.dataset ? 'look' : one.className)"
    )
    phone.until("!document.documentElement.dataset.busy && document.querySelector('.named') !== null")
    assert phone.run("port.settled") is False
    assert phone.run(order)[:2] == ["look", "card named"]
    for look, answer in (("coupling-diameter", "{read: 6.3, off: 0.05, typed: '6.3'}"), ("centre", "{saw: 'pin'}")):
        phone.run(f"answered('{look}', {answer})")
    phone.until("!document.documentElement.dataset.busy && port.settled")
    assert phone.run(order)[0] == "card named"
    phone.run("ask('bore')")
    assert phone.run(order)[0] == "look", "a look that he chose himself comes first"


def test_reasons_name_halves_and_never_their_ids(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "en")
    ids = phone.run("world.halves.map((half) => half.id)")
    for a in ids:
        for b in ids:
            phone.run(f"go('together', {{pair: ['{a}', '{b}']}})")
            told = phone.text("[data-verdict]")
            assert not [one for one in ids if one in told], (a, b, told)


def test_nothing_is_ordered_for_a_port_that_is_not_settled(phone: Phone, folder: Path) -> None:
    """Neither as the end of a cable nor as what a port of the site takes."""
    opened(phone, folder, "en")
    assert phone.run("port.settled") is False
    phone.run("answered('coupling', {saw: 'thread-outside'})")
    phone.run("go('cable')")
    assert "Ends:" not in phone.text()
    phone.run("addToSite()")
    toml = phone.run("portsToml()")
    assert "# Not settled: nobody has seen what stands in the centre" in toml
    assert "takes" not in toml
    assert len(tomllib.loads(toml)["port"]) == 1
    phone.run("port = port.in({answers: {coupling: {saw: 'thread-outside'}, centre: {saw: 'pin'}}})")
    phone.run("port = port.with('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}, false); go('cable')")
    assert "Ends: RP-SMA plug" in phone.text("[data-class='240']")
    phone.run("addToSite()")
    assert tomllib.loads(phone.run("portsToml()"))["port"][1]["takes"] == "rp-sma-plug"


def test_every_view_says_that_its_translation_is_unreviewed(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "de")
    for view in phone.run("Object.keys(VIEWS)"):
        phone.run(f"go('{view}')")
        assert phone.text().count("Ungeprüfte Übersetzung") == 1, view
    phone.run("port = port.with('coupling', {saw: 'lugs'}, false)")
    assert "Ungeprüfte Übersetzung" in phone.run("message()")


def test_a_german_page_writes_a_decimal_comma(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "de")
    phone.run("change({run: {length: '12,5m', power: '30', want: '26', bend: '1,5cm'}}); go('cable')")
    told = phone.text()
    assert len(re.findall(r"\d,\d", told)) > 20
    assert re.findall(r"\d[.]\d", told.replace("3.5 mm", "")) == [], "but in the name of a family"
    read = "readSize(world.engine.byName.get('bore'), t('photo_typed', {mm: 4.61, off: 0.1}))"
    assert phone.run(read) == {"read": 4.61, "off": 0.1, "typed": "4,61mm+-0,10"}
    phone.run(f"port = port.in({{answers: {{bore: {read}}}}}); go('name', {{port: port.plain(), open: true}})")
    assert "4,61mm" in phone.text(".given")
    assert re.findall(r"\d[.]\d", phone.text().replace("3.5 mm", "")) == []
