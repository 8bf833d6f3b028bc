"""A PDF, a web page or a text → a pattern file, with what could not be read told by its line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

from coach.notation import read
from coach.notation.model import Pattern
from coach.sheets.errors import SheetError

LARGEST = 20_000_000  # bytes of a file that is looked into
MOST_PAGES = 200


@dataclass(frozen=True, slots=True)
class Brought:
    """The text taken out, in pattern form, and the pattern it reads as."""

    text: str
    pattern: Pattern


def bring(path: Path) -> Brought:
    """Take the pattern out of a file. Raises SheetError when there is no text or no round in it."""
    path = Path(path)
    try:
        data = path.read_bytes() if path.stat().st_size <= LARGEST else None
    except IsADirectoryError:
        raise SheetError(f"{path} is a folder.", "Name a file in it.") from None
    except FileNotFoundError:
        raise SheetError(f"There is no file {path}.", "Check the name and the folder.") from None
    except OSError as error:
        raise SheetError(f"I can't read {path}: {error.strerror or error}.", "Check the name and the disk.") from None
    if data is None:
        raise SheetError(f"{path} is larger than {LARGEST // 1_000_000} megabytes.", "Save the pattern's own pages in a file.")
    text = text_of(data, path)
    pattern = read(text)
    if not pattern.parts:
        raise SheetError(f"No rounds or rows were found in {path}.", 'A round is a line like "Rnd 2: 2 sc in each st around (12)".')
    return Brought(as_pattern_file(text, pattern, path.stem), pattern)


def text_of(data: bytes, path: Path) -> str:
    """The text of a PDF, a web page or a plain text file. Raises SheetError."""
    if data.startswith(b"%PDF"):
        return _pdf(data, path)
    for encoding in ("utf-8-sig", "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8", "cp1252"):
        try:
            text = data.decode(encoding)
            break
        except UnicodeDecodeError:
            continue
    else:
        raise SheetError(f"{path} is not text.", "The coach takes PDF files with text, web pages and text files.")
    if "\0" in text:
        raise SheetError(f"{path} is not text.", "The coach takes PDF files with text, web pages and text files.")
    if path.suffix.lower() in (".html", ".htm") or re.match(r"\s*<(!doctype|html)\b", text, re.IGNORECASE):
        page = _Page()
        page.feed(text)
        page.close()
        text = page.text()
    if not text.strip():
        raise SheetError(f"{path} has no text in it.", "A scanned page is a picture: type it, or ask for a text version.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _pdf(data: bytes, path: Path) -> str:
    try:
        from io import BytesIO

        from pypdf import PdfReader
        from pypdf.errors import PyPdfError
    except ImportError:
        raise SheetError("Reading a PDF needs the package pypdf, which is not installed.", "Install it, or copy the text into a text file.") from None
    try:
        reader = PdfReader(BytesIO(data))
        if reader.is_encrypted and not reader.decrypt(""):
            raise SheetError(f"{path} is locked with a password.", "Save an unlocked copy.")
        pages = [page.extract_text() or "" for page in reader.pages[:MOST_PAGES]]
    except SheetError:
        raise
    except (PyPdfError, ValueError, KeyError, TypeError, RecursionError, OSError, AttributeError, IndexError):
        raise SheetError(f"{path} is a damaged PDF.", "Save it again, or copy the text into a text file.") from None
    text = "\n".join(pages)
    if not text.strip():
        raise SheetError(f"{path} has no text in it.", "A scanned page is a picture: type it, or ask for a text version.")
    return text


class _Page(HTMLParser):
    """A web page's text: a line for each block, headings marked, scripts and menus left out."""

    BLOCKS = frozenset("p div li tr br section article h1 h2 h3 h4 h5 h6 ul ol table blockquote pre dd dt".split())
    SILENT = frozenset("script style head nav footer aside noscript form svg template".split())

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.out: list[str] = []
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in self.SILENT:
            self.silent += 1
        elif tag in self.BLOCKS:
            self.out.append("\n")
            if tag in ("h1", "h2", "h3", "h4"):
                self.out.append("#" * min(int(tag[1]), 2) + " ")

    def handle_endtag(self, tag: str) -> None:
        if tag in self.SILENT:
            self.silent = max(0, self.silent - 1)
        elif tag in self.BLOCKS:
            self.out.append("\n")

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.out.append(re.sub(r"\s+", " ", data))

    def text(self) -> str:
        lines = [line.strip() for line in "".join(self.out).split("\n")]
        return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip() + "\n"


def as_pattern_file(text: str, pattern: Pattern, name: str) -> str:
    """The text with a title, where it has none; nothing else is changed, so that what was written is what is kept."""
    if re.search(r"^#\s", text, re.MULTILINE):
        return text
    title = pattern.title or name.replace("_", " ").replace("-", " ").strip().capitalize()
    return text if pattern.title else f"{title}\n\n{text}"
