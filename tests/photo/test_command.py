"""`coaxtell photo` as a technician uses it: found, marked, refused in one sentence; the width goes on to a name."""

from __future__ import annotations

import json
import re
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter

from benchmarks.photo_scene import scene
from coaxtell.cli.main import main
from coaxtell.photo import card as cards
from coaxtell.photo import file
from coaxtell.window.scenes.photo_marks import Marks


@pytest.fixture(scope="module")
def shot(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str, float]:
    """A photograph, its face and card as one types them, and the true width."""
    drawn = scene(202, 2048, 1536, np.array([11.11]), False)
    path = tmp_path_factory.mktemp("shot") / "port.png"
    Image.fromarray(drawn.picture).save(path)
    face = ",".join(f"{v:.0f}" for v in (*drawn.centre, drawn.radius))
    return path, face, " ".join(f"{x:.0f},{y:.0f}" for x, y in drawn.corners), drawn.width_mm


def finds(monkeypatch: pytest.MonkeyPatch, corners: str, times: float = 1.0) -> None:
    """The card is found at these corners, or what is taken for it has so many times its scale: the search itself takes
    seconds, and what is told does not hang on it."""

    def found(picture: object, focal_mm: object, grey: cards.Grey) -> cards.Card:
        card = cards.fitted(grey, np.array(corners.replace(",", " ").split(), dtype=float).reshape(4, 2))
        assert card is not None
        return card._replace(to_mm=np.diag([times, times, 1.0]) @ card.to_mm)

    monkeypatch.setattr(cards, "find", found)


def test_a_marked_face_is_measured_and_named(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, face, card, true = shot
    saved, checked = tmp_path / "port.json", tmp_path / "checked.png"
    words = ["photo", str(path), "--face", face, "--card", card, "--height", "level"]
    assert main([*words, "--save", str(saved), "-o", str(checked)]) in (0, 3)
    out = capsys.readouterr().out
    assert out.startswith("Check that the ring lies on the rim that you mean: ")
    assert "\ncoupling-diameter " in out
    assert "Experimental" in out
    assert "names no port alone" in out
    assert "It rests on" in out or "sure" in out
    kept = json.loads(saved.read_text(encoding="utf-8"))["answers"]["coupling-diameter"]
    assert abs(kept["value"] - true) <= 2 * kept["plus_minus"]
    # gone on with, ordered for, planned with: never as a calliper's
    said = f"coupling-diameter={kept['typed']} (experimental)"
    assert kept["typed"].endswith(" by photograph")
    assert main(["identify", "--from", str(saved), "--saw", "centre=not-sure", "--why"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Measured in a photograph, which is experimental" in out
    assert said in out
    assert main(["identify", "--from", str(saved), "--measured", "coupling-diameter=11.1", "--save", str(saved)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert out.startswith("coupling-diameter: 11.10 +-0.05 takes the place of ")
    assert "experimental" not in out
    assert main(["identify", "--from", str(saved), "--saw", "centre=not-sure", "--why"]) == 0
    assert "photograph" not in capsys.readouterr().out
    with Image.open(checked) as picture:
        assert picture.height == 900


def test_a_finer_reading_stays_beside_a_photograph_and_it_is_said(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The saved calliper's reading had gone without a word, and with it the port that was ordered for."""
    path, face, card, _ = shot
    saved, after = tmp_path / "port.json", tmp_path / "after.json"
    size = "coupling-diameter"
    for typed, said, apart in (
        ("15.75", "by photograph exclude each other", True),
        ("11.1", "told before, stays, being", False),
    ):
        main(["identify", "--measured", f"{size}={typed}", "--save", str(saved)])
        capsys.readouterr()
        words = ["photo", str(path), "--face", face, "--card", card, "--from", str(saved), "--save", str(after)]
        for more in ([], ["--json"]):
            assert main([*words, *more]) in (0, 3)
            told = capsys.readouterr()
            heard = " ".join((told.err if more else told.out).split())
            assert f"{float(typed):.2f} +-0.05, told before, " in heard
            assert said in heard
            assert ("nothing is settled by either" in heard) is apart
            kept = json.loads(after.read_text(encoding="utf-8"))
            assert kept["answers"][size]["typed"] == typed
            assert (size in kept["again"]) is (size in kept.get("apart", ())) is apart
        assert json.loads(told.out)["port"]["answers"][size]["typed"] == typed
    by_photograph = f"{size}=19.70mm+-1.04 by photograph"
    assert main(["identify", "--from", str(saved), "--measured", by_photograph]) in (0, 3)
    assert "11.10 +-0.05, told before, and 19.70 +-1.04 by photograph" in capsys.readouterr().out
    # whoever wants the photograph's takes the other back first
    not_sure = ["identify", "--from", str(saved), "--measured", f"{size}=not-sure", "--measured", by_photograph]
    assert main([*not_sure, "--json"]) in (0, 3)
    told = capsys.readouterr()
    assert told.err == ""
    assert json.loads(told.out)["answers"][size]["value"] == pytest.approx(19.7)


def test_a_card_found_by_itself_is_to_be_looked_at_first(
    shot: tuple[Path, str, str, float],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path, face, corners, _ = shot
    finds(monkeypatch, corners)
    checked = tmp_path / "checked.png"
    for more, told in (([], "-o shows it. It was not looked at"), (["-o", str(checked)], str(checked))):
        assert main(["photo", str(path), "--face", face, *more]) in (0, 3)
        first = capsys.readouterr().out.splitlines()[0]
        assert first.startswith(
            "Check that the outlined four corners lie on the card, and the ring on the rim that you mean: "
        )
        assert told in first


def cut_png(path: Path, size: int, bytes_of_pixels: int) -> None:
    """A square PNG whose pixels end early, each of its chunks with a good check sum."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", size, size, 8, 2, 0, 0, 0))
    pixels = chunk(b"IDAT", zlib.compress(bytes(bytes_of_pixels), 1))
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + head + pixels + chunk(b"IEND", b""))


@pytest.mark.parametrize(("size", "pixels"), [(7000, 10), (4000, 4000 * (1 + 3 * 4000) - 1), (700, 10)])
def test_a_png_whose_pixels_end_early_is_told_in_one_sentence(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], size: int, pixels: int
) -> None:
    """A large one had ended in a traceback, behind a line of the library that reads it."""
    path = tmp_path / "cut.png"
    cut_png(path, size, pixels)
    head = "file,cx,cy,r,coupling,centre,plastic,kind\n"
    (tmp_path / "labels.csv").write_text(head + "cut.png,100,100,40,lugs,pin,level,face\n", encoding="utf-8")
    for words in ([str(path)], ["--evaluate", str(tmp_path)]):
        assert main(["photo", *words]) == 2
        told = capfd.readouterr()
        assert told.out == ""
        assert "cut.png cannot be read (it is cut short or damaged); give another picture." in told.err
        assert told.err.count("\n") == 1


@pytest.mark.parametrize("missing", [0, 1])
@pytest.mark.parametrize(("width", "height", "interlaced"), [(41, 37, 0), (3, 2, 1), (41, 37, 1), (1200, 900, 0)])
def test_all_rows_of_a_png_are_counted(tmp_path: Path, width: int, height: int, interlaced: int, missing: int) -> None:
    """As many bytes as the standard has for its rows (ISO/IEC 15948: each begins with its filter)."""
    rows = [height * (1 + 3 * width)]
    if interlaced:
        places = {  # the pattern of the standard's figure of the passes, one number a pixel of eight by eight
            (x, y): int("1646264677777777566656667777777736463646777777775666566677777777"[8 * y + x])
            for y in range(8)
            for x in range(8)
        }
        kinds = [[places[x % 8, y % 8] for x in range(width)] for y in range(height)]
        rows = [1 + 3 * row.count(n) for n in range(1, 8) for row in kinds if n in row]
    path = tmp_path / "whole.png"
    cut_png(path, 8, 0)
    data = path.read_bytes()
    head = data[:16] + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, interlaced) + data[29:33]
    packed = zlib.compress(bytes(sum(rows) - missing))
    path.write_bytes(head + struct.pack(">I4s", len(packed), b"IDAT") + packed + bytes(4))
    assert file._has_all_rows(path) is not bool(missing)


def test_a_blurred_picture_is_refused(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, face, corners, _ = shot
    soft = tmp_path / "soft.png"
    with Image.open(path) as picture:
        picture.filter(ImageFilter.GaussianBlur(5)).save(soft, compress_level=0)
    assert main(["photo", str(soft), "--face", face, "--card", corners]) == 2
    error = capsys.readouterr().err
    assert "too blurred to measure by" in error
    assert error.count("\n") == 1


def test_round_things_are_shown_by_number_before_one_of_them_is_named(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A list of pixels tells nobody which is the rim: the picture does, and stands though nothing is measured yet."""
    path, _, card, _ = shot
    checked = tmp_path / "checked.png"
    assert main(["photo", str(path), "--card", card, "-o", str(checked)]) == 2
    said = capsys.readouterr().err
    assert "checked.png shows them by number" in " ".join(said.split())  # a long name of a file is told cut
    (x, y, r), *_ = re.findall(r"1: (\d+),(\d+),(\d+)", said)
    with Image.open(path) as whole, Image.open(checked) as picture:
        scale = picture.height / whole.height
        plain = np.asarray(whole.convert("RGB").resize(picture.size), dtype=int)
        drawn = np.asarray(picture, dtype=int)
    changed = np.abs(drawn - plain).max(axis=2) > 60
    turns = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    at = [(round((int(y) + int(r) * np.sin(a)) * scale), round((int(x) + int(r) * np.cos(a)) * scale)) for a in turns]
    assert sum(changed[row - 1 : row + 2, column - 1 : column + 2].any() for row, column in at) > 50
    assert main(["photo", str(path), "--card", card]) == 2
    assert "-o shows them by number" in " ".join(capsys.readouterr().err.split())


def test_json_has_the_parts_of_the_plus_minus(
    shot: tuple[Path, str, str, float], capsys: pytest.CaptureFixture[str]
) -> None:
    path, face, card, _ = shot
    assert main(["photo", str(path), "--face", face, "--card", card, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["plus_minus"] == pytest.approx(3.2 * sum(p**2 for p in data["parts"].values()) ** 0.5, abs=0.01)
    assert data["measured"] == f"coupling-diameter={data['mm']:.2f}mm+-{data['counted']:.2f} by photograph"
    assert data["counted"] == pytest.approx(2 * data["plus_minus"], abs=0.01)  # photographs unlike the drawn ones
    port = data["port"]
    assert port["answers"]["coupling-diameter"]["value"] == pytest.approx(data["mm"], abs=0.01)
    assert port["state"] == "not settled"
    assert port["candidates"]


def test_pixels_are_those_of_the_file_where_it_was_halved(
    shot: tuple[Path, str, str, float], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, face, card, _ = shot
    words = ["photo", str(path), "--face", face, "--card", card]
    told = re.compile(r"Card found at ([\d.]+) pixels to a millimetre")
    assert main(words) in (0, 3)
    whole = float(told.findall(capsys.readouterr().out)[0])
    monkeypatch.setattr(file, "WORK_PIXELS", 2_000_000)
    assert main(words) in (0, 3)
    assert float(told.findall(capsys.readouterr().out)[0]) == pytest.approx(whole, rel=0.01)


def test_json_reads_tables_and_saved_answers_before_it_tells(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, face, card, _ = shot
    (tmp_path / "own.toml").write_text("x = [", encoding="utf-8")
    words = ["photo", str(path), "--face", face, "--card", card, "--json"]
    for more, told in ((["--tables", str(tmp_path)], "own.toml"), (["--from", str(tmp_path / "a.json")], "a.json")):
        assert main([*words, *more]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert told in said.err


def test_terminal_and_window_propose_the_same_rounds_in_one_order(
    shot: tuple[Path, str, str, float], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, _, corners, _ = shot
    given = np.array(corners.replace(",", " ").split(), dtype=float).reshape(4, 2)
    # the search for the card takes seconds, and the order does not hang on it
    monkeypatch.setattr(cards, "find", lambda picture, focal_mm, grey: cards.fitted(grey, given))
    assert main(["photo", str(path)]) == 2
    told = capsys.readouterr().err.split("them by number): ")[1].rstrip(".\n").split("; ")
    proposed = Marks(path).proposed
    assert len(proposed) > 1
    assert told == [
        f"{i}: {','.join(str(round(float(v))) for v in (*middle, radius))}"
        for i, (middle, radius) in enumerate(proposed, 1)
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--face", "12"], "say which circle"),
        (["--face", "٣"], "takes 3 numbers in pixels"),
        (["--face", "700,700,50", "--height", "3kg"], "--height '3kg'"),
        (["--face", "700,700,50", "--height", "4mm+-1"], "--height '4mm+-1'"),
        (["--face", "700,700,50", "--height", "1/4"], "is a fraction without a unit"),
        (["--face", "99999,5,9"], "is outside the 2048 by 1536 pixels"),
        (["--face", "a,b,c"], "takes 3 numbers in pixels"),
        (["--face", "700,700,0"], "has no radius"),
        (["--face", "700,700,50", "--card", "1,2 3,4"], "takes 8 numbers in pixels"),
        (["--face", "700,700,50", "--card", "1,1 2,1 2,2 1,2"], "no straight sides"),
        (["--face", "700,700,50", "--card", "10,10 10,10 100,10 100,60"], "no straight sides"),
        (["--face", "700,700,50", "--across", "centre"], "centre is seen, not measured"),
        (["--face", "700,700,50", "--across", "threads-per-10mm"], "--across threads-per-10mm is no width"),
        (["--face", "700,700,50", "--height", "3 km"], "out of range; give -60 to 60"),
        (["--face", "700,700,50", "--height", "high"], "--height"),
        (["-o", "x.gif"], "is a .png file"),
        (["--face", "700,700,50", "--across", "coupling"], "coupling is seen, not measured"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(
    shot: tuple[Path, str, str, float], words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _, card, _ = shot
    given = words if "--card" in words else [*words, "--card", card]
    assert main(["photo", str(path), *given]) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert told.err.count("\n") == 1
    assert told.out == ""


def test_the_photograph_itself_is_never_written_over(
    shot: tuple[Path, str, str, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, face, card, _ = shot
    before = path.read_bytes()
    (tmp_path / "link.png").symlink_to(path)
    for words in (["-o", str(path)], ["-o", str(tmp_path / "link.png")], ["--save", str(path)]):
        assert main(["photo", str(path), "--face", face, "--card", card, *words]) == 2
        assert "is the photograph itself; name another file" in capsys.readouterr().err
    assert path.read_bytes() == before


def test_another_thing_taken_for_the_card_names_no_port(
    shot: tuple[Path, str, str, float],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A box of a sixth of a card, taken for the card, makes the coupling six times as wide."""
    path, face, corners, _ = shot
    finds(monkeypatch, corners, times=6.0)
    checked = tmp_path / "checked.png"
    assert main(["photo", str(path), "--face", face, "-o", str(checked)]) == 2
    out, err = capsys.readouterr()
    assert "is probably another thing" in err
    assert "cyan in the picture of -o" in err
    assert out == ""
    assert checked.exists()
