"""The middle of a group of stitches, and of a row: where it is, turned or begun elsewhere, and that far ones cost nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.base import Base
from coach.fabric.middles import next_middle, row_middle
from coach.fabric.tree import Leaf, Loop, Run, Top
from coach.notation import read

ONE = Leaf(None, tops=(Top("sc"),))
THREE = Leaf(None, tops=(Top("sc"),) * 3)
CHAIN = Leaf(None, tops=(Top("ch"),))
CORNERS = Loop(Run((Loop(ONE, 4), THREE)), 4)  # 4 plain, 3 in the corner: tops 0 to 27, middles at 5, 12, 19, 26


def middles(base: Base) -> list[int]:
    """All of them, found one after another."""
    found, i = [], 0
    while (middle := next_middle(base, i)) is not None:
        found.append(middle)
        i = middle + 1
    return found


def test_each_corner_has_one():
    assert middles(Base(CORNERS)) == [5, 12, 19, 26]


def test_a_turned_row_is_come_to_from_its_other_end():
    assert middles(Base(CORNERS, turned=True)) == [1, 8, 15, 22]


def test_a_round_begun_elsewhere_ends_where_it_began():
    assert middles(Base(CORNERS, start=6)) == [6, 13, 20, 27]
    assert middles(Base(CORNERS, start=5)) == [0, 7, 14, 21]


@given(st.integers(0, 27), st.booleans(), st.integers(0, 27))
def test_it_is_never_before_the_hook(start: int, turned: bool, i: int):
    found = next_middle(Base(CORNERS, turned, 0 if turned else start), i)
    assert found is None or i <= found < 28


def test_plain_stitches_pairs_and_spaces_have_none():
    pair = Leaf(None, tops=(Top("sc"),) * 2)
    shell = Leaf(None, tops=(Top("dc"), Top("space", 2), Top("dc")))
    assert middles(Base(Run((Loop(ONE, 3), pair, shell)))) == []
    assert next_middle(Base(None), 0) is None


def test_a_chain_worked_one_by_one_has_one():
    assert middles(Base(Run((ONE, Loop(CHAIN, 5), ONE, Loop(CHAIN, 4))))) == [3]


def test_a_thousand_million_corners_cost_nothing():
    base = Base(Loop(CORNERS, 250_000_000))
    assert next_middle(base, 6_999_999_990) == 6_999_999_991
    assert next_middle(Base(Loop(ONE, 10**9)), 5) is None


@pytest.mark.parametrize("depth", [3, 60])
def test_loops_inside_one_another_cost_no_more_than_their_depth(depth: int):
    plain, corners = Loop(ONE, 2), CORNERS
    for _ in range(depth):
        plain, corners = Loop(Run((ONE, plain)), 2), Loop(Run((ONE, corners)), 2)
    for turned in (False, True):
        assert next_middle(Base(plain, turned), 1) is None
        assert next_middle(Base(corners, turned), corners.tops // 2) is not None


@pytest.mark.parametrize(("tops", "middle"), [(1, 0), (7, 3), (8, None), (0, None)])
def test_the_middle_of_a_row(tops: int, middle: int | None):
    assert row_middle(Base(Loop(ONE, tops))) == middle


def pattern(line: str, chain: int = 8):
    return work(read(f"Ch {chain}.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2: {line}"))


def test_a_row_with_an_even_number_has_no_middle_stitch():
    fabric = pattern("Sc in each st, with 3 in center st.", chain=9)
    assert [f.kind for f in fabric.faults] == ["repeat"]
    assert "no middle stitch" in fabric.faults[0].message


def test_stitches_left_before_the_middle_are_a_fault():
    fabric = pattern("Sc in next st, 3 sc in center st, sc in next 3 sts.")
    assert [f.kind for f in fabric.faults] == ["leaves"]
    assert pattern("Sc in next 3 sts, 3 sc in center st, sc in next 3 sts.").faults == ()
