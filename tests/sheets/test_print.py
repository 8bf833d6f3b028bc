"""Large print as PDF, braille, and the list for the shop."""

from __future__ import annotations

import io
import re
import shutil
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import sheets
from coach.fabric import work
from coach.notation import read
from coach.sheets import shopping
from coach.sheets.braille import CELLS, LINES, dressed
from coach.sheets.figures import drawings
from coach.sheets.lines import Line, lines, said, spoken

ROOT = Path(__file__).parents[2]


def fabric(name: str):
    return work(read((ROOT / "patterns" / f"{name}.md").read_text("utf-8")))


def of(text: str):
    return work(read(text))


def with_drawings(one) -> list[Line]:
    return list(lines(one, None, drawings(one, sheets.Wishes())))


# ---- PDF
@pytest.fixture
def as_pdf(tmp_path):
    pytest.importorskip("reportlab")
    from pypdf import PdfReader

    def make(one, **wishes):
        sheets.write(one, tmp_path / "sheet.pdf", sheets.Wishes(**wishes))
        return PdfReader(io.BytesIO((tmp_path / "sheet.pdf").read_bytes()))

    return make


def test_a_pdf_says_all_that_the_sheet_says_in_its_order(as_pdf):
    found = " ".join(page.extract_text() for page in as_pdf(fabric("seal")).pages)
    found = " ".join(word for word in found.split() if not word.isdigit() or len(word) > 1)
    at = 0
    for line in lines(fabric("seal")):
        for word in said(line).split():
            if word.isdigit():
                continue  # page numbers lie between
            place = found.find(word, at)
            assert place >= 0, (line, word)
            at = place


def structure(reader) -> list[str]:
    """Tags in reading order."""
    out = []

    def walk(element):
        element = element.get_object()
        if "/S" in element:
            out.append(element["/S"][1:])
            for kid in element.get("/K", []):
                walk(kid)

    root = reader.trailer["/Root"]["/StructTreeRoot"]
    for kid in root["/K"]:
        walk(kid)
    return out


def test_a_pdf_is_tagged_in_reading_order(as_pdf):
    """Headings, paragraphs and lists of the structure tree (ISO 32000-1, 14.8)."""
    reader = as_pdf(fabric("buoy"))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] is not None and root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en" and root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert reader.metadata.title == "Mooring buoy"
    tags = [t for t in structure(reader) if t not in ("Document", "L", "LBody")]
    pytest.importorskip("resvg_py")
    kinds = {"title": "H1", "heading": "H2", "round": "LI", "item": "LI", "figure": "Figure"}
    expected = [kinds.get(line.kind, "P") for line in with_drawings(fabric("buoy"))]
    assert tags == expected


def test_every_mark_on_a_page_belongs_to_one_element(as_pdf):
    reader = as_pdf(fabric("lighthouse"))
    numbers = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    by_page = {int(numbers[i]): numbers[i + 1].get_object() for i in range(0, len(numbers), 2)}
    for i, page in enumerate(reader.pages):
        content = page.get_contents().get_data().decode("latin-1")
        assert content.count("/MCID") == len(by_page[i])
        assert content.count("BDC") + content.count("BMC") == content.count("EMC")
        assert int(page["/StructParents"]) == i


def test_headings_are_bookmarks_in_order(as_pdf):
    reader = as_pdf(fabric("seal"))
    title, inner = reader.outline
    assert title.title == "Harbour seal"
    assert [entry.title for entry in inner] == [
        line.text for line in with_drawings(fabric("seal")) if line.kind == "heading"
    ]


def test_larger_type_takes_more_pages_and_no_line_is_wider_than_the_page(as_pdf):
    pages = {}
    for size in (14, 20, 40, 72):
        reader = as_pdf(fabric("dishcloth"), type_size=size)
        pages[size] = len(reader.pages)
        sizes = set()
        for page in reader.pages:
            page.extract_text(
                visitor_text=lambda text, cm, tm, font, found, sizes=sizes: sizes.add(found) if text.strip() else None
            )
        assert max(sizes) == pytest.approx(1.5 * size)
    assert sorted(pages.values()) == list(pages.values()) and pages[14] < pages[72]


def test_letters_the_font_lacks_become_plain_ones(as_pdf):
    text = as_pdf(of("# Gâteau ſ漢 on ½ sea\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\n")).pages[0].extract_text()
    assert "Gâteau s? on ½ sea" in text


def test_a_word_wider_than_the_page_is_cut_and_not_lost(as_pdf):
    word = "gull" * 60
    text = as_pdf(of(f"# {word}\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\n"), type_size=40)
    assert word in "".join("".join(page.extract_text() for page in text.pages).split())


@pytest.mark.parametrize("size", [5, 200])
def test_type_of_a_size_that_is_no_large_print_is_a_sentence(tmp_path, size):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(fabric("buoy"), tmp_path / "sheet.html", sheets.Wishes(type_size=size))
    assert "14 to 72" in error.value.hint


# ---- braille
def plain(texts: list[str]) -> list[str]:
    """No translation: the setting alone."""
    return texts


kinds = st.sampled_from(["title", "heading", "note", "item", "round"])


@given(st.lists(st.builds(Line, kinds, st.text("abc ", max_size=300)), max_size=30))
def test_pages_of_braille_have_25_lines_of_at_most_40_cells(some):
    made = dressed(some, translate=plain)
    pages = made.split("\f")
    assert pages.pop() == ""
    for page in pages:
        rows = page.split("\r\n")
        assert rows.pop() == "" and len(rows) == LINES
        assert max(map(len, rows)) <= CELLS
    written = "".join("".join(row.split("\r\n")[: LINES - 1]) for row in pages)
    assert sorted("".join(written.split())) == sorted("".join(" ".join(map(said, some)).split()))


def test_a_heading_of_braille_is_not_left_alone_at_the_foot():
    some = [Line("note", "sea " * 8) for _ in range(22)] + [Line("heading", "Tail"), Line("note", "The tail is flat.")]
    first, second, _ = dressed(some, translate=plain).split("\f")
    assert "Tail" not in first and second.startswith("    Tail")


def has_liblouis() -> bool:
    return bool(find_spec("louis") or shutil.which("lou_translate"))


def test_braille_is_contracted_english_braille(tmp_path):
    """ASCII braille of the Unified English Braille code: capital sign, numbers, the contractions `st`, `and`, `the`."""
    if not has_liblouis():
        pytest.skip("liblouis is not here: apt install liblouis-bin")
    sheets.write(
        of("# The sea\n\n## Float\n\nHold the stone and the net.\n\nRnd 1: 6 sc in magic ring. (6)\n"),
        tmp_path / "sheet.brf",
    )
    text = (tmp_path / "sheet.brf").read_text("ascii")
    assert ",! SEA" in text and ',HOLD ! /"O & ! NET4' in text and ",RND #A4 MAGIC R+1 #F SC 9 R+4" in text


def test_without_liblouis_a_sentence_says_what_to_do(tmp_path, monkeypatch):
    if find_spec("louis"):
        pytest.skip("liblouis' Python module is here")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(fabric("buoy"), tmp_path / "sheet.brf")
    assert "liblouis" in error.value.message and ".txt" in error.value.hint


# ---- the shopping list
def test_materials_are_sorted_by_what_they_are():
    found = {}
    for line in shopping.lines(fabric("seal")):
        if line.kind == "heading":
            heading = line.text
        elif line.kind == "item":
            found.setdefault(heading, []).append(line.text)
    assert list(found) == ["Yarn", "Also needed", "Tools", "How much it takes"]
    assert all("yarn" in entry.lower() for entry in found["Yarn"])
    assert any(entry.startswith("Polyester filling") for entry in found["Also needed"])
    assert any("hook" in entry for entry in found["Tools"]) and "Scissors" in found["Tools"]


@pytest.mark.parametrize("name", ["seal", "puffin", "buoy", "lighthouse", "dishcloth", "square", "cap"])
def test_every_material_is_on_the_list_once(name):
    one = fabric(name)
    items = [line.text for line in shopping.lines(one) if line.kind == "item"]
    assert all(items.count(entry) == 1 for entry in one.pattern.materials)


def test_what_the_pattern_forgets_is_added():
    items = " ".join(
        line.text
        for line in shopping.lines(
            of("# Float\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\n")
        )
    )
    assert "hook" in items and "stitch marker" in items and "needle" in items


def test_yarn_is_told_for_each_colour_with_its_weight():
    told = [line.text for line in shopping.lines(fabric("puffin")) if re.match(r"[A-D]: ", line.text)]
    assert [text[0] for text in told] == ["A", "B", "C", "D"]
    assert all(re.fullmatch(r"\w: [\d to]+ metres?, [\d to]+ g", text) for text in told)
    assert not any(re.search(r"\b1 metres", text) for text in told)


def test_amounts_are_told_to_two_figures():
    amounts = [line.text for line in shopping.lines(fabric("lighthouse")) if "metres" in line.text]
    assert amounts and all(
        int(n) % 5 == 0 for text in amounts for n in text.replace(",", "").split() if n.isdigit() and int(n) > 20
    )


# ---- read aloud
def test_what_is_read_aloud_has_no_abbreviations():
    words = " ".join(spoken(line, "US") for line in lines(fabric("seal")) if line.kind != "key")
    for short in (" sc ", " sc,", " inc ", " dec ", "Rnd ", " cm "):
        assert short not in words
    assert "Round 2. Increase in each of the next 6. 12 stitches." in words


def test_amounts_say_what_they_leave_out():
    text = "# Bollard\n\n## Gauge\n\n10 sc to 5 cm\n\n## Bollard\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: wobble\nRnd 3: Sc 12. (12)\n"
    told = [line.text for line in shopping.lines(work(read(text))) if line.kind == "note"]
    assert told[0] == "Bollard: Rnd 2 can't be counted and is left out, so the true figures may be larger."
    sound = text.replace("wobble", "Inc x 6. (12)")
    assert not any("left out" in line.text for line in shopping.lines(work(read(sound))))
