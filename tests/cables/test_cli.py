"""The cable and plan commands as a person or a script runs them."""

import json
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from coaxtell.cables import ports
from coaxtell.cli.main import main
from coaxtell.identifier import record
from coaxtell.identifier.answers import Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import identify
from coaxtell.models.tables import load, version
from coaxtell.port_list import under
from coaxtell.saved_port import named
from tests.cables.test_site import GOOD
from tests.halves import all_halves

BASE = ["cable", "rp-tnc-jack", "n-50-jack"]


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    assert main([*BASE, *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_json_has_the_agreed_shape(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "--length", "10m", "--gain", "8.5dBi")
    assert {"assemblies", "cautions"} <= found.keys()
    for assembly in found["assemblies"]:
        assert {
            *("class", "length_m", "ends", "adapters", "loss_db", "loss_plus_minus_db", "at_antenna_dbm"),
            *("eirp_dbm", "legal", "buildable", "reasons"),
        } <= assembly.keys()
        assert assembly["legal"] in ("yes", "no", "by-grant")
        assert len(assembly["ends"]) == 2
        assert assembly["reasons"]
    (cable,) = [a for a in found["assemblies"] if a["class"] == "240"]
    # The issue's own case: 2.50 dB, 27.5 dBm by the letter, 33.5 dBm EIRP.
    assert cable["loss_db"] == pytest.approx(2.50, abs=0.005)
    assert cable["power_dbm"] == pytest.approx(27.5)
    assert cable["eirp_dbm"] == pytest.approx(33.5, abs=0.005)
    assert cable["ends"] == ["rp-tnc-plug", "n-50-plug"]
    assert cable["total_loss_db"] == pytest.approx(
        sum(cable[key] for key in ("loss_db", "joints_db", "adapters_db", "mismatch_db")), abs=0.002
    )
    assert {n["class"]: n["loss"] for n in found["not_ranked"]}["300"] == "unknown"


def test_europe_by_json(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--length", "6m", "--region", "eu-lower", "--frequency", "867MHz", "--reader", "10..33/0.1", "--gain"]
    for gain, dbm in (("8.5dBi", 28.80), ("8.5dBic", 31.80)):
        found = as_json(capsys, *words, gain)
        (cable,) = [a for a in found["assemblies"] if a["class"] == "195"]
        assert cable["loss_db"] == pytest.approx(2.147, abs=0.001)
        assert cable["power_dbm"] == pytest.approx(dbm, abs=0.005)
        assert cable["by_the_letter_dbm"] is None
        assert cable["by_the_letter"].startswith("none")


def test_everything_asked_at_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    picture = tmp_path / "loss.svg"
    words = [
        *("--length", "40ft", "--region", "us", "--channels", "50", "--power", "1W", "--gain", "6dBd"),
        *("--antenna-size", "25cm", "--frequency", "915MHz", "--temperature", "40C", "--want-dbm", "27"),
        *("--bend", "40mm", "--outdoor", "--riser", "--prefer", "tightest-bend", "--why"),
    ]
    # 27 dBm of the 27.5 allowed are more than any class for that bend brings
    assert main([*BASE, *words, "-o", str(picture)]) == 1
    told = capsys.readouterr().out
    for part in (
        "class 240",
        "flame-retardant",
        "Set the reader to 27.50 dBm",
        "Cautions:",
        "far-field start",
        "Loss curves:",
    ):
        assert part in told
    assert picture.read_text(encoding="utf-8").startswith("<")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--length", "10m", "--gain", "8.5"], "gain '8.5' has no unit"),
        (["--length", "10"], "length '10' has no unit"),
        (["--length", "-3m"], "length '-3m' is not above zero"),
        (["--length", "10m", "--bend", "40"], "write it like 40mm"),
        (["--length", "0.0001mm"], "shorter than 1 mm"),
        (["--length", "10m", "--region", "mars"], "region 'mars'"),
        (["--length", "10m", "--channels", "7"], "at least 25"),
        (["--length", "10m", "--channels", "٥٠"], "digits of another script"),
        (["--length", "10m", "--prefer", "looks"], "prefer 'looks'"),
        (["--length", "10m", "--prefer", "lowest-price"], "prices.toml"),
        (["--length", "10m", "--frequency", "2450MHz"], "no band"),
        (["--length", "10m", "--region", "eu-lower", "--frequency", "915MHz"], "outside Europe"),
        (["--length", "10m", "-o", "x.gif"], ".svg, .pdf or .png"),
        ([], "length"),
    ],
)
def test_bad_input_is_one_sentence_and_status_2(
    capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert main([*BASE, *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert told in captured.err
    assert captured.err.count("\n") == 1


def test_a_temperature_below_zero_needs_no_equals_sign(capsys: pytest.CaptureFixture[str]) -> None:
    assert as_json(capsys, "--length", "10m", "--temperature", "-20C")["temperature_c"] == -20


def test_ids_and_regions_in_capitals_are_understood(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cable", "RP-TNC-jack", "N-50-jack", "--length", "3m", "--region", "EU-lower", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["reader"] == "rp-tnc-jack"


def test_a_saved_port_that_is_not_there_is_named_as_a_file(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cable", "nowhere.json", "n-50-jack", "--length", "3m"]) == 2
    assert "there is no such file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--gain", "8.5dBi"], ["To order:", "within the limits\n", "between the two the equipment's grant"]),
        ([], ["To order:", "limits not judged, no gain given", "if its antenna has 6 dBi"]),
        (["--gain", "8.5dBi", "--power", "33dBm"], ["To order:", "Set the reader to 27.50 dBm"]),
        (
            ["--gain", "8.5dBi", "--region", "eu-lower"],
            ["by the letter: none", "dBm e.r.p. (", "measure the cable before you set the last tenths of a dB"],
        ),
        (["--gain", "8.5dBi", "--bend", "2mm"], ["Nothing to order: no class can be built"]),
    ],
)
def test_what_a_person_reads(capsys: pytest.CaptureFixture[str], words: list[str], told: list[str]) -> None:
    assert main([*BASE, "--length", "4m", *words, "--why"]) == (1 if "2mm" in words else 0)
    said = capsys.readouterr().out
    for part in told:
        assert part in said or part in " ".join(said.split())
    assert max(len(line) for line in said.splitlines()) < 80
    # What is to be ordered stands before the list of all classes.
    assert said.index("rder") < said.index("Every class, best first")
    assert "legal: yes" not in said


@pytest.mark.parametrize("words", [[], ["--antenna-size", "15cm"], ["--region", "eu-lower"], ["--reader", "30..30/1"]])
@pytest.mark.parametrize("reader", ["rp-tnc-jack", "f-jack"])
def test_what_rests_on_a_supposed_gain_says_so(
    capsys: pytest.CaptureFixture[str], reader: str, words: list[str]
) -> None:
    """An antenna of 12 dBi is set 6 dB lower, and people keep twice as far away: no figure stands there as if known."""
    line = ["cable", reader, "n-50-jack", "--length", "3m", *words]
    assert main(line) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Supposing 6 dBi, set the reader to " in shown
    assert "Supposing 6 dBi, people keep " in shown
    assert "limits not judged, no gain given, 6 dBi supposed" in shown
    assert "No antenna gain given: worked with 6 dBi" in shown  # it gives way to nothing else that is to be minded
    assert "allow" not in shown
    assert main([*line, "--why"]) == 0
    assert "People and radio power, supposing an antenna of 6 dBi, farther if it has more: " in " ".join(
        capsys.readouterr().out.split()
    )
    assert main([*line, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert {found["supposed_gain"], *(one["exposure"]["supposed_gain"] for one in found["assemblies"])} == {"6 dBi"}
    assert main([*line, "--gain", "6dBi"]) == 0
    assert "upposing" not in capsys.readouterr().out


@pytest.mark.parametrize("antenna", ["n-50-jack", "f-jack", "4.3-10-jack", "mmcx-jack", "fakra-h-jack"])
@pytest.mark.parametrize("length", ["50cm", "8m", "40m"])
@pytest.mark.parametrize(
    "words",
    [
        [],
        ["--want-dbm", "24", "--gain", "8.5dBic", "--reader", "10..31.5/0.25", "--antenna-size", "25cm"],
        ["--want-dbm", "31", "--gain", "9dBi", "--outdoor", "--bend", "30mm"],
        ["--gain", "6dBi", "--region", "eu-lower", "--riser"],
        ["--power", "20dBm", "--budget", "1dB"],
        ["--arrestor", "20cm", "--pigtail", "20cm", "--right-angle", "both", "--outdoor", "--service-loop", "50cm"],
    ],
)
def test_the_answer_stands_on_one_screen(
    capsys: pytest.CaptureFixture[str], antenna: str, length: str, words: list[str]
) -> None:
    if antenna not in all_halves():
        antenna = "sma-jack"
    status = main(["cable", "rp-tnc-jack", antenna, "--length", length, *words])
    lines = capsys.readouterr().out.splitlines()
    assert status == (0 if "To order:" in lines else 1)
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 24, "\n".join(lines)
    assert any(line.startswith(("To order", "Nothing")) for line in lines)
    assert any(line.startswith("Mind: ") for line in lines)


@pytest.mark.parametrize("terms", [[], ["--high-voltage"]])
def test_a_saved_port_of_which_nothing_was_seen_names_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], terms: list[str]
) -> None:
    """It stood in `cable` and `plan` as the half that is met most, with class, setting and torque."""
    port, site = tmp_path / "seen.json", tmp_path / "site.toml"
    assert main(["identify", "--saw", "coupling=not-sure", *terms, "--no-reach", "--save", str(port)]) == 0
    capsys.readouterr()
    assert main(["cable", str(port), "n-50-jack", "--length", "3m"]) == 2
    out, told = capsys.readouterr()
    assert out == ""
    assert "nothing was seen or measured of this port, so that it names none; " in told
    assert ("look at its size with `coaxtell identify --from seen.json`" in told) != bool(terms)
    assert ("touch and join nothing" in told) == bool(terms)
    site.write_text(
        '[site]\nregion = "us"\n[[reader]]\nid = "R"\nport = "seen.json"\n'
        '[[antenna]]\nid = "A"\nreader = "R"\nport = "n-50-jack"\nlength = "3m"\n',
        encoding="utf-8",
    )
    assert main(["plan", str(site), "-o", str(tmp_path / "plan.html")]) != 0
    out, told = capsys.readouterr()
    assert "line 5" in told
    assert "nothing was seen or measured of this port" in told
    assert "SMA" not in out + told
    assert not (tmp_path / "ports.toml").exists()


def saved(folder: Path, half_id: str, probability: float) -> str:
    path = folder / "port.json"
    path.write_text(
        json.dumps(
            {
                "candidates": [{"id": half_id, "probability": probability}, {"id": "n-75-jack", "probability": 0.1}],
                "order": "words",
            }
        ),
        encoding="utf-8",
    )
    return str(path)


def test_the_whole_run_is_ordered_and_its_loss_counted(capsys: pytest.CaptureFixture[str]) -> None:
    plain = as_json(capsys, "--length", "12m", "--gain", "8.5dBic")
    words = ["--right-angle", "antenna", "--arrestor", "2m", "--service-loop", "50cm", "--outdoor", "--pigtail", "20cm"]
    assert main([*BASE, "--length", "12m", "--gain", "8.5dBic", *words, "--why"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for part in (
        "assembly, 2 m (6.6 ft)", "assembly, 10.5 m (34.4 ft)", "End B: right-angle N plug", "Surge arrestor",
        "Weather seal for 3 joints", "Pigtail inside the enclosure", "straight RP-TNC plug",
        "arrestor: one with a gas tube passes DC", "let the cable hang in a loop",
        "antenna end: tighten N jack 50 ohm to 1.5 N m [high]",
    ):  # fmt: skip
        assert part in said, part
    found = as_json(capsys, "--length", "12m", "--gain", "8.5dBic", *words)
    one, other = ({a["class"]: a for a in x["assemblies"]}["240"] for x in (plain, found))
    # By hand: 0.25015 dB/m x 0.5 m of loop; 0.2 dB of arrestor (joints.toml); 0.2 m of 195, 0.3684 dB/m; three joints.
    assert other["pieces_m"] == [2.0, 10.5]
    assert other["loss_db"] - one["loss_db"] == pytest.approx(0.125, abs=0.002)
    assert other["inline_db"] == pytest.approx(0.2 + 0.2 * 0.3684, abs=0.002)
    assert other["joints_db"] - one["joints_db"] == pytest.approx(3 * 0.05, abs=0.001)
    assert main([*BASE, "--length", "1m", "--splitter", "2m"]) == 2
    assert "lies beyond the 1 m" in capsys.readouterr().err


def test_a_75_ohm_end_is_named_as_such(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cable", "rp-tnc-jack", "n-75-jack", "--length", "3m", "--why"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "75 ohm" in said[said.index("To order") : said.index("Every class")]


@pytest.mark.parametrize(
    ("probability", "state", "settled"),
    [(0.95, None, True), (0.9, None, True), (0.62, None, False), (0.95, "not settled", False),
     (0.5, "order fits all", True), (0.5, "settled", True)],
)  # fmt: skip
def test_a_port_that_is_not_settled_gets_no_order_words(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, probability: float, state: str | None, settled: bool
) -> None:
    # MIL-STD-348: the RP-SMA jack carries a pin, the SMA plug too; the two pins meet.
    port = tmp_path / "port.json"
    rest = {"id": "rp-sma-jack", "probability": 1 - probability}
    beware = [{"id": "rp-sma-jack", "tell": "centre: one shows a socket, the other a pin."}]
    kept: dict[str, Any] = {"candidates": [{"id": "sma-jack", "probability": probability}, rest], "beware": beware}
    port.write_text(json.dumps(kept if state is None else kept | {"state": state}), encoding="utf-8")
    for more in ([], ["--why"]):
        assert main(["cable", str(port), "n-50-jack", "--length", "3m", *more]) == (0 if settled else 3)
        said = capsys.readouterr().out
        assert ("To order:" in said) is settled
        if not settled:
            first = said.splitlines()[:3]
            assert "RP-SMA jack" in first[0]
            assert "SMA plug damages it" in first[1]
            assert "centre: one shows a socket" in first[2]
            assert "class 200" in said
            assert len(said.splitlines()) <= 24 or more
    main(["cable", "n-50-jack", str(port), "--length", "3m", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert bool(found["look_again"]) is not settled
    assert found["assemblies"][0]["loss_db"] == pytest.approx(0.99, abs=0.01)


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What `identify --save` keeps of an RP-SMA plug, its answers well told."""
    path = tmp_path_factory.mktemp("answered") / "port.json"
    looks = ["--saw", "coupling=thread-inside", "--saw", "centre=socket", "--measured", "coupling-diameter=6.3"]
    assert main(["identify", *looks, "--setting", "wifi", "--save", str(path)]) == 0
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    assert (found["format"], found["tables"]) == (1, version(load()))
    return found


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, ""),
        ({"format": None, "tables": None}, ""),
        (
            {"tables": "other"},
            "saved under other tables and worked out anew from its answers: it still names RP-SMA plug",
        ),
        (
            {"candidates": [{"id": "n-50-jack", "probability": 0.99}], "state": "settled"},
            "port.json: worked out anew from its answers: it named N jack 50 ohm, settled (99 %) and now names RP-SMA",
        ),
    ],
)
def test_a_saved_port_counts_by_its_answers(
    answered: dict[str, Any], change: dict[str, Any], told: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """What stands in the file as its outcome is worked out anew, and a change is told; files of before are read."""
    port = tmp_path / "port.json"
    kept = {key: value for key, value in (answered | change).items() if value is not None}
    port.write_text(json.dumps(kept), encoding="utf-8")
    main(["cable", str(port), "n-50-jack", "--length", "3m", "--json"])
    out, err = capsys.readouterr()
    assert json.loads(out)["reader"] == "rp-sma-plug"
    assert bool(err) is bool(told)
    assert told in " ".join(err.split())


@pytest.mark.parametrize(
    "seen",
    [
        ["--saw", "coupling=lugs", "--saw", "centre=socket"],
        # taken for threaded once: a bayonet is not the likeliest, and likely enough
        ["--saw", "coupling=thread-outside", "--again", "coupling=lugs"],
        ["--saw", "coupling=lugs", "--again", "coupling=thread-outside"],
        # by now no bayonet is likely at all: what was seen first still counts
        [
            "--saw",
            "coupling=lugs",
            "--again",
            "coupling=thread-outside",
            "--measured",
            "coupling-diameter=15.8",
            "--saw",
            "centre=socket",
        ],
    ],
    ids=["lugs", "lugs at the second look", "lugs at the first", "lugs at the first, and a size"],
)
def test_a_saved_port_that_may_carry_kilovolts_is_told_as_such(
    seen: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No look settles that: the first line says what is at stake, and nobody is sent to the port again."""
    port = tmp_path / "port.json"
    seen = [*seen, "--high-voltage"]
    assert main(["identify", *seen, "--save", str(port)]) == 0
    capsys.readouterr()
    assert main(["cable", str(port), "n-50-jack", "--length", "5m"]) == 3
    out = " ".join(capsys.readouterr().out.split())
    assert out.startswith("The reader port may carry kilovolts (MHV and SHV look like it): touch and join nothing")
    assert "What settles it" not in out
    assert "Look again" not in out


def test_a_saved_port_says_what_does_not_go_with_its_name_before_the_rest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """9 mm is the thread of none: an invented reading, worn or of a kind that the tables do not hold."""
    port = tmp_path / "port.json"
    seen = ["--saw", "coupling=thread-outside", "--saw", "centre=socket", "--saw", "size=pencil"]
    assert main(["identify", *seen, "--measured", "coupling-diameter=9.0", "--save", str(port)]) == 0
    named_half = json.loads(port.read_text(encoding="utf-8"))["name"]
    capsys.readouterr()
    assert main(["cable", "n-50-jack", str(port), "--length", "5m"]) == 3
    told = " ".join(capsys.readouterr().out.split())
    assert told.startswith("Worn or not made to standard, antenna port, port.json (coupling-diameter): do not mate it")
    assert told.index(f"This does not go with the {named_half}: coupling-diameter.") < told.index("Look again, antenna")


def test_a_saved_port_that_was_measured_in_a_photograph_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    port, site, page = (tmp_path / name for name in ("port.json", "site.toml", "plan.html"))
    seen = ["--saw", "coupling=thread-inside", "--saw", "centre=socket", "--setting", "wifi"]
    for typed, pictured in (("6.3mm+-0.4 by photograph", True), ("6.3mm+-0.4", False)):
        assert main(["identify", *seen, "--measured", f"coupling-diameter={typed}", "--save", str(port)]) == 0
        site.write_text(
            f'[site]\nname = "Dock"\nregion = "us"\n[[reader]]\nid = "r1"\nport = "{port.name}"\npower = "30dBm"\n'
            '[[antenna]]\nid = "a1"\nreader = "r1"\nlength = "5m"\nport = "n-50-jack"\ngain = "6dBi"\n',
            encoding="utf-8",
        )
        capsys.readouterr()
        assert main(["plan", str(site), "-o", str(page)]) in (0, 3)
        main(["cable", str(port), "n-50-jack", "--length", "5m"])
        for told in (" ".join(capsys.readouterr().out.split()), page.read_text(encoding="utf-8")):
            assert "RP-SMA" in told
            said = "The reader port was measured in a photograph, which is experimental"
            assert (said in told) is pictured
        listed = page.with_name("ports.toml").read_text(encoding="utf-8")
        assert (said in listed) is pictured
        assert ports.parse(listed, "ports.toml").ports


def test_naming_a_port_and_ordering_for_it_agree_on_kilovolts() -> None:
    """Whatever was seen first and second, with a size or without: a bayonet in either look is enough."""
    known, kinds = load(), ("lugs", "thread-outside", "smooth")
    shortlist, seen = Shortlist(list(known.halves.values())), 0
    for first, second, size in product(kinds, (None, *kinds), (None, 6.3, 15.8)):
        state = State(instrument="calliper", terms=frozenset({Term.HIGH_VOLTAGE}))
        state = state.tell(Feature.COUPLING, Saw(first)).tell(Feature.CENTRE, Saw("socket"))
        if size is not None:
            state = state.tell(Feature.COUPLING_DIAMETER, Read(size, 0.05))
        if second is not None:
            state = state.tell(Feature.COUPLING, Saw(second), again=True)
        found = identify(shortlist, state)
        saved = named(record.plain(state, found, ""), Path("port.json"), known)
        assert found.high_voltage is (saved.doubt is not None and saved.doubt.kilovolts), (first, second, size)
        assert found.high_voltage or "lugs" not in (first, second)
        seen += found.high_voltage
    assert seen > 12


def test_a_saved_port_of_a_newer_program_is_refused(
    answered: dict[str, Any], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    port = tmp_path / "port.json"
    port.write_text(json.dumps(answered | {"format": 99}), encoding="utf-8")
    assert main(["cable", str(port), "n-50-jack", "--length", "3m"]) == 2
    assert "newer" in capsys.readouterr().err


def test_a_look_that_was_taken_is_not_asked_for_again(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    port = tmp_path / "port.json"
    rest = {"id": "rp-sma-jack", "probability": 0.4}
    kept = {
        "candidates": [{"id": "sma-jack", "probability": 0.6}, rest],
        "beware": [{"id": "rp-sma-jack", "look": "centre", "tell": "centre: one shows a socket, the other a pin."}],
        "answers": {"centre": {"value": "pin"}},
        "next": {"feature": "centre", "ask": "Pin or socket?", "again": True},
    }
    for again, told in ((True, "centre once more: Pin or socket?"), (False, "centre: Pin or socket?")):
        kept["next"]["again"] = again  # type: ignore[index]
        port.write_text(json.dumps(kept), encoding="utf-8")
        assert main(["cable", str(port), "n-50-jack", "--length", "3m"]) == 3
        said = " ".join(capsys.readouterr().out.split())
        assert told in said
        assert "one shows a socket, the other a pin" not in said


DEEP = "[" * 100_000 + "]" * 100_000


@pytest.mark.parametrize(
    "content", ["", "{}", '{"candidates": []}', "[1]", '{"candidates": [{"id": "x"}]}', pytest.param(DEEP, id="deep")]
)
def test_a_file_that_is_no_identification_is_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, content: str
) -> None:
    path = tmp_path / "port.json"
    path.write_text(content, encoding="utf-8")
    assert main(["cable", str(path), "n-50-jack", "--length", "3m"]) == 2
    assert "no saved identification" in capsys.readouterr().err


def test_a_price_table_of_ones_own(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "cables").mkdir()
    (tmp_path / "cables" / "prices.toml").write_text(
        'currency = "EUR"\n[per_metre]\n195 = 1.5\n240 = 0.5\n[ends]\nrp-tnc-plug = 4\nn-50-plug = 5\n',
        encoding="utf-8",
    )
    found = as_json(capsys, "--length", "10m", "--prefer", "lowest-price", "--budget", "9dB", "--tables", str(tmp_path))
    assert [(a["class"], a["price"]) for a in found["assemblies"][:2]] == [("240", 14.0), ("195", 24.0)]


def test_every_number_of_the_cable_tables_can_be_looked_up(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources", "cables"]) == 0
    said = capsys.readouterr().out
    for line in (
        "class 240, loss at 900 MHz: 7.6 dB/100 ft  high; printed-rows",
        "class RG-58, greatest permitted loss at 1000 MHz: 28 dB/100 ft  medium; mil-c-17-28",
        "class 240, power at 900 MHz: 260 W  medium; class-sheets",
        "region us, limit on at least 50 channels: 1 W  high; cfr-15-247",
        "region eu-lower, radiated: 2 W  high; en-302-208",
        "thickest cable on SMA: 7 mm (6.2 to 8) [assumed]  assumed; assumed",
        "  cfr-15-247: 47 CFR 15.247",
    ):
        assert line in said
    assert main(["sources", "cables", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["numbers"]
    assert len({row["number"] for row in rows}) == len(rows) > 120
    assert all(row["grade"] and row["source"] for row in rows)


def site_file(folder: Path, text: str = GOOD) -> Path:
    path = folder / "dock.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", ["pdf", "html", "xlsx"])
def test_plan_writes_the_plan_and_the_port_list(capsys: pytest.CaptureFixture[str], tmp_path: Path, kind: str) -> None:
    out = tmp_path / f"plan.{kind}"
    assert main(["plan", str(site_file(tmp_path)), "-o", str(out)]) == 0
    assert out.stat().st_size > 4000
    listed = ports.parse((tmp_path / "ports.toml").read_text(encoding="utf-8"), "ports.toml", all_halves())
    assert {port.id for port in listed.ports} == {"rp-tnc-jack", "n-50-jack"}
    assert "2 of 2 antennas read" in capsys.readouterr().out
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(["dock.toml", "ports.toml", out.name])
    # A second run writes both anew.
    assert main(["plan", str(tmp_path / "dock.toml"), "-o", str(out)]) == 0


def test_plan_names_bad_rows_and_writes_the_rest(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = site_file(tmp_path, GOOD.replace('gain = "6dBd"', 'gain = "6"'))
    assert main(["plan", str(path), "-o", str(tmp_path / "plan.html")]) == 1
    captured = capsys.readouterr()
    assert "dock.toml, line 27" in captured.err
    assert "1 of 2 antennas read" in captured.out
    assert "R1 to A1" in (tmp_path / "plan.html").read_text(encoding="utf-8")


def test_plan_says_that_cables_fall_short(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = site_file(tmp_path, GOOD.replace('region = "us"', 'region = "us"\nwant = "26dBm"'))
    assert main(["plan", str(path), "-o", str(tmp_path / "plan.xlsx")]) == 1
    told = capsys.readouterr()
    assert "of them short of what was wanted" in told.out
    assert "short of 26 dBm by" in told.err


def test_a_reader_that_is_too_strong_gets_nothing_to_order(capsys: pytest.CaptureFixture[str]) -> None:
    run = ["--length", "5m", "--want-dbm", "24"]
    by_grant = ["rp-tnc-jack", "n-50-jack", "--gain", "8.5dBi", "--reader", "28..33/1"]
    by_loss = ["n-50-jack", "n-50-jack", "--gain", "8.5dBic", "--region", "eu-lower", "--reader", "33..33/1"]
    for words in (by_grant, by_loss):
        assert main(["cable", *words, *run]) == 1
        told = capsys.readouterr().out
        assert "Nothing to order with this reader" in told
        assert "To order" not in told
        assert "Set the reader" not in told


def test_what_a_port_no_longer_takes_under_other_tables_is_told() -> None:
    known = load()
    rows = [ports.SitePort("sma-jack", takes="sma-plug"), ports.SitePort("sma-jack", takes="rp-sma-plug")]
    listed = ports.PortList("x", rows, tables="other")
    found, told = under(listed, "ports.toml", known)
    assert [port.takes for port in found.ports] == ["sma-plug", ""]
    assert [sentence.split(";")[0] for sentence in told] == ["ports.toml: written under other tables"]
    same = ports.PortList("x", rows, tables=version(known))
    assert under(same, "ports.toml", known) == (same, [])


def test_plan_leaves_a_port_list_that_a_person_wrote(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    own = tmp_path / "ports.toml"
    own.write_text('[[port]]\nid = "n-50-jack"\n', encoding="utf-8")
    words = ["plan", str(site_file(tmp_path)), "-o", str(tmp_path / "plan.html")]
    assert main(words) == 2
    assert "was not written by this program" in capsys.readouterr().err
    assert own.read_text(encoding="utf-8") == '[[port]]\nid = "n-50-jack"\n'
    assert not (tmp_path / "plan.html").exists()
    # nor where it was named: `--ports` is read by other commands, and here written
    assert main([*words, "--ports", str(own)]) == 2
    assert own.read_text(encoding="utf-8") == '[[port]]\nid = "n-50-jack"\n'
    assert main([*words, "--ports", str(tmp_path / "other.toml")]) == 0
    assert (tmp_path / "other.toml").is_file()


def test_a_plan_that_cannot_be_written_leaves_no_port_list(tmp_path: Path) -> None:
    (tmp_path / "plan.pdf").mkdir()
    assert main(["plan", str(site_file(tmp_path)), "-o", str(tmp_path / "plan.pdf")]) == 2
    assert not (tmp_path / "ports.toml").exists()


@pytest.mark.parametrize(
    ("text", "out", "told"),
    [
        (GOOD, "plan.txt", ".pdf, .html, .xlsx"),
        ("", "plan.pdf", "no [[antenna]]"),
        (None, "plan.pdf", "cannot be read"),
        (GOOD, "missing/plan.pdf", "missing"),
    ],
)
def test_plan_refuses_in_one_sentence(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str | None, out: str, told: str
) -> None:
    path = tmp_path / "dock.toml"
    if text is not None:
        site_file(tmp_path, text)
    assert main(["plan", str(path), "-o", str(tmp_path / out)]) == 2
    captured = capsys.readouterr()
    assert told in captured.err
    assert captured.err.count("\n") == 1


def test_a_saved_identification_beside_the_site_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    saved(tmp_path, "n-50-jack", 0.7)
    path = site_file(tmp_path, GOOD.replace('port = "n-50-jack"', 'port = "port.json"'))
    assert main(["plan", str(path), "-o", str(tmp_path / "plan.html")]) == 3
    page = (tmp_path / "plan.html").read_text(encoding="utf-8").replace("\u202f", " ")
    said = "R1 to A1: Look again, antenna port, port.json: N jack 50 ohm 70 %, N jack 75 ohm 10 %."
    assert page.index("Not settled, before ordering") < page.index(said) < page.index("Order list")
    # neither in the order list nor on a label; it stays in the table of runs
    assert page.count("R1 to A1") == 2 + page[page.index("To mind with single runs") :].count("R1 to A1")


def test_a_grant_that_counts_the_linear_gain_stands_beside_the_setting_and_so_does_the_cautious_one(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """FCC KDB publication 192659 (2007-04-09): 30 dBm by the linear component of 9 dBic, 27 dBm by the whole."""
    line = ["cable", "n-50-jack", "n-50-jack", "--length", "5m", "--region", "us", "--gain", "9dBic"]
    for more in ([], ["--linear-gain", "AB12"]):
        assert main([*line, *more, "--json"]) == 0
        best = json.loads(capsys.readouterr().out)["assemblies"][0]
        assert (best["by_linear_gain_dbm"], best["by_whole_gain_dbm"]) == (30.0, 27.0)
        assert best["power_dbm"] == (30.0 if more else 27.0)
        assert main([*line, *more]) == 0
        first = capsys.readouterr().out
        assert len(first.splitlines()) <= 24
        told = next(part for part in " ".join(first.split()).split(". ") if part.startswith("Set the reader")).split()
        assert {"27.00", "30.00"} <= set(told)
        assert ("AB12" in " ".join(told)) is bool(more)
        assert ("within the limits by the linear gain" in " ".join(first.split())) is bool(more)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--pigtail", "20m"], "beyond any enclosure"),
        (["--gain", "6dBi", "--linear-gain", "AB12"], "give --gain in dBic"),
    ],
)
def test_what_would_be_ignored_or_makes_no_sense_is_refused(
    capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert main(["cable", "n-50-jack", "n-50-jack", "--length", "5m", *words]) == 2
    assert told in capsys.readouterr().err


def test_ports_of_an_impedance_that_no_class_has_are_told_so(capsys: pytest.CaptureFixture[str]) -> None:
    main(["cable", "n-75-jack", "n-75-jack", "--length", "5m"])
    assert "Mind: No class of 75 ohm is known here" in " ".join(capsys.readouterr().out.split())
    main(["cable", "n-50-jack", "n-75-jack", "--length", "5m"])
    assert "No class of" not in capsys.readouterr().out


ON_IT = {
    "--look-only": "It is energised: judge from a distance. Touch nothing",
    "--high-voltage": "It may carry high voltage, or nobody knows: that was said",
}
RP_TNC = ("--setting", "uhf-reader", "--saw", "coupling=thread-outside", "--saw", "centre=pin", "--saw", "plastic=tube")


@pytest.mark.parametrize("term", ON_IT)
def test_what_was_said_to_be_on_a_port_stands_before_all_wherever_it_is_named_ordered_for_or_planned(
    term: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Of a threaded port, which no look takes for one of high voltage; at both ends of a run, and on a plan."""
    port = tmp_path / "port.json"
    assert main(["identify", *RP_TNC, "--saw", "size=aaa-cell", term, "--save", str(port)]) == 0
    assert " ".join(capsys.readouterr().out.split()).startswith(ON_IT[term])
    kept = json.loads(port.read_text(encoding="utf-8"))
    assert kept["state"] == "settled"
    assert kept["cautions"][0].startswith(ON_IT[term])
    for more in ([], ["--why"]):
        assert main(["cable", str(port), str(port), "--length", "5m", *more]) == 0
        shown = capsys.readouterr().out
        for place in ("reader", "antenna"):
            assert f"Said of the {place} port when it was named: {ON_IT[term]}" in " ".join(shown.split())
        assert shown.startswith("Said of the reader port")
        assert shown.index("Said of the antenna port") < shown.index("To order")
    assert main(["plan", str(site_file(tmp_path, GOOD.replace('"rp-tnc-jack"', '"port.json"'))), "-o",
                 str(tmp_path / "plan.html")]) == 0  # fmt: skip
    assert f"Said of the reader port when it was named: {ON_IT[term]}" in " ".join(capsys.readouterr().err.split())
    page = (tmp_path / "plan.html").read_text(encoding="utf-8")
    assert f"Said of the reader port when it was named: {ON_IT[term]}" in page


def test_nothing_is_said_to_be_on_a_port_of_which_nobody_said_so(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    port = tmp_path / "port.json"
    for term in ("--no-high-voltage", "--no-reach"):
        assert main(["identify", *RP_TNC, term, "--save", str(port)]) == 0
        main(["cable", str(port), "n-50-jack", "--length", "5m"])
        told = capsys.readouterr().out
        assert "Said of the" not in told
        assert not any(words in told for words in ("energised", "high voltage, or nobody"))


def test_nobody_is_sent_to_look_again_at_what_may_carry_kilovolts(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Not by a doubt, an order or answers that clash: a bayonet measured at 20 mm (invented)."""
    port = tmp_path / "port.json"
    seen = ["--saw", "coupling=lugs", "--saw", "centre=socket", "--measured", "coupling-diameter=20", "--high-voltage"]
    assert main(["identify", *seen, "--save", str(port), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert "contradiction" in found
    assert found["cautions"][0].startswith("It may carry kilovolts (MHV and SHV look like it)")
    assert "it may carry kilovolts" in found["order"]
    assert not any("look again" in words.lower() for words in (*found["cautions"], found["order"]))
    assert main(["identify", *seen, "--why"]) == 0
    assert main(["cable", str(port), "n-50-jack", "--length", "5m", "--why"]) == 3
    told = " ".join(capsys.readouterr().out.split()).lower()
    assert not any(words in told for words in ("look again", "look once more", "look at that again"))
