"""The page in a browser of a phone's size: every job by touch and by key, kept over a reload."""

from __future__ import annotations

import base64
import io
import json
import tomllib
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from msgspec import structs
from PIL import Image

from coaxtell.cables import ports
from coaxtell.cli.main import main
from coaxtell.models import tables
from coaxtell.photo import card as cards
from coaxtell.photo import file as photograph
from coaxtell.photo import width
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone
from tests.pocket.jobs import Hand, work
from tests.pocket.test_photo import drawn
from tests.pocket.visits import fresh, handed_over, name_an_rp_sma

pytestmark = pytest.mark.needs("chromium")
SIZES = ((390, 844), (360, 640))
TABS = ("Name", "Turn", "Pair", "1 : 1", "Cable", "Train", "Site")


@pytest.mark.parametrize("size", SIZES)
def test_a_port_is_named_by_touch_and_kept(size: tuple[int, int], file: str, phone: Phone) -> None:
    phone.resize(*size)
    fresh(phone, file)
    name_an_rp_sma(phone)
    assert phone.text("[data-name]") == "RP-SMA jack"
    phone.open(file)
    assert phone.text("[data-name]") == "RP-SMA jack"
    phone.tap("Take back", "main")
    assert phone.run("port.given") == ["centre", "coupling-diameter"]
    assert phone.run("document.documentElement.scrollWidth") <= size[0]
    assert phone.faults == []
    phone.resize(*SIZES[0])


def test_what_follows_is_thought_of_while_the_question_is_read(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.until(
        "Object.values(port.kept).filter((one) => one instanceof Port && one.kept && 'next' in one.kept).length > 3"
    )
    value = phone.run("port.next.feature.offered[0]")
    ahead = phone.run(f"port.with(port.next.feature.name, {{saw: {json.dumps(value)}}}, false).kept.next !== undefined")
    assert ahead, "what a touch leads to is reckoned already"
    phone.run("document.body.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true }))")
    steps = "thought = {own: port, work: {next: () => { window.steps = (window.steps || 0) + 1; return {}; }}}"
    phone.run(f"{steps}; thinkAhead(); new Promise((done) => setTimeout(done, 150))")
    assert phone.run("window.steps") is None, "a finger that lands is answered first"
    assert phone.run("document.body.className") == "touched"
    phone.run("document.body.dispatchEvent(new PointerEvent('pointerup', { bubbles: true }))")
    phone.until("window.steps > 1")
    assert phone.run("document.body.className") == ""
    state = "port.with('coupling', {saw: 'thread-outside'}, false).with('size', {saw: 'pencil'}, false).state"
    slices = phone.run(f"[...world.engine.nextInSlices({state})].length")
    assert slices > 2 * phone.run(f"world.engine.openLooks({state}, port.belief).length"), "a look at a time"


def test_an_answer_given_while_another_is_drawn_counts(phone: Phone, file: str) -> None:
    """Two touches one after the other: the second is drawn, and kept."""
    fresh(phone, file)
    phone.run("answered('centre', {saw: 'pin'}, false); answered('centre', {saw: 'socket'}, false); null")
    phone.until("!document.documentElement.dataset.busy && document.querySelector('.given') !== null")
    assert phone.run("port.answers.centre.saw") == "socket"
    assert phone.run("document.querySelectorAll('.given').length") == 1
    phone.until("JSON.parse(localStorage.getItem(KEPT)).port.answers.centre.saw === 'socket'")


def test_a_port_is_named_by_keys_alone(phone: Phone, file: str) -> None:
    fresh(phone, file)
    for words in ("A thread on the outside", "I cannot tell"):
        for _ in range(40):
            phone.key("Tab")
            if words in phone.run("document.activeElement.innerText || ''"):
                break
        else:
            pytest.fail(f"no Tab reaches {words!r}")
        phone.key("Enter")
        phone.run("document.body.focus()")
    assert phone.run("port.given.length") == 2


@pytest.mark.parametrize("job", ["together", "practise", "site"])
def test_a_job_is_worked_by_keys_alone(job: str, file: str, phone: Phone, tmp_path: Path) -> None:
    """Three of all: every job by touch and by keys, however the page came, is `benchmarks.study pocket_jobs`."""
    phone.resize(360, 640)
    work(Hand(phone, "keys", tmp_path), job, file)
    phone.resize(*SIZES[0])


def test_items_show_the_desks_pictures_and_never_a_name(made: build.Made, phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("change({practice: {dated: world.practice.dated, person: 'Ada', events: []}}); go('practise')")
    wanted = json.loads(made.items)
    assert len(wanted) == phone.run("world.practice.items.length")
    phone.run("document.querySelector('img.item').decode()")
    assert phone.run("document.querySelector('img.item').src").endswith(wanted[0])
    label = phone.run("document.querySelector('img.item').alt")
    assert label == phone.run("world.practice.items[0].in_words")
    phone.run("document.querySelector('main .way').click(); document.querySelectorAll('main .way')[1].click()")
    assert phone.run("document.querySelector('img.item').src").endswith(wanted[0]), "while it is explained"
    phone.tap("Next", "main")
    assert phone.run("document.querySelector('img.item').src").endswith(wanted[1])
    assert phone.run("scrollY") == 0, "the question stands first"
    assert phone.faults == []


def test_items_without_a_picture_stand_in_words_and_face_on(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("world.pictured = world.pictured.map(() => null); go('practise')")
    assert phone.run("world.practice.items[0].in_words") in phone.text()
    shown = phone.run("document.querySelectorAll('.items svg').length")
    assert shown == phone.run("world.practice.items[0].halves.length")
    named = phone.run("document.querySelector('.items').outerHTML")
    assert not any(name in named for name in phone.run("world.halves.map((half) => half.name)")), "no name"


def test_answers_that_clash_are_named(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("answered('coupling', {saw: 'lugs'}); answered('thread-hand', {saw: 'left'})")
    assert "clash" in phone.text("[role=alert]")


def test_a_mate_that_is_on_comes_off_first_and_no_half_pictures_that(phone: Phone, file: str) -> None:
    """A picture of the left-hand kind would say nothing of the way that a nut turns; nor is a print in any."""
    fresh(phone, file)
    phone.run("port = port.in({terms: ['mated', 'no-high-voltage']}); state.port = port.plain(); show()")
    assert "How does the mate that is still on it come off?" in phone.text("[data-look=comes-off]")
    assert "unscrewed clockwise" in phone.text("[data-look=comes-off]").lower()
    pictures = "document.querySelectorAll('[data-look] button.way svg').length"
    assert phone.run(pictures) == 0
    phone.run("answered('comes-off', {saw: 'clockwise'}); ask('marked-ohm')")
    assert phone.run(pictures) == 0
    phone.run("ask('centre')")
    assert phone.run(pictures) == 3


def test_what_is_no_size_is_refused_in_one_sentence(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("ask('bore')")
    for typed in ("wide", "٣", "1,234", "400"):
        phone.run("document.querySelector('form input').value = ''; document.querySelector('form input').focus()")
        phone.type(typed)
        phone.key("Enter")
        assert phone.text("#refused").count(".") >= 1
    assert phone.run("port.given") == []


def test_the_file_it_sends_opens_on_the_desk(
    phone: Phone, file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh(phone, file)
    name_an_rp_sma(phone)
    saved = tmp_path / "port.json"
    saved.write_text(handed_over(phone, "Send"), encoding="utf-8")
    assert main(["cable", str(saved), "n-50-jack", "--length", "3m", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["reader"] == "rp-sma-jack"
    data = json.loads(saved.read_text(encoding="utf-8"))
    assert (data["format"], data["tables"]) == (1, tables.version(tables.load()))
    assert main(["identify", "--from", str(saved), "--json"]) == 0
    desk = json.loads(capsys.readouterr().out)["candidates"][0]
    assert desk["id"] == "rp-sma-jack"
    assert desk["probability"] == pytest.approx(phone.run("port.belief[port.first]"), abs=2e-3)


def test_the_identification_goes_as_a_picture(phone: Phone, file: str, tmp_path: Path) -> None:
    fresh(phone, file)
    name_an_rp_sma(phone)
    phone.run("window.sent = []; handOver = async (name, type, png) => sent.push([name, png])")
    phone.tap("Picture", "main")
    phone.until("sent.length > 0")
    assert phone.run("sent[0][0]") == "rp-sma-jack.png"
    told = (
        "new Promise((r) => { const f = new FileReader(); f.onload = () => r(f.result); f.readAsDataURL(sent[0][1]); })"
    )
    picture = Image.open(io.BytesIO(base64.b64decode(phone.run(told).partition(",")[2]))).convert("L")
    assert picture.size == (1080, 1080)
    for part in ((40, 40, 520, 520), (560, 40, 1040, 520), (40, 540, 1040, 700)):
        seen = np.asarray(picture.crop(part))
        assert seen.min() < 60, "the views and the words are drawn"
        assert seen.max() > 240


def test_a_width_is_measured_in_a_photograph(phone: Phone, file: str, tmp_path: Path) -> None:
    """Chosen, marked by touch and by key, told as the desk tells it, taken as a reading; the picture is not kept."""
    grey, corners, middle, radius = drawn(np.random.Generator(np.random.PCG64(3)), 640, 480)
    shot = tmp_path / "port.png"
    Image.fromarray(grey.astype(np.uint8)).convert("RGB").save(shot)
    fresh(phone, file)
    phone.run("ask('coupling-diameter')")
    phone.tap("Measure by photograph")
    phone.choose_file("main input[type=file]:not([capture])", shot)
    phone.until("document.querySelector('canvas.shot') !== null")
    assert "No straight sides" in phone.text("[role=status]")
    at = "(c => [c.clientWidth, c.clientHeight])(document.querySelector('canvas.shot'))"
    wide, high = phone.run(at)
    scale = min(wide / 640, high / 480)
    for words, (x, y) in zip(("Corner 1", "Corner 2", "Corner 3", "Corner 4", "Face"), [*corners, middle], strict=True):
        if words == "Face":
            assert "put the circle onto the rim" in phone.text("[role=status]"), "no width of a circle that nobody put"
            assert phone.run("document.querySelector('[data-mm]')") is None
        phone.tap(words, "main")
        phone.touch("canvas.shot", (wide - 640 * scale) / 2 + x * scale, (high - 480 * scale) / 2 + y * scale)
    phone.run("shot.marks.radius = " + str(radius))
    phone.run("document.querySelector('canvas.shot').focus()")
    phone.key("ArrowLeft")
    phone.key("ArrowRight")
    told = phone.run("(e => [Number(e.dataset.mm), Number(e.dataset.off)])(document.querySelector('[data-mm]'))")
    marks = phone.run("shot.marks")
    card = cards.fitted(grey, np.array(marks["corners"]))
    assert card is not None
    desk = width.measure(grey, card, np.array(marks["face"]), marks["radius"])
    assert desk is not None
    assert np.abs(np.array(marks["face"]) - middle).max() < 3
    assert told == pytest.approx([desk.mm, desk.plus_minus], abs=1e-6), "the file as the browser reads it"
    level_said = (
        "(s => { s.value = 'level'; s.dispatchEvent(new Event('change')); })(document.querySelector('main select'))"
    )
    phone.run(f"most = world.photo.blurMost; world.photo.blurMost = 0; {level_said}")
    assert "too blurred to measure by" in phone.text("[role=status]")
    assert phone.run("document.querySelector('[data-mm]')") is None, "no width of a blurred picture"
    phone.run(f"world.photo.blurMost = most; {level_said}")
    level = phone.run("Number(document.querySelector('[data-mm]').dataset.mm)")
    assert level > told[0], "nothing stands nearer to the camera"
    assert "Is this the mating side" in phone.text("[role=status]")
    # a finer reading stays, and it is said before anything is taken
    button = "[...document.querySelectorAll('main button')].some((b) => b.innerText.includes('take this width'))"
    for typed, other, said in (
        (round(level + 9, 2), "apart", "a ring that is not the rim"),
        (round(level, 2), "stays", "being finer than this photograph's"),
        (f"{level + 60:.2f}+-30", "apart", "a ring that is not the rim"),
        (f"{level:.2f}+-9", "goes", "stays, being finer than"),
    ):
        answer = f"readSize({{name: 'coupling-diameter'}}, '{typed}')"
        phone.run(f"port = port.with('coupling-diameter', {answer}); {level_said}")
        assert phone.run("document.querySelector('[data-other]').dataset.other") == other
        assert said in phone.text("[role=status]")
        assert phone.run(button) is (other != "stays")
    phone.run(f"port = port.with('coupling-diameter', null); {level_said}")
    assert phone.run("document.querySelector('[data-other]')") is None
    phone.tap("Yes, the mating side: take this width", "main")
    read = phone.run("port.answers['coupling-diameter']")
    assert read["read"] == pytest.approx(level, abs=0.01)
    assert "image" not in phone.run("JSON.stringify(localStorage)")
    assert phone.faults == []


def test_what_is_no_picture_is_refused_in_one_sentence(phone: Phone, file: str, tmp_path: Path) -> None:
    fresh(phone, file)
    phone.run("ask('bore')")
    phone.tap("Measure by photograph")
    small = tmp_path / "small.png"
    Image.new("RGB", (60, 60)).save(small)
    (tmp_path / "none.jpg").write_text("no picture", encoding="utf-8")
    large, bomb = tmp_path / "large.png", tmp_path / "bomb.png"
    Image.new("1", (8000, 6300)).save(large)
    Image.new("1", (20_000, 20_000)).save(bomb)
    most = f"more than {photograph.MOST_MEGAPIXELS} megapixels"
    refused = ((small, "too small"), (large, most), (tmp_path / "none.jpg", "cannot be read"), (bomb, most))
    for path, words in refused:
        phone.choose_file("main input[type=file]:not([capture])", path)
        phone.until(f"document.querySelector('main [role=alert]').innerText.includes('{words}')")
    phone.run("(() => { const read = openShot(new File(['x'], 'x.png')); shot = null; show(); return read; })()")
    assert phone.run("document.querySelector('form input') !== null"), "left while a picture was read"
    phone.run("smaller(new File(['x'], 'x.png'))")
    assert "cannot be read" in phone.text(".told")
    assert phone.faults == []


def test_a_full_store_is_said_as_long_as_it_is_full(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("for (let n = 1 << 22; n; n >>= 1) try { localStorage.setItem(`x${n}`, 'y'.repeat(n)); } catch { }")
    phone.tap("A thread on the outside")
    assert "keeps nothing more" in phone.text(".told")
    for tab in ("Turn", "Name"):
        phone.tap(tab, "nav")
        assert "keeps nothing more" in phone.text(".told")
        assert phone.run("document.querySelectorAll('.told').length") == 1
    assert phone.run("port.given") == ["coupling"], "the work goes on"
    phone.run("localStorage.clear(); sessionStorage.clear()")
    assert phone.faults == []


def test_a_site_walk_gives_a_port_list(phone: Phone, file: str) -> None:
    fresh(phone, file)
    name_an_rp_sma(phone)
    phone.tap("Add to the site", "main")
    phone.run('change({siteName: \'Gate "7"\', site: [{...state.site[0], where: "=cmd()", count: 2}]}); show()')
    text = handed_over(phone, "ports.toml")
    assert tomllib.loads(text)["site"] == 'Gate "7"'
    listed = ports.parse(text, "ports.toml", tables.load().halves)
    assert (listed.ports[0].id, listed.ports[0].count, listed.ports[0].takes) == ("rp-sma-jack", 2, "rp-sma-plug")
    assert '"\'=cmd()"' in handed_over(phone, "CSV"), "no cell is a formula"


def test_a_photograph_stays_with_its_port(phone: Phone, file: str) -> None:
    """Read slowly, while a port that stood before it is removed; or its own, and then it is nobody's."""
    fresh(phone, file)
    phone.run("for (const saw of ['pin', 'socket', 'pin']) { port = port.with('centre', {saw}, false); addToSite(); }")
    assert len({one["key"] for one in phone.run("state.site")}) == 3
    phone.run("smaller = () => new Promise((done) => { window.read = done; }); slow = document.createElement('canvas')")
    second = phone.run("state.site[1].key")
    for place, removed in ((1, 0), (1, 1)):
        phone.run(f"document.querySelectorAll('main input[type=file]')[{place}].dispatchEvent(new Event('change'))")
        phone.run(f"document.querySelectorAll('main .card > button')[{removed}].click()")
        phone.run("read(slow.toDataURL())")
    site = phone.run("state.site")
    assert [one["key"] == second for one in site if one["photo"]] == [True], "not that of the port that was removed"


def test_what_names_halves_of_other_tables_is_let_go_and_said(phone: Phone, file: str, tmp_path: Path) -> None:
    """A page with own tables, then the built-in one from the same place: the two share what is kept."""
    text = (Path(tables.__file__).parent / "tables" / "smc.toml").read_text(encoding="utf-8")
    (tmp_path / "own.toml").write_text(text.replace('key = "smc"', 'key = "own"').replace('"SMC"', '"Own"'), "utf-8")
    own = tmp_path / "own.html"
    every = tables.load(tmp_path)
    few = {id: every.halves[id] for id in ("sma-plug", "sma-jack", "own-plug", "own-jack")}
    made = build.made(Wanted(structs.replace(every, halves=few), date(2026, 11, 29), ports=("own-jack",)))
    own.write_bytes(build.single(made))
    fresh(phone, own.as_uri())
    phone.run("answered('coupling', {saw: 'thread-outside'}); addToSite()")
    record = "{...port.record(), name: 'Own jack', candidates: [{id: 'own-jack'}]}"
    phone.run(
        "change({site: [{...state.site[0], id: 'own-jack', takes: 'own-plug', where: 'mast 2',"
        f" record: {record}}}]}})"
    )
    phone.run("change({run: {reader: 'own-jack', antenna: 'own-plug', length: '12m', band: 'none'}, asked: 'none'})")
    phone.run("change({turned: 'own-jack'}); go('together', {pair: ['own-plug', 'own-jack']})")
    phone.open(file)
    assert phone.text(".told").startswith("Some of what was kept here names halves that this page does not know")
    for tab in TABS:
        phone.tap(tab, "nav")
        assert phone.text("main h1")
    assert phone.run("[state.turned, state.pair, state.run.reader, state.run.length]") == [None, None, None, "12m"]
    assert phone.run("document.querySelector('.told')") is None
    assert "Own jack" in phone.text()
    assert phone.run("[state.site[0].id, state.site[0].takes, state.site[0].where]") == ["", "", "mast 2"]
    assert '# "Own jack", 1, "mast 2"' in handed_over(phone, "ports.toml")
    assert '"","Own jack"' in handed_over(phone, "CSV")
    phone.open(file)
    assert phone.run("document.querySelector('.told')") is None, "said once"
    phone.open(own.as_uri())
    assert phone.run("state.site[0].id") == "own-jack"
    assert phone.faults == []


def test_two_halves_are_brought_together(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("go('together', {pair: ['sma-plug', 'rp-sma-jack']})")
    assert "damages" in phone.text("main h2")
    assert "Both halves carry a pin" in phone.text()
    assert phone.run("document.querySelectorAll('svg.cut path').length") > 10
    assert phone.run("document.querySelectorAll('svg.cut .decides.harm').length") == 2


def test_a_model_turns(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.run("go('turn', {turned: 'n-50-jack'})")
    phone.until("world.drawn !== undefined")
    phone.run("world.drawn")
    seen = "(() => { const c = document.querySelector('canvas.model'); return c.toDataURL().length; })()"
    assert phone.run(seen) > 0
    assert phone.run("document.querySelector('canvas.model').getContext('webgl2') !== null")
    phone.run("document.querySelector('canvas.model').focus()")
    phone.key("ArrowLeft")
    assert phone.faults == []


def test_life_size_is_set_by_a_card_and_asked_again(phone: Phone, file: str) -> None:
    fresh(phone, file)
    phone.tap("1 : 1", "nav")
    slide = "s.value = 53.98 * 6; s.dispatchEvent(new Event('input')); s.dispatchEvent(new Event('change'))"
    phone.run(f"(s => {{ {slide} }})(document.querySelector('input[type=range]'))")
    phone.tap("It fits", "main")
    phone.run("go('life', {turned: 'n-50-jack'})")
    wide = phone.run("document.querySelector('.true svg').getBoundingClientRect().width")
    assert wide == pytest.approx(6 * phone.run("Number(document.querySelector('.true svg').dataset.mm)"), rel=0.01)
    phone.run("change({life: {...state.life, screen: 'another'}}); show()")
    assert "has changed" in phone.text()
    phone.run("change({life: {screen: screenNow(), perMm: 6}}); show()")
    phone.call("Emulation.setPageScaleFactor", pageScaleFactor=2)
    phone.until("document.querySelector('.true') === null")
    assert "has changed" in phone.text(), "zoomed with two fingers, nothing is shown as true size"
    phone.call("Emulation.setPageScaleFactor", pageScaleFactor=1)
    phone.until("document.querySelector('.true') !== null")


def test_items_are_answered_and_merged(
    phone: Phone, file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh(phone, file)
    phone.run("change({practice: {dated: world.practice.dated, person: 'Ada <b>', events: []}}); go('practise')")
    for _ in range(10):
        phone.run("document.querySelector('main .way').click()")
        phone.run("document.querySelectorAll('main .way')[1].click()")
        phone.tap("Next", "main")
    assert "Done:" in phone.text()
    saved = tmp_path / "answers.json"
    saved.write_text(handed_over(phone, "Hand the answers over"), encoding="utf-8")
    record = ["--records", str(tmp_path / "record.db")]
    assert main(["records", "merge", str(saved), *record]) == 0
    assert "11 events added" in capsys.readouterr().out
    assert main(["records", "merge", str(saved), *record]) == 0
    assert "11 known already" in capsys.readouterr().out
    assert main(["progress", "--person", "Ada <b>", *record]) == 0
    saved.write_text(saved.read_text()[:-40], encoding="utf-8")
    assert main(["records", "merge", str(saved), *record]) == 2
