"""What old books write once and mean all around: the arithmetic tells, and it is said; modern words stay as written."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.fabric.model import Worked
from coach.notation import read

CIRCLE = "Make a chain of 8 stitches, and join it into a circle.\n\n1st round: {n} stitches of double crochet over the circle.\n\n"


def second(line: str, n: int = 24) -> tuple[Worked, list[str]]:
    fabric = work(read(CIRCLE.format(n=n) + f"2nd round: {line}"))
    return fabric.parts[0].rounds[1], [f.kind for f in fabric.faults]


@pytest.mark.parametrize(("line", "made", "spaces"), [
    ("1 double, 5 chain, miss 1.", 12, 12),
    ("1 treble, 2 chain, miss 2.", 8, 8),
    ("2 double, 1 chain, miss 1.", 16, 8),
    ("Alternately 1 double, 7 chain, miss 3.", 6, 6),
    ("Alternately 1 double, 7 chain, miss under the latter 3 stitches of the preceding round.", 6, 6),
])
def test_all_around_where_that_uses_them(line: str, made: int, spaces: int):
    found, faults = second(line)
    assert faults == []
    assert (found.made, found.takes, found.tree.spaces) == (made, 24, spaces)
    assert "lternately" in line or found.readings == ("It is worked all the way around, since that uses 24 stitches",)


def test_once_where_that_is_what_fits():
    found, faults = second("1 double, 1 chain, miss 1, 22 doubles in 22 doubles.")
    assert (found.made, faults, found.readings) == (23, [], ())


def test_where_neither_fits_it_is_a_fault():
    found, faults = second("1 double, 5 chain, miss 4.")
    assert found.made == 1 and faults == ["leaves"]


@pytest.mark.parametrize("line", ["Sc in next st, ch 5, sk 1 st.", "1 sc, ch 5, sk 1.", "1 double in next stitch."])
def test_modern_words_and_a_lone_stitch_are_worked_once(line: str):
    _, faults = second(line)
    assert "leaves" in faults or "terms" in faults


@pytest.mark.parametrize(("n", "made", "said"), [
    (24, 30, "It has 30 stitches, with 6 increases evenly spread, since nothing tells where"),
    (24, 20, "It has 20 stitches, with 4 decreases evenly spread, since nothing tells where"),
    (24, 25, "It has 25 stitches, with 1 increase evenly spread, since nothing tells where"),
])
def test_so_many_stitches_on_another_number(n: int, made: int, said: str):
    found, faults = second(f"{made} stitches of double crochet.", n)
    assert (found.made, found.takes, faults) == (made, n, [])
    assert found.readings == (said,)


def test_so_many_on_as_many_need_no_word():
    found, faults = second("24 stitches of double crochet.")
    assert (found.made, faults, found.readings) == (24, [], ())


def test_too_many_for_increases_is_a_fault():
    assert second("99 stitches of double crochet.")[1] == ["short"]
