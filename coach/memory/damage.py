"""A damaged journal is set aside under a dated name, kept as it is, and what can still be read is saved out of it."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path

from coach.guide.model import State
from coach.memory.model import Damaged
from coach.memory.rows import Row, hash_of, write_text, write_turn
from coach.memory.schema import TURN, WORK, checked, checksum, transaction
from coach.memory.states import to_json

FILES = ("", "-wal", "-shm")  # what SQLite appends to the name
Connect = Callable[[Path], sqlite3.Connection]


def set_aside(path: Path, now: datetime) -> Path:
    """Renames the journal and its log; gives the new path. Raises OSError."""
    stem = f"{path.stem}-damaged-{now:%Y-%m-%d-%H%M%S}"
    aside = path.with_name(stem + path.suffix)
    n = 1
    while aside.exists():
        n += 1
        aside = path.with_name(f"{stem}-{n}{path.suffix}")
    for ending in reversed(FILES):  # the log first: without the journal it would pass for the next one's
        try:
            path.with_name(path.name + ending).rename(aside.with_name(aside.name + ending))
        except FileNotFoundError:
            if not ending:
                raise
    return aside


def copy_of(path: Path, folder: Path) -> Path:
    """A copy with its log, that can be opened without touching the original. Raises OSError."""
    for ending in FILES[:2]:
        one = path.with_name(path.name + ending)
        if one.exists():
            shutil.copyfile(one, folder / one.name)
    return folder / path.name


def salvage(aside: Path, con: sqlite3.Connection, connect: Connect) -> int:
    """Saves all rows that can be read and whose sums are right into the new journal; gives the number of works.

    Raises sqlite3.Error when the new journal can't be written.
    """
    with tempfile.TemporaryDirectory() as folder, closing(connect(copy_of(aside, Path(folder)))) as old:
        texts = {
            key: text
            for key, text in _rows(old, "texts", "hash, text", "hash")
            if isinstance(text, str) and hash_of(text) == key
        }
        works = [row for row in _sound(old, "works", WORK) if row[2] in texts]
        turns = [Row(*row) for row in _sound(old, "turns", TURN)]
        imports = [row for row in _rows(old, "imports", "first, last", "first") if all(isinstance(n, int) for n in row)]
    known = {work[0] for work in works}
    states = {row.id for row in turns if row.state is not None and _readable(row)}
    turns = [row for row in turns if row.work in known and row.stands in states]
    lost = known - {row.work for row in turns}  # nothing is left of these but the pattern: they begin again
    with transaction(con):
        for text in texts.values():  # also those of changed patterns
            write_text(con, text)
        for work in works:
            con.execute("INSERT OR IGNORE INTO works VALUES (?, ?, ?, ?, ?)", (*work, checksum(work)))
        for row in turns:
            write_turn(con, row)
        con.executemany("INSERT OR IGNORE INTO imports VALUES (?, ?)", imports)
        (last,) = con.execute("SELECT coalesce(max(id), 0) FROM turns").fetchone()
        for n, work in enumerate((w for w in works if w[0] in lost), last + 1):
            write_turn(con, Row(n, work[0], "begin", work[1], state=to_json(State())))
    return len(works)


def _readable(row: Row) -> bool:
    try:
        row.has_state()
    except Damaged:
        return False
    return True


def _sound(old: sqlite3.Connection, table: str, columns: str) -> list[tuple]:
    found = []
    for row in _rows(old, table, f"{columns}, sum", "id"):
        try:
            found.append(checked(row))
        except Damaged:
            pass
    return found


def _rows(old: sqlite3.Connection, table: str, columns: str, key: str) -> Iterator[tuple]:
    """The rows that can be read, from both ends up to the damage, in order and each once."""
    found: dict[object, tuple] = {}
    for order in ("ASC", "DESC"):
        try:
            for row in old.execute(f"SELECT {columns} FROM {table} ORDER BY {key} {order}"):
                if row[0] in found and order == "DESC":
                    break
                found[row[0]] = row
        except (sqlite3.Error, UnicodeDecodeError):  # SQLite quotes damaged bytes in its messages
            pass
    yield from (found[k] for k in sorted(found, key=lambda k: (str(type(k)), k)))
