"""Pages as HTML, each one file that needs nothing beside it, from the templates beside this module.

A spreadsheet opens such a page as a sheet, so that no text of a person may begin as a formula does.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell.models import cells, palette
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.pages.spacing import thin

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup


def page(template: str, **values: object) -> str:
    """The page of a template; its values are escaped unless they are `Markup`."""
    return environment("coaxtell.pages", "templates").get_template(f"{template}.html").render(values)


def write(path: Path, template: str, **values: object) -> None:
    """Write the page of a template piece by piece, so that a long one never lies in memory whole."""
    found = environment("coaxtell.pages", "templates").get_template(f"{template}.html")
    with path.open("w", encoding="utf-8", newline="") as file:
        file.writelines(found.generate(values))


@cache
def environment(package: str, folder: str) -> Environment:
    """The templates of a package's folder: values are escaped, a missing one is a fault."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    found = Environment(
        loader=PackageLoader(package, folder),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        undefined=StrictUndefined,
        finalize=_written,
    )
    found.filters |= {"thin": thin, "svg": inline}
    found.globals["colour"] = palette
    return found


def _written(value: object) -> object:
    # what is marked up is our own
    return cells.shown(value) if isinstance(value, str) and not hasattr(value, "__html__") else value


def inline(drawn: Drawing) -> Markup:
    """A drawing as SVG inside a page, where no XML declaration may stand."""
    from markupsafe import Markup

    return Markup(drawn.svg().split("?>", 1)[1].strip())
