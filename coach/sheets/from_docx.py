"""The text of a DOCX file (ECMA-376): paragraphs, headings, tables and footnotes, within limits of size and nesting."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from xml.etree import ElementTree

from coach.sheets.cells import as_line
from coach.sheets.errors import SheetError
from coach.sheets.extract import Extracted, shortened

LARGEST = 30_000_000  # bytes of one document inside, unpacked
MOST_FILES = 5_000
DEEPEST = 200  # elements within one another
W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
MC = "{http://schemas.openxmlformats.org/markup-compatibility/2006}"
NOTES = ("word/footnotes.xml", "word/endnotes.xml")
BESIDE = re.compile(r"word/(header|footer|comments)\d*\.xml")
MOST_BESIDE = 20  # of these that are looked into
PLACES = {"header": "At the head of its pages", "footer": "At the foot of its pages", "comments": "Comments on it"}
HEADING = re.compile(r"(title|heading\s*[1-9])", re.IGNORECASE)
_DAMAGED = "It is a damaged DOCX file."


def docx(data: bytes) -> Extracted:
    """The text. Raises SheetError for what is damaged, locked or larger than a pattern can be."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > MOST_FILES:
                raise SheetError("It holds too many files to be a pattern.", "Save the pattern as a text file.")
            body = _unpacked(archive, "word/document.xml")
            notes = [_unpacked(archive, name) for name in NOTES if name in archive.namelist()]
            named = [name for name in sorted(archive.namelist()) if _beside(name)][:MOST_BESIDE]
            beside = [(_beside(name), _unpacked(archive, name)) for name in named]
            pictures = sum(name.startswith("word/media/") for name in archive.namelist())
        root = _parsed(body)
        lines = list(_lines(root))
        left_out = [f"{pictures} picture{'s' if pictures > 1 else ''}."] if pictures else []
        if root.find(f".//{W}del") is not None:
            left_out.append("Text that its tracked changes delete.")
        for part in notes:
            found = [line for line in _lines(_parsed(part)) if line.strip()]
            lines += ["", *found] if found else []
        told = ((what, " ".join(" ".join(_lines(_parsed(part))).split())) for what, part in beside)
        left_out += dict.fromkeys(f'{what}: "{shortened(words)}".' for what, words in told if words)
    except KeyError:
        raise SheetError("It is no DOCX file that I know.", "Save it as DOCX or as a text file.") from None
    except (zipfile.BadZipFile, zlib.error, ElementTree.ParseError, EOFError, ValueError, OSError, NotImplementedError):
        raise SheetError(_DAMAGED, "Save it again, or copy the text into a text file.") from None
    except RuntimeError:  # zipfile's word for a password
        raise SheetError("It is locked with a password.", "Save an unlocked copy.") from None
    return Extracted(re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip() + "\n", tuple(left_out))


def _beside(name: str) -> str:
    """What a file inside holds that stands beside the text; "" for none."""
    found = BESIDE.fullmatch(name)
    return PLACES[found[1]] if found else ""


def _unpacked(archive: zipfile.ZipFile, name: str) -> bytes:
    """One file inside, never more than LARGEST of it whatever its directory says."""
    with archive.open(name) as file:
        data = file.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise SheetError("It unpacks to more than a pattern can be.", "Copy the pattern into a text file.")
    return data


def _parsed(data: bytes) -> ElementTree.Element:
    """The tree; a document type is refused, since it can make a little text endless."""
    if re.search(rb"<!(DOCTYPE|ENTITY)", data) or b"\0" in data[:200] and re.search(b"<\0?!\0?D", data):
        raise SheetError(_DAMAGED, "It defines words of its own, which no DOCX does.")
    builder = ElementTree.XMLPullParser(("start", "end"))
    depth, root = 0, None
    for start in range(0, len(data), 65_536):
        builder.feed(data[start : start + 65_536])
        for event, element in builder.read_events():
            root = element if root is None else root
            depth += 1 if event == "start" else -1
            if depth > DEEPEST:
                raise SheetError("It is too tangled to read.", "Copy the pattern into a text file.")
    builder.close()
    if root is None:
        raise ElementTree.ParseError("empty")
    return root


def _lines(element: ElementTree.Element) -> Iterator[str]:
    for child in element:
        if child.tag == f"{W}p":
            yield from _paragraph(child)
        elif child.tag == f"{W}tbl":
            for row in child.iter(f"{W}tr"):
                yield as_line([" ".join(_lines(cell)) for cell in row.findall(f"{W}tc")])
            yield ""
        elif child.tag not in (f"{W}sectPr", f"{MC}Fallback"):
            yield from _lines(child)


def _paragraph(paragraph: ElementTree.Element) -> Iterator[str]:
    style = paragraph.find(f"{W}pPr/{W}pStyle")
    name = style.get(f"{W}val", "") if style is not None else ""
    text = "".join(_runs(paragraph))
    numbered = paragraph.find(f"{W}pPr/{W}numPr") is not None
    if HEADING.fullmatch(name) and text.strip():
        yield from (
            "",
            ("# " if name.lower() == "title" or name.lower().replace(" ", "") == "heading1" else "## ")
            + " ".join(text.split()),
            "",
        )
    else:
        lines = text.split("\n")
        yield from ([f"- {lines[0]}", *lines[1:]] if numbered and text.strip() else lines)
    for box in paragraph.iter(f"{W}txbxContent"):  # a text box is told after the paragraph that it hangs on
        yield from _lines(box)


def _runs(element: ElementTree.Element) -> Iterator[str]:
    for child in element:
        if child.tag == f"{W}t":
            yield child.text or ""
        elif child.tag in (f"{W}br", f"{W}cr"):
            yield "\n"
        elif child.tag == f"{W}tab":
            yield " "
        elif child.tag == f"{W}noBreakHyphen":
            yield "-"
        elif child.tag not in (f"{W}del", f"{MC}Fallback", f"{W}txbxContent", f"{W}pPr"):
            yield from _runs(child)
