"""Large print as PDF against what PDF/UA asks for (ISO 14289-1), as far as a walk through the file can prove it.

Whether words and order are right is seen in test_print; here: everything is tagged or an artifact, the tree is sound,
fonts are embedded, pictures have words, and the file says its title and language.
"""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from coach import sheets
from coach.fabric import work
from coach.notation import read

pytest.importorskip("reportlab")
pytest.importorskip("resvg_py")
from pypdf import PdfReader  # noqa: E402
from pypdf.generic import ContentStream  # noqa: E402

ROOT = Path(__file__).parents[2]
PAINTS = {b"Tj", b"TJ", b"'", b'"', b"Do", b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"sh", b"BI"}


@pytest.fixture(scope="module")
def reader(tmp_path_factory) -> PdfReader:
    path = tmp_path_factory.mktemp("pdf") / "seal.pdf"
    sheets.write(work(read((ROOT / "patterns" / "seal.md").read_text("utf-8"))), path)
    return PdfReader(io.BytesIO(path.read_bytes()))


def elements(reader: PdfReader):
    """Every element of the structure tree, in reading order."""

    def walk(kid):
        kid = kid.get_object()
        if "/S" in kid:
            yield kid
            for inner in kid.get("/K", []):
                yield from walk(inner)

    yield from (e for kid in reader.trailer["/Root"]["/StructTreeRoot"]["/K"] for e in walk(kid))


def test_it_says_which_standard_it_follows_its_title_and_its_language(reader):
    root = reader.trailer["/Root"]
    about = root["/Metadata"].get_object().get_data().decode("utf-8")
    assert "<pdfuaid:part>1</pdfuaid:part>" in about
    assert re.search(r"<dc:title>.*Harbour seal.*</dc:title>", about, re.DOTALL)
    assert root["/Lang"] == "en" and root["/MarkInfo"]["/Marked"].value is True
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert reader.pdf_header == "%PDF-1.7"


def test_all_that_is_painted_is_tagged_or_an_artifact(reader):
    for page in reader.pages:
        depth = 0
        for _, operator in ContentStream(page.get_contents(), reader).operations:
            depth += (operator in (b"BDC", b"BMC")) - (operator == b"EMC")
            assert depth in (0, 1)
            assert depth or operator not in PAINTS, operator
        assert depth == 0


def test_each_mark_belongs_to_one_element_that_the_parent_tree_names(reader):
    numbers = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    named = {int(numbers[i]): numbers[i + 1].get_object() for i in range(0, len(numbers), 2)}
    pages = {page.indirect_reference.idnum: int(page["/StructParents"]) for page in reader.pages}
    seen = set()
    for element in elements(reader):
        for kid in element.get("/K", []):
            mark = kid.get_object()
            if "/MCID" in mark:
                at = (pages[mark.raw_get("/Pg").idnum], int(mark["/MCID"]))
                assert at not in seen
                assert named[at[0]][at[1]].get_object() == element
                seen.add(at)
    marks = [page.get_contents().get_data().count(b"/MCID") for page in reader.pages]
    assert len(seen) == sum(marks) and all(marks)


def test_every_font_is_embedded_and_can_be_read_out(reader):
    fonts = [font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        assert "/FontFile2" in font["/FontDescriptor"] and "/ToUnicode" in font


def test_headings_begin_with_the_title_and_skip_no_level(reader):
    levels = [int(e["/S"][2:]) for e in elements(reader) if re.fullmatch(r"/H\d", e["/S"])]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:]))


def test_lists_hold_items_and_items_hold_bodies(reader):
    for element in elements(reader):
        kids = [kid.get_object().get("/S") for kid in element.get("/K", [])]
        if element["/S"] == "/L":
            assert set(kids) == {"/LI"}
        elif element["/S"] == "/LI":
            assert kids == ["/LBody"]


def test_pictures_have_words_and_a_place_on_the_page(reader):
    figures = [e for e in elements(reader) if e["/S"] == "/Figure"]
    assert len(figures) == 5  # four parts and their shapes
    for figure in figures:
        left, bottom, right, top = (float(n) for n in figure["/A"]["/BBox"])
        assert 0 <= left < right <= 596 and 0 <= bottom < top <= 842
    assert figures[0]["/Alt"].startswith("Stitch chart of Head") and "4.8 cm across at Rnd 7" in figures[-1]["/Alt"]


def test_tabs_follow_the_structure_and_nothing_runs(reader):
    assert all(page["/Tabs"] == "/S" for page in reader.pages)
    assert not {"/OpenAction", "/AA", "/AcroForm"} & set(reader.trailer["/Root"])
    assert not reader.is_encrypted
