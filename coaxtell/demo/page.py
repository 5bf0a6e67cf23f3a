"""The one page from which all of the demonstration is opened, and the sentence that every page of it carries."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.demo.steps import Step
from coaxtell.pages import html

INDEX = "index.html"
INVENTED = (
    "All of this is invented: the depot, its gates, readers, antennas and people, what they answered, and what was "
    "measured. Only the connector families and cable classes are real, with numbers from the tables."
)
FIRST = (
    "A depot gets two gates. Somebody walks the site, names its ports, plans and orders the cables, checks what came, "
    "and sees to it that nobody joins what must not meet. Below each step stand its commands; press one to see "
    "what the terminal said.",
    "Every file here was written by them. To try one yourself, open a terminal in this folder and type the line.",
)
CAUTIONS = (
    "Before a real port is touched: transmitter off, no DC on the coax, nothing forced.",
    "At height be secured first; there, near lightning protection and on live sites, local codes and licensed practice "
    "decide; so does the equipment's own grant for radiated power.",
)


class Told(NamedTuple):
    """A step that was made, with its lines as they were typed and what the terminal said to each."""

    step: Step
    said: Sequence[tuple[str, str]]


def index(site: str, steps: Sequence[Told]) -> str:
    """The page of a site's steps."""
    return html.page(
        "demo", title=f"{site}: a demonstration", invented=INVENTED, first=FIRST, steps=steps, cautions=CAUTIONS
    )


def marked(page: str) -> str:
    """A page that a command wrote, with the sentence at its top and a way back."""
    return page.replace("<body>", f"<body>\n{html.page('demo_banner', invented=INVENTED)}", 1)
