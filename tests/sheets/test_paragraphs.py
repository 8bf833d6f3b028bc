"""Lines as they lie on a page into paragraphs, entries and rounds."""

from __future__ import annotations

import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.sheets.paragraphs import goes_on, in_paragraphs, joined, together

PAGE = """\
The net float
A float for any net that has to stay on top of
the water.
It lies on its side.

Materials
Worsted yarn, orange, as much as two old socks
  leave
5 mm hook
filling

Body
Rnd 1. magic ring, 6 sc in ring. 6 stitches.
Rnd 2. (sc, inc) x 3, and put the marker in the
  last one. 9 stitches.
Rnd 3. the same as
  Rnd 2: sc 9. 9 stitches.
Rnd 4: Sc in next 4 sts, inc, sc in next 2
sts, inc, sc in the last st (11)
Rnd 5: Sc around (11)
Stuff it.
Fasten off."""
PARAGRAPHS = """\
The net float
A float for any net that has to stay on top of the water.
It lies on its side.

Materials
Worsted yarn, orange, as much as two old socks leave
5 mm hook
filling

Body
Rnd 1. magic ring, 6 sc in ring. 6 stitches.
Rnd 2. (sc, inc) x 3, and put the marker in the last one. 9 stitches.
Rnd 3. the same as Rnd 2: sc 9. 9 stitches.
Rnd 4: Sc in next 4 sts, inc, sc in next 2 sts, inc, sc in the last st (11)
Rnd 5: Sc around (11)
Stuff it.
Fasten off."""


def test_a_page():
    assert in_paragraphs(PAGE) == PARAGRAPHS


def test_what_is_in_paragraphs_stays_so():
    assert in_paragraphs(PARAGRAPHS) == PARAGRAPHS


@pytest.mark.parametrize(("above", "line"), [
    ("Body", "worked in rows"),  # a line that is not full
    ("It floats on the water, whatever the wind.", "when it rains, too"),
    ("Rnd 2: inc in each st around, then stop (12)", "turn the work"),
    ("a marker in the first stitch of the round, so", "Rnd 3: Sc around"),
    ("a marker in the first stitch of the round, so", "- a hook"), ("grey yarn, 50 g, and black yarn, 5 g at most", "3.5 mm hook"),
    ("Grey yarn", "hook"),
])
def test_what_begins_anew(above, line):
    assert not goes_on(above, line, 48, above)


@pytest.mark.parametrize(("above", "line"), [
    ("They sit between", "Rnds 5 and 6."), ("It lies beside the", "Tower."), ("sc, inc,", "Sc 2"),
    ("Rnd 3: Sc in next 4 sts, (sc 2, inc in next st)", "(sc, inc) x 2"), ("It is 19 (21,", "24) cm high."),
])
def test_what_goes_on(above, line):
    assert goes_on(above, line, 48, above)


@pytest.mark.parametrize(("above", "line", "both"), [
    ("in the next ch-", "2 sp", "in the next ch-2 sp"), ("a stit\xad", "ch", "a stitch"), ("sc 2 -", "inc", "sc 2 - inc"),
    ("sc 2, ", "  inc", "sc 2, inc"),
])
def test_two_lines_as_one(above, line, both):
    assert together(above, line) == both


def test_a_round_that_runs_over_to_the_next_page_is_one():
    pages = ["Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Sc in next 2 sts, inc in", "next 2 sts, sc 2. (8)\nRnd 3: Sc 8. (8)"]
    assert joined(pages) == f"{pages[0]} {pages[1].replace(chr(10), chr(10) * 2, 1)}"
    assert joined(["Body", "", "Rnd 1: 6 sc. (6)"]) == "Body\n\nRnd 1: 6 sc. (6)"


WORDS = st.lists(st.sampled_from("sc inc the yarn of each stitch (6) round Rnd 2: - 3. Body,".split()), min_size=1, max_size=30)


@given(st.lists(WORDS, max_size=6), st.integers(8, 60), st.sampled_from(["", "  "]))
def test_no_word_is_lost_or_moved(paragraphs, width, hang):
    lines = "\n".join(line for words in paragraphs for line in textwrap.wrap(" ".join(words), width, subsequent_indent=hang))
    assert in_paragraphs(lines).replace("-", " ").split() == lines.replace("-", " ").split()


@given(st.lists(st.integers(1, 40), min_size=1, max_size=8), st.integers(24, 60))
def test_rounds_broken_to_any_width_with_a_hanging_indent_are_rounds_again(counts, width):
    rounds = [f"Rnd {i}. (sc {n}, inc) x 6, change to B, sc in each of the next {n} sts. {8 * n} stitches."
              for i, n in enumerate(counts, 1)]
    lines = [line for r in rounds for line in textwrap.wrap(r, width, subsequent_indent="   ")]
    assert in_paragraphs("\n".join(lines)).split("\n") == rounds
