"""Draw the pictures that come with the package: run it after a change of the tables or of what draws them.

`python assets/window/ship.py` draws those that are missing or stale; `--all` draws every one anew.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from PIL import Image

from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import load
from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.window.desk.art import Art
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.desk.shipped import INDEX, key_of, mark_of
from coaxtell.window.views.feature_art import DECIDES, example, holding, view_of
from coaxtell.window.views.viewpoints import USUAL

FOLDER = Path(__file__).parents[2] / "coaxtell" / "window" / "shipped"
SIDE, CARD = 288, 256
"""Sides of the pictures of halves and of those on cards [px]."""
EVERYDAY = 40
"""Halves met most, in each of the identifier's settings the first of these, are pictured."""
FIRST = (Feature.COUPLING, Feature.CENTRE)
"""The questions that come first."""
QUALITY = 84


def jobs(halves: dict[str, Half]) -> list[Job]:
    """Every picture that comes with the package."""
    art = Art()
    found: dict[str, Job] = {}
    looks = load()
    for setting in looks.settings:
        shortlist = Shortlist(list(halves.values()), setting)
        order = ranked(shortlist, State(setting))
        for half, _ in order[:EVERYDAY]:
            reach = art.extent(half).reach
            job = Job(half.id, USUAL.azimuth, USUAL.elevation, 0.0, SIDE, round(SIDE / 2 / reach, 3), False)
            found[key_of(job)] = job
        for feature in FIRST:
            for value in shortlist.offered(feature):
                shown = example(order, feature, value)
                if shown is None:
                    continue
                view = view_of(feature)
                per_mm = 0.55 * CARD / (2 * art.extent(shown).face)
                job = Job(shown.id, view.azimuth, view.elevation, view.opened, CARD, round(per_mm, 3), False,
                          lit=DECIDES.get(feature, holding(shown)), near=True)  # fmt: skip
                found[key_of(job)] = job
    return list(found.values())


def main() -> None:
    """Draw what is missing or stale, and let go what is asked for no more."""
    from coaxtell.models.solids.display import Display
    from coaxtell.models.solids.turntable import Pose, Turntable

    halves = tables.load().halves
    FOLDER.mkdir(exist_ok=True)
    index = FOLDER / INDEX
    before = json.loads(index.read_text(encoding="utf-8")) if index.is_file() and "--all" not in sys.argv else {}
    listed: dict[str, dict[str, object]] = {}
    table = Turntable()
    for job in jobs(halves):
        key, mark = key_of(job), mark_of(halves[job.half_id])
        row = before.get(key)
        if row is not None and row["mark"] == mark and (FOLDER / row["file"]).is_file():
            listed[key] = row
            continue
        shown = Display(halves[job.half_id], job.opened, lit=frozenset(job.lit), near=job.near)
        rgba = table.full(shown, Pose(job.azimuth, job.elevation, job.side, job.px_per_mm))
        name = key.replace(" ", "_").replace(",", "+") + ".webp"
        Image.fromarray(rgba).save(FOLDER / name, "WEBP", quality=QUALITY, method=6)
        listed[key] = {"file": name, "mark": mark, "side": job.side, "px_per_mm": job.px_per_mm}
    table.close()
    index.write_text(json.dumps(listed, indent=0, sort_keys=True) + "\n", encoding="utf-8")
    for path in FOLDER.glob("*.webp"):
        if path.name not in {row["file"] for row in listed.values()}:
            path.unlink()


if __name__ == "__main__":
    main()
