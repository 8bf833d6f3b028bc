"""Every page that is written, in real Chromium, with no violation that axe-core finds."""

from __future__ import annotations

import io
import sys
import zipfile
from pathlib import Path

import pytest

from coach import sheets
from coach.fabric import work
from coach.notation import read
from coach.sound.mouth import EngineMouth

sys.path.insert(0, str(Path(__file__).parent))
from browser import violations  # noqa: E402

ROOT = Path(__file__).parents[2]


def fabric(name: str):
    return work(read((ROOT / "patterns" / f"{name}.md").read_text("utf-8")))


def test_a_bad_page_is_found_out(tmp_path):
    """The net has no hole: a picture without words and grey on white are told."""
    inside = '<img src="x.png"><p style="color:#bbb">The sea is calm.</p>'
    bad = f"<!doctype html><html><head></head><body>{inside}</body></html>"
    assert {"image-alt", "html-has-lang", "document-title", "color-contrast"} <= {
        rule for rule, _, _ in violations(bad, tmp_path)
    }


@pytest.mark.parametrize("kind", list(sheets.WORDS))
@pytest.mark.parametrize("size", [14, 40])
def test_large_print_has_no_violation(tmp_path, kind, size):
    sheets.write(fabric("seal"), tmp_path / "sheet.html", sheets.Wishes(kind, type_size=size))
    assert violations((tmp_path / "sheet.html").read_text("utf-8"), tmp_path) == []


def test_a_sheet_with_faults_has_no_violation(tmp_path):
    sheets.write(
        work(read("## Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (13)")), tmp_path / "sheet.html"
    )
    page = (tmp_path / "sheet.html").read_text("utf-8")
    assert "Take care" in page
    assert violations(page, tmp_path) == []


@pytest.mark.parametrize("kind", sheets.DRAWINGS)
def test_a_drawing_in_a_page_has_no_violation(tmp_path, kind):
    sheets.write(fabric("buoy"), tmp_path / "drawing.svg", sheets.Wishes(kind))
    svg = (tmp_path / "drawing.svg").read_text("utf-8")
    head = '<!doctype html><html lang="en"><head><title>Buoy</title></head>'
    page = f"{head}<body><main><h1>Buoy</h1>{svg}</main></body></html>"
    assert violations(page, tmp_path) == []


def test_the_pages_of_an_audio_book_have_no_violation(tmp_path):
    pytest.importorskip("soundfile")
    one = work(
        read("# Float\n\n## Float\n\nHold the tail aside.\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\n")
    )
    with EngineMouth() as mouth:
        sheets.write(one, tmp_path / "float.epub", sheets.Wishes(mouth=mouth))
    with zipfile.ZipFile(io.BytesIO((tmp_path / "float.epub").read_bytes())) as book:
        for name in ("book/nav.xhtml", "book/chapter1.xhtml", "book/chapter2.xhtml"):
            assert violations(book.read(name).decode(), tmp_path, ".xhtml") == [], name
