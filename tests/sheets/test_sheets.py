"""Sheets: what is printed is what was proved, in reading order."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from coach import sheets
from coach.fabric import work
from coach.notation import read
from coach.sheets.lines import lines

BUOY = """# Little buoy

## Materials

- Red yarn, 10 g
- Hook, 3 mm & a needle

## Float (make 2)

Hold the tail aside.

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc around. (12)
Rnds 3-4: Sc in each st around. (12)
Rnd 5: (Sc 1, dec) x 4. (8)

Stuff lightly.

## Assembly

1. Sew the floats together.
"""


def buoy():
    return work(read(BUOY))


class Outline(HTMLParser):
    """Tags in order, and whether every one is closed."""

    VOID = {"meta"}

    def __init__(self) -> None:
        super().__init__()
        self.open, self.seen, self.text = [], [], ""

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text += data


def outline(page: str) -> Outline:
    found = Outline()
    found.feed(page)
    assert found.open == []
    return found


def test_lines_come_in_reading_order():
    kinds = [line.kind for line in lines(buoy())]
    assert kinds == [
        "title",
        "note",
        "key",
        "heading",
        "item",
        "item",
        "heading",
        "note",
        *["round"] * 5,
        "note",
        "heading",
        "item",
    ]


def test_each_round_has_its_proved_count():
    rounds = [line for line in lines(buoy()) if line.kind == "round"]
    assert [(r.label, r.count) for r in rounds] == [
        ("Rnd 1", "6 stitches"),
        ("Rnd 2", "12 stitches"),
        ("Rnd 3", "12 stitches"),
        ("Rnd 4", "12 stitches"),
        ("Rnd 5", "8 stitches"),
    ]
    assert rounds[3].text.startswith("the same again")
    assert "x 4" in rounds[4].text


def test_large_print_is_whole_and_has_no_table(tmp_path):
    kind = sheets.write(buoy(), tmp_path / "buoy.html")
    page = (tmp_path / "buoy.html").read_text("utf-8")
    found = outline(page)
    assert "large print" in kind
    assert found.seen.count("h1") == 1 and found.seen.count("h2") == 3
    assert "table" not in found.seen
    assert "3 mm & a needle" in found.text and "3 mm &amp; a needle" in page
    assert 'lang="en"' in page and "http" not in page


def test_plain_text_has_short_lines_and_every_round(tmp_path):
    sheets.write(buoy(), tmp_path / "buoy.txt")
    text = (tmp_path / "buoy.txt").read_text("utf-8")
    assert max(map(len, text.splitlines())) <= 72
    assert "FLOAT, MAKE 2" in text
    for label in ("Rnd 1.", "Rnd 5."):
        assert label in text
    assert text.index("Rnd 5.") < text.index("Stuff lightly") < text.index("ASSEMBLY")


def test_a_fault_stands_at_its_round():
    fabric = work(read("## Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (13)"))
    kinds = [line.kind for line in lines(fabric)]
    assert kinds[-2:] == ["round", "fault"]


def test_an_unknown_ending_says_which_there_are(tmp_path):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(buoy(), tmp_path / "buoy.xyz")
    assert ".html" in error.value.hint and ".txt" in error.value.hint


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(buoy(), tmp_path / "missing" / "buoy.html")
    assert error.value.message.startswith("I can't write")
