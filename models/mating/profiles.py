"""Profiles of halves, each worked out once."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.profile import Profile, profile


class _Profiles:
    """Profiles of halves, by identity: halves are frozen and outlive one run of the matrix."""

    def __init__(self) -> None:
        self._held: dict[int, tuple[Half, Profile]] = {}

    def __call__(self, half: Half) -> Profile:
        held = self._held.get(id(half))
        if held is None:
            held = self._held[id(half)] = (half, profile(half))
        return held[1]


profile_of = _Profiles()
"""The profile of a half, computed once."""
