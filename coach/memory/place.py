"""Where the journal lies on this machine."""

from __future__ import annotations

import os
from pathlib import Path

HOME_VARIABLE = "COACH_HOME"  # the folder to use in place of the system's own one


def home() -> Path:
    """The folder for what the coach keeps: COACH_HOME, or else the system's folder for a user's data."""
    chosen = os.environ.get(HOME_VARIABLE)
    if chosen:
        return Path(chosen).expanduser()
    from platformdirs import user_data_dir  # here: not needed where COACH_HOME is set

    return Path(user_data_dir("crochet-coach", appauthor=False))


def journal_path() -> Path:
    return home() / "journal.db"
