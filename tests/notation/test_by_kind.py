"""What each kind of stitch of the round below is worked with: they take turns as those below come."""

from __future__ import annotations

import pytest
from passages import body, kinds, rounds, st, times

from coach.fabric import work
from coach.notation import read
from coach.notation.by_kind import BY_KIND, by_kind
from coach.notation.model import Chain, Into, Repeat, Stitch

SC, DC = Into("next", stitch="sc"), Into("next", stitch="dc")
SPACE = Into("space", 1)


def turns(*each: Repeat) -> tuple[Repeat, ...]:
    """One repeat that goes by what is below."""
    return (Repeat(each, BY_KIND),)


@pytest.mark.parametrize(("line", "each"), [
    ("sc in each sc, dc in each dc", (times(1, st("sc", SC)), times(1, st("dc", DC)))),
    ("1 dc on each dc, 1 sc on each sc", (times(1, st("dc", DC)), times(1, st("sc", SC)))),
    ("sc in each dc and sc in each ch-1 sp", (times(1, st("sc", DC)), times(1, st("sc", SPACE)))),
])
def test_neighbours_that_go_all_around_take_turns(line, each):
    assert body(line) == turns(*each)


def test_as_many_kinds_as_are_told():
    (found,) = body("sc in each sc, dc in each dc, hdc in each hdc")
    assert found.times == BY_KIND and [one.body[0].stitch for one in found.body] == ["sc", "dc", "hdc"]


def test_what_goes_into_chains_begins_a_round_by_them():
    """`3 plain over 2 chain`, said first: over each two chains of the round below."""
    (found,) = body("3 sc over 2 ch, 1 sc over each dc")
    assert found.times == BY_KIND and len(found.body) == 2
    assert body("1 sc in next st, 3 sc over 2 ch, 1 sc over each dc")[0] == st("sc")


@pytest.mark.parametrize("line", [
    "sc in each sc, 2 sc in each sc",  # the same kind again: one after the other
    "sc in next sc, dc in next dc",  # one of each
    "sc in each st, dc in each st",  # no kind is named
    "sc in each sc, turn, dc in each dc",  # something between
])
def test_what_takes_no_turns_stays_as_it_is(line):
    assert not any(isinstance(node, Repeat) and node.times == BY_KIND and len(node.body) > 1 for node in body(line))


@pytest.mark.parametrize("nodes", [[], [Stitch("sc")], [Stitch("sc"), Chain(2)]])
def test_what_goes_nowhere_all_around_is_given_back(nodes):
    assert by_kind(nodes, "") == nodes


def test_the_words_of_it_lie_from_the_first_kind_to_the_last():
    text = "Rnd 1: 6 sc in magic ring.\nRnd 2: sc in each sc, dc in each dc, turn"
    (found, _) = rounds(text)[1].body
    assert text[found.span.start : found.span.end] == "sc in each sc, dc in each dc"


def test_a_chain_behind_the_last_is_behind_every_one():
    """`1 treble on each treble, 1 treble on each plain, 3 chain between`: between all of them."""
    line = "1 dc on each dc, 1 sc on each sc, 3 ch between"
    assert body(line) == turns(times(1, st("dc", DC), Chain(3)), times(1, st("sc", SC), Chain(3)))


@pytest.mark.parametrize(("below", "line", "made"), [
    ("(Sc, dc) x 6. (12)", "2 sc in each sc, 1 sc in each dc. (18)", 18),
    ("(Sc, dc, dc) x 4. (12)", "2 sc in each sc, 1 sc in each dc. (16)", 16),
    ("(Dc, ch 1) x 6. (6 dc, 6 ch-1 sps)", "Sc in each dc and 2 sc in each ch-1 sp. (18)", 18),
])
def test_each_stitch_below_gets_what_its_kind_is_told(below, line, made):
    """Counts by hand: 6 x 2 + 6; 4 x 2 + 8; 6 + 6 x 2."""
    first = 6 if "ch 1" in below else 12
    text = f"Rnd 1: {first} sc in magic ring. ({first})\nRnd 2: {below}\nRnd 3: {line}\n"
    fabric = work(read(text))
    assert fabric.parts[0].rounds[2].made == made and not fabric.faults


def test_a_kind_that_is_not_there_is_a_fault():
    fabric = work(read("Rnd 1: 12 sc in magic ring. (12)\nRnd 2: Sc in each dc, dc in each hdc.\n"))
    assert any(fault.kind == "repeat" for fault in fabric.faults)
    assert kinds("Rnd 1: 12 sc in magic ring. (12)\nRnd 2: Sc in each dc, dc in each hdc.\n") == []
