"""The tables of the journal, and how a journal of an older coach becomes one of this coach.

Rows are only ever added. A row of `turns` is one request and where it led:

    kind    begin, turn or finish; "before" is a state that undo must find although no request of its own led to it
    request JSON: [name, value]
    state   JSON, where the row led to a new state; else NULL, and `back_to` is the row whose state stands again
    parent  the row whose state undo brings back
    sum     CRC-32 of the row's other values: a flipped bit must not pass for another place

`imports` has the first and last id of the rows that were taken in at once from another machine's file.

So the states are a tree with the work's first state as its root, and the last row of a work says which of them stands.
"""

from __future__ import annotations

import sqlite3
import time
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from coach.memory.model import Damaged, JournalError

APPLICATION = 0x43726F63  # marks the file as a journal of the coach ("Croc")
BUSY_S = 2.0  # how long a write waits for another program
SMALLEST = 512  # bytes of the smallest page of SQLite
CHECK_FULLY = 16 * 2**20  # bytes up to which indexes are checked against their tables on opening

STEPS: tuple[tuple[str, ...], ...] = (  # step n makes version n+1 out of version n; steps are never changed, only added
    (
        "CREATE TABLE texts (hash TEXT PRIMARY KEY, text TEXT NOT NULL) WITHOUT ROWID",
        """CREATE TABLE works (id INTEGER PRIMARY KEY, begun REAL NOT NULL, hash TEXT NOT NULL, about TEXT NOT NULL,
           sum INTEGER NOT NULL)""",
        """CREATE TABLE turns (id INTEGER PRIMARY KEY, work INTEGER NOT NULL, kind TEXT NOT NULL, at REAL NOT NULL,
           request TEXT, heard TEXT NOT NULL, said TEXT NOT NULL, state TEXT, parent INTEGER, back_to INTEGER,
           sum INTEGER NOT NULL)""",
        "CREATE INDEX turns_of_work ON turns (work)",
    ),
    ("CREATE TABLE imports (first INTEGER PRIMARY KEY, last INTEGER NOT NULL)",),
)

WORK = "id, begun, hash, about"
TURN = "id, work, kind, at, request, heard, said, state, parent, back_to"


def connect(path: Path) -> sqlite3.Connection:
    """A connection to the file, made if it is missing; nothing is read yet."""
    return sqlite3.connect(path, timeout=BUSY_S, isolation_level=None, check_same_thread=False)


def checksum(row: tuple) -> int:
    return zlib.crc32(repr(tuple(row)).encode("utf-8", "surrogatepass"))


def checked(row: tuple) -> tuple:
    """A row without the sum at its end. Raises Damaged where the sum isn't that of the row."""
    *values, total = row
    if checksum(tuple(values)) != total:
        raise Damaged(f"row {values[0]} is not as it was written")
    return tuple(values)


@contextmanager
def transaction(con: sqlite3.Connection) -> Iterator[None]:
    """All or nothing. Takes the write lock at once, so that what is read inside stays true."""
    con.execute("BEGIN IMMEDIATE")
    try:
        yield
        con.execute("COMMIT")
    except BaseException:
        try:
            con.execute("ROLLBACK")
        except sqlite3.Error:
            pass  # SQLite has rolled back already
        raise


def prepare(con: sqlite3.Connection, path: Path) -> None:
    """Brings a connection's file to this version, durable and ready.

    Raises JournalError("newer") and Damaged, without having changed the file, and sqlite3.Error.
    """
    if path.exists() and 0 < path.stat().st_size < SMALLEST:  # SQLite would take it for a new one
        raise Damaged("the file is cut off")
    version, application, tables = _marks(con)
    if version > len(STEPS):
        raise JournalError("newer", path, f"version {version}, this coach knows {len(STEPS)}")
    if (version or tables) and application != APPLICATION:
        raise Damaged("it is not a journal of the coach")
    check(con, path)
    _write_ahead(con)
    con.execute("PRAGMA synchronous = FULL")
    con.execute("PRAGMA fullfsync = ON")  # macOS: wait for the disk itself, not only for the system
    con.execute("PRAGMA checkpoint_fullfsync = ON")
    if version < len(STEPS):
        migrate(con)


def check(con: sqlite3.Connection, path: Path) -> None:
    """Raises Damaged where the file's structure isn't sound."""
    con.execute("PRAGMA cell_size_check = ON")
    full = not path.exists() or path.stat().st_size <= CHECK_FULLY
    (verdict,) = con.execute(f"PRAGMA {'integrity_check' if full else 'quick_check'}(1)").fetchone()
    if verdict != "ok":
        raise Damaged(verdict)


def migrate(con: sqlite3.Connection) -> None:
    """Takes the steps that are missing, all or none."""
    with transaction(con):
        version = _version(con)  # again: another coach may have been faster
        for statements in STEPS[version:]:
            for statement in statements:
                con.execute(statement)
        con.execute(f"PRAGMA application_id = {APPLICATION}")
        con.execute(f"PRAGMA user_version = {len(STEPS)}")


def _marks(con: sqlite3.Connection) -> tuple[int, int, int]:
    """(version, application, number of tables), all of one moment: another coach may be making the file just now."""
    con.execute("BEGIN")
    try:
        (tables,) = con.execute("SELECT count(*) FROM sqlite_master").fetchone()
        return _version(con), con.execute("PRAGMA application_id").fetchone()[0], tables
    finally:
        with suppress(sqlite3.Error):  # SQLite may have rolled back already
            con.execute("ROLLBACK")


def _version(con: sqlite3.Connection) -> int:
    return con.execute("PRAGMA user_version").fetchone()[0]


def _write_ahead(con: sqlite3.Connection) -> None:
    """SQLite doesn't wait for others when it changes to a write-ahead log: two new coaches may meet here."""
    until = time.monotonic() + BUSY_S
    while True:
        try:
            con.execute("PRAGMA journal_mode = WAL").fetchone()
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.01)
