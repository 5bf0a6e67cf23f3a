"""A terminal of few columns: nothing printed is wider but single words, nothing is lost, data stay whole."""

from __future__ import annotations

import io
import json
import os
import shlex
import subprocess
import sys
import tomllib
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.cli.main import main
from coaxtell.cli.plan import EXAMPLE
from coaxtell.models.lines import cells, held, wrapped
from coaxtell.narrow import Narrow, broken, prompt
from tests.fresh import too_wide
from tests.mutants.trial import ROOT

LINES = (
    "mate sma-plug rp-sma-jack", "list", "sources sma-plug", "identify --saw coupling=lugs --why", "progress --help",
    "mate no sma-jack", "cable rp-tnc-jack n-50-jack --length 12m --gain 8.5dBic --want-dbm 24 --why",
)  # fmt: skip


@given(st.lists(st.text("ab-(.", min_size=1, max_size=12), max_size=12), st.integers(0, 30), st.integers(8, 60))
def test_every_word_stays_and_only_single_ones_are_wider(words: list[str], indent: int, columns: int) -> None:
    found = broken(" " * indent + "   ".join(words), columns)
    assert found.split() == words
    if found.count("\n"):
        assert too_wide(found, columns) == []


def test_a_row_goes_on_below_its_first_cell() -> None:
    assert broken("sma-plug      standard     50 ohm  a nut", 20) == "sma-plug  standard\n  50 ohm  a nut"
    assert broken("  3  small studs on a collar", 16) == "  3  small studs\n     on a collar"
    assert broken("short  row", 20) == "short  row"
    assert broken("\x1b[38;2;1;2;3mpicture of twenty letters", 20).count("\n") == 0


def test_a_prompt_is_broken_when_it_is_flushed_and_what_follows_it_fits() -> None:
    under = io.StringIO()
    stream = Narrow(under, 12)
    print("which one of these> ", end="", file=stream, flush=True)
    assert under.getvalue() == "which one of\n  these> "
    print("and so on", file=stream)
    assert under.getvalue() == "which one of\n  these> and\n  so on\n"


@pytest.mark.parametrize("columns", [20, 40])
@pytest.mark.parametrize("line", LINES)
def test_no_line_is_wider_than_the_terminal(
    line: str, columns: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def said() -> str:
        with suppress(SystemExit):  # after a help text
            main(line.split())
        return "\n".join(capsys.readouterr())

    whole = said()
    monkeypatch.setenv("COLUMNS", str(columns))
    narrow = said()
    assert too_wide(narrow, columns) == []
    if "--help" not in line:  # argparse fits that to the width by itself, with bars between
        assert sorted(narrow.replace("#", "").split()) == sorted(whole.replace("#", "").split())
    monkeypatch.setenv("COLUMNS", "80")
    assert said() == whole
    assert len(wrapped("a word " * 40).split("\n")[0]) > columns, "the width is given back"


def test_what_is_for_a_program_stays_whole(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    assert main(["mate", "sma-plug", "rp-sma-jack", "--json"]) == 0
    out = capsys.readouterr().out
    assert json.loads(out)["verdict"] == "damages"
    assert too_wide(out, 40)
    assert main(["mate", "sma-plug", "sma-pluck", "--json"]) == 2
    assert too_wide(capsys.readouterr().err, 20) == []


def _site_file(said: str) -> dict[str, object]:
    """The site file as someone cuts it out of the help."""
    lines = said.splitlines()
    first = next(n for n, line in enumerate(lines) if line.strip() == "[site]")
    last = next(n for n, line in enumerate(lines) if line.strip() == "outdoor = true")
    return tomllib.loads("\n".join(lines[first : last + 1]))


@pytest.mark.parametrize("columns", [20, 40, 60, 79])
def test_an_example_to_copy_is_never_broken(
    columns: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    with pytest.raises(SystemExit):
        main(["plan", "--help"])
    said = capsys.readouterr().out
    assert _site_file(said) == tomllib.loads(EXAMPLE)
    after = said.partition("outdoor = true\n")[2]
    assert after
    assert too_wide(after, columns) == []


@pytest.mark.parametrize("columns", [20, 40])
def test_a_command_to_copy_is_never_broken(
    columns: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COAXTELL_HOME", os.devnull)
    looks = ["identify", "--saw", "coupling=lugs", "--saw", "centre=pin"]
    main(looks)
    command = capsys.readouterr().out.rstrip().rpartition("For a picture: ")[2]
    assert command.startswith("coaxtell show ")
    monkeypatch.setenv("COLUMNS", str(columns))
    main(looks)
    assert command in capsys.readouterr().out.splitlines()
    said = "Answers are kept: `coaxtell identify --resume` goes on with them."
    assert "`coaxtell identify --resume`" in broken(said, columns)
    with held(columns - 1):
        assert "`coaxtell identify --resume`" in wrapped(said)


def test_letters_of_two_cells_count_twice() -> None:
    assert [cells(text) for text in ("Kim", "王小明", "Kim 王", "±Ω")] == [3, 6, 6, 2]
    said = broken("Practice of 王小明: 10 items", 20)
    assert said == "Practice of 王小明:\n  10 items"
    assert too_wide(broken("王小明 金秀賢 佐藤花子 鈴木愛 of the depot", 14), 14) == []
    with held(19):
        assert wrapped("Practice of 王小明人: 10 items") == "Practice of\n王小明人: 10 items"


def test_a_prompt_that_asks_by_itself_is_broken_before() -> None:
    asked = "\nAnswer, a to c (q stops): "
    assert prompt(asked) == asked
    whole = sys.stdout
    sys.stdout = Narrow(io.StringIO(), 20)
    try:
        assert prompt(asked) == "\nAnswer, a to c (q\n  stops): "
    finally:
        sys.stdout = whole


@pytest.mark.needs("linux")
def test_a_terminal_tells_its_width_itself(tmp_path: Path) -> None:
    import fcntl
    import pty
    import struct
    import termios

    program = f"{shlex.quote(sys.executable)} -m coaxtell"
    leader, follower = pty.openpty()
    fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 20, 0, 0))
    env = {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "LINES")}
    with subprocess.Popen(
        ["sh", "-c", f"{program} mate sma-plug sma-jack; {program} mate no-such-half sma-jack"],
        env={**env, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.DEVNULL, stdout=follower, stderr=subprocess.PIPE, cwd=tmp_path,
    ) as process:  # fmt: skip
        os.close(follower)
        said = b""
        with suppress(OSError):  # which says that the other side is closed
            while part := os.read(leader, 4096):
                said += part
        os.close(leader)
        assert process.stderr is not None
        wrong = process.stderr.read().decode()
        assert process.wait(timeout=30) == 2
    text = said.decode().replace("\r\n", "\n")
    assert "mates" in text
    assert too_wide(text, 20) == []
    assert wrong.count("\n") == 1, "what goes elsewhere stays in one line"
