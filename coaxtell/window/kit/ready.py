"""Ready surfaces kept for the next frame; the ones not used longest go first."""

from __future__ import annotations

from collections import OrderedDict

import pygame


class Ready:
    """Surfaces by what they show, as many as fit a number of pixels."""

    def __init__(self, pixels: int) -> None:
        """Room for so many pixels."""
        self._room = pixels
        self._used = 0
        self._surfaces: OrderedDict[object, pygame.Surface] = OrderedDict()

    def get(self, key: object) -> pygame.Surface | None:
        """The surface, or none."""
        found = self._surfaces.get(key)
        if found is not None:
            self._surfaces.move_to_end(key)
        return found

    def put(self, key: object, surface: pygame.Surface) -> pygame.Surface:
        """Keep a surface and give it back."""
        self.drop(key)
        self._surfaces[key] = surface
        self._used += _pixels(surface)
        while self._used > self._room and len(self._surfaces) > 1:
            _, old = self._surfaces.popitem(last=False)
            self._used -= _pixels(old)
        return surface

    def drop(self, key: object) -> None:
        """Let one go, if it is there."""
        old = self._surfaces.pop(key, None)
        if old is not None:
            self._used -= _pixels(old)


def _pixels(surface: pygame.Surface) -> int:
    return surface.get_width() * surface.get_height()
