"""What the page says and shows of each half and each look, in one language: all of it made by Python."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coaxtell.identifier import contrast, looks
from coaxtell.identifier.answers import values
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import LIKENED, SEEN, Feature, seen_values
from coaxtell.models.catalogue import ENGLISH, Catalogue, Reason
from coaxtell.models.half import Half
from coaxtell.models.words import gender, name, order
from coaxtell.pocket.pairs import told

FROM_THE_SIDE = ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve")
"""Answers that a view from the side shows; all others, and a housing, are known by the face."""


def halves(shortlist: Shortlist, words: Catalogue, language: str = ENGLISH) -> list[dict[str, Any]]:
    """Of each half: id, name, family, gender and order words, and what it shows of each look."""
    return [_half(shortlist, half, lambda reason: words.say(reason, language)) for half in shortlist.halves]


def _half(shortlist: Shortlist, half: Half, say: Callable[[Reason], str]) -> dict[str, Any]:
    return {
        "id": half.id,
        "name": say(name(half)),
        "family": half.family,
        "plug": half.gender != "jack",
        "polarity": half.polarity,
        "ohm": half.impedance_ohm,
        "gender": say(gender(half)),
        "order": say(order(half)),
        "shows": {feature.value: told(contrast.shows(shortlist, feature, half)) for feature in Feature},
        "first": {
            feature.value: next(iter(seen_values(half, feature, Nominal())), "")
            for feature in SEEN
            if feature not in LIKENED
        },
    }


def questions(words: Catalogue, language: str = ENGLISH) -> dict[str, dict[str, Any]]:
    """Each look in words: what is asked, how, after which coupling in other words, and its answers."""
    known, texts = looks.load(language), words.texts(language)
    found: dict[str, dict[str, Any]] = {}
    for feature in Feature:
        row, second = known.row(feature), known.table.again.otherwise.get(feature)
        found[feature.value] = {
            "ask": row.ask,
            "how": row.how,
            "otherwise": "" if second is None else second.how,
            "after": row.after,
            "noun": texts.get(f"look.{feature}", feature.value.replace("-", " ")),
        }
        if feature in LIKENED:
            things = known.scale(feature)
            found[feature.value]["answers"] = {key: texts[f"thing.{key}"] for key in values(feature, known)}
            found[feature.value]["mm"] = {key: things[key].d.nominal for key in things}
        elif feature in SEEN:
            found[feature.value]["answers"] = known.table.seen[feature].values
            found[feature.value]["sideways"] = [] if feature != Feature.COUPLING else list(FROM_THE_SIDE)
    return found
