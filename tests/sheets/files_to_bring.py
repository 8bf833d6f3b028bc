"""Files as a maker meets them, sound and hostile, made here: PDF, DOCX."""

from __future__ import annotations

import io
import zipfile
import zlib
from html import escape

W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"


def pdf_of(pages: list[list[tuple[float, float, str]]], size: float = 10) -> bytes:
    """A PDF of pages with lines of text at (x, y), in points from the lower left corner."""
    contents = []
    for lines in pages:
        shown = "".join(f"1 0 0 1 {x} {y} Tm ({_escaped(text)}) Tj " for x, y, text in lines)
        contents.append(f"BT /F1 {size} Tf {shown}ET".encode("latin-1"))
    return pdf_with(contents)


def pdf_with(contents: list[bytes], *, compressed: bool = False, kids: str | None = None) -> bytes:
    """A PDF whose pages have these content streams. kids: of the page tree, in place of the pages."""
    n = len(contents)
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        f"<< /Type /Pages /Kids [{kids or ' '.join(f'{4 + 2 * i} 0 R' for i in range(n))}] /Count {n} >>".encode(),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>",
    ]
    for i, content in enumerate(contents):
        objects.append(
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents {5 + 2 * i} 0 R "
            "/Resources << /Font << /F1 3 0 R >> >> >>".encode()
        )
        head = f"<< /Length {len(content)}{' /Filter /FlateDecode' if compressed else ''} >>\nstream\n".encode()
        objects.append(head + content + b"\nendstream")
    out, places = b"%PDF-1.4\n", []
    for i, body in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (i, body)
    start = len(out)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    return (
        out
        + b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
        + table
        + b"trailer << /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF" % (len(objects) + 1, start)
    )


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")


def bomb_pdf(megabytes: int = 500) -> bytes:
    """A page whose few kilobytes unpack to this much."""
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(b" " * 1_000_000) for _ in range(megabytes)) + packer.flush()
    return pdf_with([packed], compressed=True)


def paragraph(text: str, style: str = "", numbered: bool = False) -> str:
    properties = (f'<w:pStyle w:val="{style}"/>' if style else "") + ("<w:numPr/>" if numbered else "")
    runs = "<w:br/>".join(f"<w:t>{escape(line)}</w:t>" for line in text.split("\n"))
    return f"<w:p><w:pPr>{properties}</w:pPr><w:r>{runs}</w:r></w:p>"


def table(rows: list[list[str]]) -> str:
    return (
        "<w:tbl>"
        + "".join("<w:tr>" + "".join(f"<w:tc>{paragraph(cell)}</w:tc>" for cell in row) + "</w:tr>" for row in rows)
        + "</w:tbl>"
    )


def docx_of(*blocks: str, head: str = "", **more: bytes | str) -> bytes:
    """A DOCX file of these blocks of its body. more: further files inside, by name with _ for /."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "[Content_Types].xml", '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'
        )
        archive.writestr(
            "word/document.xml",
            f'<?xml version="1.0"?>{head}<w:document xmlns:w="{W}"><w:body>{"".join(blocks)}</w:body></w:document>',
        )
        for name, content in more.items():
            archive.writestr(name.replace("_", "/").replace("/xml", ".xml").replace("/png", ".png"), content)
    return out.getvalue()
