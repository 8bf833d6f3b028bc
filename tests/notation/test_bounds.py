"""The bounds of one round, how long and how deep it may be, and of the rounds that a text does not write out."""

from __future__ import annotations

import pytest

from coach.notation import read
from coach.notation.bounds import DEPTH, LONGEST_ROUND, MOST_UNWRITTEN, Room, too_deep
from coach.notation.model import Group, Repeat, Stitch, Times

SC = Stitch("sc")
START = "Rnd 1: 6 sc in magic ring. (6)\n"


def nested(depth: int) -> Repeat | Stitch:
    node = SC
    for n in range(depth):
        node = Group((node,)) if n % 2 else Repeat((node,), Times("exact", 2))
    return node


@pytest.mark.parametrize(("depth", "deep"), [(0, False), (1, False), (2 * DEPTH - 1, False), (2 * DEPTH, True),
    (5000, True)])
def test_how_deep_is_too_deep(depth, deep):
    assert too_deep([SC, nested(depth), SC]) is deep


@pytest.mark.parametrize("depth", [1, 5, DEPTH])
def test_as_many_brackets_as_that_are_read(depth):
    assert not read(START + "Rnd 2: " + "(" * depth + "sc" + ") x 2" * depth).faults


def test_one_more_is_a_fault_and_the_next_round_is_read():
    pattern = read(START + "Rnd 2: " + "(" * (DEPTH + 1) + "sc" + ")" * (DEPTH + 1) + "\nRnd 3: Sc in each st around.")
    assert [(f.kind, f.line) for f in pattern.faults] == [("bracket", 2)]
    assert pattern.parts[0].rounds[2].body


def test_a_round_is_read_up_to_its_longest_and_what_is_left_out_is_told_where_it_starts():
    line = "Rnd 2: " + "sc, " * LONGEST_ROUND
    (fault,) = read(f"{START}{line}\nRnd 3: Sc in each st around.").faults
    assert (fault.kind, fault.line, fault.severity) == ("long", 2, "error")
    assert fault.column == len("Rnd 2: ") + LONGEST_ROUND + 1


def test_the_longest_round_that_is_allowed_is_read_whole():
    assert not read(START + "Rnd 2: " + "sc, " * (LONGEST_ROUND // 4)).faults


@pytest.mark.parametrize(("numbers", "kept", "left"), [
    ((), (), 3), ((2,), (2,), 3), ((2, 3), (2, 3), 2), ((2, 3, 4, 5), (2, 3, 4, 5), 0),
    ((2, 3, 4, 5, 6), (2, 3, 4, 5), 0)])
def test_the_first_round_of_a_label_is_written_and_takes_no_room(numbers, kept, left):
    room = Room(3)
    assert (room.take(numbers), room.left) == (kept, left)


def test_without_room_each_label_is_still_a_round():
    room = Room(0)
    assert [room.take((n, n + 1)) for n in (2, 4)] == [(2,), (4,)]


@pytest.mark.parametrize("line", [
    "Rnds 2-9999: Sc in each st around.", "Rnd 2: Sc in each st around.\nRep Rnd 2 9999 times."])
def test_rounds_beyond_it_are_left_out_and_that_is_told(line):
    pattern = read(START + line)
    assert [f.kind for f in pattern.faults] == ["repeat"]
    assert MOST_UNWRITTEN <= len(pattern.parts[0].rounds) <= MOST_UNWRITTEN + 3


def test_the_parts_of_a_text_share_it():
    long = START + "Rnds 2-4000: Sc in each st.\n\n"
    fin, tail = (len(part.rounds) for part in read(f"## Fin\n{long}## Tail\n{long}").parts)
    assert fin == 4000 and fin + tail == MOST_UNWRITTEN + 4
