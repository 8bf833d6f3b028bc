"""The journal: every request and where it led, on disk before it is answered.

    journal = Journal.open()
    work = journal.latest() or journal.begin(title, text, file, size, terms)
    state = journal.resume(work)
    ...
    journal.record(work, request, state, heard, said)   # then answer
    for sentence in journal.news(): ...                 # what has to be said about the journal itself

Nothing here stops the coach. What can't be written is kept in memory, in order, and written with the next record that
can be; `record` then gives the error, and `news` the sentence, once. A journal is used by one thread at a time.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from json import dumps
from pathlib import Path
from secrets import randbits
from typing import Any

from coach.guide.model import Request, Settings, State
from coach.memory import rows, schema, transfer
from coach.memory.damage import Connect
from coach.memory.file import File, T
from coach.memory.model import JournalError, Turn, Work
from coach.memory.place import journal_path
from coach.memory.rows import Row
from coach.memory.states import to_json
from coach.memory.transfer import TakenIn

UNSAVED = "Your place is kept in memory only. I will keep trying to save it."
SAVED = "Your place is saved again."
OTHER = "Another coach is working on this piece too. The last one to speak decides the place."


@dataclass(frozen=True, slots=True)
class Entry:
    """Something to be written. state: None where it stays as it is; json: the state as it will be written."""

    work: Work
    kind: str
    at: float
    state: State | None = None
    json: str | None = None
    request: Request | None = None
    heard: str = ""
    said: str = ""


@dataclass(slots=True)
class Batch:
    """What one transaction writes: so many entries, the rows of their states, the last row of each work."""

    entries: int
    next: int  # the number of the next row
    states: dict[tuple[int, int], tuple[int, State]] = field(default_factory=dict)
    ends: dict[int, int] = field(default_factory=dict)
    shared: set[int] = field(default_factory=set)  # works in which another coach has written
    last: Row | None = None
    texts: set[str] = field(default_factory=set)  # keys of the versions of patterns that it writes


class Journal:
    """The works in progress and every request made in them. Open it with `Journal.open`.

    error: why the journal couldn't be written or read when that was tried last, or None.
    """

    def __init__(self, path: Path, connect: Connect, clock: Callable[[], float]):
        self.path = path
        self.error: JournalError | None = None
        self._clock = clock
        self._news: list[str] = []
        self._file = File(path, connect, clock, self._forget, self._news.append)
        self._pending: list[Entry] = []
        self._tried: Batch | None = None  # the write that failed last: it may have reached the disk all the same
        self._rows: dict[tuple[int, int], tuple[int, State]] = {}  # (work, id(state)): row; the state, so that it lives
        self._ends: dict[int, int] = {}  # work: its last row that this journal knows of
        self._shared: set[int] = set()  # works of which OTHER was said
        self._now: dict[int, State] = {}  # work: its last state here
        self._versions: dict[str, str] = {}  # key: text of a changed pattern
        self._stored: set[str] = set()  # of these, the ones on disk
        self._settings = Settings()

    @classmethod
    def open(
        cls,
        path: Path | str | None = None,
        *,
        connect: Connect = schema.connect,
        clock: Callable[[], float] = time.time,
    ) -> Journal:
        """The journal at `path`, made if it is missing (None: at its place on this machine).

        Always gives a journal; where it can't be written `error` says why, and all is kept in memory.
        """
        journal = cls(Path(path) if path is not None else journal_path(), connect, clock)
        journal.retry()
        return journal

    def news(self) -> tuple[str, ...]:
        """Sentences to be said about the journal itself; each is given once."""
        news = tuple(self._news)
        self._news.clear()
        return news

    # Reading

    def works(self) -> list[Work]:
        """Every work, the one touched last first; finished ones too."""
        found = {work.id: work for work in self._read(rows.works) or ()}
        for entry in self._pending:
            work = found.pop(entry.work.id, entry.work)
            touched = replace(work, touched=rows.time_of(entry.at), finished=entry.kind == "finish")
            found = {work.id: touched} | found
        return list(found.values())

    def latest(self) -> Work | None:
        """The work touched last that isn't finished."""
        return next((work for work in self.works() if not work.finished), None)

    def resume(self, work: Work) -> State:
        """The state after the last request, with every state before it, and the settings used last in any work.

        Raises JournalError when the journal can't be read.
        """
        if not any(entry.work.id == work.id for entry in self._pending):
            self._read(lambda con: self._read_state(con, work))
        state = self._now.get(work.id)
        if state is None:
            if self.error is not None:
                raise self.error
            state = State()
        settings = self.settings()
        return state if state.settings == settings else state.having(settings=settings)

    def settings(self) -> Settings:
        """How the coach talked last, in any work."""
        if not self._pending:
            self._settings = self._read(rows.settings) or self._settings
        return self._settings

    def version(self, text: str) -> str:
        """The key of another version of a pattern, for `State.pattern`; it is written with the first state that has
        it."""
        text = rows.clean(text)
        key = rows.hash_of(text)
        self._versions[key] = text
        return key

    def text(self, work: Work, key: str) -> str | None:
        """The pattern's text in the version with this key ("" the one that the work was begun with); None: it is
        lost."""
        if key in ("", rows.hash_of(work.text)):
            return work.text
        if key not in self._versions and (text := self._read(lambda con: rows.text(con, key))) is not None:
            self._versions[key] = text
        return self._versions.get(key)

    def turns(self, work: Work) -> list[Turn]:
        """All that happened in a work, the oldest first. Raises JournalError when the journal can't be read."""
        stored = self._read(lambda con: rows.turns(con, work.id))
        begun_here = any(entry.kind == "begin" and entry.work.id == work.id for entry in self._pending)
        if stored is None and self.error is not None and not begun_here:
            raise self.error
        return (stored or []) + [
            Turn(e.kind, rows.time_of(e.at), e.request, e.heard, e.said) for e in self._pending if e.work.id == work.id
        ]

    def _read(self, do: Callable[[sqlite3.Connection], T]) -> T | None:
        """What `do` reads; None when the journal can't be read, and `error` says why."""
        try:
            return self._file.run(do)
        except JournalError as error:
            self._failed(error)
            return None if error.kind in ("newer", "closed") else self._file.run_on_copy(do)

    def _read_state(self, con: sqlite3.Connection, work: Work) -> None:
        last = rows.last_row(con, work.id)
        if last is None:
            return
        chain = rows.chain(con, last)
        self._rows |= {(work.id, id(state)): (row, state) for row, state in chain}
        self._now[work.id] = chain[-1][1]
        self._ends[work.id] = last.id

    # Moving to another machine

    def export(self, path: Path) -> int:
        """Writes all works into one file; gives their number. Raises TransferError, and JournalError for what isn't on
        disk."""
        if self.retry() is not None:
            raise self.error
        return self._file.run(lambda con: transfer.write(con, path))

    def take_in(self, path: Path) -> TakenIn:
        """Adds the works of such a file; none that is here is lost. Raises TransferError and JournalError."""
        if self.retry() is not None:
            raise self.error
        return self._file.run(lambda con: transfer.take_in(con, path))

    # Writing

    def begin(self, title: str, text: str, file: str, size: str | int | None = None, terms: str = "US") -> Work:
        """A new work in progress, with the pattern as it is now."""
        now = float(self._clock())
        work = Work(randbits(53), title, rows.clean(text), file, size, terms, rows.time_of(now), rows.time_of(now))
        self._add(work, "begin", State(settings=self.settings()), at=now)
        return work

    def record(
        self, work: Work, request: Request, state: State, heard: str = "", said: str = ""
    ) -> JournalError | None:
        """Writes one request and the state it led to: on disk when None is given back, kept in memory otherwise.

        An undo gives the very state that stood before, or one with the same `before`. Raises TypeError for a state that
        holds what can't be kept as JSON.
        """
        return self._add(work, "turn", state, request=request, heard=rows.clean(heard), said=rows.clean(said))

    def finish(self, work: Work) -> JournalError | None:
        """The work is done; recording anything further takes it up again."""
        return self._add(work, "finish", self._now.get(work.id))

    def retry(self) -> JournalError | None:
        """Writes what isn't on disk yet; gives the error where that fails."""
        try:
            self._file.run(self._write)
        except JournalError as error:
            self._failed(error)
        else:
            if self.error is not None:
                self._news.append(SAVED)
            self.error = None
        return self.error

    def close(self) -> None:
        """Tries once more to write what isn't on disk, and lets go of the file."""
        if self._pending:
            self.retry()
        self._file.close()

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _add(
        self, work: Work, kind: str, state: State | None, at: float | None = None, **words: Any
    ) -> JournalError | None:
        json = None if state is None else to_json(state)
        if state is not None:
            self._now[work.id] = state
        if state is not None and kind != "finish":
            self._settings = state.settings
        self._pending.append(Entry(work, kind, float(self._clock()) if at is None else at, state, json, **words))
        return self.retry()

    def _failed(self, error: JournalError) -> None:
        if self.error is None or self.error.kind != error.kind:
            self._news.append(f"{error.sentence} {UNSAVED}")
        self.error = error
        if error.kind in ("disk", "readonly"):
            self._file.release()  # a disk that comes back needs the file opened anew

    def _forget(self) -> None:
        """What is known of rows was of another file: what is in memory will be written anew."""
        self._rows.clear()
        self._ends.clear()
        self._stored.clear()
        self._tried = None

    # The rows of one transaction

    def _write(self, con: sqlite3.Connection) -> None:
        """Writes all pending entries in one transaction."""
        while self._pending:
            with schema.transaction(con):
                if self._tried is None or not rows.is_stored(con, self._tried.last):
                    batch = Batch(len(self._pending), rows.next_id(con))
                    for entry in self._pending:
                        self._write_entry(con, entry, batch)
                    self._tried = batch
            batch, self._tried = self._tried, None
            del self._pending[: batch.entries]
            self._rows |= batch.states
            self._ends |= batch.ends
            self._stored |= batch.texts
            if batch.shared - self._shared:
                self._news.append(OTHER)
                self._shared |= batch.shared

    def _write_entry(self, con: sqlite3.Connection, entry: Entry, batch: Batch) -> None:
        work, state, json = entry.work, entry.state, entry.json
        last = rows.last_id(con, work.id)
        if last is None:
            rows.write_work(con, work)
        elif batch.ends.get(work.id, self._ends.get(work.id, last)) != last:
            batch.shared.add(work.id)
        parent = back_to = None
        if state is not None:
            back_to = self._row_of(work, state, batch)
            if back_to is None:
                parent = self._write_before(con, entry, batch)
        elif last is not None:
            back_to = rows.last_row(con, work.id).stands
        else:
            json = to_json(State())
        request = None if entry.request is None else dumps([entry.request.name, entry.request.value])
        self._insert(
            con,
            Row(
                batch.next,
                work.id,
                entry.kind,
                entry.at,
                request,
                entry.heard,
                entry.said,
                json if back_to is None else None,
                parent,
                back_to,
            ),
            state,
            batch,
        )

    def _write_before(self, con: sqlite3.Connection, entry: Entry, batch: Batch) -> int | None:
        """Writes those states before the entry's that have no row yet; gives the row of the last of them."""
        missing = []
        before = entry.state.before
        while before is not None and self._row_of(entry.work, before, batch) is None:
            missing.append(before)
            before = before.before
        row = None if before is None else self._row_of(entry.work, before, batch)
        for state in reversed(missing):
            values = Row(batch.next, entry.work.id, "before", entry.at, state=to_json(state), parent=row)
            self._insert(con, values, state, batch)
            row = values.id
        return row

    def _insert(self, con: sqlite3.Connection, row: Row, state: State | None, batch: Batch) -> None:
        rows.write_turn(con, row)
        if state is not None and row.state is not None:
            batch.states[row.work, id(state)] = row.id, state
            if state.pattern in self._versions and state.pattern not in self._stored | batch.texts:
                rows.write_text(con, self._versions[state.pattern])
                batch.texts.add(state.pattern)
        batch.ends[row.work] = row.id
        batch.next += 1
        batch.last = row

    def _row_of(self, work: Work, state: State, batch: Batch) -> int | None:
        key = work.id, id(state)
        found = batch.states.get(key) or self._rows.get(key)
        return found[0] if found else None
