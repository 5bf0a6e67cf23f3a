"""A reading held to labelled photographs: counted by hand here; without weights nothing is read, and that is said."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from assets.photo import make
from benchmarks.photo_reading import mark
from benchmarks.study import RESULTS, ROOT
from coaxtell.cli import photo_scores
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.photo import scoring
from coaxtell.photo.reading import CLASSES, ROUND, SIDE, Look, Reader, Reading, crop

HEAD = "file,cx,cy,r,coupling,centre,plastic,kind"


def place(file: str, kind: str = "face", **looks: str) -> scoring.Labelled:
    return scoring.Labelled(file, (50.0, 50.0), 20.0, looks, kind)


def read(centre: str, chance: float, readable: bool = True, face: float = 0.9) -> Reading:
    other = Look("smooth", 0.3, False)
    return Reading(face, {"coupling": other, "centre": Look(centre, chance, readable), "plastic": other})


def test_right_wrong_unread_and_sure_are_counted() -> None:
    places = [
        *(place(file, centre=centre) for file, centre in zip("aabc", ("pin", "pin", "socket", "pin"), strict=True)),
        place("d", kind="trap", centre="pin"),
        place("e", kind="none"),
    ]
    readings = [read("pin", 0.95), read("socket", 0.9), read("socket", 0.6), read("pin", 0.99, readable=False),
                read("pin", 0.9, face=0.2), None]  # fmt: skip
    rows = scoring.scored(places, readings)["centre"]
    assert rows["all"] == scoring.Score(4, right=2, wrong=1, not_read=1, sure=2, sure_and_right=1, commonest=3)
    assert rows["pin"] == scoring.Score(3, right=1, wrong=1, not_read=1, sure=2, sure_and_right=1, commonest=3)
    assert rows["socket"].commonest == 0
    shots = scoring.photographs(places, readings)
    assert shots["a"] == scoring.Score(2, right=1, wrong=1, not_read=0, sure=2, sure_and_right=1, commonest=2)
    assert shots["c"] == scoring.Score(1, right=0, wrong=0, not_read=1, sure=0, sure_and_right=0, commonest=1)
    assert list(shots) == ["a", "b", "c", "d", "e"], "those without a face too"
    assert shots["d"] == shots["e"] == scoring.Score(0, 0, 0, 0, 0, 0, 0)
    found = [scoring.read_wrong(*each) for each in zip(places, readings, strict=True)]
    assert found == [[], ["centre"], [], [], [], []]
    assert scoring.read_wrong(place("d", kind="trap", centre="pin"), read("socket", 0.9)) == ["kind"]
    assert scoring.read_wrong(place("a", centre="pin"), read("pin", 0.9, face=0.2)) == ["kind"]
    assert scoring.called_faces(places, readings) == {"face": (4, 4), "trap": (1, 0), "none": (1, 0)}


def test_a_crop_has_the_marked_face_in_its_middle_at_its_size() -> None:
    picture = np.zeros((400, 600, 3), np.uint8)
    ys, xs = np.mgrid[0:400, 0:600]
    picture[np.hypot(xs - 310, ys - 140) <= 60] = 255
    cut = crop(picture, np.array([310.0, 140.0]), 60.0)[..., 0] > 127
    rows, columns = np.nonzero(cut)
    assert abs(columns.mean() - (SIDE - 1) / 2) < 0.5
    assert abs(rows.mean() - (SIDE - 1) / 2) < 0.5
    assert np.sqrt(cut.sum() / np.pi) == pytest.approx(SIDE / (2 * ROUND), rel=0.02)


def folder(path: Path, *lines: str, head: str = HEAD) -> Path:
    path.mkdir(exist_ok=True)
    Image.new("RGB", (400, 300), (90, 90, 90)).save(path / "one.png")
    (path / "labels.csv").write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    return path


def test_without_weights_all_is_not_read_and_the_commonest_is_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shots = folder(
        tmp_path / "shots",
        "one.png,100,100,40,thread-outside,socket,level,face",
        "one.png,200,100,40,thread-outside,pin,?,face",
        "one.png,300,100,40,lugs,pin,,face",
        "one.png,200,200,40,,,,trap",
    )
    assert main(["photo", "--evaluate", str(shots), "--json"]) == 0
    looks = json.loads(capsys.readouterr().out)["looks"]
    assert looks["coupling"]["all"] | {"n": 3, "not_read": 3, "right": 0, "commonest": 2} == looks["coupling"]["all"]
    assert looks["plastic"]["all"]["n"] == 1
    assert main(["photo", "--evaluate", str(shots)]) == 0
    out = capsys.readouterr().out
    assert "No weights are given and none come with the program" in out
    assert max(map(len, out.splitlines()[2:])) < 80


def test_every_place_is_told_and_every_picture_in_which_something_was_read_wrong(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two faces of one picture were added together, and a rear end that was taken for a face stood in no list."""
    shots = folder(
        tmp_path / "shots",
        "one.png,100,100,40,thread-outside,socket,level,face",
        "one.png,200,100,40,?,pin,?,face",
        "rear.png,200.5,200,40,,,,trap",
        "none.png,200,200,40,,,,none",
    )
    for name in ("rear", "none"):
        (shots / f"{name}.png").write_bytes((shots / "one.png").read_bytes())
    readings = [read("socket", 0.95), read("socket", 0.6), read("pin", 0.9), read("pin", 0.9, face=0.1)]
    monkeypatch.setattr(photo_scores, "_read", lambda *_: readings)
    assert main(["photo", "--evaluate", str(shots), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert list(data["photographs"]) == ["one.png", "rear.png", "none.png"]
    assert [(one["file"], one["cx"], one["kind"], one["called a face"]) for one in data["places"]] == [
        ("one.png", 100, "face", True), ("one.png", 200, "face", True), ("rear.png", 200.5, "trap", True),
        ("none.png", 200, "none", False),
    ]  # fmt: skip
    assert [one["wrong"] for one in data["places"]] == [[], ["centre"], ["kind"], []]
    first, second = (one["looks"]["centre"] for one in data["places"][:2])
    assert first == {"label": "socket", "read": "socket", "sure": True}
    assert second == {"label": "pin", "read": "socket", "sure": False}
    assert main(["photo", "--evaluate", str(shots)]) == 0
    told = capsys.readouterr().out.splitlines()
    wrong = " ".join(told[told.index("Read wrong") + 1 :])
    assert "centre pin read as socket at 200,100." in wrong
    assert "rear.png: trap read as a mating face at 200.5,200." in wrong
    assert "none.png" not in wrong
    assert any(line.startswith("rear.png") and line.split()[1] == "0" for line in told)


def test_a_fault_is_told_by_its_line_in_the_file(tmp_path: Path) -> None:
    """Empty lines and a line break in a name had it told by another."""
    good, bad = "one.png,1,1,40,lugs,pin,level,face", "one.png,1,1,40,lugs,pin,level,Face"
    for lines, at in (((good, "", "", "", bad), 6), (('"a\nb.png",1,1,40,lugs,pin,level,face', bad), 4), ((bad,), 2)):
        with pytest.raises(InputError, match=f"line {at}: kind is face"):
            scoring.labels("labels.csv", "\n".join([HEAD, *lines]))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("one.png,1,1,40,screw,pin,level,face", "line 2: coupling is one of thread-outside"),
        ("one.png,1,1,40,lugs,pin,level,port", "line 2: kind is face, trap"),
        ("one.png,1,x,40,lugs,pin,level,face", "line 2: cy takes pixels"),
        ("one.png,1,١٢,40,lugs,pin,level,face", "line 2: cy takes pixels"),
        ("one.png,1,inf,40,lugs,pin,level,face", "line 2: cy takes pixels"),
        ("one.png,1,1_0,40,lugs,pin,level,face", "line 2: cy takes pixels"),
        (
            "one.png,,1,40,?,?,?,none",
            "line 2: cx is empty; give the middle and radius of a circle in pixels, of none too",
        ),
        ("one.png,1,1,,lugs,pin,level,face", "line 2: r is empty"),
        ("one.png;1;1;40;lugs;pin;level;face", "parted by commas"),
        ("one.png,1,1,0,lugs,pin,level,face", "r takes pixels, and r is more than 1, not 0."),
        ("one.png,1,1", "the columns must be file,cx,cy,r"),
        ("one.png,1,1,40,lugs,pin,level,face,more", "the columns must be"),
        ("two.png,1,1,40,lugs,pin,level,face", "is not there"),
        ("one.png,4000,1,40,lugs,pin,level,face", "outside the picture"),
    ],
)
def test_bad_labels_get_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str, said: str) -> None:
    assert main(["photo", "--evaluate", str(folder(tmp_path / "shots", line))]) == 2
    out, err = capsys.readouterr()
    assert said in err
    assert out == ""


def test_what_is_no_labelled_folder_gets_one_sentence(tmp_path: Path) -> None:
    for path, said in [
        (folder(tmp_path / "a", head="file,x,y"), "the columns must be"),
        (folder(tmp_path / "b"), "has no line beside the columns"),
    ]:
        with pytest.raises(InputError, match=said):
            scoring.labels("labels.csv", (path / "labels.csv").read_text())
    with pytest.raises(InputError, match="no CSV in UTF-8"):
        scoring.labels("labels.csv", f"{HEAD}\na,{'9' * 200_000}\n")


def test_a_reading_without_its_package_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "onnxruntime.py").write_text("raise ImportError('a shared library is missing')", encoding="utf-8")
    monkeypatch.delitem(sys.modules, "onnxruntime", raising=False)
    for missing in (False, True):
        if missing:
            monkeypatch.setitem(sys.modules, "onnxruntime", None)
        else:
            monkeypatch.syspath_prepend(tmp_path)
        with pytest.raises(InputError, match=r"install coaxtell\[photo\]"):
            Reader(tmp_path / "reading.onnx")


@pytest.mark.needs("py:onnxruntime")
def test_what_is_no_network_gets_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is not there"):
        Reader(tmp_path / "reading.onnx")
    (tmp_path / "reading.onnx").write_bytes(b"no network")
    with pytest.raises(InputError, match="holds no network that reads faces"):
        Reader(tmp_path / "reading.onnx")


@pytest.mark.needs("py:onnxruntime")
def test_the_stored_weights_read_the_stored_crops_as_they_did() -> None:
    """Nothing is trained here: another runtime, or another cut or order of the outputs, would read otherwise."""
    told = json.loads(make.TOLD.read_text(encoding="utf-8"))
    assert told["weights"] == mark(make.WEIGHTS)
    assert make.WEIGHTS.stat().st_size <= 8e6
    readings = Reader(make.WEIGHTS).read(np.array(make.stored()))
    for one, reading in zip(told["crops"], readings, strict=True):
        assert reading.face == pytest.approx(one["face"], abs=0.01)
        for look, (value, chance, readable) in one["read"].items():
            found = reading.looks[look]
            assert (found.value, found.readable) == (value, readable)
            assert found.chance == pytest.approx(chance, abs=0.01)
    kept = json.loads((RESULTS / "photo_reading.json").read_text(encoding="utf-8"))
    assert kept["weights"] == told["weights"]
    for look in CLASSES:
        rows = [
            one for one in told["crops"] if one["kind"] == "face" and look in one["labels"] and one["read"][look][2]
        ]
        right = sum(one["read"][look][0] == one["labels"][look] for one in rows)
        assert 0 < right < len(rows), "neither by chance alone nor beyond what the whole 720 show"


def test_the_kept_table_says_as_what_each_value_was_read() -> None:
    kept = json.loads((RESULTS / "photo_reading.json").read_text(encoding="utf-8"))
    for look, found in kept["looks"].items():
        for value, row in found["read_as"].items():
            line = found["lines"][value]
            assert sum(row.values()) == line["n"]
            assert line["n"] - row["not read"] == line["read"]
            assert row[value] == pytest.approx(line["right"] * line["read"], abs=0.1), look


def test_scoring_and_measuring_are_not_mixed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shots = str(folder(tmp_path / "shots", "one.png,100,100,40,lugs,pin,level,face"))
    for words, said in [
        (["photo", "one.png", "--evaluate", shots], "takes no photograph"),
        (["photo", "--evaluate", shots, "--face", "1"], "takes no --face"),
        (["photo", "--evaluate", shots, "--height", "4mm"], "takes no --height"),
        (["photo", "one.png", "--weights", "w.onnx"], "--weights goes with --evaluate"),
        (["photo"], "Which photograph?"),
        (["photo", "--evaluate", str(tmp_path / "nothing")], "labels.csv: cannot be read (No such file"),
    ]:
        assert main(words) == 2
        assert said in capsys.readouterr().err


def test_the_page_tells_the_kept_figures_of_the_reading() -> None:
    kept = json.loads((RESULTS / "photo_reading.json").read_text(encoding="utf-8"))
    page = " ".join((ROOT / "docs" / "photo.md").read_text(encoding="utf-8").split())
    named = {"centre": "pin or socket", "coupling": "coupling, flank in sight", "plastic": "plastic"}
    for look, asked in (("centre", ".95"), ("coupling", ".95"), ("plastic", ".93")):
        line = kept["looks"][look]["lines"]["all"]
        right, low, high = (f"{line[key]:.2f}".lstrip("0") for key in ("right", "low", "high"))
        assert f"| {named[look]} | {asked} | {right} of {line['read']} ({low} to {high}) |" in page
        assert line["low"] < float(asked), "a look that holds what is asked would be switched on"
    errors = {look: f"{found['calibration_error']:.2f}".lstrip("0") for look, found in kept["looks"].items()}
    assert f"centre {errors['centre']}, coupling {errors['coupling']}, plastic {errors['plastic']}" in page
    rear, no_port = kept["called_faces"]["trap"], kept["called_faces"]["none"]
    assert f"| {rear['n'] - rear['called']} of {rear['n']} |" in page
    assert f"| {no_port['called']} of {no_port['n']} |" in page
