"""Attackers: programs that see everything of an item but its picture, and learn from items with their answers.

They see the question, the words of the options, their order, and the alternative text of the picture as a training
system gets it; boosted trees on word counts (scikit-learn) say which option is right. Written after the option
sets that they are held against.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from sklearn.feature_extraction.text import CountVectorizer

WORD = r"(?u)\b[\w.\-]+\b"


class Seen(NamedTuple):
    """What an attacker sees of an item, and which option is right, by its place."""

    question: str
    options: tuple[str, ...]
    alternative: str
    right: int


class Scored(NamedTuple):
    """How often an attacker is right, how often chance is, and on how many items."""

    rate: float
    chance: float
    items: int


def _rows(items: Sequence[Seen], words: CountVectorizer) -> np.ndarray:
    """A row for each option of each item: its own words, those of the others, those asked, its place and length."""
    texts = [text for item in items for text in (*item.options, f"{item.question} {item.alternative}")]
    whole, rows, start = words.transform(texts).toarray(), [], 0
    for item in items:
        counts, asked = whole[start : start + len(item.options)], whole[start + len(item.options)]
        start += len(item.options) + 1
        lengths = [len(option) for option in item.options]
        for place in range(len(item.options)):
            others = counts.sum(axis=0) - counts[place]
            shared = np.minimum(counts[place], others).sum()
            facts = [place, len(item.options), lengths[place], sorted(lengths).index(lengths[place]), shared]
            rows.append(np.concatenate([counts[place], others, asked, facts, _numbers(item.question)]))
    return np.asarray(rows, dtype=np.float32)


def _numbers(text: str) -> list[float]:
    found = [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)][:4]
    return [*found, *[0.0] * (4 - len(found))]


def attacked(items: Sequence[Seen], seed: int = 0) -> Scored:
    """What an attacker that learned from one half of the items gets right in the other."""
    from sklearn.ensemble import HistGradientBoostingClassifier
    from sklearn.feature_extraction.text import CountVectorizer

    middle = len(items) // 2
    learned, judged = items[:middle], items[middle:]
    texts = [text for item in learned for text in (*item.options, item.question, item.alternative)]
    words = CountVectorizer(token_pattern=WORD, min_df=5, max_features=300).fit(texts)
    labels = [place == item.right for item in learned for place in range(len(item.options))]
    model = HistGradientBoostingClassifier(max_iter=40, random_state=seed)
    model.fit(_rows(learned, words), labels)
    chances = model.predict_proba(_rows(judged, words))[:, 1]
    right, start = 0, 0
    for item in judged:
        given = chances[start : start + len(item.options)]
        start += len(item.options)
        right += int(np.argmax(given)) == item.right
    chance = sum(1 / len(item.options) for item in judged) / len(judged)
    return Scored(right / len(judged), chance, len(judged))
