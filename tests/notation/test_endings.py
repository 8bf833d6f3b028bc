"""How the last time of a repeat ends where it is unlike the others."""

from __future__ import annotations

import pytest
from passages import body, cursor
from passages import st as stitch

from coach.notation.endings import ended_by, last_told, omitted, one_less
from coach.notation.model import Action, Chain, Into, Repeat, Skip, Times

SC, DC = stitch("sc"), stitch("dc")
ACROSS = Times("around")


class TestTheLastTime:
    def test_it_ends_where_the_second_mark_stands(self):
        (node,) = body(
            "*Sk 2 sts, 5 dc in next st, sk 2 sts**, sc in next st; rep from * around, ending last rep at **."
        )
        assert (len(node.body), node.cut) == (4, 3)
        assert node.body[0] == node.body[2] == Skip(2)

    def test_ending_with_is_what_follows(self):
        nodes = body("*Sc in next sc, sk next sc, (dc, ch 1, dc) in next sc; rep from * across, "
                     "ending with sc in last sc.")
        assert len(nodes) == 2 and isinstance(nodes[0], Repeat) and nodes[0].cut is None
        assert nodes[1].stitch == "sc"

    def test_a_chain_that_is_omitted_is_cut_from_it(self):
        (node, *_) = body("*Sc in next st, ch 3; rep from * 5 more times, omitting last ch 3.")
        assert (len(node.body), node.cut, node.times) == (2, 1, Times("exact", 6))


class TestOmitted:
    def test_only_what_the_body_ends_with_can_be_left_out(self):
        c = cursor("omitting last ch 3 on last rep")
        assert omitted(c, lambda told: [Chain(3)], (SC, Chain(3))) == 1
        assert c.done

    @pytest.mark.parametrize("left_out", [[], [Chain(2)], [SC, Chain(3)]])
    def test_otherwise_nothing_is_taken(self, left_out):
        c = cursor("omitting last ch 3")
        assert omitted(c, lambda told: left_out, (SC, Chain(3))) is None
        assert c.at == 0


class TestEndedBy:
    """`ending` is 0 where a text says "ending with": then what follows takes the place of a last node that is alike."""

    def test_a_stitch_like_the_last_takes_its_place(self):
        assert ended_by(Repeat((SC, DC), ACROSS, ending=0), DC).ending == 1

    @pytest.mark.parametrize(("last", "following"), [(DC, SC), (DC, Chain(1)), (Chain(2), DC)])
    def test_one_unlike_it_follows(self, last, following):
        assert ended_by(Repeat((SC, last), ACROSS, ending=0), following).ending == 0

    def test_a_repeat_that_says_nothing_of_its_end_stays_as_it_is(self):
        repeat = Repeat((SC, DC), ACROSS)
        assert ended_by(repeat, DC) is repeat

    def test_a_turn_ends_none(self):
        assert ended_by(Repeat((SC, DC), ACROSS, ending=1), Action("turn")).ending == 0


def test_the_last_stitch_told_again_is_no_other_stitch():
    assert last_told(cursor("working last sc in last ch")) == []
    assert last_told(cursor("working sc in last ch")) is None


def test_one_time_less_in_each_reading_and_in_each_size():
    assert one_less(Times("exact", 6, (7,))) == Times("exact", 5, (6,))
    assert one_less(Times("exact", (4, 6))) == Times("exact", (3, 5))
    assert one_less(Times("exact", 3, (1,))) == Times("exact", 2)
    assert one_less(ACROSS) is ACROSS


class TestWhereARepeatHasComeTo:
    def test_the_stitch_it_ends_with_tells_how_often(self):
        nodes = body("8 ch, 1 tr, *4 ch, 1 tr; repeat 6 times from * = after the 7th treble: 4 ch, 1 ss on the 3rd of the 8 ch", "UK terms.\n\n")
        assert nodes[2].times == Times("exact", 6)
        nodes = body("8 ch, *1 tr, 4 ch; repeat 6 times from * = after the 7th treble: join", "UK terms.\n\n")
        assert nodes[1].times == Times("exact", 7)

    def test_a_number_that_neither_reading_gives_settles_nothing(self):
        nodes = body("8 ch, 1 tr, *4 ch, 1 tr; repeat 6 times from * = after the 9th treble: 4 ch, 1 ss on the 3rd of the 8 ch", "UK terms.\n\n")
        assert nodes[2].times == Times("exact", 7, readings=(6,))

    def test_chains_named_behind_it_are_worked(self):
        nodes = body("12 ch, 1 tr, *9 ch, 1 tr; repeat 6 times from * = after the 7th treble and the 9 chain: join",
                     "UK terms.\n\n")
        assert nodes[3] == Chain(9)


class TestHowFar:
    def test_it_is_said_behind_an_aside(self):
        first, then = body("A tr in each tr, including the 3 trebles of shell, up to the 2 chain, 1 dc in next",
                           "UK terms.\n\n")
        assert first.times == Times("space") and then == SC

    def test_a_number_stays(self):
        assert body("Sc 3, to last 2 sts")[0].times == Times("exact", 3)


class TestMoreInTheLastPlace:
    @pytest.mark.parametrize(("told", "more"), [(4, 1), (6, 3)])
    def test_so_many_are_ended_with(self, told: int, more: int):
        repeat, *last = body(f"*Ch 1, 3 dc in next sp; rep from * around, ending with {told} dc")
        assert repeat.ending is None
        assert last == [stitch("dc", Into("same"))] * more

    def test_fewer_or_other_stitches_end_it_as_before(self):
        repeat, last = body("*Ch 1, 3 dc in next sp; rep from * around, ending with 2 sc")
        assert last == Repeat((SC,), Times("exact", 2))
