"""The page as a folder for any web server, or as one file that opens from a phone's own storage."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable
from importlib import resources
from typing import Any, NamedTuple

from markupsafe import Markup

from coaxtell.pages import html
from coaxtell.pocket import data, models, practice
from coaxtell.pocket.data import WORDS, Wanted
from coaxtell.pocket.packed import squeezed
from coaxtell.quiz.item import Picture

PAGE = resources.files("coaxtell.pocket") / "page"
CODE = (
    "read.js",
    "belief.js",
    "doubts.js",
    "contrast.js",
    "outlook.js",
    "engine.js",
    "say.js",
    "quantity.js",
    "kit.js",
    "kept.js",
    "store.js",
    "draw.js",
    "turn.js",
    "port.js",
    "photo.js",
    "look.js",
    "parts.js",
    "readings.js",
    "shot.js",
    "said.js",
    "name.js",
    "sent.js",
    "site.js",
    "halves.js",
    "loss.js",
    "ranking.js",
    "cable.js",
    "practise.js",
    "ahead.js",
    "app.js",
)
"""The page's own code, in the order in which it is loaded."""
SELF = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
REST = "base-uri 'none'; form-action 'none'"
MOST_BYTES = 2_500_000
"""Most that the single file takes."""
FILE = "coaxtell.html"
"""The one file, as it stands beside the folder's page."""
MAKER = '<meta name="generator" content="coaxtell pocket">'
"""Stands in every page that was made here."""
ICON = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64"><rect width="64" height="64" fill="#005a5e"/>'
    '<circle cx="32" cy="32" r="20" fill="none" stroke="#fff" stroke-width="6"/>'
    '<circle cx="32" cy="32" r="5" fill="#e0b04c"/></svg>'
)


Draw = Callable[[Picture], bytes | None]
"""What draws the picture of an item as WebP; nothing where none can be drawn."""


class Script(NamedTuple):
    """A script of the page: the name of its file, and its text."""

    name: str
    text: Markup


class Made(NamedTuple):
    """All data of a page, packed, worked out once for the folder and the file."""

    wanted: Wanted
    first: str
    models: str
    later: str
    items: str
    """The pictures of the items of the day in base64; null where the words must do."""
    fewer: tuple[str, ...] = ()
    """Families whose models have fewer columns, so that the file is no larger than it may be."""
    without: tuple[str, ...] = ()
    """Families that have no models left, for the same reason."""


def made(
    wanted: Wanted,
    going: Callable[[int], None] = lambda done: None,
    most: int = MOST_BYTES,
    draw: Draw = lambda picture: None,
) -> Made:
    """Work all of it out; `going` is told how many pairs are done, `draw` draws the items of the day.

    Where the single file would take more than `most` bytes, the families met most seldom lose columns first, then
    their models.
    """
    items = practice.chosen(wanted.tables.halves, wanted.day, wanted.ports)
    later, first, shapes = _packed(data.later(wanted, going)), _packed(data.first(wanted, items)), data.shapes(wanted)
    whole = Made(wanted, first, _shapes(shapes), later, _json([_drawn(one.picture, draw) for one in items]))
    over = len(single(whole)) - most
    if over <= 0:
        return whole
    lost: tuple[list[str], list[str]] = ([], [])
    for round_of, names in enumerate(lost):
        for family in data.rarest_first(wanted):
            if over <= 0:
                break
            for half in family:
                before = len(_json(shapes[half.id]))
                shapes[half.id] = models.model(half, "least") if round_of == 0 else None
                over -= before - len(_json(shapes[half.id]))
            names.append(family[0].family)
    without = tuple(lost[1])
    fewer = tuple(one for one in lost[0] if one not in without)
    return whole._replace(models=_shapes(shapes), fewer=fewer, without=without)


def _drawn(picture: Picture | None, draw: Draw) -> str | None:
    found = None if picture is None else draw(picture)
    return None if found is None else base64.b64encode(found).decode("ascii")


def _shapes(shapes: dict[str, dict[str, Any] | None]) -> str:
    return _json(list(shapes.values()))


def folder(made: Made) -> dict[str, bytes]:
    """The files of the folder by name."""
    unmarked = _parts(made, "")
    worker = _read("sw.js").replace("@FILES@", json.dumps(["./", *sorted(unmarked)]))
    whole = [*(unmarked[name] for name in sorted(unmarked)), worker.encode()]
    mark = hashlib.sha256(b"".join(whole)).hexdigest()[:12]
    return _parts(made, mark) | {"sw.js": worker.replace("@MARK@", mark).encode()}


def _parts(made: Made, mark: str) -> dict[str, bytes]:
    """The files that make up the page; in each stands the mark, by which it is held against the others."""
    wanted, scripts = made.wanted, _scripts(made, FILE, mark)
    policy = f"{SELF}worker-src 'self'; manifest-src 'self'; {REST}"
    files = {script.name: script.text for script in scripts} | {
        "page.css": f"{_read('page.css')}/* {mark} */\n",
        "icon.svg": f"{ICON}<!-- {mark} -->",
        "manifest.webmanifest": _manifest(wanted, mark),
        "index.html": _page(wanted, policy, scripts, True, mark),
    }
    return {name: text.encode() for name, text in files.items()}


def is_page(text: str) -> bool:
    """Whether a text is a page that was made here."""
    return MAKER in text


def single(made: Made) -> bytes:
    """The one file: everything stands in it, and a policy that lets nothing else run."""
    scripts = _scripts(made)
    hashes = " ".join(_hash(script.text) for script in scripts)
    style = f"style-src {_hash(_read('page.css'))}; img-src data: blob:; {REST}"
    return _page(made.wanted, f"default-src 'none'; script-src {hashes}; {style}", scripts, False).encode()


def _scripts(made: Made, beside: str | None = None, mark: str = "") -> list[Script]:
    """The scripts, each of which tells the mark; `beside` names the one file where it stands beside them."""
    told = [
        ("first", f"const POCKET = {{folder: {json.dumps(beside)}, first: {json.dumps(made.first)}, marks: {{}}}};"),
        ("page", "\n".join(_read(name) for name in CODE)),
        ("models", f"POCKET.models = {made.models};"),
        ("later", f"POCKET.later = {json.dumps(made.later)};"),
        ("items", f"POCKET.items = {made.items};"),
    ]
    marked = [(name, f'{text}\nPOCKET.marks.{name} = "{mark}";') for name, text in told]
    start = _read("start.js").replace("@MARK@", mark).replace("@PARTS@", json.dumps([name for name, _ in told]))
    return [Script(f"{name}.js", Markup(text)) for name, text in [*marked, ("start", start)]]


def _packed(known: dict[str, Any]) -> str:
    return squeezed(_json(known).encode())


def _json(known: Any) -> str:
    # a table's own words may hold what would end a script
    return json.dumps(known, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _read(name: str) -> str:
    return (PAGE / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _page(wanted: Wanted, policy: str, scripts: list[Script], in_folder: bool, mark: str = "") -> str:
    words = WORDS.texts(wanted.language)
    return (
        html.environment("coaxtell.pocket", "page")
        .get_template("page.html")
        .render(
            language=wanted.language,
            policy=policy,
            title=words["pocket.title"],
            heading=words["pocket.name_title"],
            waiting=words["pocket.waiting"],
            no_script=words["pocket.no_script"],
            mixed=words["pocket.mixed"],
            maker=Markup(MAKER),
            mark=mark,
            style=Markup(_read("page.css")),
            scripts=scripts,
            folder=in_folder,
        )
    )


def _manifest(wanted: Wanted, mark: str) -> str:
    return json.dumps(
        {
            "name": WORDS.texts(wanted.language)["pocket.title"],
            "short_name": WORDS.texts(wanted.language)["pocket.title"],
            "lang": wanted.language,
            "mark": mark,
            "start_url": "./",
            "display": "standalone",
            "background_color": "#ffffff",
            "theme_color": "#005a5e",
            "icons": [{"src": "icon.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
        },
        indent=1,
    )
