"""The lines of one part into its rounds: numbers, kinds, foundations, counts, sizes, and the notes between them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, kinds, plain, rounds, times
from passages import st as stitch

from coach.notation import read
from coach.notation.model import Action, Chain, Count

SC = stitch("sc")
ONE = "Rnd 1: 6 sc in magic ring. (6)\n"


class TestLabels:
    @pytest.mark.parametrize(("text", "labels"), [
        ("Rnd 1: 6 sc in magic ring.\nRnd 2: 2 sc in each st around.", ["Rnd 1", "Rnd 2"]),
        ("R1: 6 sc in magic ring.\nR2: 2 sc in each st around.", ["Rnd 1", "Rnd 2"]),
        ("Round 1: 6 sc in magic ring.\n2nd round: 2 sc in each st around.", ["Rnd 1", "Rnd 2"]),
        ("Ch 9.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn.\nRow 2: Ch 1, sc in each st across.",
        ["Row 1", "Row 2"]),
        (ONE + "Rnds 2-4: Sc in each st around.", ["Rnd 1", "Rnd 2", "Rnd 3", "Rnd 4"]),
        (ONE + "Rnds 2 and 3: Sc in each st around.", ["Rnd 1", "Rnd 2", "Rnd 3"]),
        (ONE + "Next rnd: Sc in each st around.", ["Rnd 1", "Rnd 2"]),
        ("1. 6 sc in magic ring.\n2. 2 sc in each st around.\n3. (Sc, inc) x 6.", ["Rnd 1", "Rnd 2", "Rnd 3"]),
        ("1) MR, 6 sc\n2) inc x 6\n3) (sc, inc) x 6", ["Rnd 1", "Rnd 2", "Rnd 3"]),
    ])
    def test_a_round_is_called_as_a_maker_says_it(self, text, labels):
        assert [r.label for r in rounds(text)] == labels

    def test_rounds_of_one_label_share_their_body(self):
        found = rounds(ONE + "Rnds 2-5: Sc in each st around. (6)")
        assert [r.number for r in found] == [1, 2, 3, 4, 5]
        assert len({r.body for r in found[1:]}) == 1
        assert [plain(r.stated) for r in found] == [(Count(6),)] * 5

    @given(st.integers(2, 60), st.integers(0, 60))
    def test_however_many(self, first, more):
        text = "".join(f"Rnd {n}: Sc in each st around.\n" for n in range(2, first))
        found = rounds(ONE + text + f"Rnds {first}-{first + more + 1}: Sc in each st around.")
        assert [r.number for r in found] == list(range(1, first + more + 2))


class TestKinds:
    @pytest.mark.parametrize(("line", "kind"), [
        ("Row 1: Sc in each st across.", "row"), ("1st row: Sc in each st.", "row"),
        ("Rnd 1: Sc in each st.", "round"), ("R1: Sc in each st across, turn.", "row"),
        ("R1: Sc in each st around.", "round"), ("1. Sc in each st, ch 1, turn.", "row"),
    ])
    def test_a_row_is_turned_and_a_round_is_not(self, line, kind):
        assert rounds("Fsc 12.\n" + line)[0].kind == kind

    @pytest.mark.parametrize(("line", "side"), [("Row 1 (RS): Sc in each st.", "RS"), ("Row 1 (WS): Sc in each st.",
        "WS"), ("Row 1: Sc in each st.", None)])
    def test_a_side_where_it_is_said(self, line, side):
        assert rounds("Fsc 12.\n" + line)[0].side == side


class TestFoundations:
    @pytest.mark.parametrize(("start", "kinds_"), [
        ("Ch 21.\nRow 1: Sc in 2nd ch from hook.", [Chain]),
        ("Ch 21, turn.\nRow 1: Sc in 2nd ch from hook.", [Chain, Action]),
        ("Chain 21.\nRow 1: Sc in 2nd ch from hook.", [Chain]),
        ("Foundation: Ch 21.\nRow 1: Sc in 2nd ch from hook.", [Chain]),
        ("Make a chain of 21 stitches.\nRow 1: Sc in 2nd ch from hook.", [Chain]),
        ("Magic ring.\nRnd 1: 6 sc in ring.", [Action]),
        ("Ch 4, join with sl st to form a ring.\nRnd 1: 6 sc in ring.", [Chain, Action]),
        ("Rnd 1: Ch 4, sl st in first ch to form a ring, 6 sc in ring.", [Chain, Action]),
        ("Rnd 1: Magic ring, 6 sc in ring.", [Action]),
        ("Row 1: Ch 21, sc in 2nd ch from hook and in each ch across.", [Chain]),
    ])
    def test_what_is_worked_before_it_belongs_to_the_first_round(self, start, kinds_):
        (first,) = rounds(start)
        assert [type(n) for n in first.foundation] == kinds_

    def test_it_is_no_round_of_its_own(self):
        assert [r.label for r in rounds("Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across.")] == ["Row 1"]

    def test_a_later_round_has_none(self):
        assert rounds(ONE + "Rnd 2: Ch 1, sc in each st around.")[1].foundation == ()

    @pytest.mark.parametrize("line", ["MR 6", "MR 6 (6)", "(MR 6)", "Magic ring 6", "mr, 6"])
    def test_six_in_a_magic_ring_in_shorthand(self, line):
        (first,) = rounds(f"Rnd 1: {line}")
        assert [n.kind for n in first.foundation] == ["ring"]
        assert plain(first.body)[0].times.amount == 6

    def test_a_row_of_foundation_stitches(self):
        (first,) = rounds("Fsc 24, turn.\nRow 1: Ch 1, sc in each st across.")
        assert plain(first.foundation)[0] == times(24, stitch("fsc"))


class TestCounts:
    def test_each_round_has_its_own(self):
        found = rounds(ONE + "Rnd 2: 2 sc in each st around. (12)\nRnd 3: Sc in each st around.")
        assert [plain(r.stated) for r in found] == [(Count(6),), (Count(12),), ()]


class TestSizes:
    HEAD = "# Sleeve\n\nSizes: S (M, L)\n\n" + ONE

    def test_all_sizes_work_a_round_that_says_nothing(self):
        assert rounds(self.HEAD)[0].sizes == ()

    @pytest.mark.parametrize(("line", "sizes"), [
        ("Sizes M and L only: Rnd 2: Sc in each st around.", (1, 2)),
        ("Size L only: Rnd 2: Sc in each st around.", (2,)),
        ("Rnd 2: Sizes M and L only: Sc in each st around.", (1, 2)),
        ("For size S only: Rnd 2: Sc in each st around.", (0,)),
    ])
    def test_a_round_of_some_sizes(self, line, sizes):
        assert rounds(self.HEAD + line)[1].sizes == sizes

    def test_rounds_up_to_a_number_for_each_size(self):
        found = rounds(self.HEAD + "Rnds 2-3 (4, 5): Sc in each st around.")
        assert [r.sizes for r in found[1:]] == [(), (), (1, 2), (2,)]


class TestNotes:
    def test_words_behind_an_instruction(self):
        found = rounds(ONE + "Rnd 2: 2 sc in each st around. (12) Stuff lightly.\n"
                       "Rnd 3: Sc in each st around. Fasten off.")
        assert [[n.kind for n in r.notes] for r in found] == [[], ["stuff"], ["fasten_off"]]

    def test_a_note_after_rounds_of_one_label_stands_after_the_last(self):
        found = rounds(ONE + "Rnds 2-4: Sc in each st around. (6) Stuff.")
        assert [len(r.notes) for r in found] == [0, 0, 0, 1]


class TestLinesThatGoOn:
    @pytest.mark.parametrize("text", [
        "Rnd 2: (Sc in next st,\n2 sc in next st) 3 times. (9)",
        "Rnd 2: *Sc in next st, 2 sc in next st;\nrep from * around. (9)",
        "Rnd 2: *Sc in next st, 2 sc in next st;\n   rep from *\n   around.\n(9)",
        "Rnd 2: (Sc, inc)\nx 3 (9)",
        "Rnd 2:\n(Sc, inc) x 3 (9)",
        "Rnd 2: (Sc, inc) x 3\n(9)",
    ])
    def test_they_are_one_round(self, text):
        found = rounds(ONE + text + "\nRnd 3: Sc in each st around.")
        assert [r.number for r in found] == [1, 2, 3]
        assert [c.amount for c in found[1].stated] == [9]
        assert kinds(ONE + text) == []

    def test_a_word_cut_at_the_end_of_a_line(self):
        assert plain(rounds(ONE + "Rnd 2: Single cro-\nchet in each st around.")[1].body) == (around(SC),)


class TestSpans:
    def test_a_round_spans_its_line(self):
        text = ONE + "Rnd 2: 2 sc in each st around. (12)\n\nStuff.\n"
        assert [text[r.span.start:r.span.end] for r in rounds(text)] == ["Rnd 1: 6 sc in magic ring. (6)",
            "Rnd 2: 2 sc in each st around. (12)"]

    @given(st.lists(st.sampled_from(["Rnd 2: Sc in each st around. (6)", "Stuff.", "", "Rnds 3-5: Sc in each st.",
        "(12)", "Rep Rnd 2.", "Ch 4.", "rep from * around"]), max_size=8))
    def test_rounds_follow_one_another(self, lines):
        found = rounds(ONE + "\n".join(lines))
        starts = [r.span.start for r in found]
        assert starts == sorted(starts)


class TestParts:
    def test_numbers_that_begin_again_begin_a_part(self):
        parts = read("## Legs\n\nRnd 1: 6 sc in magic ring.\nRnd 2: Sc in each st.\n\n"
                     "Rnd 1: 5 sc in magic ring.\nRnd 2: Sc in each st.").parts
        assert [(p.name, [r.number for r in p.rounds]) for p in parts] == [("Legs", [1, 2]), ("Legs 2", [1, 2])]


def test_a_count_behind_a_full_stop_ends_a_round_that_has_no_label():
    part = read("MR, 6 sc. (6)\nInc in each st around (12).\n(Sc, inc) around. (18).\nSc in each st around.").parts[0]
    assert [[c.amount for c in r.stated] for r in part.rounds] == [[6], [12], [18], []]
    assert part.notes == () and not any(r.notes for r in part.rounds)


def test_what_is_turned_without_a_label_is_a_row():
    part = read("Ch 11.\nSc in 2nd ch from hook and in each ch across. Turn. (10)\nCh 1, sc in each st across. Turn.").parts[0]
    assert [(r.label, r.kind, [c.amount for c in r.stated]) for r in part.rounds] == [
        ("Row 1", "row", [10]), ("Row 2", "row", [])]
    assert [r.body[-1].kind for r in part.rounds] == ["turn", "turn"]
    assert part.notes == () and not any(r.notes for r in part.rounds)
