"""The user's own folders, where each system keeps them: settings, kept pictures, records, documents."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Literal

NAME = "coaxtell"
RECORDS = "COAXTELL_RECORDS"
"""Environment variable that names the record, where nothing else does."""
HOME = "COAXTELL_HOME"
"""Environment variable that puts all of them under one folder."""


def folder(kind: Literal["config", "cache", "data"]) -> Path:
    """The user's own folder for settings (`config`), pictures kept (`cache`) or records (`data`)."""
    import platformdirs  # only where something is kept: a quick answer keeps nothing

    home = os.environ.get(HOME, "")
    if home:
        return Path(home) / kind
    places = platformdirs.PlatformDirs(NAME, appauthor=False)
    return {"config": places.user_config_path, "cache": places.user_cache_path, "data": places.user_data_path}[kind]


def own_record() -> Path:
    """The user's own record of answers."""
    return folder("data") / "records.db"


def record(named: str | None) -> str:
    """Where the record lies: where it was named, else by the environment, else in the user's own data folder."""
    return named or os.environ.get(RECORDS) or str(own_record())


def documents() -> Path:
    """Where sheets go: the user's documents, else the home folder."""
    import platformdirs

    found = platformdirs.user_documents_path()
    return found if found.is_dir() else Path.home()
