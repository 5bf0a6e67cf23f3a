"""Ends and adapters come out of the matings: change a half and what rested on it is gone."""

import itertools
from types import SimpleNamespace
from typing import cast

import pytest
from msgspec.structs import replace

from coaxtell.cables import adapters
from coaxtell.cables.adapters import shortest_chain
from coaxtell.cables.ends import MATES, Matings, Partner, end_for, end_key, takes
from coaxtell.cables.links import thickest_for
from coaxtell.cables.order import orders
from coaxtell.cables.words import say
from coaxtell.models.half import Half
from coaxtell.models.numbers import replaced
from tests.cables.kit import cable_tables, matings, on_class, quick, run
from tests.halves import all_halves, verdict

CLASSES = cable_tables().classes
EVERYDAY = [
    *("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "tnc-plug", "tnc-jack"),
    *("rp-tnc-plug", "rp-tnc-jack", "n-50-plug", "n-50-jack", "bnc-50-plug", "bnc-50-jack"),
]


@pytest.mark.parametrize("port", EVERYDAY)
def test_the_end_is_the_opposite_half_of_the_same_kind(port: str) -> None:
    # The three rules of the trade (common practice, no source), here out of the matings.
    half = all_halves()[port]
    end = matings().partners(half)[0].half
    assert (end.family, end.polarity) == (half.family, half.polarity)
    assert end.gender != half.gender


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_every_end_truly_mates(name: str) -> None:
    for port in all_halves().values():
        end = end_for(matings(), CLASSES[name], port)
        if end is not None:
            assert verdict(port.id, end.half.id) in ("mates", "mates with limits")
            assert takes(CLASSES[name], end.half)


def test_ends_of_a_class_by_family_and_polarity() -> None:
    # 600 is sold with N and 7/16 alone (from memory, as the table says).
    assert end_for(matings(), CLASSES["600"], all_halves()["n-50-jack"]) is not None
    assert end_for(matings(), CLASSES["600"], all_halves()["sma-jack"]) is None
    # 400 takes TNC and RP-TNC, and these two are not one.
    assert end_key(all_halves()["rp-tnc-plug"]) == "RP-TNC"
    assert end_key(all_halves()["tnc-plug"]) == "TNC"


def test_a_75_ohm_port_gets_no_50_ohm_end_that_would_damage_it() -> None:
    # An N 50 plug damages an N 75 jack (facts sheet on threaded families), so N, which every class takes,
    # serves an N 50 jack and never an N 75 jack.
    port = all_halves()["n-75-jack"]
    for cable in CLASSES.values():
        end = end_for(matings(), cable, port)
        assert end is None
    assert all(p.half.id != "n-50-plug" for p in matings().partners(port))


def test_bnc_75_takes_a_50_ohm_end_with_limits_and_its_mismatch() -> None:
    # Intermate, return loss near 14 dB (facts sheet on bayonet families).
    found = on_class(run(antenna="bnc-75-jack"), "195")
    assert found.ends[1] is not None
    assert found.ends[1].id == "bnc-50-plug"
    plain = on_class(run(antenna="bnc-50-jack"), "195")
    # -10 log10(1 - 0.2^2) = 0.177 dB more.
    assert found.loss.mismatch_db - plain.loss.mismatch_db == pytest.approx(0.177, abs=0.01)
    assert any("mates with limits" in say(note) for note in found.notes)


def test_an_adapter_only_where_no_end_serves() -> None:
    assert on_class(run(), "400").adapter_count == 0
    found = on_class(run(antenna="bnc-50-jack"), "400")
    (adapter,) = found.adapters[1]
    assert (adapter.outer.id, adapter.inner.id) == ("bnc-50-plug", "n-50-jack")
    assert found.ends[1] is not None
    assert found.ends[1].id == "n-50-plug"
    assert any("assumed to be sold" in say(note) for note in found.notes)


@pytest.mark.parametrize("port", ["micro-1-jack", "micro-3-jack", "micro-4-jack"])
@pytest.mark.parametrize("name", sorted(name for name, cable in CLASSES.items() if cable.loss_known))
def test_a_board_port_takes_a_thin_jumper_and_nothing_else(name: str, port: str) -> None:
    # Micro snap plugs are sold for cable of 0.81 to 1.37 mm (facts sheet on snap families): no class is as thin, so
    # what stands on the port is always a jumper, whatever the class.
    found = on_class(run(reader=port, antenna="rp-sma-jack", length="1.5m"), name)
    link = found.links[0][0]
    assert link.outer.id == port.replace("jack", "plug")
    assert link.thickest_mm is not None
    assert link.thickest_mm <= 1.37
    assert any("but a short flexible jumper" in say(note) for note in found.notes)
    assert not any("alone" in say(note) for note in found.notes)
    words = [say(one) for one in orders(found, 915.0, cable_tables())]
    assert sum(line.startswith("Short flexible jumper") for line in words) >= 1
    assert not any("Coaxial adapter. One side: micro snap" in line for line in words)


def test_a_short_run_from_a_board_port_can_be_the_jumper_alone() -> None:
    # Thin jumpers are sold to about half a metre (common practice, no source).
    for length, told in (("30cm", True), ("60cm", False)):
        found = on_class(run(reader="micro-1-jack", antenna="rp-sma-jack", length=length), "195")
        said = [said for note in found.notes if "that jumper alone" in (said := say(note))]
        assert bool(said) is told
        if told:
            assert "micro snap generation I plug to RP-SMA plug" in said[0]


def test_a_jumper_repeats_the_port_where_the_class_has_its_end() -> None:
    # 400 (10.29 mm) is sold with SMA, but hangs too heavily on an SMA port: SMA plug to SMA jack between.
    found = on_class(run(antenna="sma-jack"), "400")
    (link,) = found.links[1]
    assert (link.outer.id, link.inner.id, link.jumper) == ("sma-plug", "sma-jack", True)
    assert found.links[0] == ()
    assert (found.adapter_count, found.parts) == (0, 2)
    assert verdict("sma-jack", link.outer.id) == verdict("sma-plug", link.inner.id) == "mates"
    assert on_class(run(antenna="sma-jack"), "240").links == ((), ())


def test_a_name_in_the_table_holds_for_families_that_begin_with_it() -> None:
    halves, tables = all_halves(), cable_tables()
    limits = {key: thickest_for(halves[key], tables) for key in ("micro-1-jack", "smp-smooth-jack", "tnc-left-jack")}
    assert {key: limit.nominal for key, limit in limits.items() if limit is not None} == {
        "micro-1-jack": 1.37,
        "smp-smooth-jack": 3,
        "tnc-left-jack": 11,
    }
    # A name of its own comes before the shorter one, and a word is never cut.
    third = thickest_for(halves["micro-3-jack"], tables)
    assert third is not None
    assert third.nominal == 0.81
    assert thickest_for(halves["n-50-jack"], tables) is None
    for name in tables.practice.thickest:
        assert any(name in (end_key(h).removeprefix("RP-"), h.family[: len(name)]) for h in halves.values()), name


def test_a_keyed_housing_counts_as_its_kind() -> None:
    # Sold for cables of 2.5 mm and 5 mm, RG-174, RG-316 and RG-58 (facts sheet on snap families).
    for code in "acz":
        port = all_halves()[f"fakra-{code}-jack"]
        assert {name for name, cable in CLASSES.items() if end_for(matings(), cable, port)} == {
            "RG-58",
            "RG-174",
            "RG-316",
        }
        end = end_for(matings(), CLASSES["RG-58"], port)
        assert end is not None
        assert end.half.id == f"fakra-{code}-plug"


def test_a_half_made_for_lower_frequencies_is_told() -> None:
    # UHF is made for 300 MHz at most (facts sheet on threaded families).
    found = on_class(run(antenna="uhf-jack"), "RG-213")
    (said,) = [said for reason in found.not_sensible if "300 MHz" in (said := say(reason))]
    assert said.startswith("UHF jack and UHF plug are made for")
    assert not any("made for" in say(reason) for reason in on_class(run(), "RG-213").not_sensible)


@pytest.mark.parametrize(("name", "port"), list(itertools.product(["100", "240", "600"], ["bnc-50-jack", "uhf-jack"])))
def test_each_joint_of_a_chain_truly_mates(name: str, port: str) -> None:
    chain = shortest_chain(matings(), CLASSES[name], all_halves()[port])
    assert chain is not None
    facing = port
    for adapter in chain.adapters:
        assert verdict(facing, adapter.outer.id) in ("mates", "mates with limits")
        facing = adapter.inner.id
    assert verdict(facing, chain.end.half.id) in ("mates", "mates with limits")


def test_the_chain_is_the_shortest() -> None:
    # Against a plain breadth-first search over the true matings, written here.
    halves = all_halves()
    cable = CLASSES["600"]
    ends = [h for h in halves.values() if takes(cable, h)]
    for port in halves.values():
        frontier, seen, steps = {port.id}, {port.id}, 0
        while frontier and steps <= 3:
            if any(quick(halves[f], e).verdict in ("mates", "mates with limits") for f in frontier for e in ends):
                break
            steps += 1
            outers = {
                o.id for f in frontier for o in halves.values() if quick(halves[f], o).verdict.startswith("mates")
            }
            frontier = {
                i.id
                for o in outers
                for i in halves.values()
                if i.id != o
                and (None in (i.impedance_ohm, halves[o].impedance_ohm) or i.impedance_ohm == halves[o].impedance_ohm)
            } - seen
            seen |= frontier
        chain = shortest_chain(matings(), cable, port)
        if end_for(matings(), cable, port) is None:
            assert (len(chain.adapters) if chain else 9) == (steps if frontier and steps <= 3 else 9), port.id


def without_bnc_mating() -> dict[str, Half]:
    """The halves with the BNC 50 jack's collar grown by 1 mm, so that no sleeve goes over it."""
    halves = dict(all_halves())
    jack = halves["bnc-50-jack"]
    collar = jack.shell.outside[0].d
    assert collar is not None
    halves["bnc-50-jack"] = replaced(jack, ("shell", "outside", 0, "d"), collar.at(collar.nominal + 1))
    return halves


def test_a_mating_removed_by_its_numbers_takes_the_path_with_it() -> None:
    halves = without_bnc_mating()
    changed = Matings(halves, quick)
    port = halves["bnc-50-jack"]
    assert matings().partners(all_halves()["bnc-50-jack"])[0].half.id == "bnc-50-plug"
    assert changed.partners(port) == ()
    assert end_for(changed, CLASSES["195"], port) is None
    assert shortest_chain(changed, CLASSES["400"], port) is None


def test_a_run_to_a_port_that_nothing_mates_with_is_not_buildable() -> None:
    from coaxtell.cables.ranking import choose

    halves = without_bnc_mating()
    asked = replace(run(antenna="bnc-50-jack"), antenna=halves["bnc-50-jack"])
    found = choose(asked, Matings(halves, quick), cable_tables())
    assert found.best is None
    for ranked in found.ranked:
        assert not ranked.assembly.buildable
        assert "not even through adapters" in say(ranked.reasons[0])
        # a port without an end counts one joint all the same, 0.05 dB each
        assert ranked.assembly.loss.joints_db == pytest.approx(0.05 * (2 + ranked.assembly.adapter_count))


def test_no_mating_is_worked_out_before_it_is_asked_for() -> None:
    asked: list[tuple[str, str]] = []

    def counting(a: Half, b: Half) -> object:
        asked.append((a.id, b.id))
        return quick(a, b)

    lazy = Matings(all_halves(), counting)  # type: ignore[arg-type]
    assert asked == []
    port = all_halves()["n-50-jack"]
    assert lazy.partners(port)[0].half.id == "n-50-plug"
    count = len(asked)
    assert count == len(all_halves())
    lazy.partners(port)
    assert len(asked) == count
    assert quick(port, all_halves()["n-50-plug"]).verdict == MATES


@pytest.mark.parametrize(
    ("port", "name", "joints", "adapters", "jumpers"),
    [
        ("sma-jack", "240", 2, 0, 0),
        # 400 has SMA ends and is too heavy for the port: a jumper with a joint of its own
        ("sma-jack", "400", 3, 0, 1),
        # 400 has no RP-SMA ends: the jumper stands in the adapter's place
        ("rp-sma-jack", "400", 3, 0, 1),
    ],
)
def test_a_jumper_loses_what_the_table_says_with_its_joints(
    port: str, name: str, joints: int, adapters: int, jumpers: int
) -> None:
    found = on_class(run(reader=port), name)
    # assumed figures: 0.05 dB a joint, 0.05 an adapter, 0.3 (0.1 to 0.8) a jumper
    assert found.loss.joints_db == pytest.approx(0.05 * joints)
    assert found.loss.adapters_db == pytest.approx(0.05 * adapters)
    assert found.loss.inline_db == pytest.approx(0.3 * jumpers)
    assert sum(link.jumper for side in found.links for link in side) == jumpers


class Ladder:
    """Halves of as many impedances as there are rungs: from one to the next leads one adapter and one joint."""

    def __init__(self, rungs: int) -> None:
        def made(name: str, ohm: int | None) -> Half:
            return cast(Half, SimpleNamespace(id=name, impedance_ohm=ohm, gender="plug", family=name))

        self.port, self.end = made("port", 0), made("end", -1)
        self.rungs = [(made(f"in-{k}", k), made(f"out-{k}", k)) for k in range(1, rungs + 1)]
        self.halves = {one.id: one for pair in self.rungs for one in pair}
        ways = [(self.port, self.rungs[0][0])]
        ways += [(low[1], high[0]) for low, high in itertools.pairwise(self.rungs)]
        self.ways = {one.id: (Partner(two, False, None),) for one, two in ways}

    def partners(self, half: Half) -> tuple[Partner, ...]:
        return self.ways.get(half.id, ())

    def joint(self, inner: Half, end: Half) -> Partner | None:
        return Partner(end, False, None) if inner is self.rungs[-1][1] else None


@pytest.mark.parametrize(("rungs", "found"), [(3, True), (4, False)])
def test_more_than_three_adapters_in_a_row_are_no_advice(
    rungs: int, found: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Assumed: three; the halves that ship never need more than two."""
    ladder = Ladder(rungs)
    monkeypatch.setattr(adapters, "_ends", lambda *_: [ladder.end])
    chain = shortest_chain(cast(Matings, ladder), CLASSES["400"], ladder.port)
    assert (chain is not None and len(chain.adapters) == rungs) is found
