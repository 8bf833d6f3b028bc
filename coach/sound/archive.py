"""Unpacking a ZIP archive from elsewhere: nothing outside the folder, no links, no more than was announced."""

from __future__ import annotations

import shutil
import stat
import zipfile
import zlib
from pathlib import Path, PurePosixPath, PureWindowsPath

MOST_FILES = 1_000
BLOCK = 64 * 1024


class Unsafe(Exception):
    """The archive is not what it should be; the text says why, without a full stop."""


def unpack(archive: Path, into: Path, most: int) -> None:
    """Unpack into an empty folder. most: bytes in all. Raises Unsafe, and then the folder may hold a part."""
    try:
        with zipfile.ZipFile(archive) as packed:
            entries = packed.infolist()
            if len(entries) > MOST_FILES:
                raise Unsafe(f"it has more than {MOST_FILES} files")
            for entry in entries:
                _check(entry)
            names = [entry.filename.casefold() for entry in entries]
            if len(set(names)) < len(names):
                raise Unsafe("it has a file twice")
            left = most
            for entry in entries:
                left -= _take(packed, entry, into, left)
    except (FileExistsError, NotADirectoryError, IsADirectoryError):
        raise Unsafe("a file of it lies where another has its folder") from None
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError) as fault:
        raise Unsafe(f"it can't be unpacked ({fault})") from None  # damaged, of an odd kind, or encrypted


def _check(entry: zipfile.ZipInfo) -> None:
    name = entry.filename
    posix, windows = PurePosixPath(name), PureWindowsPath(name)
    if posix.is_absolute() or windows.drive or windows.root or ".." in windows.parts or not windows.parts:
        raise Unsafe(f"it has a file outside its folder, {name!r}")
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        raise Unsafe(f"it has something that is neither file nor folder, {name!r}")


def _take(packed: zipfile.ZipFile, entry: zipfile.ZipInfo, into: Path, most: int) -> int:
    """Unpack one entry of at most `most` bytes; how many it had."""
    target = into.joinpath(*PureWindowsPath(entry.filename).parts)
    if entry.is_dir():
        target.mkdir(parents=True, exist_ok=True)
        return 0
    if entry.file_size > most:
        raise Unsafe("it holds more than it should")
    target.parent.mkdir(parents=True, exist_ok=True)
    with packed.open(entry) as source, open(target, "xb") as file:
        shutil.copyfileobj(source, file, BLOCK)  # zipfile gives no more than file_size and checks the CRC
    return entry.file_size
