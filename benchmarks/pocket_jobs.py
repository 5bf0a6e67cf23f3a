"""Every job of the page worked by touch alone and by keys alone, on two sizes of phone, however the page came there.

Ways: a folder on a server on this machine, the single file from the phone's own storage without a network, and plain
http from another name, as a phone on the local network sees the desk. After each job the page is opened anew and must
stand as it was left, and axe-core must find no fault in the view where the job ended.
Run: python -m benchmarks.study pocket_jobs
"""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import cache
from itertools import product
from pathlib import Path

from benchmarks.study import Study, Tally, code_sum
from coaxtell.models import tables
from coaxtell.pocket import build, serve
from coaxtell.pocket.data import Wanted
from tests.conftest import node_path
from tests.pocket.browser import Phone
from tests.pocket.jobs import JOBS, WAYS, Hand, work

SIZES = ((390, 844), (360, 640))
DELIVERED = ("folder", "file", "local network")
CELLS = list(product(SIZES, DELIVERED))
RESTS_ON = ("coaxtell/pocket", "coaxtell/pocket/texts/en.toml", "tests/pocket/jobs.py")
"""The page, what makes it, the words by which it is worked, and the jobs."""


@cache
def made() -> build.Made:
    """The page, once for all cells."""
    return build.made(Wanted(tables.load(), date(2026, 11, 29)))


@contextmanager
def address(delivered: str, folder: Path) -> Iterator[str]:
    """Where the page stands, delivered in some way."""
    if delivered == "file":
        page = folder / "page.html"
        page.write_bytes(build.single(made()))
        yield page.as_uri()
        return
    with serve.server(build.folder(made()) | {build.FILE: build.single(made())}, 0) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        host = "127.0.0.1" if delivered == "folder" else "phone.test"
        yield f"http://{host}:{running.server_address[1]}/"
        running.shutdown()


def play(block: int, _: int) -> dict[str, Tally]:
    """One size and one way of delivery: the jobs done and kept by touch and by keys, and views without a fault."""
    size, delivered = CELLS[block]
    found: dict[str, Tally] = {}
    root = node_path("axe-core")
    axe = None if root is None else (Path(root) / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name,
        address(delivered, Path(name)) as url,
        Phone(Path(name) / "profile", size) as phone,
    ):
        if delivered == "file":
            phone.call("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0,
                       uploadThroughput=0)  # fmt: skip
        for way, job in product(WAYS, JOBS):
            done = _done(Hand(phone, way, Path(name)), job, url)
            label = f"jobs by {way}, {delivered}, {size[0]} x {size[1]}"
            found[label] = found.get(label, Tally(0, 0)).plus(Tally(float(done), 1))
            if axe is not None:
                phone.run(axe)
                faults = phone.run("axe.run().then((r) => r.violations.map((v) => v.id))")
                clean = found.get("views without a fault", Tally(0, 0))
                found["views without a fault"] = clean.plus(Tally(float(not faults), 1))
    return found


def _done(hand: Hand, job: str, url: str) -> bool:
    try:
        work(hand, job, url)
    except AssertionError as error:
        print(f"{job} by {hand.way} at {url}: {error}")
        hand.phone.faults.clear()
        return False
    return True


STUDY = Study(
    name="pocket_jobs",
    about="Shares of the jobs that can be worked and are kept, by touch and by keys, on two sizes, however delivered",
    rooms=(),
    seed=0,
    blocks=len(CELLS),
    play=play,
    size=len(JOBS) * len(WAYS),
    sample=1,
    rests_on=lambda: " ".join([code_sum(*RESTS_ON), *JOBS, *(f"{size}{way}" for size, way in CELLS)]),
)
