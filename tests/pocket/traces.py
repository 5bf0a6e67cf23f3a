"""Seeded traces of answers, with what the Python engine thinks of every state on the way."""

from __future__ import annotations

import math
import random
from itertools import combinations_with_replacement
from typing import Any

import msgspec
import numpy as np

from coaxtell.identifier import contradiction, identification, instruments, looks, misfit, partners, question, words
from coaxtell.identifier.answers import BY_PHOTOGRAPH, Answer, NotSure, NotThere, Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.identifier.partners import partners_of
from coaxtell.models.catalogue import Reason
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.words import gender as gender_of
from coaxtell.models.words import order as order_of
from coaxtell.pocket import belief, data
from coaxtell.pocket.halves import halves as page_halves
from tests.halves import all_halves

CLOSE = 1e-12
SAME = ("first", "next", "clash", "misfits", "worn", "told", "named", "said")
"""What must be the same in every state, beside probabilities that are this close."""
INSTRUMENTS = ("calliper", "ruler", "+-0.1", "none")


def traces(count: int, seed: int) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """So many traces: every state for the page, and what Python makes of it. Changes, withdrawals, contradictions."""
    known = looks.load()
    halves = list(all_halves().values())
    shortlists = {name: Shortlist(halves, name) for name in known.settings}
    rng = random.Random(seed)
    states: list[dict[str, Any]] = []
    thought: list[dict[str, Any]] = []
    for state in _rare():
        states.append(_plain(state, known))
        thought.append(_thought(shortlists[state.setting], state))
    for _ in range(count):
        setting, instrument = rng.choice(list(shortlists)), rng.choice(INSTRUMENTS)
        terms = frozenset(term for term in Term if rng.random() < 0.2)
        shortlist, state = shortlists[setting], State(setting, instrument, terms=terms)
        truth = rng.randrange(len(halves))
        for _ in range(rng.randrange(1, 11)):
            look = question.next_look(shortlist, state) if rng.random() < 0.75 else _any(rng, state)
            if look is None:
                break
            answer = answer_of(rng, shortlist, look.feature, "calliper" if instrument == "none" else instrument, truth)
            state = state.tell(look.feature, answer, look.again)
            if rng.random() < 0.1:
                state = state.withdraw(rng.choice(list(state.answers)))
            states.append(_plain(state, known))
            thought.append(_thought(shortlist, state))
    return states, thought


def _rare() -> list[State]:
    """What chance seldom brings: a bayonet of unknown voltage whose centre is dark, a left hand seen twice, an
    air line at a bench, whose mates of other families stand by how often each is met; a bore that goes with another
    half than the named one; pairs as likely as each other to the last digit; others."""
    lugs = (
        State().tell(Feature.COUPLING, Saw("lugs")).tell(Feature.PLASTIC, Saw("tube")).tell(Feature.CENTRE, NotSure())
    )
    left = State("wifi").tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.HAND, Saw("left"))
    wide = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.CENTRE, Saw("socket"))
    wide = wide.tell(Feature.SIZE, Saw("aaa-cell")).tell(Feature.COUPLING_DIAMETER, Read(6.25, 0.05))
    seen = State(terms=frozenset({Term.HIGH_VOLTAGE})).tell(Feature.COUPLING, Saw("lugs"))
    pin = State("wifi").tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.CENTRE, Saw("pin"))
    none = pin.tell(Feature.PIN_DIAMETER, NotThere())
    twice = left.tell(Feature.HAND, Saw("left"), again=True)
    air = State("bench").tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.PLASTIC, Saw("deep"))
    air = air.tell(Feature.CENTRE, Saw("socket")).tell(Feature.BORE, Read(3.5, 0.05))
    clash = State().tell(Feature.PLASTIC, Saw("level")).tell(Feature.HOLE, Saw("lead-05"))
    clash = clash.tell(Feature.LETTER, Saw("e")).tell(Feature.MARKED, Saw("50"))
    odd = State().tell(Feature.LETTER, Saw("h")).tell(Feature.PIN_DIAMETER, Read(0.5, 0.05))
    odd = odd.tell(Feature.BORE, Read(2.71, 0.05))
    dark = seen.tell(Feature.CENTRE, Saw("socket"))
    even = State(instrument="none", terms=frozenset({Term.MATED, Term.NO_REACH}))
    even = even.tell(Feature.COUPLING, Saw("thread-inside")).tell(Feature.PLASTIC, Saw("sunk"))
    even = even.tell(Feature.FORM, Saw("knurl")).tell(Feature.OFF, Saw("anticlockwise"))
    seen_in = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.CENTRE, Saw("socket"))
    shots = [
        seen_in.tell(Feature.COUPLING_DIAMETER, before).tell(Feature.COUPLING_DIAMETER, pictured(11.2, 0.96))
        for before in (Read(6.5, 1.0), Read(6.3, 0.05), Read(10.9, 1.0), pictured(6.3, 0.9))
    ]
    shot = seen_in.tell(Feature.COUPLING_DIAMETER, pictured(11.2, 0.96))
    shots.append(shot.tell(Feature.COUPLING_DIAMETER, Read(6.3, 0.05), again=True))
    rare = [lugs, twice, wide, dark, none, none.tell(Feature.BORE, Read(4.6, 0.05)), air, clash, odd, even]
    return [*shots, *rare, *_measured_after()]


def pictured(value: float, off: float) -> Read:
    """A reading of a photograph."""
    return Read(value, off, f"{value:.3f}mm+-{off:.2f} {BY_PHOTOGRAPH}")


def _measured_after() -> list[State]:
    """A width by photograph, alone, among looks, and with a second reading by calliper or by photograph; where neither
    can be measured again; one after which a look pays that would not after a calliper."""
    photo, other = pictured(9.9, 1.2), pictured(10.4, 1.2)
    alone = State("uhf-reader").tell(Feature.COUPLING_DIAMETER, photo)
    seen = alone.tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.CENTRE, Saw("socket"))
    deep = seen.tell(Feature.PLASTIC, Saw("deep"))
    second: list[Answer] = [NotSure(), NotThere(), Read(9.85, 0.05), Read(11.0, 0.05), other]
    again = [deep.tell(Feature.COUPLING_DIAMETER, one, again=True) for one in second]
    nut = seen.tell(Feature.NUT_WIDTH, pictured(14.2, 0.6))
    small = State("uhf-reader").tell(Feature.COUPLING_DIAMETER, pictured(6.2, 1.2))
    small = small.tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.PLASTIC, Saw("sunk"))
    small = small.tell(Feature.CENTRE, Saw("socket")).tell(Feature.CENTRE, Saw("socket"), again=True)
    return [alone, seen, deep, *again, msgspec.structs.replace(deep, instrument="none"), nut, small]


def _plain(state: State, known: looks.Looks) -> dict[str, Any]:
    """A state as the page keeps it."""
    off = instruments.plus_minus(state.instrument, known)
    return {
        "answers": {feature.value: plain(one) for feature, one in state.answers.items()},
        "again": {feature.value: plain(one) for feature, one in state.again.items()},
        "terms": sorted(state.terms),
        "setting": state.setting,
        "instrument": state.instrument,
        "off": off if math.isfinite(off) else None,
    }


def given() -> dict[str, Any]:
    """What the page's engine is given: its tables, and the verdicts of all pairs."""
    halves = list(all_halves().values())
    return {
        "tables": belief.tables(halves),
        "halves": page_halves(Shortlist(halves), data.WORDS),
        "texts": data.WORDS.texts(),
        "pairs": {
            "verdicts": [verdict.value for verdict in Verdict],
            "pairs": [
                [list(Verdict).index(mate(a, b, doubt=False).verdict)]
                for a, b in combinations_with_replacement(halves, 2)
            ],
        },
        "limits": data.limits(),
    }


def _any(rng: random.Random, state: State) -> question.Look:
    """Any look, some of those taken already once more."""
    feature = rng.choice(list(Feature))
    return question.Look(feature, feature in state.answers and rng.random() < 0.5)


def plain(answer: Answer) -> dict[str, Any]:
    """An answer as the page holds it."""
    if isinstance(answer, Saw):
        return {"saw": answer.value}
    if isinstance(answer, Read):
        return {"read": answer.value, "off": answer.plus_minus} | ({"photo": True} if answer.pictured else {})
    return {"none": True} if isinstance(answer, NotThere) else {"unsure": True}


def answer_of(rng: random.Random, shortlist: Shortlist, feature: Feature, instrument: str, truth: int) -> Answer:
    """What someone before that half may answer, or anybody before any."""
    chance = rng.random()
    if chance < 0.08:
        return NotSure()
    if feature in SEEN:
        names = shortlist.outcomes(feature).names
        usual = shortlist.usual(feature)[truth]
        return Saw(rng.choices(names, usual)[0] if rng.random() < 0.9 else rng.choice(names))
    sizes = shortlist.sizes(feature)
    if chance < 0.15 or not sizes.there.any():
        return NotThere()
    row = shortlist.looks.table.measured[feature]
    value = rng.uniform(row.least, row.most)
    if rng.random() < 0.7:
        there = truth if sizes.there[truth] else int(rng.choice(np.flatnonzero(sizes.there)))
        value = float(sizes.mm[there][rng.randrange(sizes.mm.shape[1])]) + rng.gauss(0, 0.1)
    value = round(min(max(value, row.least), row.most), 3)
    if feature is not Feature.THREADS and rng.random() < 0.3:
        return pictured(value, rng.choice((0.6, 1.0, 1.5)))
    return Read(value, shortlist.plus_minus(feature, instrument))


def _thought(shortlist: Shortlist, state: State) -> dict[str, Any]:
    belief = shortlist.belief(state.answers, state.again)
    i = question.named(shortlist, belief)
    following = question.next_look(shortlist, state)
    clash = contradiction.find(shortlist, state.counted)
    mates = partners_of(shortlist, shortlist.halves[i]).mates
    fit = mates[0][0] if mates else None
    return {
        "belief": belief,
        "orders": shortlist.of_orders(belief),
        "first": i,
        "next": following and [following.feature.value, following.again],
        "clash": clash and {"features": [f.value for f in clash.features], "misread": clash.misread.value},
        "misfits": [feature.value for feature in misfit.misfits(shortlist, state, i)],
        "worn": [feature.value for feature in misfit.worn(shortlist, state, i)],
        "told": question.centre_told(state),
        "named": identification.how_settled(shortlist, state, fit).value,
        "said": _said(shortlist, state, i, mates, following),
    }


def _said(
    shortlist: Shortlist, state: State, i: int, mates: partners.Mates, following: question.Look | None
) -> list[Any]:
    """Every sentence of the identification that both say: the named port, what to order for it, why to look on, what
    mates with it in order, what it rests on, and each look-alike with what becomes of it, whether only a gauge tells,
    and what does."""
    half, fit = shortlist.halves[i], mates[0][0] if mates else None
    why = "" if following is None else words.say(question.question(shortlist, state, *following).why)
    order = ["" if one is None else words.say(order_of(one)) for one in (half, fit)]
    goes = [[other.id, mating.verdict is not Verdict.MATES] for other, mating in mates]
    alike = [
        [one.id, one.verdict, one.tell.code == words.GAUGED, one.look, *_tells(one)]
        for one in identification.look_alikes(shortlist, state, half, fit)
    ]
    rests = [[one.feature.value, words.percent(one.without)] for one in identification.rests_on(shortlist, state, i)]
    return [half.name, words.say(gender_of(half)), *order, why, *goes, *rests, *alike]


def _tells(alike: identification.LookAlike) -> list[str]:
    """What the look that tells shows on the named port and on its look-alike."""
    shows = [alike.tell.values.get(side) for side in ("here", "there")]
    return [words.say(one) for one in shows if isinstance(one, Reason)]


def differences(found: list[dict[str, Any]], thought: list[dict[str, Any]]) -> list[int]:
    """The states of which the two engines do not think the same."""
    return [
        i
        for i, (page, python) in enumerate(zip(found, thought, strict=True))
        if any(page[one] != python[one] for one in SAME)
        or np.abs(np.array(page["belief"]) - python["belief"]).max() > CLOSE
        or np.abs(np.array(page["orders"]) - python["orders"]).max() > CLOSE
    ]


def telling(count: int, seed: int) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """So many rows of answers about one size, by hand and by photograph, at the first look and the second, each with
    what Python's state is after it."""
    rng, known, size = random.Random(seed), looks.load(), Feature.COUPLING_DIAMETER
    asked: list[dict[str, Any]] = []
    found: list[dict[str, Any]] = []
    for _ in range(count):
        state = State()
        for _ in range(rng.randrange(2, 6)):
            value, off = rng.choice((6.3, 6.5, 8.6, 11.0, 11.2)), rng.choice((0.05, 0.6, 1.0, 2.4))
            answer: Answer = pictured(value, off) if rng.random() < 0.5 else Read(value, off)
            again = rng.random() < 0.3 and size in state.answers
            answer = NotSure() if rng.random() < 0.1 else answer
            asked.append(_plain(state, known) | {"tell": [size.value, plain(answer), again]})
            state = state.tell(size, answer, again)
            told = _plain(state, known)
            counted = {feature.value: plain(one) for feature, one in state.counted.items()}
            apart = [feature.value for feature in state.apart]
            found.append({"answers": told["answers"], "again": told["again"], "counts": counted, "apart": apart})
    return asked, found
