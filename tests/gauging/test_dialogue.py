"""`coaxtell gauge` as a person at the bench meets it: readings kept as given, doubts settled, bad input told."""

from __future__ import annotations

import builtins
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmarks.gauge_range import WORLDS, sitting
from coaxtell.cli.main import main
from coaxtell.models import gauged, tables
from coaxtell.models.gauged import Book
from coaxtell.models.gauging.asking import asked
from coaxtell.models.gauging.doubts import doubts
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk
from coaxtell.models.parts import Sitting
from tests.halves import shipped_text

HEX = ("nut", "body", "outside", 0, "d")


def typing(monkeypatch: pytest.MonkeyPatch, lines: list[str | type[BaseException]]) -> list[str]:
    """A person who types these lines and then leaves; returns the prompts as they come."""
    prompts: list[str] = []
    left: Iterator[str | type[BaseException]] = iter(lines)

    def typed(prompt: str = "") -> str:
        prompts.append(prompt)
        line = next(left, EOFError)
        if isinstance(line, str):
            return line
        raise line

    monkeypatch.setattr(builtins, "input", typed)
    return prompts


def weak_hex(folder: Path) -> Path:
    """An own table: an SMA plug whose nut is known from memory only."""
    text = shipped_text("sma.toml").replace('key = "sma"', 'key = "own"')
    text = "\n".join(line for line in text.split("\n") if not line.startswith("reverse_"))
    new, count = re.subn(
        r"(d = \{ mm = 7\.94, min = 7\.85, max = 8(?:\.0)?, grade = )\"high\", source = \[[^]]*\]",
        r'\1"memory", source = ["memory"]',
        text,
    )
    assert count == 1
    (folder / "own.toml").write_text(new, encoding="utf-8")
    return folder


def kept(folder: Path) -> Book:
    return gauged.decode((folder / gauged.FILE).read_text(encoding="utf-8"), "x")


def test_eight_plugs_on_the_bench(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Drawn with a calliper of 0.02 mm; the fifth part is first read with two digits exchanged, and asked for again."""
    from random import Random

    one, _ = sitting(Random(5), WORLDS["as stated"])
    lines: list[str | type[BaseException]] = [" ".join(f"{x:.2f}" for x in part) for part in one.parts]
    lines.insert(4, "9.74 7.94")
    folder = weak_hex(tmp_path)
    typing(monkeypatch, [*to_the_hex(folder), *lines, ""])
    line = ["gauge", "own-plug", "--tables", str(folder), "--with", "+-0.02", "--who", "Ana"]
    assert main(line) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "9.74 mm lies far from what such parts read" in out
    assert "(8 parts, 16 readings" in out
    (number,) = kept(folder).number
    assert (number.half, number.path) == ("own-plug", HEX)
    assert [[round(x, 2) for x in part] for part in number.sittings[0].parts] == [
        [round(x, 2) for x in part] for part in one.parts
    ]
    found = dict(walk(tables.load(folder).half("own-plug")))[HEX]
    assert found.grade is Grade.MEASURED
    assert 7.7 < found.low < min(map(min, one.parts)) < max(map(max, one.parts)) < found.high < 8.2
    assert main(["sources", "own-plug", "--tables", str(folder)]) == 0
    assert "measured" in capsys.readouterr().out


def to_the_hex(folder: Path) -> list[str | type[BaseException]]:
    """What skips the numbers that are asked for before the nut's width."""
    known = tables.load(folder)
    own = known.half("own-plug")
    order = [one.place.path for one in asked(own, doubts(own, known.halves.values()))]
    return [""] * order.index(HEX)


def weak_lugs(folder: Path) -> Path:
    """An own table: a BNC jack whose lugs are remembered as too low to hold or high enough."""
    text = shipped_text("bnc-50.toml").replace('key = "bnc-50"', 'key = "own"')
    text = "\n".join(line for line in text.split("\n") if not line.startswith("reverse_"))
    new, count = re.subn(
        r"over = \{[^}]*\}",
        'over = { mm = 10, min = 9.2, max = 11.2, grade = "memory-low", source = ["memory"] }',
        text,
    )
    assert count == 1
    (folder / "own.toml").write_text(new, encoding="utf-8")
    return folder


def test_what_was_not_known_is_known_after_measuring(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = weak_lugs(tmp_path)
    before = tables.load(folder)
    assert mate(before.half("bnc-50-plug"), before.half("own-jack")).verdict is Verdict.NOT_KNOWN
    typing(monkeypatch, ["y", "11.02 11.01", "11.0", "11.04 11.03", "", "q"])
    assert main(["gauge", "own-jack", "--tables", str(folder), "--who", "Ana"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    first = out.split("1 of ")[1]
    assert "lugs diameter over the tips" in first[:80]
    assert re.search(r"settles most doubt about how it fares with [^.]*bnc-50-plug", first)
    then, now = map(int, re.search(r"not known: (\d+) before, (\d+) now", out).groups())  # type: ignore[union-attr]
    assert now < then
    after = tables.load(folder)
    assert mate(after.half("bnc-50-plug"), after.half("own-jack")).verdict is not Verdict.NOT_KNOWN


def test_what_gauge_has_kept_it_opens_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong reading, insisted on, then a second part that makes a nut which cannot be; then the rest another day."""
    folder = weak_hex(tmp_path)
    line = ["gauge", "own-plug", "--tables", str(folder), "--who", "Ana"]
    skips = to_the_hex(folder)
    typing(monkeypatch, [*skips, "9.30", "2.0", "2.0", "q"])
    assert main(line) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "measure again or take it out" in out
    assert "the reading is kept, and no verdict goes by it yet" in out
    assert kept(folder).number[0].sittings[0].parts == [[9.3]]
    assert main(["mate", "own-plug", "sma-jack", "--tables", str(folder)]) == 0
    typing(monkeypatch, [*to_the_hex(folder), "9.32", "q"])
    assert main(line) == 0
    assert "(2 parts, 2 readings" in " ".join(capsys.readouterr().out.split())
    assert dict(walk(tables.load(folder).half("own-plug")))[HEX].grade is Grade.MEASURED


def test_what_looks_like_a_high_voltage_port_is_not_measured_before_a_yes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    prompts = typing(monkeypatch, ["perhaps", "n"])
    assert main(["gauge", "bnc-50-jack", "--tables", str(tmp_path / "new"), "--who", "Ana"]) == 0
    assert prompts == ["y or n> ", "y or n> "]
    out = " ".join(capsys.readouterr().out.split())
    assert "may be one for high voltage" in out
    assert out.endswith("Then nothing is touched or measured here.")


def test_a_precision_port_and_one_of_spring_contacts_are_not_measured(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typing(monkeypatch, [])
    assert main(["gauge", "2.92-jack", "--tables", str(tmp_path / "new"), "--who", "Ana"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Nothing of 2.92 mm jack is to be measured here" in out
    assert "maker's own gauge" in out


def test_stopping_between_two_parts_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = weak_hex(tmp_path)
    typing(monkeypatch, [*to_the_hex(folder), "7.93", "7.94 7.95", KeyboardInterrupt])
    assert main(["gauge", "own-plug", "--tables", str(folder), "--who", "Ana"]) == 130
    assert "What was read is kept in" in capsys.readouterr().out
    assert kept(folder).number[0].sittings[0].parts == [[7.93], [7.94, 7.95]]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("7,93 m", "no length of a connector"),
        ("-7.93", "no length of a connector"),
        ("seven", "is not a number with a unit"),
        ("7.93kg", "no unit of length"),
        ("0", "no length of a connector"),
        ("1e9", "is not a number with a unit"),
        ("nan", "is not a number with a unit"),
        ("٧.٩", "digits of another script"),
    ],
)
def test_an_absurd_reading_is_told_and_asked_for_again(
    typed: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    prompts = typing(monkeypatch, [typed, "q"])
    folder = weak_hex(tmp_path)
    assert main(["gauge", "own-plug", "--tables", str(folder), "--who", "Ana"]) == 0
    assert words in " ".join(capsys.readouterr().out.split())
    assert prompts[0] == prompts[1]
    assert kept(folder).number == []


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (["gauge"], "the half that lies on the bench"),
        (["gauge", "sma-plug"], "give --tables DIR"),
        (["gauge", "nobody-plug", "--tables", "{new}"], "No half is called"),
        (["gauge", "sma-plug", "--merge", "x", "--tables", "{new}"], "four jobs"),
        (["gauge", "sma-plug", "--export", "x", "--tables", "{new}"], "four jobs"),
        (["gauge", "sma-plug", "--minutes", "5", "--tables", "{new}"], "--minutes goes with --plan, not with HALF"),
        (["gauge", "--plan", "{ports}", "--who", "Ana"], "--who goes with HALF, not with --plan"),
        (["gauge", "--plan", "{ports}", "--with", "ruler"], "--with goes with HALF"),
        (["gauge", "--export", "x.toml", "--tables", "{new}", "--pictures", "p"], "--pictures goes with HALF"),
        (["gauge", "sma-plug", "--tables", "{new}", "--with", "ruler"], "too coarse"),
        (["gauge", "sma-plug", "--tables", "{new}", "--with", "eye"], "No instrument"),
        (["gauge", "sma-plug", "--tables", "{new}", "--who", "  "], "give --who NAME"),
        (["gauge", "sma-plug", "--tables", "{file}"], "is not a folder|cannot be made"),
        (["gauge", "sma-plug", "--tables", "{file}/in", "--who", "Ana"], "cannot be made"),
        (["gauge", "--merge", "{nothing}", "--tables", "{new}"], "cannot be read"),
        (["gauge", "--merge", "{other}", "--tables", "{new}"], "no half is called 'nobody-plug'"),
        (["gauge", "--merge", "{ports}", "--tables", "{new}"], "holds no readings of coaxtell"),
        (["gauge", "--export", "x.toml", "--tables", "{new}"], "holds no readings"),
        (["gauge", "--plan", "{ports}", "--minutes", "0"], "1 to 600"),
        (["gauge", "--plan", "{ports}", "--minutes", "٢٠"], "digits of another script"),
    ],
)
def test_bad_input_is_one_sentence(
    line: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    other = Book().plus("nobody-plug", "rim", [Sitting("calliper", 0.02, "Ben", "2026-01-01", [[1.0]])])
    (tmp_path / "other").write_text(gauged.encode(other), encoding="utf-8")
    (tmp_path / "ports").write_text('site = "x"\n[[port]]\nid = "sma-jack"\n', encoding="utf-8")
    places = {name: tmp_path / name for name in ("new", "file", "nothing", "other", "ports")}
    assert main([word.format(**places) for word in line]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert re.search(words, err), err
    assert not (tmp_path / "new" / gauged.FILE).exists()


def test_a_tool_that_is_off_by_more_than_two_tenths_is_no_gauge(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """At the bench, and in what another shop sends."""
    typing(monkeypatch, [])
    for off, status in ((0.2, 0), (0.21, 2)):
        mine, sent = str(tmp_path / "mine"), tmp_path / "sent.toml"
        assert main(["gauge", "sma-plug", "--tables", mine, "--who", "Ana", "--with", f"+-{off}"]) == status
        book = Book().plus("sma-plug", gauged.written(HEX), [Sitting("calliper", off, "Ben", "2026-01-01", [[7.9]])])
        sent.write_text(gauged.encode(book), encoding="utf-8")
        assert main(["gauge", "--merge", str(sent), "--tables", mine]) == status
    assert "off by more than 0.2 mm" in capsys.readouterr().err


def test_wrong_readings_shut_no_place_and_one_part_is_no_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A nut's mouth read as 4.7 mm leaves no room for jaws by those readings: it is asked for again all the same."""
    folder = str(tmp_path / "mine")
    asked_for = []
    for lines in (["4.70", "4.70", "", "q"], ["6.70", "6.71", "", "q"], ["q"]):
        typing(monkeypatch, [*lines])
        assert main(["gauge", "sma-plug", "--tables", folder, "--who", "Ana"]) == 0
        asked_for.append("nut inside mouth diameter" in capsys.readouterr().out.split("Nothing of")[0])
    assert asked_for == [True, True, True]


def test_two_shops_pool_their_readings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mine, theirs = tmp_path / "mine", tmp_path / "theirs"
    for folder, who, size in ((mine, "Ana", 7.93), (theirs, "Ben", 7.95)):
        folder.mkdir()
        rows = Sitting("calliper", 0.02, who, "2026-01-01", [[size, size + 0.01], [size + 0.02]])
        book = Book().plus("sma-plug", gauged.written(HEX), [rows])
        (folder / gauged.FILE).write_text(gauged.encode(book), encoding="utf-8")
    sent = tmp_path / "sent.toml"
    sent.write_text("something else", encoding="utf-8")
    assert main(["gauge", "--export", str(sent), "--tables", str(theirs)]) == 2
    assert "give another name" in capsys.readouterr().err
    sent.unlink()
    assert main(["gauge", "--export", str(sent), "--tables", str(theirs)]) == 0
    assert "Readings of 1 number: " in capsys.readouterr().out
    assert main(["gauge", "--export", str(sent), "--tables", str(theirs)]) == 0
    for added in (2, 0):
        assert main(["gauge", "--merge", str(sent), "--tables", str(mine)]) == 0
        assert f"Readings of {added} parts added" in capsys.readouterr().out
    note = dict(walk(tables.load(mine).half("sma-plug")))[HEX].note
    assert "4 parts" in note
    assert "Ana, Ben" in note


def test_nothing_is_ordered_by_readings_against_what_is_stated_and_every_command_tells_of_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A thread mouth of 5.6 mm, three times: by that no SMA plug would go onto an SMA jack, as IEC 61169-15 has it.

    Taken as it is, it had led to a 2.92 mm plug for an SMA jack, and to a reverse one behind a 2.4 mm port.
    """
    rows = Sitting("calliper", 0.02, "Ana", "2026-01-01", [[5.60], [5.60], [5.60]])
    book = Book().plus("sma-plug", "nut.body.inside.0.d", [rows])
    own = tmp_path / "own"
    own.mkdir()
    (own / gauged.FILE).write_text(gauged.encode(book), encoding="utf-8")
    looks = ["--saw", "coupling=thread-outside", "--saw", "centre=socket", "--measured", "coupling-diameter=6.3"]
    for command in (
        ["cable", "sma-jack", "n-50-jack", "--length", "3m", "--why"],
        ["cable", "2.4-jack", "n-50-jack", "--length", "3m", "--why"],
        ["identify", *looks, "--why"],
        ["mate", "sma-plug", "sma-jack"],
        ["list"],
    ):
        main(command)
        plain = capsys.readouterr().out
        main([*command, "--tables", str(own)])
        out, told = capsys.readouterr()
        assert out == plain
        assert told.startswith("coaxtell: sma-plug is stated to mate with sma-jack; by what was read of its nut inside")
        assert told.count("\n") == 1
    # an answer that is handed on carries it
    for command in (
        ["mate", "sma-plug", "sma-jack"], ["identify", *looks], ["cable", "sma-jack", "n-50-jack", "--length", "3m"],
    ):  # fmt: skip
        main([*command, "--json"])
        assert json.loads(capsys.readouterr().out)["set_aside"] == []
        main([*command, "--json", "--tables", str(own)])
        out, told = capsys.readouterr()
        assert [f"coaxtell: {one}" for one in json.loads(out)["set_aside"]] == told.splitlines()


def test_the_plan_says_what_twenty_minutes_would_settle(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = weak_lugs(tmp_path)
    (tmp_path / "ports").write_text('site = "x"\n[[port]]\nid = "own-jack"\n', encoding="utf-8")
    (tmp_path / "sure").write_text('site = "x"\n[[port]]\nid = "sma-jack"\n', encoding="utf-8")
    line = ["gauge", "--tables", str(folder), "--plan"]
    assert main([*line, str(tmp_path / "ports")]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "2.2 min own-jack: lugs diameter over the tips; it settles most doubt about how it fares with" in out
    assert main([*line, str(tmp_path / "sure")]) == 0
    assert "No verdict of these ports is in doubt" in capsys.readouterr().out
    assert main([*line, str(tmp_path / "ports"), "--minutes", "1"]) == 0
    assert "lugs" not in capsys.readouterr().out
