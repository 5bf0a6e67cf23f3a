"""What the page says and shows of each half and each look, in one language: all of it made by Python."""

from __future__ import annotations

from typing import Any

from coaxtell.identifier import contrast, looks
from coaxtell.identifier.answers import values
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import LIKENED, SEEN, Feature, seen_values
from coaxtell.models.catalogue import ENGLISH
from coaxtell.models.half import Half
from coaxtell.models.words import gender_words, order_words
from coaxtell.pocket.pairs import told


def halves(shortlist: Shortlist) -> list[dict[str, Any]]:
    """Of each half: id, name, family, gender and order words, size of its coupling, what it shows of each look."""
    return [_half(shortlist, half) for half in shortlist.halves]


def _half(shortlist: Shortlist, half: Half) -> dict[str, Any]:
    return {
        "id": half.id,
        "name": half.name,
        "family": half.family,
        "plug": half.gender != "jack",
        "polarity": half.polarity,
        "ohm": half.impedance_ohm,
        "gender": gender_words(half),
        "order": order_words(half),
        "shows": {feature.value: told(contrast.shows(shortlist, feature, half)) for feature in Feature},
        "first": {
            feature.value: next(iter(seen_values(half, feature, Nominal())), "")
            for feature in SEEN
            if feature not in LIKENED
        },
    }


def questions(language: str = ENGLISH) -> dict[str, dict[str, Any]]:
    """Each look in words: what is asked, how, after which coupling in other words, and its answers."""
    known = looks.load(language)
    found: dict[str, dict[str, Any]] = {}
    for feature in Feature:
        row = known.row(feature)
        found[feature.value] = {
            "ask": row.ask,
            "how": row.how,
            "after": row.after,
            "noun": _noun(feature),
        }
        if feature in LIKENED:
            things = known.scale(feature)
            found[feature.value]["answers"] = {key: things[key].name for key in values(feature, known)}
            found[feature.value]["mm"] = {key: things[key].d.nominal for key in things}
        elif feature in SEEN:
            found[feature.value]["answers"] = known.table.seen[feature].values
    return found


def _noun(feature: Feature) -> str:
    return feature.value.replace("-", " ")
