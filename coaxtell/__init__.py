"""coaxtell: tells coaxial ports apart, says what mates, and trains people to see it themselves.

`from coaxtell import load, half, mate, ...` is the library, settled since 0.2.0; docs/library.md shows it at work.
"""

from typing import TYPE_CHECKING

__version__ = "0.2.0"

if TYPE_CHECKING:
    from coaxtell.library import Belief, cable_run, half, plan, say
    from coaxtell.models.errors import InputError
    from coaxtell.models.mating.mate import mate
    from coaxtell.models.solids.picture import picture
    from coaxtell.models.solids.solid import solid
    from coaxtell.models.tables import load
else:
    # each name is fetched where it is first asked for, so that a quick command loads nothing it does not use
    _PLACES = {
        "Belief": "library",
        "InputError": "models.errors",
        "cable_run": "library",
        "half": "library",
        "load": "models.tables",
        "mate": "models.mating.mate",
        "picture": "models.solids.picture",
        "plan": "library",
        "say": "library",
        "solid": "models.solids.solid",
    }

    def __getattr__(name: str) -> object:
        from importlib import import_module

        if name not in _PLACES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(import_module(f"{__name__}.{_PLACES[name]}"), name)


__all__ = [
    "Belief", "InputError", "cable_run", "half", "load", "mate", "picture", "plan", "say", "solid",
]  # fmt: skip
