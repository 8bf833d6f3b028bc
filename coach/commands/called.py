"""How the coach was called, for what it tells the maker to type."""

from __future__ import annotations

import os

COMMAND = "COACH_COMMAND"  # set where a script called it ("./start")


def command() -> str:
    """What a maker types to start the coach."""
    return os.environ.get(COMMAND, "coach")
