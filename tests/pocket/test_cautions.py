"""What a person is warned of stands in front, is no longer than it must be, and has its whole English beside it."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pocket.browser import Phone
from tests.pocket.visits import page_of

pytestmark = pytest.mark.needs("chromium")
FEW = ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "bnc-50-plug", "bnc-50-jack", "3.5-plug", "3.5-jack")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a few halves, in each language."""
    folder = tmp_path_factory.mktemp("pages")
    for language in ("en", "de", "es"):
        page = folder / f"{language}.html"
        page.write_bytes(page_of(FEW, language))
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


def test_what_has_no_sizes_is_not_told_where_its_coupling_was_seen_to_be_another(phone: Phone, tmp_path: Path) -> None:
    page = tmp_path / "n.html"
    page.write_bytes(page_of(("n-50-plug", "n-50-jack", "bnc-50-plug", "bnc-50-jack")))
    phone.open(page.as_uri())
    told = {}
    for coupling in ("thread-outside", None):
        seen = {} if coupling is None else {"coupling": {"saw": coupling}}
        answers = {
            **seen,
            "centre": {"saw": "socket"},
            "coupling-diameter": {"read": 15.8, "off": 0.05, "typed": "15.8"},
        }
        phone.run(f"port = port.in({{answers: {json.dumps(answers)}, again: {{}}, terms: []}}); go('name')")
        assert phone.run("world.halves[port.first].id") == "n-50-jack"
        (told[coupling],) = [one for one in cautions(phone) if "not among the answers" in one]
    assert re.findall(r"(\w+) jack", told["thread-outside"]) == ["SC", "HN"]
    assert re.findall(r"(\w+) jack", told[None]) == ["C", "SC", "HN"]


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
    own = told
    for one in english(phone, "main p"):
        own = own.replace(one, "") if one else own
    assert re.findall(r"\d[.]\d", own.replace("3.5 mm", "")) == [], "but in the name of a family, and in English"
    read = "readSize(world.engine.byName.get('bore'), t('photo_typed', {mm: 4.61, off: 0.1}))"
    assert phone.run(read) == {"read": 4.61, "off": 0.1, "typed": "4,61mm+-0,10"}
    fine = phone.run("refusal(readSize(world.engine.byName.get('bore'), '4.6+-0.0004'))")
    assert fine.startswith("'4.6+-0.0004': "), "what no instrument reads is refused, as on the desk"
    assert "0,0005" in fine
    assert phone.run("readSize(world.engine.byName.get('threads-per-10mm'), '14.2+-0.0009').refused") == "too_fine"
    phone.run(f"port = port.in({{answers: {{bore: {read}}}}}); go('name', {{port: port.plain(), open: true}})")
    assert "4,61mm" in phone.text(".given")
    assert re.findall(r"\d[.]\d", phone.text().replace("3.5 mm", "")) == []


KILOVOLTS = "it may carry kilovolts (MHV and SHV look like it). Touch and join nothing"
PICTURED = """(async () => {
  const lines = [], draw = CanvasRenderingContext2D.prototype.fillText, give = handOver;
  CanvasRenderingContext2D.prototype.fillText = (line) => lines.push(line);
  handOver = async () => true;
  await sendPicture();
  CanvasRenderingContext2D.prototype.fillText = draw;
  handOver = give;
  return lines.join(" ");
})()"""
"""The words of the picture that is sent."""


def named(phone: Phone, answers: str, terms: str = "[]") -> None:
    """A port with these answers, on the screen."""
    phone.run(f"port = port.in({{answers: {answers}, terms: {terms}}})")
    phone.run("go('name', {port: port.plain(), asked: null})")


def english(phone: Phone, selector: str) -> list[str]:
    """What stands in English beside each of some elements."""
    found: list[str] = phone.run(
        f"[...document.querySelectorAll('{selector}')].map((one) => one.querySelector('[lang=en]')?.innerText ?? '')"
    )
    return found


@pytest.mark.parametrize("language", ["de", "es"])
def test_what_bears_on_safety_has_its_english_on_the_screen_and_in_all_that_is_sent(
    phone: Phone, folder: Path, language: str
) -> None:
    opened(phone, folder, language)
    named(phone, "{coupling: {saw: 'lugs'}, centre: {saw: 'socket'}}", "['high-voltage']")
    assert [KILOVOLTS in one for one in english(phone, "[data-state]")] == [True]
    assert KILOVOLTS in phone.run("message()")
    assert KILOVOLTS in phone.run(PICTURED)
    phone.run("addToSite()")
    assert all(KILOVOLTS in phone.run(made) for made in ("portsToml()", "portsCsv()"))
    assert tomllib.loads(phone.run("portsToml()"))["port"][0]["id"] == "bnc-50-jack"

    named(phone, "{coupling: {saw: 'thread-outside'}, 'coupling-diameter': {read: 9.7, off: 0.05, typed: '9.7mm'}}")
    assert phone.run("port.clash") is not None
    (clash,) = english(phone, "[role=alert] p")
    assert "coupling: a thread on the outside" in clash
    for sent in (clash, phone.run("message()"), phone.run(PICTURED)):
        assert "No connector in the tables gives them together" in sent
    assert english(phone, "[data-state]")[0].startswith("Not settled: ")

    for run, told in (
        ("{reader: 'sma-jack', antenna: 'bnc-50-jack', bend: '1mm'}", "Too tight: even once"),
        ("{reader: 'sma-jack', antenna: 'bnc-50-jack', power: '70'}", "It carries"),
        ("{reader: 'sma-jack', antenna: 'bnc-50-jack', length: '99m'}", "Not sensible: single assemblies"),
    ):
        phone.run(f"change({{run: {run}}}); go('cable')")
        beside = english(phone, "[data-class] p.harm")
        assert all(beside), run
        assert any(one.startswith(told) for one in beside), run


def test_every_state_of_a_name_and_every_doubt_can_be_said_in_english(phone: Phone, folder: Path) -> None:
    """Whatever the answers: no name or answer within it is left in German."""
    opened(phone, folder, "de")
    for answers in (
        "{coupling: {saw: 'lugs'}, 'thread-hand': {saw: 'left'}}",
        "{coupling: {saw: 'thread-outside'}, 'threads-per-10mm': {none: true}}",
        "{coupling: {saw: 'thread-outside'}, bore: {read: 33, off: 0.1, typed: '33mm', photo: true}}",
    ):
        named(phone, answers)
        said = " ".join(phone.run("doubts().map((reason) => world.inEnglish.say(reason))"))
        assert "No connector in the tables gives them together" in said, answers
        assert not re.search(r"Buchse|Stecker|Gewinde|Nocken|Farbe|fotografier|nichts|keine", said), said


def test_nothing_is_held_beside_a_port_that_is_energised_or_may_carry_kilovolts(phone: Phone, folder: Path) -> None:
    """Of every look that is offered: one that has something held beside says first that it is not."""
    opened(phone, folder, "en")
    seen = set()
    for term, told in (("look-only", "It is energised: judge from"), ("high-voltage", "It may carry kilovolts")):
        for coupling in ("thread-outside", "lugs"):
            answers = f"{{coupling: {{saw: '{coupling}'}}, centre: {{saw: 'socket'}}}}"
            named(phone, answers, f"['{term}']")
            for look in phone.run("world.engine.openLooks(port.state, port.belief).map(({feature}) => feature.name)"):
                phone.run(f"ask('{look}')")
                shown, how = phone.text(), phone.run(f"world.questions['{look}'].how")
                assert "Measure by photograph" not in shown
                if phone.run(f"world.engine.byName.get('{look}').beside"):
                    seen.add(look)
                    assert "hold nothing near it" in shown[: shown.index(how)], (term, look)
                    assert told in shown[: shown.index(how)]
            phone.run("state.life = {screen: screenNow(), perMm: 4}; go('life', {turned: 'sma-jack'})")
            assert "Hold the port against it" not in phone.text()
            assert told in phone.text()
    assert {"size", "hole-by-eye", "thread-hand"} <= seen
    named(phone, "{coupling: {saw: 'thread-outside'}, centre: {saw: 'socket'}}")
    phone.run("ask('size')")
    assert "hold nothing near" not in phone.text()
    phone.run("go('life', {turned: 'sma-jack'})")
    assert "Hold the port against it" in phone.text()
    phone.run("go('life', {turned: 'bnc-50-jack'})")
    assert "Hold the port against it" not in phone.text(), "it looks like one for high voltage"


def test_what_was_said_of_the_port_is_told_of_as_soon_as_it_is_ticked(phone: Phone, folder: Path) -> None:
    opened(phone, folder, "en")
    phone.run("go('name')")
    assert KILOVOLTS not in phone.text()
    box = "[...document.querySelectorAll('label.check')].find((one) => one.innerText.includes('high voltage, or'))"
    phone.run(f"{box}.querySelector('input').click()")
    assert [KILOVOLTS in one for one in cautions(phone)].count(True) == 2, "at the head, and beside what was ticked"
    named(phone, "{coupling: {saw: 'thread-outside'}}", "['high-voltage']")
    assert "It may carry kilovolts, unless you know" in cautions(phone)[0]


LIVE = "It is energised: judge from a distance. Touch nothing and hold nothing near it"


@pytest.mark.parametrize("language", ["en", "de"])
def test_that_it_is_energised_and_what_to_do_before_joining_go_with_all_that_is_handed_over(
    phone: Phone, folder: Path, language: str
) -> None:
    """In English too; of a port that an older page of the site kept without that remark as well."""
    opened(phone, folder, language)
    answers = "{coupling: {saw: 'thread-outside'}, centre: {saw: 'pin'}}"
    named(phone, answers, "['look-only']")
    assert LIVE in phone.run("message()")
    assert LIVE in phone.run(PICTURED)
    phone.run("addToSite()")
    for _ in range(2):
        assert any(LIVE in one for one in cautions(phone))
        for made in ("portsToml()", "portsCsv()"):
            assert phone.run(made).count(LIVE) == 1
        phone.run("changeSite((site) => site.map((one) => ({...one, doubts: one.doubts.slice(1)}))); go('site')")
    phone.run("changeSite(() => [])")

    named(phone, answers)
    phone.run("port = port.with('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}, false)")
    assert phone.run("port.settled")
    assert LIVE not in phone.run("message()")
    phone.run("addToSite()")
    assert tomllib.loads(phone.run("portsToml()"))["port"][0]["takes"] == "rp-sma-plug"
    before = phone.run("(world.inEnglish || world.words).say(LIVE)")
    assert before.startswith("Switch the transmitter off")
    for made in ("portsToml()", "portsCsv()"):
        told = phone.run(made)
        assert all(words in told for words in (before, phone.run("world.words.say(LIVE)")))
    named(phone, "{coupling: {saw: 'thread-outside'}}")
    phone.run("changeSite(() => []); addToSite()")
    assert before not in phone.run("portsToml()"), "nothing is to be joined to what is not settled"


def test_nothing_goes_into_the_face_of_what_may_be_a_precision_port(phone: Phone, tmp_path: Path) -> None:
    page = tmp_path / "fine.html"
    page.write_bytes(page_of(("2.4-plug", "2.4-jack", "1.85-plug", "1.85-jack", "sma-plug", "sma-jack")))
    phone.open(page.as_uri())
    answers = {"coupling": {"saw": "thread-outside"}, "centre": {"saw": "socket"}, "plastic": {"saw": "deep"}}
    answers["coupling-diameter"] = {"read": 6.9, "off": 0.05, "typed": "6.9"}  # type: ignore[dict-item]
    phone.run(
        f"port = port.in({{setting: 'bench', answers: {json.dumps(answers)}, again: {{}}, terms: []}}); go('name')"
    )
    phone.until("!document.documentElement.dataset.busy && document.querySelector('.named') !== null")
    for look in ("bore", "socket-bore", "touch"):
        assert phone.run(f"port.allows('{look}')") is False
        assert phone.run(f"port.next === null || port.next.feature.name !== '{look}'")
    assert phone.run("port.allows('coupling-diameter')") is True
    told = " ".join(cautions(phone, "main .named .caution"))
    assert "Nothing but the maker's own gauge touches or enters the face of a precision port" in told
    assert "Read the marking; the maker's own gauge tells: bore: here 2.40 mm, there 1.85 mm." in told
    phone.run("port = port.with('coupling', {saw: 'thread-inside'}, false)")
    assert phone.run("port.allows('coupling-diameter')") is False, "jaws in the nut of a plug"
