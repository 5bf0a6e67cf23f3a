"""What stands on a PDF page, read back from its content stream with pypdf: outlines in mm from the top left."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from pypdf import PdfReader
from pypdf.generic import ContentStream, NameObject

PER_POINT = 25.4 / 72
Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Run(NamedTuple):
    """One painted run of points [mm], with the number of curves in it."""

    points: tuple[Point, ...]
    curves: int


class Circle(NamedTuple):
    """A circle [mm]."""

    x: float
    y: float
    d: float


def _times(a: Matrix, b: Matrix) -> Matrix:
    """The product of two PDF matrices, ISO 32000-1, 8.3.4: first `a`, then `b`."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )  # fmt: skip


@cache
def reader(path: Path) -> PdfReader:
    return PdfReader(path)


@cache
def content(path: Path, page: int) -> ContentStream:
    """What is drawn on a page (from 1). It is parsed once: what reads the text takes it from the page as it is."""
    pdf = reader(path)
    sheet = pdf.pages[page - 1]
    parsed = ContentStream(sheet.get_contents(), pdf, "bytes")
    sheet[NameObject("/Contents")] = parsed
    return parsed


@cache
def outlines(path: Path, page: int) -> tuple[Run, ...]:
    """All painted runs of points of a page (from 1)."""
    high = float(reader(path).pages[page - 1].mediabox.height)
    stack: list[Matrix] = []
    now = IDENTITY
    open_: list[list[Point]] = []
    curves: list[int] = []
    found: list[Run] = []

    def at(x: Any, y: Any) -> Point:
        px, py = float(x), float(y)
        u = px * now[0] + py * now[2] + now[4]
        v = px * now[1] + py * now[3] + now[5]
        return u * PER_POINT, (high - v) * PER_POINT

    for operands, operator in content(path, page).operations:
        if operator == b"q":
            stack.append(now)
        elif operator == b"Q":
            now = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = (float(x) for x in operands)
            now = _times((a, b, c, d, e, f), now)
        elif operator == b"m":
            open_.append([at(*operands)])
            curves.append(0)
        elif operator == b"l":
            open_[-1].append(at(*operands))
        elif operator == b"c":
            open_[-1].append(at(*operands[4:]))
            curves[-1] += 1
        elif operator == b"re":
            x, y, w, h = (float(v) for v in operands)
            open_.append([at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)])
            curves.append(0)
        elif operator in (b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"n"):
            if operator != b"n":
                found += [Run(tuple(p), k) for p, k in zip(open_, curves, strict=True)]
            open_, curves = [], []
    return tuple(found)


@cache
def circles(path: Path, page: int) -> tuple[Circle, ...]:
    """The circles of a page: runs of many points that all lie within 0.01 mm of one distance from their middle."""
    found = []
    for run in outlines(path, page):
        points = run.points
        if len(points) < 40:
            continue
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        r = (max(xs) - min(xs)) / 2
        if all(abs(math.dist(p, (x, y)) - r) < 0.01 for p in points):
            found.append(Circle(x, y, 2 * r))
    return tuple(found)


def print_scaling(path: Path) -> str:
    """What the document asks of viewers that print it (ISO 32000-1, 12.2)."""
    root: Any = reader(path).trailer["/Root"]
    return str(root["/ViewerPreferences"]["/PrintScaling"])


@cache
def words(path: Path, page: int) -> str:
    """The words of a page, lines as they were written."""
    content(path, page)
    return reader(path).pages[page - 1].extract_text()


def sizes(path: Path, page: int) -> set[float]:
    """The sizes of the type on a page [points]."""
    return {float(operands[1]) for operands, operator in content(path, page).operations if operator == b"Tf"}
