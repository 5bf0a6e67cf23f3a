"""The wall chart: the three rules of the trade and the everyday look-alikes, on one page at life size."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import plastic
from coaxtell.models.acts import Act, before
from coaxtell.models.drawings import face
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Mating, Verdict, mate
from coaxtell.models.palette import ACTION, HARM, INK, QUIET
from coaxtell.models.tables import Tables
from coaxtell.models.words import said
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.lifesize_page import MARGIN, Paper, TruePage, hairline

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
ROWS = (
    ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack"),
    ("bnc-50-plug", "bnc-50-jack", "rp-bnc-plug", "rp-bnc-jack"),
    ("tnc-plug", "tnc-jack", "rp-tnc-plug", "rp-tnc-jack"),
    ("n-50-plug", "n-50-jack", "rp-n-plug", "rp-n-jack"),
    ("f-plug", "f-jack", "uhf-plug", "uhf-jack"),
)
"""The everyday halves, four to a row."""
ALSO = {"n-50-plug": (("n-50-plug", "n-75-jack"), ("n-75-plug", "n-50-jack"))}
"""Pairs that the eye takes for those of a row, by the row's first half."""
FORCE = "Never force a coupling."
PLASTIC = {"level": "plastic level", "sunk": "plastic sunk", "deep": "plastic deep", "tube": "plastic a tube"}
"""Where the plastic ends against the rim, in two words or three."""
LEADING = 3.6
"""From line to line beside a picture [mm]."""
SAID, NAMED = 7.5, 9.0
"""Sizes of the type [points]."""


class _Sentence(NamedTuple):
    """A sentence under a row: how far right [mm], in which line, its colour and words."""

    x: float
    line: int
    colour: str
    words: str


def write(known: Tables, path: Path, paper: Paper, address: str = "") -> None:
    """Write the chart as a PDF of one page, with the address of the page for the pocket where one is given.

    Raises InputError where a table lacks an everyday half.
    """
    pdf = TruePage("Three rules and everyday look-alikes", paper, address)
    pdf.ink(18, INK, bold=True)
    pdf.text(MARGIN, 19, TITLE)
    pdf.ink(7.5, INK, bold=True)
    caution = pdf.broken(f"{FORCE} {said(before([Act.JOIN]))[0]}", 62)
    pdf.lines(float(pdf.w) - MARGIN - 62, 10.5, caution, 3.2)
    _rules(pdf)
    y = 32.0 + 3.6 * max(len(_rule(pdf, why)) for _, why in RULES)
    rows = [[known.half(half_id) for half_id in row] for row in ROWS]
    told = [_laid(pdf, _verdicts(row, known)) for row in rows]
    heights = [_height(row) + 6.5 + 3.5 * words[-1].line for row, words in zip(rows, told, strict=True)]
    spare = max(pdf.floor - y - sum(heights), 0.0) / len(rows)
    for row, words, height in zip(rows, told, heights, strict=True):
        _row(pdf, row, words, y)
        y += height + spare
    pdf.output(str(path))


def _rules(pdf: TruePage) -> None:
    width = float(pdf.epw) / 3
    for k, (rule, why) in enumerate(RULES):
        x = MARGIN + k * width
        pdf.ink(13, ACTION, bold=True)
        pdf.text(x, 27.5, f"{k + 1}  {rule}")
        pdf.lines(x, 32.0, _rule(pdf, why), 3.6)


def _rule(pdf: TruePage, why: str) -> list[str]:
    """What is said of a rule, in the lines of its column and in their ink."""
    pdf.ink(8, INK)
    return pdf.broken(why, float(pdf.epw) / 3 - 4)


def _row(pdf: TruePage, row: list[Half], verdicts: list[_Sentence], y: float) -> None:
    pdf.rule(MARGIN, y, float(pdf.epw))
    high = _height(row)
    said = [_said(half) for half in row]
    wides = [2 * face.extent(half)[0] + 2 + _words_width(pdf, words) for half, words in zip(row, said, strict=True)]
    gap = (float(pdf.epw) - sum(wides)) / (len(row) - 1)
    x, middle = MARGIN, y + 1.5 + high / 2
    for half, words, wide in zip(row, said, wides, strict=True):
        reach = face.extent(half)[0]
        put(pdf, map(hairline, face.parts(half, (x + reach, middle), 1.0)))
        for number, line in enumerate(words):
            pdf.ink(SAID if number else NAMED, INK, bold=not number)
            pdf.text(x + 2 * reach + 2, middle + 1.2 + LEADING * (number - 1.5), line)
        x += wide + gap
    for left, down, colour, sentence in verdicts:
        pdf.ink(SAID, colour)
        pdf.text(MARGIN + left, y + high + 5.0 + 3.5 * down, sentence)


def _laid(pdf: TruePage, said: list[tuple[str, str]]) -> list[_Sentence]:
    """Sentences one behind the other in lines of the page's width."""
    laid: list[_Sentence] = []
    x, line = 0.0, 0
    pdf.ink(SAID)
    for colour, words in said:
        wide = float(pdf.get_string_width(words))
        if x and x + wide > float(pdf.epw):
            x, line = 0.0, line + 1
        laid.append(_Sentence(x, line, colour, words))
        x += wide + 6
    return laid


def _height(row: list[Half]) -> float:
    return max(4 * LEADING + 1.0, *(2 * face.extent(half)[1] + 2.5 for half in row))


def _said(half: Half) -> tuple[str, ...]:
    """Name, coupling, contact and where the plastic ends, each in a word or two."""
    contact = "pin" if half.centre.pin is not None else "socket"
    if half.nut is not None:
        holds = "nut" if half.nut.thread is not None else "sleeve"
    else:
        holds = "thread outside" if half.thread is not None else "lugs outside"
    return half.name.removesuffix(" 50 ohm"), holds, contact, PLASTIC[plastic(half, Nominal())[0]]


def _words_width(pdf: TruePage, words: tuple[str, ...]) -> float:
    widest = 0.0
    for number, line in enumerate(words):
        pdf.ink(SAID if number else NAMED, INK, bold=not number)
        widest = max(widest, float(pdf.get_string_width(line)))
    return widest


def _verdicts(row: list[Half], known: Tables) -> list[tuple[str, str]]:
    """What becomes of the pairs of a row, worked out: which mate, which only seem to and which break."""
    pairs = [mate(a, b) for k, a in enumerate(row) for b in row[k + 1 :]]
    names = {half.id: half.name.removesuffix(" 50 ohm") for half in row}
    for first, second in ALSO.get(row[0].id, ()):
        a, b = known.half(first), known.half(second)
        pairs.append(mate(a, b))
        names |= {half.id: half.name.removesuffix(" ohm") for half in (a, b) if half.id not in names}

    def listed(found: list[Mating]) -> str:
        return ", ".join(f"{names[m.a]} + {names[m.b]}" for m in found)

    good = [m for m in pairs if m.verdict in JOINED]
    bad = [m for m in pairs if m.verdict is Verdict.DAMAGES]
    empty = [m for m in pairs if m.verdict is Verdict.NO_CONTACT]
    unsure = [m for m in pairs if m.verdict is Verdict.NOT_KNOWN]
    said = [(INK, f"✓ mates: {listed(good)}")] if good else []
    if bad:
        said.append((HARM, f"✗ breaks: {listed(bad)}"))
    if empty:
        said.append((QUIET, f"– joins, no contact: {listed(empty)}"))
    if unsure:
        said.append((QUIET, f"? not known: {listed(unsure)}"))
    return said
