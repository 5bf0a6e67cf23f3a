"""`coaxtell show`: writes where told, names the file, tells bad input in one sentence with status 2."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from coaxtell.cli.main import main
from coaxtell.painter import Painter


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_writes_the_named_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "sma-plug", "rp-sma-jack", "--view", "cut", "--size", "320x200", "-o", "pair.png"]) == 0
    assert "pair.png" in capsys.readouterr().out
    with Image.open(tmp_path / "pair.png") as image:
        assert image.size == (320, 200)
        assert image.format == "PNG"
    assert [p.name for p in tmp_path.iterdir()] == ["pair.png"]


def test_names_the_file_itself(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "tnc-jack", "--view", "face", "--size", "200x200"]) == 0
    assert "tnc-jack-face.png" in capsys.readouterr().out
    assert (tmp_path / "tnc-jack-face.png").is_file()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["sma-plgu"], "sma-plug"),
        (["sma-plug", "nonsense"], "'nonsense'"),
        (["sma-plug", "--size", "big"], "1280x800"),
        (["sma-plug", "--size", "12x12"], "160 to 4096"),
        (["sma-plug", "--size", "99999x800"], "4096"),
        (["sma-plug", "--size=-5x10"], "-5x10"),
        (["sma-plug", "--size", "²00x300"], "width x height"),
        (["sma-plug", "--view", "below"], "below"),
        (["sma-plug", "-o", "a.gif"], ".png"),
        (["sma-plug", "-o", "missing/a.png"], "cannot be written"),
        (["sma-plug", "-o", "folder.png"], "folder"),
        (["sma-plug"] * 13, "give 1 to 12"),
        (["sma-plug", "--tables", "none"], "not a folder"),
        ([], "required"),
    ],
)
def test_bad_input_is_one_sentence(
    words: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "folder.png").mkdir()
    assert main(["show", *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert captured.err.count("\n") == 1
    assert "Traceback" not in captured.err
    assert [p.name for p in tmp_path.iterdir()] == ["folder.png"]


def test_a_drawing_stands_in_where_nothing_can_be_rendered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("libGL.so.1: cannot open")

    monkeypatch.setattr(Painter, "draw", fails)
    assert main(["show", "sma-plug", "sma-jack", "--size", "640x400", "-o", "a.png"]) == 0
    said = capsys.readouterr().out
    assert "libGL.so.1: cannot open" in said
    assert "drawing" in said
    with Image.open(tmp_path / "a.png") as image:
        assert image.size[0] == pytest.approx(640, abs=2)
