"""Memory that is free again, given back to the system: a large picture must not be held for those to come."""

from __future__ import annotations

import ctypes
import gc
import sys


def give_back() -> None:
    """Give back what nothing holds any more, where the system's library has a way for it; elsewhere nothing."""
    gc.collect()
    if not sys.platform.startswith("linux"):
        return
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)  # GNU's library alone has it
    if trim is not None:
        trim(0)
