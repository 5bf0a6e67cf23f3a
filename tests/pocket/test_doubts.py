"""A doubt goes wherever the name goes; what is said of one port, or kept damaged, never tells of another."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator

import pytest

from coaxtell.identifier.identification import Settled
from tests.pocket.browser import Phone
from tests.pocket.jobs import MIDDLE
from tests.pocket.visits import fresh, page_of

pytestmark = pytest.mark.needs("chromium")
FEW = ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "bnc-50-plug", "bnc-50-jack", "bnc-75-plug", "bnc-75-jack",
       "fakra-e-plug", "fakra-e-jack")  # fmt: skip
RP_SMA = "coupling: {saw: 'thread-outside'}, centre: {saw: 'pin'}, 'coupling-diameter': {read: 6.3, off: 0.05}"
CLASHING = "plastic: {saw: 'level'}, 'hole-by-eye': {saw: 'lead-05'}, 'housing-letter': {saw: 'e'}"
FITS_ALL = "coupling: {saw: 'bayonet-sleeve'}, centre: {saw: 'pin'}"


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page of a few halves."""
    page = tmp_path_factory.mktemp("pages") / "few.html"
    page.write_bytes(page_of(FEW))
    return page.as_uri()


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    with Phone(tmp_path_factory.mktemp("phone") / "profile") as found:
        yield found


@pytest.fixture
def phone(opened: Phone, file: str) -> Iterator[Phone]:
    fresh(opened, file)
    yield opened
    assert opened.faults == []


def named(phone: Phone, answers: str, terms: str = "") -> None:
    """A port of these answers on the screen."""
    phone.run(
        f"port = new Port(world, {{answers: {{{answers}}}, terms: [{terms}]}}); go('name', {{port: port.plain()}})"
    )
    phone.until("document.querySelector('.named') !== null")


def handed(phone: Phone) -> list[str]:
    """What goes with the port that is named: message, card of the site, ports.toml, CSV."""
    told = [phone.run("message()")]
    phone.run("addToSite()")
    return [*told, phone.text("main .card"), phone.run("portsToml()"), phone.run("portsCsv()")]


@pytest.mark.parametrize(
    ("answers", "terms", "doubt"),
    [
        ("coupling: {saw: 'lugs'}, centre: {saw: 'socket'}", "'high-voltage'", "Touch and join nothing"),
        (RP_SMA + ", 'thread-hand': {saw: 'left'}", "", "The answers clash|Most likely misread|the answers clash"),
        (FITS_ALL, "'no-high-voltage'", "The name is open"),
        ("coupling: {saw: 'thread-outside'}", "", "nobody has seen what stands in the centre"),
    ],
)
def test_the_doubt_of_the_screen_is_in_all_that_is_handed_over(
    phone: Phone, answers: str, terms: str, doubt: str
) -> None:
    named(phone, answers, terms)
    for told in (phone.text(".named"), *handed(phone)):
        assert any(words in told for words in doubt.split("|")), told
    assert Settled(phone.run("state.site[0].named")) is not Settled.SETTLED
    assert '"settled"' not in phone.run("portsCsv()")


def test_an_open_name_says_what_it_may_be_instead(phone: Phone) -> None:
    named(phone, FITS_ALL, "'no-high-voltage'")
    assert phone.run("port.named") == Settled.FITS_ALL
    for told in handed(phone):
        assert "It may also be: BNC plug" in told
    (listed,) = tomllib.loads(phone.run("portsToml()"))["port"]
    assert listed["takes"].startswith("bnc-"), "one order fits all"


def test_the_caution_by_the_order_words_goes_with_the_lists(phone: Phone) -> None:
    """Kilovolts on what looks like it: at the port stands who reads the list."""
    named(phone, FITS_ALL, "'no-high-voltage'")
    for told in handed(phone):
        assert "may carry kilovolts" in told
    named(phone, RP_SMA)
    phone.run("addToSite()")
    assert phone.run("portsToml()").count("may carry kilovolts") == 1, "not with a port that nobody takes for it"


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ("coupling: {saw: 'lugs'}", True), ("coupling: {saw: 'lugs'}, centre: {saw: 'pin'}", True),
        ("coupling: {saw: 'bayonet-sleeve'}, centre: {saw: 'socket'}", True), ("centre: {saw: 'pin'}", True),
        ("coupling: {saw: 'thread-outside'}", False), ("coupling: {saw: 'thread-inside'}", False),
    ],
    ids=["lugs", "lugs-pin", "sleeve-socket", "pin", "thread-outside", "thread-inside"],
)  # fmt: skip
def test_kilovolts_are_told_while_a_port_is_not_settled(phone: Phone, answers: str, told: bool) -> None:
    """On the screen without a touch more, in the message, and in all that a site hands over: wherever a bayonet was
    seen, stands first or is likely enough, by the desk's own odds."""
    named(phone, answers)
    assert phone.run("port.settled") is False
    likely = phone.run("world.engine.delicate(port.state, port.belief).highVoltage")
    assert likely == told
    assert phone.run("state.open") in (None, False)
    for one in (phone.text(".named"), *handed(phone)):
        assert one.count("may carry kilovolts") == int(told), one
    phone.run("changeSite((site) => site.map(({doubts, ...one}) => one))")
    bayonet = phone.run("state.site[0].id").startswith("bnc")
    assert ("may carry kilovolts" in phone.run("portsToml()")) == bayonet, "as an older page kept it"


def test_a_size_is_told_with_its_unit(phone: Phone) -> None:
    sizes = (
        ("'coupling-diameter'", "15.7"),
        ("bore", "9+-0.2"),
        ("'nut-width'", "1/2in"),
        ("'threads-per-10mm'", "14.2"),
    )
    named(phone, ", ".join(f"{name}: {{read: 9, off: 0.2, typed: '{typed}'}}" for name, typed in sizes))
    for told in (phone.run("message()"), phone.text(".given")):
        for words in ("15.7 mm", "9+-0.2 mm", "1/2in", "14.2 on 10 mm"):
            assert words in told
        assert "1/2in mm" not in told


def test_the_picture_is_as_long_as_what_is_said(phone: Phone) -> None:
    named(phone, FITS_ALL, "'no-high-voltage'")
    drawn = "window.drawn = []; CanvasRenderingContext2D.prototype.fillText = (text, x, y) => drawn.push([text, y])"
    phone.run(f"{drawn}; handOver = async (name, type, png) => {{ window.png = png; }}; sendPicture()")
    phone.until("window.png !== undefined")
    assert " ".join(text for text, _ in phone.run("drawn")) == " ".join(phone.run("message()").split())
    high = phone.run("createImageBitmap(png).then((image) => image.height)")
    assert 1080 < phone.run("drawn[drawn.length - 1][1]") < high


def test_a_second_look_is_told(phone: Phone) -> None:
    named(phone, "coupling: {saw: 'lugs'}, centre: {saw: 'socket'}")
    phone.run("answered('centre', {saw: 'pin'}, true)")
    phone.until("document.querySelector('.given') !== null && !document.documentElement.dataset.busy")
    assert "Once more: centre: a pin" in phone.run("message()")
    assert "Once more: centre: a pin" in phone.text(".given")


def test_answers_that_clash_are_told_with_the_name(phone: Phone) -> None:
    """Also where the named port's own odds, and every answer on it, would do."""
    named(phone, CLASHING)
    assert phone.run("[port.orderProbability > world.limits.sure, port.centreTold, port.misfits.length]") == [
        True, True, 0,
    ]  # fmt: skip
    for told in (phone.text(), phone.run("message()")):
        assert "No connector in the tables gives them together" in told
        assert "look once more before you order" in told
        assert "sure enough to order by" not in told


def test_cautions_stand_with_the_order_words(phone: Phone) -> None:
    named(phone, FITS_ALL, "'no-high-voltage'")
    closed = phone.text(".named")
    assert "To order" in closed
    for words in ("kilovolts", "take DC off the coax", "C plug, which looks alike"):
        assert words in closed
        assert words in phone.run("message()")
    phone.tap("All of it", "main")
    assert phone.text(".named").count("may carry kilovolts") == 1, "said once"
    phone.run("Object.defineProperty(port, 'worn', {value: ['bore']}); change({open: false}); show()")
    assert "do not mate it" in phone.text(".named")
    assert "do not mate it" in phone.run("message()")


@pytest.mark.parametrize("how", ["addToSite()", "Begin again", "answered('coupling-diameter', {unsure: true}, false)"])
def test_a_photograph_never_stands_ready_under_another_port(phone: Phone, how: str) -> None:
    named(phone, "coupling: {saw: 'thread-outside'}")
    phone.run("ask('coupling-diameter')")
    phone.tap("Measure by photograph")
    assert phone.run("document.querySelector('main input[type=file]') !== null")
    phone.run("go('name', {asked: null})")
    phone.until("document.querySelector('.given') !== null")
    if "(" in how:
        phone.run(how)
    else:
        phone.tap(how, "main")
    phone.run("go('name'); answered('coupling', {saw: 'thread-inside'}, false)")
    phone.run("ask('coupling-diameter')")
    assert phone.run("document.querySelector('main input[type=file]') === null")


def test_a_touched_slider_is_no_scale(phone: Phone) -> None:
    phone.tap("1 : 1", "nav")
    slide = "s.value = 160; s.dispatchEvent(new Event('input')); s.dispatchEvent(new Event('change'))"
    phone.run(f"(s => {{ {slide} }})(document.querySelector('input[type=range]'))")
    phone.tap("Name", "nav")
    phone.tap("1 : 1", "nav")
    assert phone.run("document.querySelector('.true') === null")
    phone.tap("It fits", "main")
    assert "no DC on the coax" in phone.text()
    phone.tap("Set the scale anew", "main")
    phone.tap("Name", "nav")
    phone.tap("1 : 1", "nav")
    assert "has changed" not in phone.text()


def test_another_pixel_ratio_asks_for_the_scale_anew(phone: Phone) -> None:
    """Such as a system's own setting of sizes: the window keeps its size, and at the latest a touch tells.
    (Emulated, the browser tells no page of it; a media query that says so stands for that.)"""
    screen = {"width": 390, "height": 844, "mobile": True}
    phone.tap("1 : 1", "nav")
    phone.tap("It fits", "main")
    assert "has changed" not in phone.text()
    phone.call("Emulation.setDeviceMetricsOverride", deviceScaleFactor=3, **screen)
    phone.touched(380, 400)
    assert "has changed" in phone.text()
    phone.tap("It fits", "main")
    phone.run("asked = []; matchMedia = (query) => (asked.push(query), told = new EventTarget()); show()")
    phone.call("Emulation.setDeviceMetricsOverride", deviceScaleFactor=2, **screen)
    phone.run("told.dispatchEvent(new Event('change'))")
    assert phone.run("asked[0]") == "(resolution: 3dppx)"
    assert "has changed" in phone.text()


def test_long_words_break_by_the_languages_rules(phone: Phone) -> None:
    assert phone.run("getComputedStyle(document.querySelector('main h1')).hyphens") == "auto"
    assert phone.run("document.documentElement.lang") == "en"


def test_the_readers_port_goes_with_the_port_that_is_named(phone: Phone) -> None:
    named(phone, RP_SMA)
    phone.tap("Cable", "nav")
    phone.run("(s => { s.value = '12m'; s.dispatchEvent(new Event('change')); })(document.querySelector('main input'))")
    assert "Ends: RP-SMA plug" in phone.text()
    phone.run("answered('coupling-diameter', null, false)")
    phone.run("port = anotherPort(); go('cable')")
    assert phone.run("state.run.length") == "12m"
    assert "Ends:" not in phone.text()


def test_a_field_stays_under_the_finger(phone: Phone) -> None:
    phone.tap("Cable", "nav")
    fields = "[...document.querySelectorAll('main input[type=text]')]"
    for place, typed in ((1, "33"), (2, "25")):
        phone.touched(*phone.run(f"({MIDDLE})({fields}[{place}], 0.5)"))
        phone.type(typed)
    phone.key("Tab")
    assert phone.run("[state.run.power, state.run.want]") == ["33", "25"]
    assert phone.run(f"document.activeElement === {fields}[3]"), "nor do the keys lose their place"
    assert "dBm arrive" in phone.text()
    phone.type("tight")
    phone.key("Tab")
    order = phone.run("[...document.querySelector('main').children].map((one) => one.getAttribute('role'))")
    assert phone.run("document.querySelector('main [role=alert]').previousElementSibling.innerText").startswith("Tight")
    assert order.count("alert") == 1


def test_a_full_store_is_said_as_long_as_it_is(phone: Phone) -> None:
    named(phone, "coupling: {saw: 'lugs'}")
    phone.run("real = keep; keep = () => false")
    phone.tap("Add to the site", "main")
    assert "keeps nothing more" in phone.text(".told")
    phone.tap("Turn", "nav")
    assert "keeps nothing more" in phone.text(".told")
    assert phone.run("document.querySelectorAll('.told').length") == 1
    phone.run("keep = real")
    phone.tap("Name", "nav")
    assert phone.run("document.querySelector('.told')") is None


@pytest.mark.parametrize(
    "kept",
    [
        {"site": [None, {"where": "mast 2", "record": 5}], "view": "site"},
        {"practice": {"events": [None]}, "view": "practise"},
        {"run": {"length": 5}, "view": "cable"},
        {"port": {"terms": 5}},
        {"port": {"answers": {"bore": {"read": 4.6, "off": 0.05, "typed": 3}, "centre": None}}},
        {"life": 5, "view": "life"}, {"siteName": 7, "view": "site"}, {"pair": 3, "view": "together"}, "x", [1],
        '{"cut":',
    ],
)  # fmt: skip
def test_a_damaged_store_begins_anew_with_a_sentence(phone: Phone, file: str, kept: object) -> None:
    text = kept if isinstance(kept, str) and kept.startswith("{") else json.dumps(kept)
    phone.run(f"localStorage.setItem(KEPT, {json.dumps(text)})")
    phone.open(file)
    assert phone.text("main h1")
    if isinstance(kept, dict) and "pair" in kept:
        assert "it was let go" in phone.text(".told")
    else:
        assert "is damaged" in phone.text(".told")
    for view in phone.run("Object.keys(VIEWS)"):
        phone.run(f"go('{view}')")
        assert phone.text("main h1")
    if isinstance(kept, dict) and "site" in kept:
        assert phone.run("state.site.map((one) => one.where)") == ["mast 2"], "what is whole stands"


def test_where_nothing_can_be_drawn_it_begins_anew(phone: Phone) -> None:
    phone.run("go('cable'); orAnew(() => { throw new Error('as kept'); })")
    assert phone.run("state.view") == "name"
    assert "is damaged" in phone.text(".told")
