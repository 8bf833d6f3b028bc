"""Whatever the text: nothing is raised, every span and fault lies inside it, and the work grows no faster than the
text.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from passages import spans

from coach.fabric import work
from coach.fabric.model import Fabric
from coach.notation import read
from coach.notation.rounds import MOST_UNWRITTEN

# Words and marks of the trade, good and bad, to be put together in any order.
FRAGMENTS = [
    "Rnd 1:",
    "Row 2:",
    "Rnds 3-9:",
    "R7",
    "1st row (WS):",
    "Rows 2, 4 and 6:",
    "Next rnd:",
    "Foundation row:",
    "Sizes M and L only:",
    "4.",
    "Rnd 999999:",
    "# Seal",
    "## Fin (make 2)",
    "Body",
    "Special stitches",
    "Abbreviations:",
    "Assembly",
    "Sizes: S (M, L)",
    "UK terms",
    "Materials",
    "Notes",
    "sc",
    "dc",
    "hdc",
    "tr",
    "htr",
    "sl st",
    "inc",
    "dec",
    "inv dec",
    "sc2tog",
    "dc3tog",
    "picot",
    "shell",
    "bobble",
    "3-dc cl",
    "fpdc",
    "treble",
    "double",
    "X",
    "V",
    "sc in",
    "2 sc in",
    "in next st",
    "in next 3 sts",
    "in each st",
    "in each of next 2 sts",
    "in same sp",
    "in ring",
    "in magic ring",
    "in 2nd ch from hook",
    "in last ch",
    "in next ch-2 sp",
    "in corner sp",
    "between next 2 dc",
    "in BLO",
    "in top of tch",
    "around first leg",
    "of 12 sts",
    "in 3rd st",
    "in first st",
    "around",
    "across",
    "to end",
    "to last 2 sts",
    "to next corner",
    "until 9 sts remain",
    "along the other side of the chain",
    "evenly around",
    "every 2nd st",
    "ch 3",
    "Ch 12.",
    "3ch",
    "ch-5",
    "(counts as dc)",
    "(does not count)",
    "(skipped chs count as dc)",
    "sk next st",
    "skip tch",
    "leave remaining sts unworked",
    "join",
    "join with sl st in first sc",
    "turn",
    "Fasten off.",
    "PM",
    "change to B",
    "With A,",
    "MR 6",
    "Magic ring,",
    "form a ring",
    "do not join",
    "rotate",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "<",
    ">",
    "*",
    "**",
    "†",
    ",",
    ";",
    ".",
    ":",
    "-",
    "—",
    "=",
    "→",
    "x",
    "x 6",
    "6 times",
    "twice",
    "3 more times",
    "6 (7, 8)",
    "(18)",
    "[24]",
    "= 12",
    "(12 dc, 4 ch-2 sps)",
    "rep from * around",
    "rep from * 6 times",
    "ending last rep at **",
    "repeat between *s twice",
    "Rep Rows 2 and 3 twice.",
    "Work even for 6 rows.",
    "Same as Row 2.",
    "Rep Row 2 until piece measures 15 cm.",
    "inc 6 sts evenly",
    "Dec 1 st at each end of next 4 rows.",
    "making 12 loops in all",
    "Stuff firmly.",
    "Tip: count.",
    "page 3",
    "blorp",
    "limpet stitch",
    "don't",
    "é",
    "½",
    "10½ cm",
    "3.5 mm",
    "０",
    "“",
    "\u00ad",
    "\u200b",
    "cro-\nchet",
    "0",
    "1",
    "9" * 30,
    "Shell: 5 dc in same st.",
    "inc = 3 sc in same st",
    "the",
    "and",
    "then",
    "of",
    "from",
    "\n",
    "\n\n",
    " ",
    "\t",
    "- ",
    "1. ",
    "| ",
    "_",
    "__",
    "\\*",
    "#",
    "=",
    "(sc, (dc, [tr",
]
texts = st.lists(st.sampled_from(FRAGMENTS), max_size=30).map(" ".join)
pages = st.lists(st.lists(st.sampled_from(FRAGMENTS), max_size=8).map(" ".join), max_size=12).map("\n".join)


def check(text: str) -> Fabric:
    """Reads and works a text in two sizes, and looks at every span and fault."""
    pattern = read(text)
    assert pattern.text == text
    for span in spans(pattern):
        assert 0 <= span.start <= span.end <= len(text)
    lines = text.split("\n")
    for fabric in (work(pattern), work(pattern, 2)):
        for fault in fabric.faults:
            assert 1 <= fault.line <= len(lines)
            assert 1 <= fault.column < fault.end_column <= max(fault.column + 1, len(lines[fault.line - 1]) + 1)
            assert fault.message.strip() and fault.severity in ("error", "warning")
        for part in fabric.parts:
            for worked in part.rounds:
                assert worked.made >= 0 and worked.steps >= 0
    return fabric


# Found by fuzzing, kept for good.
@example("Rnd 1: (" * 60 + "sc" + ")" * 60)
@example("1 (")
@example("Rnd 1: 0 sc in magic ring. (0)\nRnd 2: (inc) x 0 (0)")
@example("Rnd 3 - 2: sc")
@example("Rnd 1: sc 0 times, *; rep from * around")
@example("Rnd 1: ch 0, sc in 0th ch from hook")
@settings(max_examples=300)
@given(st.one_of(st.text(max_size=300), texts, pages))
def test_any_text(text):
    check(text)


@settings(max_examples=200)
@given(pages)
def test_any_page_behind_a_start(page):
    check("Ch 20.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (19)\nRow 2: " + page)


@given(st.binary(max_size=200))
def test_any_bytes(data):
    check(data.decode("latin-1"))


@given(st.text(alphabet="()[]{}<>*†,.;:-=—|x6 s", max_size=200))
def test_any_marks(marks):
    check("Rnd 1: 6 sc in magic ring.\nRnd 2: " + marks)


class TestHugeNumbers:
    @pytest.mark.parametrize(
        "line",
        [
            "Sc 1000000000.",
            "(Sc, inc) x 1000000000.",
            "((sc, inc) x 1000000, dc) x 1000000",
            "*Sc, inc; rep from * 999999999 times.",
            "[[[sc 1000] 1000 times] 1000 times] 1000 times",
        ],
    )
    def test_a_thousand_million_stitches_cost_nothing(self, line):
        fabric = check(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")
        worked = fabric.parts[0].rounds[1]
        assert worked.made >= 10**9
        assert worked.step_at(worked.steps // 2)
        assert worked.made_before(worked.steps) == worked.made

    def test_a_number_of_any_length_is_a_number(self):
        check("Rnd 1: " + "9" * 5000 + " sc in magic ring.")

    @pytest.mark.parametrize(
        "page",
        [
            "Rnds 1-999999: sc in each st around.",
            "Rnd 1: 6 sc in magic ring.\nRep Rnd 1 999999999 times.",
            "Rnd 1: 6 sc in magic ring.\n" + "Rnds 2-9999: sc in each st around.\n" * 9,
            "Next 99999999 rnds: sc.",
        ],
    )
    def test_rounds_that_are_not_written_out_have_a_bound(self, page):
        fabric = check(page)
        assert sum(len(part.rounds) for part in fabric.parts) <= MOST_UNWRITTEN + 20
        assert fabric.faults


# ---- no shape of text takes more than its length asks for

SHAPES = {
    "nested brackets": lambda n: "Rnd 1: " + "(" * n + "sc" + ")" * n,
    "open brackets": lambda n: "Rnd 1: " + "(" * n,
    "open groups": lambda n: "Rnd 1: " + "(sc, " * n,
    "stars": lambda n: "Rnd 1: " + "* " * n,
    "one long star": lambda n: "Rnd 1: " + "*" * n,
    "stitches": lambda n: "Rnd 1: " + "sc, " * n,
    "times": lambda n: "Rnd 1: sc" + " x 6" * n,
    "repeats": lambda n: "Rnd 1: " + "rep from * " * n,
    "places": lambda n: "Rnd 1: sc " + "in next " * n,
    "counts": lambda n: "Rnd 1: sc " + "(6) " * n,
    "remarks": lambda n: "Rnd 1: sc " + "(not this) " * n,
    "unknown words": lambda n: "Rnd 1: " + "blorp, " * n,
    "unknown rounds": lambda n: "Rnd 1: blorp.\n" * n,
    "sentences in brackets": lambda n: "Rnd 1: (" + "Sc. " * n,
    "notes": lambda n: "Rnd 1: sc.\n" + "Stuff.\n\n" * n,
    "references": lambda n: "Rnd 1: 6 sc in ring.\n" + "Rep rnd 1 twice.\n" * n,
    "definitions": lambda n: "Special stitches\n" + "Foo: sc in next st.\n" * n,
    "headings": lambda n: "# A\n" + "## Fin (make 2)\nRnd 1: 6 sc in magic ring.\n" * n,
    "empty lines": lambda n: "\n" * n,
    "spaces": lambda n: "#" + " " * n + "a",
    "hyphens": lambda n: "Rnd 1: " + "a-" * n,
    "sizes": lambda n: "Rnd 1: " + "1 (2, 3) " * n,
}


def calls(text: str) -> int:
    """How many functions are called to read and work a text: a measure of the work that no clock is needed for."""
    count = 0

    def tick(*_: object) -> None:
        nonlocal count
        count += 1

    before = sys.getprofile()
    sys.setprofile(tick)
    try:
        work(read(text))
    finally:
        sys.setprofile(before)
    return count


@pytest.mark.parametrize("shape", SHAPES)
def test_twice_the_text_is_at_most_twice_the_work(shape):
    text: Callable[[int], str] = SHAPES[shape]
    calls(text(20))  # what is looked up once for all
    assert calls(text(800)) < 2.4 * calls(text(400)) + 2000
