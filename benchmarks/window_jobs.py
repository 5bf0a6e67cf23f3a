"""Every job of the window done twice by a person's hands: by real keys alone and by a real mouse alone, under X11.

One virtual screen, one window process a way, the jobs in sequence (who does them: `benchmarks.window_person`). What was
copied is read by another program. Run: python -m benchmarks.window_jobs [keys|mouse] [JOB ...] (needs Xvfb,
xdotool, xclip; five minutes of an idle machine). Both ways whole, it keeps benchmarks/results/window_jobs.json.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from benchmarks.study import circumstances, tables_sum
from benchmarks.window_person import Person
from coaxtell.identifier import looks
from coaxtell.identifier.features import MEASURED, SEEN, Feature
from tests.window.virtual import screen

RESULTS = Path(__file__).parent / "results" / "window_jobs.json"
SITE = """
[site]
name = "North gate"
region = "us"
want = "24dBm"
size = "26cm"

[[reader]]
id = "R1"
port = "rp-tnc-jack"
settings = "10..31.5/0.25"

[[antenna]]
id = "left"
reader = "R1"
port = "n-50-jack"
length = "12m"
gain = "8.5dBic"
"""
LOOKS = {"coupling": "thread-outside", "centre": "pin", "plastic": "tube", "size": "aaa-cell", "touch": "stands",
         "rim": "plain"}  # fmt: skip
"""What a person sees on a reverse-polarity TNC jack (common practice, no source)."""


def name(person: Person) -> None:
    """A port is named by its looks and one size, its order words copied and read by another program."""
    person.job("name", "F1")
    for _ in range(25):
        person.wait(lambda: {"name-now", "copy"} & set(person.see()["controls"]), "a question or a name")
        controls = person.see()["controls"]
        if "copy" in controls:
            break
        asked = person.see()["words"]
        known = [f"value-{value}" for value in LOOKS.values() if f"value-{value}" in controls]
        if known:
            person.choose(known[0])
        elif "size" in controls and "outside" in person.see()["words"] and "thread" in person.see()["words"]:
            _measured(person)
        else:
            person.choose("not-sure")
        person.wait(lambda asked=asked: person.see()["words"] != asked, "the next question")  # type: ignore[misc]
        time.sleep(0.4)  # the shortlist moves to its new places
    person.says("RP-TNC jack")
    person.choose("copy")
    person.wait(lambda: "RP-TNC plug" in person.clipboard(), "the order words are read by another program")
    person.choose("sheet")
    person.wait(lambda: any(person.home.rglob("*rp-tnc-jack*")), "its sheet is saved")


def _measured(person: Person) -> None:
    if person.by_keys:
        person.tab_to("size")
        person.type("11.0")
        person.key("Return")
        return
    person.click("digits")
    for sign in "11.0":
        person.click(f"digit-{sign}")
    person.click("digits-take")


MUST_NOT = {Feature.TOUCH, Feature.OFF, *MEASURED}
"""What is touched, taken off or measured."""


def _at_hand(person: Person, *keys: str) -> None:
    """Begin another port and say what is at hand: each key is a tick more or a tick less."""
    for key in [key for key in ("over-now", "over") if key in person.see()["controls"]]:
        person.choose(key)
        person.wait(lambda: "over" not in person.see()["controls"], "no answer left")
        break
    person.choose("at-hand")
    for key in keys:
        person.choose(key)
    person.choose("at-hand-done")
    person.wait(lambda: not person.see()["front"], "the dialog is gone")


def _forbidden(person: Person, forbidden: set[Feature]) -> None:
    """Raise AssertionError where a question or a button asks for what must not be done."""
    known = looks.load()
    values = {f"value-{value}" for one in forbidden & set(SEEN) for value in known.table.seen[one].values}
    keys = values | {f"look-{one.value}" for one in forbidden} | ({"size"} if set(MEASURED) <= forbidden else set())
    assert not keys & set(person.see()["controls"]), f"asked for {keys & set(person.see()['controls'])}"


def _named_without(person: Person, forbidden: set[Feature]) -> None:
    """Answer what is seen until the port is named, and see that nothing forbidden is asked or offered."""
    for _ in range(25):
        person.wait(lambda: {"name-now", "copy"} & set(person.see()["controls"]), "a question or a name")
        _forbidden(person, forbidden)
        controls, asked = person.see()["controls"], person.see()["words"]
        if "copy" in controls:
            return
        known = [f"value-{value}" for value in LOOKS.values() if f"value-{value}" in controls]
        person.choose(known[0] if known else "not-sure")
        person.wait(lambda asked=asked: person.see()["words"] != asked, "the next question")  # type: ignore[misc]
        time.sleep(0.4)
    raise AssertionError("it is never named")


def at_hand(person: Person) -> None:
    """Energised, only eyes, maybe high voltage, a mate still on: nothing is asked that must not be done so."""
    person.job("name", "F1")
    _at_hand(person, "term-look-only")
    person.says("look only")
    _named_without(person, MUST_NOT)
    _at_hand(person, "term-look-only", "with-none")
    _named_without(person, set(MEASURED))
    _at_hand(person, "with-calliper", "term-high-voltage")
    person.wait(lambda: "value-lugs" in person.see()["controls"], "how it is held")
    person.choose("value-lugs")
    person.has("said-coupling")
    person.choose("name-now")
    person.says("kilovolts")
    assert "next-look" not in person.see()["controls"]
    _forbidden(person, MUST_NOT)
    _at_hand(person, "term-mated")  # what was said of the port before is gone with it
    person.says("the mate stays on until somebody knows")
    person.choose("no-high-voltage")
    person.says("come off")
    _at_hand(person, "term-mated", "term-no-high-voltage")


def together(person: Person) -> None:
    """Two halves are brought to their stop."""
    person.job("together", "F2")
    if person.by_keys:
        person.tab_to("bench")
        person.key("End")
    else:
        for _ in range(12):
            person.drag("bench", (0.3, 0.5), (300, 0))
            if "apart" in person.see()["controls"]:
                break
    person.has("apart")
    person.says("to the stop", "0.00mm")


def life_size(person: Person) -> None:
    """The screen is set with a card."""
    person.job("life-size", "F3")
    for key in ("set", "wider", "wider", "narrower", "done"):
        person.choose(key)
    person.says("This screen is set")


def practise(person: Person) -> None:
    """An item is answered and explained, and the record holds it."""
    person.job("practise", "F4")
    person.has("practise")
    if person.by_keys:
        person.tab_to("person")
        person.key("ctrl+a")
        person.type("Kim")
        person.key("Return")
    person.choose("practise")
    person.wait(lambda: any(k.startswith("option-") for k in person.see()["controls"]), "an item")
    person.choose(next(k for k in person.see()["controls"] if k.startswith("option-")))
    person.has("answer")
    person.choose("answer")
    person.has("next")
    person.choose("pause")
    person.says("answer")


def assess(person: Person) -> None:
    """The terms of the assessment of a site's port list are read, and it is begun."""
    person.job("practise", "F4")
    person.has("assess")
    person.choose("assess")
    person.has("begin")
    person.choose("begin")
    person.wait(lambda: any(k.startswith("option-") for k in person.see()["controls"]), "an item")
    person.choose("pause")
    person.has("assess")


def cable(person: Person) -> None:
    """A length is set and the order words are copied and read by another program."""
    person.job("cable", "F5")
    before = person.see()["work"]["length_m"]
    if person.by_keys:
        person.tab_to("length")
        person.key("Right", "Right")
    else:
        person.drag("length", (0.45, 0.5), (30, 0))
    person.wait(lambda: person.see()["work"]["length_m"] != before, "another length")
    person.choose("copy")
    person.wait(lambda: "class" in person.clipboard().lower(), "the order words are read by another program")


def half(person: Person) -> None:
    """A half is opened by its name, cut, taken apart and turned."""
    person.job("half", "F6")
    if person.by_keys:
        person.tab_to("choose")
        person.type("rp-sma jack")
        person.key("Return")
    else:
        person.click("choose")
        person.row("halves", "RP-SMA jack")
    person.wait(lambda: person.see()["work"]["half"] == "rp-sma-jack", "the half")
    if person.by_keys:
        person.tab_to("opened")
        person.key("Right", "Right", "Right")
        person.tab_to("apart")
        person.key("Right")
        person.tab_to("bench")
        person.key("Left", "Left", "plus")
    else:
        person.drag("opened", (0.32, 0.5), (60, 0))
        person.drag("apart", (0.32, 0.5), (40, 0))
        person.drag("bench", (0.5, 0.3), (80, 20))
    person.wait(lambda: "whole" not in person.see()["words"], "it is cut open")


def all_that_mates(person: Person) -> None:
    """Of a half with many mates all are shown, and the last of them is brought to it."""
    person.job("half", "F6")
    if person.by_keys:
        person.tab_to("choose")
        person.type("fakra z jack")
        person.key("Return")
    else:
        person.click("choose")
        person.row("halves", "FAKRA Z jack")
    person.has("all-mates")
    before = {key for key in person.see()["controls"] if key.startswith("pair-")}
    person.choose("all-mates")
    person.wait(lambda: "all-mates" not in person.see()["controls"], "all of them")
    more = [key for key in person.see()["controls"] if key.startswith("pair-") and key not in before]
    assert more
    person.choose(more[-1])
    person.wait(lambda: person.see()["scene"] == "together", "the two brought together")
    assert more[-1].removeprefix("pair-") in person.see()["work"].values()


def sources(person: Person) -> None:
    """The grade and the source of a number are read."""
    person.job("half", "F6")
    person.has("numbers")
    if person.by_keys:
        person.tab_to("numbers")
        person.key("Down", "Down")
    else:
        person.click("numbers", 0.3, 0.05)
    person.says("Grade:", "Source:")


def gauge(person: Person) -> None:
    """A part is measured twice and the range stands in the person's own book."""
    person.job("half", "F6")
    person.choose("gauge")
    person.has("reading")
    for _ in range(2):
        if person.by_keys:
            person.tab_to("reading")
            person.type("6.7 6.71")
            person.key("Return")
        else:
            person.click("digits")
            for sign in "6.7":
                person.click(f"digit-{sign}")
            person.click("digits-take")
        time.sleep(0.4)
    person.wait(lambda: any(person.home.rglob("gauged.toml")), "the book")
    person.close_all()


def beside(person: Person) -> None:
    """Halves side by side, with only what differs, all of it listed."""
    person.job("beside", "F7")
    person.choose("rest")
    person.says("socket bore", "touch")
    person.choose("close-all")
    before = person.see()["work"].get("only")
    person.choose("pictures" if before else "only")
    person.wait(lambda: person.see()["work"].get("only") != before, "the other way to show them")
    person.choose("add")
    person.has("halves")
    person.row("halves", person.see()["controls"]["halves"]["rows"][2])
    person.wait(lambda: not person.see()["front"], "a half more")


def photo(person: Person) -> None:
    """A photograph is opened, its circle moved, measured, and the width goes into the naming of a port."""
    person.job("photo", "F9")
    if person.by_keys:
        person.tab_to("file")
        person.type(str(person.home / "port.png"))
        person.key("Return")
    else:
        person.click("choose")
        person.row("files", "port.png")
    person.has("near")
    person.choose("near")
    if person.by_keys:
        person.tab_to("bench")
        person.key("Right", "Left", "bracketright", "bracketleft")
    else:
        person.drag("bench", (0.5, 0.5), (3, 2))
    person.choose("height-level")
    person.choose("confirm")
    person.says("mm across")
    person.choose("save")
    person.wait(lambda: any(person.home.rglob("port-measured*.png")), "the picture is saved")
    person.choose("mating-yes")
    person.choose("name-it")
    person.wait(lambda: person.see()["scene"] == "name", "the naming of ports")
    person.says("coupling diameter")


def paper(key: str) -> Callable[[Person], None]:
    """The job of one paper or file: chosen, given what it takes, saved, found on disk."""

    def act(person: Person) -> None:
        person.job("papers", "F8")
        if "others" in person.see()["controls"]:
            person.choose("others")
        person.choose(f"paper-{key}")
        person.has("save")
        if key == "plan":
            person.file("typed-0", "find-0", "site.toml")
        if key == "arrival":
            person.file("typed-0", "find-0", "site.toml")
            person.file("typed-1", "find-1", "R1 to left.s2p")
        if person.by_keys and key == "chart":
            # another place, typed
            target = person.home / "typed" / "my chart.pdf"
            target.parent.mkdir()
            person.tab_to("where")
            person.key("ctrl+a")
            person.type(str(target))
        person.choose("save")
        person.says("Written:")
        if person.by_keys and key == "chart":
            assert target.read_bytes().startswith(b"%PDF")

    act.__doc__ = f"A file of the kind {key} is written."
    return act


def check_sum() -> str:
    """What the jobs rest on beside the program: every table."""
    return tables_sum(("models", "identifier", "cables", "quiz"))


def jobs() -> dict[str, Callable[[Person], None]]:
    """All jobs by name, in their order."""
    from coaxtell.window.desk.errands import ERRANDS

    own = (name, at_hand, together, life_size, practise, assess, cable, half, all_that_mates, sources, gauge, beside,
           photo)  # fmt: skip
    found = {one.__name__.replace("_", " "): one for one in own}
    return {**found, **{f"paper {errand.key}": paper(errand.key) for errand in ERRANDS}}


def files(home: Path) -> None:
    """What the jobs are given: a site, a sweep of its cable, a drawn photograph; no first start stands in front."""
    import numpy as np
    from PIL import Image

    from benchmarks.photo_scene import scene
    from benchmarks.sweeps import Truth, sweep

    (home / "site.toml").write_text(SITE, encoding="utf-8")
    truth = Truth("240", 12.0, "240", 12.0, "", 0.0, "two-port", True, 25.0)
    sweep(truth, Random(3)).write_touchstone("R1 to left", dir=home)
    Image.fromarray(scene(202, 1600, 1200, np.array([11.11]), False).picture).save(home / "port.png")
    (home / "config").mkdir()
    kept = {"seen": True, "width": 1366, "height": 768, "person": "Kim"}
    (home / "config" / "window.json").write_text(json.dumps(kept), encoding="utf-8")


def done(display: str, home: Path, by_keys: bool, names: list[str]) -> dict[str, str]:
    """Do these jobs one after the other in one window; what became of each, empty where it was done."""
    files(home)
    person = Person(display, home, by_keys)
    told: dict[str, str] = {}
    try:
        for job, act in jobs().items():
            if names and job not in names:
                continue
            began = time.monotonic()
            try:
                person.close_all()
                act(person)
                told[job] = ""
            except AssertionError as error:
                told[job] = str(error)[:400]
            print(f"{'keys' if by_keys else 'mouse':<6}{job:<18}{time.monotonic() - began:>6.1f} s  {told[job]}")
            sys.stdout.flush()
        if by_keys:
            person.key("ctrl+q")
            person.process.wait(20)
    finally:
        if person.process.poll() is None:
            person.process.terminate()
        person.process.communicate(timeout=20)
    return told


def main() -> int:
    """Do all that was asked for and say what became of it."""
    ways = [way for way in ("keys", "mouse") if way in sys.argv[1:] or not {"keys", "mouse"} & set(sys.argv[1:])]
    names = [word for word in sys.argv[1:] if word not in ("keys", "mouse")]
    told: dict[str, dict[str, str]] = {}
    with screen(1500, 960) as display:
        for way in ways:
            with tempfile.TemporaryDirectory() as place:
                told[way] = done(display, Path(place), way == "keys", names)
    failed = [f"{job} by {way}" for way, rows in told.items() for job, why in rows.items() if why]
    if not names and len(ways) == 2:
        kept = {job: {way: not told[way][job] for way in ways} for job in jobs()}
        row = {"study": "window_jobs", "tables": check_sum(), **circumstances(), "done": kept}
        RESULTS.write_text(json.dumps(row, indent=1) + "\n", encoding="utf-8")
    print(f"{sum(map(len, told.values())) - len(failed)} of {sum(map(len, told.values()))} done")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
