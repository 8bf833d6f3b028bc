"""Columns, running heads and rows of tables, as text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.sheets.cells import as_line
from coach.sheets.columns import in_reading_order
from coach.sheets.from_pdf import _without_running_heads

LEFT = [
    "Rnd 1: 6 sc in magic ring. (6)",
    "Rnd 2: 2 sc in each st. (12)",
    "Rnd 3: sc in each st. (12)",
    "Rnd 4: sc in each st. (12)",
    "Fasten off.",
]
RIGHT = [
    "Strap",
    "Ch 7.",
    "Row 1: sc in each ch across. (6)",
    "Row 2: sc in each st across. (6)",
    "Sew it to the float.",
]


def beside(left: list[str], right: list[str], width: int = 40) -> str:
    rows = max(len(left), len(right))
    left, right = left + [""] * (rows - len(left)), right + [""] * (rows - len(right))
    return "\n".join(f"{a:<{width}}{b}".rstrip() for a, b in zip(left, right))


def words(text: str) -> list[str]:
    return text.split()


def test_two_columns_follow_each_other():
    assert words(in_reading_order(beside(LEFT, RIGHT))) == words(" ".join(LEFT + RIGHT))


def test_three_columns_follow_each_other():
    third = [f"Note {n}: keep the tail of the yarn." for n in range(5)]
    page = beside(LEFT, [f"{r:<44}{t}" for r, t in zip(RIGHT, third)])
    assert words(in_reading_order(page)) == words(" ".join(LEFT + RIGHT + third))


def test_a_title_across_both_stays_above_them():
    title = "A float with a strap for any net that is to stay on top of the water"
    assert words(in_reading_order(f"{title}\n\n{beside(LEFT, RIGHT)}")) == words(" ".join([title, *LEFT, *RIGHT]))


@pytest.mark.parametrize(
    "page",
    [
        "\n".join(LEFT),
        "\n".join(
            f"Rnd {n}:        sc in each st around, as in the round before it. (12)" for n in range(1, 9)
        ),  # labels beside their text
        beside(LEFT[:2], RIGHT[:2]),  # too few lines to tell
        "Gauge     14 sc to 10 cm\nHook      5 mm\nYarn      worsted\nSize      one\nLevel     easy",
    ],
)
def test_one_column_stays_as_it_is(page):
    assert in_reading_order(page) == page


@given(st.lists(st.lists(st.text("abc ", max_size=30), max_size=3).map("     ".join), max_size=12))
def test_no_word_is_lost_whatever_the_page(lines):
    page = "\n".join(lines)
    assert sorted("".join(in_reading_order(page).split())) == sorted("".join(page.split()))


# ---- running heads
def test_what_comes_back_on_most_pages_is_taken_out_once_and_told():
    pages = [f"The net book\n{LEFT[n]}\nPage {n + 1}" for n in range(4)]
    texts, heads = _without_running_heads(pages)
    assert [t.strip() for t in texts] == LEFT[:4]
    assert heads == [("The net book", 4), ("Page 1", 4)] or heads == [("Page 1", 4), ("The net book", 4)]


def test_rounds_that_look_alike_are_no_running_heads():
    pages = [f"Rnd {n}: sc in each st around. (12)" for n in range(1, 6)]
    assert _without_running_heads(pages) == (pages, [])


def test_two_pages_are_too_few_for_a_running_head():
    assert _without_running_heads(["Float\na", "Float\nb"]) == (["Float\na", "Float\nb"], [])


# ---- tables
@pytest.mark.parametrize(
    ("cells", "line"),
    [
        (["Rnd 2", "inc x 6", "12"], "Rnd 2: inc x 6 (12)"),
        (["Row 3:", " sc  across ", "6 sts"], "Row 3: sc across (6 sts)"),
        (["Rnds 4-6", "sc in each st around"], "Rnds 4-6: sc in each st around"),
        (["Hook", "5 mm"], "Hook: 5 mm"),
        (["sc", "single crochet"], "sc: single crochet"),
        (["hdc", "htr", "half double crochet"], "hdc | htr | half double crochet"),
        (["A lamp for the window of the pier", "5 cm"], "A lamp for the window of the pier | 5 cm"),
        (["Tip!", "Use a marker."], "Tip! | Use a marker."),
        (["", "alone", ""], "alone"),
        ([], ""),
    ],
)
def test_a_row_of_a_table(cells, line):
    assert as_line(cells) == line
