"""The journal's file: opened when it is needed, opened anew when it was moved, set aside when it is damaged."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from coach.memory import schema
from coach.memory.damage import Connect, copy_of, salvage, set_aside
from coach.memory.model import Damaged, JournalError, meaning

T = TypeVar("T")

DAMAGED = "The journal was damaged. It is set aside as {name}. Works saved out of it: {works}. Please check your place."
MOVED = "The journal was moved or deleted. I go on in a new one."
ERRORS = (Damaged, sqlite3.Error, OSError, UnicodeDecodeError)


class File:
    """A file of SQLite that does what it is asked or raises JournalError.

    replaced: called when another file, empty or not, lies at the path; say: called with what has to be said.
    """

    def __init__(
        self,
        path: Path,
        connect: Connect,
        clock: Callable[[], float],
        replaced: Callable[[], None],
        say: Callable[[str], None],
    ):
        self.path = path
        self._connect = connect
        self._clock = clock
        self._replaced = replaced
        self._say = say
        self._con: sqlite3.Connection | None = None
        self._identity: tuple[int, int] | None = None  # of the file that is open
        self._copy: sqlite3.Connection | None = None  # to read a journal that can't be opened where it lies
        self._folder: tempfile.TemporaryDirectory[str] | None = None  # of the copy
        self._closed = False

    def run(self, do: Callable[[sqlite3.Connection], T]) -> T:
        """Does something with the file; a damaged file is set aside, and it is done with the new one."""
        try:
            try:
                return do(self._reach())
            except ERRORS as error:
                if not isinstance(meaning(error, self.path), Damaged):
                    raise
                self._set_aside()
                return do(self._reach())
        except ERRORS as error:
            found = meaning(error, self.path)
            raise JournalError("damaged", self.path, str(error)) if isinstance(found, Damaged) else found from error

    def run_on_copy(self, do: Callable[[sqlite3.Connection], T]) -> T | None:
        """Reads a copy of a file that can't be opened where it lies; None when that doesn't work either."""
        try:
            if self._copy is None and self.path.exists():
                self._folder = tempfile.TemporaryDirectory()
                self._copy = self._connected(copy_of(self.path, Path(self._folder.name)))
            return None if self._copy is None else do(self._copy)
        except (JournalError, *ERRORS):
            return None

    def release(self) -> None:
        """Lets go of the file; it is opened anew when it is needed."""
        if self._con is not None:
            with suppress(sqlite3.Error):
                self._con.close()
            self._con = None

    def close(self) -> None:
        self.release()
        self._drop_copy()
        self._closed = True

    def _reach(self) -> sqlite3.Connection:
        """The connection to the file that lies at the path now."""
        if self._closed:
            raise JournalError("closed", self.path)
        here = _identity(self.path)
        if self._identity not in (None, here):  # noticed before the new file is made: it may get the old one's number
            self.release()
            self._identity = None
            self._replaced()
            self._say(MOVED)
        if self._con is None:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._con = self._connected(self.path)
            self._identity = _identity(self.path)
            self._drop_copy()
        return self._con

    def _connected(self, path: Path) -> sqlite3.Connection:
        con = self._connect(path)
        try:
            schema.prepare(con, path)
        except BaseException:
            con.close()
            raise
        return con

    def _set_aside(self) -> None:
        self.release()
        aside = set_aside(self.path, datetime.fromtimestamp(self._clock()))
        self._identity = None
        self._replaced()
        works = 0
        try:
            works = salvage(aside, self._reach(), self._connect)
        finally:
            self._say(DAMAGED.format(name=aside.name, works=works))

    def _drop_copy(self) -> None:
        if self._copy is not None:
            with suppress(sqlite3.Error):
                self._copy.close()
            self._copy = None
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    return found.st_dev, found.st_ino
