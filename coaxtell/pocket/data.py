"""All that the page knows, put together: what it needs to begin, and what it takes apart when it is first needed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from importlib import resources
from typing import Any, NamedTuple

from coaxtell.cables import tables as cable_tables
from coaxtell.identifier import contrast, identification, instruments, looks, question, record, report, words
from coaxtell.identifier.answers import Term
from coaxtell.identifier.belief import Shortlist, prior
from coaxtell.identifier.partners import not_known
from coaxtell.identifier.words import TEXTS
from coaxtell.models import plastics, quantity
from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import ENGLISH, Catalogue
from coaxtell.models.errors import refusals
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Verdict
from coaxtell.models.mating.surely import left_open, to_order
from coaxtell.models.tables import Tables, version
from coaxtell.models.words import name
from coaxtell.photo import card
from coaxtell.pocket import belief, cables, halves, models, pairs, photograph, pictures, practice, sections
from coaxtell.quiz import everyday
from coaxtell.quiz.item import Item
from coaxtell.quiz.stock import Stock

PACKAGE = "coaxtell.pocket"
WORDS = Catalogue(PACKAGE, below=TEXTS)
METALS = {
    "gold": (0.86, 0.66, 0.26, 0.5),
    "steel": (0.66, 0.65, 0.63, 0.5),
    "nickel": (0.74, 0.72, 0.68, 0.5),
    "brass": (0.78, 0.62, 0.30, 0.4),
    "ptfe": (0.94, 0.94, 0.91, 0.05),
}
"""Red, green, blue and shine of each material under the page's one light; invented, no number of a table."""

KILOVOLTS = "need.no_high_voltage"
"""The caution of what looks like a port for high voltage."""
REFUSED = ("refused.too_fine",)
"""What the page refuses in the desk's own sentence."""
HOLDING = (
    "unsettled", "centre_untold", "apart", "misfits", "high_voltage", "clashing", "settled_clash", "clash_why", "worn",
    "unsaid",
)  # fmt: skip
"""What is told of a port for which nothing is ordered before it is looked at again; each a text of the page."""
MOST_REMOVED = 5
"""Ports taken off a site that can be put back."""


def languages() -> tuple[str, ...]:
    """The languages that the page has texts in, English first."""
    found = sorted(file.name.removesuffix(".toml") for file in (resources.files(PACKAGE) / "texts").iterdir())
    return (ENGLISH, *(one for one in found if one != ENGLISH))


class Wanted(NamedTuple):
    """What a page is made of: tables, day, language, the ids of a site's own ports, which come first."""

    tables: Tables
    day: date
    language: str = ENGLISH
    ports: tuple[str, ...] = ()


def first(wanted: Wanted, items: list[Item]) -> dict[str, Any]:
    """What the page needs to begin, with the items of the day."""
    every = list(wanted.tables.halves.values())
    known, said = looks.load(), texts(every, wanted.language)
    shortlist = Shortlist(every)
    often = everyday.halves(Stock(wanted.tables.halves))
    return {
        "language": wanted.language,
        "marks": {"record": record.FORMAT, "tables": version(wanted.tables)},
        "texts": said,
        "english": texts(every, ENGLISH) | _called(every, wanted.language) if wanted.language != ENGLISH else None,
        "acts": {reason.code: pairs.told(reason) for reason in before([Act.TOUCH, Act.MEASURE], every)},
        "kilovolts": next(
            (pairs.told(reason) for reason in before([Act.JOIN], every) if reason.code == KILOVOLTS), None
        ),
        "belief": belief.tables(every),
        "halves": halves.halves(shortlist, WORDS, wanted.language),
        "questions": halves.questions(WORDS, wanted.language),
        "settings": {key: said.get(f"setting.{key}", one.words) for key, one in known.settings.items()},
        "unmeasured": {one.id: found for one in every if (found := unmeasured(wanted.tables, one))},
        "everyday": [one.id for one in every if one.id in often],
        "ports": list(wanted.ports),
        "cables": cables.cables(cable_tables.load()),
        "practice": practice.practice(items, wanted.tables.halves, wanted.day, wanted.language),
        "grammar": quantity.grammar()
        | {"lengths": quantity.LENGTHS, "perInch": quantity.PER_INCH, "per10mm": quantity.PER_10MM},
        "colours": METALS
        | {"plastic": (*plastics.srgb(""), 0.1)}
        | {name: (*plastics.srgb(name), 0.1) for name in plastics.SRGB},
        "limits": limits(),
        "photo": photograph.photograph(),
    }


def unmeasured(known: Tables, half: Half) -> list[tuple[str, str | None]]:
    """What looks like a half and has no known sizes, by name, with how it is held where that is known."""
    named = words.names_unmeasured(known.taken_for(half.id), half)
    return [(one.name, one.held) for one in known.alike(half.id) if one.name in named]


def limits() -> dict[str, Any]:
    """What the engine decides by, and how far things go."""
    known = looks.load()
    return {
        "states": [one.value for one in identification.Settled],
        "terms": [term.value for term in Term],
        "kilovolts": KILOVOLTS,
        "removed": MOST_REMOVED,
        "holding": [f"pocket.{code}" for code in HOLDING],
        "sure": identification.SURE,
        "possible": question.STILL_POSSIBLE,
        "mostAlike": identification.MOST_LOOK_ALIKES,
        "near": contrast.NEAR,
        "sureOver": words.SURE_OVER,
        "sureUnder": words.SURE_UNDER,
        "joined": [one.value for one in Verdict if one in JOINED],
        "harm": [Verdict.DAMAGES.value, Verdict.NO_CONTACT.value],
        "shortlist": report.SHORTLIST,
        "worthShowing": report.LIKELY_ENOUGH,
        "card": card.SHORT,
        "gaugeOff": known.table.counting.gauge.nominal,
        "smallest": instruments.SMALLEST,
        "largest": instruments.LARGEST,
        "fewest": instruments.FEWEST,
        "most": instruments.MOST,
        "finest": instruments.FINEST_MM,
        "finestCount": instruments.FINEST_COUNT,
    }


def texts(every: list[Half], language: str) -> dict[str, str]:
    """All texts of the page."""
    desk = refusals("identifier").texts(language)
    return WORDS.texts(language) | {code: desk[code] for code in REFUSED} | _named(every, language)


def _named(every: list[Half], language: str) -> dict[str, str]:
    """What a language calls the halves that reasons quote by id or by their English name."""
    found: dict[str, str] = {}
    for half in every:
        own = WORDS.say(name(half), language)
        found |= {f"word.{half.id}": own, f"word.{WORDS.say(name(half))}": own}
    return found


def _called(every: list[Half], language: str) -> dict[str, str]:
    """What English calls the halves, looks and answers that a caution names as another language calls them."""
    found = {f"word.{WORDS.say(name(half), language)}": WORDS.say(name(half)) for half in every}
    english, own = halves.questions(WORDS), halves.questions(WORDS, language)
    for look, said in english.items():
        found[f"word.{own[look]['noun']}"] = said["noun"]
        found |= {f"word.{own[look]['answers'][value]}": words for value, words in said.get("answers", {}).items()}
    return found


def later(wanted: Wanted, going: Callable[[int], None]) -> dict[str, Any]:
    """What the page takes apart once it stands: pairs, cables on ports, sections, pictures.

    `going` is told how many pairs are done.
    """
    every = list(wanted.tables.halves.values())
    return {
        "pairs": pairs.pairs(every, going),
        "sides": cables.sides(every, cable_tables.load()),
        "unsure": _unsure(every),
        "sections": [sections.section(half) for half in every],
        "pictures": [pictures.views(half) for half in every],
    }


def _unsure(every: list[Half]) -> dict[str, Any]:
    """By the id of a half that it is not known what becomes of it with others, which by their numbers mate with it."""
    found = {}
    for half in every:
        matings = [(other, to_order(half, other)) for other in every]
        if unsure := [(other, mating) for other, mating in matings if left_open(mating)]:
            found[half.id] = pairs.told(not_known(unsure))
    return found


def shapes(wanted: Wanted) -> dict[str, dict[str, Any] | None]:
    """The models by id, each in a stream of its own."""
    return {half.id: models.model(half) for half in wanted.tables.halves.values()}


def rarest_first(wanted: Wanted) -> list[list[Half]]:
    """The halves of each family, those met most seldom first; a site's own ports come last."""
    every = list(wanted.tables.halves.values())
    chance = dict(zip([half.id for half in every], prior(every, looks.load().setting("any")), strict=True))
    families: dict[str, list[Half]] = {}
    for half in every:
        families.setdefault(half.family, []).append(half)
    own = {half.family for half in every if half.id in wanted.ports}
    return sorted(families.values(), key=lambda few: (few[0].family in own, sum(chance[h.id] for h in few), few[0].id))
