"""Deliveries judged: lines worked by hand, sweeps made with scikit-rf, files that cannot be used, and the command."""

from __future__ import annotations

import json
import os
from pathlib import Path
from random import Random

import numpy as np
import pytest
import skrf
from pypdf import PdfReader

from benchmarks import arrival as study
from benchmarks import sweeps
from coaxtell import touchstone
from coaxtell.cables import tables
from coaxtell.cables.arrival import report
from coaxtell.cables.arrival.echoes import echoes, gated, peak_s, slope_s
from coaxtell.cables.arrival.judging import Arrival, Verdict, judge
from coaxtell.cables.arrival.reading import LIGHT_M_S, Ordered, read
from coaxtell.cables.arrival.sweep import Complex, FarEnd, Real, Sweep
from coaxtell.cables.words import say
from coaxtell.cli.main import main
from coaxtell.models import catalogue
from coaxtell.models.errors import InputError
from tests.cables.kit import cable_tables
from tests.cables.test_site import GOOD

BAND = (902.0, 928.0)
GOOD_240 = sweeps.Truth("240", 12.0, "240", 12.0, "", 0.0, "two-port", True, 25.0)


def line(length_m: float, ordered: Ordered, hz: Real, times: float = 1.0) -> Complex:
    """What passes a cable matched at both ends: its loss and its delay, by the formulas alone."""
    loss_db = times * ordered.loss_db(hz, cable_tables()) * length_m / ordered.length_m
    delay = length_m / (0.84 * LIGHT_M_S)
    return np.asarray(10 ** (-loss_db / 20) * np.exp(-2j * np.pi * hz * delay), dtype=np.complex128)


def order(name: str = "240", length_m: float = 12.0) -> Ordered:
    return Ordered(cable_tables().classes[name], length_m, 915.0, 25.0)


def through(length_m: float = 12.0, times: float = 1.0, points: int = 401) -> Sweep:
    hz = np.linspace(50e6, 1.5e9, points)
    none = np.full(points, 1e-3 + 0j)
    # two joints of 0.05 dB, as an analyser sees a bare assembly
    passes: Complex = np.asarray(line(length_m, order(), hz, times) * 10 ** (-0.1 / 20), dtype=np.complex128)
    return Sweep("made", hz, none, FarEnd.PORT, passes, none)


def test_an_echo_stands_where_it_belongs_at_its_own_size() -> None:
    # A reflection of 0.1 after 40 ns: 0.1 exp(-j 2 pi f 40 ns), the definition.
    hz = np.linspace(100e6, 3e9, 801)
    times, back = echoes(hz, 0.1 * np.exp(-2j * np.pi * hz * 40e-9))
    at = peak_s(times, np.abs(back), 1e-9, 100e-9)
    assert at == pytest.approx(40e-9, abs=0.05e-9)
    assert np.abs(back).max() == pytest.approx(0.1, rel=0.01)
    assert peak_s(times, np.abs(back), 80e-9, 90e-9) is None or np.interp(85e-9, times, np.abs(back)) < 1e-3


def test_what_is_gated_out_is_gone_and_the_rest_keeps_its_slope() -> None:
    hz = np.linspace(100e6, 3e9, 801)
    near, far = 0.05 * np.exp(-2j * np.pi * hz * 2e-9), 0.5 * np.exp(-2j * np.pi * hz * 60e-9)
    alone = gated(hz, near + far, 60e-9, 8e-9)
    middle = slice(150, 650)
    assert np.abs(alone[middle] - far[middle]).max() < 0.01
    assert slope_s(hz, alone, 59e-9) == pytest.approx(60e-9, abs=0.01e-9)


def test_a_line_by_formula_is_read_exactly() -> None:
    found = judge(through(), order(), BAND, cable_tables())
    assert found.verdict is Verdict.AS_ORDERED
    assert found.length_m == pytest.approx(12.0, abs=0.005)
    # 240 at 915 MHz: 7.6247 dB/100 ft (worked in test_limits.py), 12 m = 39.37 ft: 3.002 dB, and 0.1 of the joints.
    assert found.loss is not None
    assert found.loss.measured_db == pytest.approx(3.102, abs=0.01)
    assert found.loss.expected_db == pytest.approx(3.102, abs=0.001)
    # plus-minus: 5 % + 0.2 %/C x 8 C of 3.002, the joints' 0.12 - 0.02, the analyser's 0.1
    assert found.loss.plus_minus_db == pytest.approx(0.066 * 3.002 + 0.1 + 0.1, abs=0.001)


@pytest.mark.parametrize(
    ("length_m", "times", "code"),
    [
        (10.8, 1.0, "arrival.short"),
        (11.4, 1.0, "arrival.short"),
        (11.6, 1.0, ""),
        (12.4, 1.0, ""),
        (12.6, 1.0, "arrival.long"),
        (12.0, 1.09, ""),
        (12.0, 1.70, "arrival.loss_high"),
        (12.0, 0.91, ""),
        (12.0, 0.80, "arrival.loss_low"),
    ],
)
def test_the_limits_bind_just_where_they_stand(length_m: float, times: float, code: str) -> None:
    found = judge(through(length_m, times), order(), BAND, cable_tables())
    assert (found.reasons[0].code if found.reasons else "") == code


def made(truth: sweeps.Truth, seed: int = 5, mhz: float = 915.0) -> Arrival:
    rng = Random(seed)
    ordered = Ordered(cable_tables().classes[truth.ordered], truth.ordered_m, mhz, 25.0)
    return judge(study._sweep(truth, rng), ordered, BAND, cable_tables())


@pytest.mark.parametrize("kind", ["two-port", "open", "short"])
def test_good_cut_and_other_class_are_told_apart(kind: str) -> None:
    good = GOOD_240._replace(kind=kind)
    for seed in range(8):
        assert made(good, seed).verdict is Verdict.AS_ORDERED
        cut = made(good._replace(delivered_m=10.8), seed)
        assert (cut.verdict, cut.reasons[0].code) == (Verdict.NOT_AS_ORDERED, "arrival.short")
        other = made(good._replace(delivered="400"), seed)
        assert other.verdict is Verdict.NOT_AS_ORDERED
        assert "400" in other.named_classes


def test_classes_too_near_to_each_other_are_not_told_apart() -> None:
    # 195 loses 12 % more than 200 and is 4 % slower: less than twice what makers and bench differ by.
    assert "195" in made(GOOD_240._replace(ordered="200", delivered="200")).not_told_from
    assert "400" not in made(GOOD_240).not_told_from


def test_a_fault_is_told_by_its_place_and_names_no_class_of_its_own() -> None:
    for kind in ("two-port", "load", "open"):
        found = made(GOOD_240._replace(kind=kind, fault="crush", fault_m=4.2))
        inside = next(reason for reason in found.reasons if reason.code == "arrival.inside")
        place = inside.values["place"]
        assert isinstance(place, catalogue.Reason)
        assert place.code == "arrival.place"
        assert place.values["at_m"] == pytest.approx(4.2, abs=0.1)
        # 1 % of velocity in 4.2 m, 4 cm of connector and damage, and a tenth of what the band resolves
        assert place.values["plus_minus_m"] == pytest.approx(0.082 + 0.1 * found.reading.resolution_m, abs=0.005)
        assert not found.named_classes
    # an echo takes power of its own, often just as much as another class would
    cases = [made(GOOD_240._replace(fault="crush", fault_m=4.2), seed) for seed in range(12)]
    assert all("arrival.widened" in {note.code for note in found.notes} for found in cases)
    assert not any(found.named_classes for found in cases)


def test_a_bad_connector_does_not_hide_another_class() -> None:
    for end in ("near", "far"):
        truth = GOOD_240._replace(delivered="100", fault=end, fault_m=12.0 if end == "far" else 0.0)
        for seed in range(6):
            found = made(truth, seed)
            assert found.verdict is Verdict.NOT_AS_ORDERED, (end, seed)
            assert "100" in found.named_classes, (end, seed)


@pytest.mark.parametrize(("kind", "lost_db"), [("two-port", 1.0), ("two-port", 3.0), ("open", 1.0), ("open", 3.0)])
def test_a_loss_at_a_joint_is_neither_passed_nor_called_a_class(kind: str, lost_db: float) -> None:
    # a matched loss at one end: all frequencies lose it alike, which no cable does
    for end in ("near", "far"):
        for seed in range(6):
            found = made(GOOD_240._replace(kind=kind, fault="pad", pad_db=lost_db, lossy_end=end), seed)
            assert found.verdict is Verdict.LOOK_AGAIN, (end, seed)
            assert found.reasons[0].code in ("arrival.flat", "arrival.loss_off"), (end, seed)
            assert not found.named_classes


def test_a_contact_of_10_ohm_is_found_by_what_it_loses() -> None:
    # 10 ohm in series in a 50 ohm line lose 20 log10(1 + 10 / 100) = 0.83 dB, the definition
    for seed in range(6):
        found = made(GOOD_240._replace(fault="contact", contact_ohm=10.0), seed)
        assert found.verdict is Verdict.LOOK_AGAIN, seed
        assert found.loss is not None
        assert found.loss.measured_db - found.loss.expected_db == pytest.approx(0.83, abs=0.35)


def test_a_flat_loss_in_a_narrow_band_is_not_called_a_class() -> None:
    # from 860 to 930 MHz the cable's own loss grows by 4 %, so one at a joint looks like the cable's
    truth = sweeps.Truth("600", 9.5, "600", 9.54, "pad", 0.0, "short", False, 27.0, 3.3, 0.0, "far")
    for seed in range(12):
        found = made(truth, seed)
        assert found.verdict is Verdict.LOOK_AGAIN, seed
        assert "arrival.class" not in [reason.code for reason in found.reasons]


@pytest.mark.parametrize(("velocity", "length_m", "code"), [
    (0.76, 12.0, ""), (0.83, 12.0, ""), (0.80, 10.8, "arrival.short"), (0.83, 10.8, "arrival.short"),
    (0.76, 13.2, "arrival.long"),
])  # fmt: skip
def test_a_class_whose_sources_differ_on_velocity_is_given_that_much(
    velocity: float, length_m: float, code: str
) -> None:
    hz = np.linspace(50e6, 1.5e9, 401)
    ordered = order("195")
    loss_db = ordered.loss_db(hz, cable_tables()) * length_m / 12.0 + 0.1
    passes = 10 ** (-loss_db / 20) * np.exp(-2j * np.pi * hz * length_m / (velocity * LIGHT_M_S))
    none = np.full(401, 1e-3 + 0j)
    found = judge(Sweep("made", hz, none, FarEnd.PORT, passes, none), ordered, BAND, cable_tables())
    assert (found.reasons[0].code if found.reasons else "") == code
    (told,) = [say(note) for note in found.notes if note.code == "arrival.velocity"]
    # 1 - 0.80 / 0.83 and 0.80 / 0.76 - 1
    assert "3.6 % shorter to 5.3 % longer" in told


def test_a_band_too_narrow_to_tell_places_names_none() -> None:
    hz = np.linspace(902e6, 928e6, 201)
    passes = line(6.0, order(length_m=6.0), hz) * 10 ** (-0.1 / 20)
    # a shunt fault in the middle that sends back 0.4
    back = 0.4 * passes * np.ones(201)
    found = judge(Sweep("made", hz, back, FarEnd.PORT, 0.9 * passes, back), order(length_m=6.0), BAND, cable_tables())
    codes = [reason.code for reason in found.reasons]
    assert "arrival.somewhere" in codes
    assert not {"arrival.near", "arrival.far"} & {*codes}


def test_what_an_open_end_or_a_load_hides_is_told() -> None:
    for kind in ("open", "short"):
        assert "arrival.far_hidden" in {note.code for note in made(GOOD_240._replace(kind=kind)).notes}
    loaded = made(GOOD_240._replace(kind="load"))
    assert say(report.verdict(loaded)) == "No fault seen; length, class and loss not measured."
    assert "arrival.far_hidden" not in {note.code for note in made(GOOD_240).notes}


def test_a_far_connector_behind_a_load_is_looked_for_where_its_class_may_put_it() -> None:
    # the length is not measured there, and makers of 195 differ by 9 % in velocity
    for seed in range(8):
        truth = sweeps.Truth("195", 19.95, "195", 20.15, "far", 20.15, "load", True, 22.0)
        assert "arrival.far" in [reason.code for reason in made(truth, seed).reasons], seed


def test_a_fault_near_the_far_end_is_told_from_there() -> None:
    found = made(GOOD_240._replace(kind="open", fault="crush", fault_m=10.0))
    inside = next(reason for reason in found.reasons if reason.code == "arrival.inside")
    assert "2.0" in say(inside).partition(" ± ")[0]
    assert "m before the far end" in say(inside)


def test_a_strong_fault_moves_neither_itself_nor_the_open_end() -> None:
    # by way of the fault the far end comes a second time, 12 - 9.5 = 2.5 m further on
    for seed in range(24):
        found = made(GOOD_240._replace(kind="open", fault="crush", fault_m=9.5), seed)
        assert found.length_m == pytest.approx(12.0, rel=0.03), seed
        assert found.reading.inside is not None
        assert found.reading.inside.at_m == pytest.approx(9.5, rel=0.02), seed


def test_a_loaded_end_tells_match_and_faults_only() -> None:
    found = made(GOOD_240._replace(kind="load", delivered="400"))
    assert (found.loss, found.length_m) == (None, None)
    assert "arrival.loss_not_measured" in {note.code for note in found.notes}


def test_too_few_points_for_the_length_are_refused() -> None:
    hz = np.linspace(50e6, 1.5e9, 101)
    with pytest.raises(InputError, match="too few for 25 m; sweep with"):
        read(Sweep("x.s1p", hz, np.full(101, 0.1 + 0j), FarEnd.OPEN), order(length_m=25.0), cable_tables())


def written(folder: Path, name: str, truth: sweeps.Truth = GOOD_240, seed: int = 5) -> Path:
    sweeps.sweep(truth, Random(seed)).write_touchstone(name, dir=folder)
    return folder / f"{name}.{'s2p' if truth.kind == 'two-port' else 's1p'}"


@pytest.mark.outside(
    "A measured sweep is read",
    "a file that scikit-rf ships",
    "none: point by point",
)
def test_a_published_measured_file_is_read() -> None:
    # scikit-rf ships measured sweeps; this one is of a ring slot in a waveguide, 75 to 110 GHz.
    path = Path(skrf.data.pwd) / "ring slot measured.s1p"
    sweep = touchstone.read(path, FarEnd.LOAD)
    assert len(sweep.hz) == len(skrf.Network(str(path)).f)
    with pytest.raises(InputError, match="sweep across that"):
        judge(sweep, order(), BAND, cable_tables())


def files(folder: Path) -> dict[str, str]:
    """Files that cannot be used, and a word of the sentence each gets."""
    good = written(folder, "good").read_text(encoding="utf-8")
    rows = good.splitlines()
    first = next(i for i, row in enumerate(rows) if row and row[0] not in "!#")
    one = sweeps.sweep(GOOD_240._replace(kind="open"), Random(1))
    kept = {
        "short.s2p": ("\n".join(rows[: first + 20]), "20 points"),
        "other.s2p": (good.replace("R 50", "R 75"), "75 ohm"),
        "damaged.s2p": (good[: len(good) // 2][:-7] + "\x00\x01garbage\n1 2", "damaged"),
        "empty.s2p": ("", "no points"),
        "notes.txt": ("hello", "Touchstone"),
        "row.s2p": ("\n".join([*rows[:-1], rows[-1].rpartition(" ")[0]]), "8 of 9 numbers"),
        "no-unit.s2p": ("\n".join(row for row in rows if not row.startswith("#")), "option line"),
    }
    for name, (text, _) in kept.items():
        (folder / name).write_text(text, encoding="utf-8")
    noise = np.random.default_rng(1)
    grain = 1e-4 * noise.normal(size=(401, 2, 2)).astype(complex)
    skrf.Network(f=np.linspace(50e6, 1.5e9, 401), s=grain, z0=50, f_unit="Hz").write_touchstone("noise", dir=folder)
    band = skrf.Network(f=np.linspace(2e9, 3e9, 401), s=0.5 + grain, z0=50, f_unit="Hz")
    band.write_touchstone("band", dir=folder)
    (folder / "two.s1p").write_text(good, encoding="utf-8")
    single = sweeps.sweep(GOOD_240._replace(kind="open"), Random(2))
    single.write_touchstone("single", dir=folder)
    (folder / "single.s1p").rename(folder / "single.s2p")
    one.write_touchstone("one", dir=folder)
    (folder / "three.s2p").write_bytes((Path(skrf.data.pwd) / "tee.s3p").read_bytes())
    told = {name: word for name, (_, word) in kept.items()}
    return told | {"noise.s2p": "nothing passes", "band.s2p": "sweep across that", "one.s1p": "one port",
                   "two.s1p": "rows of two ports", "single.s2p": "rows of one port",
                   "three.s2p": "", "missing.s2p": "no such file"}  # fmt: skip


def test_files_that_cannot_be_used_get_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, word in files(tmp_path).items():
        assert main(["arrival", "240:12m", str(tmp_path / name)]) == 2, name
        said = capsys.readouterr()
        assert said.out == ""
        assert word in said.err, (name, said.err)
        assert said.err.count("\n") == 1
        assert "Traceback" not in said.err


def test_a_sweep_of_another_alphabet_or_with_a_mark_of_order_is_read(tmp_path: Path) -> None:
    plain = written(tmp_path, "plain")
    text = plain.read_text(encoding="utf-8")
    kept = touchstone.read(plain, None)
    for name, raw in (
        ("degrees", ("! Temp 23°C\n" + text).encode("latin-1")),
        ("marked", text.encode("utf-8-sig")),
        ("option-first", text[text.index("#") :].encode("utf-8-sig")),
    ):
        path = tmp_path / f"{name}.s2p"
        path.write_bytes(raw)
        assert np.array_equal(touchstone.read(path, None).s11, kept.s11), name


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["240", "x.s2p"], "no site file and no class"),
        (["999:12m", "x.s2p"], "no site file and no class"),
        (["300:12m", "x.s2p"], "unknown loss"),
        (["240:12", "x.s2p"], "has no unit"),
        (["240:12m"], "Give one sweep"),
        (["240:12m", "x.s2p", "-o", "x.docx"], ".pdf or .html"),
        (["240:12m", "--batch", "nowhere"], "is no folder"),
        (["240:12m", "x.s2p", "--run", "R1 to A1"], "--run names a run of a site file"),
        (["240:12m", "--batch", "nowhere", "--run", "A1"], "go by their files' names"),
    ],
)
def test_bad_input_is_one_sentence(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["arrival", *words]) == 2
    assert told in capsys.readouterr().err


def test_a_delivery_is_judged_and_a_page_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good, cut = written(tmp_path, "good"), written(tmp_path, "cut", GOOD_240._replace(delivered_m=10.8))
    page = tmp_path / "page.html"
    assert main(["arrival", "240:12m", str(good), "-o", str(page)]) == 0
    said = capsys.readouterr().out
    assert said.splitlines()[0].startswith(
        "Before you join or part a port: switch the transmitter off, take DC off the"
    )
    assert "both ends of the cable off the equipment" in " ".join(said.split())
    assert "As ordered, as far as this sweep tells." in said
    text = page.read_text(encoding="utf-8").replace("\u202f", " ")
    for part in ("As ordered", "common practice", "<svg", "12 m ordered"):
        assert part in text
    assert main(["arrival", "240:12m", str(cut), "--json"]) == 1
    told = capsys.readouterr().out
    usual = tables.load().regions["us"].usual.nominal  # the region that is taken where nobody names one
    assert main(["arrival", "240:12m", str(cut), "--json", "--frequency", f"{usual}MHz"]) == 1
    assert capsys.readouterr().out == told
    assert main(["arrival", "240:12m", str(cut), "--json", "--frequency", "867MHz"]) == 1
    assert capsys.readouterr().out != told
    (row,) = json.loads(told)["deliveries"]
    assert row["verdict"] == "not-as-ordered"
    assert row["measured"]["by_phase_m"] == pytest.approx(10.8, rel=0.02)


def test_a_delivery_is_joined_to_the_plan_by_its_label(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = tmp_path / "dock.toml"
    site.write_text(GOOD, encoding="utf-8")
    folder = tmp_path / "sweeps"
    folder.mkdir()
    for name in ("R1 to A1", "r1_a2", "stranger"):
        written(folder, name, GOOD_240._replace(ordered="240", delivered="240"))
    main(["arrival", str(site), "--batch", str(folder), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert [row["name"] for row in found["deliveries"]] == ["R1 to A1", "r1_a2"]
    assert [row["length_m"] for row in found["deliveries"]] == [12.0, pytest.approx(6.096)]
    assert "no run of the plan" in found["unread"][0]
    assert main(
        ["arrival", str(site), str(folder / "stranger.s2p"), "--run", "A1", "-o", str(tmp_path / "a.html")]
    ) in (0, 1)
    assert os.path.getsize(tmp_path / "a.html") > 2000


def test_a_name_that_is_not_the_only_runs_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site, sweep = tmp_path / "dock.toml", written(tmp_path, "any")
    site.write_text(GOOD.rpartition("[[antenna]]")[0], encoding="utf-8")
    assert main(["arrival", str(site), str(sweep)]) in (0, 1)
    capsys.readouterr()
    assert main(["arrival", str(site), str(sweep), "--run", "R7"]) == 2
    assert capsys.readouterr().err.startswith("coaxtell: R7: no run of the plan goes by this name; runs are ")


@pytest.mark.parametrize("kind", ["pdf", "html"])
def test_the_page_of_a_delivery_has_every_cable_and_those_nobody_measured(
    kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = tmp_path / "dock.toml"
    site.write_text(GOOD, encoding="utf-8")
    written(tmp_path, "R1 to A1", GOOD_240._replace(delivered_m=9.6, delivered="400"))
    page = tmp_path / f"delivery.{kind}"
    assert main(["arrival", str(site), "--batch", str(tmp_path), "-o", str(page)]) == 1
    assert "not measured: R1 to A2" in capsys.readouterr().out
    if kind == "pdf":
        text = " ".join(part.extract_text() for part in PdfReader(page).pages)
    else:
        text = page.read_text(encoding="utf-8")
    text = " ".join(text.split())
    for part in ("R1 to A1", "Not as ordered", "Not measured: 1", "R1 to A2", "9.6", "switch the transmitter off"):
        assert part in text, part


def test_limits_are_the_users_own(tmp_path: Path) -> None:
    own = tmp_path / "cables"
    own.mkdir()
    (own / "arrival.toml").write_text(
        'length_share = { value = 15, unit = "%", grade = "common practice", source = ["common-practice"] }\n',
        encoding="utf-8",
    )
    assert judge(through(10.8), order(), BAND, tables.load(tmp_path)).reasons == ()
    assert judge(through(10.8), order(), BAND, cable_tables()).reasons


def test_a_limit_in_another_unit_is_refused(tmp_path: Path) -> None:
    own = tmp_path / "cables"
    own.mkdir()
    floor = 'length_floor = { value = 50, unit = "mm", grade = "common practice", source = ["common-practice"] }\n'
    (own / "arrival.toml").write_text(floor, encoding="utf-8")
    with pytest.raises(InputError, match="length_floor is given in 'mm'; give it in 'cm'"):
        tables.load(tmp_path)


def test_a_sweep_larger_than_any_analyser_makes_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "big.s1p"
    path.write_text("# MHz S RI R 50\n" + "".join(f"{100 + k} 0.1 0\n" for k in range(60)), encoding="utf-8")
    monkeypatch.setattr(touchstone, "MOST_BYTES", path.stat().st_size)
    assert len(touchstone.read(path, FarEnd.LOAD).hz) == 60
    monkeypatch.setattr(touchstone, "MOST_BYTES", path.stat().st_size - 1)
    with pytest.raises(InputError, match="sweep with fewer points"):
        touchstone.read(path, FarEnd.LOAD)
