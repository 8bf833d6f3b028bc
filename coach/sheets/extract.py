"""The text of a PDF, a web page or a DOCX file; run as a module, it is the worker that does so within limits.

    python -m coach.sheets.extract KIND < FILE > JSON

KIND is pdf, docx, html or text (which is only tried). The answer is {"text", "left_out"}, or {"error", "hint"}:
sentences, as everywhere. What is not taken over (a menu, a page's running head) is told in "left_out". The worker has
a limit of memory; the caller has one of time.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass

from coach.sheets.errors import SheetError

MOST_TEXT = 1_000_000  # characters; the longest written patterns stay under a tenth of this
MEMORY = 1_500_000_000  # bytes of address space, where the system knows such limits
SHORT = 80  # characters of what is told of words that are left out
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
    from coach.sheets.from_pdf import pdf

    found = {"pdf": pdf, "docx": docx, "html": page, "text": tried}[kind](data)
    if not found.text.strip():
        raise SheetError("It has no text in it.", PICTURE)
    if len(found.text) > MOST_TEXT:
        raise SheetError(
            f"It has more than {MOST_TEXT // 1_000_000} million characters.", "Save the pattern's own pages in a file."
        )
    return found


def shortened(words: str) -> str:
    """Words as they are told: not too many of them."""
    return words if len(words) <= SHORT else words[: SHORT - 3].rstrip() + "..."


def tried(data: bytes) -> Extracted:
    """The text itself, once it has been seen that it can be read as a pattern in good time."""
    from coach.notation import read

    text = data.decode("utf-8")
    read(text)
    return Extracted(text)


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
