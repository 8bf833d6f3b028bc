"""What the first round stands on: rings, chains, both sides of a chain, foundation stitches."""

from __future__ import annotations

import pytest
from worked import kinds, made, rounds, steps, takes

from coach.fabric.foundation import begun_with, first_place, lay
from coach.notation import read
from coach.notation.model import RING
from coach.notation.walk import walk

# Chains a row starts with, and whether they count as its first stitch: chain-and-turn tables of teaching pages
# (Crochet Guild of America, lesson 1997, for the turning chains; common practice, no source, for what counts).
TURNING = [
    # chain, first stitch goes into, stitches in the row
    (21, "Sc in 2nd ch from hook, sc in next 19 chs", 20),
    (22, "Dc in 4th ch from hook, dc in next 18 chs", 20),
    (23, "Tr in 5th ch from hook, tr in next 18 chs", 20),
    (24, "Dtr in 6th ch from hook, dtr in next 18 chs", 20),
    (21, "Sc in 2nd ch from hook and in each ch across", 20),
    (22, "Dc in 4th ch from hook and in each ch across", 20),
    (23, "Tr in 5th ch from hook and in each ch across", 20),
    (22, "Hdc in 3rd ch from hook and in each ch across (beg ch does not count as a st)", 20),
    (22, "Hdc in 3rd ch from hook (beg ch does not count as a st) and in each ch across", 20),
    (22, "Hdc in 3rd ch from hook and in each ch across", 20),
    (11, "Sc in 2nd ch from hook and in each ch across", 10),
    (31, "Sc in 2nd ch from hook and in each ch to end", 30),
    (2, "Sc in 2nd ch from hook", 1),
]


@pytest.mark.parametrize(("chain", "row", "stitches"), TURNING)
def test_a_row_of_a_chain(chain, row, stitches):
    text = f"Ch {chain}.\nRow 1: {row}, turn. ({stitches})"
    assert made(text) == [stitches]
    assert kinds(text) == []


@pytest.mark.parametrize("stitch, hook, chain", [("sc", "2nd", 1), ("dc", "4th", 2), ("tr", "5th", 3)])
@pytest.mark.parametrize("stitches", [2, 3, 7, 20, 144])
def test_chain_and_turn_arithmetic(stitch, hook, chain, stitches):
    """A row of n needs a chain of n + 1 in single crochet, n + 2 in double, n + 3 in treble."""
    text = f"Ch {stitches + chain}.\nRow 1: {stitch} in {hook} ch from hook and in each ch across. ({stitches})"
    assert made(text) == [stitches]
    assert kinds(text) == []


class TestRings:
    @pytest.mark.parametrize("start", [
        "6 sc in magic ring.",
        "Magic ring, 6 sc in ring.",
        "Magic ring, ch 1, 6 sc in ring.",
        "6 sc into a magic circle.",
        "MR, 6 sc.",
        "MR 6",
        "In an adjustable ring, work 6 sc.",
        "In a magic ring, work 6 sc.",
        "Ch 2, 6 sc in 2nd ch from hook.",
        "Ch 4, join with sl st in first ch to form a ring, 6 sc in ring.",
        "Ch 4, sl st in first ch to form a ring, ch 1, 6 sc in ring.",
    ])
    def test_six_into_a_ring(self, start):
        assert made(f"Rnd 1: {start}\nRnd 2: 2 sc in each st around. (12)") == [6, 12]

    def test_a_ring_made_on_a_line_of_its_own(self):
        text = "Ch 4, sl st in first ch to form a ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring, join. (12)"
        assert made(text) == [12]
        assert kinds(text) == []

    def test_a_ring_is_never_used_up(self):
        first = rounds("Rnd 1: 24 sc in magic ring. (24)")[0]
        assert (first.takes, first.base) == (0, 0)

    def test_how_often_in_a_ring_must_be_said(self):
        assert kinds("Magic ring.\nRnd 1: (2 dc, ch 2) around.") == ["repeat"]


class TestChains:
    def test_a_row_takes_up_its_chain(self):
        row = rounds("Ch 15.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (14)")[0]
        assert (row.takes, row.base) == (14, 14)

    def test_the_chain_may_be_too_short(self):
        assert kinds("Ch 10.\nRow 1: Sc in 2nd ch from hook, sc in next 10 chs, turn.") == ["short"]

    def test_the_chain_may_be_too_long(self):
        assert kinds("Ch 15.\nRow 1: Sc in 2nd ch from hook, sc in next 10 chs, turn.") == ["leaves"]

    def test_skipped_chains_that_count_stand_as_a_stitch_of_the_row(self):
        row2 = rounds("Ch 22.\nRow 1: Dc in 4th ch from hook and in each ch across, turn. (20)\n"
                      "Row 2: Ch 3, dc in next 19 sts, turn. (20)")[1]
        assert (row2.takes, row2.made, row2.base) == (20, 20, 20)

    def test_what_the_pattern_says_of_them_goes_before_the_practice(self):
        said = ("Ch 21.\nRow 1: Dc in 4th ch from hook (skipped chs do not count as a st) "
                "and in each ch across, turn. (18)")
        assert made(said) == [18]

    def test_a_joined_chain_is_worked_all_around(self):
        text = "Ch 30, join with sl st to form a ring.\nRnd 1: Ch 1, sc in each ch around, join. (30)"
        assert made(text) == [30]
        assert takes(text) == [30]

    def test_the_number_of_chains_is_settled_by_the_count(self):
        """The text leaves open whether a chain is for turning: the stated count tells."""
        assert made("Ch 20.\nRow 1: Sc in each ch across. (20)") == [20]
        assert made("Ch 21.\nRow 1: Sc in each ch across. (20)") == [20]

    @pytest.mark.parametrize(("chain", "first", "loops"), [(52, 4, 12), (41, 5, 9)])
    def test_mesh(self, chain, first, loops):
        """(chain - first) / 4 loops: The Handbook of Wool Knitting and Crochet, 1918, and a work-book of the 1850s."""
        text = (f"Ch {chain}.\nRow 1: Sc in {first}th ch from hook, "
                f"*ch 5, sk next 3 chs, sc in next ch; rep from * across.")
        assert rounds(text)[0].tree.tally["space 5"] == loops
        assert kinds(text) == []


class TestBothSides:
    @pytest.mark.parametrize("chain", [5, 9, 21])
    def test_an_oval(self, chain):
        """Three in each end: twice the chain between them and six (arithmetic)."""
        n = chain - 3
        text = (f"Ch {chain}.\nRnd 1: 2 sc in 2nd ch from hook, sc in next {n} chs, 3 sc in last ch, "
                f"on other side of ch: sc in next {n} chs, sc in last ch. ({2 * n + 6})")
        assert made(text) == [2 * n + 6]
        assert kinds(text) == []

    def test_the_sole_of_a_slipper(self):
        """33 chains and one to turn, three in each end: 68 (The Handbook of Wool Knitting and Crochet, 1918)."""
        text = ("Ch 34.\nRnd 1: 3 sc in 2nd ch from hook, sc in next 31 chs, 3 sc in last ch, "
                "on other side of ch: sc in next 31 chs. (68)")
        assert made(text) == [68]
        assert kinds(text) == []

    def test_chains_left_before_the_other_side_are_a_fault(self):
        text = ("Ch 11.\nRnd 1: Sc in 2nd ch from hook, sc in next 5 chs, 3 sc in next ch, "
                "on other side of ch: sc in next 8 chs.")
        assert "leaves" in kinds(text)


class TestFoundationStitches:
    def test_a_row_without_a_chain(self):
        text = "Fsc 24, turn.\nRow 1: Ch 1, sc in each st across, turn. (24)"
        assert made(text) == [24]
        assert takes(text) == [24]

    def test_a_taller_one(self):
        assert made("Fdc 16, turn.\nRow 1: Ch 3 (counts as dc), dc in next 15 sts, turn. (16)") == [16]


class TestFirstPlace:
    @pytest.mark.parametrize(("line", "kind", "number", "stitch"), [
        ("6 sc in magic ring.", "ring", 0, "sc"),
        ("Dc in 4th ch from hook and in each ch across.", "hook", 4, "dc"),
        ("2 hdc in 3rd ch from hook.", "hook", 3, "hdc"),
    ])
    def test_where_the_first_stitch_goes(self, line, kind, number, stitch):
        body = read(f"Ch 20.\nRow 1: {line}").parts[0].rounds[0].body
        assert first_place(body) == (kind, number, stitch)

    def test_there_is_none_without_a_stitch(self):
        assert first_place(()) is None

    def test_walk_gives_every_node_outer_ones_first(self):
        body = read("Rnd 1: 6 sc in magic ring.\nRnd 2: (Sc, (dc, ch 1) in next st) x 3").parts[0].rounds[1].body
        names = [type(node).__name__ for node in walk(body)]
        assert names == ["Repeat", "Stitch", "Group", "Stitch", "Chain"]


class TestLay:
    def first(self, text: str):
        return read(text).parts[0].rounds[0]

    def test_a_ring(self):
        assert lay(self.first("Rnd 1: 6 sc in magic ring."), "sc", 0, 0, None).base.is_ring

    def test_a_chain_less_the_chains_skipped(self):
        laid = lay(self.first("Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across."), "sc", 0, 0, None)
        assert (laid.base.tops, laid.limit, laid.standing) == (20, None, None)

    def test_skipped_chains_stand_where_they_count(self):
        row = self.first("Ch 22.\nRow 1: Dc in 4th ch from hook and in each ch across.")
        assert lay(row, "dc", 0, 0, None).standing.tally == {"dc": 1}
        assert lay(row, "dc", 0, 0, False).standing is None

    def test_both_sides_share_the_end_of_the_chain(self):
        laid = lay(self.first("Ch 11.\nRnd 1: Sc in 2nd ch from hook, sc in next 8 chs, 3 sc in last ch, "
                              "on other side of ch: sc in next 9 chs."), "sc", 0, 0, None)
        assert (laid.limit, laid.base.tops) == (10, 19)

    def test_a_number_for_each_size(self):
        row = self.first("Sizes: S (M, L)\n\nCh 11 (13, 15).\nRow 1: Sc in 2nd ch from hook and in each ch across.")
        assert [lay(row, "sc", size, 0, None).base.tops for size in range(3)] == [10, 12, 14]

    def test_no_start_at_all_is_not_known(self):
        assert not lay(self.first("Rnd 1: Sc in each st around. (24)"), "sc", 0, 0, None).known


@pytest.mark.parametrize("start", ["MR 6 sc", "Magic ring, 6 sc", "Start with a magic ring, 6 sc", "Rnd 1: MR, sc 6", "Rnd 1: MR 6",
                                   "Rnd 1: MR, sc 2, sc 4", "Rnd 1: 6 sc in MR"])
def test_what_a_round_makes_from_a_magic_ring_goes_into_the_ring(start):
    round = rounds(f"{start}. (6)\nRnd 2: Sc in each st around. (6)")[0]
    assert {step.node.into for step in steps(round) if step.makes} == {RING}


def test_a_slip_stitch_behind_it_still_joins_it():
    round = rounds("Rnd 1: MR, ch 1, sc 6, sl st in first sc. (6)")[0]
    assert (round.made, round.faults) == (6, ())


def test_only_the_first_round_begins_with_a_ring():
    text = "Rounds 1 - 2 (2 rounds): sc 6 in MR. (6)"
    assert [[n.kind for n in begun_with(round)] for round in rounds(text)] == [["ring"], []]
    assert kinds(text) == ["ring_again"]
