"""Hostile inputs of every kind that a person hands over: each is answered or refused in one sentence.

Own tables, site files, saved ports, records, port lists, sweeps, photographs, rows of a walk, arguments and typed
answers, each a true one with bytes flipped, lines cut, numbers blown up or words exchanged. A fault is a traceback, a
status that is none of the command's, a refusal that is no single sentence, an input that takes over a minute of work,
or a file of the person's that is changed. Each block runs in a process of its own, whose most memory is kept.
Run: python -m benchmarks.study fuzz; one input again: python -m benchmarks.fuzz BLOCK PLACE; all the nonsense of
`tests/cli/test_every_option.py` behind every option of every command, a line each: python -m benchmarks.fuzz
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from random import Random
from typing import NamedTuple

from benchmarks.study import ROOT, Study, Tally
from tests.cli.test_every_option import (
    FOLDERS_WRITTEN,
    NONSENSE,
    NOT_FUZZED,
    OPTIONS,
    PORTS,
    RECORD,
    SITE,
    SLOW_TO_START,
    WHOLE,
    put,
    shot,
    sweep,
)  # fmt: skip

SEED, BLOCKS, SIZE = 3018, 300, 100
LONGEST_S = 60
"""Work of the processor that one input may take [s]."""
MOST_BYTES = 1_000_000_000
STATUSES = (0, 1, 2, 3)
"""Done; done with faults or a run that cannot be met; refused; not settled."""
EXTREMES = ("1e300", "-1e300", "nan", "inf", "0", "-0.0", "1e-300", "9" * 60, '"x"', "true", "[]", "{}", "1_0", "٣")
WORDS = (
    "",
    "x" * 5000,
    "\u202e",
    "\x1b[2J",
    "..",
    "/",
    "=1+1",
    "NaN",
    "木",
    "\ud800",
    "-",
    "''",
    '"',
    "{}",
    "%s",
    "\0",
)
TYPED = (
    "u", "b", "q", "1", "2", "3", "n", "y", "", "a", "a 50", "b 100", "c 999", "6.3", "1/4in", "0", "-1", "nan", "?",
    "thread-outside", "pin", "socket", "lugs", "99999999999999999999", "x" * 3000, "\u202e", "1", "2", "quit", "back",
)  # fmt: skip
SAVED = {
    "setting": "any", "instrument": "calliper",
    "answers": {"coupling": {"type": "saw", "value": "thread-outside"},
                "coupling-diameter": {"type": "read", "value": 6.3, "plus_minus": 0.05, "typed": "6.3"}},
    "again": {}, "terms": [], "state": "not settled",
    "candidates": [{"id": "sma-jack", "probability": 0.6}, {"id": "rp-sma-jack", "probability": 0.4}],
    "beware": [{"id": "rp-sma-jack", "tell": "centre", "look": "centre"}],
}  # fmt: skip
WALK = "place,coupling,centre,coupling-diameter,size\n" + "a,thread-outside,pin,6.26,pencil\nb,lugs,socket,,\n" * 4


class Try(NamedTuple):
    """A command line with what is typed into it, and the files it is handed, by name."""

    kind: str
    words: list[str]
    files: dict[str, bytes]
    typed: str = ""


def spoilt(rng: Random, data: bytes) -> bytes:
    """A true file, spoilt once to three times."""
    for _ in range(rng.randint(1, 3)):
        data = rng.choice((_flipped, _cut, _doubled, _number, _word, _line))(rng, data)
    return data


def _flipped(rng: Random, data: bytes) -> bytes:
    found = bytearray(data)
    for _ in range(rng.choice((1, 1, 8, 200))):
        if found:
            found[rng.randrange(len(found))] = rng.randrange(256)
    return bytes(found)


def _cut(rng: Random, data: bytes) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] if rng.random() < 0.7 else data[at:]


def _doubled(rng: Random, data: bytes) -> bytes:
    one, two = sorted((rng.randrange(len(data) + 1), rng.randrange(len(data) + 1)))
    return data[:two] + data[one:two][:5000] + data[two:]


def _number(rng: Random, data: bytes) -> bytes:
    places = list(re.finditer(rb"-?\d+(?:\.\d+)?", data))
    if not places:
        return data
    found = rng.choice(places)
    return data[: found.start()] + rng.choice(EXTREMES).encode() + data[found.end() :]


def _word(rng: Random, data: bytes) -> bytes:
    places = list(re.finditer(rb"[A-Za-z][\w-]*", data))
    if not places:
        return data
    found = rng.choice(places)
    return data[: found.start()] + rng.choice(WORDS).encode("utf-8", "surrogatepass") + data[found.end() :]


def _line(rng: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    if rng.random() < 0.5:
        del lines[rng.randrange(len(lines))]
    else:
        lines.insert(rng.randrange(len(lines) + 1), rng.choice(lines))
    return b"\n".join(lines)


def _tables(rng: Random) -> Try:
    path = rng.choice(sorted((ROOT / "models" / "tables").glob("*.toml")))
    words = rng.choice((["list"], ["sources", "sma-plug"], ["identify", "--json", "--saw", "centre=pin"]))
    data = path.read_bytes()
    if path.name != "sources.toml":
        # under another key it joins the tables that ship
        data = re.sub(rb'^key = "', b'key = "own-', data, flags=re.MULTILINE)
    return Try("tables", [*words, "--tables", "own"], {f"own/{path.name}": spoilt(rng, data)})


def _site(rng: Random) -> Try:
    words = ["plan", "given.toml", "-o", rng.choice(("plan.html", "plan.xlsx")), "--ports", "of-plan.toml"]
    return Try("site files", words, {"given.toml": spoilt(rng, SITE.encode())})


def _saved(rng: Random) -> Try:
    words = rng.choice((["identify", "--json", "--from", "p.json"], ["cable", "p.json", "n-50-jack", "--length", "9m"]))
    data = spoilt(rng, json.dumps(SAVED).encode())
    return Try("saved ports", words, {"p.json": _escaped(rng, data) if rng.random() < 0.1 else data})


def _escaped(rng: Random, data: bytes) -> bytes:
    """With a sign as JSON escapes it before a word: half a pair of code units, a noncharacter, a turn."""
    at = rng.choice([found.start() for found in re.finditer(rb"[A-Za-z]", data)] or [0])
    return data[:at] + rng.choice((b"\\ud800", b"\\udc00", b"\\uffff", b"\\u202e", b"\\u0000")) + data[at:]


def _record(rng: Random) -> Try:
    data = RECORD.read_bytes()
    data = _cut(rng, data) if rng.random() < 0.4 else _flipped(rng, data)
    words = rng.choice((
        ["records", "verify", "--records", "r.db"], ["records", "verify", "--records", "r.db", "--rescue", "new.db"],
        ["progress", "--team", "--records", "r.db"], ["records", "export", "-o", "r.csv", "--records", "r.db"],
    ))  # fmt: skip
    return Try("records", words, {"r.db": data})


def _ports(rng: Random) -> Try:
    words = rng.choice((["lifesize", "--ports", "p.toml", "-o", "l.pdf"], ["gauge", "--plan", "p.toml"]))
    return Try("port lists", words, {"p.toml": spoilt(rng, PORTS.encode())})


def _sweep(rng: Random) -> Try:
    return Try("sweeps", ["arrival", "240:12m", "d.s2p"], {"d.s2p": spoilt(rng, sweep().encode())})


def _photo(rng: Random) -> Try:
    from PIL import Image

    held = io.BytesIO()
    size = rng.choice(((64, 48), (320, 200), (1, 1), (3000, 2)))
    kind = rng.choice(("PNG", "JPEG", "WEBP"))
    Image.effect_noise(size, 60).convert("RGB").save(held, kind)
    name = f"p.{ {'PNG': 'png', 'JPEG': 'jpg', 'WEBP': 'webp'}[kind] }"
    more = rng.choice(([], ["--face", "30,20,9"], ["--face", "30,20,9", "--card", "5,5 50,5 50,40 5,40"]))
    return Try("photographs", ["photo", name, *more], {name: spoilt(rng, held.getvalue())})


def _walk(rng: Random) -> Try:
    words = ["identify", "--batch", "w.csv", "-o", rng.choice(("o.csv", "o.html", "o.xlsx"))]
    return Try("walks", words, {"w.csv": spoilt(rng, WALK.encode())})


QUICK = [found for found in OPTIONS if found[0] not in SLOW_TO_START | NOT_FUZZED]
FILES = {
    "site.toml": SITE.encode(), "ports.toml": PORTS.encode(), "delivered.s2p": sweep().encode(),
    "record.db": RECORD.read_bytes(),
}  # fmt: skip


def _arguments(rng: Random) -> Try:
    command, option = rng.choice(QUICK)
    value = rng.choice((*NONSENSE, *WORDS, *EXTREMES)).replace("\0", "")
    if option in ("-o", "--save", "--tables", "--pictures", "--ports", "--export", "--rescue"):
        value = value.replace("/", "").replace("..", "")  # stays in the folder
    words = [command, *(WHOLE[command] if command != "photo" else ["p.png"]), put(option, value)]
    if rng.random() < 0.3:
        words.insert(rng.randrange(1, len(words) + 1), rng.choice(NONSENSE))
    return Try("arguments", words, FILES)


def _dialogue(rng: Random) -> Try:
    words = rng.choice((
        ["identify"], ["identify", "--setting", "bench"], ["gauge", "f-plug", "--tables", "measured", "--who", "T"],
        ["practise", "--items", "3", "--pictures", "none", "--person", "T", "--records", "record.db", "--seed", "1"],
    ))  # fmt: skip
    typed = "".join(f"{rng.choice(TYPED)}\n" for _ in range(rng.randint(0, 30)))
    return Try("dialogues", words, {"record.db": FILES["record.db"]}, typed)


KINDS: tuple[Callable[[Random], Try], ...] = (
    _tables, _site, _saved, _record, _ports, _sweep, _photo, _walk, _arguments, _dialogue,
)  # fmt: skip


def made(block: int, place: int) -> Try:
    """The input at a place of a block."""
    return KINDS[place % len(KINDS)](Random(f"{SEED} {block} {place}"))


def fault(one: Try, folder: Path) -> tuple[int, str]:
    """The status of an input, and what is wrong with how it was met; empty where nothing is."""
    from coaxtell.cli.main import main

    for name, data in one.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    out, err = io.StringIO(), io.StringIO()
    stdin, sys.stdin = sys.stdin, io.StringIO(one.typed)
    signal.setitimer(signal.ITIMER_PROF, LONGEST_S)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(one.words)
    except SystemExit as ended:  # a word that argparse takes for --help
        status = int(ended.code or 0)
    except BaseException as error:  # whatever it is, it is a fault
        return -1, f"{type(error).__name__}: {str(error)[:200]}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        sys.stdin = stdin
    said = err.getvalue()
    if status not in STATUSES:
        return status, f"status {status}"
    if "Traceback" in said + out.getvalue():
        return status, "a traceback"
    if status == 2 and (not said.startswith("coaxtell: ") or said.count("\n") != 1 or len(said) > 2200):
        return status, f"no single sentence: {said[:300]!r}"
    handed = {name: data for name, data in one.files.items() if one.kind not in ("dialogues", "arguments")}
    changed = [
        name for name, data in handed.items() if not name.endswith(".db") and (folder / name).read_bytes() != data
    ]
    return status, f"changed {changed}" if changed else ""


def _too_long(*_: object) -> None:
    raise TimeoutError(f"over {LONGEST_S} s of work")


def every_option() -> Iterator[Try]:
    """Every nonsense behind every option."""
    files = {**FILES, "port.png": shot()[0]}
    for command, option in OPTIONS:
        for value in NONSENSE:
            if (command, option) not in FOLDERS_WRITTEN or value not in ("/", ".."):
                yield Try("arguments", [command, *WHOLE[command], put(option, value)], files)


def _played(tries: Iterable[tuple[int, Try]]) -> int:
    """Play inputs, each with its place, in this process and print a line of JSON for each, then the most memory.

    Returns how many were faults.
    """
    faults = 0
    signal.signal(signal.SIGPROF, _too_long)
    home = Path(tempfile.mkdtemp())
    os.environ |= {"COAXTELL_HOME": str(home / "home"), "SDL_VIDEODRIVER": "nothing-of-that-name"}
    for place, one in tries:
        folder = home / "work"
        folder.mkdir()
        os.chdir(folder)
        status, wrong = fault(one, folder)
        faults += bool(wrong)
        print(json.dumps({"kind": one.kind, "status": status, "fault": wrong, "place": place}), flush=True)
        os.chdir(home)
        shutil.rmtree(folder)
    shutil.rmtree(home, ignore_errors=True)
    print(json.dumps({"bytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024}), flush=True)
    return faults


def play(block: int, tries: int) -> dict[str, Tally]:
    """A block in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks.fuzz", str(block), "0", str(tries)], cwd=ROOT, capture_output=True,
        text=True, check=False,
    )  # fmt: skip
    found: dict[str, Tally] = {}

    def add(label: str, hit: float) -> None:
        found[label] = found.get(label, Tally(0, 0)).plus(Tally(hit, 1))

    rows = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    for row in rows:
        if "bytes" in row:
            add("blocks over 1 GB", float(row["bytes"] > MOST_BYTES))
            add("most memory of a block, MB", row["bytes"] / 1e6)
            continue
        add(f"{row['kind']}: fault", float(bool(row["fault"])))
        add(f"{row['kind']}: refused", float(row["status"] == 2))
        if row["fault"]:
            print(f"fuzz: block {block}, place {row['place']}, {row['kind']}: {row['fault']}", flush=True)
    add("blocks that ended before their time", float(len(rows) != tries + 1))
    if len(rows) != tries + 1:
        print(f"fuzz: block {block} ended with {done.returncode} after {len(rows)}: {done.stderr[-500:]}", flush=True)
    return found


def _no_tables() -> str:
    return "inputs of any kind"


STUDY = Study(
    "fuzz", "hostile inputs of every kind: answered, refused in one sentence, or a fault; and memory",
    (), SEED, BLOCKS, play, SIZE, 20, _no_tables,
)  # fmt: skip


if __name__ == "__main__":
    at = [int(word) for word in sys.argv[1:]]
    if len(at) == 2:
        print(made(*at)._replace(files={}), file=sys.stderr)
    if at:
        _played((place, made(at[0], place)) for place in range(at[1], at[2] if len(at) > 2 else at[1] + 1))
    else:
        sys.exit(1 if _played(enumerate(every_option())) else 0)
