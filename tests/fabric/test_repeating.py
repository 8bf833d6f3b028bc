"""Repeats: so often, until so many are left, to the next corner; counted and never copied out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import after, fabric, flat, kinds, made, rounds

from coach.fabric.base import Base
from coach.fabric.repeating import folded, is_static, looks_at_base
from coach.fabric.tree import Leaf, Loop, Run
from coach.fabric.worker import Worker
from coach.notation.model import Action, Chain, Evenly, Into, Repeat, Skip, Stitch, Times

SC, DC = Stitch("sc"), Stitch("dc")


def worker(places: int) -> Worker:
    return Worker(Base.chain(places), 0, "sc", {})


class TestRepeats:
    def test_a_repeat_is_a_loop_and_never_written_out(self):
        tree = worker(10**9).run((Repeat((SC,), Times("exact", 10**9)),))
        assert isinstance(tree, Loop) and (tree.times, tree.makes) == (10**9, 10**9)

    def test_nested_repeats_cost_nothing(self):
        node = SC
        for _ in range(9):
            node = Repeat((node,), Times("exact", 10))
        w = worker(10**9)
        assert w.run((node,)).makes == 10**9
        assert w.i == 10**9

    def test_filling_stops_before_what_follows(self):
        tree = worker(20).run((Repeat((SC,), Times("fill", 0, said=False)), DC, DC))
        assert tree.tally == {"sc": 18, "dc": 2}

    def test_filling_leaves_what_is_said(self):
        w = worker(20)
        assert w.run((Repeat((SC,), Times("fill", 3)),)).makes == 17
        assert w.i == 17

    def test_the_last_time_is_cut_where_said(self):
        """*sc, ch 2, sk 1**, dc; rep from *, ending last rep at **: on 8, three whole times... then sc, ch 2, sk 1."""
        node = Repeat((SC, Chain(2), Skip(1), DC), Times("fill", 0, said=False), cut=3)
        assert worker(8).run((node,)).tally == {"sc": 3, "space 2": 3, "dc": 2}

    def test_no_times_is_nothing(self):
        assert worker(5).run((Repeat((SC,), Times("exact", 0)),)).steps == 0

    def test_what_takes_up_nothing_can_not_go_around(self):
        w = worker(5)
        w.run((Repeat((Chain(3),), Times("fill", 0, said=False)),))
        assert [t.kind for t in w.troubles] == ["repeat"]

    def test_a_number_for_each_size(self):
        node = Repeat((SC,), Times("exact", (4, 6, 8)))
        assert [Worker(Base.chain(9), size, "sc", {}).run((node,)).makes for size in range(3)] == [4, 6, 8]

    def test_two_readings_are_an_option_for_the_caller(self):
        node = Repeat((SC,), Times("exact", 7, readings=(6,)))
        w = worker(9)
        assert w.run((node,)).makes == 7
        (option,) = w.options.values()
        assert option.ways == 2
        assert Worker(Base.chain(9), 0, "sc", {option.key: 1}).run((node,)).makes == 6


# A round on so many stitches: what it makes.
TO_WHERE = [
    (20, "Sc in each st to last 5 sts, dc in last 5 sts.", 20),
    (20, "(Sc, inc) to last 2 sts, sc 2.", 29),
    (20, "*Sc 4, inc; rep from * around.", 24),
    (20, "*Sc 2, dec; rep from * to last 4 sts, sc 4.", 16),
    (24, "Sc2tog around until 12 sts remain.", 12),
    (21, "Ch 1, *sc, ch 3, sk 3; rep from * to last st, sc.", 6),
    (20, "Inc, sc in each st to last st, inc.", 22),
    (7, "*Sk next st, 3 dc in next st, sk next st**, sc in next st; rep from * around, ending last rep at **.", 7),
]


@pytest.mark.parametrize(("below", "line", "makes"), TO_WHERE)
def test_how_far(below, line, makes):
    assert made(after(below, line))[1] == makes
    assert kinds(after(below, line)) == []


class TestLastTime:
    """`ending last rep at **`: the part after ** is not worked the last time."""

    @given(st.integers(1, 40))
    def test_shells_between_single_crochet(self, shells):
        line = "*Sk 2 sts, 5 dc in next st, sk 2 sts**, sc in next st; rep from * across, ending last rep at **."
        text = after(6 * shells - 1, line)
        assert rounds(text)[1].tree.tally == {"dc": 5 * shells} | ({"sc": shells - 1} if shells > 1 else {})
        assert kinds(text) == []


class TestCorners:
    SQUARE = "Rnd 1: (3 dc in ring, ch 2) 4 times."

    def test_to_the_next_corner(self):
        text = (f"{self.SQUARE}\nRnd 2: *Dc in each st to next corner, (2 dc, ch 2, 2 dc) in corner sp; "
                "rep from * around. (28)")
        assert made(text) == [12, 28]
        assert kinds(text) == []

    @given(st.integers(1, 6), st.integers(3, 8))
    def test_round_after_round(self, more, corners):
        side = "Dc in each st to next ch-2 sp, (2 dc, ch 2, 2 dc) in ch-2 sp"
        lines = [f"Rnd 1: (3 dc in ring, ch 2) {corners} times."]
        for n in range(more):
            rest = ", dc in each st to end" if n else ""
            lines.append(f"Rnd {n + 2}: *{side}; rep from * {corners - 1} more times{rest}.")
        assert made("\n".join(lines)) == [corners * (3 + 4 * n) for n in range(more + 1)]


class TestWhereItDoesNotFit:
    @pytest.mark.parametrize(("below", "line"), [
        (13, "(Sc, inc) around."), (20, "*Sc 5, inc; rep from * around."), (11, "(Sc 2, sc2tog) around."),
        (2, "(Sc 2, inc) around.")])
    def test_it_is_a_fault_of_the_repeat(self, below, line):
        assert kinds(after(below, line))[0] == "repeat"

    def test_in_a_row_too(self):
        assert kinds(flat(13, "Ch 1, (sc, inc) across, turn.")) == ["repeat"]

    def test_a_ring_does_not_say_how_often(self):
        assert kinds("Magic ring.\nRnd 1: (2 dc, ch 2) around.") == ["repeat"]

    @given(st.integers(3, 60), st.integers(2, 9))
    def test_exactly_where_it_does_not_divide(self, below, each):
        text = after(below, f"*Sc {each - 1}, inc; rep from * around." if each > 2 else "*Sc, inc; rep from * around.")
        assert (kinds(text) == []) == (below % each == 0)


class TestStatic:
    """Whether each time is like the one before: then it is worked twice and counted."""

    @pytest.mark.parametrize(("body", "static"), [
        ((SC,), True), ((SC, DC, Skip(2)), True), ((Chain(3), SC), True),
        ((Repeat((SC,), Times("exact", 4)), DC), True),
        ((Repeat((SC,), Times("fill", 1)),), False), ((Stitch("dc", Into("space", 2)),), False),
        ((Evenly("inc", 6),), False),
        ((Skip(0, "rest"),), False), ((Action("other_side"),), False), ((Action("turn"),), True),
        ((Stitch("sc", Into("last")),), False),
    ])
    def test_on_plain_stitches(self, body, static):
        node = Repeat(body, Times("exact", 6))
        assert is_static(worker(40), node) == static
        assert any(looks_at_base(n) for n in body) != static

    def test_over_spaces_it_never_is(self):
        lace = rounds(after(12, "*Sc, ch 2, sk 1; rep from * around."))[1]
        assert not is_static(Worker(Base(lace.tree), 0, "sc", {}), Repeat((SC,), Times("exact", 2)))


class TestFolded:
    A, B = Leaf(SC, takes=1, makes=1), Leaf(DC, takes=1, makes=1)
    NODE = Repeat((SC,), Times("exact", 5))

    def test_equal_neighbours_become_one_loop(self):
        tree = folded([self.A, Leaf(SC, takes=1, makes=1), self.A], self.NODE)
        assert isinstance(tree, Loop) and tree.times == 3

    def test_others_stay_apart(self):
        tree = folded([self.A, self.B, self.B, self.A], self.NODE)
        assert isinstance(tree, Run)
        assert [getattr(t, "times", 1) for t in tree.children] == [1, 2, 1]

    @given(st.lists(st.booleans(), min_size=1, max_size=20))
    def test_nothing_is_lost(self, which):
        tree = folded([self.A if a else self.B for a in which], self.NODE)
        assert (tree.steps, tree.makes) == (len(which), len(which))


@pytest.mark.parametrize(("text", "hint"), [
    (after(12, "Sc in next st, *sc in next st, 2 sc in next st; rep from * around."), "It fits a round of 11 or 13 stitches."),
    (after(11, "*Sc in next st, 2 sc in next st; rep from * around."), "It fits a round of 10 or 12 stitches."),
    (flat(12, "Ch 1, sc in next st, *sc in next st, 2 sc in next st; rep from * across."), "It fits a row of 11 or 13 stitches."),
    (flat(12, "Ch 1, *sc in next 3 sts, 2 sc in next st; rep from * to last 2 sts, sc in last 2 sts."), "It fits a row of 10 or 14 stitches."),
])
def test_the_hint_counts_the_stitches_before_and_behind_the_repeat(text, hint):
    (fault,) = [f for f in fabric(text).faults if f.kind == "repeat"]
    assert fault.hint == hint
