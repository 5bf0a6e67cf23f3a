"""Where the cables' reasons become sentences; their texts stand in `texts/`."""

from __future__ import annotations

from coaxtell.models.catalogue import MODELS, Catalogue, Reason

CABLES = Catalogue("coaxtell.cables", below=MODELS)
"""What the cables' room says."""


def say(reason: Reason) -> str:
    """The sentence of a reason."""
    return CABLES.say(reason)
