"""Blocks from corner to corner: counted in blocks, placed in the chain of the block below."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.blocks import blocks, diagonal
from coach.fabric.tree import leaves, top_at
from coach.notation import read

NEW = "Ch 6, dc in 4th ch from hook and in next 2 ch"
MORE = "sl st in ch-3 sp of next block, ch 3, 3 dc in same sp"


def square(n: int) -> str:
    """A square of n blocks on each side: growing to n, and back to one."""
    lines = [f"Row 1: {NEW}, turn. (1 block)", f"Row 2: {NEW}, {MORE}, turn. (2 blocks)"]
    lines += [f"Row {k}: {NEW}, *{MORE}; rep from * across, turn. ({k} blocks)" for k in range(3, n + 1)]
    lines += [f"Row {n + k}: Sl st in first 3 dc, sl st in ch-3 sp, ch 3, 3 dc in same sp, *{MORE}; rep from * to last block, "
              f"sl st in last ch-3 sp, turn. ({n - k} blocks)" for k in range(1, n)]
    return "\n".join(lines)


@given(st.integers(2, 14))
def test_a_square_grows_and_closes_by_one_block_a_row(n):
    fabric = work(read(square(n)))
    assert [f.message for f in fabric.faults] == []
    rows = fabric.parts[0].rounds
    made = [*range(1, n + 1), *range(n - 1, 0, -1)]
    assert [blocks(r.tree) for r in rows] == made
    assert [r.made for r in rows] == [3 * k for k in made]
    assert [r.takes for r in rows[1:]] == [3 * k for k in made[:-1]]
    assert sum(blocks(r.tree) for r in rows) == n * n


@given(st.integers(3, 10), st.sampled_from((-2, -1, 1, 2)))
def test_a_wrong_number_of_blocks_is_a_fault(n, by):
    wrong = square(n).replace(f"({n} blocks)", f"({n + by} blocks)")
    assert [f.kind for f in work(read(wrong)).faults] == ["count"]


def test_each_block_stands_in_the_chain_of_one_below():
    below, row = work(read(square(4))).parts[0].rounds[2:4]
    at, stood = 0, []
    for leaf in leaves(row.tree):
        if leaf.moves and leaf.at is not None:
            place = below.tree.tops - 1 - (at + leaf.at)  # turned
            stood.append(top_at(below.tree, place).kind)
        at += leaf.moves
    assert stood == ["space"] * 3


def test_the_chain_of_a_new_block_is_its_space():
    first = work(read(square(3))).parts[0].rounds[0]
    assert first.tree.tally == {"space 3": 1, "dc": 3}
    assert (first.made, first.takes, first.base) == (3, 0, 0)


@pytest.mark.parametrize("text", [
    "Ch 20.\nRow 1: Dc in 4th ch from hook and in each ch across, turn.\nRow 2: Ch 3, dc in each st across, turn.",
    "Ch 12.\nRow 1: Sc in 2nd ch from hook and across, turn.\nRow 2: Ch 6, sc in 2nd ch from hook and in next 4 ch, sc across, turn.",
    "Rnd 1: 6 sc in magic ring.\nRnd 2: *Ch 6, dc in 4th ch from hook, sl st in next st; rep from * around."])
def test_other_work_is_not_of_blocks(text: str):
    pattern = read(text)
    assert not diagonal(pattern.parts[0].rounds)


def test_what_is_no_block_is_not_counted_as_one():
    plain = work(read("Rnd 1: 6 sc in magic ring.")).parts[0].rounds[0]
    assert blocks(plain.tree) is None
