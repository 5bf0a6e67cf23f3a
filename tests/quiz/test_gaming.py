"""Who tries to be ready without knowing: by copies of the record, other port lists, new tries, endless re-checks."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from coaxtell import records
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Event, Mode, Noted, Remark, Started
from coaxtell.quiz.overview import person
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.sitting import Assessing
from coaxtell.quiz.store import Store
from tests.quiz.kill import START, answer
from tests.quiz.test_assessment import SITE, plan, rechecked, taken
from tests.quiz.test_sitting import outside

COPIES = 12


@pytest.fixture(autouse=True)
def _own_machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path / "home"))


def asked_about(item: Item) -> str:
    """All that is seen of an item: the picture, the question, the options in their order."""
    return repr((item.picture, item.question, item.options))


def sat(place: Path, now: datetime = START) -> tuple[Store, Assessing]:
    """The assessment of Ana at a record's file, on this machine."""
    store = Store(str(place))
    world = records.outside(store, "Ana", Random(1))._replace(now=lambda: now)
    test = Assessing(plan(), "North gate", store.events("Ana"), world)
    test.begin()
    return store, test


def wrong_of(item: Item) -> str:
    return next(option.id for option in item.options if option.id != item.right)


def test_copies_of_a_begun_try_do_not_pass_who_knows_nothing(tmp_path: Path) -> None:
    """Each copy is played to its end, which tells what was right, and put back; nine were enough once."""
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    store, _ = sat(place)
    store.close()
    shutil.copy(place, kept)
    learnt: dict[str, str] = {}
    rng, verdicts, met = Random(5), [], 0
    for _ in range(COPIES):
        shutil.copy(kept, place)
        try:
            store, test = sat(place)
        except InputError:  # the try is known to be lost, whatever the copy says
            verdicts.append(Decision.NOT_YET)
            continue
        while (item := test.item()) is not None:
            met += asked_about(item) in learnt
            guess = rng.choice([option.id for option in item.options])
            test.answer(learnt.get(asked_about(item), guess), 0.5)
            learnt[asked_about(item)] = item.right
        verdicts.append(test.result().verdict)
        store.close()
    assert Decision.READY not in verdicts
    assert met == 0, "an item was asked again"


def test_a_wrong_answer_is_not_taken_back_by_a_copy(tmp_path: Path) -> None:
    """The record tells at once whether an answer was right: copied before each, a wrong one was asked anew."""
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    store, test = sat(place)
    store.close()
    for number in range(1, 40):
        shutil.copy(place, kept)
        store, test = sat(place)
        assert test.number == number, "what this machine has seen counts"
        item = test.item()
        assert item is not None
        test.answer(wrong_of(item), 0.5)
        store.close()
        shutil.copy(kept, place)
        if test.result().verdict is not Decision.UNDECIDED:
            break
    assert test.result().verdict is Decision.NOT_YET
    with pytest.raises(InputError, match="came to not yet"):
        sat(place)


def test_a_record_put_back_is_named_and_what_was_lost_is_put_back(tmp_path: Path) -> None:
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    store, test = sat(place)
    store.close()
    shutil.copy(place, kept)
    store, test = sat(place)
    for _ in range(3):
        item = test.item()
        assert item is not None
        test.answer(item.right, 0.5)
    following = test.item()
    store.close()
    shutil.copy(kept, place)
    store, again = sat(place)
    assert "put back to an earlier state" in " ".join(again.noticed)
    assert "3 answers" in " ".join(again.noticed)
    assert again.item() == following
    with store:
        (one,) = again.tries
        assert len(store.events("Ana")) == 5  # start, three answers, one note
        assert not sat(place)[1].noticed, "it is named once"
    assert one.items == 3


def test_a_crash_shows_the_same_item_and_names_nothing(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    store, test = sat(place)
    for _ in range(4):
        item = test.item()
        assert item is not None
        store.close()
        store, test = sat(place)
        assert test.item() == item
        assert not test.noticed
        test.answer(item.right, 0.5)
    store.close()


def test_a_test_in_words_is_noted_once_for_a_try(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    for _ in range(3):
        store, test = sat(place)
        test.without_pictures()
        test.without_pictures()
        item = test.item()
        assert item is not None
        test.answer(item.right, 0.5)
        events = store.events("Ana")
        store.close()
    assert [(one.what, one.number) for one in events if isinstance(one, Noted)] == [(Remark.WITHOUT_PICTURES, 1)]


def test_items_cannot_be_foreseen_by_who_copies_the_machines_secret(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, copy = tmp_path / "r.db", tmp_path / "copy.db"
    sat(place)[0].close()
    shutil.copy(place, copy)
    other = tmp_path / "other" / "data"
    other.mkdir(parents=True)
    shutil.copy(tmp_path / "home" / "data" / "assessments.key", other)
    monkeypatch.setenv("COAXTELL_HOME", str(other.parent))
    foreseen = sat(copy)[1].item()
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path / "home"))
    assert sat(place)[1].item() != foreseen


@pytest.mark.parametrize("left", [None, b"cut short"])
def test_a_secret_is_made_whole_and_once(tmp_path: Path, left: bytes | None) -> None:
    """A process that was stopped left the file short; then many begin at once."""
    data = tmp_path / "home" / "data"
    data.mkdir(parents=True)
    if left is not None:
        (data / records.SECRET).write_bytes(left)
    code = (
        "from random import Random\nfrom coaxtell import records\n"
        f"with records.opened({str(tmp_path / 'r.db')!r}) as store: "
        "print(records.outside(store, 'Ana', Random(1)).secret.hex())"
    )
    began = [subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) for _ in range(3)]
    found = {process.communicate(timeout=60)[0].strip() for process in began}
    assert found == {(data / records.SECRET).read_bytes().hex()}
    assert len(bytes.fromhex(found.pop())) == records.SECRET_BYTES
    assert [path.name for path in data.iterdir() if path.suffix == ".tmp"] == []


def test_what_a_later_program_kept_is_left_and_read_by_that_one_alone(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    store, test = sat(place)
    (kept,) = (tmp_path / "home" / "data" / "assessments").glob("*.json")
    lines = json.loads(kept.read_bytes())
    lines["events"]["later"] = {"place": str(place), "body": '{"type": "of a later program"}'}
    kept.write_text(json.dumps(lines), encoding="utf-8")
    item = test.item()
    assert item is not None
    test.answer(item.right, 0.5)
    assert records.held(store, "Ana").missing == {}
    store.close()
    sat(place, START + timedelta(days=500))[0].close()
    assert "later" in json.loads(kept.read_bytes())["events"]


def test_a_record_moved_honestly_goes_on_and_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "r.db"
    store, test = sat(place)
    item = test.item()
    assert item is not None
    test.answer(item.right, 0.5)
    store.close()
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path / "there"))
    store, test = sat(place)
    assert test.number == 2
    assert "on another machine" in " ".join(test.noticed)
    store.close()
    store, test = sat(place)
    assert not test.noticed, "it is named once"
    store.close()


def test_a_lost_try_is_not_undone_by_the_record_of_before(tmp_path: Path) -> None:
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    Store(str(place)).close()
    shutil.copy(place, kept)
    store, test = sat(place)
    while (item := test.item()) is not None:
        test.answer(wrong_of(item), 0.5)
    store.close()
    shutil.copy(kept, place)
    with pytest.raises(InputError, match="another day"):
        sat(place)
    with pytest.raises(InputError, match="another day"):
        sat(tmp_path / "elsewhere.db")


def test_a_pass_that_was_lost_again_does_not_come_back_with_the_record(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Passed, lost a week later, and the record of before put back: the lead's commands see it on this machine."""
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    now = datetime.now(UTC)
    store, test = sat(place, now - timedelta(days=8))
    while (item := test.item()) is not None:
        test.answer(item.right, 0.9)
    store.close()
    shutil.copy(place, kept)
    store = Store(str(place))
    world = records.outside(store, "Ana", Random(1))._replace(now=lambda: now - timedelta(days=1))
    test = Assessing(plan(), "North gate", store.events("Ana"), world, anew=True)
    test.begin()
    assert not test.terms.recheck
    while (item := test.item()) is not None:
        test.answer(wrong_of(item), 0.9)
    given = test.tally.given
    store.close()
    shutil.copy(kept, place)
    with Store(str(place)) as store:
        alone, held = store.events("Ana"), records.held(store)
    assert held.missing == {"Ana": given}
    assert person("Ana", alone, now).ready_until(now) is not None
    assert person("Ana", held.events, now).ready_until(now) is None
    assert main(["records", "verify", "--records", str(place)]) == 1
    assert f"{given} answers of assessments of Ana" in capsys.readouterr().err
    assert main(["progress", "--team", "--records", str(place)]) == 0
    told = capsys.readouterr()
    assert "put back to an earlier state" in told.err
    assert "not ready" in told.out


def test_who_is_deleted_is_deleted_here_too(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    store, test = sat(place)
    item = test.item()
    assert item is not None
    test.answer(item.right, 0.5)
    records.forget(store, "Ana")
    store.close()
    held = b"".join(path.read_bytes() for path in (tmp_path / "home").rglob("*") if path.is_file())
    assert b"Ana" not in held
    assert b"rp-tnc-jack" not in held
    assert sat(place)[1].number == 1


def practised(kept: list[Event], day: datetime) -> list[Event]:
    """A practice on that day."""
    number = sum(isinstance(event, Started) for event in kept)
    minutes = (day - START).total_seconds() / 60
    return [
        *kept,
        Started(id=f"p{number}", time=day, person="Ana", mode=Mode.PRACTICE),
        answer(f"p{number}", 1, minutes=minutes),
    ]


def lost_on(kept: list[Event], day: datetime, course: Blueprint) -> Assessing:
    """A whole try on that day by one who is always wrong about the first harmful pair, its practice done."""
    events = practised(kept, day)
    world = outside(kept, 1, f"{day:%j} ")._replace(now=lambda: day + timedelta(hours=1))
    test = Assessing(course, "", events, world)
    test.begin()
    while (item := test.item()) is not None:
        assert test.state is not None
        asked = test.state.ask()
        assert asked is not None
        purpose = asked[0]
        test.answer(wrong_of(item) if purpose.name == course.facts[0] and not purpose.foil else item.right, 0.5)
    return test


def test_a_changed_count_or_name_of_a_port_list_begins_nothing_anew() -> None:
    kept: list[Event] = []
    first = lost_on(kept, START, plan())
    other = Blueprint(plan().stock, {**SITE, "n-50-jack": 3})
    day = START + timedelta(days=1)
    events = practised(kept, day)
    again = Assessing(other, "South gate", events, outside([])._replace(now=lambda: day + timedelta(hours=1)))
    assert again.terms.number == 2
    assert again.terms.harder == first.result().lost == [plan().facts[0]]


def test_a_clock_set_back_begins_nothing_anew() -> None:
    kept: list[Event] = []
    first = lost_on(kept, START, plan())
    back = Assessing(plan(), "", list(kept), outside([])._replace(now=lambda: START - timedelta(days=3)))
    assert back.terms.number == 2
    assert back.terms.harder == first.result().lost


def test_five_tries_that_are_not_passed_are_all_there_is_in_ninety_days() -> None:
    kept: list[Event] = []
    lists = [Blueprint(plan().stock, {**SITE, "n-50-jack": count}) for count in range(1, 6)]
    numbers = [lost_on(kept, START + timedelta(days=day), course).terms.number for day, course in enumerate(lists)]
    assert numbers == [1, 2, 3, 4, 5]
    with pytest.raises(InputError, match="2025-05-30"):
        lost_on(kept, START + timedelta(days=10), plan())
    assert lost_on(kept, START + timedelta(days=90, hours=12), plan()).terms.number == 5


def test_who_passes_at_many_sites_is_not_held_up() -> None:
    kept: list[Event] = []
    for seed in range(6):
        course = Blueprint(plan().stock, {**SITE, "n-50-jack": seed + 1})
        world = outside(kept, seed, f"{seed} ")
        test = Assessing(course, "", list(kept), world)
        test.begin()
        assert test.terms.number == 1
        while (item := test.item()) is not None:
            test.answer(item.right, 0.9)


def begun(kept: list[Event], answers: Callable[[Item], str], number: int, ports: Blueprint | None = None) -> Assessing:
    test = Assessing(ports or plan(), "", list(kept), outside(kept, 2, "first "))
    test.begin()
    for _ in range(number):
        item = test.item()
        assert item is not None
        test.answer(answers(item), 0.5)
    return test


@pytest.mark.parametrize("right", [True, False])
def test_leaving_a_try_for_a_new_one_is_a_lost_try_and_tells_nothing_of_the_answers(right: bool) -> None:
    kept: list[Event] = []
    test = begun(kept, lambda item: item.right if right else wrong_of(item), 1)
    assert test.result().verdict is Decision.UNDECIDED
    soon, day = START + timedelta(hours=2), START + timedelta(days=1)
    with pytest.raises(InputError, match="undecided after 1 answer, and one that is left") as refused:
        Assessing(plan(), "", list(kept), outside([])._replace(now=lambda: soon), anew=True)
    assert "another day" in str(refused.value)
    other = Blueprint(plan().stock, {**SITE, "n-50-jack": 3})
    with pytest.raises(InputError, match="another day"):
        Assessing(other, "", list(kept), outside([])._replace(now=lambda: soon))
    events = practised(kept, day)
    again = Assessing(plan(), "", events, outside([])._replace(now=lambda: day + timedelta(hours=1)), anew=True)
    assert again.terms.number == 2
    assert Assessing(plan(), "", list(kept), outside([])._replace(now=lambda: soon)).number == 2, "it may go on"


def test_a_try_without_an_answer_is_left_freely() -> None:
    kept: list[Event] = []
    begun(kept, lambda item: item.right, 0)
    again = Assessing(plan(), "", list(kept), outside([], 3, "again "), anew=True)
    assert again.terms.number == 1


def test_two_re_checks_and_then_a_whole_assessment() -> None:
    kept: list[Event] = []
    taken(kept, 1.0)
    for day in (10, 20):
        assert rechecked(kept, day, wrong=0).terms.recheck
    now = START + timedelta(days=30)
    third = Assessing(plan(), "North gate", list(kept), outside([])._replace(now=lambda: now))
    assert not third.terms.recheck


def test_a_re_check_that_goes_badly_is_not_left_for_another() -> None:
    kept: list[Event] = []
    taken(kept, 1.0)
    day = START + timedelta(days=10)
    world = outside(kept, 4, "check ")._replace(now=lambda: day)
    test = Assessing(plan(), "North gate", list(kept), world)
    test.begin()
    for _ in range(2):
        item = test.item()
        assert item is not None
        test.answer(wrong_of(item), 0.5)
    other = Blueprint(plan().stock, {**SITE, "n-50-jack": 3})
    between = Assessing(other, "", list(kept), outside(kept, 5, "other ")._replace(now=lambda: day))
    between.begin()
    again = Assessing(plan(), "North gate", list(kept), outside([])._replace(now=lambda: day))
    assert again.start is test.start or not again.terms.recheck
