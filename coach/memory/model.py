"""What the journal keeps, and what can go wrong with it.

JournalError ─ kind: busy, closed, damaged, disk, full, newer, readonly, unreachable
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from coach.guide.model import Request


@dataclass(frozen=True, slots=True)
class Work:
    """A work in progress. text: the pattern as it was when begun; file: its path as given; size, terms: as chosen;
    begun, touched: times in UTC; finished: nothing was done on it since `Journal.finish`."""

    id: int
    title: str
    text: str = field(repr=False)
    file: str
    size: str | int | None
    terms: str
    begun: datetime
    touched: datetime
    finished: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """One request as it was recorded. kind: begin, turn or finish; heard: the words that came in; said: the answer."""

    kind: str
    at: datetime
    request: Request | None
    heard: str
    said: str


SENTENCES = {
    "busy": "Another program is holding the journal.",
    "closed": "The journal is closed.",
    "damaged": "The journal is damaged and could not be set aside.",
    "disk": "The disk does not work as it should.",
    "full": "The disk is full.",
    "newer": "This journal was written by a newer coach. Please update the coach. I leave the journal as it is.",
    "readonly": "I may not write to the journal.",
    "unreachable": "I can't open or make the journal.",
}


class JournalError(Exception):
    """Why the journal could not be read or written.

    kind: a key of SENTENCES; sentence: to be said; path: of the file; detail: as the system put it.
    """

    def __init__(self, kind: str, path: Path | None = None, detail: str = ""):
        self.kind = kind
        self.sentence = SENTENCES[kind]
        self.path = path
        self.detail = detail
        super().__init__(self.sentence)


class Damaged(Exception):
    """Something in the journal isn't as it was written."""


KINDS = {
    sqlite3.SQLITE_BUSY: "busy",
    sqlite3.SQLITE_LOCKED: "busy",
    sqlite3.SQLITE_PROTOCOL: "busy",
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "readonly",
    sqlite3.SQLITE_PERM: "readonly",
    sqlite3.SQLITE_CANTOPEN: "unreachable",
    sqlite3.SQLITE_IOERR: "disk",
    sqlite3.SQLITE_NOMEM: "disk",
    sqlite3.SQLITE_INTERRUPT: "disk",
    sqlite3.SQLITE_NOLFS: "disk",
    sqlite3.SQLITE_AUTH: "disk",
}


def meaning(error: Exception, path: Path) -> JournalError | Damaged:
    """What an error of SQLite or of the system means for the journal at this path.

    The coach's own SQL is fixed: an error that isn't one of disk or locks says that the file isn't as it was written.
    """
    if isinstance(error, (JournalError, Damaged)):
        return error
    if isinstance(
        error, UnicodeDecodeError
    ):  # SQLite quotes the damaged bytes in its message, and Python can't read that
        return Damaged(str(error))
    if isinstance(error, sqlite3.ProgrammingError):
        return JournalError("closed", path, str(error))
    if isinstance(error, sqlite3.Error):
        kind = KINDS.get(getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF)
        if kind is None or kind == "readonly" and _claims_to_be_readonly(path):
            return Damaged(str(error))
        return JournalError(kind, path, str(error))
    if isinstance(error, PermissionError):
        return JournalError("readonly", path, str(error))
    return JournalError("unreachable", path, str(error))


def _claims_to_be_readonly(path: Path) -> bool:
    """Whether the file's own header forbids writing, which none of ours does: byte 18 is over 2.

    Source: https://www.sqlite.org/fileformat2.html, "File format version numbers".
    """
    try:
        return path.read_bytes()[18:19] > b"\2"
    except OSError:
        return False
