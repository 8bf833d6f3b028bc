"""A disk that fails when it is told to: SQLite's own files through apsw, with every operation counted.

`Disk.connect` gives connections that behave like those of the sqlite3 module as far as the journal uses them.
"""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import apsw

SECTOR = 512  # bytes that a disk writes whole or not at all
NAMES = count()
CODES = {
    apsw.IOError: sqlite3.SQLITE_IOERR,
    apsw.FullError: sqlite3.SQLITE_FULL,
    apsw.ReadOnlyError: sqlite3.SQLITE_READONLY,
}
WRITING = {  # the operations that can fail in this way; the others fail as a broken disk does
    apsw.IOError: ("open", "read", "write", "sync", "truncate", "delete"),
    apsw.FullError: ("write",),
    apsw.ReadOnlyError: ("open", "write", "truncate", "delete"),
}


class Rows(list):
    def fetchone(self):
        return self.pop(0) if self else None

    def fetchall(self):
        return list(self)


class Connection:
    """An apsw connection in the manner of sqlite3."""

    skipping: str | None = None  # statements that hold this are left out

    def __init__(self, path: Path, vfs: str):
        with errors():
            self.con = apsw.Connection(str(path), vfs=vfs)
            self.con.set_busy_timeout(2000)

    def execute(self, sql: str, values: tuple = ()) -> Rows:
        if self.skipping and self.skipping in sql:
            return Rows()
        with errors():
            return Rows(self.con.execute(sql, values))

    def close(self) -> None:
        with errors():
            self.con.close()


class errors:
    """Turns apsw's errors into those of sqlite3."""

    def __enter__(self):
        pass

    def __exit__(self, kind, error, trace):
        if isinstance(error, apsw.Error):
            found = sqlite3.OperationalError(str(error))
            code = getattr(error, "extendedresult", 0) or getattr(error, "result", sqlite3.SQLITE_ERROR)
            found.sqlite_errorcode = code
            raise found from error


class Disk(apsw.VFS):
    """fail_at: the number of the first operation that fails, from 1; for_ever: so do all after it; error: how.

    durable: what each file would hold after a power cut; unsynced: what was written to it since.
    """

    def __init__(self, *, fail_at: int | None = None, for_ever: bool = False, error: type = apsw.IOError):
        self.name = f"faulty-{next(NAMES)}"
        super().__init__(self.name, "")
        self.fail_at, self.for_ever, self.error = fail_at, for_ever, error
        self.done = 0
        self.failed: list[str] = []
        self.durable: dict[str, bytearray] = {}
        self.unsynced: dict[str, list[tuple[int, bytes | None]]] = {}

    def connect(self, path: Path) -> Connection:
        return Connection(path, self.name)

    def mend(self) -> None:
        self.fail_at = None

    def operation(self, name: str) -> None:
        self.done += 1
        if self.fail_at is not None and (self.done == self.fail_at or self.for_ever and self.done > self.fail_at):
            self.failed.append(name)
            kind = self.error
            if name not in WRITING[kind]:
                kind = apsw.IOError
            error = kind(name)
            error.result = error.extendedresult = CODES[kind]
            raise error

    def xOpen(self, name, flags):
        self.operation("open")
        return File(self, name, flags)

    def xDelete(self, name, sync):
        self.operation("delete")
        self.durable.pop(name, None)
        self.unsynced.pop(name, None)
        super().xDelete(name, sync)

    def after_power_cut(self, folder: Path, chance: random.Random | None = None) -> Iterator[Path]:
        """Writes the files as a power cut would leave them. chance: decides which unsynced sectors got through."""
        for name, content in self.durable.items():
            content = bytearray(content)
            for offset, data in self.unsynced[name] if chance else ():
                if data is None:
                    if chance.random() < 0.5:
                        del content[offset:]
                    continue
                for start in range(0, len(data), SECTOR):
                    if chance.random() < 0.5:
                        put(content, offset + start, data[start:start + SECTOR])
            path = folder / Path(name).name
            path.write_bytes(content)
            yield path


class File(apsw.VFSFile):
    def __init__(self, disk: Disk, name, flags):
        self.disk = disk
        self.path = name.filename() if isinstance(name, apsw.URIFilename) else name
        super().__init__("", name, flags)
        if self.path is not None and self.path not in disk.durable:
            disk.durable[self.path] = bytearray()
            disk.unsynced[self.path] = []

    def xRead(self, amount, offset):
        self.disk.operation("read")
        return super().xRead(amount, offset)

    def xWrite(self, data, offset):
        self.disk.operation("write")
        super().xWrite(data, offset)
        self.changed(offset, bytes(data))

    def xTruncate(self, size):
        self.disk.operation("truncate")
        super().xTruncate(size)
        self.changed(size, None)

    def xSync(self, flags):
        self.disk.operation("sync")
        super().xSync(flags)
        if self.path is not None:
            content = self.disk.durable[self.path]
            for offset, data in self.disk.unsynced[self.path]:
                if data is None:
                    del content[offset:]
                else:
                    put(content, offset, data)
            self.disk.unsynced[self.path].clear()

    def changed(self, offset: int, data: bytes | None) -> None:
        if self.path is not None:
            self.disk.unsynced[self.path].append((offset, data))


def put(content: bytearray, offset: int, data: bytes) -> None:
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    content[offset:offset + len(data)] = data
