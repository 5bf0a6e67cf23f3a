"""The identify command: with answers, in the terminal, saved, and with bad input."""

from __future__ import annotations

import io
import json
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from coaxtell.cli.main import main
from coaxtell.identifier.features import Feature
from tests.halves import changed_copy

TWO = ["--saw", "coupling=thread-outside", "--saw", "centre=pin"]
SMALL = [*TWO, "--measured", "coupling-diameter=6.3", "--with", "calliper"]


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["identify", *words, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert isinstance(found, dict)
    return found


def talk(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: str, *words: str) -> str:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    assert main(["identify", *words]) == 0
    return capsys.readouterr().out


def test_where_nothing_was_told_no_port_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    """The JSON had named what is met most, with order words and kilovolts, where the screen names nothing."""
    none = ("--saw", "coupling=not-sure", "--saw", "centre=not-sure")
    found: dict[str, Any] = as_json(capsys, *none, "--setting", "video", "--look-only")
    assert found["order"] == "Nothing was seen or measured, so no port is named."
    assert [found[part] for part in ("name", "gender", "order_port", "order_fit")] == [""] * 4
    assert found["mates_with"] == found["beware"] == []
    (caution,) = found["cautions"]
    assert caution.startswith("It is energised")
    assert "rival" not in found
    assert set(as_json(capsys, *SMALL)) == set(found) | {"rival"}
    assert main(["identify", *none, "--again", "coupling=lugs"]) == 0
    assert "Nothing was seen" not in capsys.readouterr().out, "lugs were, at the second look"


def test_json_holds_what_was_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, *SMALL)
    candidates = found["candidates"]
    assert isinstance(candidates, list)
    assert candidates[0]["id"] == "rp-sma-jack"
    assert [c["probability"] for c in candidates] == sorted((c["probability"] for c in candidates), reverse=True)
    assert sum(c["probability"] for c in candidates) == pytest.approx(1, abs=1e-4)
    assert found["mates_with"] == ["rp-sma-plug"]
    assert "RP-SMA plug" in str(found["order"])
    assert found["cautions"]
    assert {"feature", "why"} <= set(found["next"])  # type: ignore[call-overload]
    assert "contradiction" not in found


def test_it_starts_without_heavy_libraries() -> None:
    """Neither VTK, pygame, trimesh nor rich is imported to answer; scikit-learn stays in the tests."""
    code = (
        "import sys; from coaxtell.cli.main import main; "
        f"status = main(['identify', *{TWO!r}, '--json']); "
        "heavy = {'vtk', 'vtkmodules', 'pygame', 'trimesh', 'rich', 'sklearn', 'scipy', 'PIL'}; "
        "print(sorted(heavy & {name.split('.')[0] for name in sys.modules}), file=sys.stderr); sys.exit(status)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout)["candidates"]
    assert done.stderr.strip() == "[]"


def test_a_persons_identification(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["identify", *SMALL, "--why"]) == 0
    out = capsys.readouterr().out
    for part in (
        "RP-SMA jack (rp-sma-jack), reverse polarity", "by its body a jack (female", "by its contact male (pin)",
        "It rests on", "centre=pin", "It mates with", "rp-sma-plug", "Looks like it", "sma-jack", "joins, no contact",
        "To order", "Cautions", "transmitter", "local codes", "coaxtell show rp-sma-jack",
    ):  # fmt: skip
        assert part in " ".join(out.split()), part


def test_clashing_answers_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    clash = ["--saw", "coupling=lugs", "--measured", "threads-per-10mm=36tpi"]
    found = as_json(capsys, *clash)["contradiction"]
    assert isinstance(found, dict)
    assert sorted(found["features"]) == ["coupling", "threads-per-10mm"]
    assert main(["identify", *clash]) == 0
    assert "together; most likely misread" in " ".join(capsys.readouterr().out.split())


def test_an_answer_that_speaks_against_the_port_is_named_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["identify", "--saw", "coupling=thread-outside", "--saw", "size=aaa-cell", "--saw", "centre=socket",
                 "--measured", "pin-diameter=1.35", "--setting", "uhf-reader", "--why"]) == 0  # fmt: skip
    out = capsys.readouterr().out
    assert "centre=socket  (speaks against it" in out
    assert "pin-diameter=1.35  (without it" in out


def test_a_clash_is_not_called_settled(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    clash = ["--saw", "coupling=lugs", "--measured", "threads-per-10mm=36tpi", "--saw", "centre=pin"]
    saved = tmp_path / "port.json"
    assert main(["identify", *clash, "--save", str(saved)]) == 0
    assert "Not settled" in capsys.readouterr().out
    out = talk(monkeypatch, capsys, "n\n" + "u\n" * 30, "--from", str(saved))
    assert "What to order is settled" not in out
    assert "Not settled" in out.split("Shortlist")[-1]


def test_the_order_of_options_does_not_matter_and_the_last_of_a_feature_counts(
    capsys: pytest.CaptureFixture[str],
) -> None:
    one = as_json(capsys, *TWO)
    two = as_json(capsys, "--saw", "centre=socket", "--saw", "centre=pin", "--saw", "coupling=thread-outside")
    assert one == two


def test_inches_and_a_plus_minus(capsys: pytest.CaptureFixture[str]) -> None:
    by_mm = as_json(capsys, *TWO, "--measured", "coupling-diameter=6.35", "--with", "+-0.1")
    by_inch = as_json(capsys, *TWO, "--measured", "coupling-diameter=1/4in", "--with", "+-0.1")
    assert by_mm["candidates"] == by_inch["candidates"]


def test_a_ruler_leaves_more_doubt_than_a_calliper(capsys: pytest.CaptureFixture[str]) -> None:
    def stated(instrument: str) -> float:
        found = as_json(
            capsys, "--saw", "coupling=thread-inside", "--measured", "pin-diameter=1.64", "--with", instrument
        )
        return float(found["candidates"][0]["probability"])  # type: ignore[index]

    assert stated("ruler") < stated("calliper")


def test_questions_in_the_terminal(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """thread outside, a pencil wide, a pin, plastic sunk: an RP-SMA jack; nothing had to be measured."""
    out = talk(monkeypatch, capsys, "1\npencil\npin\nsunk\nq\n")
    assert "How is the port held to its mate?" in out
    assert "RP-SMA jack (rp-sma-jack)" in out


def test_an_answer_is_changed_and_others_are_unsure(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Thread inside at first; back to it, lugs after all, no high voltage; not sure of the next; then enough."""
    out = talk(monkeypatch, capsys, "2\nb\n1\n3\ny\nu\nq\n", "--why")
    assert "coupling=thread-inside" in out
    assert "BNC jack" in out.split("Shortlist")[-1]
    assert "coupling=lugs" in out


def test_the_letter_of_a_housing_is_typed_as_it_stands(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Housing, cream white, a pin, letter B (elsewhere b goes back); unsure and quit are typed in full there."""
    out = talk(monkeypatch, capsys, "7\n2\n1\nb\nq\n", "--why")
    assert "housing-letter=b" in out
    assert "fakra-b" in out.split("Still possible")[1].split("It rests on")[0]
    assert "housing-letter=" not in talk(monkeypatch, capsys, "7\n2\n1\nquit\n", "--why").split("It rests on")[1]
    assert "housing-letter=b" in talk(monkeypatch, capsys, "7\n2\n1\nunsure\nback\n\nB\nq\n", "--why")


def test_only_letters_and_colours_that_are_met_are_offered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    out = " ".join(talk(monkeypatch, capsys, "7\n2\n1\nquit\n").split())
    assert "water blue" in out
    assert "one of A, B, C, D, E, F, G, H, I, K, L, M, N, Z;" in out


def test_the_question_goes_with_what_was_seen(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "How wide is the port across its thread?" in talk(monkeypatch, capsys, "1\nq\n")
    assert "How wide is the housing" in talk(monkeypatch, capsys, "7\nu\nunsure\nunsure\nunsure\nunsure\nq\n")


def test_cautions_come_before_the_first_touch(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = talk(monkeypatch, capsys, "q\n").split("How is the port held")[0]
    assert "transmitter off" in before
    assert "DC" in before


def test_stopped_with_ctrl_c_it_tells_what_was_answered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = iter(["1", "u", "u"])

    def read(prompt: str) -> str:
        try:
            return next(typed)
        except StopIteration:
            raise KeyboardInterrupt from None

    monkeypatch.setattr("builtins.input", read)
    assert main(["identify", "--setting", "wifi", "--with", "ruler"]) == 130
    line = next(row for row in capsys.readouterr().out.splitlines() if "coaxtell identify" in row)
    words = shlex.split(line.partition("coaxtell ")[2])
    assert words[:5] == ["identify", "--setting", "wifi", "--with", "ruler"]
    again = as_json(capsys, *words[1:])
    assert again["setting"] == "wifi"
    assert len(set(again["answers"])) == 3  # type: ignore[call-overload]


def test_a_picture_of_the_port_and_what_fits_it(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "port.png"
    assert main(["identify", *SMALL, "-o", str(path)]) == 0
    assert f"Picture: {path} shows rp-sma-jack and what fits it, rp-sma-plug" in capsys.readouterr().out
    assert path.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_a_file_that_cannot_be_written_is_refused_before_anything_is_asked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr("builtins.input", lambda prompt: pytest.fail("it asked"))
    for words in (["--save", str(tmp_path)], ["--save", "/no/such/x.json"], ["-o", "/no/such/x.png"], ["-o", "x.jpg"]):
        assert main(["identify", *words]) == 2
        assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize("typed", ["", "1\n", "x\n99\n-1\n\n1\n", "b\nu\nu\n", "q\n", "1\nb\n7\nx\n\n"])
def test_the_end_of_input_ends_with_what_is_known(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: str
) -> None:
    assert "sma-jack" in talk(monkeypatch, capsys, typed)


TYPED = ["1", "2", "3", "4", "7", "9", "u", "b", "", "6.3", "unsure", "back", "c", "none", "1/4in", "36tpi", "zz", "n"]


@given(st.lists(st.sampled_from(TYPED), max_size=30))
@hypothesis_settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_typing_ends_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: list[str]
) -> None:
    assert "Shortlist" in talk(monkeypatch, capsys, "\n".join(typed))


def test_saved_and_gone_on_from(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "port.json"
    first = as_json(capsys, *TWO, "--setting", "wifi", "--save", str(path))
    assert json.loads(path.read_text(encoding="utf-8")) == first
    assert as_json(capsys, "--from", str(path)) == first
    more = as_json(capsys, "--from", str(path), "--measured", "coupling-diameter=6.3")
    assert more["setting"] == "wifi"
    assert set(more["answers"]) == {"coupling", "centre", "coupling-diameter"}  # type: ignore[call-overload]
    talk(monkeypatch, capsys, "q\n", "--from", str(path), "--save", str(path))
    assert json.loads(path.read_text(encoding="utf-8")) == first


def test_one_saved_under_other_tables_is_worked_out_anew_and_told_so(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "port.json"
    first = as_json(capsys, *TWO, "--save", str(path))
    (tmp_path / "own").mkdir()
    changed_copy(tmp_path / "own", "uhf.toml", "uhf-thin", "mm = 3.96", "mm = 2.96", 2)
    assert main(["identify", "--from", str(path), "--tables", str(tmp_path / "own"), "--json"]) == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["tables"] != first["tables"]
    assert "port.json: saved under other tables and worked out anew from its answers" in " ".join(err.split())
    assert main(["identify", "--from", str(path), "--json"]) == 0
    assert not capsys.readouterr().err


def test_a_saved_identification_names_a_port_for_the_cable(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "port.json"
    assert main(["identify", *SMALL, "--save", str(path)]) == 0
    assert main(["cable", str(path), "n-50-jack", "--length", "3m", "--json"]) == 0
    assert "rp-sma-plug" in capsys.readouterr().out


def test_tables_of_ones_own_join_in(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    changed_copy(tmp_path, "uhf.toml", "uhf-thin", "mm = 3.96", "mm = 2.96", 2)
    found = as_json(
        capsys, "--tables", str(tmp_path), "--saw", "coupling=thread-inside", "--measured", "pin-diameter=2.96",
        "--measured", "coupling-diameter=14.8",
    )  # fmt: skip
    assert found["candidates"][0]["id"] == "uhf-thin-plug"  # type: ignore[index]


@pytest.mark.parametrize(
    "words",
    [
        ["--saw", "coupling"], ["--saw", "=pin"], ["--saw", "colour=red"], ["--saw", "centre=red"],
        ["--saw", "bore=6.3"], ["--measured", "centre=6.3"], ["--measured", "bore=wide"], ["--measured", "bore=6300"],
        ["--measured", "threads-per-10mm=36"], ["--measured", "bore=6.3", "--with", "tape"], ["--setting", "moon"],
        ["--saw", "thread-hand=up"], ["--saw", "housing-letter=bc"], ["--saw", "housing-colour=plaid"],
        ["--measured", "groove=1"], ["-o", "/no/such/x.png"], ["-o", "port.gif"],
        ["--from", "/no/such/port.json"], ["--tables", "/no/such/folder"], ["--save", "/no/such/x.json"], ["--what"],
    ],
)  # fmt: skip
def test_bad_input_is_one_sentence_and_status_2(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    assert main(["identify", *words, "--json"]) == 2
    told = capsys.readouterr().err
    assert told.startswith("coaxtell: ")
    assert told.count("\n") == 1


@pytest.mark.parametrize("content", ["", "{", "[1]", '"x"', '{"setting": 3}', "\x00", "[" * 100_000])
def test_a_broken_file_is_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path, content: str) -> None:
    path = tmp_path / "port.json"
    path.write_text(content, encoding="utf-8")
    assert main(["identify", "--from", str(path), "--json"]) == 2
    assert "no saved identification" in capsys.readouterr().err


@pytest.mark.parametrize(
    "answers",
    [{"coupling": {"type": "saw", "value": "sideways"}}, {"collar": {"type": "not sure"}},
     {"bore": {"type": "read", "value": float("nan"), "plus_minus": 0.03}}],
)  # fmt: skip
def test_an_answer_that_no_port_gets_is_told_with_its_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answers: dict[str, object]
) -> None:
    monkeypatch.chdir(tmp_path)  # a long name of a file is told cut
    path = Path("port.json")
    path.write_text(json.dumps({"setting": "any", "instrument": "calliper", "answers": answers}), encoding="utf-8")
    assert main(["identify", "--from", str(path), "--json"]) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"coaxtell: {path}: ")
    assert told.count("\n") == 1


@pytest.mark.parametrize("words", [["identify", "--json", "--from"], ["cable", "--length", "3m", "n-50-jack"]])
@pytest.mark.parametrize("at", ["value", "pin", "centre", "saw", "any", "setting"])
def test_half_a_pair_of_code_units_is_refused_wherever_it_stands(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: list[str], at: str
) -> None:
    """JSON can escape it, also in a key, and no text can hold it: that had ended in a traceback."""
    saved = {"setting": "any", "instrument": "calliper", "answers": {"centre": {"type": "saw", "value": "pin"}}}
    path = tmp_path / "port.json"
    path.write_text(json.dumps(saved).replace(f'"{at}"', f'"\\ud800{at}"'), encoding="utf-8")
    assert main([*words, str(path)]) == 2
    told = capsys.readouterr().err
    assert "no saved identification" in told
    assert told.count("\n") == 1


@pytest.mark.parametrize(
    ("typed", "plus_minus", "fits"),
    [("6.3", 0.03, True), ("6.3mm", 0.05, True), ("", 0.05, True), ("6.3 +- 0.05", 0.05, True),
     ("6.3mm+-0.05 by photograph", 0.05, True), ("0.248in", 0.05, True), ("11.0", 0.05, False),
     ("6.3+-0.5", 0.05, False), ("6.3in", 0.05, False), ("none", 0.05, False)],
)  # fmt: skip
def test_a_size_that_was_typed_otherwise_than_it_counts_is_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, typed: str, plus_minus: float, fits: bool
) -> None:
    """It is shown as it was typed: somebody changed the one by hand and not the other."""
    read = {"type": "read", "value": 6.3, "plus_minus": plus_minus, "typed": typed}
    saved = {"setting": "any", "instrument": "calliper", "answers": {"coupling-diameter": read}}
    path = tmp_path / "port.json"
    path.write_text(json.dumps(saved), encoding="utf-8")
    assert main(["identify", "--json", "--from", str(path)]) == (0 if fits else 2)
    told = capsys.readouterr().err
    assert fits or f"coupling-diameter: was typed as {typed!r} and saved as 6.3" in told or typed == "6.3in"


def test_a_file_that_is_no_text_is_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "port.json"
    path.write_bytes(b"\xff\xfe\x00")
    assert main(["identify", "--from", str(path), "--json"]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_help_lists_every_look_and_size(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["identify", "--help"])
    told = " ".join(capsys.readouterr().out.split())
    for feature in Feature:
        assert str(feature) in told
    for value in ("bayonet-sleeve", "sunk", "aaa-cell", "pastel-green"):
        assert value in told


def test_what_is_energised_is_judged_from_afar(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before the words that have one hold something beside it: in the questions, the whole answer and the data."""
    port = ("--saw", "coupling=thread-outside", "--saw", "centre=socket", "--look-only")
    typed = "thread-outside\nu\nsocket\n" + "u\n" * 20 + "q\n"
    asked = talk(monkeypatch, capsys, typed, "--look-only")
    main(["identify", *port, "--why"])
    for told in (asked, capsys.readouterr().out):
        words = " ".join(told.split())
        assert words.index("hold nothing near it") < words.index("Hold the thing beside it")
    after = as_json(capsys, *port)["next"]
    assert isinstance(after, dict)
    assert after["feature"] == "size"
    assert after["first"][0].startswith("It is energised: judge from a distance.")


def test_a_calliper_that_excludes_the_photograph_before_settles_nothing_and_tells_of_no_wear(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """At the second look that the program asks for; `cable` had called the port worn."""
    saved = tmp_path / "port.json"
    seen = ["--no-high-voltage", "--saw", "coupling=thread-outside", "--saw", "centre=pin"]
    for shot, hand in (("11.2+-0.96", "6.3"), ("11.0+-0.8", "6.3"), ("11.3+-0.9", "6.4"), ("15.9+-1", "11.0")):
        sizes = [f"coupling-diameter={shot} by photograph", "--again", f"coupling-diameter={hand}"]
        assert main(["identify", *seen, "--measured", *sizes, "--save", str(saved)]) == 0
        out = " ".join(capsys.readouterr().out.split())
        assert f"{float(hand):.2f} +-0.05 exclude each other" in out
        assert "Nothing is settled by either" in out
        found = json.loads(saved.read_text(encoding="utf-8"))
        assert (found["state"], found["worn"], list(found["apart"])) == ("not settled", [], ["coupling-diameter"])
        assert main(["cable", str(saved), "n-50-jack", "--length", "10m", "--want-dbm", "20"]) == 3
        out = " ".join(capsys.readouterr().out.split())
        assert "exclude each other" in out
        assert "worn" not in out.lower()
        assert main(["identify", "--from", str(saved), "--no-high-voltage", "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["apart"] == found["apart"]
        assert main(["identify", "--from", str(saved), "--measured", f"coupling-diameter={hand}", "--json"]) == 0
        assert "apart" not in json.loads(capsys.readouterr().out)


def test_two_readings_that_exclude_each_other_settle_and_order_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The finer one alone had named a TNC jack, 94 % sure and settled, with a plug to order."""
    saved, shot = tmp_path / "port.json", "coupling-diameter=11.20mm+-0.96 by photograph"
    seen = ["--no-high-voltage", "--saw", "coupling=thread-outside", "--saw", "centre=socket"]
    for hand in ("6.5+-1", "6.3", "6.30mm+-0.9 by photograph"):
        told = ["identify", *seen, "--measured", f"coupling-diameter={hand}", "--measured", shot]
        assert main([*told, "--save", str(saved)]) == 0
        out = " ".join(capsys.readouterr().out.split())
        assert "Not settled" in out
        assert "exclude each other" in out
        assert "To settle it, measure coupling-diameter anew by hand" in out
        assert "Worn" not in out
        found = json.loads(saved.read_text(encoding="utf-8"))
        assert (found["state"], found["misfits"]) == ("not settled", ["coupling-diameter"])
        assert found["answers"]["coupling-diameter"]["typed"] == hand
        assert found["again"]["coupling-diameter"]["typed"] == "11.20mm+-0.96 by photograph"
        assert list(found["apart"]) == ["coupling-diameter"]
        assert main(["cable", str(saved), "n-50-jack", "--length", "10m", "--want-dbm", "20"]) == 3
        out = " ".join(capsys.readouterr().out.split())
        assert "exclude each other" in out
        assert "coupling-diameter: measured anew by hand" in out
        assert main(["identify", "--from", str(saved), "--measured", "coupling-diameter=6.3", "--json"]) == 0
        now = json.loads(capsys.readouterr().out)
        assert (now["again"], now["candidates"][0]["id"]) == ({}, "sma-jack")
