"""Bad input gets one sentence, status 2, no traceback, and leaves nothing behind."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coaxtell.cli.main import main


def refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    status = main(words)
    err = capsys.readouterr().err
    assert status == 2
    assert err.startswith("coaxtell: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize(
    "line",
    [
        "nonsense",
        "mate",
        "mate sma-plug",
        "mate sma-plug sma-jak",
        "mate sma-plug sma-jack extra",
        "mate --all",
        "mate --all -o pairs.txt",
        "mate --all sma-plug -o pairs.csv",
        "mate sma-plug sma-jack -o pair.gif",
        "sources nothing",
        "show",
        "show nothing",
        "show sma-plug --size big",
        "show sma-plug --size 0x0",
        "identify --saw colour=red --json",
        "identify --saw coupling=loose --json",
        "identify --saw coupling --json",
        "identify --measured coupling-diameter=wide --json",
        "identify --measured coupling-diameter=-3 --json",
        "identify --measured coupling-diameter=nan --json",
        "identify --measured bore=1e99 --json",
        "identify --with tape --measured bore=4 --json",
        "identify --setting moon --json",
        "list --tables /nowhere/at/all",
        "cable sma-jack n-50-jack --length 12",
        "cable sma-jack n-50-jack --length 12m --gain 8",
        "cable nothing n-50-jack --length 12m",
        "plan missing.toml -o plan.pdf",
    ],
)
def test_one_sentence_for_bad_words(
    line: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    refused(line.split(), capsys)
    assert list(tmp_path.iterdir()) == []


def test_output_that_cannot_be_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    missing = tmp_path / "no" / "such" / "folder"
    for words in (
        ["mate", "--all", "-o", str(missing / "pairs.csv")],
        ["mate", "sma-plug", "sma-jack", "-o", str(missing / "pair.svg")],
        ["mate", "sma-plug", "sma-jack", "-o", str(missing / "pair.png")],
    ):
        assert "cannot be written" in refused(words, capsys)
    folder = tmp_path / "pair.svg"
    folder.mkdir()
    assert "is a folder" in refused(["mate", "sma-plug", "sma-jack", "-o", str(folder)], capsys)
    assert list(folder.iterdir()) == []


ids = st.sampled_from(["sma-plug", "n-50-jack", "rp-tnc-jack", "nothing", "", "..", "SMA-PLUG"])
text = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=12)
lines = st.one_of(
    st.tuples(st.just("mate"), ids | text, ids | text),
    st.tuples(st.just("sources"), ids | text),
    st.tuples(st.just("identify"), st.just("--json"), st.just("--saw"), text),
    st.tuples(st.just("identify"), st.just("--json"), st.just("--measured"), text.map("bore=".__add__)),
    st.tuples(st.just("identify"), st.just("--json"), st.just("--with"), text),
    st.tuples(st.just("cable"), ids | text, ids, st.just("--length"), text),
)


@given(lines)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_words_are_answered_or_refused(capsys: pytest.CaptureFixture[str], words: tuple[str, ...]) -> None:
    try:
        status = main(list(words))
    except SystemExit as ended:  # a word that argparse takes for --help
        status = int(ended.code or 0)
    told = capsys.readouterr()
    assert status in (0, 2)
    if status == 2:
        assert told.err.startswith("coaxtell: ")
        assert "Traceback" not in told.err
    else:
        assert told.out


def test_a_sign_that_no_text_holds_is_refused_wherever_it_stands(capsys: pytest.CaptureFixture[str]) -> None:
    """A half of a pair of UTF-16 code units, as a console may hand it over."""
    for words in (["certificate", "--person", "Ana", "--new-key=\ud800"], ["sources", "sma\ud800"]):
        assert "no text and no file's name can hold" in refused(words, capsys)
