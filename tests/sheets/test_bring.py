"""Patterns out of PDF files, web pages, DOCX files and texts; hostile files end in a sentence."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from coach.fabric import work
from coach.sheets.bring import LARGEST, bring, bring_data, kind_of
from coach.sheets.errors import SheetError

sys.path.insert(0, str(Path(__file__).parent))
from files_to_bring import W, bomb_pdf, docx_of, paragraph, pdf_of, pdf_with, table  # noqa: E402

PAGE = """<!doctype html><html><head><title>shop</title><style>p {}</style></head><body>
<nav><a href="#">menu of things</a></nav>
<h1>Net float</h1><h2>Float (make 2)</h2>
<p>Rnd 1: 6 sc in magic ring. (6)</p><p>Rnd 2: <b>2 sc</b> in each st around. (12)</p>
<script>alert("Rnd 3: 1 sc")</script><footer>made by us</footer></body></html>"""
ROUNDS = ["Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: 2 sc in each st around. (12)", "Rnd 3: (Sc 1, inc) x 6. (18)"]


def rounds(brought) -> list[list[str]]:
    return [[r.label for r in part.rounds] for part in brought.pattern.parts]


def fails(data: bytes, name: str, seconds: float = 60.0) -> SheetError:
    with pytest.raises(SheetError) as error:
        bring_data(data, name, seconds)
    assert error.value.message.endswith(".") and error.value.hint
    return error.value


# ---- web pages
def test_a_web_page_keeps_headings_and_rounds_and_tells_what_it_leaves_out(tmp_path):
    (tmp_path / "float.html").write_text(PAGE)
    brought = bring(tmp_path / "float.html")
    assert brought.pattern.title == "Net float"
    assert [(p.name, p.make, len(p.rounds)) for p in brought.pattern.parts] == [("Float", 2, 2)]
    assert "menu" not in brought.text and "alert" not in brought.text
    assert brought.pattern.faults == ()
    assert any("menu of things" in what for what in brought.left_out) and any(
        "made by us" in what for what in brought.left_out
    )


def test_a_table_of_rounds_becomes_lines_of_rounds():
    rows = "".join(
        f"<tr><td>{a}</td><td>{b}</td><td>{c}</td></tr>"
        for a, b, c in (("Rnd 1", "6 sc in magic ring", "6"), ("Rnd 2", "2 sc in each st around", "12"))
    )
    brought = bring_data(
        f"<html><body><h1>Float</h1><h2>Float</h2><table>{rows}</table></body></html>".encode(), "float.html"
    )
    assert "Rnd 2: 2 sc in each st around (12)" in brought.text
    assert [w.made for w in work(brought.pattern).parts[0].rounds] == [6, 12]


WRITTEN = """<html><header><nav><ul><li>Home</li></ul></nav></header><article><h1>Sea lamp</h1>
<p class=meta>Written in the harbour, 3 May</p><p>The evenings are long, and I wanted a lamp for the window.</p>
<h2>What you need</h2><table><tr><th>Yarn</th><td>DK, yellow, 20 g</td></tr><tr><th>Hook</th><td>3.5 mm</td></tr></table>
<h2>Abbreviations (US terms)</h2><table><tr><th>US</th><th>UK</th><th>Meaning</th></tr>
<tr><td>sc</td><td>dc</td><td>single crochet</td></tr><tr><td>hdc</td><td>htr</td><td>half double</td></tr></table>
<div class=tip><strong>Tip!</strong> Use a marker.</div><h2>Pattern</h2><h3>Globe</h3>
<p><strong>Round 1:</strong> 6 sc in a magic ring [6]<br><strong>Round 2:</strong> inc in each st around [12]</p>
<figure><img src=a.jpg alt="Two rounds"><figcaption>Your work after round 2</figcaption></figure>
<blockquote>Tip: If your stitches are loose, go down a hook size.</blockquote>
<p><strong>Rounds 3&ndash;5:</strong> sc in each st around [12]</p><div>Advertisement</div>
<p><strong>Round 6:</strong> dec &times; 6 [6]</p><p>Stuff firmly.</p>
<h3>Foot <em>(make 2)</em></h3><ol><li>Round 1: ch 2, 5 sc in 2nd ch from hook (5)</li>
<li><b>Round 2</b>: inc x 5 (10)</li></ol><h2>Assembly</h2><p>Sew each foot to the globe.</p></article></html>"""


def test_a_page_with_lead_in_tables_tips_and_captions_is_the_pattern_in_it():
    brought = bring_data(WRITTEN.encode(), "lamp.html")
    fabric = work(brought.pattern)
    assert [fault.message for fault in fabric.faults] == []
    assert [(p.name, p.make, [w.made for w in p.rounds]) for p in fabric.parts] == [
        ("Globe", 1, [6, 12, 12, 12, 12, 6]),
        ("Foot", 2, [5, 10]),
    ]
    assert brought.pattern.materials == ("Yarn: DK, yellow, 20 g", "Hook: 3.5 mm")
    assert [note.text for note in brought.pattern.assembly] == ["Sew each foot to the globe."]


def test_a_list_sets_no_number_before_a_label():
    text = bring_data(WRITTEN.encode(), "lamp.html").text
    assert "\nRound 1: ch 2, 5 sc" in text and "\nRound 2: inc x 5" in text


def test_what_a_page_folds_up_or_lays_in_a_field_is_read():
    page = f"<html><h1>Float</h1><details><summary>More</summary>{ROUNDS[0]}</details><textarea>{ROUNDS[1]}</textarea></html>"
    assert rounds(bring_data(page.encode(), "a.html")) == [["Rnd 1", "Rnd 2"]]


def test_pictures_that_say_what_they_show_and_pages_within_are_told():
    page = f'<html><h1>Float</h1><p>{ROUNDS[0]}<img src=a.png alt="{ROUNDS[1]}"><img src=b.png><iframe src=c></iframe></html>'
    told = bring_data(page.encode(), "a.html").left_out
    assert told == (f'A picture that is described as "{ROUNDS[1]}".', "What the page shows from elsewhere (iframe).")


def test_numbers_of_a_list_are_kept():
    page = PAGE.replace("<script>", "<h2>Assembly</h2><ol><li>Sew.</li><li>Stuff.</li></ol><script>")
    brought = bring_data(page.encode(), "float.html")
    assert "1. Sew.\n" in brought.text and "2. Stuff.\n" in brought.text
    assert len(brought.pattern.assembly) == 2


def listed(*lists: str) -> list[list[str]]:
    """Labels of the rounds of each part of a page with these lists."""
    return rounds(bring_data(f"<html><h1>Seal</h1>{''.join(lists)}</html>".encode(), "seal.html"))


HEAD = "<h2>Head</h2><ol><li>6 sc in magic ring (6)</li><li>inc x 6 (12)</li></ol>"
FURTHER = "<ol><li>(sc, inc) x 6 (18)</li><li>sc around (18)</li></ol>"


def test_a_list_goes_on_behind_a_picture_or_a_sentence():
    assert listed(HEAD, "<p>Photo: like this.</p>", FURTHER) == [["Rnd 1", "Rnd 2", "Rnd 3", "Rnd 4"]]
    assert listed(HEAD, "<h2>Body</h2>", HEAD) == [["Rnd 1", "Rnd 2"], ["Rnd 1", "Rnd 2"]]


def test_a_list_that_begins_anew_does():
    again = HEAD.removeprefix("<h2>Head</h2>")
    assert listed(HEAD, "<p>The second one:</p>", again) == [["Rnd 1", "Rnd 2"], ["Rnd 1", "Rnd 2"]]


def test_a_number_that_the_page_gives_is_kept():
    page = HEAD + '<ol start="3"><li>sc around (12)</li><li value="6"><p>sc around (12)</p></li></ol>'
    text = bring_data(f"<html><h1>Seal</h1>{page}</html>".encode(), "seal.html").text
    assert "3. sc around (12)" in text and "6. sc around (12)" in text


def test_a_menu_that_is_never_closed_hides_nothing():
    brought = bring_data(PAGE.replace("</nav>", "").encode(), "float.html")
    assert rounds(brought) == [["Rnd 1", "Rnd 2"]]


def test_a_page_in_another_encoding_is_read_in_it():
    page = PAGE.replace("<title>", '<meta charset="iso-8859-1"><title>').replace("Net float", "Flot à la mer")
    assert bring_data(page.encode("latin-1"), "float.html").pattern.title == "Flot à la mer"


# ---- PDF
def test_a_pdf_gives_its_text(tmp_path):
    (tmp_path / "float.pdf").write_bytes(
        pdf_of([[(50, 750, "Net float"), *((50, 700 - 14 * i, r) for i, r in enumerate(ROUNDS))]])
    )
    brought = bring(tmp_path / "float.pdf")
    assert rounds(brought) == [["Rnd 1", "Rnd 2", "Rnd 3"]]
    assert brought.left_out == ()


def test_two_columns_are_read_one_after_the_other():
    left = ["Float", *ROUNDS, "Rnds 4-6: Sc in each st around. (18)", "Stuff it lightly and close it."]
    right = [
        "Strap",
        "Ch 7.",
        "Row 1: Sc in 2nd ch from hook",
        "and in each ch across, turn. (6)",
        "Row 2: Ch 1, sc in each st across, turn. (6)",
    ]
    lines = [(120, 760, "A float with a strap, for any net that has to stay on top of the water")]
    lines += [(50, 720 - 14 * i, text) for i, text in enumerate(left)] + [
        (330, 720 - 14 * i, text) for i, text in enumerate(right)
    ]
    brought = bring_data(pdf_of([lines]), "float.pdf")
    assert rounds(brought) == [["Rnd 1", "Rnd 2", "Rnd 3", "Rnd 4", "Rnd 5", "Rnd 6"], ["Row 1", "Row 2"]]
    assert [p.name for p in brought.pattern.parts] == ["Float", "Strap"]
    assert work(brought.pattern).faults == ()


def test_running_heads_are_left_out_and_told():
    pages = [
        [
            (50, 780, f"The net book - page {n}"),
            (50, 700, "Float" if n == 1 else ""),
            (50, 680, ROUNDS[n - 1]),
            (50, 650, f"Keep mark {'abc'[n - 1]} in mind."),
        ]
        for n in (1, 2, 3)
    ]
    brought = bring_data(pdf_of(pages), "float.pdf")
    assert rounds(brought) == [["Rnd 1", "Rnd 2", "Rnd 3"]]
    assert "net book" not in brought.text and any("The net book - page 1" in what for what in brought.left_out)


def test_a_title_of_two_lines_is_the_one_that_the_file_gives_itself():
    pypdf = pytest.importorskip("pypdf")
    lines = [(50, 780, "The float of"), (50, 760, "Saltmarsh Quay")]
    lines += [(50, 700 - 14 * k, line) for k, line in enumerate(ROUNDS)]
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(io.BytesIO(pdf_of([lines]))))
    for title, found in (("The float of Saltmarsh Quay", "The float of Saltmarsh Quay"), ("untitled-3", "The float of")):
        writer.add_metadata({"/Title": title})
        out = io.BytesIO()
        writer.write(out)
        assert bring_data(out.getvalue(), "a.pdf").pattern.title == found


class TestBesideThePage:
    """Notes, fields, pictures and files of a PDF: not taken over, and told."""

    @pytest.fixture
    def writer(self):
        pypdf = pytest.importorskip("pypdf")
        lines = [(50, 700 - 14 * k, line) for k, line in enumerate(ROUNDS)]
        return pypdf.PdfWriter(clone_from=pypdf.PdfReader(io.BytesIO(pdf_of([lines]))))

    def told(self, writer) -> tuple[str, ...]:
        out = io.BytesIO()
        writer.write(out)
        return bring_data(out.getvalue(), "a.pdf").left_out

    def test_nothing(self, writer):
        assert self.told(writer) == ()

    def test_a_note(self, writer):
        from pypdf.annotations import Text

        writer.add_annotation(0, Text(text="Stuff it now.", rect=(50, 600, 70, 620)))
        assert self.told(writer) == ('On page 1, a note: "Stuff it now.".',)

    def test_a_link_is_none(self, writer):
        from pypdf.annotations import Link

        writer.add_annotation(0, Link(rect=(0, 0, 9, 9), url="https://harbour.example/"))
        assert self.told(writer) == ()

    def test_a_field_that_is_filled_in(self, writer):
        from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject

        field = {"/Type": NameObject("/Annot"), "/Subtype": NameObject("/Widget"), "/V": TextStringObject("Size large")}
        entry = writer._add_object(DictionaryObject({NameObject(key): value for key, value in field.items()}))
        writer.pages[0][NameObject("/Annots")] = ArrayObject([entry])
        assert self.told(writer) == ('On page 1, a field: "Size large".',)

    def test_a_picture(self):
        canvas = pytest.importorskip("reportlab.pdfgen.canvas")
        image = pytest.importorskip("PIL.Image")
        from reportlab.lib.utils import ImageReader

        out = io.BytesIO()
        page = canvas.Canvas(out)
        page.drawString(50, 700, ROUNDS[0])
        page.drawImage(ImageReader(image.new("RGB", (9, 9), "red")), 50, 300)
        page.save()
        assert bring_data(out.getvalue(), "a.pdf").left_out == ("On page 1, 1 picture.",)

    def test_a_file(self, writer):
        writer.add_attachment("chart.svg", b"<svg/>")
        assert self.told(writer) == ("A file in it, chart.svg.",)


def test_a_page_without_text_is_told():
    brought = bring_data(pdf_of([[(50, 700 - 14 * i, r) for i, r in enumerate(ROUNDS)], []]), "float.pdf")
    assert any("page 2" in what for what in brought.left_out)


def test_a_pdf_cut_short_is_a_sentence():
    whole = pdf_of([[(50, 700, ROUNDS[0])]])
    assert "PDF" in (error := fails(whole[:60], "float.pdf")).message or "no text" in error.message
    for cut in range(100, len(whole), 211):  # cut anywhere: read or told, never anything else
        try:
            bring_data(whole[:cut], "float.pdf")
        except SheetError as error:
            assert error.hint


def test_a_locked_pdf_is_a_sentence():
    from io import BytesIO

    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter(clone_from=PdfReader(BytesIO(pdf_of([[(50, 700, ROUNDS[0])]]))))
    writer.encrypt("sea", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    assert "locked with a password" in fails(out.getvalue(), "float.pdf").message


@pytest.mark.parametrize(
    ("what", "data"),
    [
        ("a page tree that holds itself", lambda: pdf_with([b"BT ET"], kids="2 0 R")),
        ("a page that unpacks to half a gigabyte", bomb_pdf),
        ("a million brackets", lambda: pdf_with([b"[" * 1_000_000])),
        ("two thousand pages of nothing", lambda: pdf_with([b""] * 2_000)),
    ],
)
def test_a_hostile_pdf_ends_in_a_sentence(what, data):
    fails(data(), "float.pdf", 30.0)


def test_what_takes_too_long_is_stopped():
    lines = [(50, 700 - 14 * (i % 40), r) for i in range(30_000) for r in ROUNDS]
    error = fails(pdf_of([lines]), "float.pdf", 0.2)
    assert "longer than 0.2 seconds" in error.message


# ---- DOCX
def test_a_docx_file_keeps_headings_tables_and_lists():
    data = docx_of(
        paragraph("Net float", "Title"),
        paragraph("Float (make 2)", "Heading2"),
        table([["Rnd 1", "6 sc in magic ring", "6"], ["Rnd 2", "2 sc in each st around", "12"]]),
        paragraph("Rnd 3: (Sc 1, inc) x 6. (18)\nStuff it lightly."),
        paragraph("Assembly", "Heading2"),
        paragraph("Sew the floats together.", numbered=True),
    )
    brought = bring_data(data, "float.docx")
    assert brought.pattern.title == "Net float"
    assert [(p.name, p.make, len(p.rounds)) for p in brought.pattern.parts] == [("Float", 2, 3)]
    assert len(brought.pattern.assembly) == 1
    assert work(brought.pattern).faults == ()


def test_what_stands_beside_the_text_of_a_docx_file_is_told_and_its_endnotes_are_kept():
    def part(tag: str, text: str) -> str:
        return f'<w:{tag} xmlns:w="{W}">{paragraph(text)}</w:{tag}>'

    data = docx_of(
        *map(paragraph, ROUNDS),
        word_header1_xml=part("hdr", "Harbour patterns"),
        word_footer1_xml=part("ftr", "page one"),
        word_comments_xml=part("comments", "Use a bigger hook"),
        word_endnotes_xml=part("endnotes", "Stuff it now."),
    )
    brought = bring_data(data, "a.docx")
    assert set(brought.left_out) == {
        'At the head of its pages: "Harbour patterns".',
        'At the foot of its pages: "page one".',
        'Comments on it: "Use a bigger hook".',
    }
    assert "Stuff it now." in brought.text


def test_pictures_of_a_docx_file_are_told():
    brought = bring_data(docx_of(*map(paragraph, ROUNDS), word_media_chart_png=b"\x89PNG"), "float.docx")
    assert brought.left_out == ("1 picture.",)


LAUGHS = "<!DOCTYPE z [" + "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10 if i else "sea"}">' for i in range(10)) + "]>"


@pytest.mark.parametrize(
    ("what", "data"),
    [
        ("entities in entities", lambda: docx_of(paragraph("x"), head=LAUGHS)),
        ("a body that unpacks to 100 megabytes", lambda: docx_of("<w:p/>" * 16_000_000)),
        ("elements in elements", lambda: docx_of("<w:p>" * 5_000 + "</w:p>" * 5_000)),
        ("six thousand files", lambda: docx_of(paragraph("x"), **{f"word_{i}": b"" for i in range(6_000)})),
        ("a ZIP that is no DOCX", lambda: docx_of().replace(b"word/document.xml", b"wood/document.xml")),
        ("XML that breaks off", lambda: docx_of("<w:p><w:t>oh")),
        ("half a file", lambda: docx_of(*map(paragraph, ROUNDS * 50))[:300]),
    ],
)
def test_a_hostile_docx_ends_in_a_sentence(what, data):
    fails(data(), "float.docx", 30.0)


# ---- text
def test_a_text_without_a_title_is_named_after_its_file(tmp_path):
    (tmp_path / "net_float.txt").write_text("Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\n")
    assert bring(tmp_path / "net_float.txt").text.startswith("Net float\n")


def test_what_could_not_be_read_is_told_by_its_line():
    brought = bring_data(
        "# Float\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: wobble the gribbet. (6)\n".encode(), "float.txt"
    )
    told = list(brought.told())
    assert told[0] == "Part: Float, 2 rounds."
    assert told[1].startswith('Line 6: "wobble the gribbet" is not understood.')
    assert "gribbet" in brought.text  # it is kept as it was written


def test_every_word_of_a_text_is_kept():
    text = (
        "# Float\n\nOnce the net is mended,\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\n\nsay a word to the gull.\n"
    )
    assert bring_data(text.encode(), "float.txt").text == text


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.txt", b"\x00\x01\x02" * 30, "not text"),
        ("b.txt", b"   \n", "no text"),
        ("c.txt", b"Dear aunt, the sea is calm today.", "No rounds"),
        ("d.txt", b"x" * (LARGEST + 1), "larger than 20 megabytes"),
        ("e.txt", b"sea " * 400_000, "million characters"),
        ("f.rtf", rb"{\rtf1 Rnd 1: 6 sc in magic ring. (6)}", "rich text"),
        ("f.doc", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 100, "old Word file"),
    ],
)
def test_what_is_no_pattern_is_a_sentence(name, data, says):
    assert says in fails(data, name).message


def test_a_text_that_takes_too_long_is_stopped():
    rounds = b"".join(b"Rnd %d: (Sc %d, inc) x 6.\n" % (n, n) for n in range(1, 25_000))
    assert "longer than 1 second" in fails(rounds, "g.txt", 1.0).message


def test_a_folder_and_a_missing_file_are_sentences(tmp_path):
    for path, says in ((tmp_path, "folder"), (tmp_path / "none.txt", "no file")):
        with pytest.raises(SheetError) as error:
            bring(path)
        assert says in error.value.message


@pytest.mark.parametrize(
    ("data", "name", "kind"),
    [
        (b"%PDF-1.7", "x", "pdf"),
        (b"junk\n%PDF-1.4", "x.txt", "pdf"),
        (b"PK\x03\x04", "x.docx", "docx"),
        (b"\xef\xbb\xbf <!DOCTYPE HTML>", "x.txt", "html"),
        (b"Rnd 1", "x.html", "html"),
        (b"Rnd 1", "x.txt", "text"),
    ],
)
def test_a_file_is_known_by_what_it_holds(data, name, kind):
    assert kind_of(data, name) == kind
