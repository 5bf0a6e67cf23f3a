"""The quiz at the terminal: sittings driven by typed lines, the record, progress in every form, a test on paper."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
import zipfile
from pathlib import Path
from random import Random

import pypdf
import pytest

from coaxtell.cli import blocks, sitting
from coaxtell.cli.item_pictures import Pictures
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.quiz import exam, items
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered, Mode, Started, person_name
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.store import Store
from coaxtell.quiz.words import of as said_of
from coaxtell.quiz_pages import exam_pdf
from tests.halves import all_halves
from tests.quiz import xapi

PORTS = 'site = "North gate"\n[[port]]\nid = "rp-tnc-jack"\ncount = 4\n[[port]]\nid = "n-50-jack"\n'


@pytest.fixture(autouse=True)
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    where = str(tmp_path / "records.db")
    monkeypatch.setenv("COAXTELL_RECORDS", where)
    # a machine's secret decides what an assessment asks: the same one each time
    data = tmp_path / "home" / "data"
    data.mkdir(parents=True)
    (data / "assessments.key").write_bytes(b"coaxtell" * 4)
    monkeypatch.setenv("COAXTELL_HOME", str(data.parent))
    return where


def types(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


ASK = sitting.ask


def knows(monkeypatch: pytest.MonkeyPatch, right: bool, most: int = 200) -> None:
    """Who sits there answers at most so many items, all right or all wrong by the item itself: which letter that is
    hangs on a try's id, which is chance."""
    left = iter(range(most))

    def ask(item: Item, heading: str, pictures: Pictures) -> sitting.Reply | None:
        typed = sitting.STOP
        if next(left, None) is not None:
            index = next(n for n, option in enumerate(item.options) if (option.id == item.right) is right)
            typed = f"{sitting.LETTERS[index]} 50"
        return ASK(item, heading, pictures, lambda prompt: typed)

    monkeypatch.setattr(sitting, "ask", ask)


def held(where: str) -> tuple[list[Started], list[Answered]]:
    with Store(where, create=False) as store:
        events = store.events()
    return [e for e in events if isinstance(e, Started)], [e for e in events if isinstance(e, Answered)]


def test_a_sitting_is_recorded_and_explained(
    record: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    types(monkeypatch, "a 60", "", "x", "b", "nonsense", "70", "", "a", "", "q")
    assert main(["practise", "--person", "Zoë", "--pictures", "none", "--seed", "3"]) == 0
    said = capsys.readouterr().out
    starts, answers = held(record)
    assert [start.mode for start in starts] == [Mode.PRACTICE]
    assert [(a.number, a.person) for a in answers] == [(1, "Zoë"), (2, "Zoë"), (3, "Zoë")]
    assert [a.sure for a in answers[:2]] == [0.6, 0.7]
    assert answers[2].sure == pytest.approx(1 / len(answers[2].options))
    for words in ("points. At 60%", "Why:", "What tells:", "Give one letter", "Give a figure in percent", "3 items"):
        assert words in said


def test_practice_is_the_same_command_and_a_seed_gives_the_same_items(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = []
    for command in ("practise", "practice"):
        types(monkeypatch, "q")
        assert main([command, "--person", f"new {command}", "--pictures", "none", "--seed", "5"]) == 0
        said.append(capsys.readouterr().out.split("\n", 1)[1])
    assert said[0] == said[1]


def test_an_assessment_pauses_goes_on_and_counts_its_tries(
    record: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    ports = tmp_path / "ports.toml"
    ports.write_text(PORTS, encoding="utf-8")
    words = ["assess", "--person", "Ana", "--ports", str(ports), "--pictures", "none"]
    # all right: two wrong ones of the harmful part may already say not yet (log(0.2 / 0.02) twice is above 4.6)
    knows(monkeypatch, True, 1)
    assert main(words) == 0
    first = capsys.readouterr().out
    for said in ("North gate: try 1", "rp-tnc-jack (4)", "does not replace", "undecided so far"):
        assert said in " ".join(first.split())
    # nothing is told of an answer before the verdict, not even at a pause
    assert "Right:" not in first
    assert not re.search(r"\d right", first)
    knows(monkeypatch, True, 1)
    assert main(words) == 0
    assert "goes on where it was paused" in capsys.readouterr().out
    starts, answers = held(record)
    assert len(starts) == 1
    assert [a.number for a in answers] == [1, 2]
    assert "begun on another day and after a practice" in " ".join(first.split()), "it is said before it happens"
    assert main([*words, "--new"]) == 2
    assert "undecided after 2 answers, and one that is left for another counts as lost" in capsys.readouterr().err
    assert len(held(record)[0]) == 1
    # progress and verify tell what was noted
    told: list[str] = []
    for command in (["progress", "--person", "ana"], ["progress", "--team"], ["records", "verify"]):
        assert main(command) == 0
        told.append(" ".join(capsys.readouterr().out.split()))
    assert all("without pictures" in one for one in told)
    assert "that is noted" in " ".join(first.split())


def test_an_assessment_ends_with_a_verdict_and_its_review(
    record: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    knows(monkeypatch, False)  # whoever is always wrong is soon not ready yet
    assert main(["assess", "--person", "Bo", "--pictures", "none"]) == 0
    said = capsys.readouterr().out
    assert f": {Decision.NOT_YET.value}." in said
    harmful, *_ = re.findall(r"Harmful part: \d[^.]*[.]", " ".join(said.split()))
    assert not re.search("plug|jack", harmful)  # a pair that is named there is its own answer
    assert "Answered wrong in this sitting" in said
    assert "What tells:" in said


def test_the_review_tells_what_was_answered_and_every_caution(
    record: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[tuple[Item, str]] = []

    def ask(item: Item, heading: str, pictures: Pictures) -> sitting.Reply:
        chosen = next(option.id for option in reversed(item.options) if option.id != item.right)
        asked.append((item, chosen))
        return sitting.Reply(chosen, 0.5)

    monkeypatch.setattr(sitting, "ask", ask)
    assert main(["assess", "--person", "Bo", "--pictures", "none"]) == 0
    review = " ".join(capsys.readouterr().out.split("Answered wrong in this sitting")[1].split())
    stock, cautioned = Stock(all_halves()), 0
    for item, chosen in asked:
        said = said_of(items.told(stock, item, chosen))  # as practice tells it
        cautioned += len(said.cautions)
        assert " ".join(f"You said: {said.options[chosen]}.".split()) in review
        assert all(" ".join(f"Caution: {caution}".split()) in review for caution in said.cautions)
    assert cautioned


def test_what_was_wrong_is_named_at_the_end_though_its_skills_were_right_since(
    record: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[Item] = []

    def ask(item: Item, heading: str, pictures: Pictures) -> sitting.Reply:
        asked.append(item)
        wrong = next(option.id for option in item.options if option.id != item.right)
        return sitting.Reply(wrong if len(asked) == 1 else item.right, 0.5)

    monkeypatch.setattr(sitting, "ask", ask)
    monkeypatch.setattr(sitting, "go_on", lambda: True)
    assert main(["practise", "--person", "Bo", "--pictures", "none", "--seed", "3", "--items", "6"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    pair = sorted((asked[0].task.a, asked[0].task.b))
    assert not any(sorted((one.task.a, one.task.b)) == pair for one in asked[1:])
    assert f"the pair {pair[0]} and {pair[1]}" in said.split("To work on:")[1]
    assert "when last asked" not in said


def fill(monkeypatch: pytest.MonkeyPatch, *people: str) -> None:
    for person in people:
        types(monkeypatch, *["b 60", ""] * 12)
        assert main(["practise", "--person", person, "--pictures", "none", "--seed", "1", "--items", "12"]) == 0


def test_progress_in_every_form(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    fill(monkeypatch, "Ana", "<b>Bo</b>", "=SUM(A1)")
    capsys.readouterr()
    assert main(["progress", "--person", "Ana"]) == 0
    own = capsys.readouterr().out
    assert "12 answers" in own
    assert "Too few answers" in own
    assert main(["progress", "--team"]) == 0
    team = capsys.readouterr().out
    assert "Which half is taken for which" in team
    assert "<b>Bo</b>" in team
    for kind in ("html", "pdf", "csv"):
        for who in (["--team"], ["--person", "Ana"]):
            assert main(["progress", *who, "-o", str(tmp_path / f"{who[0][2:]}.{kind}")]) == 0
    page = (tmp_path / "team.html").read_text(encoding="utf-8")
    assert "&lt;b&gt;Bo&lt;/b&gt;" in page
    assert "<b>Bo</b>" not in page
    assert not re.search(r'(src|href)="', page)  # nothing beside it is needed
    assert page.count("<svg") == 9
    sheet = " ".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / "team.pdf").pages)
    assert "Progress of the team" in sheet
    assert "family by size" in sheet
    for row in csv.reader(io.StringIO((tmp_path / "team.csv").read_text(encoding="utf-8-sig"), newline="")):
        assert not row[0].startswith("=")


def test_a_file_of_progress_leaves_the_outlook_at_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    fill(monkeypatch, "Ana")
    ports, page = tmp_path / "ports.toml", tmp_path / "page.html"
    ports.write_text(PORTS, encoding="utf-8")
    capsys.readouterr()
    words = ["progress", "--person", "Ana", "--ports", str(ports)]
    assert main(words) == 0
    outlook = capsys.readouterr().out.partition("\nAna: ")[2]
    assert outlook
    assert main([*words, "-o", str(page)]) == 0
    assert capsys.readouterr().out == f"Progress: {page}\n\nAna: {outlook}"


def test_records_are_checked_written_out_joined_and_forgotten(
    record: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    fill(monkeypatch, "Ana", "Bo")
    capsys.readouterr()
    assert main(["records", "verify"]) == 0
    assert "26 events of 2 people, 0 faults" in capsys.readouterr().out
    for kind in ("csv", "json", "jsonl"):
        assert main(["records", "export", "-o", str(tmp_path / f"all.{kind}")]) == 0
    assert len(json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))) == 26
    lines = (tmp_path / "all.jsonl").read_text(encoding="utf-8").splitlines()
    assert len([xapi.statement(line) for line in lines]) == 24
    other = str(tmp_path / "other.db")
    assert main(["records", "merge", record, "--records", other]) == 0
    assert "26 events added" in capsys.readouterr().out
    types(monkeypatch, "Anna")
    assert main(["records", "forget", "Ana"]) == 0
    assert "Nothing was deleted" in capsys.readouterr().out
    types(monkeypatch, "Ana")
    assert main(["records", "forget", "Ana"]) == 0
    assert main(["records", "merge", other]) == 0
    assert "13 were left out" in capsys.readouterr().out
    with Store(record) as store:
        assert store.persons() == ["Bo"]


def test_a_test_on_paper_has_its_key_and_a_seed_gives_it_again(tmp_path: Path) -> None:
    texts = []
    for name in ("one", "two"):
        path = tmp_path / f"{name}.pdf"
        words = ["exam", "-o", str(path), "--items", "12", "--seed", "77", "--pictures", "no"]
        assert main(words) == 0
        texts.append([page.extract_text() for page in pypdf.PdfReader(path).pages])
    assert texts[0] == texts[1]
    whole = "\n".join(texts[0])
    assert "Test 77, 12 items" in whole
    assert "Answer key to test 77" in whole
    # the key stands on pages of its own, so that it can be kept back
    key = next(n for n, text in enumerate(texts[0]) if "Answer key" in text)
    assert all("______" not in text for text in texts[0][key:])
    assert whole.count("______ %") == 12  # one place for each item's figure, on the first page
    assert texts[0][0].count("______ %") == 12
    assert all(f"{n}. " in whole for n in range(1, 13))


def test_a_test_on_paper_fills_its_pages_and_cuts_nothing(tmp_path: Path) -> None:
    """Twenty items with pictures took ten pages, and half of each was bare."""
    from PIL import Image

    items = exam.draw(Stock(all_halves()), 20, Random(7))
    Image.new("RGB", (420, 280), (200, 190, 120)).save(tmp_path / "p.png")
    exam_pdf.write("Test", items, [tmp_path / "p.png"] * 20, 7, tmp_path / "test.pdf")
    pages = pypdf.PdfReader(tmp_path / "test.pdf").pages
    assert len(pages) <= 7
    said = re.sub(r"\s+", "", "".join(page.extract_text() for page in pages))
    for item in items:
        for option in said_of(item).options.values():
            assert re.sub(r"\s+", "", option) in said
    placed: list[tuple[float, float]] = []

    def place(text: str, _: object, at: list[float], *__: object) -> None:
        if text.strip():
            placed.append((at[4], at[5]))

    for page in pages:
        page.extract_text(visitor_text=place)
    # A4 is 595 x 842 points (ISO 216: 210 x 297 mm); the foot of the page stands below all else
    foot = min(y for _, y in placed)
    assert all(30 < x < 565 and 45 < y < 815 for x, y in placed if y != foot)


def test_a_package_for_a_training_system_holds_its_pictures(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "test.zip"
    assert main(["exam", "-o", str(path), "--items", "2", "--seed", "5", "--kinds", "name"]) == 0
    with zipfile.ZipFile(path) as archive:
        pictures = [name for name in archive.namelist() if name.endswith(".png")]
        assert len(pictures) == 2
        assert all(archive.read(name).startswith(b"\x89PNG") for name in pictures)


def test_blocks_show_the_pictures_colours() -> None:
    from PIL import Image

    image = Image.new("RGB", (4, 4), (255, 0, 0))
    image.paste((0, 0, 255), (0, 2, 4, 4))
    lines = blocks.text(image, 4, 2).split("\n")
    assert len(lines) == 2
    assert lines[0].count(blocks.UPPER) == 4
    # ECMA-48 / ISO 8613-6: 38;2;r;g;b sets the letter's colour (upper half), 48;2;r;g;b the ground (lower half)
    assert "\x1b[38;2;255;0;0;48;2;255;0;0m" in lines[0]
    assert "\x1b[38;2;0;0;255;48;2;0;0;255m" in lines[1]
    assert all(line.endswith("\x1b[0m") for line in lines)


def test_blocks_only_where_the_terminal_says_it_can(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLORTERM", "truecolor")
    assert not blocks.possible()  # the test run's output is no terminal


BAD = [
    (["practise", "--minutes", "0"], "give 0.1 to 600"),
    (["practise", "--minutes", "١٠"], "digits of another script"),
    (["practise", "--items", "2.5"], "no whole number"),
    (["practise", "--items", "0"], "give 1 to 1000"),
    (["practise", "--kinds", "riddle"], "no kind of item"),
    (["practise", "--person", "  "], "empty"),
    (["practise", "--person", "a\nb"], "line break"),
    (["practise", "--person", "Ki\u202em"], "turns the direction"),
    (["practise", "--person", "Ki\u200bm"], "shows nothing"),
    (["practise", "--person", "Ki\u200dm"], "shows nothing"),
    (["practise", "--person", "\ufeffKim"], "shows nothing"),
    (["practise", "--person", "Kim\u3164"], "shows nothing"),
    (["assess", "--ports", "missing.toml"], "cannot be read"),
    (["progress"], "no record yet"),
    (["progress", "--team", "-o", "x.docx"], ".html, .pdf, .csv"),
    (["records", "export", "-o", "x.xls"], ".csv, .json or .jsonl"),
    (["records", "export", "-o", "x.jsonl", "--home-page", "here"], "no URL"),
    (["records", "merge", "missing.db"], "no record yet"),
    (["records"], "TASK"),
    (["exam", "-o", "x.doc"], "QTI"),
    (["exam", "-o", "x.pdf", "--items", "0"], "1 to 200"),
    (["exam", "-o", "x.pdf", "--items", "150", "--kinds", "cable"], "ask for fewer"),
]


@pytest.mark.parametrize(("words", "said"), BAD, ids=[ascii(" ".join(words)) for words, _ in BAD])
def test_bad_input_is_told_in_one_sentence(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    types(monkeypatch, "q")
    assert main(words) == 2
    error = capsys.readouterr().err
    assert error.startswith("coaxtell: ")
    assert said in error
    assert error.count("\n") == 1


@pytest.mark.parametrize("name", ["Zoë", "李雷", "علی\u200cرضا", "क्\u200dष", "O'Brien", "Müller-Lüdenscheid", "أحمد"])
def test_names_of_any_script_are_taken(name: str) -> None:
    """The joiners belong to the spelling of Persian and of Indian scripts (Unicode Standard, sections 9.2 and 12.1)."""
    assert person_name(name) == unicodedata.normalize("NFC", name)


def test_no_spelling_of_a_name_that_looks_the_same_is_another_person() -> None:
    """Five lost tries were left behind with a Cyrillic letter, a wide blank or two blanks in the name."""
    assert person_name("Ada\u00a0 Lovelace\u3000") == "Ada Lovelace"
    assert person_name("Иван Smith") == "Иван Smith"
    for mixed in ("K\u0456m", "\u0391da Lovelace"):
        with pytest.raises(InputError, match="one alphabet"):
            person_name(mixed)


@pytest.mark.parametrize(
    "name", ["\U0001d40aim", "\uff2bim", "K\u0306\u0306\u0306im", "Ki\u20dem", "K\ufb01m", "\u212aim\u0301\u0301"]
)
def test_a_name_in_letters_dressed_up_is_refused(name: str) -> None:
    """Unicode Technical Standard 39, 5.4: no mark twice in a row, no more than four of them on a letter."""
    with pytest.raises(InputError, match="plain letters"):
        person_name(name)


@pytest.mark.parametrize(
    "name",
    ["K\u0306im", "Nguy\u1ec5n", "\u1ecd\u0301l\u00e1", "\u05e9\u05c1\u05b8\u05dc\u05d5\u05b9\u05dd", "\uff76\uff85"],
)
def test_marks_that_a_spelling_has_stay(name: str) -> None:
    assert person_name(name) == unicodedata.normalize("NFC", name)


def test_how_sure_takes_percent_and_the_nearest_step() -> None:
    assert sitting._sure("80", 4) == 0.8
    assert sitting._sure("77 %", 4) == 0.8
    assert sitting._sure("25", 4) == 0.25
    assert sitting._sure("", 5) == 0.2
    assert sitting._sure("٨٠", 4) is None
    for wrong in ("10", "101", "very", "nan"):
        assert sitting._sure(wrong, 4) is None
    assert sitting._sure("٨٠", 4) is None
