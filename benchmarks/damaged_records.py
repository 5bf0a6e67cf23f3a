"""Records with bytes flipped, cut, zeroed, doubled or written over: what `records verify` says and `--rescue` saves.

A record of several people, in some with one of them deleted, in some with the last answers still in the file beside it
(`-wal`), is spoilt at chance. A fault is a traceback; status 0 where an answer is lost, 2 where one stands whole, or
another with `--rescue` than without; a refusal that is no single sentence; a saved answer that was never given, or of
the person deleted; an answer that stands whole in the bytes, its check sum behind it, and is not saved; a new record
that is damaged itself; a spoilt file that is changed. Run: python -m benchmarks.study damaged_records; one again:
python -m benchmarks.damaged_records BLOCK PLACE
"""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import sys
import tempfile
from pathlib import Path
from random import Random
from typing import NamedTuple
from uuid import UUID

import msgspec

from benchmarks.study import Study, Tally
from coaxtell.quiz import log
from coaxtell.quiz.log import Event
from coaxtell.quiz.store import Store
from tests.quiz.kill import answer, started

SEED, BLOCKS, SIZE = 3026, 10, 100
PEOPLE = ("Žofie", "Ana", "Bo", "李", "Kim O'Hara")
PAGE = 4096
DONE, FAULTY, REFUSED = 0, 1, 2


class Whole(NamedTuple):
    """A record before it is spoilt: its file, the one beside it, and by id the answers that stand in it."""

    file: bytes
    beside: bytes
    given: dict[str, Event]


class Spoilt(NamedTuple):
    """How a record was spoilt, and its files after that."""

    how: str
    file: bytes
    beside: bytes


def whole(rng: Random, folder: Path) -> Whole:
    """A record written by the program's own store."""
    place = folder / "whole.db"
    people = PEOPLE[: rng.randint(1, len(PEOPLE))]
    events: list[Event] = []
    for person in people:
        for sitting in range(rng.randint(1, 3)):
            events.append(started(f"{person}-{sitting}", person))
            for number in range(1, rng.randint(2, 40)):
                given = answer(f"{person}-{sitting}", number, person, rng.random() < 0.7, 60.0 * sitting)
                # by the seed, where a true answer's id is drawn by the system
                events.append(msgspec.structs.replace(given, id=str(UUID(int=rng.getrandbits(128)))))
    pending = rng.random() < 0.3
    first = len(events) // 2 if pending else len(events)
    with Store(str(place)) as store:
        store.fill(events[:first])
        if len(people) > 1 and rng.random() < 0.3:
            store.forget(people[0])
            events = [event for event in events if event.person != people[0]]
    beside = b""
    if pending:
        with Store(str(place)) as store:
            held = {event.id for event in store.events()}
            for event in events:
                if event.id not in held:
                    store.add(event)
            found = place.with_name(f"{place.name}-wal")
            beside = found.read_bytes() if found.is_file() else b""
            file = place.read_bytes()
    else:
        file = place.read_bytes()
    for one in folder.glob("whole.db*"):
        one.unlink()
    return Whole(file, beside, {event.id: event for event in events})


def spoilt(rng: Random, one: Whole) -> Spoilt:
    """The record spoilt in one way; the file beside it where there is one, as often as the record's own."""
    at_file = not one.beside or rng.random() < 0.5
    how, hurt = rng.choice(WAYS)
    data = hurt(rng, bytearray(one.file if at_file else one.beside))
    how = f"{how}{'' if at_file else ' beside'}"
    return Spoilt(how, data, one.beside) if at_file else Spoilt(how, one.file, data)


def _flipped(rng: Random, data: bytearray) -> bytes:
    for _ in range(rng.choice((1, 1, 1, 5, 40, 400))):
        data[rng.randrange(len(data))] ^= rng.randrange(1, 256)
    return bytes(data)


def _flipped_bit(rng: Random, data: bytearray) -> bytes:
    data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
    return bytes(data)


def _cut(rng: Random, data: bytearray) -> bytes:
    return bytes(data[: rng.randrange(len(data))])


def _headless(rng: Random, data: bytearray) -> bytes:
    return bytes(data[rng.randrange(1, len(data)) :])


def _zeroed(rng: Random, data: bytearray) -> bytes:
    at = rng.randrange(len(data))
    end = min(len(data), at + rng.randint(1, 2 * PAGE))
    data[at:end] = bytes(end - at)
    return bytes(data)


def _over(rng: Random, data: bytearray) -> bytes:
    at = rng.randrange(len(data))
    end = min(len(data), at + rng.randint(1, PAGE))
    data[at:end] = rng.randbytes(end - at)
    return bytes(data)


def _doubled(rng: Random, data: bytearray) -> bytes:
    pages = max(1, len(data) // PAGE)
    one, two = rng.randrange(pages), rng.randrange(pages)
    data[one * PAGE : (one + 1) * PAGE] = data[two * PAGE : (two + 1) * PAGE]
    return bytes(data)


WAYS = (
    ("flipped", _flipped), ("one bit flipped", _flipped_bit), ("cut", _cut), ("beginning gone", _headless),
    ("zeroed", _zeroed), ("written over", _over), ("page doubled", _doubled),
)  # fmt: skip


def standing(one: Whole, hurt: Spoilt) -> set[str]:
    """Ids of the answers whose text and check sum stand in the bytes one behind the other: these can be saved.

    An oracle of its own: it knows what was given and looks for just that.
    """
    raw = hurt.file + hurt.beside
    found = {}
    for name, event in one.given.items():
        text = log.encode(event)
        found[name] = (text + log.digest(text)).encode() in raw
    return {name for name, there in found.items() if there}


def _verify(words: list[str]) -> tuple[int, str]:
    """Status of `records verify` and what it says as an error; what it raises goes on to the caller."""
    from coaxtell.cli.main import main

    said = io.StringIO()
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(said):
        status = main(["records", "verify", *words])
    return status, said.getvalue()


def faults(one: Whole, hurt: Spoilt, folder: Path) -> tuple[int, int, int, list[str]]:
    """The status, how many answers stand, how many were saved, and what is wrong."""
    path, beside, new = folder / "r.db", folder / "r.db-wal", folder / "new.db"
    wrong: list[str] = []

    def lay() -> None:
        for old in folder.glob("r.db*"):
            old.unlink()
        path.write_bytes(hurt.file)
        if hurt.beside:
            beside.write_bytes(hurt.beside)

    try:
        lay()
        alone, _ = _verify(["--records", str(path)])
        lay()
        status, said = _verify(["--records", str(path), "--rescue", str(new)])
    except BaseException as error:  # whatever it is, it is a fault
        return -1, 0, 0, [f"{type(error).__name__}: {str(error)[:200]}"]
    if alone != status:
        wrong.append(f"status {alone} alone and {status} with --rescue")
    stand = standing(one, hurt)
    if status != DONE and path.read_bytes() != hurt.file:
        wrong.append("the spoilt file was changed")
    if status == REFUSED:
        if stand:
            wrong.append(f"refused, and {len(stand)} answers stand whole")
        if not said.startswith("coaxtell: ") or said.count("\n") != 1:
            wrong.append(f"no single sentence: {said[:200]!r}")
        if new.exists():
            wrong.append("refused, and a new record written")
        return status, len(stand), 0, wrong
    if status not in (DONE, FAULTY):
        wrong.append(f"status {status}")
    with Store(str(new), create=False) as store:
        saved = {event.id: event for event in store.events()}
        broken = store.damaged()
    if broken:
        wrong.append(f"{broken} answers of the new record are damaged")
    if any(one.given.get(name) != event for name, event in saved.items()):
        wrong.append("an answer was saved that was never given so, or was deleted")
    if lost := stand - set(saved):
        wrong.append(f"{len(lost)} answers stand whole and were not saved")
    if status == DONE and set(saved) != set(one.given):
        wrong.append(f"no fault is told, and {len(one.given) - len(saved)} answers are gone")
    return status, len(stand), len(saved), wrong


def made(block: int, place: int, folder: Path) -> tuple[Whole, Spoilt]:
    """The record at a place of a block, whole and spoilt."""
    rng = Random(f"{SEED} {block} {place}")
    one = whole(rng, folder)
    return one, spoilt(rng, one)


def play(block: int, tries: int) -> dict[str, Tally]:
    """A block of spoilt records."""
    found: dict[str, Tally] = {}

    def add(label: str, hit: float, number: int = 1) -> None:
        found[label] = found.get(label, Tally(0, 0)).plus(Tally(hit, number))

    before = os.environ.get("COAXTELL_HOME")
    top = Path(tempfile.mkdtemp())
    os.environ["COAXTELL_HOME"] = str(top / "home")
    try:
        for place in range(tries):
            folder = top / str(place)
            folder.mkdir()
            one, hurt = made(block, place, folder)
            status, stand, saved, wrong = faults(one, hurt, folder)
            shutil.rmtree(folder)
            add("fault", float(bool(wrong)))
            add(f"{hurt.how}: fault", float(bool(wrong)))
            for label, number in (("told whole", DONE), ("told damaged", FAULTY), ("refused", REFUSED)):
                add(label, float(status == number))
            add("answers that stand, of those given", stand, len(one.given))
            add("answers saved, of those given", saved, len(one.given))
            for line in wrong:
                print(f"damaged_records: block {block}, place {place}, {hurt.how}: {line}", flush=True)
    finally:
        shutil.rmtree(top, ignore_errors=True)
        os.environ.pop("COAXTELL_HOME")
        if before is not None:
            os.environ["COAXTELL_HOME"] = before
    return found


def _no_tables() -> str:
    return "records of any kind"


STUDY = Study(
    "damaged_records", "spoilt records through `records verify`: what is said, what is saved, faults",
    (), SEED, BLOCKS, play, SIZE, 10, _no_tables,
)  # fmt: skip


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as at:
        os.environ["COAXTELL_HOME"] = f"{at}/home"
        found = made(int(sys.argv[1]), int(sys.argv[2]), Path(at))
        print(found[1].how, *faults(*found, Path(at)))
