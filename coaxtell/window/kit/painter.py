"""Recorded calls turned into pixels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import pygame
import pygame.gfxdraw

from coaxtell.window.kit.faded import fade
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import (
    Call,
    Curve,
    Fill,
    Frame,
    Grid,
    Hatch,
    Line,
    Patch,
    Picture,
    Point,
    Ring,
    Shape,
    Words,
)
from coaxtell.window.kit.ready import Ready
from coaxtell.window.kit.theme import Colour, Palette, mixed

OVER = 3
"""Shapes are drawn this many times too large and reduced, which smooths their edges."""
HELD_PIXELS = 8_000_000
"""Pixels of ready shapes and words kept for the next frame."""
STAYS = 0.2
"""A picture that is fainter than this is on its way off the bench."""
FINE_FROM = 7.0
"""Fewest pixels per mm at which the 1 mm lines are drawn."""


class Painter:
    """Paints calls at one scale and palette."""

    def __init__(self, palette: Palette, type_: Type) -> None:
        """A painter with nothing held."""
        self.palette = palette
        self.type = type_
        self.scale = type_.scale
        self._held = Ready(HELD_PIXELS)

    def paint(self, calls: Iterable[Call], target: pygame.Surface) -> None:
        """Paint all calls in order."""
        for call in calls:
            if isinstance(call, Words):
                self._words(call, target)
            elif isinstance(call, Fill):
                self._fill(call, target)
            elif isinstance(call, Shape):
                self._shape(call, target)
            elif isinstance(call, Line):
                width = max(1, round(call.width * self.scale))
                pygame.draw.line(target, call.colour, self._at(call.start), self._at(call.end), width)
            elif isinstance(call, Frame):
                width = max(1, round(call.width * self.scale))
                radius = round(call.radius * self.scale)
                pygame.draw.rect(target, call.colour, self._rect(call.box), width, border_radius=radius)
            elif isinstance(call, Picture):
                self._picture(call, target)
            elif isinstance(call, Hatch):
                self._hatch(call, target)
            elif isinstance(call, Ring):
                self._ring(call, target)
            elif isinstance(call, Curve):
                self._curve(call, target)
            elif isinstance(call, Grid):
                self._grid(call, target)
            else:
                target.set_clip(None if call.box is None else self._rect(call.box))
        target.set_clip(None)

    def _at(self, point: Point) -> tuple[int, int]:
        return round(point[0] * self.scale), round(point[1] * self.scale)

    def _rect(self, box: Box) -> pygame.Rect:
        left, top = self._at((box.x, box.y))
        right, bottom = self._at((box.right, box.bottom))
        return pygame.Rect(left, top, max(0, right - left), max(0, bottom - top))

    def _words(self, call: Words, target: pygame.Surface) -> None:
        key = (call.words, call.size, call.bold, call.colour)
        ready = self._held.get(key)
        if ready is None:
            ready = self.type.font(call.size, call.bold).render(call.words, True, call.colour)
            self._held.put(key, ready)
        target.blit(ready, self._at((call.box.x, call.box.y)))

    def _fill(self, call: Fill, target: pygame.Surface) -> None:
        rect = self._rect(call.box)
        radius = round(call.radius * self.scale)
        if call.alpha >= 1:
            pygame.draw.rect(target, call.colour, rect, border_radius=radius)
            return
        if rect.w and rect.h:
            veil = pygame.Surface(rect.size, pygame.SRCALPHA)
            pygame.draw.rect(veil, (*call.colour, round(255 * call.alpha)), veil.get_rect(), border_radius=radius)
            target.blit(veil, rect)

    def _picture(self, call: Picture, target: pygame.Surface) -> None:
        rect = self._rect(call.box)
        if not rect.w or not rect.h:
            return
        key = (call.surface, rect.size, round(call.alpha, 2), call.tint)
        ready = self._held.get(key)
        if ready is None:
            ready = self._held.put(key, self._prepared(call, rect.size))
        target.blit(ready, rect)

    def _prepared(self, call: Picture, size: tuple[int, int]) -> pygame.Surface:
        """A picture at its size, in the light of this bench, with an edge where the bench is as bright as metal."""
        ready = call.surface
        if ready.get_size() != size:
            # a picture rendered for another size is fitted until the right one comes
            ready = pygame.transform.smoothscale(ready, size)
        if call.paper:
            return ready
        r, g, b = (round(t * s / 255) for t, s in zip(call.tint, self.palette.shade, strict=True))
        if (r, g, b) != (255, 255, 255) or call.alpha < 1:
            ready = ready.copy()
            ready.fill((r, g, b, 255), special_flags=pygame.BLEND_RGBA_MULT)
        if self.palette.tone == "light":
            ready = self._edged(ready)
        if STAYS <= call.alpha < 1:
            fade(ready, self.palette.bench, call.alpha)
        else:
            self._sink(ready, call.alpha)
        return ready

    def _edged(self, ready: pygame.Surface) -> pygame.Surface:
        """A picture with a thin dark outline."""
        shape = pygame.mask.from_surface(ready, 96).to_surface(
            setcolor=(*self.palette.ink, 255), unsetcolor=(0, 0, 0, 0)
        )
        edged = pygame.Surface(ready.get_size(), pygame.SRCALPHA)
        for at in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            edged.blit(shape, at)
        edged.blit(ready, (0, 0))
        return edged

    def _sink(self, ready: pygame.Surface, strength: float) -> None:
        """Mix the bench's colour into a surface: it pales, and nothing behind it shows through."""
        if strength >= 1:
            return
        share = round(255 * strength)
        ready.fill((share, share, share, 255), special_flags=pygame.BLEND_RGBA_MULT)
        r, g, b = (round(c * (1 - strength)) for c in self.palette.bench)
        ready.fill((r, g, b, 0), special_flags=pygame.BLEND_RGBA_ADD)

    def _hatch(self, call: Hatch, target: pygame.Surface) -> None:
        rect = self._rect(call.box)
        before = target.get_clip()
        target.set_clip(rect.clip(before) if before.size != (0, 0) else rect)
        step = max(3, round(call.pitch * self.scale))
        width = max(1, round(1.4 * self.scale))
        for x in range(rect.left - rect.height, rect.right, step):
            pygame.draw.line(target, call.colour, (x, rect.bottom), (x + rect.height, rect.top), width)
        target.set_clip(before)

    def _ring(self, call: Ring, target: pygame.Surface) -> None:
        x, y = self._at(call.centre)
        radius = max(1, round(call.radius * self.scale))
        if call.width:
            pygame.draw.circle(target, call.colour, (x, y), radius, max(1, round(call.width * self.scale)))
        else:
            pygame.gfxdraw.aacircle(target, x, y, radius, call.colour)
            pygame.gfxdraw.filled_circle(target, x, y, radius, call.colour)

    def _curve(self, call: Curve, target: pygame.Surface) -> None:
        points = [(x * self.scale, y * self.scale) for x, y in call.points]
        half = max(0.5, call.width * self.scale / 2)
        for (ax, ay), (bx, by) in pairwise(points):
            length = math.hypot(bx - ax, by - ay)
            if length < 1e-6:
                continue
            nx, ny = (ay - by) / length * half, (bx - ax) / length * half
            corners = [(ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny), (ax - nx, ay - ny)]
            if any(abs(v) > 30_000 for corner in corners for v in corner):
                continue
            pygame.gfxdraw.aapolygon(target, corners, call.colour)
            pygame.gfxdraw.filled_polygon(target, corners, call.colour)

    def _grid(self, call: Grid, target: pygame.Surface) -> None:
        rect = self._rect(call.box)
        per_mm = call.per_mm * self.scale
        if not rect.w or not rect.h or per_mm <= 0:
            return
        ox, oy = call.origin[0] * self.scale - rect.x, call.origin[1] * self.scale - rect.y
        key = ("grid", rect.size, round(per_mm, 4), round(ox, 1), round(oy, 1))
        ready = self._held.get(key)
        if ready is None:
            ready = self._held.put(key, self._bench(rect.size, per_mm, (ox, oy)))
        target.blit(ready, rect)

    def _bench(self, size: tuple[int, int], per_mm: float, origin: Point) -> pygame.Surface:
        ground = pygame.Surface(size)
        ground.fill(self.palette.bench)
        steps = [(10, self.palette.grid_coarse)]
        if per_mm >= FINE_FROM:
            steps.insert(0, (1, self.palette.grid_fine))
        elif per_mm * 10 < FINE_FROM:
            steps = [(100, self.palette.grid_coarse)]
        for step, colour in steps:
            pitch = step * per_mm
            for axis in (0, 1):
                first = math.ceil(-origin[axis] / pitch)
                last = math.floor((size[axis] - origin[axis]) / pitch)
                for k in range(first, last + 1):
                    at = round(origin[axis] + k * pitch)
                    ends = ((at, 0), (at, size[1])) if axis == 0 else ((0, at), (size[0], at))
                    pygame.draw.line(ground, colour, *ends)
        return ground

    def _shape(self, call: Shape, target: pygame.Surface) -> None:
        per_mm = call.per_mm * self.scale
        key = (call.patches, round(per_mm, 3), round(call.alpha, 2))
        xs = [x for patch in call.patches for x, _ in patch.points]
        ys = [y for patch in call.patches for _, y in patch.points]
        if not xs or per_mm <= 0:  # a window of a few pixels leaves a bench no room
            return
        pad = 2
        left, top = min(xs), min(ys)
        width = math.ceil((max(xs) - left) * per_mm) + 2 * pad
        height = math.ceil((max(ys) - top) * per_mm) + 2 * pad
        ready = self._held.get(key)
        if ready is None:
            ready = self._held.put(key, self._drawn(call.patches, (left, top), (width, height), per_mm, pad))
            self._sink(ready, call.alpha)
        x, y = call.origin[0] * self.scale + left * per_mm - pad, call.origin[1] * self.scale + top * per_mm - pad
        target.blit(ready, (round(x), round(y)))

    def _drawn(
        self, patches: tuple[Patch, ...], low: Point, size: tuple[int, int], per_mm: float, pad: int
    ) -> pygame.Surface:
        over = OVER if size[0] * size[1] < 1_500_000 else 2
        big = pygame.Surface((size[0] * over, size[1] * over), pygame.SRCALPHA)
        # reduced edges mix with what lies under them: keep that the colour of the outlines
        big.fill((*self.palette.ink, 0))
        step = per_mm * over
        thick = max(1, round(over * min(1.6, max(0.4, per_mm / 14), max(0.7, self.scale))))
        for patch in patches:
            points = [((x - low[0]) * step + pad * over, (y - low[1]) * step + pad * over) for x, y in patch.points]
            if len(points) < 3:
                if patch.ink is not None and len(points) == 2:
                    pygame.draw.line(big, patch.ink, points[0], points[1], max(1, thick * 2 // 3))
                continue
            if patch.holes and patch.fill is not None:
                rings = [[((x - low[0]) * step + pad * over, (y - low[1]) * step + pad * over) for x, y in hole]
                         for hole in patch.holes]  # fmt: skip
                self._pierced(big, points, rings, patch.fill)
                if patch.ink is not None:
                    for ring in rings:
                        pygame.draw.lines(big, patch.ink, True, ring, thick)
            elif patch.fill is not None:
                pygame.draw.polygon(big, patch.fill, points)
            if patch.hatched is not None:
                self._hatched(big, points, patch.hatched, over)
            if patch.ink is not None:
                pygame.draw.lines(big, patch.ink, True, points, thick)
        return pygame.transform.smoothscale(big, size)

    @staticmethod
    def _pierced(big: pygame.Surface, points: list[Point], rings: list[list[Point]], colour: Colour) -> None:
        """An area with holes through which what lies deeper is seen."""
        left, top = math.floor(min(p[0] for p in points)), math.floor(min(p[1] for p in points))
        size = (math.ceil(max(p[0] for p in points)) - left + 1, math.ceil(max(p[1] for p in points)) - top + 1)
        own = pygame.Surface(size, pygame.SRCALPHA)
        pygame.draw.polygon(own, colour, [(x - left, y - top) for x, y in points])
        for ring in rings:
            pygame.draw.polygon(own, (0, 0, 0, 0), [(x - left, y - top) for x, y in ring])
        big.blit(own, (left, top))

    def _hatched(self, big: pygame.Surface, points: list[Point], colour: Colour, over: int) -> None:
        left, top = min(p[0] for p in points), min(p[1] for p in points)
        right, bottom = max(p[0] for p in points), max(p[1] for p in points)
        size = (max(1, math.ceil(right - left)), max(1, math.ceil(bottom - top)))
        lines = pygame.Surface(size, pygame.SRCALPHA)
        step = max(4, round(5 * self.scale * over))
        start = -size[1] - (round(left) + round(bottom)) % step
        for x in range(start, size[0], step):
            pygame.draw.line(lines, colour, (x, size[1]), (x + size[1], 0), max(1, round(over * self.scale * 0.9)))
        stencil = pygame.Surface(size, pygame.SRCALPHA)
        pygame.draw.polygon(stencil, (255, 255, 255, 255), [(x - left, y - top) for x, y in points])
        lines.blit(stencil, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
        big.blit(lines, (left, top))


def veil(palette: Palette) -> Colour:
    """The colour that dims what lies behind a dialog."""
    return mixed(palette.bench, (0, 0, 0), 0.5)
