"""A folder that is put in the place of another: the phone has the one or the other whole, never verdicts of both."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from msgspec import structs

from benchmarks import pocket_cuts, pocket_jobs, pocket_speed, study
from coaxtell.models import tables
from coaxtell.pocket import build, serve
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone

OLD = ("sma-plug", "sma-jack", "bnc-50-plug", "bnc-50-jack")
NEW = (*OLD, "n-50-plug", "n-50-jack")
HALVES = "world.halves && world.pairs ? world.halves.length : 0"


@pytest.fixture(scope="module")
def folders() -> list[dict[str, bytes]]:
    """The page of four halves, and of six."""
    every = tables.load()
    few = [structs.replace(every, halves={id: every.halves[id] for id in ids}) for ids in (OLD, NEW)]
    return [build.folder(build.made(Wanted(one, date(2026, 11, 29)))) for one in few]


class Shown:
    """A server whose files are exchanged; a browser may use again what it has for ten minutes."""

    def __init__(self, address: str, files: dict[str, bytes]) -> None:
        """`files` are what it shows now, by name."""
        self.address, self.files = address, files

    def put(self, files: dict[str, bytes]) -> None:
        """Show these instead."""
        self.files.clear()
        self.files.update(files)


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch) -> Iterator[Shown]:
    monkeypatch.setitem(serve.HEADERS, "Cache-Control", "max-age=600")
    files: dict[str, bytes] = {}
    with serve.server(files, 0) as running:
        thread = threading.Thread(target=running.serve_forever, daemon=True)
        thread.start()
        yield Shown(f"http://127.0.0.1:{running.server_address[1]}/", files)
        running.shutdown()
        thread.join()


@pytest.mark.needs("chromium")
def test_another_folder_is_taken_over_whole_also_past_the_browsers_own_store(
    phone: Phone, shown: Shown, folders: list[dict[str, bytes]]
) -> None:
    old, new = folders
    shown.put(old)
    phone.open(shown.address)
    phone.until("navigator.serviceWorker.controller !== null")
    assert phone.run(HALVES) == len(OLD)
    shown.put(new | {"later.js": old["later.js"]})  # caught while it was being put there
    phone.open(shown.address)
    phone.run("navigator.serviceWorker.getRegistration().then((one) => one.update()).catch(() => null)")
    phone.open(shown.address)
    assert phone.run(HALVES) == len(OLD), "what is kept stays whole"
    shown.put(new)
    phone.run("navigator.serviceWorker.getRegistration().then((one) => one.update())")
    phone.until("caches.keys().then((names) => names.length === 1)")
    phone.until("navigator.serviceWorker.getRegistration().then((one) => !one.installing && !one.waiting)")
    phone.open(shown.address)
    assert phone.run(HALVES) == len(NEW)
    assert phone.faults == []


@pytest.mark.needs("chromium")
@pytest.mark.parametrize("part", ["later.js", "models.js", "page.js", "start.js", "index.html"])
def test_a_part_of_another_making_is_told_and_nothing_else(
    part: str, phone: Phone, shown: Shown, folders: list[dict[str, bytes]]
) -> None:
    old, new = folders
    shown.put(new | {part: old[part]})
    phone.call("Page.navigate", url=shown.address)
    phone.until("document.querySelector('main [role=alert]') !== null")
    assert phone.text().startswith("Some parts of this page are of another version than the rest")
    assert phone.run(f"typeof world === 'undefined' || !({HALVES})")
    assert phone.run("document.querySelectorAll('button').length") == 0


def test_every_part_carries_the_mark_of_its_folder(folders: list[dict[str, bytes]]) -> None:
    old, new = folders
    marks = [one["sw.js"].decode().split('MARK = "')[1].split('"')[0] for one in folders]
    assert marks[0] != marks[1]
    for mark, other, parts in ((marks[0], marks[1], old), (marks[1], marks[0], new)):
        assert all(mark.encode() in content and other.encode() not in content for content in parts.values())


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("pocket_jobs", "coaxtell/pocket/page/site.js"), ("pocket_jobs", "coaxtell/pocket/build.py"),
        ("pocket_jobs", "tests/pocket/jobs.py"), ("pocket_cuts", "coaxtell/pocket/page/draw.js"),
        ("pocket_cuts", "coaxtell/pocket/sections.py"), ("pocket_cuts", "models/mating/mate.py"),
        ("pocket_speed", "coaxtell/pocket/page/ahead.js"),
    ],
)  # fmt: skip
def test_figures_of_the_page_are_stale_when_its_code_changes(
    name: str, file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sums = {"pocket_jobs": pocket_jobs.STUDY.check_sum, "pocket_cuts": pocket_cuts.STUDY.check_sum}
    check_sum = (sums | {"pocket_speed": pocket_speed.check_sum})[name]
    for place in ("coaxtell/pocket", "tests/pocket", "models/mating"):
        shutil.copytree(study.ROOT / place, tmp_path / place)
    monkeypatch.setattr(study, "ROOT", tmp_path)
    before = check_sum()
    assert check_sum() == before
    changed = tmp_path / file
    changed.write_text(changed.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert check_sum() != before
