"""The versions of a work's pattern: the one it was begun with, those taken up since, and the one in the file now."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from coach import fabric, notation
from coach.commands.check import size_index
from coach.commands.files import STANDARD_INPUT, Unreadable, text_of
from coach.fabric.model import Fabric
from coach.guide.model import State
from coach.memory.journal import Journal
from coach.memory.model import Work
from coach.topics import Versions

AS_IT_WAS = "I go on with the pattern as it was."
LOST = "The changed pattern can't be read from the journal. I go on with the one before it. Please check your place."


def taken_up(journal: Journal, work: Work) -> tuple[Fabric, State, list[str]]:
    """The pattern that a work is worked from, its state, and notices. Raises JournalError, and Unreadable for a size
    that the pattern has no more."""
    state = journal.resume(work)
    text = journal.text(work, state.pattern)
    if text is None:
        return worked(work.text, work.size), state.having(pattern="", before=None), [LOST]
    return worked(text, work.size), state, []


def worked(text: str, size: str | None) -> Fabric:
    pattern = notation.read(text)
    return fabric.work(pattern, size_index(pattern, size))


def versions_of(journal: Journal, work: Work, state: State, choice: str = "") -> tuple[Versions, list[str]]:
    """All versions, with the one to be offered where the file has changed; and notices."""

    @cache
    def version(key: str) -> Fabric:
        return worked(journal.text(work, key) or work.text, work.size)

    try:
        text = text_now(work)
        if text is None or text == journal.text(work, state.pattern):
            return Versions(version), []
        key = "" if text == work.text else journal.version(text)
        if not any(part.rounds for part in version(key).parts):
            raise Unreadable("It has no round that I can read.")
    except Unreadable as fault:
        return Versions(version), [f"The pattern file has changed. {fault.message} {AS_IT_WAS}"]
    return Versions(version, key, choice), []


def text_now(work: Work) -> str | None:
    """What a work's pattern file holds now; None where it has none, or it is not on this machine. Raises Unreadable."""
    if work.file == STANDARD_INPUT or not Path(work.file).is_file():
        return None
    return text_of(work.file)
