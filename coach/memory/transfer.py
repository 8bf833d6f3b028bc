"""All works in one file, to be moved to another machine, and works taken in from such a file.

The file is a journal like any other, whole and closed. What is taken in is checked first, to the last row; then all of
it comes in at once, or nothing does. A work is known by its number wherever it is:

    not here yet               it is added
    here, and no further there nothing is done
    gone further there         what is new is added to it
    gone on here and there     the other one is added as a work of its own, so that neither is lost

    TransferError ─ the file can't be written, or is not what it should be: message and hint are plain sentences
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from coach.memory import rows, schema
from coach.memory.damage import copy_of
from coach.memory.model import Damaged, JournalError
from coach.memory.rows import Row

MAGIC = b"SQLite format 3\0"
OURS = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)  # errors of the journal itself, not of the file that is written
EVERY = f"SELECT {schema.TURN}, sum FROM turns WHERE work = ? ORDER BY id"


class TransferError(Exception):
    """message, hint: what to tell the maker."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message} {hint}")
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class TakenIn:
    """Numbers of works: added, gone further there, added beside the one here, here already."""

    added: int = 0
    further: int = 0
    beside: int = 0
    known: int = 0


# ---- writing the file


def write(con: sqlite3.Connection, path: Path) -> int:
    """Writes all works of a journal into a file; gives their number. Raises TransferError, and sqlite3.Error and
    Damaged where the journal itself is at fault."""
    if path.exists() and not _is_ours(path):
        raise TransferError(f"{path} is there already, and is something else.", "Choose another name.")
    if not path.parent.is_dir():
        raise TransferError(f"I can't write {path}: there is no folder {path.parent}.", "Check the name.")
    part = path.with_name(f"{path.name}.part")
    try:
        part.unlink(missing_ok=True)
        con.execute("VACUUM INTO ?", (str(part),))
        with closing(sqlite3.connect(part, isolation_level=None)) as written:
            written.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
            works = _checked(written)
        with open(part, "rb+") as file:
            os.fsync(file.fileno())
        part.replace(path)
        return works
    except OSError as error:
        raise TransferError(
            f"I can't write {path}: {error.strerror or error}.", "Check the name and the disk."
        ) from None
    except sqlite3.Error as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in OURS:
            raise
        raise TransferError(f"I can't write {path}: {error}.", "Check the name and the disk.") from None
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _is_ours(path: Path) -> bool:
    """Whether a file is a journal: the name at its start, and the mark at byte 68.

    Source: https://www.sqlite.org/fileformat2.html, "The Database Header".
    """
    try:
        with open(path, "rb") as file:
            head = file.read(72)
    except OSError:
        return False
    return head.startswith(MAGIC) and int.from_bytes(head[68:72], "big") == schema.APPLICATION


# ---- reading it


def take_in(con: sqlite3.Connection, path: Path) -> TakenIn:
    """Adds the works of a file to a journal. Raises TransferError, and sqlite3.Error where the journal can't be
    written."""
    if not path.is_file():
        raise TransferError(f"There is no file {path}.", "Check the name and the folder.")
    if not _is_ours(path):
        raise TransferError(
            f"{path} is no file with works of the coach.", "One is made with: coach works --export FILE"
        )
    with tempfile.TemporaryDirectory() as folder:
        try:
            source = schema.connect(copy_of(path, Path(folder)))
        except OSError as error:
            raise TransferError(f"I can't read {path}: {error.strerror or error}.", "Check the disk.") from None
        with closing(source):
            try:
                schema.prepare(source, path)
                _checked(source)
            except JournalError:
                raise TransferError(f"{path} was written by a newer coach.", "Update the coach here first.") from None
            except (Damaged, sqlite3.Error, UnicodeDecodeError, ValueError):
                raise TransferError(
                    f"{path} is damaged. Nothing was taken in.",
                    "Copy it once more, or make it anew on the other machine.",
                ) from None
            with schema.transaction(con):
                return _add(source, con)


def _checked(con: sqlite3.Connection) -> int:
    """The number of works, all of whose rows are as they were written and lead somewhere. Raises Damaged."""
    schema.check(con, Path())
    works = rows.works(con)
    known = {work.id for work in works}
    for (stray,) in con.execute("SELECT DISTINCT work FROM turns"):
        if stray not in known:
            raise Damaged(f"a work {stray} is missing")
    for work in works:
        seen: dict[int, bool] = {}  # row: whether it holds a state
        for row in _rows(con, work.id):
            holds = row.state is not None
            if holds:
                state = row.has_state()
                if state.pattern and rows.text(con, state.pattern) is None:
                    raise Damaged(f"row {row.id} is of a pattern that is missing")
            if row.parent is not None and not seen.get(row.parent) or not holds and not seen.get(row.back_to):
                raise Damaged(f"row {row.id} leads nowhere")
            seen[row.id] = holds
    return len(works)


def _add(source: sqlite3.Connection, con: sqlite3.Connection) -> TakenIn:
    first, found = rows.next_id(con), dict.fromkeys(("added", "further", "beside", "known"), 0)
    for (text,) in source.execute("SELECT text FROM texts"):
        rows.write_text(con, text)
    works = {work[0]: work for work in map(schema.checked, source.execute(f"SELECT {schema.WORK}, sum FROM works"))}
    for (number,) in source.execute("SELECT work FROM turns GROUP BY work ORDER BY max(id)").fetchall():
        _, *about = works[number]
        theirs, here = _story(source, number), _story(con, number)
        beside = bool(here) and theirs[: len(here)] != here[: len(theirs)]
        if beside:
            number = _number_of(theirs)
            here = _story(con, number)
        if here:
            found["further" if len(theirs) > len(here) else "known"] += 1
        else:
            found["beside" if beside else "added"] += 1
            rows.write_work_row(con, (number, *about))
        _append(con, number, theirs, len(here))
    if (last := rows.next_id(con) - 1) >= first:
        con.execute("INSERT INTO imports VALUES (?, ?)", (first, last))
    return TakenIn(**found)


def _rows(con: sqlite3.Connection, work: int) -> Iterator[Row]:
    for values in con.execute(EVERY, (work,)):
        yield Row(*schema.checked(values))


def _story(con: sqlite3.Connection, work: int) -> list[Row]:
    """The rows of a work, numbered from 0, and without its number: what is the same in every journal."""
    numbers: dict[int | None, int | None] = {None: None}
    found = []
    for row in _rows(con, work):
        numbers[row.id] = len(found)
        found.append(row._replace(id=len(found), work=0, parent=numbers[row.parent], back_to=numbers[row.back_to]))
    return found


def _append(con: sqlite3.Connection, work: int, story: list[Row], known: int) -> None:
    """Adds the rows of a story after those that are known already."""
    ids: list[int] = [id for (id,) in con.execute("SELECT id FROM turns WHERE work = ? ORDER BY id", (work,))][:known]
    first = rows.next_id(con)
    ids += range(first, first + len(story) - known)
    at = {None: None} | dict(enumerate(ids))
    for row in story[known:]:
        rows.write_turn(con, row._replace(id=at[row.id], work=work, parent=at[row.parent], back_to=at[row.back_to]))


def _number_of(story: list[Row]) -> int:
    """A number for a work that went on differently elsewhere; the same for the same beginning of that, so that a file
    taken in twice makes one work."""
    return int.from_bytes(hashlib.sha256(repr(story).encode("utf-8", "surrogatepass")).digest()[:8], "big") >> 11
