"""Whatever the text: nothing is raised, every span and fault lies inside it, and the work grows no faster than the
text.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from fragments import FRAGMENTS
from hypothesis import example, given, settings
from hypothesis import strategies as st
from promises import kept

from coach.fabric import work
from coach.notation import read
from coach.notation.bounds import MOST_UNWRITTEN

texts = st.lists(st.sampled_from(FRAGMENTS), max_size=30).map(" ".join)
pages = st.lists(st.lists(st.sampled_from(FRAGMENTS), max_size=8).map(" ".join), max_size=12).map("\n".join)


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
    kept(text)


@settings(max_examples=200)
@given(pages)
def test_any_page_behind_a_start(page):
    kept("Ch 20.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (19)\nRow 2: " + page)


@given(st.binary(max_size=200))
def test_any_bytes(data):
    kept(data.decode("latin-1"))


@given(st.text(alphabet="()[]{}<>*†,.;:-=—|x6 s", max_size=200))
def test_any_marks(marks):
    kept("Rnd 1: 6 sc in magic ring.\nRnd 2: " + marks)


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
        fabric = kept(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")
        worked = fabric.parts[0].rounds[1]
        assert worked.made >= 10**9
        assert worked.step_at(worked.steps // 2)
        assert worked.made_before(worked.steps) == worked.made

    @pytest.mark.parametrize("inner", ["sc, inc", "sc in same st", "sc, (inc) x 2", "ch 1, sc"])
    @pytest.mark.parametrize("below", ["6 sc in magic ring.", "(Sc, ch 1) x 6."])
    def test_repeats_inside_repeats_are_not_worked_twice_at_each_depth(self, inner, below):
        """Worked twice at each of 38 depths, this would take years."""
        fabric = kept(f"Rnd 1: {below}\nRnd 2: " + "(" * 38 + inner + ") x 2" * 38)
        assert fabric.faults

    def test_a_number_of_any_length_is_a_number(self):
        kept("Rnd 1: " + "9" * 5000 + " sc in magic ring.")

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
        fabric = kept(page)
        assert sum(len(part.rounds) for part in fabric.parts) <= MOST_UNWRITTEN + 20
        assert fabric.faults


DEEP = [
    "sc; rep from * 3 times, ", "(sc), x 6, x 6", "*sc; rep from * twice; rep from * twice", "in next st work ",
    "in next st (", "shell of 3 sc, ", "in same st as joining work ", "repeat between *s twice, sc, ", "6 x (", "[sc, ",
]  # fmt: skip


def test_what_can_not_be_read_in_one_place_is_not_read_twice_at_each_depth():
    """Read twice at each of 30 depths, this would take days."""
    assert kept("Rnd 1: 6 sc in magic ring.\nRnd 2: " + "in next st (sc, " * 30 + "in next st (scxt st ").faults


@pytest.mark.parametrize("phrase", DEEP)
def test_what_lies_too_deep_is_a_fault(phrase):
    kept("Rnd 1: 6 sc in magic ring.\nRnd 2: " + phrase * 300 + "sc.")
    assert kept("Rnd 1: 6 sc in magic ring.\nRnd 2: (Sc)" + ", x 6" * 100).faults[0].kind == "bracket"


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
