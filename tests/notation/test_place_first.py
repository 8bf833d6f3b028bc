"""A place named before what is worked there."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, cursor, kinds, plain, rest, times
from passages import st as stitch

from coach.notation.cursor import Cursor
from coach.notation.grammar import Grammar
from coach.notation.model import NEXT, SAME, Chain, Group, Into, Node
from coach.notation.place_first import read_place_first

SC, DC = stitch("sc"), stitch("dc")


def read_first(text: str) -> tuple[object, Cursor, Grammar]:
    """(what is read, the cursor behind it, the grammar whose context was used)."""
    c, grammar = cursor(text), Grammar(text)
    return plain(read_place_first(c, grammar.context, grammar.items)), c, grammar


def group(*nodes: Node, into: Into = NEXT) -> tuple[Node, ...]:
    return (Group(nodes, into),)


@pytest.mark.parametrize(("words", "nodes"), [
    ("in next st work dc, ch 1, dc", group(DC, Chain(1), DC)),
    ("in next st, dc, ch 1, dc", group(DC, Chain(1), DC)),
    ("in next st: dc, ch 1, dc", group(DC, Chain(1), DC)),
    ("in next st work (dc, ch 1, dc)", group(DC, Chain(1), DC)),
    ("in next st make 2 dc", group(times(2, DC))),
    ("in same st work dc, ch 2, dc", group(DC, Chain(2), DC, into=SAME)),
    ("in next ch-2 sp work 2 dc, ch 2, 2 dc", group(times(2, DC), Chain(2), times(2, DC), into=Into("space", 2))),
    ("in each of next 3 sts work dc, ch 1, dc", (times(3, *group(DC, Chain(1), DC)),)),
    ("on each of the first 6 chain; 1 sc", (times(6, *group(SC, into=Into("chain"))),)),
])
def test_all_of_it_goes_there(words, nodes):
    found, c, _ = read_first(words)
    assert found == nodes
    assert c.done, rest(c)


@pytest.mark.parametrize(("behind", "left"), [
    ("; sc 3", [";", "sc", 3]), (", sc in last 4 sts", [",", "sc", "in", "last", 4, "st"]), (", turn", [",", "turn"])])
def test_what_is_worked_elsewhere_does_not_go_there(behind, left):
    found, c, _ = read_first("in next st work dc, ch 1, dc" + behind)
    assert (found, rest(c)) == (group(DC, Chain(1), DC), left)


class TestChainsFromTheHook:
    @pytest.mark.parametrize(("words", "number"), [
        ("starting in 2nd ch from hook, sc 6", 2), ("in 4th ch from hook, dc 3", 4),
        ("in 3rd ch from hook work inc", 3)])
    def test_it_is_kept_for_the_next_stitch(self, words, number):
        found, c, grammar = read_first(words)
        assert (found, grammar.context.hook) == ((), number)
        assert not c.done

    def test_one_that_is_worked_there_takes_it(self):
        found, c, grammar = read_first("in 2nd ch from hook work 1 sc, sc 3")
        assert (found, rest(c)) == ((stitch("sc", Into("hook", 2)),), [",", "sc", 3])
        assert grammar.context.hook is None

    @pytest.mark.parametrize("verb", ["work", "make"])
    def test_all_of_a_number_goes_into_the_one(self, verb):
        found, c, grammar = read_first(f"in 2nd ch from hook {verb} 8 dc")
        assert found == (stitch("dc", Into("hook", 2)), times(7, stitch("dc", SAME)))
        assert c.done and (grammar.context.last, grammar.context.hook) == ("dc", None)

    def test_so_does_what_has_chains_in_it(self):
        found, c, grammar = read_first("in 4th ch from hook work 2 dc, ch 2, 3 dc")
        assert found == group(times(2, DC), Chain(2), times(3, DC), into=Into("hook", 4))
        assert c.done and grammar.context.hook is None


class TestTheStitchBefore:
    """`... and in each st`: of the stitch named last."""

    def test_it_is_worked_there(self):
        text = "in next st"
        c, grammar = cursor(text), Grammar(text)
        grammar.context.last = "dc"
        assert plain(read_place_first(c, grammar.context, grammar.items)) == (DC,)

    def test_without_one_nothing_is_read(self):
        assert read_first("in next st")[0] is None


@pytest.mark.parametrize("words", ["", "sc in next st", "turn", "6 sc", "in"])
def test_what_names_no_place_first(words):
    assert read_first(words)[0] is None


@pytest.mark.parametrize("words", ["in next st work frobnicate", "in next st work turn"])
def test_where_nothing_can_be_put_it_is_not_tried_again(words):
    found, _, grammar = read_first(words)
    assert found is None
    (span,) = grammar.context.no_places
    assert span[1] == cursor(words).stop


@pytest.mark.parametrize(("line", "nodes"), [
    ("Sc in next st, in next st work dc, ch 1, dc, sc in last 4 sts.", (SC, *group(DC, Chain(1), DC), times(4, SC))),
    ("In each st work 2 sc.", (around(*group(times(2, SC))),)),
])
def test_in_a_round(line, nodes):
    assert body(line) == nodes
    assert kinds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}") == []


WORDS = "in next st 2nd ch from hook work make 2 dc sc , : ; . ( ) each ch-2 sp same".split()


@given(st.lists(st.sampled_from(WORDS), max_size=12))
def test_what_is_read_took_words_and_none_beyond_the_end(words):
    found, c, _ = read_first(" ".join(words))
    assert c.at <= c.stop
    assert found is None or c.at > 0
