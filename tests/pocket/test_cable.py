"""A run of cable on the page: what it loses, what is as wanted and what cannot be had, all as the desk says it."""

from __future__ import annotations

import json
import re
from itertools import combinations_with_replacement
from pathlib import Path
from typing import Any

import pytest

from coaxtell.cables.objections import against_sense
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.sides import side_of
from coaxtell.cables.words import CABLES
from coaxtell.cli.main import main
from coaxtell.models.catalogue import Reason, Value
from coaxtell.pocket import cables
from coaxtell.pocket.data import WORDS
from coaxtell.quiz import everyday
from coaxtell.quiz.stock import Stock
from tests.cables.kit import cable_tables, choice, matings, run
from tests.halves import all_halves
from tests.pocket.browser import Phone
from tests.pocket.node import node
from tests.pocket.visits import fresh

HALVES, TABLES = all_halves(), cable_tables()
LENGTHS = ("40cm", "6m", "25m", "61m")
BEND_MM = 26.0
BESIDE = {"n-75-jack", "n-left-jack", "bnc-75-jack", "mmcx-jack", "f-jack", "uhf-jack"}
"""Halves that an end is easily taken to fit, a small one, and two made for lower frequencies; none is met every day."""
OFTEN = sorted(everyday.halves(Stock(HALVES)) | BESIDE)
IDS, KNOWN = list(HALVES), cables.cables(TABLES)
DBM = 25.0
"""A power that is within the limits of every region with the gain that the desk assumes: no law orders the classes."""


def desk(reader: str, antenna: str, length: str, want_dbm: float | None, **more: Any) -> Choice:
    """Every class on a run, held against a wanted level; with 30 dBm at the reader where no other power is told."""
    return choice(run(reader, antenna, length, gain=None, want_dbm=want_dbm, **{"power_dbm": 30.0, **more}))


def by_class(found: Choice) -> dict[str, Ranked]:
    return {one.assembly.cable.name: one for one in found.ranked}


def on_page(asked: list[Choice]) -> list[list[dict[str, Any]]]:
    """The classes of each run in the page's order, as its own code reckons them."""
    runs = [
        {
            "ports": [IDS.index(one.run.reader.id), IDS.index(one.run.antenna.id)],
            "metres": one.run.length_m,
            "mhz": one.run.frequency_mhz,
            "celsius": one.run.temperature_c,
            "power": None if one.run.power is None else one.run.power.highest_dbm,
            "want": one.run.want_dbm,
            "bend": one.run.bend_mm,
            "outdoor": one.run.outdoor,
        }
        for one in asked
    ]
    given = {"cables": KNOWN, "sides": cables.sides(list(HALVES.values()), TABLES), "runs": runs}
    found: list[list[dict[str, Any]]] = node("data.js", {"wanted": "runs", "given": given})
    return found


PLACES: list[Value] = [Reason("place.reader"), Reason("place.antenna")]


def flat(value: Any) -> list[str]:
    """The names that a chain of reasons lists."""
    return [value] if isinstance(value, str) else [name for one in value.values.values() for name in flat(one)]


def said_on_the_desk(reason: Reason) -> list[Any]:
    """Why a class is not sensible: its code, its numbers, the halves it names."""
    values = reason.values
    numbers = {key: round(v, 9) for key, v in values.items() if isinstance(v, float) and key != "jumper_db"}
    at = [PLACES.index(values["place"])] if "place" in values else []
    return [reason.code.removeprefix("sense."), numbers, flat(values.get("halves", values.get("port", Reason("")))), at]


def said_on_the_page(told: list[Any]) -> list[Any]:
    code, values = told
    numbers = {key: round(value, 9) for key, value in values.items() if key not in ("at", "port", "halves")}
    halves = values.get("halves", [values["port"]] if "port" in values else [])
    return [code, numbers, [HALVES[IDS[half]].name for half in halves], [values["at"]] if "at" in values else []]


def alike(told: list[dict[str, Any]], found: Choice) -> set[tuple[Any, ...]]:
    """Hold the page's classes of one run against the desk's: what it is of each, and in which order; what occurred."""
    run = found.run
    where = f"{run.reader.id} {run.antenna.id} {run.length_m} m, {run.frequency_mhz} MHz, {run.want_dbm} dBm"
    assert [row["name"] for row in told] == [one.assembly.cable.name for one in found.ranked], where
    seen = set()
    for row, one in zip(told, found.ranked, strict=True):
        assembly, loss = one.assembly, one.assembly.loss
        assert (row["all"], row["off"]) == pytest.approx((loss.total_db, loss.plus_minus_db), abs=1e-9), where
        assert row["cannot"] == (not assembly.buildable), where
        held = run.power is not None and run.want_dbm is not None
        assert row["meets"] == (None if row["cannot"] or not held else one.meets), where
        assert row["over"] == pytest.approx(found.target.rank_db(assembly), abs=1e-9), where
        against = [said_on_the_desk(reason) for reason in assembly.not_sensible]
        assert [said_on_the_page(reason) for reason in row["against"]] == against, where
        seen |= {(row["meets"], bool(assembly.adapter_count), code) for code, *_ in against or [[""]]}
    return seen


@pytest.mark.needs("node")
def test_every_class_stands_where_the_desk_puts_it() -> None:
    """All pairs of everyday halves and some more, every band of the page: loss, what can be made and is met, what is
    not sensible and why, and the order.

    What is wanted lies a hair within or beyond what one of the classes brings at worst; at some it is beyond any cable,
    at some nothing is wanted.
    """
    names, bands, asked = [one["name"] for one in KNOWN["classes"]], list(KNOWN["bands"]), []
    for number, (one, other) in enumerate(combinations_with_replacement(OFTEN, 2)):
        ports = (one, other) if number % 2 else (other, one)
        for at in range(2):
            turn = 2 * number + at
            run = {
                "length": LENGTHS[(number + 2 * at) % len(LENGTHS)],
                "region": bands[turn % len(bands)],
                "power_dbm": DBM,
            }
            run["temperature_c"] = (25.0, 60.0, -20.0)[turn % 3]
            edge = by_class(desk(*ports, want_dbm=0.0, **run))[names[turn % len(names)]].assembly
            want = DBM - edge.loss.worst_db + (0.004 if number % 3 else 0.006)
            wish = None if turn % 7 == 0 else 24.9 if turn % 11 == 0 else want
            asked.append(
                desk(*ports, want_dbm=wish, bend_mm=BEND_MM if turn % 2 else None, outdoor=turn % 5 == 0, **run)
            )
    seen = set()
    for told, found in zip(on_page(asked), asked, strict=True):
        seen |= alike(told, found)
        slow = [any("slow" in code for code, _ in row["against"]) for row in told if row["meets"]]
        assert not slow or slow[0] <= min(slow), "nothing too slow comes first where another would do"
    assert {code for *_, code in seen} == {"", "heavy", "slow_several", "long"}
    assert {(meets, adapters) for meets, adapters, _ in seen} == {
        (m, a) for m in (True, False, None) for a in (True, False)
    }
    assert {found.target.beyond_any for found in asked} == {True, False}
    assert len(asked) > 300


@pytest.mark.needs("node")
def test_more_than_a_class_carries_cannot_be_made_of_it() -> None:
    asked = [desk("n-50-jack", "n-50-jack", "6m", 20.0, power_dbm=dbm) for dbm in (30.0, 47.0, 53.0, 57.0, 80.0)]
    counts = []
    for told, found in zip(on_page(asked), asked, strict=True):
        cannot = {row["name"] for row in told if row["cannot"]}
        assert cannot == {one.assembly.cable.name for one in found.ranked if not one.assembly.buildable}
        counts.append(len(cannot))
    assert counts == sorted(counts)
    assert len(set(counts)) > 3


def test_what_is_not_sensible_is_said_as_on_the_desk() -> None:
    page, desk_says = WORDS.texts(), CABLES.texts()
    for code in ("slow_one", "slow_several", "long"):
        assert page[f"pocket.{code}"] == desk_says[f"sense.{code}"]
    assert page["pocket.not_sensible"].lower().startswith(desk_says["why.not_sensible"].split("{")[0])
    assert desk_says["screen.thinnest"].split(",")[0] in page["pocket.sorted"]


def shown(phone: Phone, **asked: Any) -> str:
    """What the view says of a run."""
    phone.run(f"change({{run: {json.dumps(asked)}}}); go('cable')")
    return phone.text()


def of_class(phone: Phone, name: str) -> str:
    return phone.text(f"[data-class='{name}']")


@pytest.mark.needs("chromium")
def test_a_run_of_cable_loses_what_the_desk_says(phone: Phone, file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Loss, how far it may be off, what arrives, a wish met at worst or not."""
    words = ["cable", "rp-tnc-jack", "n-50-jack", "--length", "12m", "--frequency", "915MHz", "--power", "30dBm"]
    assert main([*words, "--want-dbm", "27.2", "--json"]) in (0, 1)
    said_there = json.loads(capsys.readouterr().out)["assemblies"]
    fresh(phone, file)
    asked = {"length": "12m", "power": "30", "want": "27.2", "reader": "rp-tnc-jack", "antenna": "n-50-jack"}
    shown(phone, **asked)
    said = set()
    for one in said_there:
        told = phone.text(f"[data-class='{one['class']}']")
        assert f"{one['total_loss_db']:.2f} dB, give or take {one['loss_plus_minus_db']:.2f}" in told
        assert f"{30 - one['total_loss_db']:.1f} dBm arrive" in told
        short = 27.2 - (30 - one["total_loss_db"] - one["loss_plus_minus_db"])
        by = re.search(r"short by ([\d.]+) dB at worst", told)
        assert ("as wanted, at worst too" in told) == (short <= 0) == (by is None)
        assert by is None or float(by[1]) == pytest.approx(short, abs=0.02)
        said.add(short <= 0)
    assert said == {True, False}
    assert "coaxtell cable" in phone.text()


@pytest.mark.needs("chromium")
@pytest.mark.parametrize(
    ("ports", "length", "want", "name", "remarks"),
    [
        (("n-50-jack", "rp-tnc-jack"), "10m", 28, "600", ["RP-TNC plug to ", "short flexible jumper"]),
        (
            ("bnc-75-jack", "bnc-75-jack"),
            "10m",
            25,
            "200",
            ["about 14 dB", "with limits", "BNC plug 50 ohm on BNC jack"],
        ),
        (("rp-tnc-jack", "n-left-jack"), "5m", 28.4, "400", ["N left-hand plug to "]),
        (("n-75-jack", "n-50-jack"), "10m", 20, "600", ["N plug 75 ohm to "]),
    ],
)
def test_what_a_class_needs_stands_with_it_and_counts(
    phone: Phone, file: str, ports: tuple[str, str], length: str, want: float, name: str, remarks: list[str]
) -> None:
    """Ports that no end of a class goes onto, thick cables on small ports, 75 ohm on 50: as the desk says."""
    fresh(phone, file)
    shown(phone, reader=ports[0], antenna=ports[1], length=length, power="30", want=str(want))
    for one in desk(*ports, length, want).ranked:
        told = of_class(phone, one.assembly.cable.name)
        assert ("✓" in told) == (one.meets and not one.assembly.not_sensible)
        assert ("Not sensible" in told) == bool(one.assembly.not_sensible)
        assert ("✗" in told) == (one.assembly.buildable and not one.meets)
    assert [words for words in remarks if words not in of_class(phone, name)] == [], of_class(phone, name)


@pytest.mark.needs("chromium")
def test_a_bend_is_judged_once_and_often(phone: Phone, file: str) -> None:
    """Class 240 bends to so much once, when it is laid, and to more when it is moved: the two numbers of its table."""
    fresh(phone, file)
    once, often = phone.run("world.cables.classes.find((one) => one.name === '240').bend")
    assert once < often
    for mm, words in ((once - 1, "Too tight"), ((once + often) / 2, "only once"), (often + 1, None)):
        shown(phone, length="3m", bend=f"{mm}mm")
        told = of_class(phone, "240")
        assert [one for one in ("Too tight", "only once") if one in told] == ([words] if words else [])


@pytest.mark.needs("chromium")
def test_what_cannot_be_laid_stands_last_and_is_never_as_wanted(phone: Phone, file: str) -> None:
    fresh(phone, file)
    asked = {"reader": "n-50-jack", "antenna": "rp-tnc-jack", "length": "12.5m", "power": "30.5", "want": "20"}
    shown(phone, **asked, bend="2.5cm", outdoor=True)
    cards = phone.run("[...document.querySelectorAll('.classes li')].map((one) => one.innerText)")
    cannot = ["Too tight" in one or "No jacket" in one for one in cards]
    assert cannot == sorted(cannot)
    assert len(set(cannot)) == 2
    assert not [one for one, never in zip(cards, cannot, strict=True) if never and ("✓" in one or "✗" in one)]
    assert [one for one in cards if "✓" in one]


@pytest.mark.needs("chromium")
def test_nothing_is_said_of_a_wish_before_both_ports_are_known(phone: Phone, file: str) -> None:
    fresh(phone, file)
    told = shown(phone, reader="n-50-jack", length="3m", power="30", want="20")
    assert "✓" not in told
    assert "✗" not in told
    assert "Choose both ports" in told
    assert "Choose both ports" not in shown(phone, reader="n-50-jack", antenna="n-50-jack", length="3m")


@pytest.mark.needs("chromium")
@pytest.mark.parametrize(
    ("key", "typed", "refused"),
    [("length", "", "no_run"), ("length", "-12m", "no_run"), ("length", "12kg", "no_run"),
     ("length", "10 yd", "no_run"), ("length", "99999m", "no_run"), ("length", "1,250m", "thousands"),
     ("length", "10m+-2m", "no_plus_minus"),
     ("bend", "-40mm", "no_bend"), ("bend", "tight", "no_bend"), ("bend", "40+-2", "no_plus_minus"),
     ("power", "1W", "no_level"), ("power", "30+-1", "no_plus_minus"), ("want", "x", "no_level"),
     ("celsius", "hot", "no_degree"), ("celsius", "200C", "no_degree"), ("celsius", "40+-5", "no_plus_minus"),
     ("celsius", "", ""), ("celsius", "104F", ""),
     ("want", "-5 dBm", ""), ("want", "300", "no_level"), ("power", "", ""), ("bend", "40", "")],
)  # fmt: skip
def test_what_is_no_length_or_level_of_a_run_is_refused_beside_it(
    phone: Phone, file: str, key: str, typed: str, refused: str
) -> None:
    fresh(phone, file)
    asked = {"length": "12m", "power": "30", "want": "26", "reader": "rp-tnc-jack", "antenna": "n-50-jack", key: typed}
    shown(phone, **asked)
    alerts = phone.run("[...document.querySelectorAll('main [role=alert]')].map((one) => one.innerText)")
    assert alerts == ([phone.run(f"t('refused_{refused}')")] if refused else [])
    if refused:
        label = phone.run(
            "document.querySelector('main [role=alert]').previousElementSibling.querySelector('input').value"
        )
        assert label == typed
    told = phone.run("document.querySelector('.classes').innerText")
    assert "NaN" not in told
    reckoned = not (refused and key in ("length", "celsius"))
    assert (" joints." in told) == reckoned
    assert ("dBm arrive" in told) == (reckoned and key != "power")
    assert ("at worst" in told) == (not refused and key != "power"), "nothing that was not read is passed over"
    assert (phone.run("t('want_no_power')") in phone.text()) == (key == "power" and not typed)


@pytest.mark.needs("chromium")
@pytest.mark.parametrize(
    ("ports", "length", "want", "first", "remark"),
    [
        (("uhf-jack", "uhf-jack"), "10m", 26, "RG-213", "UHF jack and UHF plug are made for 300 MHz at most"),
        (("n-75-jack", "n-50-jack"), "10m", 20, "200", None),
        (("bnc-50-jack", "n-75-jack"), "10m", 20, "200", None),
        (("sma-jack", "sma-jack"), "3m", 28, "200", None),
        (("n-50-jack", "n-50-jack"), "80m", 20, "600", "single assemblies are sold to about 30 m"),
        (("sma-jack", "bnc-75-jack"), "6m", None, "400", "10.29 mm of cable is heavy for it (Reader's port, SMA jack)"),
    ],
)
def test_what_is_not_sensible_has_no_tick_and_the_first_class_is_the_desks(
    phone: Phone, file: str, ports: tuple[str, str], length: str, want: float | None, first: str, remark: str | None
) -> None:
    fresh(phone, file)
    shown(phone, reader=ports[0], antenna=ports[1], length=length, power="30", want="" if want is None else str(want))
    found = desk(*ports, length, want)
    order = phone.run("[...document.querySelectorAll('[data-class]')].map((one) => one.dataset.class)")
    assert order == [one.assembly.cable.name for one in found.ranked]
    assert order[0] == first
    told = of_class(phone, first)
    assert ("✓" in told) == (remark is None)
    assert remark is None or f"Not sensible: {remark}" in told
    for one in found.ranked:
        assert of_class(phone, one.assembly.cable.name).count("Not sensible") == len(one.assembly.not_sensible)
    assert "the thinnest class that meets it comes first" in phone.text()
    assert ("No power wanted at the antenna was given: taken as a loss of at most 3 dB" in phone.text()) == (
        want is None
    )


@pytest.mark.needs("chromium")
def test_the_temperature_of_the_losses_stands_there_and_counts(phone: Phone, file: str) -> None:
    """Class 600 serves at 25 C and no class at 60 C; the view says which it is."""
    fresh(phone, file)
    ports, asked = ("n-50-jack", "n-50-jack"), {"length": "25m", "power": "30", "want": "26.85"}
    for typed, celsius in (("", 25), ("60C", 60), ("60", 60), ("140F", 60)):
        shown(phone, reader=ports[0], antenna=ports[1], celsius=typed, **asked)
        assert f"Losses at 915 MHz and for a cable of {celsius} °C" in phone.text()
        found = desk(*ports, "25m", 26.85, temperature_c=float(celsius)).ranked
        assert ("✓" in phone.text(".classes")) == any(one.meets for one in found) == (celsius == 25)
        for one in found:
            assert f"{one.assembly.loss.total_db:.2f} dB, give or take" in of_class(phone, one.assembly.cable.name)
    shown(phone, reader=ports[0], antenna=ports[1], length="25m")
    assert phone.run("document.querySelectorAll('main input')[4].value") == "25 °C"


@pytest.mark.needs("chromium")
def test_a_european_band_is_reckoned_at_its_own_frequency(phone: Phone, file: str) -> None:
    fresh(phone, file)
    asked = {
        "reader": "rp-tnc-jack",
        "antenna": "n-50-jack",
        "length": "12m",
        "power": "25",
        "want": "22",
        "band": "eu-lower",
    }
    shown(phone, **asked)
    found = desk("rp-tnc-jack", "n-50-jack", "12m", 22.0, region="eu-lower", power_dbm=25.0).ranked
    assert {one.assembly.loss.cable_db for one in found} != {
        one.assembly.loss.cable_db for one in desk("rp-tnc-jack", "n-50-jack", "12m", 22.0).ranked
    }
    order = phone.run("[...document.querySelectorAll('[data-class]')].map((one) => one.dataset.class)")
    assert order == [one.assembly.cable.name for one in found]
    for one in found:
        told = of_class(phone, one.assembly.cable.name)
        assert f"{one.assembly.loss.total_db:.2f} dB, give or take" in told
        assert ("✓" in told) == (one.meets and not one.assembly.not_sensible)
    assert "Losses at 867 MHz" in phone.text()


@pytest.mark.needs("chromium")
def test_a_number_without_a_unit_says_what_it_was_taken_for(phone: Phone, file: str) -> None:
    fresh(phone, file)
    shown(phone, length="10000", bend="40", celsius="30")
    assert [phone.text(f"[data-taken={key}]") for key in ("length", "bend", "celsius")] == [
        "Taken as 10000 m.", "Taken as 40 mm.", "Taken as 30 °C.",
    ]  # fmt: skip
    shown(phone, length="40ft", bend="40mm", celsius="30C")
    assert phone.run("document.querySelector('[data-taken]')") is None


@pytest.mark.needs("node")
def test_what_a_class_of_unknown_rating_carries_is_not_taken_for_endless() -> None:
    """Beyond what every class of known rating carries, 90 W at 900 MHz (class 100), it is not sensible."""
    for dbm in (49.0, 51.0, 53.0, 60.0):
        asked = run("n-50-jack", "n-50-jack", "3m", power_dbm=30.0, want_dbm=25.0)
        given = {"ports": [IDS.index("n-50-jack")] * 2, "metres": 3.0, "mhz": asked.frequency_mhz, "celsius": 25.0,
                 "power": dbm, "want": 30.0, "bend": None, "outdoor": False}  # fmt: skip
        sides = cables.sides(list(HALVES.values()), TABLES)
        (rows,) = node("data.js", {"wanted": "runs", "given": {"cables": KNOWN, "sides": sides, "runs": [given]}})
        for row in rows:
            cable = TABLES.classes[row["name"]]
            ports = (HALVES["n-50-jack"], HALVES["n-50-jack"])
            both = (side_of(matings(), cable, ports[0]), side_of(matings(), cable, ports[1]))
            against = [said_on_the_desk(one) for one in against_sense(asked, cable, ports, both, TABLES, dbm)]
            assert [said_on_the_page(one) for one in row["against"]] == against
            unrated = cable.power_w(asked.frequency_mhz) is None
            assert ("unrated" in [code for code, *_ in row["against"]]) == (unrated and dbm > 49.5), (dbm, row["name"])
        assert any(row["meets"] and not row["against"] for row in rows) == (dbm < 60)


@pytest.mark.needs("chromium")
def test_a_class_of_unknown_rating_says_so_and_has_no_tick_beyond_the_least_known(phone: Phone, file: str) -> None:
    fresh(phone, file)
    shown(phone, reader="n-50-jack", antenna="n-50-jack", length="3m", power="30", want="25")
    assert "What power this class carries is not known." in of_class(phone, "RG-58")
    assert "✓" in of_class(phone, "RG-58")
    assert "not known" not in of_class(phone, "240")
    shown(phone, reader="n-50-jack", antenna="n-50-jack", length="3m", power="53", want="30")
    assert "✓" not in of_class(phone, "RG-58")
    told = of_class(phone, "RG-58")
    assert "Not sensible: what power it carries is not known, and 200 W is more than the 89 W" in told
    assert phone.run("document.querySelector('[data-class]').dataset.class") == "240"
    assert "✓" in of_class(phone, "240")


@pytest.mark.needs("chromium")
def test_what_cannot_be_made_has_no_words_to_order_by(phone: Phone, file: str) -> None:
    """As the desk: nothing to order."""
    fresh(phone, file)
    shown(phone, reader="n-50-jack", antenna="n-50-jack", length="3m", bend="1mm")
    assert "Nothing to order: no class can be made and laid so." in phone.text()
    assert "Ends:" not in phone.text()
    assert "comes first" not in phone.text()
    shown(phone, reader="n-50-jack", antenna="n-50-jack", length="3m", bend="40mm")
    assert "Nothing to order" not in phone.text()
    assert "Ends: N plug" in of_class(phone, phone.run("document.querySelector('[data-class]').dataset.class"))


@pytest.mark.needs("chromium")
def test_a_tick_holds_for_all_that_an_open_name_may_be(
    phone: Phone, file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A bayonet that may be of 50 or 75 ohm: one end fits both, and the mismatch of the other may be too much."""
    fresh(phone, file)
    seen = "{coupling: {saw: 'lugs'}, centre: {saw: 'socket'}}"
    phone.run(f"port = port.in({{answers: {seen}, terms: ['no-high-voltage']}})")
    assert phone.run("[port.named, world.halves[port.first].id]") == ["order fits all", "bnc-50-jack"]
    shown(phone, antenna="n-50-jack", length="10m", power="30", want="25.4")
    assert "The name is open: it may also be BNC jack 75 ohm" in phone.text()
    fallen = 0
    named, others = (by_class(desk(one, "n-50-jack", "10m", 25.4)) for one in ("bnc-50-jack", "bnc-75-jack"))
    for name, one in named.items():
        other, told = others[name], of_class(phone, name)
        both = one.meets and other.meets and not one.assembly.not_sensible and not other.assembly.not_sensible
        assert ("✓" in told) == both, name
        if one.meets and not other.meets:
            short = 25.4 - (30.0 - other.assembly.loss.worst_db)
            assert f"With BNC jack 75 ohm (Reader's port) instead it is short by {short:.2f} dB at worst." in told
            fallen += 1
    assert fallen, "one class at least that the named port alone would have passed"
    assert_ordered_by_the_first_tick(phone, "bnc-50-jack")
    shown(phone, reader="n-50-jack", antenna="n-50-jack", length="10m", power="30", want="25.4")
    assert "The name is open" not in phone.text()

    path = tmp_path / "bnc.json"
    path.write_text(json.dumps(phone.run("port.record()")))
    for more in ([], ["--why"]):
        main(["cable", str(path), "n-50-jack", "--length", "10m", "--power", "30dBm", "--want-dbm", "25.4", *more])
        told = " ".join(capsys.readouterr().out.split())
        assert "The name of the reader port is open: it may also be BNC jack 75 ohm" in told
        assert "Loss, impedance and what is met are those of BNC jack 50 ohm" in told
    main(["cable", "bnc-50-jack", "n-50-jack", "--length", "10m"])
    assert "is open" not in capsys.readouterr().out


def assert_ordered_by_the_first_tick(phone: Phone, port: str) -> None:
    """The words to order by stand with the first class that has a tick, and with no other."""
    words = phone.run(f"world.halves[port.mates(world.index['{port}'])[0].j].order")
    cards: list[str] = phone.run("[...document.querySelectorAll('.classes li')].map((one) => one.innerText)")
    first = next(place for place, one in enumerate(cards) if "✓" in one)
    assert first > 0, "the first class of all falls short with the other port"
    assert [place for place, one in enumerate(cards) if words in one] == [first]


OPEN = "{answers: {coupling: {saw: 'lugs'}, centre: {saw: 'socket'}}, again: {}, terms: ['no-high-voltage']}"


@pytest.mark.needs("chromium")
def test_an_open_name_counts_at_either_end_and_goes_with_the_port_of_the_site(phone: Phone, file: str) -> None:
    """At the antenna, for a port of the site while another one is named, and at both ends: as the desk's losses."""
    fresh(phone, file)
    run = {"length": "10m", "power": "30", "want": "25.4"}
    for collected in (False, True):
        phone.run(f"port = port.in({OPEN}); state.run = {{}}")
        if collected:
            phone.run("addToSite()")
            assert phone.run("port.given.length") == 0
        for ports, at in ((("n-50-jack", "bnc-50-jack"), "Antenna"), (("bnc-50-jack", "n-50-jack"), "Reader")):
            told = shown(phone, reader=ports[0], antenna=ports[1], **run)
            assert told.count("The name is open: it may also be BNC jack 75 ohm") == 1
            other = [one.replace("bnc-50", "bnc-75") for one in ports]
            named, others = by_class(desk(*ports, "10m", 25.4)), by_class(desk(other[0], other[1], "10m", 25.4))
            fallen = [name for name, one in named.items() if one.meets and not others[name].meets]
            assert fallen
            for name in fallen:
                assert "✓" not in of_class(phone, name)
                short = 25.4 - (30.0 - others[name].assembly.loss.worst_db)
                sentence = f"With BNC jack 75 ohm ({at}'s port) instead it is short by {short:.2f} dB at worst."
                assert sentence in of_class(phone, name)
            assert_ordered_by_the_first_tick(phone, "bnc-50-jack")
        told = shown(phone, reader="bnc-50-jack", antenna="bnc-50-jack", **run)
        assert told.count("The name is open") == 2
        assert "With BNC jack 75 ohm (Reader's port) and BNC jack 75 ohm (Antenna's port) instead" in told
    phone.run("changeSite(() => [])")
    assert "The name is open" not in shown(phone, reader="bnc-50-jack", antenna="n-50-jack", **run)


WORN = """{coupling: {saw: 'thread-outside'}, centre: {saw: 'socket'}, plastic: {saw: 'level'}, size: {saw: 'pencil'},
  'coupling-diameter': {read: 6.0, off: 0.03, typed: '6.00'}}"""
SITE = """[site]
name = "Gate"
region = "us"
[[reader]]
id = "R1"
port = "{port}"
[[antenna]]
id = "A1"
reader = "R1"
port = "n-50-jack"
length = "5m"
"""


@pytest.mark.needs("chromium")
def test_what_is_told_worn_or_clashes_is_said_before_the_row_and_nothing_is_ordered_for_what_is_worn(
    phone: Phone, file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh(phone, file)
    phone.run(f"port = port.in({{answers: {WORN}}}); state.run = {{}}")
    assert phone.run("[port.settled, port.worn.length, port.clash !== null]") == [True, 1, True]
    saved = json.dumps(phone.run("port.record()"))
    phone.run("go('name')")
    assert "To order" not in phone.text(".named")
    assert "To order" not in phone.run("message()")
    for collected in (False, True):
        if collected:
            phone.run("addToSite(); changeSite((site) => site.map((one) => ({...one, takes: 'sma-plug'})))")
            assert "takes =" not in phone.run("portsToml()"), "not even where an older page kept it"
            assert "sma-plug" not in phone.run("portsCsv()")
        run = {"antenna": "n-50-jack", "length": "3m", "power": "30", "want": "28"}
        told = shown(phone, **run, **({"reader": "sma-jack"} if collected else {}))
        before = told[: told.index("Length, such as")]
        assert "Worn or not standard, by coupling diameter: do not mate it, it spoils the next part." in before
        assert "look once more before you order: coupling diameter" in before
        assert "Reader's port: nothing is ordered for it until that is cleared up" in before
        assert "dBm arrive" in told
        assert "✓ as wanted" not in told
        assert "Ends:" not in told
    assert "✓ as wanted" in shown(phone, reader="n-50-jack", **run)

    (tmp_path / "port.json").write_text(saved)
    for more in ([], ["--why"]):
        assert main(["cable", str(tmp_path / "port.json"), "n-50-jack", "--length", "5m", *more]) == 3
        told = " ".join(capsys.readouterr().out.split())
        assert told.startswith("Worn or not made to standard, reader port, port.json (coupling-diameter): do not mate")
        assert "The answers of the reader port clash; look once more before you order." in told
        assert "To order:" not in told
    (tmp_path / "site.toml").write_text(SITE.format(port="port.json"))
    assert main(["plan", str(tmp_path / "site.toml"), "-o", str(tmp_path / "plan.html")]) == 3
    said = " ".join(capsys.readouterr().err.split())
    assert "R1 to A1: Worn or not made to standard, reader port" in said
    assert "R1 to A1: The answers of the reader port clash" in said
    page = (tmp_path / "plan.html").read_text()
    assert "do not mate it, it spoils the next part" in page
    assert "look once more before you order" in page


@pytest.mark.needs("chromium")
def test_what_looks_like_a_port_for_high_voltage_is_cautioned_and_nothing_is_ordered_for_one_that_may_be(
    phone: Phone, file: str
) -> None:
    """Whether the port stands on the screen or in the site, and picked by hand at either end."""
    fresh(phone, file)
    run = {"length": "3m", "power": "30", "want": "26"}
    told = shown(phone, reader="bnc-50-jack", antenna="n-50-jack", **run)
    assert told.count("may carry kilovolts") == 1
    assert "✓ as wanted" in told
    assert "kilovolts" not in shown(phone, reader="n-50-jack", antenna="sma-jack", **run)
    for collected in (False, True):
        phone.run(f"port = port.in({OPEN}).in({{terms: ['high-voltage']}}); state.run = {{}}")
        if collected:
            phone.run("addToSite()")
        for half in ("bnc-50-jack", "bnc-75-jack"):
            for ports in ((half, "n-50-jack"), ("n-50-jack", half)):
                told = shown(phone, reader=ports[0], antenna=ports[1], **run)
                assert "Touch and join nothing" in told[: told.index("Length, such as")]
                assert "nothing is ordered for it" in told
                assert "✓ as wanted" not in told
                assert "Ends:" not in told
        told = shown(phone, reader="n-50-jack", antenna="sma-jack", **run)
        assert "✓ as wanted" in told, "another port can be ordered for all the same"
