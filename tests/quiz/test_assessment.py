"""The whole assessment: drawn from its blueprint, stopped by two tests, resumed from its log, taken by people."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from itertools import islice
from random import Random

import numpy as np
import pytest

from coaxtell.models.errors import InputError
from coaxtell.quiz import everyday, items
from coaxtell.quiz.assessment import BARS, Assessment, replayed
from coaxtell.quiz.blueprint import APART, Blueprint, Part, blueprint, draws
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered, Mode, Started, answered
from coaxtell.quiz.sequential import Decision, operating
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.terms import drawn_from, error_rates, supports
from tests.halves import all_halves, half
from tests.quiz.kill import START
from tests.quiz.people import Answerer, Steady

SITE = {"rp-tnc-jack": 4, "tnc-jack": 1, "n-50-jack": 2, "sma-jack": 1, "rp-sma-jack": 1}


@cache
def stock() -> Stock:
    return Stock(all_halves())


@cache
def plan(site: bool = True) -> Blueprint:
    return blueprint(stock(), SITE if site else None)


def drawn(part: Part, seed: int, number: int) -> list[Task]:
    return list(islice(draws(plan(), part, seed), number))


def test_draws_depend_on_the_seed_alone_and_never_repeat_within_ten() -> None:
    for part in Part:
        assert drawn(part, 3, 400) == drawn(part, 3, 400)
        assert drawn(part, 3, 50) != drawn(part, 4, 50)
        keys = [task.key for task in drawn(part, 3, 400)]
        for place, key in enumerate(keys):
            assert key not in keys[max(0, place - APART) : place]


def test_the_sequence_shown_never_repeats_within_ten_either() -> None:
    for seed in range(20):
        state, shown, rng = Assessment(plan(), seed), [], Random(seed)
        while (asked := state.ask()) is not None:
            shown.append(asked[1].key)
            state = state.tell(rng.random() < 0.93)
        for place, key in enumerate(shown):
            assert key not in shown[max(0, place - APART) : place]


def test_classes_and_blueprint() -> None:
    parts = plan().parts
    harm = {t for g in parts[Part.HARMFUL] for t in g.tasks}
    ordinary = {t for g in parts[Part.ORDINARY] for t in g.tasks}
    assert harm
    assert all(items.harmful(stock(), task) for task in harm)
    assert not any(items.harmful(stock(), task) for task in ordinary)
    assert all({task.a, task.b} & set(SITE) for task in ordinary)
    assert any("rp-tnc-jack (4)" in line for line in drawn_from(plan()))


def test_items_are_drawn_as_their_ports_are_met() -> None:
    # the site has four times as many RP-TNC ports as SMA ports; without a list rare families hardly come
    for part in Part:
        tasks = drawn(part, 7, 6000)
        many, one = (sum(port in (t.a, t.b) for t in tasks) for port in ("rp-tnc-jack", "sma-jack"))
        assert many > one
    task = Task("name", "rp-tnc-jack", "bnc-50-jack")
    assert everyday.weight(stock(), task, SITE) == 4 * everyday.weight(stock(), task, {**SITE, "rp-tnc-jack": 1})
    assert everyday.weight(stock(), task, {"sma-jack": 1}) == 0
    open_plan = plan(site=False)
    assert open_plan.ports == {}
    assert "No port list" in drawn_from(open_plan)[0]
    # identifier/priors.toml gives RP-TNC the most at readers and antennas; the share is stated with the rest
    assert re.search(r"assumed shares: RP-TNC [23]\d%, SMA", drawn_from(open_plan)[0])
    families = [half(t.a).family for t in islice(draws(open_plan, Part.ORDINARY, 3), 6000)]
    often = sum(f in ("SMA", "RP-SMA", "TNC", "RP-TNC", "N", "BNC") for f in families)
    assert 0.6 < often / len(families) < 0.98


def test_nothing_but_the_stop_depends_on_the_answers() -> None:
    # Two people with different answers get the same items of a class, in the same order, as long as both go on.
    for seed in range(10):
        runs = []
        for rate in (0.9, 0.97):
            state, rng, seen = Assessment(plan(), seed), Random(rate), {part: [] for part in Part}  # type: ignore[var-annotated]
            while (asked := state.ask()) is not None:
                seen[asked[0]].append(asked[1])
                state = state.tell(rng.random() < rate)
            runs.append(seen)
        for part in Part:
            shorter = min(len(run[part]) for run in runs)
            assert shorter > 0
            assert runs[0][part][:shorter] == runs[1][part][:shorter]


def test_asking_twice_and_telling_leave_the_old_state_alone() -> None:
    state = Assessment(plan(), 1)
    first = state.ask()
    later = state.tell(True)
    assert state.ask() == first
    assert later.told == 1
    assert state.told == 0
    assert state.item(stock()) == state.item(stock())


def start(seed: int = 5, fingerprint: str = "") -> Started:
    return Started(
        id="s",
        time=START,
        person="Ana",
        mode=Mode.ASSESSMENT,
        seed=seed,
        ports=SITE,
        blueprint=fingerprint or plan().fingerprint,
    )


def log_of(number: int, rate: float = 0.95) -> tuple[Assessment, list[Answered]]:
    state, rng, told = Assessment(plan(), 5), Random(2), []
    for place in range(1, number + 1):
        item = state.item(stock())
        assert item is not None
        correct = rng.random() < rate
        wrong = next(option.id for option in item.options if option.id != item.right)
        told.append(
            answered(
                item,
                item.right if correct else wrong,
                0.8,
                event_id=f"e{place}",
                time=START,
                person="Ana",
                sitting="s",
                number=place,
            )
        )
        state = state.tell(correct)
    return state, told


@pytest.mark.parametrize("number", [0, 1, 17, 40])
def test_a_pause_changes_nothing(number: int) -> None:
    state, told = log_of(number)
    again = replayed(plan(), start(), reversed(told))
    assert again is not None
    assert again.result() == state.result()
    assert again.ask() == state.ask()
    assert again.item(stock()) == state.item(stock())


def test_changed_tables_or_answers_are_told_not_guessed() -> None:
    _, told = log_of(5)
    assert replayed(plan(), start(fingerprint="other"), told) is None
    assert replayed(plan(), start(seed=6), told) is None


def test_too_few_ports_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    two = Stock({key: all_halves()[key] for key in ("sma-plug", "sma-jack")})
    with pytest.raises(InputError, match="only"):
        blueprint(two, {"sma-jack": 1})


def test_undecided_is_never_forced() -> None:
    state = Assessment(plan(), 9)
    assert state.result().verdict is Decision.UNDECIDED
    for _ in range(30):
        state = state.tell(True)
    assert state.result().verdict is Decision.UNDECIDED
    told = state.told
    while state.ask() is not None:
        state = state.tell(True)
    # 27 and 32 right in a row are the fewest that pass: log(95) / log(0.95 / 0.80) and log(95) / log(0.98 / 0.85)
    assert state.told == 27 + 32 > told
    assert state.verdict is Decision.READY
    with pytest.raises(ValueError, match="stands"):
        state.tell(True)


def taken(person: object, seed: int) -> tuple[Decision, dict[Part, int], dict[Part, Decision]]:
    state = Assessment(plan(), seed)
    while (asked := state.ask()) is not None:
        state = state.tell(person.answers(asked[1].key))  # type: ignore[attr-defined]
    counts = {part: count.right + count.wrong for part, count in state.counts.items()}
    return state.verdict, counts, {part: state.decision(part) for part in Part}


def shares(part: Part) -> list[tuple[str, float]]:
    """How often each item comes, from a long draw."""
    return [(key, float(n)) for key, n in Counter(task.key for task in drawn(part, 99, 30_000)).items()]


def test_people_with_easy_and_hard_items_through_the_whole_engine(capsys: pytest.CaptureFixture[str]) -> None:
    # Birnbaum's people: each item has its own difficulty, the mean over the blueprint is the rate that counts.
    people = 700
    lines = ["people        rate  ordinary passes  items  harmful passes  items"]
    for kind in ("steady", "Birnbaum"):
        for level in ("low", "high"):
            rng = Random(f"{kind}{level}")
            rates = {part: bar.low if level == "low" else bar.high for part, bar in BARS.items()}
            persons = {
                part: Steady(rate, rng) if kind == "steady" else Answerer.of_rate(rate, shares(part), 0.2, rng)
                for part, rate in rates.items()
            }
            passes = dict.fromkeys(Part, 0)
            lengths: dict[Part, list[int]] = {part: [] for part in Part}
            for seed in range(people):
                # each class is run on its own here, so that the stop of one does not hide the other
                for part in Part:
                    sequence = draws(plan(), part, seed)
                    right = wrong = 0
                    while BARS[part].decide(right, wrong) is Decision.UNDECIDED:
                        if persons[part].answers(next(sequence).key):
                            right += 1
                        else:
                            wrong += 1
                    passes[part] += BARS[part].decide(right, wrong) is Decision.READY
                    lengths[part].append(right + wrong)
            row = [f"{kind:<12}"]
            for part in Part:
                exact = operating(BARS[part], rates[part])
                share = passes[part] / people
                row.append(f"{rates[part]:.2f} {share:>9.2%} {np.mean(lengths[part]):>9.1f}")
                room = 3 * (0.0098 / people) ** 0.5 if level == "low" else 3 * (0.03 / people) ** 0.5
                if level == "low":
                    assert share <= BARS[part].false_pass + room
                else:
                    assert 1 - share <= BARS[part].false_fail + room
                assert np.mean(lengths[part]) == pytest.approx(exact.mean_items, rel=0.10)
            lines.append("  ".join(row))
    with capsys.disabled():
        print("\n" + "\n".join(lines))


def test_both_classes_together() -> None:
    results = [taken(Steady(0.99, Random(seed)), seed) for seed in range(60)]
    verdicts = Counter(verdict for verdict, _, _ in results)
    assert verdicts[Decision.READY] > 50
    low = [taken(Steady(0.7, Random(seed)), seed)[0] for seed in range(60)]
    assert set(low) == {Decision.NOT_YET}


def test_error_rates_are_stated() -> None:
    said = " ".join(error_rates())
    assert "0.96%" in said
    assert "2.97%" in said
    assert "25 and 47 items" in said
    assert "supervised practice" in supports()
