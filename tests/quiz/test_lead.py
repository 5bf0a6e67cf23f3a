"""The lead's part: who must do what, what was seen done, and a certificate that can be checked."""

from __future__ import annotations

import io
import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import msgspec
import pypdf
import pytest

from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.quiz import certificate, exchange, lead, tries
from coaxtell.quiz.certificate import Certificate
from coaxtell.quiz.log import Answered, Event, Mode, Noted, Remark, Signed, Started
from coaxtell.quiz.sitting import Assessing, Outside
from coaxtell.quiz.skills import PAIR, Skill
from coaxtell.quiz.store import Store
from coaxtell.quiz.terms import error_rates, taken
from coaxtell.quiz.words import held, pair_words
from coaxtell.quiz_pages import certificate_pdf
from tests.quiz.test_assessment import SITE, plan
from tests.quiz.test_practice import told

NOW = datetime.now(UTC).replace(microsecond=0)
PORTS = 'site = "North gate"\n' + "".join(f'[[port]]\nid = "{port}"\ncount = {n}\n' for port, n in SITE.items())


def passed(person: str = "Ana", days: float = 1.0) -> list[Event]:
    """The events of one who is always right, so many days ago."""
    kept: list[Event] = []
    world = Outside(
        person, kept.append, lambda: NOW - timedelta(days=days), lambda: f"{person} {len(kept)}", Random(1), b"s"
    )
    test = Assessing(plan(), "North gate", [], world)
    test.begin()
    while (item := test.item()) is not None:
        test.answer(item.right, 0.9)
    return kept


@pytest.fixture
def place(tmp_path: Path) -> Path:
    with Store(str(tmp_path / "r.db")) as store:
        for event in passed():
            store.add(event)
    (tmp_path / "ports.toml").write_text(PORTS, encoding="utf-8")
    return tmp_path


def test_a_campaign_says_who_must_do_what(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["campaign", str(place / "ports.toml"), "--records", str(place / "r.db")]
    soon = f"{NOW + timedelta(days=7):%Y-%m-%d}"
    assert main([*words, "--until", soon]) == 0
    said = capsys.readouterr().out
    assert f"North gate, until {soon}: 1 of 1 ready." in said
    assert "rest of the checklist" in " ".join(said.split())
    late = f"{NOW + timedelta(days=60):%Y-%m-%d}"
    assert main([*words, "--until", late]) == 0
    said = capsys.readouterr().out
    assert "0 of 1 ready" in said
    assert "which is too soon" in said
    assert "take the assessment" in " ".join(said.split())
    assert main([*words, "--until", "soon"]) == 2
    assert "is no day" in capsys.readouterr().err


def test_a_day_that_is_past_is_refused(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip of the year had gone unseen."""
    words = ["campaign", str(place / "ports.toml"), "--records", str(place / "r.db"), "--until"]
    today = datetime.now(UTC)
    assert main([*words, f"{today:%Y-%m-%d}"]) == 0
    capsys.readouterr()
    past = f"{today - timedelta(days=2):%Y-%m-%d}"
    assert main([*words, past]) == 2
    found = capsys.readouterr()
    assert found.out == ""
    assert found.err == f"coaxtell: --until {past} is past; give the last day of the work, today or later.\n"
    root = Path(__file__).parents[2]
    examples = {
        day
        for file in (root / "README.md", *(root / "docs").glob("*.md"))
        for day in re.findall(r"--until (\d{4}-\d\d-\d\d)", file.read_text(encoding="utf-8"))
    }
    assert examples
    for day in examples:
        assert main([*words, day]) == 0, "an example of the manual runs, whenever it is read"


def test_who_is_ready_and_not_long_enough_takes_a_re_check_in_time() -> None:
    end = NOW + timedelta(days=20)
    (own,) = lead.campaign(passed(days=2), plan(), NOW, end)
    assert own.ready is None
    assert own.today is not None
    assert "re-check" in own.to_do
    # ready holds for 14 days, so who does it sooner than 14 days before the end is not ready at the end
    assert f"Not before {end - timedelta(days=14):%Y-%m-%d}" in own.to_do
    (soon,) = lead.campaign(passed(days=2), plan(), NOW, NOW + timedelta(days=13))
    assert "Not before" not in soon.to_do
    # where ready ends before that, there is nothing left to extend
    (late,) = lead.campaign(passed(days=2), plan(), NOW, NOW + timedelta(days=40))
    assert "take the assessment" in late.to_do


def test_the_ports_of_a_cable_are_no_confused_pair_and_two_of_one_half_are_said_so() -> None:
    at = NOW - timedelta(days=1)
    pair = told(Skill.GENDER, False, at, a="n-50-jack", b="n-50-jack")
    cable = msgspec.structs.replace(told(Skill.CABLE, False, at, a="sma-jack", b="tnc-jack"), kind="cable")
    (own,) = lead.campaign([pair, cable], plan(), NOW, NOW)
    assert own.confused == ("n-50-jack|n-50-jack",)
    assert pair_words(own.confused[0]) == "two of n-50-jack"
    assert held(f"{PAIR}n-50-jack|n-50-jack") == "two of n-50-jack", "and not: the pair two of n-50-jack"


def test_other_ports_or_tables_are_not_these() -> None:
    (own,) = lead.campaign(passed(), plan(), NOW, NOW)
    assert own.ready is not None
    other = type(plan())(plan().stock, {**SITE, "bnc-50-jack": 1})
    (elsewhere,) = lead.campaign(passed(), other, NOW, NOW)
    assert elsewhere.ready is None


def elsewhere(days: float) -> list[Event]:
    """The same on other ports, so many days ago."""
    return [
        msgspec.structs.replace(one, id=f"other {one.id}", ports={"bnc-50-jack": 1})
        if isinstance(one, Started)
        else msgspec.structs.replace(one, id=f"other {one.id}", sitting=f"other {one.sitting}")
        for one in passed(days=days)
        if isinstance(one, Started | Answered)
    ]


def test_what_was_passed_on_other_ports_since_takes_nothing_away() -> None:
    """Ready holds for its ports: it is neither hidden nor extended by what was passed on others."""
    kept = [*passed(days=10), *elsewhere(days=4)]
    (own,) = lead.campaign(kept, plan(), NOW, NOW)
    assert own.ready is not None
    assert own.ready.ended == NOW - timedelta(days=10)
    world = Outside("Ana", kept.append, lambda: NOW, lambda: f"again {len(kept)}", Random(2), b"s")
    test = Assessing(plan(), "North gate", list(kept), world)
    assert test.terms.recheck
    test.begin()
    while (item := test.item()) is not None:
        test.answer(item.right, 0.9)
    said = certificate.statement("Ana", kept, plan(), NOW, "test")
    assert said.extends == (NOW - timedelta(days=10)).isoformat()


def test_a_clock_ahead_makes_nobody_ready_for_a_campaign_that_ends_later() -> None:
    late = [msgspec.structs.replace(event, time=event.time + timedelta(days=7)) for event in passed()]
    (own,) = lead.campaign(late, plan(), NOW, NOW + timedelta(days=10))
    assert own.today is None
    assert own.ready is None


def test_harmful_pairs_are_shown_with_printed_parts_only() -> None:
    lines = lead.checklist(plan())
    assert {line.id for line in lines if line.printed} == {f"tell {fact}" for fact in plan().facts}
    assert all("printed parts only" in line.words for line in lines if line.printed)
    assert {line.id.split(" ")[1].split("|")[0] for line in lines if not line.printed} == set(SITE)


def test_lines_are_ticked_once_under_a_name_and_a_time(
    place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["signoff", str(place / "ports.toml"), "--records", str(place / "r.db"), "--person", "Ana"]
    monkeypatch.setattr("sys.stdin", io.StringIO("y\n\nYES\nq\n"))
    assert main([*words, "--by", "Ada"]) == 0
    assert "2 of" in capsys.readouterr().out
    with Store(str(place / "r.db")) as store:
        signed = [event for event in store.events("Ana") if isinstance(event, Signed)]
    assert [event.by for event in signed] == ["Ada", "Ada"]
    assert main(words) == 0
    assert capsys.readouterr().out.count("[x]") == 2


def test_nobody_signs_off_for_themselves(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["signoff", str(place / "ports.toml"), "--records", str(place / "r.db"), "--person", "Ann"]
    assert main([*words, "--by", "ann"]) == 2
    assert "Nobody signs off for themselves" in capsys.readouterr().err


def test_a_certificate_holds_until_its_day_or_a_letter_is_changed(
    place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    over = certificate.over
    key, sheet = place / "ada.pem", place / "ana.pdf"
    assert main(["certificate", "--new-key", str(key)]) == 0
    public = capsys.readouterr().out.splitlines()[-1]
    assert key.stat().st_mode & 0o077 == 0
    assert main(["certificate", "--new-key", str(key)]) == 2
    assert capsys.readouterr().out == "", "nothing is said to be made that is not"
    words = ["certificate", "--records", str(place / "r.db"), "--person", "Ana", "--ports", str(place / "ports.toml")]
    assert main([*words, "--by", "Ada", "--key", str(key), "-o", str(sheet)]) == 0
    text = " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(sheet).pages).split())
    for said in ("Ana: ready for North gate", "holds until", "95 %", "does not show who holds the key"):
        assert said in text
    data = sheet.with_suffix(".json")
    capsys.readouterr()
    check = ["records", "verify", "--certificate", str(data)]
    assert main([*check, "--key", public]) == 0
    told = capsys.readouterr().out
    assert "ready for North gate until" in told
    assert "Not seen done by hand" in told
    assert main([*check, "--key", "00" * 32]) == 1
    capsys.readouterr()
    with monkeypatch.context() as patch:
        patch.setattr(certificate, "over", lambda said, now: over(said, now + timedelta(days=20)))
        assert main(check) == 1
    assert "it ended on" in capsys.readouterr().err
    changed = json.loads(data.read_text(encoding="utf-8"))
    changed["statement"]["until"] = "soon"
    data.write_text(json.dumps(changed), encoding="utf-8")
    assert main(check) == 2
    changed["statement"]["until"] = "2099-01-01"
    data.write_text(json.dumps(changed), encoding="utf-8")
    assert main(check) == 1
    assert "does not hold" in capsys.readouterr().err
    assert main([*words, "--by", "Ada", "--key", str(data), "-o", str(sheet)]) == 2


def test_a_certificate_names_the_person_as_first_kept_and_how_the_test_was_taken(tmp_path: Path) -> None:
    kept = passed(days=3)
    twice = [msgspec.structs.replace(one, id=f"again {one.number}") for one in kept if isinstance(one, Answered)][:2]
    noted = Noted("n", NOW, "ANA", kept[0].sitting, Remark.WITHOUT_PICTURES, 7)
    plain = certificate.statement("aNa", kept, plan(), NOW, "test")
    assert plain.person == "Ana"
    assert b"remarks" not in certificate.signed_text(plain, "Lea"), "what was signed before keeps its signature"
    said = certificate.statement("ANA", [*kept, *twice, noted], plan(), NOW, "test")
    assert said.person == "Ana"
    (line,) = said.remarks
    assert "without pictures from item 7 on" in line
    assert "in two places at once: 2 answers" in line
    certificate_pdf.write(Certificate(said, "Lea", "00" * 32, "11" * 64), tmp_path / "c.pdf")
    text = " ".join(pypdf.PdfReader(tmp_path / "c.pdf").pages[0].extract_text().split())
    assert "How it was taken" in text
    assert "without pictures from item 7 on" in text
    (own,) = lead.campaign([*kept, *twice, noted], plan(), NOW, NOW)
    assert own.taken == (line,)


def test_practice_between_the_items_of_a_test_is_told() -> None:
    """A pause at a hard item, then practice until it is known, then on: nothing said so to who relies on the test."""
    kept = [msgspec.structs.replace(one, time=one.time + timedelta(hours=n)) for n, one in enumerate(passed(days=9))]
    (plain,) = tries.of(kept)
    assert plain.remarks == ()

    def practised(day: datetime, person: str = "ana") -> list[Event]:
        when = [day + timedelta(minutes=n) for n in range(3)]
        start = Started(id="p", time=day, person=person, mode=Mode.PRACTICE)
        return [
            start,
            *(msgspec.structs.replace(told("polarity by pin", True, one), sitting="p", person=person) for one in when),
        ]

    (noted,) = tries.of([*kept, *practised(kept[5].time + timedelta(minutes=1))])
    assert noted.remarks == ((Remark.PRACTISED, 3),)
    assert "answers of practice in between: 3" in taken(noted)[0]
    (beside,) = tries.of([*kept, *practised(kept[5].time + timedelta(minutes=1), "Bo")])
    assert beside.remarks == (), "what another practised meanwhile"
    (apart,) = tries.of(
        [*practised(kept[0].time - timedelta(days=1)), *kept, *practised(kept[-1].time + timedelta(days=1))]
    )
    assert apart.remarks == ()


def test_who_is_not_ready_gets_no_certificate() -> None:
    with pytest.raises(InputError, match="not ready"):
        certificate.statement("Ana", passed(days=40), plan(), NOW, "test")


@pytest.mark.outside(
    "Outcome of an assessment in xAPI",
    "IEEE 9274.1.1, 4.2.4",
    "none: its rules",
)
def test_the_outcome_of_an_assessment_leaves_for_other_programs() -> None:
    events = passed()
    *_, last = [json.loads(line) for line in exchange.as_xapi(events, NOW).splitlines()]
    # xAPI 2.0 (IEEE 9274.1.1), 4.2.4: success, completion and a score whose scaled value lies within -1 and 1
    assert last["verb"]["id"].endswith("/passed")
    assert last["result"]["success"] is True
    assert last["result"]["score"]["scaled"] == 1.0
    assert last["object"]["definition"]["extensions"].popitem()[1] == SITE
    start = exchange.rows(events, NOW)[0]
    assert start["verdict"] == "ready"
    assert start["until"] > NOW.isoformat()


def test_a_certificate_after_a_re_check_says_no_more_than_the_re_check_showed(tmp_path: Path) -> None:
    """Two of its thirty answers may be wrong, harmful ones too: no pair is said to sit; its own rates stand there."""
    whole = passed(days=10)
    kept = list(whole)
    world = Outside("Ana", kept.append, lambda: NOW, lambda: f"again {len(kept)}", Random(2), b"s")
    test = Assessing(plan(), "North gate", whole, world)
    assert test.terms.recheck
    test.begin()
    while (item := test.item()) is not None:
        test.answer(item.right, 0.9)
    said = certificate.statement("Ana", kept, plan(), NOW, "test")
    assert said.extends == max(event.time for event in whole).isoformat()
    assert said.strata == []
    assert not set(error_rates(len(said.facts))) & set(said.rates), "rates of a whole assessment"
    assert "re-check of 30 items" in said.rates[0]
    assert "harmful pairs alone" in said.rates[1]
    found = Certificate(said, "Lea", "00" * 32, "11" * 64)
    certificate_pdf.write(found, tmp_path / "c.pdf")
    text = " ".join(pypdf.PdfReader(tmp_path / "c.pdf").pages[0].extract_text().split())
    assert "By a re-check of 30 items, no whole assessment" in text
    assert "each until it sat" not in text
    assert b"extends" not in certificate.signed_text(certificate.statement("Ana", whole, plan(), NOW, "test"), "Lea"), (
        "what was signed before keeps its signature"
    )
