"""Steps in words: what is read out for chunks and whole rounds."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.fabric.tree import Leaf, Loop, Run, Top
from coach.language.phrasebook import load
from coach.language.steps import Steps
from coach.notation import read
from coach.notation.model import (
    NEXT,
    RING,
    SAME,
    Action,
    Chain,
    Evenly,
    Group,
    Into,
    Repeat,
    Skip,
    Span,
    Stitch,
    Times,
    Unread,
)

ENGLISH = Steps(load("en"))
BRITISH = Steps(load("en"), "UK")
SC, DC = Stitch("sc"), Stitch("dc")
CORNER = Into("space", corner=True)


def leaf(node, moves: int = 1) -> Leaf:
    return Leaf(node, takes=moves, makes=1, tops=(Top("sc"),))


@pytest.mark.parametrize("node, n, said", [
    (SC, 1, "single crochet"),
    (SC, 12, "single crochet in the next 12"),
    (Stitch("sc", RING), 6, "6 single crochet into the ring"),
    (Stitch("sc", Into("hook", 2)), 1, "single crochet in the second chain from the hook"),
    (Stitch("dc", Into("hook", 4)), 1, "double crochet in the fourth chain from the hook"),
    (Stitch("sc", Into("chain")), 18, "single crochet in the next 18 chains"),
    (Stitch("sc", Into("space")), 1, "single crochet in the next space"),
    (Stitch("sc", Into("space")), 4, "single crochet in each of the next 4 spaces"),
    (Stitch("dc", Into("space", 2)), 1, "double crochet in the next chain 2 space"),
    (Stitch("dc", SAME), 1, "double crochet in the same place"),
    (Stitch("sc", loop="back"), 1, "single crochet in the back loop"),
    (Stitch("sc", loop="front"), 9, "single crochet in the front loop of the next 9"),
    (Stitch("dc", loop="front post"), 2, "double crochet around the front post of the next 2"),
    (Stitch("fpdc", loop="front post"), 2, "front post double crochet in the next 2"),
    (Stitch("slst", Into("first")), 1, "slip stitch in the first stitch"),
    (Stitch("slst", Into("first"), "back"), 1, "slip stitch in the back loop in the first stitch"),
    (Stitch("dc", Into("tch")), 1, "double crochet in the top of the turning chain"),
    (Stitch("dc", Into("between")), 1, "double crochet between the next two stitches"),
    (Stitch("inc"), 1, "increase"),
    (Stitch("inc"), 6, "increase in each of the next 6"),
    (Stitch("hdcinc"), 1, "2 half double crochet in the next stitch"),
    (Stitch("inc3"), 4, "3 single crochet in each of the next 4"),
    (Stitch("sc2tog"), 1, "decrease"),
    (Stitch("invdec"), 6, "invisible decrease 6 times"),
    (Stitch("dc2tog"), 2, "double crochet two together 2 times"),
    (Stitch("sc5tog"), 1, "single crochet 5 together"),
    (Stitch("wave stitch"), 1, "wave stitch"),
    (Group((SC, SC)), 1, "increase"),
    (Group((SC, SC)), 6, "increase in each of the next 6"),
    (Group((DC, DC)), 1, "2 double crochet in the next stitch"),
    (Group((SC, SC, SC)), 2, "3 single crochet in each of the next 2"),
    (Group((SC,) * 6, RING), 1, "6 single crochet into the ring"),
    (Group((DC,) * 3, Into("space")), 4, "3 double crochet in each of the next 4 spaces"),
    (Group((Stitch("sc", loop="back"),) * 2), 1, "2 single crochet in the back loop"),
    (Group((DC, DC, Chain(2), DC, DC), CORNER), 1,
     "2 double crochet, chain 2, 2 double crochet, all in the corner space"),
    (Group((Repeat((DC, DC, DC, Chain(2)), Times("exact", 4)),), RING), 1,
     "4 times over, double crochet in the next 3, then chain 2, all into the ring"),
    (Chain(20), 1, "chain 20"),
    (Chain((20, 24, 28)), 1, "chain 20, 24, 28"),
    (Chain(3, counts=True, stands_for="dc"), 1, "chain 3, which counts as double crochet"),
    (Chain(2, counts=True), 1, "chain 2, which counts as a stitch"),
    (Chain(1, counts=False), 1, "chain 1"),
    (Skip(1), 1, "skip a stitch"),
    (Skip(2), 1, "skip 2 stitches"),
    (Skip(1), 3, "skip 3 stitches"),
    (Skip(1, "chain"), 1, "skip a chain"),
    (Skip(what="rest"), 1, "leave the rest unworked"),
    (Skip(first=True), 1, "skip the first stitch"),
    (Skip(2, first=True), 1, "skip the first 2 stitches"),
    (Evenly("inc", 6), 1, "increase 6 times, evenly spread"),
    (Evenly("dec", 4), 1, "decrease 4 times, evenly spread"),
    (Action("turn"), 1, "turn"),
    (Action("join"), 1, "join with a slip stitch"),
    (Action("join", "ring"), 1, "join into a ring with a slip stitch"),
    (Action("ring"), 1, "make a magic ring"),
    (Action("fasten_off"), 1, "fasten off"),
    (Action("colour", "orange"), 1, "change to orange"),
    (Action("colour"), 1, "change color"),
    (Action("colour", "with a"), 1, "change to A"),
    (Action("colour", "change to b in the last st"), 1, "change to B"),
    (Action("colour", "cc :"), 1, "change to CC"),
    (Action("colour", "drop b"), 1, "drop B"),
    (Group((Repeat((DC,), Times("exact", 2)), Chain(2), Repeat((DC,), Times("exact", 2))), Into("space", 2)), 1,
     "2 double crochet, chain 2, 2 double crochet, all in the next chain 2 space"),
    (Action("marker"), 1, "place a marker"),
    (Action("note", "feel for the ridge"), 1, "feel for the ridge"),
    (Unread("wave the yarn"), 1, "as written, wave the yarn"),
    (Repeat((SC, Chain(1)), Times("exact", 6)), 1, "6 times over, single crochet, then chain 1"),
    (Repeat((SC,), Times("fill", 2)), 1, "single crochet, until 2 are left"),
    (Repeat((SC,), Times("fill", 0)), 1, "single crochet, all the way to the end"),
    (Repeat((SC,), Times("space")), 1, "single crochet, up to the next space"),
    (Repeat((SC,), Times("made", 18)), 1, "single crochet, until you have 18"),
])
def test_a_step(node, n, said):
    assert ENGLISH.step(node, n) == said


def test_in_british_terms_the_same_stitch_has_its_other_name():
    assert BRITISH.step(SC, 3) == "double crochet in the next 3"
    assert BRITISH.step(Group((DC, DC))) == "2 treble crochet in the next stitch"
    assert BRITISH.step(Group((SC, SC))) == "increase"


@pytest.mark.parametrize("trees, said", [
    ((Loop(leaf(SC), 2), leaf(Stitch("inc"))), "Single crochet in the next 2, then increase"),
    ((leaf(SC), leaf(SC), leaf(SC)), "Single crochet in the next 3"),
    ((leaf(Stitch("sc", span=Span(1, 3))), leaf(Stitch("sc", span=Span(5, 7)))), "Single crochet in the next 2"),
    ((leaf(Chain(3)), leaf(SC), leaf(Action("turn"))), "Chain 3, single crochet, then turn"),
    ((Loop(Run((Loop(leaf(SC), 2), leaf(Stitch("inc")))), 6),), "6 times: single crochet in the next 2, then increase"),
    ((leaf(SC), Loop(Run((leaf(SC), leaf(Stitch("invdec")))), 4), leaf(Action("join"))),
     "Single crochet. 4 times: single crochet, then invisible decrease. Join with a slip stitch"),
    ((Loop(Run((leaf(SC), Loop(Run((leaf(Chain(1)), leaf(DC))), 3))), 2),),
     "2 times: single crochet, then 3 times over, chain 1, then double crochet"),
    ((Loop(Run((leaf(SC), leaf(DC))), 1),), "Single crochet, then double crochet"),
    ((Loop(Loop(leaf(SC), 3), 4),), "Single crochet in the next 12"),
    ((Leaf(Chain(1), steps=0), leaf(SC)), "Single crochet"),
    ((Leaf(None),), ""),
    ((Loop(leaf(Stitch("dc", Into("space")), moves=0), 3),), "3 double crochet in the next space"),
    (tuple(leaf(n) for n in (SC, DC, Chain(1), Chain(2), Action("turn"))),
     "Single crochet, double crochet, chain 1, then chain 2. Turn"),
])
def test_a_passage(trees, said):
    assert ENGLISH.trees(trees) == said


@pytest.mark.parametrize("trees, said", [
    ((Loop(Leaf(Stitch("sc")), 2), Leaf(Group((Stitch("sc"), Stitch("sc"))))), "2 single crochet, increase"),
    ((Leaf(Group((Stitch("hdc"), Stitch("hdc")))),), "increase"),
    ((Leaf(Stitch("sc", Into("space"))), Leaf(Stitch("sc2tog"))), "single crochet, decrease"),
    ((Leaf(Group((Stitch("dc"),) * 5)),), "group of 5"),
    ((Leaf(Group((Stitch("dc"), Stitch("dc"), Chain(2), Stitch("dc"), Stitch("dc")), Into("space"))),), "group of 4"),
    ((Leaf(Chain(3)), Leaf(Action("turn"))), "chain 3, turn"),
])
def test_in_brief_for_who_has_heard_it_in_full(trees, said):
    assert ENGLISH.brief(trees) == said


@pytest.mark.parametrize("takes, makes, said", [
    (1, 2, "increase"), (1, 3, "increase"), (1, 5, "group of 5"), (2, 1, "decrease"), (3, 1, "decrease"),
])
def test_a_shaping_has_a_short_name(takes, makes, said):
    assert ENGLISH.shaping(Leaf(Stitch("sc"), takes=takes, makes=makes)) == said


def test_increasing_six_times_and_a_repeat_that_ends_with_an_increase_sound_different():
    several = Run((Loop(leaf(SC), 2), Loop(leaf(Stitch("inc")), 6)))
    repeat = Loop(Run((Loop(leaf(SC), 2), leaf(Stitch("inc")))), 6)
    assert ENGLISH.trees((several,)) == "Single crochet in the next 2, then increase in each of the next 6"
    assert ENGLISH.trees((repeat,)) == "6 times: single crochet in the next 2, then increase"


def test_a_foundation_as_written():
    assert ENGLISH.nodes((Chain(4), Action("join"))) == "Chain 4, then join with a slip stitch"


@pytest.mark.parametrize("below, line, said", [
    (5, "5-dc shell in next st, sk 4 sts", "5 double crochet shell, then skip 4 stitches"),
    (2, "7-dc shell in next st, 4-dc bobble in next st", "7 double crochet shell, then 4 double crochet bobble"),
    (3, "sc 3, sl st in top of ch 3", "Single crochet in the next 3, then join with a slip stitch in the top of the chain 3"),
    (3, "sc 3, join with sl st in top of beg ch-3", "Single crochet in the next 3, then join with a slip stitch in the top of the chain 3"),
    (3, "sc 3, sl st in 3rd ch of beg ch-5", "Single crochet in the next 3, then join with a slip stitch in the third chain"),
    (3, "sc 3, join with sl st in first sc", "Single crochet in the next 3, then join with a slip stitch"),
    (2, "ch 4 (counts as dc and ch 1), dc", "Chain 4, which counts as double crochet and chain 1, then double crochet"),
    (2, "ch 5 counts as dc and ch 2, dc", "Chain 5, which counts as double crochet and chain 2, then double crochet"),
])
def test_no_number_and_no_place_of_a_line_is_lost(below, line, said):
    (part,) = work(read(f"Rnd 1: {below} sc in magic ring.\nRnd 2: {line}.\n")).parts
    assert ENGLISH.trees((part.rounds[1].tree,)) == said


def test_the_last_chain_is_called_so():
    (part,) = work(read("Ch 4.\nRow 1: Sc in 2nd ch from hook, sc in next ch, 3 sc in last ch.\n")).parts
    assert ENGLISH.trees((part.rounds[0].tree,)).endswith("3 single crochet in the last chain")


def test_a_foundation_says_what_its_skipped_chains_count_as():
    (row,) = read("Ch 20.\nRow 1: Dc in 4th ch from hook (skipped chs count as dc) and in each ch across.\n").parts[0].rounds
    assert ENGLISH.nodes(row.foundation) == "Chain 20. The chains you skip count as double crochet"


def test_a_thousand_million_stitches_are_one_phrase():
    assert ENGLISH.trees((Loop(Loop(leaf(SC), 10**5), 10**4),)) == "Single crochet in the next 1000000000"


def test_every_kind_of_place_has_words():
    kinds = ("next", "same", "ring", "space", "hook", "chain", "first", "last", "between", "tch", "join")
    assert len({ENGLISH.place(Into(kind)) for kind in kinds}) == len(kinds)
    assert ENGLISH.place(Into("next", corner=True)) == "in the corner space"
    assert ENGLISH.place(Into("next", stitch="sc", corner=True)) == "in the corner stitch"
    assert ENGLISH.place(NEXT) == "in the next stitch"
