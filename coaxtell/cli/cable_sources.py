"""Where the numbers of the cable tables come from: `coaxtell sources cables`."""

from __future__ import annotations

import json
from collections import Counter

from coaxtell.cables.tables import CableTables, named_measures
from coaxtell.cables.words import say
from coaxtell.models.catalogue import word
from coaxtell.models.measure import text


def show(tables: CableTables, as_json: bool) -> None:
    """Print every number of the cable tables with its grade and sources, their shares and the sources' titles."""
    numbers = named_measures(tables)
    if as_json:
        rows = [
            {
                "number": say(name),
                "value": m.nominal,
                "unit": m.unit,
                "min": m.min,
                "max": m.max,
                "grade": m.grade.value,
                "source": m.source,
                "note": m.note,
            }
            for name, m in numbers
        ]
        print(json.dumps({"numbers": rows}, indent=1, ensure_ascii=False))
        return
    for name, measure in numbers:
        note = f"  ({measure.note})" if measure.note else ""
        print(f"{say(name)}: {text(measure)}  {word(measure.grade)}; {', '.join(measure.source)}{note}")
    count = Counter(measure.grade for _, measure in numbers)
    shares = ", ".join(f"{word(grade)} {100 * n / len(numbers):.0f} %" for grade, n in count.most_common())
    print(f"\n{len(numbers)} numbers, by grade: {shares}")
    print("\nSources")
    for key in dict.fromkeys(key for _, measure in numbers for key in measure.source):
        print(f"  {key}: {tables.sources[key].title} [{tables.sources[key].kind}]")
