"""A PDF, a web page, a DOCX file or a text → a pattern file; what could not be read is told by its line, nothing is
dropped in silence.

Text is read here. Everything that has to be taken apart first is a stranger's file: a worker process does it, with
limits of time and memory (see coach.sheets.extract).
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coach.notation import read
from coach.notation.model import Pattern
from coach.sheets.errors import SheetError
from coach.sheets.extract import MOST_TEXT, PICTURE

LARGEST = 20_000_000  # bytes of a file that is looked into
SECONDS = 60.0  # for taking a file apart; a book of a hundred pages takes five
QUICK = 20_000  # characters that are read at once
WORKER = (sys.executable, "-m", "coach.sheets.extract")
ROOT = Path(__file__).parents[2]
TEXT_HINT = "The coach takes PDF, DOCX, web pages and text files."


@dataclass(frozen=True, slots=True)
class Brought:
    """The text taken out, in pattern form; the pattern it reads as; left_out: sentences about what was not taken
    over."""

    text: str
    pattern: Pattern
    left_out: tuple[str, ...] = ()

    def told(self) -> Iterator[str]:
        """What was found and what was not, a sentence a line; line numbers are those of `text`."""
        for part in self.pattern.parts:
            made = f", make {part.make}" if part.make > 1 else ""
            kind = part.rounds[0].kind if part.rounds else "round"
            yield f"Part: {part.name}{made}, {len(part.rounds)} {kind}{'' if len(part.rounds) == 1 else 's'}."
        if self.pattern.assembly:
            yield f"Assembly: {len(self.pattern.assembly)} step{'' if len(self.pattern.assembly) == 1 else 's'}."
        for fault in self.pattern.faults:
            yield f"Line {fault.line}: {fault.message}{f' {fault.hint}' if fault.hint else ''}"
        yield from (f"Left out: {what}" for what in self.left_out)


def bring(path: Path, seconds: float = SECONDS) -> Brought:
    """Take the pattern out of a file. Raises SheetError when there is no text or no round in it, or it takes longer
    than `seconds`."""
    path = Path(path)
    try:
        if path.exists() and not path.is_file():
            raise SheetError(
                f"{path} is {'a folder' if path.is_dir() else 'no ordinary file'}.", "Name a file with the pattern."
            )
        with open(path, "rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise SheetError(f"There is no file {path}.", "Check the name and the folder.") from None
    except OSError as error:
        raise SheetError(f"I can't read {path}: {error.strerror or error}.", "Check the name and the disk.") from None
    return bring_data(data, path.name, seconds)


def bring_data(data: bytes, name: str, seconds: float = SECONDS) -> Brought:
    """The same for what was read from elsewhere; name: what it is called in messages, its ending tells a web page.
    Raises SheetError."""
    if len(data) > LARGEST:
        raise SheetError(
            f"{name} is larger than {LARGEST // 1_000_000} megabytes.", "Save the pattern's own pages in a file."
        )
    text, left_out = text_of(data, name, seconds)
    if len(text) > QUICK:  # a long text may take as long as it likes: it is tried where it can be stopped
        _by_worker("text", text.encode(), name, seconds)
    try:
        pattern = read(text)
        if not any(part.rounds for part in pattern.parts):
            raise SheetError(
                f"No rounds or rows were found in {name}.",
                'A round is a line like "Rnd 2: 2 sc in each st around (12)".',
            )
        written = as_pattern_file(text, pattern, Path(name).stem)
        return Brought(written, read(written) if written != text else pattern, left_out)
    except RecursionError:
        raise SheetError(
            f"{name} is too tangled to read.",
            "Brackets lie in brackets too deep. Copy the pattern alone into a text file.",
        ) from None


def kind_of(data: bytes, name: str) -> str:
    """pdf, docx, html or text, by what the file holds; its ending tells only a web page that does not say so itself."""
    if b"%PDF-" in data[:1024]:
        return "pdf"
    if data.startswith(b"PK\x03\x04"):
        return "docx"
    start = data[:1024].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").lower()
    if start.startswith((b"<!doctype html", b"<html", b"<?xml")) or Path(name).suffix.lower() in (
        ".html",
        ".htm",
        ".xhtml",
    ):
        return "html"
    return "text"


def text_of(data: bytes, name: str, seconds: float = SECONDS) -> tuple[str, tuple[str, ...]]:
    """(text, what was left out). Raises SheetError."""
    kind = kind_of(data, name)
    if kind != "text":
        return _by_worker(kind, data, name, seconds)
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise SheetError(
            f"{name} is an old Word file, or one locked with a password.", "Save it unlocked as DOCX or as a text file."
        )
    if data.startswith(b"{\\rtf"):
        raise SheetError(f"{name} is rich text (RTF).", "Save it as DOCX or as a text file.")
    for encoding in ("utf-8-sig", "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8", "cp1252"):
        try:
            text = data.decode(encoding)
            break
        except UnicodeDecodeError:
            continue
    else:
        raise SheetError(f"{name} is not text.", TEXT_HINT)
    if "\0" in text:
        raise SheetError(f"{name} is not text.", TEXT_HINT)
    if not text.strip():
        raise SheetError(f"{name} has no text in it.", PICTURE)
    if len(text) > MOST_TEXT:
        raise SheetError(
            f"{name} has more than {MOST_TEXT // 1_000_000} million characters.",
            "Save the pattern's own pages in a file.",
        )
    return _plain_lines(text), ()


def _by_worker(kind: str, data: bytes, name: str, seconds: float) -> tuple[str, tuple[str, ...]]:
    try:
        done = subprocess.run([*WORKER, kind], input=data, capture_output=True, timeout=seconds, cwd=ROOT)
    except subprocess.TimeoutExpired:
        raise SheetError(
            f"{name} took longer than {seconds:g} seconds to read, so I stopped.",
            "Save the pattern's own pages in a file, or copy the text into a text file.",
        ) from None
    except OSError as error:
        raise SheetError(
            f"I can't start reading {name}: {error.strerror or error}.", "Copy the text into a text file."
        ) from None
    try:
        told = json.loads(done.stdout)
    except ValueError:
        raise SheetError(
            f"{name} could not be read: it needs more memory than I allow, or breaks its reader.",
            "Save it again, or copy the text into a text file.",
        ) from None
    if "error" in told:
        raise SheetError(f"I can't read {name}. {told['error']}", told["hint"])
    return _plain_lines(told["text"]), tuple(told["left_out"])


def _plain_lines(text: str) -> str:
    """Lines ended by a newline only, without characters that are not seen."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\f", "\n").replace("\xa0", " ").replace("\xad", "")
    return "".join(c for c in text if c in "\n\t" or c.isprintable())


def as_pattern_file(text: str, pattern: Pattern, name: str) -> str:
    """The text with a title, where it has none; nothing else is changed, so that what was written is what is kept."""
    if pattern.title or re.search(r"^#\s", text, re.MULTILINE):
        return text
    title = name.replace("_", " ").replace("-", " ").strip().capitalize() or "Pattern"
    return f"{title}\n\n{text}"
