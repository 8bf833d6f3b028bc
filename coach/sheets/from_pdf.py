"""The text of a PDF: page by page in reading order, and what stands beside it."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator

from coach.sheets.columns import in_reading_order
from coach.sheets.errors import SheetError
from coach.sheets.extract import MOST_TEXT, Extracted, shortened
from coach.sheets.paragraphs import in_paragraphs, joined

MOST_PAGES = 300
MOST_PICTURES = 1_000  # of a page, and files of a document, that are looked at


def pdf(data: bytes) -> Extracted:
    """The text of a PDF, columns one after the other, without the running heads. Raises SheetError."""
    from pypdf import PdfReader, errors
    from pypdf.errors import DependencyError, PyPdfError

    locked = SheetError("It is locked with a password.", "Save an unlocked copy.")
    try:
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted and not reader.decrypt(""):
            raise locked
        count = len(reader.pages)
        title = str((reader.metadata or {}).get("/Title") or "")
        pages, size, beside = [], 0, list(_files(reader))
        for number, sheet in enumerate(reader.pages[:MOST_PAGES], 1):
            pages.append(_page_text(sheet))
            beside += _beside(sheet, number)
            size += len(pages[-1])
            if size > MOST_TEXT * 2:
                break
    except SheetError:
        raise
    except DependencyError:
        raise locked from None
    except getattr(errors, "LimitReachedError", ()):
        raise SheetError("It unpacks to more than a pattern can be.", "Copy the pattern into a text file.") from None
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
    left_out += beside
    pages, heads = _without_running_heads(pages)
    left_out += [f'On {times} pages, as a running head: "{text}".' for text, times in heads]
    text = joined([in_paragraphs(in_reading_order(page)) for page in pages])
    return Extracted(_with_title(text, title), tuple(left_out))


def _with_title(text: str, title: str) -> str:
    """The text with the title that the file gives itself on one line, where its first lines are that."""
    words, lines = " ".join(title.split()), text.split("\n")
    for n in range(2, min(len(lines), 6)):
        if " ".join(" ".join(lines[:n]).split()) == words:
            return "\n".join((words, *lines[n:]))
    return text


def _page_text(sheet) -> str:
    plain = sheet.extract_text() or ""
    try:
        laid = sheet.extract_text(extraction_mode="layout") or ""
    except (MemoryError, RecursionError):
        raise
    except Exception:  # the layout is a finer reading of the same text; without it the plain one stands
        return plain
    return laid if _letters(laid) >= 0.95 * _letters(plain) else plain


def _beside(sheet, number: int) -> Iterator[str]:
    """What a page has besides its text: notes stuck on it, fields that are filled in, pictures."""
    for annotation in sheet.annotations or ():
        entry = annotation.get_object()
        words = " ".join(str(entry.get("/Contents") or entry.get("/V") or "").split())
        kind = entry.get("/Subtype")
        if words and kind != "/Link":
            yield f'On page {number}, {"a field" if kind == "/Widget" else "a note"}: "{shortened(words)}".'
    drawn = _inside(_inside(sheet, "/Resources"), "/XObject")
    pictures = sum(drawn[name].get_object().get("/Subtype") == "/Image" for name in list(drawn)[:MOST_PICTURES])
    if pictures:
        yield f"On page {number}, {pictures} picture{'s' if pictures > 1 else ''}."


def _inside(dictionary, key: str):
    found = dictionary.get(key)
    return {} if found is None else found.get_object()


def _files(reader) -> Iterator[str]:
    """The files that are attached to it."""
    for name in list(reader.attachments)[:MOST_PICTURES]:
        yield f"A file in it, {shortened(str(name))}."


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
