"""`coach sheet` as a maker runs it: the place of a work in progress, one as written, and the terms asked for."""

from __future__ import annotations

import pytest

FLOATS = """# Net floats

## Cork

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnd 3: Sc in each st around. (12)

## Rope

Row 1: Ch 7, sc in 2nd ch from hook and in each ch across, turn. (6)
Row 2: Ch 1, sc in each st across. (6)
"""


@pytest.fixture
def floats(home):
    (home / "floats.txt").write_text(FLOATS)
    return home


def place_of(page) -> str:
    return page.read_text("utf-8").partition("The place: ")[2].partition(".")[0]


class TestKept:
    def test_the_place_is_where_the_work_stands(self, floats, coach):
        assert coach("work", "floats.txt", "--typed", typed="next\nnext\nby stitch\nnext\nnext\n").returncode == 0
        done = coach("sheet", "floats.txt", "--to", "a.svg", "--place")
        assert (done.returncode, done.out) == (0, "Written: a.svg, a drawing of the chart.\n")
        assert place_of(floats / "a.svg") == "Cork, Rnd 2, 4 of 12 stitches made"

    def test_in_the_second_part(self, floats, coach):
        coach("work", "floats.txt", "--typed", typed="go to the rope\nnext\n")
        coach("sheet", "floats.txt", "--to", "a.svg", "--place")
        assert place_of(floats / "a.svg") == "Rope, Row 2, 0 of 6 stitches made"

    def test_when_all_is_made(self, floats, coach):
        one = FLOATS.split("## Rope")[0] + "## Assembly\nWeave in the end.\n"
        (floats / "one.txt").write_text(one)
        coach("work", "one.txt", "--typed", typed="next\n" * 6)
        coach("sheet", "one.txt", "--to", "a.svg", "--place")
        assert place_of(floats / "a.svg") == "Cork, Rnd 3, 12 of 12 stitches made"

    def test_a_pattern_that_is_not_being_worked_has_none(self, floats, coach):
        done = coach("sheet", "floats.txt", "--to", "a.svg", "--place")
        assert done.returncode == 2 and "is not being worked" in done.err and "work floats.txt" in done.err
        assert not (floats / "a.svg").exists()

    def test_of_one_size_of_several(self, home, coach):
        (home / "cap.txt").write_text(
            "# Cap\n\nSizes: small (large)\n\n## Cap\nRnd 1: 6 (8) sc in magic ring. [6 (8)]\nRnd 2: Inc around. [12 (16)]\n"
        )
        assert coach("work", "cap.txt", "--size", "large", "--typed", typed="next\nnext\n").returncode == 0
        assert coach("sheet", "cap.txt", "--size", "small", "--to", "a.svg", "--place").returncode == 2
        assert coach("sheet", "cap.txt", "--to", "a.svg", "--place").returncode == 0
        assert place_of(home / "a.svg") == "Cap, Rnd 2, 0 of 16 stitches made"


class TestWritten:
    @pytest.mark.parametrize(
        ("written", "place"),
        [
            ("2:5", "Cork, Rnd 2, 5 of 12 stitches made"),
            ("Rnd 2, 5", "Cork, Rnd 2, 5 of 12 stitches made"),
            ("Cork, Rnd 2, 5", "Cork, Rnd 2, 5 of 12 stitches made"),
            ("cork, round 2, stitch 5", "Cork, Rnd 2, 5 of 12 stitches made"),
            ("Rope, Row 2", "Rope, Row 2, 0 of 6 stitches made"),
            ("rope,2,6", "Rope, Row 2, 6 of 6 stitches made"),
        ],
    )
    def test_a_place(self, floats, coach, written, place):
        assert coach("sheet", "floats.txt", "--to", "a.svg", "--place", written).returncode == 0
        assert place_of(floats / "a.svg") == place

    @pytest.mark.parametrize(
        ("written", "told"),
        [
            ("here", "here is no place."),
            ("Sail, 2", "There is no part called Sail."),
            ("9:1", "There is no round 9 here."),
            ("2:13", "Round 2 has no stitch 13."),
            (",", ", is no place."),
        ],
    )
    def test_what_is_none(self, floats, coach, written, told):
        done = coach("sheet", "floats.txt", "--to", "a.svg", "--place", written)
        assert done.returncode == 2 and told in done.err
        assert not (floats / "a.svg").exists()


def test_the_terms_asked_for_are_told(floats, coach):
    done = coach("sheet", "floats.txt", "--to", "a.txt", "--terms", "uk")
    assert done.out == (
        "Written: a.txt, plain text, short lines, for a screen reader or a braille display, in UK terms; "
        "the pattern is in US terms.\n"
    )
    assert "magic ring, 6 dc in ring" in (floats / "a.txt").read_text("utf-8")
    assert coach("sheet", "floats.txt", "--to", "a.txt").out.endswith("display.\n")
