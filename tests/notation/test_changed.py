"""Rounds as another one but for something."""

from __future__ import annotations

import pytest
from passages import plain

from coach.fabric import work
from coach.notation import read
from coach.notation.changed import Change, changed, read_change
from coach.notation.lexer import fold, tokens
from coach.notation.model import Action, Chain, Group, Into, Repeat, Skip, Stitch, Times

SC, DC = Stitch("sc"), Stitch("dc")
NAMED = Into("named", words="under arm")


def change(words: str) -> Change | None:
    return read_change(tokens(fold(words), 0, "UK"), words)


READ = [
    (", with 5 white instead of 3", Change(colour="white", number=5, instead=3)),
    (", with 15 white.", Change(colour="white", number=15)),
    (", having 6 doubles instead of 4", Change(stitch="sc", number=6, instead=4)),
    (", making 1 extra double each side of center, each row", Change(stitch="sc", extra=1)),
    (", with 2 extra doubles on each side of the middle", Change(stitch="sc", extra=2)),
    (", with 3 extra trebles under arm", Change(stitch="dc", extra=3, into=NAMED)),
    (". The 2 treble always in 1 chain", Change(stitch="dc", into=Into("space", 1))),
    ("--the 1 double always on the 3rd chain", Change(stitch="sc", into=Into("space", words="on the 3rd chain"))),
]


@pytest.mark.parametrize(("words", "expected"), READ)
def test_read(words: str, expected: Change):
    assert change(words) == expected


@pytest.mark.parametrize("words", ["", ", making 48 trebles", ", but with more care", ". Turn.", ", with red", "(18)",
    ", with 5 of them", ". The jacket is now ready."])
def test_what_tells_no_change(words: str):
    assert change(words) is None


def times(n: int, stitch: Stitch = SC) -> Repeat:
    return Repeat((stitch,), Times("exact", n))


def test_the_number_of_one_colour():
    body = (Repeat((Action("colour", "with red"), SC, Action("colour", "with white"), times(3)), Times("exact", 6)),)
    (new,) = changed(body, Change(colour="white", number=5, instead=3), 1)
    assert new.body[3] == times(5)


def test_a_number_that_is_not_there_or_comes_twice_changes_nothing():
    body = (Action("colour", "with white"), times(3), Chain(1), times(3))
    assert changed(body, Change(colour="white", number=5, instead=4), 1) is None
    assert changed(body, Change(colour="white", number=5), 1) is None
    assert changed(body, Change(stitch="dc", number=5), 1) is None


@pytest.mark.parametrize(("time", "side"), [(1, 11), (2, 12), (5, 15)])
def test_each_row_grows_on_both_sides_of_its_middle(time: int, side: int):
    middle = Group((SC, SC, SC))
    assert changed((times(10), middle, times(10)), Change(stitch="sc", extra=1), time) == (
        times(side), middle, times(side))


def test_without_a_middle_nothing_grows():
    assert changed((times(10), times(10)), Change(stitch="sc", extra=1), 1) is None


def test_more_in_a_place():
    around = Repeat((DC,), Times("fill", 0, said=False))
    assert plain(changed((around,), Change(stitch="dc", extra=3, into=NAMED), 1)) == (
        around, Repeat((Stitch("dc", NAMED),), Times("exact", 3)))


def test_a_stitch_in_another_place_is_reached_without_skipping():
    space = Into("space")
    body = (Repeat((SC, Chain(5), Skip(1)), Times("exact", 6)),)
    assert changed(body, Change(stitch="sc", into=space), 1) == (
        Repeat((Stitch("sc", space), Chain(5)), Times("exact", 6)),)
    assert changed((times(2), Chain(1)), Change(stitch="sc", into=space), 1) == (
        Group((times(2),), space), Chain(1))
    assert changed((Chain(3),), Change(stitch="sc", into=space), 1) is None


def test_in_a_pattern_a_changed_round_is_not_called_the_same():
    fabric = work(read("UK terms.\nCh 7.\n1st row: Dc in 2nd ch from hook, 1 dc in each of the next 5 ch, turn.\n"
        "2nd row: 2 dc in 2 sts, 3 dc in next, 1 dc in 3 sts, turn.\n3rd row: Same as 1st row, turn."))
    assert fabric.parts[0].rounds[2].source.same_as == "Row 1"
    fabric = work(read("Chain 12, turn.\n1. Miss 1, 5 doubles, 3 doubles in next, 5 doubles, turn.\n"
        "2. 6 doubles in 6 doubles, 3 doubles in next, 6 doubles in 6 doubles, turn.\n"
        "3, 4. Same as 2d row, making 1 extra double each side of center, each row."))
    assert [r.made for r in fabric.parts[0].rounds] == [13, 15, 17, 19]
    assert [r.source.same_as for r in fabric.parts[0].rounds[2:]] == [None, None]
    assert fabric.faults == ()


@pytest.mark.parametrize("otherwise", ["ending last rep with sc in last st", "ending with 2 sc in last st",
                                       "finishing with an increase", "except the last 2 sts"])
def test_what_is_otherwise_than_in_the_row_it_repeats_is_a_fault_where_it_is_not_read(otherwise: str):
    pattern = read(f"Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st. (12)\nRnd 3: As Rnd 2, {otherwise}.\n")
    (fault,) = [f for f in pattern.faults if f.kind == "unknown"]
    assert otherwise in fault.message and "Rnd 2" in fault.message and fault.line == 3
