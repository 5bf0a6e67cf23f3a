"""Which assembly comes first, why, and what never changes it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from coaxtell.cables import units
from coaxtell.cables.answer import alternatives, answer
from coaxtell.cables.assembly import work_out
from coaxtell.cables.limits import Legal
from coaxtell.cables.pieces import Inline, InlineKind
from coaxtell.cables.power import PowerRange
from coaxtell.cables.prices import Prices
from coaxtell.cables.ranking import Preference, choose, place, rank
from coaxtell.cables.target import Aim
from coaxtell.cables.words import say
from coaxtell.models.errors import InputError
from tests.cables.kit import cable_tables, choice, matings, names, on_class, run

CLASSES = cable_tables().classes
KNOWN = sorted(name for name, cable in CLASSES.items() if cable.loss_known)
PORTS = st.sampled_from(
    ["rp-tnc-jack", "n-50-jack", "sma-jack", "rp-sma-jack", "tnc-jack", "7-16-jack", "bnc-50-jack", "n-75-jack"]
)


def test_the_least_lossy_with_its_own_ends_comes_first() -> None:
    # Common practice: of 195, 240 and 400 the thickest loses least; 600 has no RP-TNC end, so it needs an
    # adapter and stands behind all that need none.
    found = names(choice(run(), Preference.LEAST_LOSS))
    assert found[0] == "400"
    assert found.index("400") < found.index("600") < found.index("240") < found.index("195")


def test_unknown_losses_are_listed_and_never_ranked() -> None:
    found = choice(run())
    assert not {"300", "RG-174", "RG-316"} & set(names(found))
    assert {n.name for n in found.not_ranked} == {"300", "RG-174", "RG-316"}
    assert all("loss: unknown" in say(n.reason) for n in found.not_ranked)


def test_the_shortest_that_reaches_is_the_first_advice() -> None:
    found = choice(run())
    assert "shortest" in say(found.advice[0])
    assert "common practice" in say(found.advice[0])
    losses = [on_class(run(length=f"{m}m"), "240").loss.total_db for m in (1, 2, 5, 10, 30)]
    assert losses == sorted(losses)


def test_single_assemblies_end_at_about_30_m() -> None:
    # Common practice, no source: sold to about 100 ft.
    for length, said in (("30m", False), ("31m", True), ("100ft", False), ("101ft", True)):
        found = choice(run(length=length))
        assert any("single assemblies are sold, about 30 m" in say(caution) for caution in found.cautions) is said
        for ranked in found.ranked:
            assert any("sold to about 30 m" in say(r) for r in ranked.assembly.not_sensible) is said


def test_bend_and_diameter_against_the_route() -> None:
    found = choice(run(bend_mm=22))
    by_name = {r.assembly.cable.name: r for r in found.ranked}
    # 400 wants 25.4 mm once (one sheet), 240 wants 19 mm once and 64 mm repeated (memory).
    assert not by_name["400"].assembly.buildable
    assert say(by_name["400"].reasons[0]).startswith("not buildable: the route bends to 22 mm")
    assert by_name["240"].assembly.buildable
    assert any("once" in say(reason) and "64 mm" in say(reason) for reason in by_name["240"].reasons)
    assert names(found)[0] == "240"


def test_a_thick_cable_on_a_small_port_wants_a_jumper() -> None:
    found = on_class(run(antenna="sma-jack"), "400")
    assert found.buildable
    assert any("short flexible jumper" in say(reason) for reason in found.not_sensible)
    assert found.parts == 2
    assert not on_class(run(antenna="sma-jack"), "240").not_sensible
    assert names(choice(run(antenna="sma-jack", budget_db=9.0), Preference.LEAST_LOSS))[0] == "240"


def test_jackets() -> None:
    found = choice(run(outdoor=True))
    by_name = {r.assembly.cable.name: r.assembly for r in found.ranked}
    assert by_name["400"].jacket == "pe"
    assert not by_name["RG-58"].buildable
    assert on_class(run(riser=True), "240").jacket == "riser"
    assert not on_class(run(riser=True), "100").buildable


def test_power_over_the_rating_is_not_buildable() -> None:
    # 240 carries 260 W at 900 MHz (maker's sheet); 500 W is more, and never legal here either.
    found = on_class(run(power_dbm=units.power_dbm("500W")), "240")
    assert any("more than the 258 W" in say(reason) for reason in found.not_buildable)
    assert found.legal is Legal.NO


def test_reach_under_a_wish() -> None:
    # 27.5 dBm set, 24 wanted: 3.5 dB may go. Joints 2 x 0.05 and the antenna's reflection at 14 dB: 10^-1.4 = 0.0398,
    # -10 log10(1 - 0.0398) = 0.1764 dB. Plus-minus beside the cable: joints 2 x (0.12 - 0.02) / 2 = 0.1; an antenna of
    # 10 dB, -10 log10(1 - 0.1) - 0.1764 = 0.2812; two reflections of 18 and 14 dB, -20 log10(1 - 0.1259 x 0.1995) =
    # 0.2210. So 3.5 - 0.1 - 0.1764 - 0.1 - 0.2812 - 0.2210 = 2.6214 dB of cable, 5 % of spread in it: 0.25015 x 1.05
    # = 0.26266 dB/m for 240, 9.980 m.
    found = choice(run(want_dbm=24.0))
    reach = {r.assembly.cable.name: r.reach_m for r in found.ranked}
    assert reach["240"] == pytest.approx(9.980, abs=0.01)
    for length, meets in (("9.9m", True), ("10.1m", False)):
        (asked,) = [r for r in choice(run(want_dbm=24.0, length=length)).ranked if r.assembly.cable.name == "240"]
        assert asked.meets is meets
    assert "short of 24 dBm by 0.03 dB at worst: it serves to 10.0 m" in say(asked.reasons[0])
    (longest,) = [said for a in found.advice if "each class serves" in (said := say(a))]
    assert "class 240 10.0 m" in longest


def test_a_wish_beyond_any_cable_stays_the_target_and_none_meets_it() -> None:
    # 27.5 dBm is all that the letter allows with 8.5 dBi.
    found = choice(run(want_dbm=28.0, length="1m"))
    assert (found.target.aim, found.target.beyond_any, found.target.want_dbm) == (Aim.WANT, True, 28.0)
    # the thinnest within the usual loss comes first, and nothing is called met
    assert names(found)[0] == "200"
    assert not any(ranked.meets for ranked in found.ranked)
    assert found.first is not None
    told = answer(found, found.first, cable_tables())
    assert say(told.heading).startswith("Nothing meets it")
    assert "short of 28 dBm by" in say(told.why)
    assert any("No cable brings 28 dBm" in say(caution) for caution in found.cautions)


def test_the_legal_limit_is_the_target_where_the_reader_brings_it() -> None:
    # Europe, 2 W e.r.p. = 35.16 dBm EIRP, 6 dBi: 29.16 dBm at the antenna; of 31.5 dBm 2.34 dB may go.
    found = choice(run(region="eu-lower", gain="6dBi", length="2m"))
    assert found.target.aim is Aim.LIMIT
    assert found.target.most_db == pytest.approx(31.5 - 29.16, abs=0.005)
    # Where no class brings it, the usual loss is taken.
    assert choice(run(region="eu-lower", gain="6dBi", length="30m")).target.aim is Aim.USUAL
    # In the United States the port's own limit leaves nothing for the cable.
    assert choice(run(gain="6dBi", length="2m")).target.aim is Aim.USUAL


def test_each_class_stands_at_its_own_legal_setting() -> None:
    # Where both reach the same radiated limit because the reader is turned down, the thinner comes first.
    found = choice(run(region="eu-lower", gain="6dBi", length="3m", power=PowerRange(10.0, 31.5, 0.25)))
    at = {r.assembly.cable.name: r.assembly for r in found.ranked}
    assert names(found)[0] == "200"
    assert at["200"].power_dbm - at["400"].power_dbm >= 0.5
    assert all(a.legal is Legal.YES for a in at.values())


def test_a_reader_that_cannot_go_low_enough_misses_the_limit() -> None:
    # 30 dBm and 8.5 dBi: 2.5 dB over the letter; by radiated power 240 over 5 m is over too, RG-58 is not.
    found = choice(run(power_dbm=30, length="4m"))
    legal = [r.assembly.legal for r in found.ranked if r.assembly.buildable]
    assert legal == sorted(legal, key=["yes", "by-grant", "no"].index)
    worst = next(r for r in found.ranked if r.assembly.cable.name == "240")
    assert worst.assembly.legal is Legal.NO
    said = say(worst.reasons[0])
    for part in ("over the limits by 2.50 dB", "15.247", "a reader that goes down to 27.50 dBm"):
        assert part in said


def test_no_lossy_cable_is_praised_for_meeting_the_rules() -> None:
    # 9 dBi in Europe: 26.2 dBm and the cable's loss; at 30 dBm 195 keeps that by its loss, 200 and 240 do not.
    found = choice(run(region="eu-lower", gain="9dBi", length="12m", power=PowerRange(30.0, 33.0, 1.0), budget_db=1.0))
    assert found.ranked[0].assembly.cable.name == "195"
    assert any("do not buy a lossy cable for that" in say(caution) for caution in found.cautions)
    assert found.first is None
    assert not any(ranked.meets for ranked in found.ranked)
    lower = choice(run(region="eu-lower", gain="9dBi", length="12m", power=PowerRange(20.0, 33.0, 1.0), budget_db=1.0))
    assert not any("lossy" in say(caution) for caution in lower.cautions)


def test_by_grant_says_who_decides() -> None:
    (ranked,) = [r for r in choice(run(power_dbm=29)).ranked if r.assembly.cable.name == "240"]
    assert ranked.assembly.legal is Legal.BY_GRANT
    assert "grant and local rules decide" in say(ranked.reasons[0])
    assert not ranked.meets
    assert choice(run(power_dbm=29)).first is None


def test_preferences() -> None:
    by_bend = names(choice(run(budget_db=9.0), Preference.TIGHTEST_BEND))
    assert by_bend[0] in ("195", "200")
    assert by_bend.index("200") < by_bend.index("240") < by_bend.index("400")
    with pytest.raises(InputError, match=r"prices\.toml"):
        choice(run(), Preference.LOWEST_PRICE)
    prices = Prices("EUR", {"195": 1.0, "240": 2.0, "400": 3.0}, {"rp-tnc-plug": 4.0, "n-50-plug": 5.0})
    priced = choose(run(budget_db=9.0), matings(), replace(cable_tables(), prices=prices), Preference.LOWEST_PRICE)
    # 10 m x 1 + 4 + 5 = 19; those without a price follow.
    assert [r.assembly.price for r in priced.ranked[:4]] == [19.0, 29.0, 39.0, None]
    assert say(priced.ranked[0].reasons[0]).startswith("19.00 EUR")


def test_safety_is_said() -> None:
    told = " ".join(map(say, choice(run()).cautions))
    for word in ("transmitter", "DC", "lightning", "Never force", "not legal advice", "sheet decides"):
        assert word in told


def test_a_frequency_outside_the_band_is_refused() -> None:
    with pytest.raises(InputError, match="outside United States"):
        choice(run(frequency_mhz=867))


@given(metres=st.floats(0.3, 60), reader=PORTS, antenna=PORTS, bend=st.none() | st.floats(5, 200))
def test_ranking_does_not_change_with_units(metres: float, reader: str, antenna: str, bend: float | None) -> None:
    feet = f"{metres / 0.3048:.12f}ft"
    one = run(reader, antenna, f"{metres:.12f}m", bend_mm=bend, power_dbm=units.power_dbm("27dBm"))
    two = run(reader, antenna, feet, gain="6.35dBd", bend_mm=bend, power_dbm=units.power_dbm("501.18723mW"))
    assert names(choice(one)) == names(choice(two))


@given(
    name=st.sampled_from(["195", "240", "400"]),
    metres=st.floats(0.5, 60),
    antenna=st.sampled_from(["n-50-jack", "rp-tnc-jack", "sma-jack"]),
    power=st.none() | st.floats(15, 33),
    want=st.none() | st.floats(10, 30),
    prefer=st.sampled_from(list(Preference)[:4]),
)
def test_an_adapter_never_lowers_loss_nor_betters_rank(
    name: str, metres: float, antenna: str, power: float | None, want: float | None, prefer: Preference
) -> None:
    # The same cable without the family of its reader end must take an adapter; all else stays.
    cable = CLASSES[name]
    poorer = replace(cable, ends=[end for end in cable.ends if end != "RP-TNC"])
    asked = run(antenna=antenna, length=f"{metres}m", power_dbm=power, want_dbm=want)
    if antenna == "rp-tnc-jack":
        asked = run(antenna="n-50-jack", length=f"{metres}m", power_dbm=power, want_dbm=want)
    plain = work_out(asked, cable, matings(), cable_tables())
    longer = work_out(asked, poorer, matings(), cable_tables())
    assert (plain.adapter_count, longer.adapter_count) == (0, 1)
    assert longer.loss.total_db > plain.loss.total_db
    assert longer.loss.cable_db == plain.loss.cable_db
    assert place(longer, prefer) > place(plain, prefer)
    assert rank([longer, plain], prefer)[0] is plain


def test_an_adapter_is_worse_than_any_number_of_faults_of_sense() -> None:
    # Every adapter is a part that can be lost, work loose or be forced; a fault of sense can be lived with (assumed).
    cable = CLASSES["240"]
    plain = work_out(run(), cable, matings(), cable_tables())
    adapted = work_out(run(), replace(cable, ends=["N"]), matings(), cable_tables())
    assert (plain.adapter_count, adapted.adapter_count) == (0, 1)
    faulty = replace(plain, not_sensible=("heavy", "long", "weak"))
    sensible = replace(adapted, not_sensible=())
    assert rank([sensible, faulty], Preference.LEAST_LOSS) == (faulty, sensible)
    assert rank([faulty, replace(plain, not_sensible=())], Preference.LEAST_LOSS)[1] is faulty


@given(metres=st.floats(0.5, 60), power=st.floats(15, 33))
def test_every_ranked_assembly_is_explained(metres: float, power: float) -> None:
    for ranked in choice(run(length=f"{metres}m", power_dbm=power, bend_mm=30)).ranked:
        assert ranked.reasons[0]
        assert "\n" not in say(ranked.reasons[0])
        if ranked.assembly.legal is Legal.NO and ranked.assembly.buildable:
            assert "over the limits" in say(ranked.reasons[0])
        if not ranked.assembly.buildable:
            assert say(ranked.reasons[0]).startswith("not buildable")


def test_the_usual_loss_leaves_room_for_a_part_that_was_asked_for() -> None:
    # half the power is 10 log10(2) = 3.01 dB: no run with a splitter keeps to 3 dB
    splitter = Inline(InlineKind.SPLITTER, 1.0)
    found = choice(run(length="3m", inline=splitter))
    assert found.target.most_db == pytest.approx(3.0 + cable_tables().joints.splitter_loss.nominal)
    assert found.first is not None
    assert found.first.meets
    assert any("beside the 3.4 dB of the splitter" in say(caution) for caution in found.cautions)


def test_what_a_splitter_surely_takes_is_not_radiated_and_raises_no_setting() -> None:
    plain = on_class(run(length="3m"), "240")
    split = on_class(run(length="3m", inline=Inline(InlineKind.SPLITTER, 1.0)), "240")
    assert split.power_dbm == plain.power_dbm
    assert plain.eirp_dbm - split.eirp_dbm == pytest.approx(3.0103, abs=1e-4)
    assert plain.erp_dbm - split.erp_dbm == pytest.approx(3.0103, abs=1e-4)
    arrestor = on_class(run(length="3m", inline=Inline(InlineKind.ARRESTOR, 1.0)), "240")
    assert arrestor.eirp_dbm == pytest.approx(plain.eirp_dbm)


def test_what_else_would_serve_is_always_told() -> None:
    # half a metre: no thicker class saves a tenth of a dB
    short = alternatives(choice(run(length="50cm", budget_db=3.0)))
    assert [say(one) for one in short]
    for length in ("50cm", "3m", "8m", "20m"):
        found = choice(run("mmcx-jack", "n-50-jack", length, budget_db=9.0))
        if found.first is not None and found.first.meets:
            assert alternatives(found), length
    # 600 has no RP-TNC end, so what it would buy is told with what it needs
    far = choice(run(length="24m", budget_db=4.5))
    assert names(far)[0] == "400"
    assert any("class 600" in (said := say(one)) and "; needs 1 " in said for one in alternatives(far))
