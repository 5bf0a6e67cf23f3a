"""Numbers of one's own tables that no coaxial port has: refused in a sentence, and whatever is let in stays small."""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path

import pytest

from coaxtell.models import bounds
from coaxtell.models.errors import InputError
from coaxtell.models.numbers import replaced, walk
from coaxtell.models.tables import load
from tests.halves import all_halves, half, shipped_text
from tests.mutants.trial import ROOT


def own(folder: Path, file: str, old: str, new: str) -> Path:
    text = shipped_text(file)
    assert text.count(old) == 1, text.count(old)
    text = text.replace(old, new).replace(f'key = "{file[:-5]}"', 'key = "own"')
    text = "\n".join(line for line in text.split("\n") if not line.startswith("reverse_"))
    (folder / "own.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("tpi = { value = 36,", "tpi = { value = 23999.5,", "23999.5 per inch"),
        ("tpi = { value = 36,", "tpi = { value = 400,", "400 per inch"),
        ("major = { mm = 6.35,", "major = { mm = 635,", "635 mm"),
        ("impedance = { value = 50,", "impedance = { value = 5000,", "5000 ohm"),
        ("top = { value = 18,", "top = { value = 18e4,", "180000 GHz"),
        ('er = { value = 2.05, unit = "relative", min = 2.02, max = 2.10,',
         'er = { value = 0.5, unit = "relative",', "0.5 rel"),
    ],
)  # fmt: skip
def test_what_no_port_has_is_refused(old: str, new: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words) as caught:
        load(own(tmp_path, "sma.toml", old, new))
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('top = { value = 18, unit = "GHz"', 'top = { value = 18, unit = "MHz"', "top frequency is given in 'MHz'"),
        ('torque = { value = 0.45, unit = "N m"', 'torque = { value = 0.45, unit = "N cm"', "give it in 'N m'"),
        ("major = { mm = 6.35,", 'major = { value = 6.35, unit = "in",', "given in 'in'; give it in 'mm'"),
        ('slots = { value = 2, unit = "slots"', 'slots = { value = 2, unit = "pieces"', "give it in 'slots'"),
    ],
)  # fmt: skip
def test_a_number_in_another_unit_than_it_counts_in_is_refused(old: str, new: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words):
        load(own(tmp_path, "sma.toml", old, new))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("major = { mm = 6.35,", "major = { mm = 6.35, min = 6.35, max = 6.3500999,", "range of .*is 9.99e-05 mm wide"),
        (
            "tip = { mm = -0.10, min = -0.19, max = 0.01",
            "tip = { mm = 0, min = -1e-300, max = 1e-300",
            "is 2e-300 mm wide",
        ),
        ("tip = { mm = -0.10, min", "tip = { mm = -0.000099, min", "is -9.9e-05 mm; .* give 0, or 0.0001 mm"),
    ],
)
def test_no_length_is_finer_than_a_gauge_reads(old: str, new: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words) as caught:
        load(own(tmp_path, "sma.toml", old, new))
    assert "\n" not in str(caught.value)


def test_a_length_and_a_range_at_the_least_are_taken(tmp_path: Path) -> None:
    folder = own(tmp_path, "sma.toml", "major = { mm = 6.35,", "major = { mm = 6.35, min = 6.35, max = 6.35011,")
    assert "own-jack" in load(folder).halves


def test_a_spring_below_zero_is_refused(tmp_path: Path) -> None:
    spring = "spring = { mm = 0.06, min = 0.05,"
    with pytest.raises(InputError, match=r"snap spring is -0\.06 mm"):
        load(own(tmp_path, "mmcx.toml", spring, "spring = { mm = -0.06, min = -0.07,"))


def test_a_thread_stands_where_one_can_be_cut(tmp_path: Path) -> None:
    """Inside the shell nothing is cut: before, such a table ended in a traceback."""
    plain = '{ name = "line bore", d = { mm = 4.13, grade = "high", source = ["I15"] }, to = { mm = -12,'
    threaded = '{ name = "line bore", thread = true, to = { mm = -12,'
    with pytest.raises(InputError, match="plug: a thread stands outside on the shell"):
        load(own(tmp_path, "sma.toml", plain, threaded))


def test_no_table_of_ones_own_takes_the_place_of_a_family_that_ships(tmp_path: Path) -> None:
    text = shipped_text("7-mm.toml").replace('key = "7-mm"', 'key = "sma"')
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="the id 'sma' exists already"):
        load(tmp_path)


def test_a_table_that_an_editor_marked_as_utf_8_is_read(tmp_path: Path) -> None:
    folder = own(tmp_path, "sma.toml", 'family = "SMA"', 'family = "Own"')
    table = folder / "own.toml"
    table.write_text("\ufeff" + table.read_text(encoding="utf-8"), encoding="utf-8")
    assert "own-jack" in load(folder).halves


def test_a_thread_of_too_many_turns_is_refused() -> None:
    """Of 1/4-36 on a shell of 120 mm: 122 mm over 0.7056 mm are 173 turns."""
    long = half("sma-jack")
    for path, value in ((("shell", "rim"), 120.0), (("shell", "outside", 0, "to"), 119.0)):
        long = replaced(long, path, dict(walk(long))[path].at(value))
    with pytest.raises(InputError, match="173 turns"):
        bounds.check(long, "own")


def test_what_ships_lies_well_within() -> None:
    for one in all_halves().values():
        bounds.check(one, "shipped")


@pytest.mark.needs("linux")
@pytest.mark.parametrize("command", ["draw own-jack -o {folder}/d.svg", "export own-jack -o {folder}/d.stl"])
def test_the_worst_that_is_let_in_stays_under_a_gigabyte(command: str, tmp_path: Path) -> None:
    """The finest thread on the longest shell."""
    folder = own(tmp_path, "sma.toml", "tpi = { value = 36,", "tpi = { value = 299,")

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_DATA, (1 << 30, 1 << 30))

    line = [sys.executable, "-m", "coaxtell", *command.format(folder=tmp_path).split(), "--tables", str(folder)]
    done = subprocess.run(line, cwd=ROOT, preexec_fn=small, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
