"""What the page takes apart is what Python put in: outlines, volumes, sentences, sizes as typed."""

from __future__ import annotations

import math
import random
import re
from collections import Counter
from functools import cache
from itertools import combinations_with_replacement
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from coaxtell.cli.main import main
from coaxtell.identifier import instruments, looks
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models import quantity
from coaxtell.models.catalogue import MODELS, Reason
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.drawings.outlines import cut_regions
from coaxtell.models.errors import InputError
from coaxtell.models.mating.doubts import listed
from coaxtell.models.mating.mate import book, mate
from coaxtell.models.solids.solid import solid
from coaxtell.models.statements import shipped
from coaxtell.pocket import halves, models, pairs, sections
from coaxtell.pocket.data import WORDS, texts
from tests.halves import all_halves
from tests.pocket.node import node

pytestmark = pytest.mark.needs("node")
HALVES = list(all_halves().values())
WITHIN_MM = 0.002


@cache
def known() -> dict[str, Any]:
    return pairs.pairs(HALVES)


@cache
def outlines(place: int, turn: float) -> list[NDArray[np.float64]]:
    """Every cut region of a half as drawn: above the axis, then below it."""
    half = HALVES[place]
    above, below = cut_regions(half, 0.0, turn), cut_regions(half, math.pi, turn)
    found = []
    for one, other in zip(above, below, strict=True):
        found += [np.array(one.outline), np.array(other.outline) * (1, -1)]
    return found


def cut_pair(i: int, j: int) -> list[NDArray[np.float64]]:
    """Every cut region of a pair where it stops, in the axes of the first."""
    a, b = HALVES[i], HALVES[j]
    stop = mate(a, b, doubt=False).stops_at_mm or 0.0
    theirs = [np.array([stop, 0]) + outline * (-1, 1) for outline in outlines(j, meshing_turn(b, a, stop))]
    return [*outlines(i, meshing_turn(a, b, stop)), *theirs]


def test_pairs_are_cut_as_python_draws_them() -> None:
    """All pairs with a nut turned onto its thread, and 400 others; the page's list holds whole micrometres.

    `python -m benchmarks.study pocket_cuts` holds all of them.
    """
    count = len(HALVES)
    every = [(i, j) for i in range(count) for j in range(i, count)]
    turned = [pair for pair, row in zip(every, known()["pairs"], strict=True) if max(row[7]) >= 0]
    assert len(turned) > 30
    asked = turned + random.Random(16).sample(every, 400)
    told = node("data.js", {"wanted": "faces", "given": {
        "sections": [sections.section(half) for half in HALVES], "pairs": known(), "asked": asked,
    }})  # fmt: skip
    for (i, j), (other_way, *faces) in zip(asked, told, strict=True):
        assert not other_way
        for mine, page in zip(cut_pair(i, j), faces, strict=True):
            assert np.abs(mine - np.array(page)).max() <= WITHIN_MM, (HALVES[i].id, HALVES[j].id)


def test_models_keep_their_volume() -> None:
    told = node("data.js", {"wanted": "volumes", "given": [models.model(half) for half in HALVES]})
    for half, volumes in zip(HALVES, told, strict=True):
        parts = solid(half, "small")
        assert len(volumes) == len(parts)
        for part, volume in zip(parts, volumes, strict=True):
            assert volume == pytest.approx(part.volume_mm3, rel=0.001), (half.id, part.name)


def test_small_models_hold_what_fine_ones_hold() -> None:
    """Within 5 %: a knurl of a third of the teeth is what takes most."""
    for half_id in ("sma-plug", "n-50-jack", "bnc-50-plug", "uhf-jack", "fakra-c-plug", "mmcx-jack"):
        half = all_halves()[half_id]
        small, fine = (sum(part.volume_mm3 for part in solid(half, level)) for level in ("small", "fine"))
        assert small == pytest.approx(fine, rel=0.05), half_id


@pytest.mark.parametrize(("language", "decimal", "other"), [("en", "[.]", ","), ("de", ",", "[.]"), ("es", ",", "[.]")])
def test_every_reason_of_every_pair_is_said_as_python_says_it(language: str, decimal: str, other: str) -> None:
    """With the language's decimal sign; families keep their own, as those who make them print it."""
    reasons = known()["reasons"]
    assert len(reasons) > 1000
    said = node("data.js", {"wanted": "words", "given": {"texts": WORDS.texts(language), "reasons": reasons}})
    assert said == [WORDS.say(back(reason), language) for reason in reasons]
    own = {name for half in HALVES for name in (half.family, half.id)}
    names = "|".join(re.escape(name) for name in sorted(own, key=len, reverse=True))
    numbers = [re.sub(names, "", one) for one in said]
    assert sum(re.search(rf"\d{decimal}\d", one) is not None for one in numbers) > 300
    assert [one for one in numbers if re.search(rf"(?<!x)\d{other}\d", one)] == [], "but M4x0.7"


def back(told: list[Any]) -> Reason:
    """The reason that stands in the page's list."""
    code, values = told

    def value(one: Any) -> Any:
        if isinstance(one, list):
            return back(one)
        return [back(each) for each in one["list"]] if isinstance(one, dict) else one

    return Reason(code, {name: value(one) for name, one in values.items()})


def test_what_is_pictured_from_the_side_is_an_answer() -> None:
    asked = halves.questions(WORDS)
    for feature in SEEN:
        answers = asked[feature].get("answers", {})
        assert set(asked[feature].get("sideways", [])) <= set(answers) - {"housing"}
    assert len(asked["coupling"]["sideways"]) == len(asked["coupling"]["answers"]) - 1


TYPED = [
    "6.3", "6,3", "6.3mm", " 6.3 mm ", "0.25in", "1/4in", "¼in", '1/4"', "1/4″", "6.3+-0.1", "6.3±0.1",
    "6.3 +/- 0.1 mm", "1 1/8in", "1-1/8 in", "0.6cm", "40'6\"", "36tpi", "14.2", "14.2 per 10 mm",
    "20 threads per inch", ".5", "1,234", "12,345.6", "٣", "6.3.1", "wide", "", "-6", "1/0in", "9" * 400,
    "6.3 kg", "1e3", "100.5",
    "6.3+-0.0004", "6.3+-0.0005", "6.3 mm +- 0.00001in", "0.02'+-0.000001'", "14.2+-0.0009", "14.2+-0.001",
    "0.05", "5+-6", "7 thou", "250 mil", "6.3 inches", "²", "6⁄25in", "−5",
    "1/4", "¼", "1⁄4", "7 1/2", "7/16+-0.1in", "6.3+/-0.1", "6.3+-1/8", "6.3+-1/8in", "1/4in+/-1/64", "6.3 in",
]  # fmt: skip


def on_the_desk(feature: Feature, text: str) -> instruments.Reading | str:
    """The reading, or why there is none."""
    try:
        return instruments.reading(feature, text, "calliper", looks.load())
    except InputError as error:
        return str(error)


@pytest.mark.parametrize("feature", [Feature.BORE, Feature.THREADS])
def test_sizes_are_read_as_python_reads_them(feature: Feature) -> None:
    table = looks.load()
    threads = feature is Feature.THREADS
    rest = {
        "threads": threads,
        "off": table.table.counting.ruler.nominal if threads else instruments.plus_minus("calliper", table),
        "gaugeOff": table.table.counting.gauge.nominal,
        "least": instruments.FEWEST if threads else instruments.SMALLEST,
        "most": instruments.MOST if threads else instruments.LARGEST,
        "finest": instruments.FINEST_COUNT if threads else instruments.FINEST_MM,
    }
    grammar = quantity.grammar() | {
        "lengths": quantity.LENGTHS, "perInch": quantity.PER_INCH, "per10mm": quantity.PER_10MM,
    }  # fmt: skip
    told = node("data.js", {"wanted": "sizes", "given": {"grammar": grammar, "typed": TYPED, **rest}})
    said, too_fine = texts(HALVES, "en"), {}
    for text, page in zip(TYPED, told, strict=True):
        desk = on_the_desk(feature, text)
        if not isinstance(desk, str):
            assert "read" in page, (text, page)
            assert page["read"] == pytest.approx(desk.value, rel=1e-12), text
            assert page["off"] == pytest.approx(desk.plus_minus, rel=1e-12), text
        elif "reads so finely" in desk:
            assert page["refused"] == "too_fine", (text, page)
            too_fine[desk] = ["refused.too_fine", {key: page[key] for key in ("typed", "least")}]
        else:
            assert f"pocket.refused_{page['refused']}" in said, (text, page)
    assert len(too_fine) == 3
    spoken = node("data.js", {"wanted": "words", "given": {"texts": said, "reasons": list(too_fine.values())}})
    assert spoken == list(too_fine), "the desk's own sentence"


def test_every_pair_says_how_sure_it_is_as_the_desk_does() -> None:
    """Beside the verdict or among its reasons the words of `coaxtell mate`, of all pairs.

    What is stated, with the share that the numbers alone show; what holds in fewer than 99 of 100 ways, with its share;
    99 and more of all that are on no list of doubts.
    """
    made = known()
    said, firm, stated, held = Counter[str](), "doubt.firm_least", 0, book()
    for (a, b), row in zip(combinations_with_replacement(HALVES, 2), made["pairs"], strict=True):
        told = [back(made["reasons"][place]) for place in row[9]]
        among = [made["reasons"][place][0] for place in row[2]]
        doubt, fit = listed().get(frozenset((a.id, b.id))), shipped().fit(a, b)
        free = None if fit is None else held.stated(a, b)[1]
        expected = []
        if fit is not None and free is not None:
            expected.append(Reason("doubt.stated", {"ground": fit.ground, "free": round(100 * free, 4)}))
            stated += 1
        elif doubt is None:
            expected.append(Reason(firm, {"share": 99}))
        against = shipped().against(a, b)
        if against is not None:
            expected.append(Reason("doubt.apart", {"says": against.says, "ground": against.ground}))
        assert told == expected, (a.id, b.id)
        if doubt is not None and not doubt.by_practice:
            assert {"doubt.holds", "doubt.not_known", "doubt.few", "doubt.no_way"} & set(among), (a.id, b.id)
        said.update([one.code for one in told])
        assert told or doubt is not None, (a.id, b.id)
    assert stated > 80
    assert said[firm] > 5000


PAIRS = [
    ("smp-jack", "smp-plug"), ("bnc-75-jack", "bnc-50-plug"), ("n-50-plug", "n-50-jack"), ("smb-jack", "ssmb-plug"),
    ("sma-plug", "rp-sma-jack"),
]  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS)
def test_how_sure_a_pair_is_stands_in_what_mate_prints(
    pair: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """The very words; of a firm pair the share that is printed is no less than the page's 99."""
    main(["mate", *pair])
    printed = " ".join(capsys.readouterr().out.split())
    ids = [half.id for half in HALVES]
    a, b = sorted(pair, key=ids.index)
    made = known()
    row = made["pairs"][list(combinations_with_replacement(ids, 2)).index((a, b))]
    for place in row[9]:
        told = back(made["reasons"][place])
        if told.code == "doubt.firm_least":
            share = re.search(r"holds for (\d+) of 100 ways", printed)
            assert share is not None
            assert int(share[1]) >= 99
        else:
            assert MODELS.say(told) in printed
