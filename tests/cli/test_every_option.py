"""Every option of every command, found by walking the parsers, gets nonsense: an answer or one sentence each time."""

from __future__ import annotations

import argparse
import cmath
import io
import os
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from PIL import Image

from benchmarks.photo_scene import scene
from coaxtell import streams
from coaxtell.cli.main import COMMANDS, main, parser
from coaxtell.identifier.answers import State
from coaxtell.under_way import UnderWay
from tests.cli import network
from tests.gate import SITE
from tests.mutants.trial import ROOT


@cache
def shot() -> tuple[bytes, list[str]]:
    """A drawn photograph as a file, and the words that mark its face and its card."""
    drawn = scene(202, 1024, 768, np.array([11.11]), False)
    held = io.BytesIO()
    Image.fromarray(drawn.picture).save(held, "PNG")
    face = ",".join(f"{v:.0f}" for v in (*drawn.centre, drawn.radius))
    return held.getvalue(), ["--face", face, "--card", " ".join(f"{x:.0f},{y:.0f}" for x, y in drawn.corners)]


@cache
def sweep() -> str:
    """A matched line of about 12 m by formula (invented loss and delay) in the Touchstone format, which is open."""
    rows = ["# Hz S RI R 50"]
    for k in range(401):
        hz = 50e6 + k * 3.625e6
        through = 10 ** (-0.15 * (hz / 1e9) ** 0.5) * cmath.exp(-2j * cmath.pi * hz * 47.6e-9)
        rows.append(f"{hz:.0f} 0.01 0 {through.real} {through.imag} {through.real} {through.imag} 0.01 0")
    return "\n".join(rows) + "\n"


WHOLE = {
    "window": ["--scene", "cable"],
    "identify": ["--json", "--saw", "centre=pin"],
    "photo": ["port.png", *shot()[1]],
    "list": ["--json"],
    "mate": ["sma-plug", "sma-jack"],
    "show": ["sma-plug", "--size", "160x160"],
    "draw": ["sma-plug", "-o", "half.svg"],
    "sheet": ["sma-plug", "-o", "sheet.pdf"],
    "lifesize": ["--family", "F", "-o", "sheet.pdf"],
    "guide": ["--family", "F", "-o", "guide.pdf"],
    "pocket": ["-o", "page.html", "--pictures", "no"],
    "export": ["f-plug", "-o", "part.stl"],
    "gauge": ["sma-plug", "--tables", "measured", "--who", "Test"],
    "sources": ["sma-plug"],
    "cable": ["rp-tnc-jack", "n-50-jack", "--length", "12m"],
    "plan": ["site.toml", "-o", "plan.html", "--ports", "of-plan.toml"],
    "arrival": ["240:12m", "delivered.s2p"],
    "practise": ["--items", "1", "--pictures", "none", "--person", "Test", "--records", "record.db"],
    "practice": ["--items", "1", "--pictures", "none", "--person", "Test", "--records", "record.db"],
    "assess": ["--pictures", "none", "--person", "Test", "--records", "record.db"],
    "progress": ["--person", "Ana", "--records", "record.db"],
    "records": ["verify", "--records", "record.db"],
    "exam": ["-o", "exam.zip", "--items", "1", "--pictures", "no"],
    "campaign": ["ports.toml", "--until", "2030-01-01", "--records", "record.db"],
    "signoff": ["ports.toml", "--person", "Test", "--records", "record.db"],
    "certificate": ["--person", "Ana", "--records", "record.db"],
    "checkup": ["--records", "record.db"],
    "demo": ["of-a-depot"],
}
"""A whole line of each command, to which nonsense is added."""

SLOW_TO_START = {"checkup", "practise", "assess", "campaign", "exam", "pocket", "signoff", "demo"}
"""Commands that work out all matings or look at the machine first."""
NOT_FUZZED = {"show", "sheet", "window"}
"""Quick commands that `benchmarks/fuzz.py` leaves out."""
SLOWEST = {"demo", "pocket"}
"""Commands that write what takes seconds."""

FOLDERS_WRITTEN = {("gauge", "--tables"), ("gauge", "--pictures")}
"""Options that name a folder to write into: they get no folder outside the test's own."""

NONSENSE = ["", " ", "-", "nonsense", "-1", "1e999", "nan", "1/0", "٣", "..", "/", "a=", "\x1b[2J", "\u202e", "9" * 400]


def options(command: str) -> Iterator[str]:
    """The options of a command that take a value, those of its tasks included, each by its longest name."""
    subs = next(a for a in parser((command,))._actions if isinstance(a, argparse._SubParsersAction))
    waiting = [subs.choices[command]]
    while waiting:
        for action in waiting.pop()._actions:
            if isinstance(action, argparse._SubParsersAction):
                waiting += action.choices.values()
            elif action.option_strings and action.nargs != 0:
                yield max(action.option_strings, key=len)


OPTIONS = sorted({(command, option) for command in COMMANDS if command != "practice" for option in options(command)})
"""Of every command; `practice` is `practise` under another name."""


def nonsense(command: str, option: str) -> list[str]:
    """All of it where the study `fuzz` draws none; else a third for each option, a seventh and one for slow commands,
    beginning with another at each, so that each stands behind many options. All of it behind every option is
    `python -m benchmarks.fuzz`."""
    step = 1 if command in NOT_FUZZED else 15 if command in SLOWEST else 7 if command in SLOW_TO_START else 3
    return NONSENSE[OPTIONS.index((command, option)) % step :: step]


def put(option: str, value: str) -> str:
    """Option and value as one word, so that no value is taken for an option."""
    return f"{option}={value}" if option.startswith("--") else f"{option}{value}"


PORTS = 'site = "North gate"\n[[port]]\nid = "rp-tnc-jack"\ncount = 2\n[[port]]\nid = "n-50-jack"\n'
RECORD = Path(__file__).parent.parent / "quiz" / "records" / "version-0.1.0.db"


@pytest.fixture(scope="module")
def cache_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the commands keep what may be asked, as on a person's machine: worked out once for these tests."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def folder(tmp_path: Path, cache_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder with a photograph, a sweep, a site, its ports and a record to work in, an empty keyboard, no screen, and
    no network: no command here needs one, whatever its options hold."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "port.png").write_bytes(shot()[0])
    (tmp_path / "delivered.s2p").write_text(sweep(), encoding="utf-8")
    (tmp_path / "site.toml").write_text(SITE, encoding="utf-8")
    (tmp_path / "ports.toml").write_text(PORTS, encoding="utf-8")
    shutil.copy(RECORD, tmp_path / "record.db")
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache_folder))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("SDL_VIDEODRIVER", "nothing-of-that-name")
    monkeypatch.setattr(network, "BLOCKED", [True])
    network.ASKED.clear()
    yield tmp_path
    assert network.ASKED == []


def answered(words: list[str], capsys: pytest.CaptureFixture[str]) -> int:
    """The status of a line that must be answered, or refused in one sentence."""
    try:
        status = main(words)
    except SystemExit as ended:  # a word that argparse takes for --help
        status = int(ended.code or 0)
    told = capsys.readouterr()
    assert status in (0, 1, 2), words
    assert "Traceback" not in told.err + told.out, words
    if status == 2:
        assert told.err.startswith("coaxtell: "), words
        assert told.err.count("\n") == 1, (words, told.err)
    return status


def test_every_command_has_a_whole_line() -> None:
    assert set(WHOLE) == set(COMMANDS)
    assert len(OPTIONS) > 50
    behind = [value for found in OPTIONS for value in nonsense(*found)]
    assert min(map(behind.count, NONSENSE)) > 30


def test_the_block_on_the_network_holds(folder: Path) -> None:
    with pytest.raises(OSError, match=network.WORDS):
        socket.create_connection(("localhost", 1))
    with pytest.raises(OSError, match=network.WORDS):
        socket.socket(socket.AF_INET6)
    assert len(network.ASKED) == 2
    network.ASKED.clear()


@pytest.mark.needs("linux")
def test_the_process_that_draws_needs_no_network_either(folder: Path) -> None:
    shutil.copy(network.__file__, folder / "sitecustomize.py")
    env = {**os.environ, "PYTHONPATH": f"{folder}{os.pathsep}{ROOT}"}
    found = subprocess.run(
        [sys.executable, "-m", "coaxtell", "show", "sma-plug", "--size", "160x160", "-o", "a.png"],
        env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (found.returncode, found.stdout, found.stderr) == (0, "Picture: a.png\n", "")
    blocked = subprocess.run(
        [sys.executable, "-c", "import socket; socket.create_connection(('localhost', 1))"],
        env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert network.WORDS in blocked.stderr, "it is blocked from the start"


@pytest.mark.parametrize("command", sorted({"photo", "gauge", "arrival", "plan", "campaign", "signoff", "progress"}))
def test_a_whole_line_with_its_files_is_not_refused(
    command: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert answered([command, *WHOLE[command]], capsys) in (0, 1)


@pytest.mark.parametrize(("command", "option"), OPTIONS)
def test_nonsense_behind_an_option(command: str, option: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for value in nonsense(command, option):
        if (command, option) in FOLDERS_WRITTEN and value in ("/", ".."):
            continue
        answered([command, *WHOLE[command], put(option, value)], capsys)


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - {"window", "practice"}))
def test_an_option_that_does_not_exist(command: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert answered([command, *WHOLE[command], "--no-such-option"], capsys) == 2


class Gone(io.StringIO):
    """An output whose reader has gone away, as `| true` does."""

    def write(self, text: str) -> int:
        raise BrokenPipeError(text)


WRITERS = [
    ("identify", ["identify", "--saw", "coupling=lugs", "--save", "asked"]),
    ("identify, as JSON", ["identify", "--json", "--saw", "coupling=lugs", "--save", "asked"]),
    ("identify, resumed", ["identify", "--resume", "--saw", "coupling=lugs", "--save", "asked"]),
    ("identify, two readings", [
        "identify", "--measured", "bore=6.5+-1", "--measured", "bore=11mm+-0.9 by photograph", "--save", "asked",
    ]),
    ("its picture", ["identify", "--saw", "coupling=lugs", "-o", "asked.png"]),
    ("photo", ["photo", *WHOLE["photo"], "--save", "asked"]),
    ("photo, as JSON", ["photo", *WHOLE["photo"], "--json", "--save", "asked"]),
    ("photo, its picture", ["photo", *WHOLE["photo"], "-o", "asked.png"]),
    ("identify --batch", ["identify", "--batch", "walk.csv", "-o", "asked.csv"]),
    ("arrival", ["arrival", *WHOLE["arrival"], "-o", "asked.html"]),
    ("cable", ["cable", *WHOLE["cable"], "-o", "asked.svg"]),
    ("mate", ["mate", *WHOLE["mate"], "-o", "asked.svg"]),
    ("show", ["show", *WHOLE["show"], "-o", "asked.png"]),
    ("draw", ["draw", "sma-plug", "-o", "asked.svg"]),
    ("lifesize", ["lifesize", "--family", "F", "-o", "asked.pdf"]),
    ("guide", ["guide", "--family", "F", "-o", "asked.pdf"]),
    ("export", ["export", "f-plug", "-o", "asked.stl"]),
    ("plan", ["plan", "site.toml", "--ports", "of-plan.toml", "-o", "asked.html"]),
    ("progress", ["progress", *WHOLE["progress"], "-o", "asked.pdf"]),
    ("records export", ["records", "export", "--records", "record.db", "-o", "asked.csv"]),
]  # fmt: skip
"""Lines that write what is asked for into a file, and tell something as well."""


@pytest.mark.parametrize("words", [w[1] for w in WRITERS], ids=[w[0] for w in WRITERS])
def test_a_file_is_there_though_nobody_reads_what_is_told(
    words: list[str], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`| head` had taken the answers of a port: what is told came before what is saved, and the status was 0."""
    (folder / "walk.csv").write_text("coupling\nlugs\nwelded\n", encoding="utf-8")
    if "--resume" in words:
        own = UnderWay.begun(datetime.now(UTC))
        own.keep(State())
        own.leave()
    for stream in ("stdout", "stderr"):
        monkeypatch.setattr(sys, stream, Gone())
    monkeypatch.setattr(streams, "give_up", lambda name="stdout": None)  # these are no real streams
    main(words)
    assert [path for path in folder.glob("asked*") if path.stat().st_size > 100]


def test_a_file_is_there_behind_a_closed_pipe(folder: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    words = ["identify", "--saw", "coupling=lugs", "--save", "asked.json"]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    found = subprocess.run([sys.executable, "-m", "coaxtell", *words], env=env, stdout=writing, check=False)
    os.close(writing)
    assert found.returncode == 0
    assert (folder / "asked.json").is_file()


FILES = {
    "a folder": None,
    "nothing in it": b"",
    "not text": bytes(range(256)) * 40,
    "deeply nested": b"[" * 100_000,
    "an answer of another program": b'{"a": [1, 2, {"b": null}]}',
    "a table of another program": b"[tool.x]\nkey = 1\n[[port]]\nid = 7\n",
    "numbers for words": b'site = 3\nport = 4\nreader = "x"\n',
}
READERS = [
    ("plan", ["plan", "{}", "-o", "plan.html"]),
    ("cable", ["cable", "{}", "n-50-jack", "--length", "12m"]),
    ("identify --from", ["identify", "--json", "--from", "{}"]),
    ("lifesize --ports", ["lifesize", "--ports", "{}", "-o", "sheet.pdf"]),
    ("guide --ports", ["guide", "--ports", "{}", "-o", "guide.pdf"]),
    ("pocket --ports", ["pocket", *WHOLE["pocket"], "--ports", "{}"]),
    ("assess --ports", ["assess", *WHOLE["assess"], "--ports", "{}"]),
    ("practise --ports", ["practise", *WHOLE["practise"], "--ports", "{}"]),
    ("exam --ports", ["exam", *WHOLE["exam"], "--ports", "{}"]),
    ("photo", ["photo", "{}"]),
    ("photo --from", ["photo", *WHOLE["photo"], "--from", "{}"]),
    ("gauge --merge", ["gauge", "--tables", "measured", "--merge", "{}"]),
    ("gauge --plan", ["gauge", "--plan", "{}"]),
    ("arrival by a plan", ["arrival", "{}", "delivered.s2p"]),
    ("campaign", ["campaign", "--until", "2030-01-01", "--records", "record.db", "{}"]),
    ("signoff", ["signoff", "--person", "Test", "--records", "record.db", "{}"]),
    ("records verify", ["records", "verify", "--records", "{}"]),
    ("progress", ["progress", "--person", "Test", "--records", "{}"]),
]


@pytest.mark.parametrize("content", FILES)
@pytest.mark.parametrize("words", [r[1] for r in READERS], ids=[r[0] for r in READERS])
def test_files_that_are_none_of_ours(
    words: list[str], content: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    given_file = folder / "given.toml"
    data = FILES[content]
    if data is None:
        given_file.mkdir()
    else:
        given_file.write_bytes(data)
    fresh_record = content == "nothing in it" and str(words[-2]) == "--records"
    status = answered([word.format(given_file) for word in words], capsys)
    assert status == (status if fresh_record else 2)
    if data is not None and not fresh_record:
        assert given_file.read_bytes() == data, "the file of a person was changed"


TABLES = {
    "not text": bytes(range(256)),
    "no table": b"x = [",
    "another program's": b"[project]\nname = 'x'\n",
    "deeply nested": b"a = " + b"[" * 20_000,
}


@pytest.mark.parametrize("content", TABLES)
@pytest.mark.parametrize("command", sorted(set(COMMANDS) - {"window", "practice"}))
def test_tables_that_are_none_of_ours(
    command: str, content: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "own").mkdir()
    (folder / "own" / "hostile.toml").write_bytes(TABLES[content])
    # a check-up tells what is wrong and goes on
    assert answered([command, *WHOLE[command], "--tables", "own"], capsys) == (1 if command == "checkup" else 2)


QUICK = [found for found in OPTIONS if found[0] in ("identify", "cable", "sources", "mate")]


@pytest.mark.parametrize(("command", "option"), QUICK)
@given(value=st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20))
@settings(
    max_examples=25, deadline=None, phases=[Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
def test_any_text_behind_an_option(
    command: str, option: str, value: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if option in ("-o", "--save"):
        value = value.replace("/", "").replace("\\", "")  # stays in the folder
    answered([command, *WHOLE[command], put(option, value)], capsys)
