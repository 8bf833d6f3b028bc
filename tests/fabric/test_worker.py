"""One round worked into the one below: what each instruction takes up, makes, and where it lands."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import after, flat, kinds, landings, made, rounds

from coach.fabric.base import Base
from coach.fabric.tree import Leaf, Top, leaves
from coach.fabric.worker import Worker
from coach.notation.model import SAME, Chain, Evenly, Group, Repeat, Skip, Stitch, Times

# One instruction on a round of single crochet: (stitches below, instruction, takes up, makes).
ROUNDS = [
    (12, "Sc in each st around.", 12, 12),
    (12, "Sc around.", 12, 12),
    (12, "12 sc.", 12, 12),
    (12, "Sc 12.", 12, 12),
    (12, "Sc in next 12 sts.", 12, 12),
    (12, "2 sc in each st around.", 12, 24),
    (12, "3 dc in each st around.", 12, 36),
    (12, "Inc in each st around.", 12, 24),
    (12, "Inc around.", 12, 24),
    (12, "Inc x 12.", 12, 24),
    (12, "12 inc.", 12, 24),
    (12, "(Sc, inc) x 6.", 12, 18),
    (12, "(Sc, inc) 6 times.", 12, 18),
    (12, "(Sc, inc) around.", 12, 18),
    (12, "[Sc in next st, 2 sc in next st] 6 times.", 12, 18),
    (12, "*Sc, inc; rep from * around.", 12, 18),
    (12, "*Sc, inc; rep from * 5 more times.", 12, 18),
    (12, "*Sc, inc* 6 times.", 12, 18),
    (12, "6(sc, inc).", 12, 18),
    (12, "(Sc, inc)*6.", 12, 18),
    (18, "(Sc, sc2tog) x 6.", 18, 12),
    (18, "(Sc, dec) x 6.", 18, 12),
    (18, "(Sc, inv dec) around.", 18, 12),
    (18, "Dec around.", 18, 9),
    (18, "Sc2tog 9 times.", 18, 9),
    (18, "Sc3tog around.", 18, 6),
    (18, "Dc3tog over next 3 sts, sc in each st to end.", 18, 16),
    (18, "Sc in next 2 sts, sk 2 sts, sc in each st around.", 18, 16),
    (18, "*Sc, sk 1; rep from * around.", 18, 9),
    (18, "*Sk 2 sts, 5 dc in next st; rep from * around.", 18, 30),
    (18, "(Sc 2, inc) x 5, sc 3.", 18, 23),
    (18, "Sc in next 3 sts, *inc, sc; rep from * to last 3 sts, sc in last 3 sts.", 18, 24),
    (18, "*Sc 4, inc; rep from * to last 3 sts, sc 3.", 18, 21),
    (18, "Sc in each st to last 2 sts, sc2tog.", 18, 17),
    (18, "Sc2tog, sc in each st to last 2 sts, sc2tog.", 18, 16),
    (18, "Sc in next 6 sts, leave remaining sts unworked.", 6, 6),
    (24, "{Sc, [inc, sc] 3 times, dec} 2 times, sc 6.", 24, 28),
    (24, "[(Sc, inc) twice, sc 2] 4 times.", 24, 32),
    (24, "Inc 6 sts evenly around.", 24, 30),
    (24, "Dec 6 sts evenly around.", 24, 18),
    (25, "Inc 6 sts evenly around.", 25, 31),
    (20, "*Hdc in next 3 sts, 2 hdc in next st; rep from * around.", 20, 25),
    (20, "*(Dc, ch 1, dc) in next st, sk next st; rep from * around.", 20, 20),
    (20, "*Bobble, sc; rep from * around.", 20, 20),
    (20, "Sc in BLO of each st around.", 20, 20),
    (20, "In FLO, sc in each st around.", 20, 20),
    (20, "FPdc around each st around.", 20, 20),
    (20, "Shell in next st, sk 1, *shell in next st, sk 1; rep from * around.", 20, 50),
    (20, "*Ch 3, sk next st, sc in next st; rep from * around.", 20, 10),
    (20, "Sc in each st around, join with sl st in first sc.", 20, 20),
    (20, "Ch 1, sc in each st around, join.", 20, 20),
    (20, "Ch 3 (counts as dc), dc in each st around, join with sl st in top of ch-3.", 20, 20),
    (20, "Ch 3 (counts as dc), dc in same st, 2 dc in each st around, join.", 20, 40),
    (20, "Ch 2 (does not count as st), hdc in each st around, join.", 20, 20),
]


@pytest.mark.parametrize(("below", "line", "takes", "makes"), ROUNDS)
def test_a_round(below, line, takes, makes):
    round = rounds(after(below, f"{line} ({makes})"))[1]
    assert (round.base, round.takes, round.made) == (below, takes, makes)
    assert kinds(after(below, f"{line} ({makes})")) == []


# The same into a turned row: (stitches below, instruction, makes).
ROWS = [
    (20, "Ch 1, sc in each st across, turn.", 20),
    (20, "Ch 1, turn, sc in each st across.", 20),
    (20, "Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog, turn.", 18),
    (20, "Ch 1, 2 sc in first st, sc in each st to last st, 2 sc in last st, turn.", 22),
    (20, ("Ch 3 (counts as dc), sk first st, dc in each of next 8 sts, dc2tog, dc in each st to last st, "
         "dc in last st, turn."), 19),
    (20, "Ch 3, dc in next 19 sts, turn.", 20),
    (20, "Ch 2 (does not count), hdc in each st across, turn.", 20),
    (20, "Ch 1, sc in first st, *ch 1, sk 1, sc in next st; rep from * to last st, sc in last st, turn.", 11),
    (20, "Ch 1, (sc in next 3 sts, sc2tog) across, turn.", 16),
    (21, "Ch 1, sc in first st, [ch 3, sk next 3 sts, sc in next st] to end, turn.", 6),
    (21, "Ch 1, sc in first st, *sk 1, 3 dc in next st, sk 1, sc in next st; rep from * to end, turn.", 21),
    (21, "Ch 1, sc in first 5 sts, leave remaining sts unworked, turn.", 5),
    (21, "Ch 1, sc in next 5 sts, leave remaining sts unworked, turn.", 5),
]


@pytest.mark.parametrize(("below", "line", "makes"), ROWS)
def test_a_row(below, line, makes):
    text = flat(below, f"{line} ({makes})")
    assert made(text)[1] == makes
    assert kinds(text) == []


# Into spaces: (round below, instruction, makes, spaces made).
LACE = "*Sc, ch 3, sk 2; rep from * around."  # on 24: eight stitches, eight spaces
SPACES = [
    ("3 dc in each ch-3 sp around.", 24, 0),
    ("*3 dc in next ch-3 sp, ch 1; rep from * around.", 24, 8),
    ("*Sc in next ch-3 sp, ch 5; rep from * around.", 8, 8),
    ("*Sc in next sc, 3 sc in next ch-3 sp; rep from * around.", 32, 0),
    ("*Sk next sc, (2 dc, ch 2, 2 dc) in next ch-3 sp; rep from * around.", 32, 8),
    ("(Sc, ch 3, sc) in each ch-3 sp around.", 16, 8),
    ("*Sc in next ch-3 sp, ch 4, sk next ch-3 sp; rep from * around.", 4, 4),
]


@pytest.mark.parametrize(("line", "makes", "spaces"), SPACES)
def test_into_spaces(line, makes, spaces):
    round = rounds(after(24, LACE, line))[2]
    assert (round.made, round.tree.spaces) == (makes, spaces)
    assert kinds(after(24, LACE, line)) == []


class TestWhereItLands:
    """Each step with the top of the round below that it goes into."""

    def lands(self, line: str, below: int = 6) -> list[int | None]:
        return landings(rounds(after(below, line))[1])

    def test_one_after_another(self):
        assert self.lands("Sc in each st around.") == [0, 1, 2, 3, 4, 5]

    def test_an_increase_is_in_one_place(self):
        assert self.lands("(Sc, inc) x 3.") == [0, 1, 2, 3, 4, 5]

    def test_a_decrease_begins_in_the_first_that_it_takes(self):
        assert self.lands("Sc, sc2tog, sc, sc2tog.") == [0, 1, 3, 4]

    def test_past_what_is_skipped(self):
        where = self.lands("Sc, sk 2, sc 3.")
        assert [w for w in where if w is not None] == [0, 3, 4, 5]

    def test_in_the_same_place_again(self):
        assert self.lands("Sc in next st, dc in same st, sc in next 5 sts.") == [0, 0, 1, 2, 3, 4, 5]

    def test_chains_go_into_nothing(self):
        assert self.lands("Sc, ch 2, sc 5.") == [0, None, 1, 2, 3, 4, 5]

    def test_a_counting_chain_stands_on_the_first_stitch(self):
        assert self.lands("Ch 3 (counts as dc), dc in next 5 sts.") == [0, 1, 2, 3, 4, 5]

    def test_in_spaces(self):
        third = rounds(after(12, "*Sc, ch 2, sk 1; rep from * around.", "3 dc in each ch-2 sp around."))[2]
        assert landings(third) == [1, 3, 5, 7, 9, 11]

    @given(st.integers(1, 9), st.integers(0, 9))
    def test_each_lands_where_the_arithmetic_says(self, times, plain):
        line = f"(Sc {plain}, inc) x {times}." if plain > 1 else f"(Sc, inc) x {times}." if plain else f"Inc x {times}."
        below = times * (plain + 1)
        assert self.lands(line, below) == list(range(below))


class TestNeverPastTheEnd:
    @pytest.mark.parametrize(("below", "line", "kind"), [
        (12, "Sc in next 13 sts.", "short"),
        (12, "(Sc, inc) x 7.", "short"),
        (12, "Sc in next 11 sts.", "leaves"),
        (12, "(Sc, inc) x 5.", "leaves"),
        (12, "*Sc 4, inc; rep from * around.", "repeat"),
        (13, "(Sc, inc) around.", "repeat"),
        (12, "Inc 13 sts evenly around.", "short"),
        (12, "3 dc in each ch-2 sp around.", "short"),
        (12, "3 dc in next ch-2 sp, sc 12.", "short"),
        (12, "Sc in next 5 sts, sc in last st.", "leaves"),
    ])
    def test_what_does_not_fit_is_a_fault(self, below, line, kind):
        assert kind in kinds(after(below, line))

    def test_the_hint_says_which_round_it_fits(self):
        fault = next(f for f in rounds(after(13, "*Sc 2, inc; rep from * around."))[1].faults if f.kind == "repeat")
        assert "12 or 15" in fault.hint

    @given(st.integers(1, 60), st.integers(1, 60))
    def test_so_many_into_so_many(self, below, written):
        """n single crochet into m stitches: short, right or some left, and always so many made."""
        text = after(below, f"Sc in next {written} sts." if written > 1 else "Sc in next st.")
        assert made(text)[1] == written
        assert kinds(text) == ([] if written == below else ["short"] if written > below else ["leaves"])


# ---- the worker itself, fed with nodes

def worker(places: int) -> Worker:
    return Worker(Base.chain(places), 0, "sc", {})


SC, DC = Stitch("sc"), Stitch("dc")


class TestGroups:
    def test_a_group_takes_one_place(self):
        w = worker(3)
        tree = w.run((Group((DC, Chain(2), DC)),))
        assert isinstance(tree, Leaf)
        assert tree.made_tops == (Top("dc"), Top("space", 2), Top("dc"))
        assert (tree.takes, tree.makes, w.i) == (1, 2, 1)

    def test_a_group_in_the_same_place_takes_none(self):
        w = worker(3)
        tree = w.run((SC, Group((DC, DC), SAME)))
        assert (tree.takes, tree.makes, w.i) == (1, 3, 1)

    def test_repeats_inside_a_group_are_written_out(self):
        tree = worker(3).run((Group((Repeat((DC, Chain(1)), Times("exact", 3)),)),))
        assert tree.tally == {"dc": 3, "space 1": 3}

    def test_very_many_in_one_place_are_steps_of_their_own(self):
        tree = worker(3).run((Group((Repeat((DC,), Times("exact", 10**6)),)),))
        assert (tree.takes, tree.makes) == (1, 10**6)
        assert tree.steps == 10**6


class TestSkips:
    def test_skipping_takes_up_and_makes_nothing(self):
        w = worker(6)
        tree = w.run((SC, Skip(3), SC))
        assert (tree.takes, tree.makes, w.i) == (5, 2, 5)

    def test_what_is_left_may_be_left(self):
        w = worker(6)
        w.run((SC, Skip(0, "rest")))
        assert w.leaves_rest

    def test_the_first_stitch_is_skipped_once_where_a_chain_stands_on_it(self):
        w = worker(6)
        tree = w.run((Chain(3, True, "dc"), Skip(1, first=True), Repeat((DC,), Times("fill", 0, said=False))))
        assert (tree.makes, tree.takes) == (6, 6)


class TestEvenly:
    @given(st.integers(1, 30), st.integers(0, 100))
    def test_increases_are_as_many_as_said_and_take_up_all(self, count, more):
        w = worker(count + more)
        tree = w.run((Evenly("inc", count),))
        assert (tree.takes, tree.makes) == (count + more, 2 * count + more)

    @given(st.integers(1, 30), st.integers(0, 100))
    def test_decreases_too(self, count, more):
        w = worker(2 * count + more)
        tree = w.run((Evenly("dec", count),))
        assert (tree.takes, tree.makes) == (2 * count + more, count + more)

    @given(st.integers(1, 20), st.integers(0, 60))
    def test_they_are_spread_as_evenly_as_stitches_allow(self, count, more):
        tree = worker(count + more).run((Evenly("inc", count),))
        gaps, gap = [], 0
        for step in leaves(tree):
            if step.makes == 2:
                gaps.append(gap)
                gap = 0
            else:
                gap += 1
        assert max(gaps) - min(gaps) <= 1

    def test_more_than_there_is_room_for(self):
        w = worker(5)
        w.run((Evenly("dec", 3),))
        assert [t.kind for t in w.troubles] == ["short"]


class TestDecorations:
    def test_a_picot_adds_nothing(self):
        text = after(12, "*Sc in next 3 sts, ch 3, sl st in 3rd ch from hook; rep from * around. (12)")
        assert made(text) == [12, 12]
        assert kinds(text) == []

    def test_a_joining_slip_stitch_adds_nothing(self):
        assert made(after(12, "Sc in each st around, sl st in first sc.")) == [12, 12]

    def test_slip_stitches_that_travel_move_the_start(self):
        text = after(12, "*2 dc in next st, ch 2, 2 dc in next st, sk 1; rep from * around.",
                     "Sl st in next dc and in ch-2 sp, ch 3 (counts as dc), (dc, ch 2, 2 dc) in same sp, "
                     "*(2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * around, join. (16)")
        assert made(text)[2] == 16
        assert kinds(text) == []

    def test_a_chain_within_the_round_is_worked_back_along(self):
        """A finger: five chains, four single crochet back, and on around."""
        text = after(12, "Sc in next 6 sts, ch 5, sc in 2nd ch from hook, sc in next 3 chs, sc in next 6 sts. (16)")
        assert made(text)[1] == 16
        assert kinds(text) == []
