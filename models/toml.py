"""TOML text read so that hostile text is told like any other fault."""

from __future__ import annotations

import tomllib
from typing import Any

TOMLDecodeError = tomllib.TOMLDecodeError


def loads(text: str) -> dict[str, Any]:
    """What a TOML text holds.

    Raises TOMLDecodeError also where values are nested too deep or a number has thousands of digits, for which
    the library itself gives up in ways of its own.
    """
    try:
        return tomllib.loads(text)
    except TOMLDecodeError:
        raise
    except RecursionError:
        raise TOMLDecodeError("Values are nested too deep") from None
    except ValueError:
        raise TOMLDecodeError("A number has too many digits") from None
