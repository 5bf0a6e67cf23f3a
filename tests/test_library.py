"""The library: its names, its page, and that asking for one loads no more than it needs."""

from __future__ import annotations

import ast
import doctest
import inspect
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import coaxtell
from coaxtell import Belief, InputError, cable_run, half, load, picture, plan, solid
from coaxtell.models.mating.doubts import listed

ROOT = Path(__file__).parent.parent
PAGE = (ROOT / "docs" / "library.md").read_text(encoding="utf-8")


def test_the_page_runs() -> None:
    examples = re.sub(r"^```.*$", "", PAGE, flags=re.MULTILINE)
    test = doctest.DocTestParser().get_doctest(examples, {}, "library.md", "docs/library.md", 0)
    assert len(test.examples) >= 20
    told: list[str] = []
    result = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test, out=told.append)
    assert result.failed == 0, "".join(told)


def test_the_page_names_all_and_the_types_are_those_that_run() -> None:
    tree = ast.parse(Path(coaxtell.__file__).read_text(encoding="utf-8"))
    typed = {
        alias.name: node.module
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("coaxtell.")
        for alias in node.names
    }
    assert set(typed) == set(coaxtell.__all__)
    for name, module in typed.items():
        assert name in PAGE
        found = getattr(coaxtell, name)
        assert found.__module__ == module
        assert inspect.getdoc(found)
    with pytest.raises(AttributeError, match="nonsense"):
        _ = coaxtell.nonsense  # type: ignore[attr-defined]


def test_only_what_is_asked_for_is_loaded() -> None:
    heavy = ("numpy", "vtkmodules", "trimesh", "pygame", "sqlalchemy", "coaxtell.cables", "coaxtell.identifier")
    ask = f"import sys, coaxtell; coaxtell.load; print([m for m in {heavy!r} if m in sys.modules])"
    told = subprocess.run([sys.executable, "-c", ask], check=True, capture_output=True, text=True)
    assert told.stdout.strip() == "[]"


def test_a_belief_does_not_change_and_keeps_no_order() -> None:
    start = Belief(setting="uhf-reader")
    before = start.probabilities()
    one = start.saw("coupling", "thread-outside").measured("coupling-diameter", "6.3")
    other = start.measured("coupling-diameter", "6.3").saw("coupling", "thread-outside")
    assert start.probabilities() == before
    assert one.probabilities() == other.probabilities()
    assert sum(before.values()) == pytest.approx(1)
    assert one.without("coupling-diameter").without("coupling").probabilities() == before
    looked = start.cannot_tell("coupling")
    assert looked.probabilities() == before
    asked = looked.question()
    assert asked is not None
    assert asked.feature.value != "coupling"


def test_a_port_named_tells_what_looks_alike_and_has_no_sizes() -> None:
    port = Belief().saw("coupling", "smooth").saw("centre", "socket").saw("size", "m5-screw")
    told = " ".join(coaxtell.say(caution) for caution in port.identification().joining)
    assert "It may also be TS-9 jack" in told
    assert "TS-9" not in " ".join(coaxtell.say(caution) for caution in Belief().identification().joining)


def test_bad_input_is_one_sentence() -> None:
    reader, antenna = half("rp-tnc-jack"), half("n-50-jack")
    calls: list[Callable[[], object]] = [
        lambda: half("no-such"),
        lambda: Belief(setting="moon"),
        lambda: Belief(instrument="spoon"),
        lambda: Belief().saw("coupling", "glue"),
        lambda: Belief().measured("bore", "wide"),
        lambda: Belief().cannot_tell("smell"),
        lambda: cable_run(reader, antenna, 12.0, "moon"),
        lambda: cable_run(reader, antenna, -1.0, "us"),
        lambda: cable_run(reader, antenna, "12m", "us"),  # type: ignore[arg-type]
        lambda: cable_run(reader, antenna, True, "us"),
        lambda: cable_run(reader, antenna, float("nan"), "us"),
        lambda: cable_run(reader, antenna, 12.0, "us", prefer="colour"),
        lambda: cable_run(reader, antenna, 12.0, "us", gain="9"),
        lambda: cable_run(reader, antenna, 12.0, "us", temperature_c=1e6),
        lambda: cable_run(reader, antenna, 12.0, "us", temperature_c=float("nan")),
        lambda: cable_run(reader, antenna, 12.0, "us", bend_mm=-1.0),
        lambda: cable_run(reader, antenna, 12.0, "us", want_dbm=float("nan")),
        lambda: cable_run(reader, antenna, 12.0, "us", want_dbm=900.0),
        lambda: cable_run(reader, antenna, 12.0, "us", budget_db=0.0),
        lambda: cable_run(reader, antenna, 12.0, "us", frequency_mhz=float("inf")),
        lambda: cable_run(reader, antenna, 12.0, "us", channels=0),
        lambda: picture([]),
        lambda: picture([reader] * 13),
        lambda: picture([reader], width=0),
        lambda: picture([reader], height=10**6),
        lambda: picture([reader], "behind"),  # type: ignore[arg-type]
        lambda: solid(reader, "crude"),  # type: ignore[arg-type]
        lambda: plan("no antenna here"),
        lambda: load(ROOT / "no such folder"),
    ]
    for call in calls:
        with pytest.raises(InputError) as told:
            call()
        assert "\n" not in str(told.value)
        assert re.fullmatch(r".+[.;].*\.", str(told.value)), told.value


def test_numbers_of_a_run_are_taken_as_they_are() -> None:
    ports = half("rp-tnc-jack"), half("n-50-jack")
    numbers = {"temperature_c": -12.3, "bend_mm": 60.7, "budget_db": 3.3, "frequency_mhz": 902.75, "channels": 50}
    run = cable_run(*ports, 12.345, "us", **numbers).run  # type: ignore[arg-type]
    assert (run.temperature_c, run.budget_db, run.frequency_mhz, run.channels) == (-12.3, 3.3, 902.75, 50)
    assert run.bend_mm == pytest.approx(60.7, rel=1e-12)
    assert cable_run(*ports, 12.345, "us", want_dbm=-3.5).run.want_dbm == -3.5


def test_numbers_of_any_size_are_taken_as_they_are() -> None:
    reader, antenna = half("rp-tnc-jack"), half("n-50-jack")
    found = cable_run(reader, antenna, 12.5, "us", temperature_c=-1e-7, want_dbm=1e-5)
    assert found.run.length_m == 12.5
    assert found.run.want_dbm == pytest.approx(1e-5)


def test_the_page_counts_what_there_is() -> None:
    offered = [getattr(coaxtell, name) for name in coaxtell.__all__]
    functions = sum(not isinstance(one, type) for one in offered)
    words = {7: "Seven", 8: "Eight", 9: "Nine", 10: "Ten"}
    assert len(offered) == functions + 2
    page = (ROOT / "docs" / "library.md").read_text(encoding="utf-8")
    assert f"{words[functions]} functions, a class and an error" in page


def test_the_page_says_of_how_many_pairs_a_measurement_is_named() -> None:
    """It had called `measure` the one measurement to make, and of most pairs none may be made."""
    pairs = [(sorted(pair) * 2)[:2] for pair in listed()]
    found = [coaxtell.mate(half(one), half(other)) for one, other in pairs]
    unknown = [one for one in found if one.verdict.value == "not known"]
    named = [one for one in unknown if any(reason.code == "doubt.measure" for reason in one.measure)]
    assert f"of {len(named)} of the {len(unknown)} pairs that are not known" in PAGE
