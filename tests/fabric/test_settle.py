"""What can be read in two ways, settled by the stitches and the stated count, and said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import after, fabric, flat, kinds, made, rounds, takes

from coach.fabric.settle import main_stitch
from coach.notation import read


class TestReadings:
    def test_six_more_or_six_in_all_is_settled_by_the_count(self):
        in_all = rounds(after(12, "*Sc, inc; rep from * 6 times. (18)"))[1]
        assert (in_all.made, in_all.takes) == (18, 12)
        more = rounds(after(14, "*Sc, inc; rep from * 6 times. (21)"))[1]
        assert (more.made, more.takes) == (21, 14)

    def test_and_it_says_which(self):
        (said,) = rounds(after(12, "*Sc, inc; rep from * 6 times. (18)"))[1].readings
        assert said == "The repeat is worked 6 times in all, since that uses 12 stitches and gives 18"

    def test_what_fits_without_a_count_is_taken(self):
        assert kinds(after(12, "*Sc, inc; rep from * 6 times.")) == []

    def test_where_nothing_settles_it_there_is_a_warning_with_both(self):
        text = "Rnd 1: *2 dc in ring, ch 2; rep from * 3 times, join.\n"
        faults = fabric("Ch 4, join with sl st to form a ring.\n" + text).faults
        assert [(f.kind, f.severity) for f in faults] == [("ambiguous", "warning")]
        assert "3" in faults[0].message and "4" in faults[0].message

    def test_words_that_leave_nothing_open_need_no_settling(self):
        for words in ("5 more times", "around", "until end"):
            assert all(not r.readings for r in rounds(after(12, f"*Sc, inc; rep from * {words}.")))

    def test_whether_a_starting_chain_counts_is_settled_by_the_count(self):
        counts = after(12, "Ch 3, dc in each of next 11 sts, join. (12)")
        not_ = after(12, "Ch 3, dc in each of next 12 sts, join. (12)")
        assert made(counts)[1] == made(not_)[1] == 12
        assert kinds(counts) == kinds(not_) == []

    def test_what_the_pattern_said_once_holds_for_the_rounds_after(self):
        text = after(12, "Ch 2 (counts as hdc), hdc in next 11 sts, join. (12)", "Ch 2, hdc in next 11 sts, join. (12)")
        assert made(text) == [12, 12, 12]

    @given(st.integers(2, 12), st.integers(0, 6), st.booleans())
    def test_of_two_readings_the_one_that_fits_is_found(self, times, plain, more):
        """`rep from * n times` on n or on n + 1 times the stitches that it takes."""
        inside = f"Sc {plain}, inc" if plain > 1 else "Sc, inc" if plain else "Inc"
        worked = times + more
        text = after(worked * (plain + 1), f"*{inside}; rep from * {times} times.")
        assert made(text)[1] == worked * (plain + 2)
        assert kinds(text) == []


class TestMainStitch:
    @pytest.mark.parametrize(("line", "stitch"), [
        ("Sc in each st around.", "sc"), ("Ch 3, dc in next 11 sts.", "dc"), ("(Hdc, 2 hdc in next st) x 6.", "hdc"),
        ("Dc2tog around.", "dc"), ("Ch 4, tr in each st.", "tr"), ("Sl st in next st.", "sc"), ("Ch 2.", "sc"),
    ])
    def test_the_stitch_that_gives_the_round_its_height(self, line, stitch):
        assert main_stitch(read(after(12, line)).parts[0].rounds[1]) == stitch


class TestWhatIsNotKnown:
    """A round whose base is not known is not blamed for it."""

    def test_a_text_that_begins_in_the_middle(self):
        text = "Rnd 7: (Sc 4, inc) 6 times. (36)\nRnd 8: Sc in each st around. (36)"
        assert made(text) == [36, 36]
        assert kinds(text) == []

    def test_its_own_arithmetic_is_still_checked(self):
        assert kinds("Rnd 7: (Sc 4, inc) 6 times. (35)") == ["count"]

    def test_above_a_round_that_is_not_understood_nothing_is_said(self):
        text = after(12, "Frobnicate twice, sc 10. (12)", "Sc in each st around. (12)")
        assert [f.line for f in fabric(text).faults] == [2]

    def test_the_count_of_a_plain_round_says_what_was_below(self):
        assert takes("Rnd 7: Sc in each st around. (36)") == [36]


class TestFoundations:
    @pytest.mark.parametrize("chain", [20, 21])
    def test_a_chain_with_or_without_one_to_turn(self, chain):
        text = f"Ch {chain}.\nRow 1: Sc in each ch across. (20)"
        assert made(text) == [20] and kinds(text) == []

    @pytest.mark.parametrize("stated", [19, 20])
    def test_skipped_chains_of_half_doubles_count_or_not(self, stated):
        """`hdc in 3rd ch from hook`: patterns differ, and the stated count tells."""
        text = f"Ch 21.\nRow 1: Hdc in 3rd ch from hook and in each ch across, turn. ({stated})"
        assert made(text) == [stated] and kinds(text) == []


class TestStartingChains:
    @pytest.mark.parametrize(("stitch", "chain"), [("hdc", 2), ("dc", 3), ("tr", 4)])
    @given(n=st.integers(3, 40), counts=st.booleans())
    def test_as_the_count_says(self, stitch, chain, n, counts):
        worked = n - 1 if counts else n
        text = flat(n, f"Ch {chain}, {stitch} in next {worked} sts, turn. ({n})")
        assert made(text)[1] == n
        assert kinds(text) == []


class TestOneInEachOrAll:
    """`3 sc in next 3 sts`."""

    @pytest.mark.parametrize("stated", [12, 18])
    def test_the_count_tells(self, stated):
        text = after(12, f"Sc in next 9 sts, 3 sc in next 3 sts. ({stated})")
        assert made(text)[1] == stated
        assert kinds(text) == []

    def test_without_a_count_it_is_a_warning_and_one_is_taken(self):
        text = after(12, "Sc in next 9 sts, 3 sc in next 3 sts.")
        assert made(text)[1] == 12
        assert [(f.kind, f.severity) for f in fabric(text).faults] == [("ambiguous", "warning")]
