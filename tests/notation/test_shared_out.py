"""What is shared out in a round, and holds for those that follow; shades by their numbers."""

from __future__ import annotations

import pytest
from passages import cursor, plain, rest, st, times

from coach.fabric import work
from coach.notation import read
from coach.notation.cursor import Cursor
from coach.notation.lexer import fold, tokens
from coach.notation.model import Action, Chain, Repeat, Times
from coach.notation.shared_out import Shared, read_said_again, read_shade, read_shared, shared_out

SPOTS = """Make a chain of 24 stitches, and join it into a circle. Work 1 round of raised spots thus:--Turn the wool 5 times round
the needle, insert the needle in 1 chain, and draw it through all the loops.

2nd round: Divide the round into 3 parts; work 4 spots with the 2nd shade of blue, always working 1 double between each
spot: after 4 spots, work 1 double, then 4 more, and so on.

3rd round: 3rd shade of blue, 3 spots, 3 double.

4th round: Same shade, 2 spots, 5 double.

5th round: 4th shade, 1 spot, 7 double.
"""


def test_what_is_said_once_holds_for_all_rounds():
    fabric = work(read(SPOTS))
    assert [f.kind for f in fabric.faults] == []
    rounds = fabric.parts[0].rounds
    assert [r.made for r in rounds] == [24, 24, 24, 24]
    assert [r.tree.tally for r in rounds] == [
        {"spot": 12, "sc": 12}, {"spot": 9, "sc": 15}, {"spot": 6, "sc": 18}, {"spot": 3, "sc": 21}]


def test_the_shades_are_told_before_their_stitches():
    fabric = work(read(SPOTS))
    assert [n.text for r in fabric.parts[0].rounds for n in r.source.body[:1] if isinstance(n, Action)] == [
        "with 2nd shade of blue", "with 3rd shade of blue", "with 4th shade"]


@pytest.mark.parametrize(("words", "shared"), [
    ("divide the round into 7 parts", Shared(parts=7)),
    ("divide the row into three parts", Shared(parts=3)),
    ("always working 1 double between each shell", Shared(of="shell", parting="sc")),
])
def test_shared(words: str, shared: Shared):
    c = cursor(words, "UK")
    assert read_shared(c, Shared()) == shared
    assert rest(c) == []


@pytest.mark.parametrize("words", ["divide the yarn into 7 balls", "divide the round into 1 parts", "always turn",
    "always working 2 double between each shell", "always working 1 double", ""])
def test_nothing_is_shared(words: str):
    c = cursor(words, "UK")
    assert read_shared(c, Shared()) is None and c.at == 0


@pytest.mark.parametrize("words", ["after 12 shells,", "12 more, and so on", "12 more and so on"])
def test_said_again(words: str):
    c = cursor(words)
    assert read_said_again(c) == [] and rest(c) == []


@pytest.mark.parametrize(("words", "text"), [("3rd shade of red", "with 3rd shade of red"), ("5th shade,", "with 5th shade"),
    ("next shade", "with next shade")])
def test_shades(words: str, text: str):
    (colour,) = read_shade(Cursor(tokens(fold(words), 0, "UK"), text=words), [])
    assert (colour.kind, colour.text) == ("colour", text)


def test_the_same_shade_changes_nothing():
    assert read_shade(cursor("Same shade,"), []) == []
    assert read_shade(cursor("3rd st"), []) is None


def test_a_shade_behind_its_stitches_goes_before_them():
    nodes = [Chain(1), times(4, st("sc"))]
    assert read_shade(cursor("with the 2nd shade"), nodes) == []
    assert [type(n) for n in nodes] == [Chain, Action, Repeat]


def test_shared_out_by_parts_and_parted():
    nodes = [times(4, st("shell")), st("sc")]
    spread = shared_out(nodes, Shared(3, "shell", "sc"))
    assert plain(spread) == (
        times(3, Repeat((times(3, st("shell"), st("sc")), st("shell")), Times("exact", 1)), st("sc")),)
    assert shared_out(nodes, Shared()) == nodes
    assert shared_out([st("sc"), st("dc")], Shared(3, "shell", "sc")) == [st("sc"), st("dc")]
