"""Square crochet: squares counted, and the first row told by its first square."""

from __future__ import annotations

import pytest
from passages import around, body, cursor, plain, st

from coach.fabric import work
from coach.notation import read
from coach.notation.filet import meshed, read_squares
from coach.notation.model import Chain, Into, Repeat, Skip, Times

SQUARE = (st("dc"), Chain(2), Skip(2))
THIRD = st("dc", Into("nth", 3))


@pytest.mark.parametrize(("words", "n"), [("6 sq., 9 dc", 6), ("1 sq", 1), ("12 squares, sc", 12), ("2 square and", 2)])
def test_squares(words: str, n: int):
    assert plain(read_squares(cursor(words))) == (Repeat(SQUARE, Times("exact", n)),)


@pytest.mark.parametrize("words", ["6 sc", "squares", "6 square metres", "6 square motifs", ""])
def test_no_squares(words: str):
    c = cursor(words)
    assert read_squares(c) is None and c.at == 0


def test_a_first_square_is_made_all_the_way():
    assert meshed([Chain(1), st("dc"), Chain(2), THIRD]) == [Chain(1), st("dc"), around(Chain(2), THIRD)]
    for other in ([st("dc"), Chain(2), st("dc")], [st("dc"), Chain(2), st("sc", Into("nth", 3))], [Chain(2), THIRD], []):
        assert meshed(other) == other


def test_squares_between_long_stitches():
    assert body("2 sq., 3 l., 1 sq., 1 l. in next st")[:2] == (
        Repeat(SQUARE, Times("exact", 2)), Repeat((st("dc"),), Times("exact", 3)))


@pytest.mark.parametrize(("chain", "squares", "kinds"), [(31, 10, []), (61, 20, []), (31, 12, ["total"]), (34, 10, ["total"])])
def test_the_chain_has_room_for_so_many(chain: int, squares: int, kinds: list[str]):
    fabric = work(read(f"Make {chain} chain, turn back, work 1 l., 2 ch., 1 l. into 3rd loop, make {squares} squares."))
    assert [f.kind for f in fabric.faults] == kinds
    assert fabric.parts[0].rounds[0].tree.spaces == (chain - 1) // 3


def test_a_third_loop_of_a_stitch_stays_one():
    assert body("Hdc in 3rd loop of each st around")[0].body[0].loop == "third"

