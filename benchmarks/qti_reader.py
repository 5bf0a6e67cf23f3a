"""A QTI package in an open reader that is none of ours: drawn, answered and scored there, as the quiz does it.

`python -m benchmarks.qti_reader FOLDER [ITEMS]`: FOLDER holds what `npm install @citolab/qti-convert
@citolab/qti-components` put there (tried with 0.3.52 and 7.27.4). The first turns QTI 2.2 into 3.0, the second, in
Chromium, shows an item and works out its response processing. Every option of every item is chosen at 70 % sure;
SCORE and POINTS must be those of `quiz/score.py`, and the explanation must open.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import zipfile
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from random import Random

from coaxtell.models import tables
from coaxtell.quiz import items, qti
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.score import points
from coaxtell.quiz.stock import Stock

SURE = 70
PAGE = """<!doctype html><meta charset="utf-8"><script src="/reader.js"></script>
<qti-item><item-container item-url="/items/%(name)s.xml"></item-container></qti-item><pre id="told"></pre><script>
const told = (one) => { document.getElementById("told").textContent = JSON.stringify(one) + " told"; };
setTimeout(() => {
  const item = document.querySelector("item-container").shadowRoot.querySelector("qti-assessment-item");
  item.querySelectorAll("qti-simple-choice")[%(place)d].click();
  setTimeout(() => {
    item.updateResponseVariable("SURE", "%(sure)d");
    item.processResponse();
    setTimeout(() => {
      const found = Object.fromEntries(item._context.variables.map((one) => [one.identifier, one.value]));
      found.shown = !!item.querySelector("qti-modal-feedback").shadowRoot.querySelector("dialog[open]");
      told(found);
    }, 400);
  }, 400);
}, 2000);
</script>"""


class Quiet(SimpleHTTPRequestHandler):
    """Serves a folder and says nothing."""

    def log_message(self, format: str, *args: object) -> None:
        """Nothing."""


def drawn(count: int) -> list[Item]:
    """So many items, as the blueprint draws them."""
    plan, rng = Blueprint(Stock(tables.load().halves)), Random(2026)
    return [items.make(plan.stock, plan.draw(rng), rng) for _ in range(count)]


def told(url: str) -> dict[str, object]:
    """What the reader made of an answer; raises ValueError where it made nothing of it."""
    words = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=6000", "--dump-dom", url]
    page = subprocess.run(words, capture_output=True, text=True, timeout=60, check=True).stdout
    match = re.search(r"<pre id=\"told\">(\{.*\}) told</pre>", page)
    if match is None:
        raise ValueError(f"the reader shows nothing of {url}")
    found: dict[str, object] = json.loads(match[1])
    return found


def main() -> None:
    node, count = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 6
    asked = drawn(count)
    with tempfile.TemporaryDirectory() as name:
        room = Path(name)
        (room / "test.zip").write_bytes(qti.package("Test", asked, {}))
        convert = node.resolve() / "node_modules" / ".bin" / "qti-convert-pkg"
        subprocess.run([str(convert), "test.zip"], cwd=room, check=True, capture_output=True)
        with zipfile.ZipFile(room / "test-qti3.zip") as archive:
            archive.extractall(room)
        shutil.copy(node / "node_modules/@citolab/qti-components/cdn/index.global.js", room / "reader.js")
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(room)))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        good = tried = 0
        for number, item in enumerate(asked, start=1):
            for place, option in enumerate(item.options):
                page = PAGE % {"name": f"item-{number}", "place": place, "sure": SURE}
                (room / "page.html").write_text(page, encoding="utf-8")
                found = told(f"http://127.0.0.1:{server.server_port}/page.html")
                right = option.id == item.right
                due = points(right, SURE / 100)
                fits = (float(str(found["SCORE"])), round(float(str(found["POINTS"])), 6)) == (right, round(due, 6))
                tried, good = tried + 1, good + (fits and found["shown"] is True)
                print(
                    f"item {number} ({item.task.kind}), option {place + 1}: {'as due' if fits else found}", flush=True
                )
        server.shutdown()
    print(f"{good} of {tried} answers to {count} items scored and explained as due")


if __name__ == "__main__":
    main()
