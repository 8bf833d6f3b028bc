"""A whole pattern worked: each round into the one below, sizes, and readings that the arithmetic settles."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from worked import after, fabric, flat, kinds, made, rounds, takes

from coach.fabric import work
from coach.notation import read


class TestRoundOnRound:
    def test_each_takes_up_what_the_one_below_made(self):
        text = after(6, "2 sc in each st around. (12)", "(Sc, inc) x 6. (18)", "Sc in each st around. (18)",
            "(Sc, dec) x 6. (12)", "Dec x 6. (6)")
        assert made(text) == [6, 12, 18, 18, 12, 6]
        assert takes(text) == [0, *made(text)[:-1]]
        assert kinds(text) == []

    def test_a_row_is_worked_back_over_the_row_before(self):
        """Three double crochet at the end of a row are the first three of the next."""
        text = flat(6, "Ch 1, sc in next 3 sts, dc in last 3 sts, turn.",
            "Ch 1, dc in next 3 sts, sc in next 3 sts, turn.")
        second = rounds(text)[1].tree
        assert second.tally == {"sc": 3, "dc": 3}
        assert kinds(text) == []

    def test_a_fault_does_not_spread_to_the_rounds_above_it(self):
        text = after(12, "(Sc, inc) x 6. (19)", "Sc in each st around. (18)")
        assert [f.line for f in fabric(text).faults] == [2]

    def test_faults_come_in_the_order_of_the_text(self):
        text = after(12, "(Sc, inc) x 6. (19)", "Sc in next 20 sts. (20)", "Sc in next 3 sts.", "Blorp in each st.")
        assert [(f.line, f.kind) for f in fabric(text).faults] == [(2, "count"), (3, "short"), (4, "leaves"),
            (5, "unknown")]

    def test_parts_begin_anew(self):
        text = ("## Head\nRnd 1: 6 sc in magic ring.\nRnd 2: 2 sc in each st around. (12)\n\n"
                "## Tail\nRnd 1: 4 sc in magic ring.\nRnd 2: Sc in each st around. (4)")
        assert [[r.made for r in part.rounds] for part in fabric(text).parts] == [[6, 12], [4, 4]]

    def test_an_empty_text_is_an_empty_work_with_a_fault(self):
        assert fabric("").parts == ()
        assert kinds("") == ["empty"]

    @given(st.text(max_size=200))
    def test_whatever_the_text_it_is_worked(self, text):
        worked = work(read(text))
        assert all(f.message and f.line >= 1 and f.column >= 1 for f in worked.faults)

    @given(st.lists(st.sampled_from(["sc", "inc", "sc2tog", "(sc, inc) x 3", "sc in each st around", "dc 4", "*", "(",
        ")", "ch 3", "turn", "rep from *",
                                     "around", "in next ch-3 sp", "to last 2 sts", ",", ".", "6", "x", "sk 2"]),
                                     max_size=14).map(" ".join))
    def test_whatever_the_instruction_it_is_worked(self, line):
        worked = work(read(after(18, line)))
        assert len(worked.parts[0].rounds) <= 2
        for round in worked.parts[0].rounds:
            assert round.made >= 0 and round.takes >= 0


class TestSame:
    def test_a_round_like_the_one_before_says_so(self):
        text = after(18, "Sc in each st around.", "Sc in each st around.", "(Sc 2, inc) x 6.", "Sc in each st around.")
        assert [r.same for r in rounds(text)] == [False, False, True, False, False]

    def test_rounds_with_one_label_are_the_same(self):
        text = "Rnd 1: 18 sc in magic ring.\nRnds 2-5: Sc in each st around. (18)"
        assert [r.same for r in rounds(text)] == [False, False, True, True, True]

    def test_the_same_words_that_make_another_count_are_not(self):
        text = after(6, "2 sc in each st around.", "2 sc in each st around.")
        assert [r.same for r in rounds(text)] == [False, False, False]


class TestSizes:
    TEXT = ("# Mooring sleeve\n\nSizes: S (M, L)\n\nCh 24 (30, 36), join with sl st to form a ring.\n"
            "Rnd 1: Ch 1, sc in each ch around, join. (24, 30, 36)\n"
            "Rnd 2: Ch 1, (sc 4, sc2tog) 4 (5, 6) times, join. (20, 25, 30)")

    def test_each_size_has_its_own_counts(self):
        assert [made(self.TEXT, size) for size in range(3)] == [[24, 20], [30, 25], [36, 30]]
        assert [kinds(self.TEXT, size) for size in range(3)] == [[], [], []]

    def test_stated_counts_are_those_of_the_size(self):
        assert [[r.stated for r in rounds(self.TEXT, size)] for size in range(3)] == [[24, 20], [30, 25], [36, 30]]

    def test_a_round_of_other_sizes_is_left_out(self):
        text = self.TEXT + "\nSizes M and L only: Rnd 3: Ch 1, sc in each st around, join. (25, 30)"
        assert [len(rounds(text, size)) for size in range(3)] == [2, 3, 3]

    def test_a_wrong_count_of_one_size_is_a_fault_in_that_size(self):
        wrong = self.TEXT.replace("(20, 25, 30)", "(20, 26, 30)")
        assert [kinds(wrong, size) for size in range(3)] == [[], ["count"], []]


class TestReferences:
    def test_a_row_that_repeats_another_is_worked_as_it(self):
        text = flat(10, "Ch 1, sc2tog, sc in each st across, turn. (9)", "Rep Row 2. (8)", "Rep Row 2. (7)")
        assert made(text) == [10, 9, 8, 7]

    def test_repeated_rows_on_the_next_line(self):
        text = flat(10, "Ch 1, sc in each st across, turn.") + "\nRepeat row 2 three times."
        assert made(text) == [10] * 5

    def test_repeated_rows_alternate(self):
        text = flat(10, "Ch 3 (counts as dc), dc in next 9 sts, turn.",
            "Ch 1, sc in each st across, turn.") + "\n\nRepeat rows 2 and 3 three times."
        assert [sorted(r.tree.tally) for r in rounds(text)] == [["sc"], ["dc"], ["sc"]] + [["dc"], ["sc"]] * 3

    def test_work_even(self):
        text = after(18) + "\nWork even for 4 rounds."
        assert made(text) == [18] * 5


class TestTurningChains:
    def test_a_chain_at_the_end_of_a_row_counts_in_the_next(self):
        text = ("Ch 22.\nRow 1: Dc in 4th ch from hook and in each ch across, ch 3, turn. (20)\n"
                "Row 2: Sk first st, dc in next 19 sts, ch 3, turn. (20)")
        assert made(text) == [20, 20]
        assert kinds(text) == []

    def test_one_chain_does_not(self):
        text = flat(12, "Sc in each st across, ch 1, turn. (12)", "Sc in each st across, turn. (12)")
        assert made(text) == [12, 12, 12]


class TestHuge:
    def test_a_billion_stitches_by_repeats_in_repeats(self):
        text = ("Rnd 1: (((10 sc in ring) 1000 times) 1000 times) 100 times.\n"
                "Rnd 2: Sc in each st around.\nRnd 3: (Sc, inc) around.")
        assert made(text) == [10**9, 10**9, 15 * 10**8]
        assert kinds(text) == []

    def test_a_billion_stitches_by_increases(self):
        assert made(after(1000, "1000 sc in each st around.", "1000 sc in each st around.")) == [10**3, 10**6, 10**9]

    def test_the_count_so_far_in_the_middle_of_a_billion(self):
        last = rounds("Rnd 1: ((1000 sc in ring) 1000 times) 1000 times.\nRnd 2: (Sc, inc) around.")[1]
        assert last.made_before(777_777_777) == 777_777_777 // 2 * 3 + 1
        assert last.first_step_with(10**9) == 666_666_667

    def test_very_many_rounds(self):
        worked = rounds("Rnd 1: 6 sc in magic ring.\nRnds 2-2000: Sc in each st around. (6)")
        assert [r.made for r in worked] == [6] * 2000
        assert worked[-1].label == "Rnd 2000"
