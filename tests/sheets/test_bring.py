"""Patterns out of PDF files, web pages and texts."""

from __future__ import annotations

import pytest

from coach.sheets.bring import bring
from coach.sheets.errors import SheetError

PAGE = """<!doctype html><html><head><title>shop</title><style>p {}</style></head><body>
<nav><a href="#">menu of things</a></nav>
<h1>Net float</h1><h2>Float (make 2)</h2>
<p>Rnd 1: 6 sc in magic ring. (6)</p><p>Rnd 2: <b>2 sc</b> in each st around. (12)</p>
<script>alert("Rnd 3: 1 sc")</script><footer>made by us</footer></body></html>"""


def pdf_of(lines: list[str]) -> bytes:
    """A small PDF with one line of text after another."""
    text = "BT /F1 12 Tf 50 750 Td 14 TL " + " ".join(f"({line.replace('(', chr(92) + '(').replace(')', chr(92) + ')')}) Tj T*" for line in lines) + " ET"
    objects = ["<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
               "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents 4 0 R /Resources << /Font << /F1 5 0 R >> >> >>",
               f"<< /Length {len(text)} >>\nstream\n{text}\nendstream", "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"]
    out, places = b"%PDF-1.4\n", []
    for i, body in enumerate(objects, 1):
        places.append(len(out))
        out += f"{i} 0 obj\n{body}\nendobj\n".encode()
    start = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode() + b"".join(f"{p:010d} 00000 n \n".encode() for p in places)
    return out + f"trailer << /Size {len(objects) + 1} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF".encode()


def test_a_web_page_keeps_headings_and_rounds_and_drops_the_rest(tmp_path):
    (tmp_path / "float.html").write_text(PAGE)
    brought = bring(tmp_path / "float.html")
    assert brought.pattern.title == "Net float"
    assert [(p.name, p.make, len(p.rounds)) for p in brought.pattern.parts] == [("Float", 2, 2)]
    assert "menu" not in brought.text and "alert" not in brought.text
    assert brought.pattern.faults == ()


def test_a_pdf_gives_its_text(tmp_path):
    pytest.importorskip("pypdf")
    (tmp_path / "float.pdf").write_bytes(pdf_of(["Net float", "", "Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: 2 sc in each st around. (12)"]))
    brought = bring(tmp_path / "float.pdf")
    assert [r.label for r in brought.pattern.parts[0].rounds] == ["Rnd 1", "Rnd 2"]


def test_a_pdf_cut_short_is_a_sentence(tmp_path):
    pytest.importorskip("pypdf")
    (tmp_path / "float.pdf").write_bytes(pdf_of(["Rnd 1: 6 sc in magic ring. (6)"])[:60])
    with pytest.raises(SheetError) as error:
        bring(tmp_path / "float.pdf")
    assert "PDF" in error.value.message or "no text" in error.value.message


def test_a_text_without_a_title_is_named_after_its_file(tmp_path):
    (tmp_path / "net_float.txt").write_text("Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\n")
    assert bring(tmp_path / "net_float.txt").text.startswith("Net float\n")


@pytest.mark.parametrize(("name", "data", "says"), [
    ("a.txt", b"\x00\x01\x02" * 30, "not text"),
    ("b.txt", b"   \n", "no text"),
    ("c.txt", b"Dear aunt, the sea is calm today.", "No rounds"),
])
def test_what_is_no_pattern_is_a_sentence(tmp_path, name, data, says):
    (tmp_path / name).write_bytes(data)
    with pytest.raises(SheetError) as error:
        bring(tmp_path / name)
    assert says in error.value.message and error.value.hint


def test_a_folder_and_a_missing_file_are_sentences(tmp_path):
    for path, says in ((tmp_path, "folder"), (tmp_path / "none.txt", "no file")):
        with pytest.raises(SheetError) as error:
            bring(path)
        assert says in error.value.message
