"""How the coach was called, for what it tells the maker to type."""

from __future__ import annotations

import os
import re

COMMAND = "COACH_COMMAND"  # set where a script called it ("./start")


def command() -> str:
    """What a maker types to start the coach."""
    return os.environ.get(COMMAND, "coach")


def as_typed(text: str) -> str:
    """A text that names a command as the rooms do, "Get one with: coach models get", with what a maker types for it."""
    commands = "bring|check|listen|models|plan|rehearse|sheet|soundcheck|works?"
    return re.sub(rf"(?:(?<=[:;] )|(?<= of ))coach(?= (?:{commands})\b)", lambda _: command(), text)
