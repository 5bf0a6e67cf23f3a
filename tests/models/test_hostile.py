"""Hostile, broken and contradictory tables: one sentence, status 2, no traceback, whatever stands in the file."""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxtell.cli.main import main
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.mating.mate import mate
from coaxtell.models.solids.solid import solid
from tests.halves import half, shipped_text

Input = TypeVar("Input")
Result = TypeVar("Result")
FILES = sorted(f.name for f in (resources.files("coaxtell.models") / "tables").iterdir() if f.name.endswith(".toml"))
FAMILIES = [name for name in FILES if name not in ("sources.toml", "unmeasured.toml")]
NUMBER = re.compile(r"(?<=[ =])-?\d+(?:\.\d+)?(?=[, }])")

odd_numbers = st.sampled_from(
    ["0", "-1", "1e308", "-1e308", "inf", "nan", "1e-300", "3.0000001", "99999999999999999999999", "true", '"4"', "[]"]
)
odd_lines = st.sampled_from(
    [
        "[plug]", "[[jack.insulator]]", "x = 1", 'based_on = ["sma"]', 'based_on = "own"', "[jack.lugs]", "key = 7",
        'shares = [{ key = "sma", why = "", source = [] }]', "slots = 4", "[plug.nut.ramps]", "= 3", "\x00", "{}",
        "a = " + "[" * 400 + "]" * 400, "[keys]\nkind = 3", 'key = "../../etc"', 'family = "a\\nb"',
    ]
)  # fmt: skip


@st.composite
def broken_tables(draw: st.DrawFn) -> str:
    """A shipped table under another key with a few slips: numbers exchanged, lines lost, doubled, moved or strange."""
    text = shipped_text(draw(st.sampled_from(FAMILIES)))
    text = re.sub(r'^key = ".*"$', 'key = "own"', text, count=1, flags=re.MULTILINE)
    text = re.sub(r"^reverse_key = .*$", "", text, flags=re.MULTILINE)
    for _ in range(draw(st.integers(1, 4))):
        lines = text.split("\n")
        at = draw(st.integers(0, len(lines) - 1))
        slip = draw(st.sampled_from(["number", "number", "number", "odd number", "lose", "double", "odd", "cut"]))
        places = list(NUMBER.finditer(text))
        if slip in ("number", "odd number") and places:
            place = draw(st.sampled_from(places))
            new = f"{draw(st.floats(-40, 40)):.3f}" if slip == "number" else draw(odd_numbers)
            text = text[: place.start()] + new + text[place.end() :]
        elif slip == "lose":
            text = "\n".join(lines[:at] + lines[at + 1 :])
        elif slip == "double":
            text = "\n".join([*lines[: at + 1], lines[at], *lines[at + 1 :]])
        elif slip == "odd":
            text = "\n".join([*lines[:at], draw(odd_lines), *lines[at:]])
        elif slip == "cut":
            text = text[: draw(st.integers(0, len(text)))]
    return text


def refusal(work: Callable[[Input], Result], what: Input) -> tuple[str, Result | None]:
    """The sentence with which some input is refused, or the result; any other exception is a fault."""
    try:
        return "", work(what)
    except InputError as error:
        return str(error), None


def sound(loaded: tables.Tables) -> None:
    """What loads can be mated and built, or is refused in one sentence."""
    for own in (h for h in loaded.halves.values() if h.id.startswith("own")):
        assert mate(own, half("sma-jack"), doubt=False).reasons
        refused, _ = refusal(solid, own)
        assert "\n" not in refused
        break


@given(broken_tables())
@settings(max_examples=120, deadline=None)
def test_a_broken_table_loads_soundly_or_is_refused(text: str) -> None:
    with TemporaryDirectory() as folder:
        (Path(folder) / "own.toml").write_text(text, encoding="utf-8")
        refused, loaded = refusal(tables.load, Path(folder))
    assert "\n" not in refused
    assert bool(refused) == (loaded is None)
    if loaded is None:
        assert folder in refused
    else:
        sound(loaded)


@given(text=st.text(max_size=60) | odd_lines, name=st.sampled_from(["own.toml", "unmeasured.toml", "sources.toml"]))
@settings(max_examples=120, deadline=None)
def test_any_text_in_any_file_of_the_folder(text: str, name: str) -> None:
    with TemporaryDirectory() as folder:
        (Path(folder) / "mine.toml").write_text('based_on = "f"\nkey = "own"\n', encoding="utf-8")
        (Path(folder) / name).write_text(text, encoding="utf-8", errors="surrogatepass")
        refused, loaded = refusal(tables.load, Path(folder))
    assert "\n" not in refused
    if loaded is not None:
        sound(loaded)


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        (('mm = 4.62, min = 4.597', 'mm = 5.9, min = 5.8, max = 6'), "not valid TOML"),
        (("mm = 4.62, min = 4.597, max = 4.65", "mm = 5.9, min = 5.8, max = 6"), "cross"),
        (("hole = { mm = 0.96", "hole = { mm = -0.96"), "hole"),
        (("slots = { value = 2,", "slots = { value = 2.5,"), "count"),
        (("slots = { value = 2,", "slots = { value = 1e9,"), "beyond"),
        (("impedance = { value = 50", "impedance = { value = -50"), "impedance"),
        (("bore = { mm = 4.13", "bore = { mm = 0"), "bore"),
        (('unit = "N m", min = 0.34', 'unit = "N m", min = -1'), "torque"),
        (("takes_max = { mm = 0.95, min = 0.94", "takes_max = { mm = 0.5, min = 0.4"), "thinner"),
    ],
)  # fmt: skip
def test_contradictions_are_told_in_one_sentence_with_status_2(
    slip: tuple[str, str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = shipped_text("sma.toml").replace('key = "sma"', 'key = "own"').replace('reverse_key = "rp-sma"', "")
    assert slip[0] in text
    (tmp_path / "own.toml").write_text(text.replace(*slip), encoding="utf-8")
    assert main(["list", "--tables", str(tmp_path)]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "Traceback" not in err
    assert re.search(words, err), err


def test_lugs_beside_their_collar_are_refused_at_load(tmp_path: Path) -> None:
    text = shipped_text("bnc-50.toml").replace('key = "bnc-50"', 'key = "own"').replace('reverse_key = "rp-bnc"', "")
    text = text.replace("centre = { mm = 4.17, min = 4.1, max = 4.25", "centre = { mm = 40, min = 39, max = 41")
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="own-jack: its lugs stand at z 40 mm"):
        tables.load(tmp_path)


def test_a_user_names_halves_without_sizes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "unmeasured.toml").write_text(
        '[odd-jack]\nfamily = "Odd"\ngender = "jack"\nknown = "seen once"\nsource = ["memory"]\n', encoding="utf-8"
    )
    assert main(["list", "--tables", str(tmp_path)]) == 0
    assert "odd-jack" in capsys.readouterr().out
    assert main(["mate", "odd-jack", "sma-plug", "--tables", str(tmp_path)]) == 2
    assert "known to exist" in capsys.readouterr().err
