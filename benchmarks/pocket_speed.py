"""How fast the page for the pocket answers in Chromium slowed six times: taps acknowledged, answers drawn, the start.

Seeded persons before seeded ports answer what the page asks, in every setting and with every instrument, by touch and
by key. Each answer is timed by the page's own clock: from where the finger lands to the picture in which its button is
framed (seen), and from the finger's lift, or the key, to the first picture after it (acknowledged), to the picture of
the next question or of the name (answered) and to that of all that stands below it (whole). Beside it the processor's
time unslowed from the touch to that question, times six, which other work on the machine does not lengthen.

A person finds the answer, lets the page come to rest and reads before he touches: so the page is scrolled first and
then left alone for READS_MS, in which it may think ahead. That is the assumption of this study, and in its own column
(`hasty`) some answer after the shortest of them. The second pass, by processor, leaves no time to think ahead.

In a case of its own (`full site`) thirty ports with photographs, 4.3 MB, stand in the site: answers, and letters typed
into Place, each with what is kept for it on the phone, which holds up the next touch.

A phone's pictures are put together by its graphics chip; here there is none. Chromium's plain software drawing stands
for it: a graphics chip played by the processor (as the tests of the models need) took 55 ms of every picture, on cores
that are not slowed, and held up the next one; that is no work of a phone's processor. No model is drawn in this study.

Run: python -m benchmarks.pocket_speed
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import tempfile
import time
from datetime import date
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import numpy as np

from benchmarks.study import RESULTS, Tally, code_sum, dated, tables_sum
from coaxtell.identifier import instruments, looks
from coaxtell.identifier.answers import NotSure, NotThere, Read, Saw
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.models import tables
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone
from tests.pocket.traces import answer_of

SEED = 1616
SLOWED = 6.0
ACKNOWLEDGED_MS, AIM_MS, MOST_MS, PAINT_MS, USABLE_MS, INDEX_BYTES = 50, 150, 250, 1000, 1500, 100_000
LONGEST = 9
"""Answers of one port at most."""
READS_MS, HASTY_MS = (300, 1500), 600
"""How long a person reads before he touches, from and to; who took less than this was hasty (invented)."""
FINGER_S = 0.08
"""How long a finger stays on the screen: no tap lifts as it lands (invented)."""

WATCH = """
window.told = [];
window.began = window.landing = null;
window.shown = window.whole = null;
const after = (then) => requestAnimationFrame(() => {
  const channel = new MessageChannel();
  channel.port1.onmessage = () => then(performance.now());
  channel.port2.postMessage(0);
});
addEventListener("pointerdown", (event) => {
  const own = landing = { at: event.timeStamp };
  after((now) => { own.seen = now - own.at; });
}, true);
for (const type of ["click", "submit"]) addEventListener(type, (event) => {
  if (began !== null) return;
  began = { at: event.timeStamp, landing };
  landing = null;
  after((now) => { if (began) began.acknowledged = now - began.at; });
}, true);
new MutationObserver(() => {
  if (began === null || began.drawn) return;
  const own = began;
  own.drawn = true;
  after((now) => { own.answered = now - own.at; shown(); });
}).observe(document.querySelector("main"), { childList: true });
new MutationObserver(() => {
  if (began === null || !began.drawn || document.documentElement.dataset.busy) return;
  const own = began;
  after((now) => {
    told.push([own.acknowledged, own.answered, now - own.at, own.landing && own.landing.seen]);
    began = null;
    whole();
  });
}).observe(document.documentElement, { attributes: true });
"""
"""Times every answer in the page: the touch seen, the first picture, that of the next question, that of the whole."""
REST = """new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
  window.told_shown = new Promise((told) => { window.shown = told; });
  window.told_whole = new Promise((told) => { window.whole = told; });
  setTimeout(done, %d);
})))"""
"""The page at rest, left alone for so many ms."""
START = """(() => { const paint = performance.getEntriesByName("first-contentful-paint")[0];
  return [paint ? paint.startTime : null, window.usable]; })()"""
USABLE = """
new MutationObserver((_, watch) => {
  if (!document.querySelector("main .way")) return;
  watch.disconnect();
  requestAnimationFrame(() => setTimeout(() => { window.usable = performance.now(); }, 0));
}).observe(document, { childList: true, subtree: true });
"""
"""When the first question could be answered."""


FULL = """(() => {
  const photo = "data:image/jpeg;base64," + "QUJD".repeat(140 * 256);
  const one = { id: "n-50-jack", count: 1, where: "mast", takes: "n-50-plug", sure: 0.99, settled: true,
    named: "settled", doubts: [], record: port.record(), at: "2026-11-30T08:00:00.000Z" };
  const site = Array.from({ length: 30 }, (_, k) => ({ key: `k${k}`, ...one, photo: photo + btoa(`${100 + k}`) }));
  change({ site, removed: [] });
  const own = keepState;
  window.keeping = [];
  keepState = () => { const from = performance.now(); own(); keeping.push(performance.now() - from); };
})()"""
"""Thirty ports with photographs in the site; how long each keeping takes is noted."""
TYPED = """(async () => {
  go("site");
  const field = document.querySelector("main section.card label input"), found = [];
  for (let k = 0; k < %d; k++) {
    await new Promise((done) => setTimeout(done, 30));
    field.value += String(k %% 10);
    const from = performance.now();
    field.dispatchEvent(new Event("input"));
    found.push(performance.now() - from);
  }
  go("name");
  return found;
})()"""
"""How long each letter typed into Place takes."""


def full_site(page: str, profile: Path, answers: int) -> dict[str, list[float]]:
    """Answers and letters with a full site [ms]: what is answered, what is kept for it, a letter with what is kept."""
    with opened(page, profile, SLOWED) as phone:
        phone.run(FULL)
        assert phone.run("document.querySelector('.full')") is None, "the phone keeps them all"
        letters = phone.run(TYPED % answers)
        phone.run("keeping = []")
        told, _, _ = persons(phone, answers, Random(SEED), READS_MS)
        answered = [ms for one in told if (ms := one[1]) is not None]
        return {"letter": letters, "answered": answered, "kept": phone.run("keeping")}


def check_sum() -> str:
    """Check sum of what is timed: the page's code, and the tables by which it thinks."""
    told = f"{tables_sum(('models', 'identifier'))} {code_sum('coaxtell/pocket/page')}"
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def busy_ms(phone: Phone) -> float:
    """The processor's time of the page's own thread so far [ms]."""
    found = {one["name"]: one["value"] for one in phone.call("Performance.getMetrics")["metrics"]}
    return 1000 * float(found["TaskDuration"])


class Timed(NamedTuple):
    """Of so many answers [ms]: [acknowledged, answered, whole, seen], the processor's time, and how long each was read.

    An answer by key has no touch to be seen.
    """

    told: list[list[float | None]]
    spent: list[float]
    read: list[int]


def persons(phone: Phone, count: int, rng: Random, reads: tuple[int, int] = (0, 0)) -> Timed:
    """So many answers by seeded persons, each after so long a look at the question [ms]."""
    known = looks.load()
    halves = list(tables.load().halves.values())
    shortlists = {name: Shortlist(halves, name) for name in known.settings}
    spent: list[float] = []
    read: list[int] = []
    while len(spent) < count:
        setting, instrument = rng.choice(list(shortlists)), rng.choice([*instruments.names(known), "none"])
        truth = rng.randrange(len(halves))
        anew = {"answers": {}, "again": {}, "terms": [], "setting": setting, "instrument": instrument}
        phone.run(f"port = port.in({json.dumps(anew)}); change({{port: port.plain(), asked: null}}); show()")
        for _ in range(rng.randrange(1, LONGEST)):
            asked = phone.run("port.next && [port.next.feature.name, port.next.again]")
            if not asked or len(spent) == count:
                break
            feature = Feature(asked[0])
            pause = rng.randint(*reads)
            before = _answer(phone, answer_of(rng, shortlists[setting], feature, instrument, truth), pause)
            phone.run("told_shown")
            spent.append(busy_ms(phone) - before)
            phone.run("told_whole")
            read.append(pause)
    return Timed(phone.run("told"), spent, read)


def _answer(phone: Phone, answer: Saw | Read | NotThere | NotSure, pause: int) -> float:
    """Give an answer as a person does; the processor's time when it was given [ms]."""
    if isinstance(answer, Read):
        phone.run("document.querySelector('form input').value = ''; document.querySelector('form input').focus()")
        phone.type(f"{answer.value:.3f}")
        phone.run(REST % pause)
        before = busy_ms(phone)
        phone.call("Input.dispatchKeyEvent", type="keyDown", key="Enter", text="\r", windowsVirtualKeyCode=13)
        phone.call("Input.dispatchKeyEvent", type="keyUp", key="Enter", windowsVirtualKeyCode=13)
        if not phone.run("(document.querySelector('#refused') || {}).innerText"):
            return before
        phone.run("began = null")  # such as 0.4 by a ruler: there he cannot tell
        answer = NotSure()
    if isinstance(answer, Saw):
        at = phone.run(f"port.next.feature.offered.indexOf({json.dumps(answer.value)})")
        which = f"[...document.querySelectorAll('main .way')][{at}]" if at >= 0 else "plain"
    else:
        which = "nothing" if isinstance(answer, NotThere) else "plain"
    plain = "[...document.querySelectorAll('main .way.plain')]"
    chosen = {"plain": f"{plain}.at(-1)", "nothing": f"{plain}.at(-2)"}.get(which, which)
    x, y = phone.run(f"(b => {{ b.scrollIntoView({{block: 'center'}}); const r = b.getBoundingClientRect(); "
                     f"return [r.x + r.width / 2, r.y + r.height / 2]; }})({chosen})")  # fmt: skip
    phone.run(REST % pause)
    before = busy_ms(phone)
    phone.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
    time.sleep(FINGER_S)
    phone.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
    return before


def opened(page: str, profile: Path, slowed: float) -> Phone:
    """A phone with the page open as for the first time, its times taken."""
    phone = Phone(profile, slowed=slowed, models=False)
    phone.call("Performance.enable", timeDomain="threadTicks")
    phone.call("Page.addScriptToEvaluateOnNewDocument", source=USABLE)
    phone.open(page)
    phone.until("window.warm === true")
    phone.run(WATCH)
    return phone


def spread(name: str, times: list[float]) -> dict[str, float]:
    """Median, 95 and 99 in a hundred, and the longest [ms]."""
    found = {f"{name} {label}": float(np.percentile(times, at)) for label, at in
             (("median", 50), ("95 %", 95), ("99 %", 99), ("longest", 100))}  # fmt: skip
    return {label: round(ms, 1) for label, ms in found.items()}


def within(times: list[float], most: float) -> Tally:
    """How many of some times are no longer than that."""
    return Tally(float(sum(ms <= most for ms in times)), len(times))


def measured(page: Path, answers: int, starts: int, folder: Path) -> dict[str, Any]:
    """All figures of a page."""
    began = []
    for k in range(starts):
        with Phone(folder / f"start{k}", slowed=SLOWED, models=False) as phone:
            phone.call("Page.addScriptToEvaluateOnNewDocument", source=USABLE)
            phone.open(page.as_uri())
            phone.until("window.usable !== undefined")
            began.append(phone.run(START))
    paints, usable = ([float(one[k]) for one in began] for k in (0, 1))
    with opened(page.as_uri(), folder / "slow", SLOWED) as phone:
        told, _, read = persons(phone, answers, Random(SEED), READS_MS)
    with opened(page.as_uri(), folder / "own", 1.0) as phone:
        _, spent, _ = persons(phone, answers, Random(SEED))
    acknowledged, answered, whole, seen = ([ms for one in told if (ms := one[k]) is not None] for k in range(4))
    hasty = [ms for ms, pause in zip(answered, read, strict=True) if pause < HASTY_MS]
    worked = [SLOWED * ms for ms in spent]
    full = full_site(page.as_uri(), folder / "full", answers // 2)
    tallies = {
        f"touch seen within {ACKNOWLEDGED_MS} ms": within(seen, ACKNOWLEDGED_MS),
        f"acknowledged within {ACKNOWLEDGED_MS} ms": within(acknowledged, ACKNOWLEDGED_MS),
        f"answered within {AIM_MS} ms": within(answered, AIM_MS),
        f"answered within {MOST_MS} ms": within(answered, MOST_MS),
        f"hasty, answered within {AIM_MS} ms": within(hasty, AIM_MS),
        f"hasty, answered within {MOST_MS} ms": within(hasty, MOST_MS),
        f"whole within {MOST_MS} ms": within(whole, MOST_MS),
        f"six times the processor's time within {AIM_MS} ms": within(worked, AIM_MS),
        f"six times the processor's time within {MOST_MS} ms": within(worked, MOST_MS),
        f"first paint within {PAINT_MS} ms": within(paints, PAINT_MS),
        f"usable within {USABLE_MS} ms": within(usable, USABLE_MS),
        f"full site, letter within {ACKNOWLEDGED_MS} ms": within(full["letter"], ACKNOWLEDGED_MS),
        f"full site, kept within {ACKNOWLEDGED_MS} ms": within(full["kept"], ACKNOWLEDGED_MS),
        f"full site, answered within {AIM_MS} ms": within(full["answered"], AIM_MS),
        f"full site, answered within {MOST_MS} ms": within(full["answered"], MOST_MS),
    }
    times = (
        spread("touch seen", seen)
        | spread("acknowledged", acknowledged)
        | spread("answered", answered)
        | spread("whole", whole)
    )
    times |= spread("hasty, answered", hasty) | spread("processor x 6", worked)
    times |= spread("first paint", paints) | spread("usable", usable)
    for name, took in full.items():
        times |= spread(f"full site, {name}", took)
    return {"n": len(told), "starts": starts, "tallies": tallies, "milliseconds": times}


def main() -> None:
    """Make the page, measure, keep and print."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.pocket_speed", description=__doc__)
    parser.add_argument("--answers", type=int, default=400, help="answers timed (400)")
    parser.add_argument("--starts", type=int, default=10, help="starts timed (10)")
    parser.add_argument("--page", type=Path, help="a page that stands already; nothing is kept then")
    args = parser.parse_args()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        folder = Path(name)
        page, index = args.page, None
        if page is None:
            made = build.made(Wanted(tables.load(), date(2026, 11, 29)))
            page, index = folder / "page.html", len(build.folder(made)["index.html"])
            page.write_bytes(build.single(made))
        found = measured(page.resolve(), args.answers, args.starts, folder)
    tallies: dict[str, Tally] = found.pop("tallies")
    rows = {label: dict(zip(("mean", "low", "high"), (round(x, 4) for x in (one.mean, *one.interval())), strict=True))
            | {"n": one.tries} for label, one in tallies.items()}  # fmt: skip
    row = {
        "study": "pocket_speed", "seed": SEED, "slowed": SLOWED, "tables": check_sum(),
        "load": round(os.getloadavg()[1], 1), "cores": os.cpu_count(), "index_bytes": index,
        "index_most": INDEX_BYTES, **found, "figures": rows,
    }  # fmt: skip
    print(json.dumps(row, indent=1))
    if args.page is None:
        (RESULTS / "pocket_speed.json").write_text(json.dumps(dated(row), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
