"""The text of a PDF, a web page or a DOCX file; run as a module, it is the worker that does so within limits.

    python -m coach.sheets.extract KIND < FILE > JSON

KIND is pdf, docx, html or text (which is only tried). The answer is {"text", "left_out"}, or {"error", "hint"}:
sentences, as everywhere. What is not taken over (a menu, a page's running head) is told in "left_out". The worker has
a limit of memory; the caller has one of time.
"""

from __future__ import annotations

import io
import json
import re
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from coach.sheets.columns import in_reading_order
from coach.sheets.errors import SheetError

MOST_PAGES = 300
MOST_TEXT = 1_000_000  # characters; the longest written patterns stay under a tenth of this
MEMORY = 1_500_000_000  # bytes of address space, where the system knows such limits
PICTURE = "A scanned page is a picture: type it, or ask for a text version."


@dataclass(frozen=True, slots=True)
class Extracted:
    """text: in reading order; left_out: sentences about what was not taken over."""

    text: str
    left_out: tuple[str, ...] = ()


def extract(kind: str, data: bytes) -> Extracted:
    """The text. Raises SheetError."""
    from coach.sheets.from_docx import docx
    from coach.sheets.from_page import page

    found = {"pdf": pdf, "docx": docx, "html": page, "text": tried}[kind](data)
    if not found.text.strip():
        raise SheetError("It has no text in it.", PICTURE)
    if len(found.text) > MOST_TEXT:
        raise SheetError(
            f"It has more than {MOST_TEXT // 1_000_000} million characters.", "Save the pattern's own pages in a file."
        )
    return found


def tried(data: bytes) -> Extracted:
    """The text itself, once it has been seen that it can be read as a pattern in good time."""
    from coach.notation import read

    text = data.decode("utf-8")
    read(text)
    return Extracted(text)


# ---------------------------------------------------------------- PDF
def pdf(data: bytes) -> Extracted:
    """The text of a PDF, columns one after the other, without the running heads. Raises SheetError."""
    from pypdf import PdfReader
    from pypdf.errors import DependencyError, PyPdfError

    locked = SheetError("It is locked with a password.", "Save an unlocked copy.")
    try:
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted and not reader.decrypt(""):
            raise locked
        count = len(reader.pages)
        pages, size = [], 0
        for sheet in reader.pages[:MOST_PAGES]:
            pages.append(_page_text(sheet))
            size += len(pages[-1])
            if size > MOST_TEXT * 2:
                break
    except SheetError:
        raise
    except DependencyError:
        raise locked from None
    except (MemoryError, RecursionError):
        raise SheetError("It is too tangled to read.", "Save it again, or copy the text into a text file.") from None
    except (
        PyPdfError,
        ValueError,
        KeyError,
        TypeError,
        OSError,
        AttributeError,
        IndexError,
        AssertionError,
        NotImplementedError,
        ArithmeticError,
    ):
        raise SheetError("It is a damaged PDF.", "Save it again, or copy the text into a text file.") from None
    left_out = []
    if count > len(pages):
        left_out.append(f"Pages {len(pages) + 1} to {count} were not read.")
    empty = [str(i) for i, text in enumerate(pages, 1) if not text.strip()]
    if empty and len(empty) < len(pages):
        left_out.append(f"Without text, so perhaps a picture: page {', '.join(empty[:20])}.")
    pages, heads = _without_running_heads(pages)
    left_out += [f'On {times} pages, as a running head: "{text}".' for text, times in heads]
    return Extracted("\n\n".join(text.strip("\n") for text in pages), tuple(left_out))


def _page_text(sheet) -> str:
    plain = sheet.extract_text() or ""
    try:
        laid = sheet.extract_text(extraction_mode="layout") or ""
    except (MemoryError, RecursionError):
        raise
    except Exception:  # the layout is a finer reading of the same text; without it the plain one stands
        return plain
    return in_reading_order(laid) if _letters(laid) >= 0.95 * _letters(plain) else plain


def _letters(text: str) -> int:
    return sum(not c.isspace() for c in text)


def _without_running_heads(pages: list[str]) -> tuple[list[str], list[tuple[str, int]]]:
    """Without first and last lines that come back on most pages, whatever number is in them; gives them too."""
    if len(pages) < 3:
        return pages, []
    edges = Counter(key for text in pages for key in {_key(line) for line in _edges(text)})
    heads = {
        key
        for key, times in edges.items()
        if times > len(pages) / 2 and key and not re.match(r"(rnds?|rounds?|rows?)\b", key)
    }
    out, shown = [], {}
    for text in pages:
        lines = text.split("\n")
        written = [i for i, line in enumerate(lines) if line.strip()]
        for i in {*written[:1], *written[-1:]}:
            if _key(lines[i]) in heads:
                shown.setdefault(_key(lines[i]), lines[i].strip())
                lines[i] = ""
        out.append("\n".join(lines))
    return out, [(text, edges[key]) for key, text in shown.items()]


def _edges(text: str) -> list[str]:
    written = [line for line in text.split("\n") if line.strip()]
    return [*written[:1], *written[-1:]]


def _key(line: str) -> str:
    return re.sub(r"\d+", "#", " ".join(line.split())).lower()


# ---------------------------------------------------------------- the worker
def main(argv: list[str], read: Callable[[], bytes], write: Callable[[str], object]) -> int:
    try:
        _limit_memory()
        found = extract(argv[0], read())
        write(json.dumps({"text": found.text, "left_out": found.left_out}))
    except SheetError as error:
        write(json.dumps({"error": error.message, "hint": error.hint}))
    except (MemoryError, RecursionError):
        write(json.dumps({"error": "It is too large to read.", "hint": "Save the pattern's own pages in a file."}))
    return 0


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # Windows: the limits of size and time hold
        return
    try:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, resource.getrlimit(resource.RLIMIT_AS)[1]))
    except (ValueError, OSError):  # macOS knows the limit and does not keep it
        return


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], sys.stdin.buffer.read, sys.stdout.write))
