"""The rows of the journal as values, and values as rows. Every row read is checked against its sum.

All raise `Damaged` where a row isn't as it was written, and sqlite3.Error.
"""

from __future__ import annotations

import hashlib
import sqlite3
from datetime import UTC, datetime
from json import dumps, loads
from typing import NamedTuple

from coach.guide.model import Request, Settings, State
from coach.memory.model import Damaged, Turn, Work
from coach.memory.schema import TURN, WORK, checked, checksum
from coach.memory.states import from_json

LAST = f"SELECT {TURN}, sum FROM turns WHERE work = ? ORDER BY id DESC LIMIT 1"
ROW = f"SELECT {TURN}, sum FROM turns WHERE id = ?"
CHAIN = f"""WITH RECURSIVE chain (id) AS (
                SELECT ? UNION SELECT turns.parent FROM turns JOIN chain USING (id) WHERE turns.parent IS NOT NULL)
            SELECT {TURN}, sum FROM turns JOIN chain USING (id) ORDER BY id"""
WORKS = f"SELECT {WORK}, sum, text FROM works LEFT JOIN texts USING (hash)"
TURNS = f"SELECT {TURN}, sum FROM turns WHERE work = ? ORDER BY id"
NEWEST = f"SELECT {TURN}, sum FROM turns WHERE kind <> 'finish'"
OWN = "AND NOT EXISTS (SELECT 1 FROM imports WHERE turns.id BETWEEN first AND last)"
LAST_ONE = "ORDER BY id DESC LIMIT 1"


class Row(NamedTuple):
    """A row of `turns`; the schema says what the columns hold."""

    id: int
    work: int
    kind: str
    at: float
    request: str | None = None
    heard: str = ""
    said: str = ""
    state: str | None = None
    parent: int | None = None
    back_to: int | None = None

    @property
    def stands(self) -> int:
        """The row whose state this row leads to."""
        return self.id if self.back_to is None else self.back_to

    def has_state(self, before: State | None = None) -> State:
        try:
            return from_json(self.state or "", before)
        except ValueError as error:
            raise Damaged(f"row {self.id}: {error}") from error


def last_row(con: sqlite3.Connection, work: int) -> Row | None:
    row = con.execute(LAST, (work,)).fetchone()
    return None if row is None else Row(*checked(row))


def last_id(con: sqlite3.Connection, work: int) -> int | None:
    return con.execute("SELECT max(id) FROM turns WHERE work = ?", (work,)).fetchone()[0]


def next_id(con: sqlite3.Connection) -> int:
    return con.execute("SELECT coalesce(max(id), 0) + 1 FROM turns").fetchone()[0]


def is_stored(con: sqlite3.Connection, row: Row) -> bool:
    stored = con.execute(ROW, (row[0],)).fetchone()
    return stored is not None and stored[:-1] == row


def chain(con: sqlite3.Connection, last: Row) -> list[tuple[int, State]]:
    """The state that the last row of a work leads to, after every state before it, each with its row."""
    found: list[tuple[int, State]] = []
    for values in con.execute(CHAIN, (last.stands,)).fetchall():
        row = Row(*checked(values))
        found.append((row.id, row.has_state(before=found[-1][1] if found else None)))
    if not found:
        raise Damaged(f"row {last.id} leads nowhere")
    return found


def turns(con: sqlite3.Connection, work: int) -> list[Turn]:
    """All that happened in a work, the oldest first."""
    rows = [Row(*checked(values)) for values in con.execute(TURNS, (work,)).fetchall()]
    return [
        Turn(
            row.kind,
            time_of(row.at),
            None if row.request is None else Request(*loads(row.request)),
            row.heard,
            row.said,
        )
        for row in rows
        if row.kind != "before"
    ]


def works(con: sqlite3.Connection) -> list[Work]:
    """Every work, the one touched last first; those that were taken in and not touched since come after the others."""
    found = []
    for *values, text in con.execute(WORKS).fetchall():
        number, begun, key, about = checked(tuple(values))
        last = last_row(con, number)
        if last is None or not isinstance(text, str) or hash_of(text) != key:
            raise Damaged(f"work {number} is not as it was written")
        work = Work(
            number,
            text=text,
            begun=time_of(begun),
            touched=time_of(last.at),
            finished=last.kind == "finish",
            **loads(about),
        )
        found.append((last.id, work))
    return [work for _, work in sorted(found, key=lambda pair: (is_imported(con, pair[0]), -pair[0]))]


def is_imported(con: sqlite3.Connection, row: int) -> bool:
    """Whether a row was taken in from another machine."""
    return con.execute("SELECT 1 FROM imports WHERE ? BETWEEN first AND last", (row,)).fetchone() is not None


def settings(con: sqlite3.Connection) -> Settings | None:
    """The settings after the last request of all works, of those made here where there are any; None: there is none."""
    newest = con.execute(f"{NEWEST} {OWN} {LAST_ONE}").fetchone() or con.execute(f"{NEWEST} {LAST_ONE}").fetchone()
    if newest is None:
        return None
    last = Row(*checked(newest))
    values = con.execute(ROW, (last.stands,)).fetchone()
    if values is None:
        raise Damaged(f"row {last.id} leads nowhere")
    return Row(*checked(values)).has_state().settings


def write_work(con: sqlite3.Connection, work: Work) -> None:
    key = write_text(con, work.text)
    about = dumps({"title": work.title, "file": work.file, "size": work.size, "terms": work.terms})
    write_work_row(con, (work.id, work.begun.timestamp(), key, about))


def write_work_row(con: sqlite3.Connection, row: tuple) -> None:
    con.execute("INSERT OR IGNORE INTO works VALUES (?, ?, ?, ?, ?)", (*row, checksum(row)))


def write_text(con: sqlite3.Connection, text: str) -> str:
    """Keeps a pattern's text, once; gives its key."""
    key = hash_of(text)
    con.execute("INSERT OR IGNORE INTO texts VALUES (?, ?)", (key, text))
    return key


def text(con: sqlite3.Connection, key: str) -> str | None:
    """The pattern's text with this key; None where there is none, or it is not as it was written."""
    found = con.execute("SELECT text FROM texts WHERE hash = ?", (key,)).fetchone()
    return found[0] if found and isinstance(found[0], str) and hash_of(found[0]) == key else None


def write_turn(con: sqlite3.Connection, row: Row) -> None:
    con.execute("INSERT INTO turns VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", (*row, checksum(row)))


def hash_of(text: str) -> str:
    """The name under which a pattern's text is kept: its SHA-256."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def time_of(seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, UTC)


def clean(text: str) -> str:
    """Without lone halves of a character, which SQLite can't keep."""
    return text.encode("utf-8", "replace").decode("utf-8")
