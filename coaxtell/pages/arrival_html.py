"""A delivery as one HTML file: all cables in a table, then verdict, figures with their limits and sweep of each."""

from __future__ import annotations

from coaxtell.pages import html
from coaxtell.pages.arrival_content import Pages


def page(pages: Pages) -> str:
    """The file's text."""
    return html.page("arrival", **pages._asdict())
