"""The choice against all there is: 2,000 random runs, each class worked out anew with sums of their own.

The sums here share the tables with the program and nothing else: loss, plus-minus, settings and ends are written out
again from the formulas of the facts sheets, so that a slip in the engine does not hide itself.
"""

from __future__ import annotations

import math
from random import Random

import pytest
from msgspec.structs import replace

from coaxtell.cables.answer import answer
from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import end_key
from coaxtell.cables.limits import Legal
from coaxtell.cables.power import PowerRange
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.run import Run
from coaxtell.cables.target import Aim
from coaxtell.cables.units import Gain, GainUnit
from coaxtell.models.half import Half
from tests.cables.kit import cable_tables, choice, matings, on_class, run
from tests.halves import all_halves

RUNS = 2000
PORTS = ("n-50-jack", "rp-tnc-jack", "sma-jack", "rp-sma-jack", "tnc-jack", "bnc-50-jack", "7-16-jack", "mmcx-jack",
         "uhf-jack", "n-75-jack", "4.3-10-jack", "f-jack", "mcx-jack", "n-50-plug")  # fmt: skip


def random_run(rng: Random) -> Run:
    region = rng.choice(("us", "eu-lower", "eu-upper"))
    gain = Gain(rng.choice((2.0, 5.0, 6.0, 8.5, 9.0, 12.0)), rng.choice(tuple(GainUnit)))
    low = rng.choice((5.0, 10.0, 20.0))
    step = rng.choice((0.1, 0.25, 0.5, 1.0))
    power = PowerRange(low, low + step * rng.randrange(1, 1 + int(26 / step)), step)
    want = rng.choice((None, None, 18.0, 22.0, 24.0, 27.0, 29.0))
    return replace(
        run(rng.choice(PORTS), rng.choice(PORTS), "1m", region),
        length_m=round(math.exp(rng.uniform(math.log(0.3), math.log(45))), 2),
        gain=rng.choice((gain, gain, gain, None)),
        power=rng.choice((power, power, None)),
        want_dbm=want,
        budget_db=None if want is not None else rng.choice((None, 1.0, 2.0, 5.0)),
        channels=rng.choice((50, 50, 25)),
        temperature_c=rng.choice((25.0, 25.0, -20.0, 45.0)),
        bend_mm=rng.choice((None, None, 10.0, 25.0, 60.0)),
        outdoor=rng.random() < 0.4,
        riser=rng.random() < 0.2,
        service_loop_m=rng.choice((0.0, 0.5)),
    )


def highest_by_hand(asked: Run, least_cable_db: float) -> float:
    """The highest setting within the limits [dBm], from the clauses: by the letter, else by radiated power."""
    gain = asked.gain or Gain(6.0, GainUnit.DBI)
    dbi = gain.value + (2.15 if gain.unit is GainUnit.DBD else 0)
    if asked.region.conducted:
        return (30.0 if asked.channels >= 50 else 10 * math.log10(250)) - max(0.0, dbi - 6)
    linear = dbi - (3.0 if gain.unit is GainUnit.DBIC else 0)
    erp = {"eu-lower": 10 * math.log10(2000), "eu-upper": 10 * math.log10(4000)}
    key = next(key for key, region in cable_tables().regions.items() if region is asked.region)
    return erp[key] + 2.15 - linear + least_cable_db


def setting_by_hand(asked: Run, highest: float) -> float | None:
    reader = asked.power or cable_tables().usual_reader
    steps = round((reader.highest_dbm - reader.lowest_dbm) / reader.step_db)
    offered = [round(reader.highest_dbm - n * reader.step_db, 6) for n in range(steps + 1)]
    return max((s for s in offered if s <= highest + 1e-6 and s >= reader.lowest_dbm - 1e-6), default=None)


def own_ends(asked: Run, cable: CableClass) -> bool:
    """Whether the class is sold with an end for either port, without adapters."""

    def end(port: Half) -> bool:
        fitting = [h for h in all_halves().values() if matings().joint(port, h) is not None]
        ohm = cable.impedance.nominal
        return any(end_key(h) in cable.ends and h.impedance_ohm in (None, ohm) for h in fitting)

    return end(asked.reader) and end(asked.antenna)


def jacket_serves(asked: Run, cable: CableClass) -> bool:
    kinds = [cable_tables().practice.jackets[key] for key in cable.jackets]
    return any((k.outdoor or not asked.outdoor) and (k.riser or not asked.riser) for k in kinds)


def cable_by_hand(asked: Run, cable: CableClass) -> tuple[float, float, float]:
    """Loss of the cable alone, what it surely loses and what it may lose [dB], from k1 and k2 or the printed rows."""
    f, figures = asked.frequency_mhz, cable_tables().joints
    if cable.k1 is not None and cable.k2 is not None:
        per_100ft = cable.k1.nominal * math.sqrt(f) + cable.k2.nominal * f
    else:
        rows = [(r.mhz, r.loss.nominal) for r in cable.rows if not r.maximum] or [
            (r.mhz, r.loss.nominal) for r in cable.rows
        ]
        low = max((r for r in rows[:-1] if r[0] <= f), default=rows[0])
        high = rows[rows.index(low) + 1]
        share = math.log(f / low[0]) / math.log(high[0] / low[0])
        per_100ft = math.exp((1 - share) * math.log(low[1]) + share * math.log(high[1]))
    metres = asked.length_m + asked.service_loop_m
    printed = per_100ft * metres / 30.48
    warm = figures.temperature
    loss = printed * (1 + warm.nominal / 100 * (asked.temperature_c - 25))
    maxima = cable.k1 is None and all(r.maximum for r in cable.rows)
    least = loss / 1.54 if maxima else loss
    spread = loss - least if maxima else 0.05 * loss
    return loss, least, loss + spread + printed * abs(asked.temperature_c - 25) * (warm.high - warm.low) / 200


def worst_by_hand(asked: Run, ranked: Ranked) -> float:
    """What a class loses at worst [dB]; joints, adapters and mismatch have tests of their own."""
    # test_against_scikit_rf.py
    loss = ranked.assembly.loss
    return cable_by_hand(asked, ranked.assembly.cable)[2] + loss.worst_db - loss.worst_cable_db


def target_by_hand(asked: Run, found: Choice) -> tuple[Aim, float]:
    """What the run has to bring, as README and help promise it: the power wanted [dBm], else a loss [dB]."""
    if asked.want_dbm is not None:
        return Aim.WANT, asked.want_dbm
    if asked.budget_db is not None:
        return Aim.BUDGET, asked.budget_db
    reader = asked.power or cable_tables().usual_reader
    top = setting_by_hand(asked, highest_by_hand(asked, 1000.0))
    most = (reader.lowest_dbm if top is None else top) - highest_by_hand(asked, 0.0)
    served = any(r.assembly.buildable and worst_by_hand(asked, r) <= most + 0.005 for r in found.ranked)
    return (Aim.LIMIT, most) if served else (Aim.USUAL, 3.0)


def held_by_loss(asked: Run, found: Choice) -> bool:
    """Whether some class that can be built breaks the limits, so that others keep them only by losing more."""
    cables = [r.assembly.cable for r in found.ranked if r.assembly.buildable]
    highest = [highest_by_hand(asked, cable_by_hand(asked, cable)[1]) for cable in cables]
    return any(setting_by_hand(asked, most) is None for most in highest)


def meets_by_hand(asked: Run, target: tuple[Aim, float], ranked: Ranked) -> bool:
    """Whether a class meets target, limit, bend and jacket by the sums of this file."""
    cable = ranked.assembly.cable
    loss, least, _ = cable_by_hand(asked, cable)
    setting = setting_by_hand(asked, highest_by_hand(asked, least))
    assert ranked.assembly.loss.cable_db == pytest.approx(loss, abs=1e-6)
    if setting is None:
        return False
    if asked.bend_mm is not None and asked.bend_mm < cable.bend_once.nominal:
        return False
    if not jacket_serves(asked, cable):
        return False
    aim, figure = target
    worst = worst_by_hand(asked, ranked)
    return setting - worst >= figure - 0.005 if aim is Aim.WANT else worst <= figure + 0.005


@pytest.fixture(scope="module")
def chosen() -> list[tuple[Run, Choice]]:
    rng = Random(13)
    return [(asked, choice(asked)) for asked in (random_run(rng) for _ in range(RUNS))]


def test_the_target_is_what_was_asked_for(chosen: list[tuple[Run, Choice]]) -> None:
    for asked, found in chosen:
        aim, figure = target_by_hand(asked, found)
        assert found.target.aim is aim, asked
        said = found.target.want_dbm if aim is Aim.WANT else found.target.most_db
        assert said == pytest.approx(figure, abs=1e-6), asked


def test_no_thinner_class_meets_the_run(chosen: list[tuple[Run, Choice]]) -> None:
    met = 0
    for asked, found in chosen:
        first, target = found.ranked[0], target_by_hand(asked, found)
        serving = [
            r for r in found.ranked
            if own_ends(asked, r.assembly.cable) and meets_by_hand(asked, target, r)
            and not r.assembly.not_buildable and not r.assembly.not_sensible
        ]  # fmt: skip
        if not serving or held_by_loss(asked, found):
            continue
        met += 1
        assert first.meets, (asked, first)
        assert meets_by_hand(asked, target, first), (asked, first)
        thinnest = min(r.assembly.cable.diameter.nominal for r in serving)
        assert first.assembly.cable.diameter.nominal == thinnest, (asked, first.assembly.cable.name)
        assert not first.assembly.adapter_count
    assert met > 250, met


def test_nothing_is_ordered_as_meeting_what_it_misses(chosen: list[tuple[Run, Choice]]) -> None:
    # heading, target and status of the command follow `meets`
    short, strong = 0, 0
    for asked, found in chosen:
        target = target_by_hand(asked, found)
        for ranked in found.ranked:
            meets = ranked.assembly.buildable and meets_by_hand(asked, target, ranked)
            assert ranked.meets is (meets and not held_by_loss(asked, found)), (asked, ranked)
        if found.first is None:
            strong += held_by_loss(asked, found)
            continue
        told = answer(found, found.first, cable_tables()).heading.code
        short += told != "screen.order"
        assert (told == "screen.order") is meets_by_hand(asked, target, found.first), asked
    assert short > 100, short
    assert strong > 5, strong


def test_no_setting_above_reader_limit_or_step(chosen: list[tuple[Run, Choice]]) -> None:
    for asked, found in chosen:
        reader = asked.power or cable_tables().usual_reader
        for ranked in found.ranked:
            a = ranked.assembly
            steps = (reader.highest_dbm - a.power_dbm) / reader.step_db
            assert reader.lowest_dbm - 1e-6 <= a.power_dbm <= reader.highest_dbm
            assert steps == pytest.approx(round(steps), abs=1e-4)
            highest = highest_by_hand(asked, cable_by_hand(asked, a.cable)[1])
            setting = setting_by_hand(asked, highest)
            if setting is None:
                assert a.power_dbm == reader.lowest_dbm
                assert not ranked.orderable, (asked, a.cable.name)
            else:
                assert a.power_dbm <= highest + 0.005, (asked, a.cable.name)
                assert a.power_dbm == pytest.approx(setting, abs=1e-6)


def test_one_that_misses_never_stands_above_one_that_meets(chosen: list[tuple[Run, Choice]]) -> None:
    for _, found in chosen:
        order = [r.meets for r in found.ranked]
        assert order == sorted(order, reverse=True)
        for ranked in found.ranked:
            if ranked.assembly.buildable and not ranked.meets:
                over = ("why.over_limit", "why.by_grant", "why.by_loss")
                code = ranked.reasons[0].code
                assert code in over if ranked.too_strong else code == "why.missed", code


def test_an_adapter_stands_behind_a_cable_with_its_own_ends(chosen: list[tuple[Run, Choice]]) -> None:
    for _, found in chosen:
        adapters = [r.assembly.adapter_count for r in found.ranked if r.meets]
        assert adapters == sorted(adapters)


def test_a_class_reaches_as_far_as_it_says(chosen: list[tuple[Run, Choice]]) -> None:
    checked = 0
    for asked, found in chosen[:300]:
        if found.target.aim in (Aim.USUAL, Aim.LIMIT):
            continue
        for ranked in found.ranked:
            if not 1 < ranked.reach_m < 100 or ranked.assembly.legal is Legal.NO:
                continue
            at = [ranked.reach_m + more - asked.service_loop_m for more in (-0.1, 0.1)]
            inside, outside = (on_class(replace(asked, length_m=m), ranked.assembly.cable.name) for m in at)
            assert found.target.miss_db(outside) > 0
            if inside.power_dbm == highest_setting(asked, found):
                assert found.target.miss_db(inside) == 0
                checked += 1
    assert checked > 100


def highest_setting(asked: Run, found: Choice) -> float | None:
    """The reader's highest setting with any length of cable: where the limit turns it further down, less arrives."""
    return setting_by_hand(asked, highest_by_hand(asked, 1000.0))
