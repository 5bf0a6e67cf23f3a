"""Standard streams as they come: closed, full, in another encoding; a package that is missing; long words."""

from __future__ import annotations

import io
import os
import socket
import struct
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell import streams
from coaxtell.cli.main import main
from coaxtell.pocket import serve
from coaxtell.streams import plain
from tests.mutants.trial import ROOT


def run(line: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """A shell line in which `coaxtell` is this checkout's."""
    shell = f'coaxtell() {{ "{sys.executable}" -m coaxtell "$@"; }}; {line}'
    return subprocess.run(
        ["sh", "-c", shell], env={**os.environ, "PYTHONPATH": str(ROOT), **env}, capture_output=True, check=False
    )


def test_signs_have_plain_stand_ins() -> None:
    assert (
        plain("6.3 ± 0.1 mm, 50 Ω, −40 °C, ¼in, 5 µm, “ok” …")
        == '6.3 +- 0.1 mm, 50 ohm, -40  degC, 1/4in, 5 um, "ok" ...'
    )
    assert plain("Zoë Žižek, 木") == "Zoe Zizek, ?"
    assert plain("a\u200bb") == "ab"


@given(st.text())
def test_any_text_becomes_ascii(text: str) -> None:
    assert plain(text).isascii()
    assert plain(text) == text or not text.isascii()


ENCODINGS = ("ascii", "cp1252", "cp437", "latin-1")


@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize(
    "line",
    [
        "cable rp-tnc-jack n-50-jack --length 12m --gain 8.5dBic --want-dbm 24 --temperature -20C",
        "mate n-50-plug n-75-jack",
        "sources sma-plug",
        "progress --records nowhere.db",
        "practise --person Žofie --records {folder}/r.db --seed 3",
        "mate sma-plug 木-jack",
    ],
)
def test_no_command_fails_on_a_sign(line: str, encoding: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out, err = io.BytesIO(), io.BytesIO()
    monkeypatch.setattr("sys.stdin", io.StringIO())
    for name, held in (("stdout", out), ("stderr", err)):
        monkeypatch.setattr(f"sys.{name}", io.TextIOWrapper(held, encoding=encoding, write_through=True))
    assert main(line.format(folder=tmp_path).split()) in (0, 2)
    assert (out.getvalue() + err.getvalue()).decode(encoding)


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_a_process_fails_on_no_sign(encoding: str) -> None:
    """As above, by the encoding that a system gives the process."""
    found = run("coaxtell cable rp-tnc-jack n-50-jack --length 12m --temperature -20C", PYTHONIOENCODING=encoding)
    assert (found.returncode, found.stderr) == (0, b"")
    assert ("+-" if encoding == "ascii" else "±") in found.stdout.decode(encoding)


def test_a_process_names_a_sign_that_it_cannot_write() -> None:
    found = run("coaxtell mate sma-plug 木-jack", PYTHONIOENCODING="ascii")
    assert (found.returncode, found.stdout) == (2, b"")
    assert b"?-jack" in found.stderr


@pytest.mark.parametrize(
    ("line", "status"),
    [
        ("coaxtell list >&-", 0),
        ("coaxtell identify <&-", 0),
        ("coaxtell identify --saw coupling=lugs <&- >&- 2>&-", 0),
        ("coaxtell mate x y 2>&-", 2),
        ("coaxtell practise --records {folder}/r.db --seed 3 <&-", 0),
    ],
)
def test_closed_streams(line: str, status: int, tmp_path: Path) -> None:
    found = run(line.format(folder=tmp_path))
    assert b"Traceback" not in found.stderr
    assert found.returncode == status


@pytest.mark.needs("linux")
@pytest.mark.parametrize("line", ["list", "--help", "mate --help", "--version", "mate sma-plug sma-jack"])
def test_a_full_output_is_told(line: str) -> None:
    found = run(f"coaxtell {line} >/dev/full")
    assert found.returncode == 2
    assert found.stderr.count(b"\n") == 1
    assert b"cannot be written (No space left on device)" in found.stderr
    assert b"A file" not in found.stderr


def test_a_reader_that_goes_away_is_quiet() -> None:
    found = run("coaxtell sources | head -1; exit 0")
    assert found.stderr == b""


@pytest.mark.needs("linux")
@pytest.mark.parametrize("gone", ["pipe", "full"])
def test_what_nobody_hears_stops_no_work(gone: str, tmp_path: Path) -> None:
    """What is told on standard error and cannot be written there: the file is whole, the status the same."""
    walk = tmp_path / "walk.csv"
    walk.write_text("coupling,centre\nhooks,pin\nlugs,socket\n", encoding="utf-8")
    read, write = os.pipe()
    os.close(read)
    full = os.open("/dev/full", os.O_WRONLY)
    statuses = {("mate", "x", "y"): 2, ("identify", "--batch", str(walk), "-o", str(tmp_path / "out.csv")): 1}
    for words, status in statuses.items():
        found = subprocess.run(
            [sys.executable, "-m", "coaxtell", *words],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            stderr=write if gone == "pipe" else full,
            check=False,
        )
        assert found.returncode == status, words
    assert (tmp_path / "out.csv").read_text(encoding="utf-8-sig").count("\n") == 3
    assert found.stdout.count(b"\n") == 1
    os.close(write)
    os.close(full)


@pytest.mark.parametrize("package", ["fpdf", "PIL"])
@pytest.mark.parametrize("line", [["lifesize"], ["sheet", "sma-plug"], ["draw", "sma-plug"]], ids=" ".join)
def test_a_missing_package_is_told(package: str, line: list[str], tmp_path: Path) -> None:
    """Without the library for pictures the one that writes PDF had warned in its own words, and the file was blamed."""
    # in a process of its own: here another test may have loaded the pages already
    script = (
        f"import sys; sys.modules[{package!r}] = None; from coaxtell.cli.main import main; "
        f"sys.exit(main([*{line!r}, '-o', {str(tmp_path / 'x.pdf')!r}]))"
    )
    found = subprocess.run(
        [sys.executable, "-c", script], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, check=False
    )
    assert found.returncode == 2
    assert found.stderr.count(b"\n") == 1
    assert f"package '{package}" in found.stderr.decode()
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize("package", ["msgspec", "tomli", "numpy"])
@pytest.mark.parametrize("line", [["--help"], ["checkup"], ["list"]], ids=" ".join)
def test_a_package_that_everything_needs_is_told_as_well(package: str, line: list[str]) -> None:
    """What a stranger meets who forgot to enter the environment; a command may do without it."""
    script = f"import sys; sys.modules[{package!r}] = None; from coaxtell.start import main; sys.exit(main({line!r}))"
    found = subprocess.run(
        [sys.executable, "-c", script], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, check=False
    )
    assert b"Traceback" not in found.stderr
    assert found.returncode in (0, 1, 2)
    if package == "msgspec":
        assert found.returncode == 2
        assert b"package 'msgspec' is missing" in found.stderr


LONG = "y" * 5000
LONG_WORDS = "ab c" * 1250


TYPED = [
    ["mate", "{}", "sma-jack"],
    ["{}"],
    ["list", "--{}"],
    ["identify", "--saw", "coupling={}"],
    ["identify", "--saw", "{}=pin"],
    ["identify", "--measured", "bore={}"],
    ["identify", "--with", "{}"],
    ["identify", "--setting", "{}"],
    ["show", "sma-plug", "--size", "{}"],
    ["show", "sma-plug", "-o", "{}.png"],
    ["show", "sma-plug", "--view", "{}"],
    ["cable", "rp-tnc-jack", "n-50-jack", "--length", "{}"],
    ["cable", "rp-tnc-jack", "n-50-jack", "--length", "12m", "--region", "{}"],
    ["practise", "--person", "{}"],
    ["practise", "--kinds", "{}"],
    ["practise", "--items", "{}"],
    ["progress", "--records", "{}"],
    ["records", "export", "-o", "x.jsonl", "--home-page", "{}"],
    ["plan", "{}", "-o", "plan.html"],
    ["photo", "{}"],
    ["draw", "sma-plug", "--scale", "{}", "-o", "x.svg"],
]
LONGS = [LONG, LONG_WORDS, "\u202e" * 3000, "a'b \"c" * 800]


@pytest.mark.parametrize("place", range(len(TYPED)), ids=lambda place: " ".join(TYPED[place]))
def test_errors_quote_no_more_than_can_be_read(
    place: int, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of what was typed about eighty letters stand in the sentence, at most twice."""
    monkeypatch.chdir(tmp_path)
    long = LONGS[place % len(LONGS)]
    assert main([word.format(long) for word in TYPED[place]]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert sum(err.count(part) for part in ("yyyy", "c" + "ab c" * 4, "\\u202e", "'b \"c")) <= 80
    assert len(err) < 1000


def test_errors_quote_no_more_of_a_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    site = tmp_path / "site.toml"
    for long in (LONG, LONG_WORDS):
        site.write_text(f'[site]\nregion = "{long}"\n', encoding="utf-8")
        assert main(["plan", str(site), "-o", str(tmp_path / "plan.html")]) == 2
        err = capsys.readouterr().err
        assert err.count("\n") == 1
        assert len(err) < 600


def test_a_phone_that_goes_away_before_it_has_all_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    with serve.server({"index.html": b"x" * 50_000_000}, 0) as running:
        running.daemon_threads = False  # so that the phone is waited for
        thread = threading.Thread(target=running.serve_forever, daemon=True)
        thread.start()
        with socket.create_connection(("127.0.0.1", running.server_address[1])) as phone:
            phone.sendall(b"GET / HTTP/1.0\r\n\r\n")
            phone.recv(1)
            phone.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # gone without a word
        running.shutdown()
        thread.join()
    assert capsys.readouterr().err == ""


def test_what_a_terminal_acts_on_is_written_out_whichever_command_says_it(capsys: pytest.CaptureFixture[str]) -> None:
    streams.told("an antenna\x1b[2J of\ntwo lines\u202e")
    streams.beside("one\ntwo\x1b[2J", end="", before="\r")
    assert capsys.readouterr().err == "coaxtell: an antenna\\x1b[2J of\\ntwo lines\\u202e\n\rone\ntwo\\x1b[2J"
