"""Pictures for the scenes, by name: ready ones at once, others when they come. This one draws none."""

from __future__ import annotations


class Pictures:
    """Where no pictures can be drawn: drawings take their place and a line says so."""

    why = "Pictures are off: drawings take their place."

    def poll(self) -> bool:
        """Take in what has come; true where something new can be shown."""
        return False

    def close(self) -> None:
        """Leave nothing running."""
