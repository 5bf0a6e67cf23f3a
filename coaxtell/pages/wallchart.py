"""The wall chart: the three rules of the trade and the everyday look-alikes, on one page at life size."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import plastic
from coaxtell.models.acts import Act, before
from coaxtell.models.drawings import face
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, Verdict, mate
from coaxtell.models.palette import ACTION, HARM, INK, QUIET
from coaxtell.models.tables import Tables
from coaxtell.models.words import said
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.lifesize_page import MARGIN, Paper, TruePage, hairline
from coaxtell.pages.thinned import thinned

TITLE = "Does it fit? Three rules, then look"
RULES = (
    ("Same family", "SMA to SMA, N to N. Width and coupling tell: lay the port on its picture."),
    (
        "Same polarity",
        "The reverse kind has the contacts exchanged: a plug with a socket, a jack with a pin. In doubt let a wooden "
        "toothpick rest in the centre: it drops into a socket, it stands on a pin. Never metal, never pushed; not on a "
        "precision port, nor on a bayonet that may carry high voltage.",
    ),
    ("Opposite gender", "Plug to jack. The coupling tells, not the pin: thread or lugs outside = jack."),
)
SHARES = (0.24, 0.49, 0.27)
"""How the rules share the width of the page."""
ROWS = (
    ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack"),
    ("bnc-50-plug", "bnc-50-jack", "rp-bnc-plug", "rp-bnc-jack", "bnc-75-plug", "bnc-75-jack"),
    ("tnc-plug", "tnc-jack", "rp-tnc-plug", "rp-tnc-jack"),
    ("n-50-plug", "n-50-jack", "rp-n-plug", "rp-n-jack", "n-75-plug", "n-75-jack"),
    ("f-plug", "f-jack", "uhf-plug", "uhf-jack"),
)
"""The everyday halves, look-alikes in a row."""
FORCE = "Never force a coupling."
PLASTIC = {
    "level": "plastic level with the rim", "sunk": "plastic sunk behind the rim", "deep": "plastic deep",
    "tube": "plastic a tube",
}  # fmt: skip
"""Where the plastic ends against the rim, in two words or three."""
TOLD = (
    (Verdict.MATES, INK, "✓ mates"),
    (Verdict.LIMITS, INK, "✓ mates with limits"),
    (Verdict.DAMAGES, HARM, "✗ breaks"),
    (Verdict.NO_CONTACT, QUIET, "– joins, no contact"),
    (Verdict.NOT_KNOWN, QUIET, "? not known"),
)
"""The verdicts that are told, each with its colour and words; pairs that do not join need none."""
TIMES = tuple(step / 20 for step in range(34, 15, -1))
"""How large type and its leading may be, in times of the sizes below; at the least 6 points."""
LEADING = 3.6
"""From line to line beside a picture [mm]."""
SAID, NAMED, RULED = 7.5, 9.0, 8.0
"""Sizes of the type [points]."""
HEAD = 186.0
"""Width that title and rules take at the sizes above [mm]."""
GAP = 3.0
"""Least room between the halves of a row [mm]."""


class _Cell(NamedTuple):
    """A half with its words."""

    half: Half
    words: tuple[str, ...]
    wide: float
    """Width of picture and words together [mm]."""


class _Sentence(NamedTuple):
    """A line under a row: how far right [mm], in which line, its colour and words."""

    x: float
    line: int
    colour: str
    words: str


class _Row(NamedTuple):
    """A row as it is laid: its halves, whether their words stand below them, how high both are [mm], its sentences."""

    cells: list[_Cell]
    below: bool
    high: float
    sentences: list[_Sentence]


Extents = Mapping[str, tuple[float, float]]
"""How far each half reaches to the side and up, by id [mm]."""


def write(known: Tables, path: Path, paper: Paper, address: str = "") -> None:
    """Write the chart as a PDF of one page, with the address of the page for the pocket where one is given.

    Type is as large as the page allows. Raises InputError where a table lacks an everyday half.
    """
    pdf = TruePage("Three rules and everyday look-alikes", paper, address, sides=False)
    rows = [[known.half(half_id) for half_id in row] for row in ROWS]
    told = verdicts(rows)
    extents = {half.id: face.extent(half) for row in rows for half in row}
    for times in TIMES:
        head = min(times, float(pdf.epw) / HEAD)
        top = _rules_end(pdf, head)
        laid = [_laid(pdf, row, extents, words, times) for row, words in zip(rows, told, strict=True)]
        spare = pdf.floor - top - sum(_height(row, times) for row in laid)
        if spare >= 0:
            break
    _head(pdf, head)
    y = top
    for row in laid:
        _put(pdf, row, y, times)
        y += _height(row, times) + max(spare, 0.0) / len(laid)
    pdf.output(str(path))


def _base(times: float, lines: float) -> float:
    """A base line so many lines under the margin [mm]."""
    return MARGIN + LEADING * times * lines


def _head(pdf: TruePage, times: float) -> None:
    """Title, caution and the three rules."""
    pdf.ink(18 * times, INK, bold=True)
    pdf.text(MARGIN, _base(times, 1.95), TITLE)
    pdf.ink(SAID * times, INK, bold=True)
    caution = pdf.broken(f"{FORCE} {said(before([Act.JOIN]))[0]}", 62 * times)
    pdf.lines(float(pdf.w) - MARGIN - 62 * times, _base(times, 0) - 1.5, caution, 0.9 * LEADING * times)
    x = MARGIN
    for number, ((rule, why), share) in enumerate(zip(RULES, SHARES, strict=True), start=1):
        pdf.ink(12.5 * times, ACTION, bold=True)
        pdf.text(x, _base(times, 4.3), f"{number}  {rule}")
        lines = _rule(pdf, why, share, times)
        pdf.lines(x, _base(times, 5.6), lines, LEADING * times)
        x += share * float(pdf.epw)


def _rule(pdf: TruePage, why: str, share: float, times: float) -> list[str]:
    """What is said of a rule, in the lines of its column and in their ink."""
    pdf.ink(RULED * times, INK)
    return pdf.broken(why, share * float(pdf.epw) - 4)


def _rules_end(pdf: TruePage, times: float) -> float:
    """Where the rows begin, under the rules [mm]."""
    most = max(len(_rule(pdf, why, share, times)) for (_, why), share in zip(RULES, SHARES, strict=True))
    return _base(times, 5.6 + most - 0.4)


def _laid(pdf: TruePage, row: list[Half], extents: Extents, told: list[tuple[str, str]], times: float) -> _Row:
    """A row with its words beside the pictures, or below them where that is too wide: whichever is lower."""
    sentences = _sentences(pdf, told, times)
    room = float(pdf.epw) - GAP * (len(row) - 1)
    tallest = max(2 * extents[half.id][1] + 2.5 for half in row)
    found: list[_Row] = []
    for joined, below in ((True, False), (False, False), (True, True)):
        cells = [_cell(pdf, half, extents[half.id][0], joined, below, times) for half in row]
        lines = len(cells[0].words) * LEADING * times + 1.0
        high = tallest + lines if below else max(tallest, lines)
        if sum(cell.wide for cell in cells) <= room:
            found.append(_Row(cells, below, high, sentences))
    # nothing fits at this size of type: so high that a smaller one is tried
    return min(found, key=lambda one: one.high) if found else _Row(cells, True, float(pdf.h), sentences)


def _cell(pdf: TruePage, half: Half, reach: float, joined: bool, below: bool, times: float) -> _Cell:
    words = _words(half, joined)
    widest = 0.0
    for number, line in enumerate(words):
        _ink(pdf, number, times)
        widest = max(widest, float(pdf.get_string_width(line)))
    wide = 2 * reach
    return _Cell(half, words, max(wide, widest) if below else wide + 2 + widest)


def _ink(pdf: TruePage, number: int, times: float) -> None:
    """The ink of a line of a half's words: its name comes first."""
    pdf.ink(times * (SAID if number else NAMED), INK, bold=not number)


def _height(row: _Row, times: float) -> float:
    return row.high + 3.2 + 3.5 * times * (1 + row.sentences[-1].line)


def _put(pdf: TruePage, row: _Row, y: float, times: float) -> None:
    pdf.rule(MARGIN, y, float(pdf.epw))
    gap = (float(pdf.epw) - sum(cell.wide for cell in row.cells)) / (len(row.cells) - 1)
    tall = max(2 * face.extent(cell.half)[1] for cell in row.cells)
    middle = y + 1.5 + (tall / 2 if row.below else (row.high - 1) / 2)
    x = MARGIN
    for cell in row.cells:
        reach = face.extent(cell.half)[0]
        put(pdf, (thinned(hairline(item)) for item in face.parts(cell.half, (x + reach, middle), 1.0)))
        for number, line in enumerate(cell.words):
            _ink(pdf, number, times)
            if row.below:
                pdf.text(x, y + 1.5 + tall + LEADING * times * (number + 1), line)
            else:
                down = number - (len(cell.words) - 1) / 2
                pdf.text(x + 2 * reach + 2, middle + times * (1.2 + LEADING * down), line)
        x += cell.wide + gap
    for left, down, colour, sentence in row.sentences:
        pdf.ink(SAID * times, colour)
        pdf.text(MARGIN + left, y + row.high + 1.7 + 3.5 * times * (1 + down), sentence)


def _sentences(pdf: TruePage, told: list[tuple[str, str]], times: float) -> list[_Sentence]:
    """Sentences one behind the other in lines of the page's width."""
    laid: list[_Sentence] = []
    x, line = 0.0, 0
    pdf.ink(SAID * times)
    for colour, words in told:
        if x and x + float(pdf.get_string_width(words)) > float(pdf.epw):
            x, line = 0.0, line + 1
        lines = pdf.broken(words, float(pdf.epw))
        for number, part in enumerate(lines):
            line += number > 0
            laid.append(_Sentence(x, line, colour, part))
        x += float(pdf.get_string_width(lines[-1])) + 6 * times
    return laid


def _words(half: Half, joined: bool) -> tuple[str, ...]:
    """Name, coupling, contact and where the plastic ends, each in a word or two, coupling and contact in one line."""
    contact = "pin" if half.centre.pin is not None else "socket"
    if half.nut is not None:
        holds = "nut" if half.nut.thread is not None else "sleeve"
    else:
        holds = "thread outside" if half.thread is not None else "lugs outside"
    held = (f"{holds}, {contact}",) if joined else (holds, contact)
    return name(half), *held, PLASTIC[plastic(half, Nominal())[0]]


def name(half: Half) -> str:
    """What the chart calls a half: 50 ohm is not named."""
    return half.name.removesuffix(" 50 ohm").removesuffix(" ohm")


def verdicts(rows: list[list[Half]]) -> list[list[tuple[str, str]]]:
    """What becomes of all pairs of the chart, worked out: by row sentences with their colour.

    A pair of two rows stands under the later one, and only where it breaks something.
    """
    names = {half.id: name(half) for row in rows for half in row}

    def listed(found: Iterable[Mating]) -> str:
        return ", ".join(f"{names[one.a]} + {names[one.b]}" for one in found)

    told: list[list[tuple[str, str]]] = []
    for number, row in enumerate(rows):
        pairs = [mate(a, b) for k, a in enumerate(row) for b in row[k + 1 :]]
        across = [mate(a, b) for a in row for earlier in rows[:number] for b in earlier]
        pairs += [one for one in across if one.verdict is Verdict.DAMAGES]
        by_verdict = [(colour, words, [p for p in pairs if p.verdict is verdict]) for verdict, colour, words in TOLD]
        told.append([(colour, f"{words}: {listed(found)}") for colour, words, found in by_verdict if found])
    return told
