"""A page at true size: its check bar, the outline of a bank card, and words for who prints it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Literal

from coaxtell.models.acts import Act, before
from coaxtell.models.drawings.drawing import Item, Text
from coaxtell.models.palette import INK, QUIET
from coaxtell.models.words import said
from coaxtell.pages import address_code
from coaxtell.pages.document import Document
from coaxtell.pages.fpdf2 import FPDF

Paper = Literal["a4", "letter", "a3"]

CARD_WIDTH, CARD_HEIGHT, CARD_CORNER = 85.60, 53.98, 3.18
"""A bank card [mm]: ISO/IEC 7810 ID-1."""
BAR = 100.0
"""Length of the check bar [mm]."""
MARGIN = 12.0
FOOT = 14.0
CARD_LEFT = 8.0
"""The card stands a little outside the margin, to leave room between it and the bar [mm]."""
CARD_ROOM = CARD_HEIGHT + 5.0
"""Height that card, bar and their words take [mm]."""
CODE = 32.0
"""Side of the code with the page's address [mm]: a phone reads its modules from an arm's length (assumed)."""
EDGE = 0.12
"""Width of edges drawn at life size [mm]."""


SIDES = ", and the part beside its side view (a precision port is held over it, and nothing touches its face)"


class TruePage(Document):
    """A document whose every page carries the check bar and the card's outline at its foot."""

    def __init__(self, title: str, paper: Paper, address: str = "", sides: bool = True) -> None:
        """`address`: of the page for the pocket, shown inside the card's outline, where one is given.

        `sides`: whether halves are seen from the side as well, and precision ports among them.
        """
        self._address = address
        self._sides = sides
        super().__init__(title, paper)
        self.set_auto_page_break(False)

    @property
    def floor(self) -> float:
        """Down to where a page may be filled above the card [mm]."""
        return float(self.h) - FOOT - CARD_ROOM

    def footer(self) -> None:
        """Check bar, card and the line at the foot of each page."""
        self.check()
        super().footer()

    def check(self) -> None:
        """The card's outline on the left, the bar and what they are for beside it."""
        left, top = CARD_LEFT, float(self.h) - FOOT - CARD_HEIGHT
        self.stroke(INK, 0.2)
        self.rect(left, top, CARD_WIDTH, CARD_HEIGHT, round_corners=True, corner_radius=CARD_CORNER)
        self.ink(7.5, QUIET)
        self.text(left + 4, top + 6, "A bank card fills this outline: 85.60 x 53.98 mm")
        if self._address:
            self._code(left, top)
        right, y = float(self.w) - MARGIN, top + 9.0
        self.stroke(INK, 0.25)
        self.line(right - BAR, y, right, y)
        for k in range(11):
            x = right - BAR + 10 * k
            self.line(x, y, x, y - (3.0 if k in (0, 10) else 1.6))
        self.ink(8.5, INK, bold=True)
        self.text(right - BAR + 2.5, y - 4.0, "100 mm. If the bar is not 100 mm, the printer scaled:")
        self.ink(8, INK)
        words = (
            "print again at 100 % (actual size), not fitted to the page. Nothing on this page may be measured before "
            f"the bar is right. Then lay the port on its picture, face down{SIDES if self._sides else ''}: "
            "outline on outline, centre on centre. Drawn at nominal size; parts differ within their limits, the body "
            f"behind the face by make. {said(before([Act.UNSCREW, Act.LOOK, Act.TOUCH]))[0]}"
        )
        self.lines(right - BAR, y + 5.0, self.broken(words, BAR - 1), 4.0)

    def _code(self, left: float, top: float) -> None:
        """The address as a code and in letters, within the card's outline."""
        address_code.put(self, self._address, left + CARD_WIDTH - CODE - 5, top + CARD_HEIGHT - CODE - 4, CODE)
        self.ink(7.5, INK)
        words = [address_code.SAME, *self.broken(self._address, CARD_WIDTH - CODE - 14)]
        self.lines(left + 4, top + 16.0, words, 3.6)


@contextmanager
def closing(pdf: FPDF) -> Iterator[None]:
    """Close the font files of a document whose making fails or is stopped."""
    try:
        yield
    except BaseException:
        for font in pdf.fonts.values():
            close = getattr(font, "close", None)
            if close is not None:
                close()
        raise


def hairline(item: Item) -> Item:
    """A shape of a drawing with edges thin enough for life size."""
    return item if isinstance(item, Text) else item._replace(width=min(item.width, EDGE))
