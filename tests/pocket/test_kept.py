"""What is kept on a phone: by several pages of it, over days, for several people; what is refused before it is kept."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from msgspec import structs

from coaxtell.cli.main import main
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from coaxtell.quiz.log import person_name
from tests.pocket.browser import Phone
from tests.pocket.visits import fresh, handed_over

pytestmark = pytest.mark.needs("chromium")
FEW = ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "bnc-50-plug", "bnc-50-jack", "n-50-plug", "n-50-jack")
ELSEWHERE = """(change) => {
  const kept = { ...JSON.parse(localStorage.getItem(KEPT)), ...JSON.parse(localStorage.getItem(SITE) || "{}") };
  const { site, removed, ...views } = { ...kept, ...change(kept) };
  localStorage.setItem(SITE, JSON.stringify({ site, removed }));
  localStorage.setItem(KEPT, JSON.stringify(views));
}"""
"""Another page of this phone keeps something; this one is not told."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The page of a few halves, of one day and of the next, which asks other items."""
    every = tables.load()
    few = structs.replace(every, halves={id: every.halves[id] for id in FEW})
    folder = tmp_path_factory.mktemp("pages")
    for day in (29, 30):
        made = build.made(Wanted(few, date(2026, 11, day)))
        (folder / f"{day}.html").write_bytes(build.single(made))
    return {f"{day}": (folder / f"{day}.html").as_uri() for day in (29, 30)}


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    with Phone(tmp_path_factory.mktemp("phone") / "profile") as found:
        yield found


@pytest.fixture
def phone(opened: Phone, pages: dict[str, str]) -> Iterator[Phone]:
    fresh(opened, pages["29"])
    yield opened
    assert opened.faults == []


def added(phone: Phone, saw: str) -> None:
    phone.run(f"port = anotherPort().with('centre', {{saw: '{saw}'}}, false); addToSite()")


def answer(phone: Phone, person: str) -> None:
    """One item answered by the person whose name is typed."""
    phone.run(f"change({{practice: {{...state.practice, person: '{person}'}}}}); go('practise')")
    phone.run("document.querySelector('main .way').click(); document.querySelectorAll('main .way')[1].click()")
    phone.tap("Next", "main")


def test_what_another_page_added_is_not_overwritten(phone: Phone) -> None:
    added(phone, "pin")
    other = "(kept) => ({site: [...kept.site, {...kept.site[0], key: 'theirs', where: 'mast 2'}]})"
    phone.run(f"({ELSEWHERE})({other})")
    phone.run("change({siteName: 'North gate'})")
    kept = phone.run(
        "[JSON.parse(localStorage.getItem(KEPT)).siteName, JSON.parse(localStorage.getItem(SITE)).site.length]"
    )
    assert kept == ["North gate", 2]
    phone.run(f"({ELSEWHERE})((kept) => ({{site: kept.site.slice(1)}}))")
    added(phone, "socket")
    assert [one["where"] for one in phone.run("JSON.parse(localStorage.getItem(SITE)).site")] == ["mast 2", ""]


def test_what_another_page_did_is_seen_when_it_is_told(phone: Phone) -> None:
    phone.run("go('site')")
    phone.run(f"({ELSEWHERE})(() => ({{siteName: 'South gate'}})); dispatchEvent(new StorageEvent('storage'))")
    assert phone.run("document.querySelector('main input').value") == "South gate"


def test_an_item_answered_in_another_page_is_not_answered_twice(phone: Phone) -> None:
    phone.run("change({practice: {person: 'Kim', events: [], dated: world.practice.dated}}); go('practise')")
    phone.run("document.querySelector('main .way').click()")
    events = "[...event({events: [], person: 'Kim', chosen: 'a'}, world.practice.items[0], 0.5)]"
    phone.run(f"({ELSEWHERE})((kept) => ({{practice: {{...kept.practice, chosen: '', events: {events}}}}}))")
    phone.run("document.querySelectorAll('main .way')[1].click()")
    assert phone.run("state.practice.events.length") == 2
    assert phone.text().startswith("Ten items of the day\n\n2 of")


def test_a_full_store_loses_neither_pages_ports(phone: Phone) -> None:
    added(phone, "pin")
    phone.run("real = keep; keep = () => false")
    added(phone, "socket")
    phone.run(f"({ELSEWHERE})((kept) => ({{site: [...kept.site, {{...kept.site[0], key: 'theirs'}}]}}))")
    phone.run("keep = real; change({siteName: 'North gate'})")
    assert phone.run("JSON.parse(localStorage.getItem(SITE)).site.length") == 3


def test_answers_of_another_day_stay_until_they_are_handed_over(
    phone: Phone, pages: dict[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer(phone, "Kim")
    phone.open(pages["30"])
    phone.run("go('practise')")
    assert "still kept here: 1" in phone.text()
    answer(phone, "Kim")
    phone.open(pages["30"])
    assert phone.run("state.practice.earlier.length") == 2
    saved = tmp_path / "answers.json"
    saved.write_text(handed_over(phone, "Hand the answers over"), encoding="utf-8")
    assert main(["records", "merge", str(saved), "--records", str(tmp_path / "record.db")]) == 0
    assert "4 events added" in capsys.readouterr().out
    assert phone.run("state.practice.earlier.length") == 2, "only the person lets them go"
    phone.tap("They are merged: remove the earlier ones here", "main")
    phone.open(pages["30"])
    assert phone.run("[state.practice.earlier.length, state.practice.events.length]") == [0, 2]


def test_another_name_begins_another_sitting(phone: Phone, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for person in ("Kim", "Kim", "Bo", "Kim"):
        answer(phone, person)
    events = phone.run("state.practice.events")
    told = [(one["person"], one["number"]) for one in events if one["type"] == "answered"]
    assert told == [("Kim", 1), ("Kim", 2), ("Bo", 1), ("Kim", 1)]
    starts = {one["id"]: one["person"] for one in events if one["type"] == "started"}
    assert len(starts) == 3
    assert all(starts[one["sitting"]] == one["person"] for one in events if one["type"] == "answered")
    saved = tmp_path / "answers.json"
    saved.write_text(json.dumps(events), encoding="utf-8")
    record = ["--records", str(tmp_path / "record.db")]
    assert main(["records", "merge", str(saved), *record]) == 0
    assert main(["records", "verify", *record]) == 0
    assert "7 events of 2 people, 0 faults" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("place", "typed", "refused", "kept"),
    [
        (2, "1e21", "whole number", 1), (2, "0", "whole number", 1), (2, "9007199254740993", "whole number", 1),
        (2, "", "whole number", 1), (2, "12", "", 12), (1, "mast \ud800", "no file can carry", ""),
        (1, "mast 2 \U0001f4e1", "", "mast 2 \U0001f4e1"), (0, "\udc00", "no file can carry", None),
    ],
)  # fmt: skip
def test_what_no_desk_takes_is_refused_at_its_field(
    phone: Phone, place: int, typed: str, refused: str, kept: object
) -> None:
    added(phone, "pin")
    value = json.dumps(typed)
    phone.run(
        f"(i => {{ i.value = {value}; i.dispatchEvent(new Event('input')); }})"
        f"(document.querySelectorAll('main input')[{place}])"
    )
    assert refused in phone.text("main label:has(+ .harm:not(:empty)) + p") if refused else True
    assert phone.run("[state.siteName, state.site[0].where, state.site[0].count]")[place] == kept
    assert phone.run("document.querySelectorAll('main .harm:not(:empty)').length") == int(bool(refused))


def test_a_name_that_no_record_takes_is_refused_at_its_field(phone: Phone) -> None:
    phone.run("go('practise')")
    typed = "i.value = 'Kim \\ud800'; i.dispatchEvent(new Event('change'));"
    phone.run(f"(i => {{ {typed} }})(document.querySelector('main input'))")
    assert "no file can carry" in phone.text()
    assert phone.run("(state.practice || {}).person") in (None, "")
    assert phone.run("document.querySelector('main .way').disabled")


NAMES = (
    "Kim", "José Ñandú", "Żółć-Õun", "李小龙", "Ольга", "Αθηνά", "می\u200cخواهم", "क्\u200dष", " Kim  Bo ", "O'Neil 3",
    "Kіm", "Ρaul", "Kim\u200b", "Kim\u202e", "Kim\u200d", "\u200cKim", "Kim\x07", "Kim\u2028Bo", "K\u0301im",
    "Kim\U000e0041", "\U0001d40aim", "\uff2bim", "K\u0306\u0306im", "Ki\u20ddm", "K\ufb01m",
)  # fmt: skip
"""Plain names, then such as look like another."""


def test_names_are_refused_as_the_record_refuses_them(phone: Phone) -> None:
    """Differential: the page's field against the record's own rule (quiz.log)."""
    told = phone.run(f"{json.dumps(NAMES)}.map(refusedPerson)")
    refused = 0
    for name, code in zip(NAMES, told, strict=True):
        try:
            person_name(name)
        except InputError:
            refused += 1
            assert code in ("refused_sign", "refused_alphabets"), ascii(name)
        else:
            assert code is None, ascii(name)
    assert refused == 14


def test_an_answer_by_key_leads_to_the_next_question(phone: Phone) -> None:
    phone.run("go('name')")
    for _ in range(2):
        asked = phone.text("main [data-look] h2")
        phone.run("document.querySelector('main .way.plain:last-of-type').focus()")
        phone.key("Enter")
        now = phone.run("document.activeElement.tagName + ' ' + document.activeElement.innerText")
        assert now == "H2 " + phone.text("main h2") != f"H2 {asked}"
    phone.run("[...document.querySelectorAll('main input[type=checkbox]')].at(-1).focus()")
    phone.key(" ")
    assert phone.run("document.activeElement.type") == "checkbox", "nor do the keys lose their place"


def test_look_only_offers_no_measuring_anew(phone: Phone) -> None:
    read = "{read: 6.3, off: 0.05, typed: '6.3'}"
    given = f"{{coupling: {{saw: 'thread-outside'}}, 'coupling-diameter': {read}}}"
    phone.run(f"port = port.in({{answers: {given}}}); go('name', {{port: port.plain()}})")
    offered = "[...document.querySelectorAll('.given button')].map((one) => one.getAttribute('aria-label'))"
    both = ["Change coupling", "Take back coupling", "Change coupling diameter", "Take back coupling diameter"]
    assert phone.run(offered) == both
    phone.run("port = port.in({terms: ['look-only']}); show()")
    assert phone.run(offered) == [*both[:2], both[3]]
    clash = "{features: ['coupling-diameter'], misread: 'coupling-diameter'}"
    phone.run(f"Object.defineProperty(port, 'clash', {{value: {clash}}}); show()")
    assert phone.run("document.querySelector('main .harm button')") is None


def test_a_width_by_photograph_says_so_wherever_it_goes(
    phone: Phone, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    read = "{read: 6.3, off: 0.2, typed: '6.30mm+-0.20', photo: true}"
    phone.run(f"port = port.in({{answers: {{'coupling-diameter': {read}}}}}); go('name', {{port: port.plain()}})")
    assert "by photograph, experimental" in phone.text(".given")
    assert "by photograph, experimental" in phone.run("message()")
    saved = tmp_path / "port.json"
    saved.write_text(handed_over(phone, "Send"), encoding="utf-8")
    capsys.readouterr()
    assert main(["identify", "--from", str(saved), "--saw", "size=not-sure", "--why"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Measured in a photograph, which is experimental" in told
    assert "coupling-diameter=6.30mm+-0.20 by photograph (experimental)" in told
    phone.run("ask('coupling-diameter'); document.querySelector('main form').requestSubmit()")
    phone.until("!document.documentElement.dataset.busy && document.querySelector('.given') !== null")
    assert phone.run("port.answers['coupling-diameter'].photo"), "the same width taken again is the same"


def test_a_settled_port_by_photograph_says_so_where_it_is_ordered_for(phone: Phone) -> None:
    """The name's card, the lists of the site and the cable were silent."""
    shot = "{read: 11.2, off: 0.96, typed: '11.20mm+-0.96', photo: true}"
    given = f"coupling: {{saw: 'thread-outside'}}, centre: {{saw: 'socket'}}, 'coupling-diameter': {shot}"
    phone.run(
        f"port = port.in({{setting: 'uhf-reader', terms: ['no-high-voltage'], answers: {{{given}}}}}); go('name')"
    )
    said = "Measured in a photograph, which is experimental"
    assert said in phone.text(".named")
    assert said in phone.run("message()")
    phone.run("addToSite()")
    assert said in phone.run("portsCsv()")
    assert said in phone.run("portsToml()")
    phone.run("go('cable', {run: {reader: state.site[0].id}})")
    assert said in phone.text("main")


def test_what_becomes_of_each_reading_is_said_on_the_page(phone: Phone) -> None:
    """The same readings as on the desk (test_answers): what is said to stay stays, and nothing goes without a word."""
    for told, kept, said in (
        (["6.5+-1", "11.2+-0.96 p", "6.4+-1.2 p"], [6.5], ["6.50mm+-1.00, told before, stays", "11.20mm+-0.96 (by"]),
        (["11.2+-0.96 p", "6.3+-0.6 p", "6.4+-0.6 p"], [6.4], ["takes the place of 6.30mm", "11.20mm+-0.96 (by"]),
        (["11.2+-0.96 p", "6.3+-0.6 p", "8.6+-2.4 p"], [11.2, 6.3], ["goes with both readings"]),
        (
            ["6.3", "6.4 again", "11.2+-0.96 p"],
            [6.4, 11.2],
            ["exclude each other", "6.30mm+-0.05, told first, is kept no"],
        ),
        (
            ["6.3", "11.2+-0.96 p", "11.0+-0.8 p"],
            [6.3, 11.0],
            ["exclude each other", "takes the place of 11.20mm+-0.96"],
        ),
        (["11.2+-0.96 p", "6.3 again"], [11.2, 6.3], ["6.30mm+-0.05 exclude each other"]),
        (["11.2+-0.96 p", "6.3"], [6.3], ["6.30mm+-0.05 takes the place of 11.20mm+-0.96"]),
        (["6.3", "6.4"], [6.4], []),
    ):
        phone.run("port = anotherPort()")
        words = ""
        for one in told:
            size, _, how = one.partition(" ")
            photo = "photo: true, " if how == "p" else ""
            answer = f"{{{photo}...readSize({{name: 'coupling-diameter'}}, '{size}')}}"
            given = f"'coupling-diameter', {answer}, {str(how == 'again').lower()}"
            words = phone.run(f"(otherReadings(port, {given}) || {{said: ''}}).said")
            phone.run(f"port = port.with({given})")
        assert phone.run("port.readings('coupling-diameter').map(({ read }) => read)") == kept
        assert bool(words) == bool(said)
        assert all(part in words for part in said), words
    # a calliper after a photograph: it is said where the answer is given, and can be had back
    phone.run("port = anotherPort(); go('name'); ask('coupling-diameter')")
    shot = "{read: 11.2, off: 0.96, typed: '11.20mm+-0.96', photo: true}"
    phone.run(f"port = port.with('coupling-diameter', {shot})")
    phone.run("answered('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}, false)")
    phone.until("!document.documentElement.dataset.busy && document.querySelector('.told') !== null")
    assert "takes the place of 11.20mm+-0.96" in phone.text(".told")
    phone.run("document.querySelector('.undo button').click()")
    assert phone.run("port.readings('coupling-diameter').map(({ read }) => read)") == [11.2]
    assert phone.run("document.querySelector('.told')") is None


def test_a_calliper_after_a_photograph_that_it_excludes_settles_nothing_on_the_page(phone: Phone) -> None:
    """At the second look; it was told that the port is worn."""
    shot = "{read: 11.2, off: 0.96, typed: '11.20mm+-0.96', photo: true}"
    given = f"coupling: {{saw: 'thread-outside'}}, centre: {{saw: 'pin'}}, 'coupling-diameter': {shot}"
    phone.run(f"port = port.in({{terms: ['no-high-voltage'], answers: {{{given}}}, again: {{}}}})")
    phone.run("port = port.with('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}, true); go('name')")
    assert phone.run("[port.settled, port.worn, port.apart]") == [False, [], ["coupling-diameter"]]
    assert "exclude each other" in phone.text(".named")
    assert "worn" not in phone.text(".named").lower()


def test_readings_that_exclude_each_other_settle_nothing_on_the_page(phone: Phone) -> None:
    shot = "{read: 11.2, off: 0.96, typed: '11.20mm+-0.96', photo: true}"
    hand = "{read: 6.5, off: 1, typed: '6.5+-1'}"
    given = "coupling: {saw: 'thread-outside'}, centre: {saw: 'socket'}"
    phone.run(f"port = port.in({{terms: ['no-high-voltage'], answers: {{{given}}}, again: {{}}}})")
    phone.run(f"port = port.with('coupling-diameter', {hand}).with('coupling-diameter', {shot}); go('name')")
    assert phone.run("[port.settled, port.orderable, port.apart]") == [False, False, ["coupling-diameter"]]
    assert "exclude each other" in phone.text(".named")
    assert "6.5+-1" in phone.text(".named")
    assert "To order" not in phone.text(".named")
    phone.run("addToSite()")
    assert "exclude each other" in phone.run("portsCsv()")
    assert "takes =" not in phone.run("portsToml()")


def test_a_remark_that_cannot_be_said_loses_only_itself(phone: Phone, pages: dict[str, str]) -> None:
    """As a page of another version may have kept it: its own code is known, not that of a value."""
    for saw in ("pin", "socket", "pin"):
        added(phone, saw)
    unsaid = (
        "[['pocket.instead', {others: ['pocket.other_code', {}]}], ['pocket.gone', {}], ['pocket.centre_untold', {}]]"
    )
    phone.run(
        f"({ELSEWHERE})((kept) => "
        f"({{site: kept.site.map((one, k) => (k === 1 ? {{...one, doubts: {unsaid}}} : one))}}))"
    )
    phone.open(pages["29"])
    phone.tap("Site", "nav")
    card = phone.text("main .card:nth-of-type(2)")
    assert card.count("this page cannot say") == 2
    assert "nobody has seen what stands in the centre" in card
    assert phone.run("document.querySelectorAll('main .card').length") == 3
    assert phone.run("portsCsv()").count("this page cannot say") == 2
    assert phone.run("document.querySelector('.told')") is None
    phone.open(pages["29"])
    assert phone.run("state.site[1].doubts.length") == 3, "a page that knows it can say it"


def test_a_view_that_cannot_be_drawn_costs_no_site(phone: Phone) -> None:
    added(phone, "pin")
    phone.run("VIEWS.site = () => { throw new Error('as kept'); }")
    phone.run("port = port.with('centre', {saw: 'pin'}, false); change({port: port.plain()}); go('site')")
    assert phone.run("[state.view, state.site.length, port.given.length]") == ["name", 1, 1]
    assert "is damaged" in phone.text(".told")
    phone.run(
        "real = VIEWS.name; VIEWS.name = () => { if (port.given.length) throw new Error('as kept'); return real(); }"
    )
    phone.run("go('name')")
    assert phone.run("[state.view, state.site.length, port.given.length]") == ["name", 1, 0]
    assert phone.run("JSON.parse(localStorage.getItem(SITE)).site.length") == 1


def test_what_was_taken_away_comes_back_until_the_next_act(phone: Phone) -> None:
    for saw in ("pin", "socket", "pin"):
        added(phone, saw)
    before = phone.run("state.site")
    phone.run("document.querySelectorAll('main .card > button')[1].click()")
    assert len(phone.run("state.site")) == 2
    phone.tap("Undo", ".undo")
    assert phone.run("state.site") == before, "in its place"
    assert phone.run("document.querySelector('.undo')") is None
    phone.run("document.querySelectorAll('main .card > button')[1].click(); change({siteName: 'North gate'})")
    assert phone.run("document.querySelector('.undo')") is None
    phone.run("answered('centre', {saw: 'pin'}, false)")
    phone.until("!document.documentElement.dataset.busy")
    phone.run("go('name')")
    phone.tap("Begin again", "main")
    assert phone.run("port.given") == []
    phone.tap("Undo", ".undo")
    assert phone.run("[port.given, JSON.parse(localStorage.getItem(KEPT)).port.answers.centre.saw]") == [
        ["centre"],
        "pin",
    ]
    phone.tap("Begin again", "main")
    phone.run("answered('centre', {saw: 'socket'}, false)")
    phone.until("!document.documentElement.dataset.busy")
    assert phone.run("[document.querySelector('.undo'), port.answers.centre.saw]") == [None, "socket"]


def test_each_port_that_was_removed_can_be_put_back(phone: Phone, pages: dict[str, str]) -> None:
    for saw in ("pin", "socket", "pin"):
        added(phone, saw)
    phone.run("changeSite((site) => site.map((one, k) => ({...one, where: `mast ${k}`}))); show()")
    before = phone.run("state.site")
    for _ in range(2):
        phone.run("document.querySelectorAll('main .card > button')[1].click()")
    assert phone.run("state.site.map(({where}) => where)") == ["mast 0"]
    phone.tap("Name", "nav")
    phone.open(pages["29"])
    phone.tap("Site", "nav")
    given = phone.run("[...document.querySelectorAll('main .given span')].map((one) => one.innerText)")
    assert [one.split(", ")[1] for one in given] == ["mast 2", "mast 1"], "the last one first"
    for _ in range(2):
        phone.tap("Put back", "main .given")
    assert phone.run("state.site") == before, "each where it stood"
    assert phone.run("document.querySelector('main .given')") is None
    assert phone.run("JSON.parse(localStorage.getItem(SITE)).removed") == []


def test_what_was_removed_makes_room_on_a_full_phone(phone: Phone) -> None:
    for saw in ("pin", "socket"):
        added(phone, saw)
    phone.run("document.querySelectorAll('main .card > button')[1].click()")
    phone.run("real = keep; keep = (text, ...to) => !/removed.:\\[\\{/.test(text) && real(text, ...to)")
    phone.run("changeSite((site) => site.map((one) => ({...one, where: 'mast 2'}))); keep = real")
    assert phone.run("[state.site.length, state.removed.length, state.site[0].where]") == [1, 0, "mast 2"]
    assert phone.run("JSON.parse(localStorage.getItem(SITE)).site[0].where") == "mast 2"
    assert phone.run("document.querySelector('.full')") is None


def test_no_more_than_five_removed_ports_are_kept(phone: Phone) -> None:
    for number in range(7):
        added(phone, "pin")
        phone.run(f"changeSite((site) => site.map((one) => ({{...one, where: 'mast {number}'}}))); show()")
        phone.run("document.querySelector('main .card > button').click()")
    assert phone.run("state.removed.map(({where}) => where)") == [f"mast {n}" for n in (6, 5, 4, 3, 2)]


def test_each_page_names_a_port_of_its_own(phone: Phone, pages: dict[str, str]) -> None:
    phone.run("answered('coupling', {saw: 'thread-outside'}, false)")
    phone.until("!document.documentElement.dataset.busy")
    other = "(kept) => ({port: {...kept.port, answers: {centre: {saw: 'pin'}}}, view: 'cable', siteName: 'North gate'})"
    phone.run(f"({ELSEWHERE})({other})")
    phone.open(pages["29"])
    assert phone.run("[port.given, state.view, state.siteName]") == [["coupling"], "name", "North gate"]
    phone.run("sessionStorage.clear()")
    phone.run(f"({ELSEWHERE})({other})")
    phone.open(pages["29"])
    assert phone.run("port.given") == ["centre"], "a page that was closed goes on where the phone left off"


def test_the_page_is_written_over_nothing_else(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    own, folder = tmp_path / "notes.html", tmp_path / "mine"
    folder.mkdir()
    (folder / "index.html").write_text("<p>mine</p>", encoding="utf-8")
    other = tmp_path / "other"
    other.mkdir()
    (other / "list.csv").write_text("1", encoding="utf-8")
    own.write_text("<p>mine</p>", encoding="utf-8")
    for place in (own, folder, other):
        assert main(["pocket", "-o", str(place), "--pictures", "no"]) != 0
        assert "is there already" in " ".join(capsys.readouterr().err.split())
    assert own.read_text(encoding="utf-8") == (folder / "index.html").read_text(encoding="utf-8") == "<p>mine</p>"
    assert [path.name for path in other.iterdir()] == ["list.csv"]


def test_a_page_is_known_as_one(pages: dict[str, str]) -> None:
    assert build.is_page(Path(pages["29"].removeprefix("file://")).read_text(encoding="utf-8"))
