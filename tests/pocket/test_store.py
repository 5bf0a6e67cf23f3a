"""What one act writes on the phone: only what it changed, and nothing that was typed or pictured is lost."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.pocket.browser import Phone
from tests.pocket.visits import fresh, page_of

pytestmark = pytest.mark.needs("chromium")
FEW = ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "n-50-plug", "n-50-jack")
PICTURE = "'data:image/jpeg;base64,' + 'QUJD'.repeat({kb} * 256)"
WALK = """(() => {
  const one = { id: "n-50-jack", count: 1, where: "mast", takes: "n-50-plug", sure: 0.99, settled: true,
    named: "settled", doubts: [], record: port.record(), at: "2026-11-30T08:00:00.000Z" };
  const photo = (k) => PHOTOGRAPH + btoa(`${100 + k}`);
  const site = Array.from({ length: COUNT }, (_, k) => ({ key: `k${k}`, ...one, photo: photo(k) }));
  KEEP
})()"""
"""A site of so many ports, each with a photograph of its own."""
ANEW = "change({site, removed: []})"
BEFORE = "localStorage.setItem(KEPT, JSON.stringify({...state, site, removed: []}))"
"""As a page of before kept it: all in one text."""
WRITTEN = """(() => {
  window.written = {};
  const own = Storage.prototype.setItem;
  Storage.prototype.setItem = function (name, text) {
    own.call(this, name, text);
    if (this === localStorage) written[name] = (written[name] || 0) + text.length;
  };
})()"""
LETTERS = """(words) => {
  const field = document.querySelector("main section.card label input");
  for (let k = 1; k <= words.length; k++) { field.value = words.slice(0, k); field.dispatchEvent(new Event("input")); }
}"""


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
    opened.run("localStorage.clear()")
    assert opened.faults == []


def walked(phone: Phone, keep: str, count: int = 30, kb: int = 100) -> None:
    phone.run(WALK.replace("PHOTOGRAPH", PICTURE.format(kb=kb)).replace("COUNT", f"{count}").replace("KEEP", keep))


def pictures(phone: Phone) -> list[int]:
    """The number at the end of each port's photograph."""
    found: list[int] = phone.run("state.site.map(({photo}) => photo.length > 1000 && atob(photo.slice(-4)) - 100)")
    return found


def kept_photographs(phone: Phone) -> int:
    found: int = phone.run("Object.keys(localStorage).filter((name) => name.startsWith(PHOTO)).length")
    return found


def test_an_answer_and_a_letter_write_no_photograph(phone: Phone, file: str) -> None:
    """Thirty ports with photographs, 4 MB: what an act does not change it does not write."""
    walked(phone, ANEW)
    assert phone.run("document.querySelector('.full')") is None
    phone.run(WRITTEN)
    phone.run("go('name'); answered('centre', {saw: 'pin'}, false)")
    phone.until("!document.documentElement.dataset.busy && JSON.parse(stored()).port.answers.centre")
    assert set(phone.run("Object.keys(written)")) == {"coaxtell pocket"}
    assert phone.run("written[KEPT]") < 20_000
    phone.run(f"written = {{}}; go('site'); ({LETTERS})('gate 7')")
    assert [name for name in phone.run("Object.keys(written)") if "photo" in name] == []
    phone.open(file)
    assert phone.run("state.site[0].where") == "gate 7", "nor is a letter lost, however soon the page goes"
    assert pictures(phone) == list(range(30))


def test_a_store_of_before_is_read_and_taken_apart(phone: Phone, file: str) -> None:
    """Also where it leaves no room for its photographs a second time."""
    walked(phone, BEFORE, kb=140)
    size = phone.run("stored().length")
    assert size > 4_000_000
    phone.open(file)
    assert pictures(phone) == list(range(30))
    assert phone.run("document.querySelector('.told')") is None
    phone.run("go('site')")
    assert phone.run("[document.querySelector('.full'), stored().length < 20000]") == [None, True]
    assert kept_photographs(phone) == 30
    phone.open(file)
    assert pictures(phone) == list(range(30))
    phone.run("removed(state.site[3])")
    phone.open(file)
    assert pictures(phone) == [k for k in range(30) if k != 3]
    assert phone.run("state.removed.length") == 1


def test_a_store_of_before_stays_where_it_cannot_be_taken_apart(phone: Phone, file: str) -> None:
    walked(phone, BEFORE, count=3)
    phone.open(file)
    phone.run("real = keep; keep = (text, where, name = KEPT) => name === KEPT && real(text, where, name); go('site')")
    assert phone.run("document.querySelector('.full') !== null")
    phone.open(file)
    assert pictures(phone) == [0, 1, 2]


def test_photographs_go_with_their_ports(phone: Phone, file: str) -> None:
    """One that another page put there is seen, one that is replaced or belongs to no port any more is let go."""
    walked(phone, ANEW, count=3)
    assert kept_photographs(phone) == 3
    other = """(() => {
      const kept = JSON.parse(localStorage.getItem(SITE));
      localStorage.setItem(`${PHOTO}theirs`, state.site[1].photo + btoa("900"));
      kept.site[1].photoKept = "theirs";
      localStorage.setItem(SITE, JSON.stringify(kept));
    })()"""
    phone.run(other)
    phone.run("change({siteName: 'Gate'})")
    assert pictures(phone) == [0, 800, 2]
    phone.run("changeSite((site) => site.slice(1))")
    assert kept_photographs(phone) == 2
    phone.open(file)
    assert pictures(phone) == [800, 2]


def test_a_full_store_keeps_what_stood_there(phone: Phone, file: str) -> None:
    walked(phone, ANEW, count=2)
    phone.run("real = keep; keep = (text, where, name = KEPT) => !name.startsWith(PHOTO) && real(text, where, name)")
    phone.run("changeSite((site) => site.map((one) => ({...one, where: 'mast 2', photo: one.photo + btoa('200')})))")
    assert phone.run("document.querySelector('.full') !== null")
    assert kept_photographs(phone) == 2
    kept = phone.run("JSON.parse(localStorage.getItem(SITE)).site")
    assert [one["where"] for one in kept] == ["mast 2", "mast 2"], "words that find room are kept all the same"
    phone.run("keep = real; go('site')")
    assert phone.run("document.querySelector('.full')") is None
    phone.open(file)
    assert pictures(phone) == [100, 100]
    assert phone.run("state.site[1].where") == "mast 2"


def test_a_photograph_that_finds_no_room_costs_nothing_typed_later(phone: Phone, file: str) -> None:
    """Nor does one that takes the last room, which the list then lacks."""
    three = "Object.keys(localStorage).filter((one) => one.startsWith(PHOTO)).length > 2"
    for refused in ("name.startsWith(PHOTO)", f"name === SITE && {three}"):
        phone.run("localStorage.clear()")
        phone.open(file)
        walked(phone, ANEW, count=2)
        phone.run(f"real = keep; keep = (text, where, name = KEPT) => !({refused}) && real(text, where, name)")
        phone.run("changeSite((site) => site.map((one, k) => (k ? one : {...one, photo: one.photo + btoa('200')})))")
        assert phone.run("document.querySelector('.full') !== null")
        phone.run("changeSite((site) => site.map((one) => ({...one, where: 'typed after', count: 4})))")
        phone.run("changeSite((site) => [...site, {...site[0], key: 'k9', photo: ''}])")
        assert kept_photographs(phone) == 2
        phone.open(file)
        assert phone.run("state.site.map(({where, count}) => [where, count])") == [["typed after", 4]] * 3
        assert pictures(phone) == [0, 1, False]


def test_a_damaged_list_of_the_site_costs_only_itself(phone: Phone, file: str) -> None:
    walked(phone, ANEW, count=2)
    phone.run("change({siteName: 'Gate'}); localStorage.setItem(SITE, '{\"cut')")
    phone.open(file)
    assert "is damaged" in phone.text(".told")
    assert phone.run("[state.siteName, (state.site || []).length]") == ["Gate", 0]
