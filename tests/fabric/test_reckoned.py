"""Rounds whose count is in doubt: what they are reckoned with, and that sizes and amounts never pass over them in silence."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.fabric.colours import yarn_by_colour
from coach.fabric.gauge import Gauge
from coach.fabric.model import WorkedPart
from coach.fabric.needs import needs
from coach.fabric.reckoned import doubts, listed, stitches, told
from coach.fabric.shape import shape_of
from coach.notation import read

EVEN = Gauge(0.5, 0.5, "sc")
BOLLARD = """# Bollard

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnd 3: wobble about the edge. (18)
Rnd 4: (Sc 2, inc) x 6. (24)
Rnd 5: Sc around. (24)
Rnd 6: florp about
Rnd 7: (Sc 1, dec) x 4. (12)
"""
SOUND = BOLLARD.replace("wobble about the edge", "(Sc 1, inc) x 6").partition("Rnd 6")[0]


def part_of(text: str) -> WorkedPart:
    return work(read(text)).parts[0]


def test_a_round_counts_as_worked_else_as_written_else_not_at_all():
    assert [stitches(r) for r in part_of(BOLLARD).rounds] == [6, 12, 18, 24, 24, 0, 8]


def test_each_kind_of_doubt_is_told_in_words():
    assert list(told(part_of(BOLLARD))) == [
        "Rnd 6 can't be counted and is left out, so the true figures may be larger.",
        "Rnd 3 can't be counted and is taken as the count written for it.",
        "Rnd 7 has a fault and is taken as it works out.",
    ]


def test_several_rounds_are_told_together():
    twice = BOLLARD.replace("Sc around. (24)", "flump. (24)") + "Rnd 8: gribble\nRnd 9: Dec x 6. (7)\n"
    assert list(told(part_of(twice))) == [
        "Rnd 6 and Rnd 8 can't be counted and are left out, so the true figures may be larger.",
        "Rnd 3 and Rnd 5 can't be counted and are taken as the counts written for them.",
        "Rnd 7 and Rnd 9 have faults and are taken as they work out.",
    ]


def test_where_every_round_is_sure_nothing_is_told():
    part = part_of(SOUND)
    assert list(told(part)) == [] and not any(doubts(part))


@pytest.mark.parametrize(
    "chosen, words",
    [
        ([0], "Rnd 1"),
        ([0, 1], "Rnd 1 and Rnd 2"),
        ([0, 1, 2], "Rnd 1 to Rnd 3"),
        ([0, 2, 3, 4, 6], "Rnd 1, Rnd 3 to Rnd 5 and Rnd 7"),
        ([0, 1, 4, 6], "Rnd 1, Rnd 2, Rnd 5 and Rnd 7"),
    ],
)
def test_rounds_in_a_row_are_told_by_the_first_and_the_last(chosen, words):
    part = part_of(BOLLARD)
    assert listed([part.rounds[k] for k in chosen], part) == words


# ---- sizes and amounts with such rounds
def test_a_round_with_a_written_count_is_as_large_as_a_sound_one():
    unsure, sound = part_of(BOLLARD.partition("Rnd 6")[0]), part_of(SOUND)
    assert shape_of(unsure, EVEN) == shape_of(sound, EVEN)
    assert needs(work(read(BOLLARD.partition("Rnd 6")[0])), EVEN).parts[0].stitches == 84 == sum(r.made for r in sound.rounds)


def test_a_round_after_one_that_is_left_out_is_not_said_to_ruffle():
    """From 12 to 24 in one round is a ruffle; with a round between that nobody knows it need not be."""
    text = SOUND.replace("Rnd 3: (Sc 1, inc) x 6. (18)", "Rnd 3: wobble")
    assert shape_of(part_of(text), EVEN).ruffled == ()
    missing = SOUND.replace("Rnd 3: (Sc 1, inc) x 6. (18)\n", "")
    assert shape_of(part_of(missing), EVEN).ruffled == ()
    at_once = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\nRnd 3: 3 sc in each st. (36)\n"
    assert shape_of(part_of(at_once), EVEN).ruffled == ("Rnd 3",)


def test_a_part_of_which_nothing_is_known_has_no_size():
    part = part_of("# Sail\n\nRow 1: flumble the mast\nRow 2: as flumbled\n")
    assert shape_of(part, EVEN) is None and len(doubts(part).left_out) == 2


def test_yarn_of_a_round_that_is_taken_as_written_has_its_colour():
    text = "# Bollard\n\nWith A.\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\nRnd 3: With B, wobble about. (12)\n"
    fabric = work(read(text))
    found = yarn_by_colour(fabric.parts, needs(fabric, EVEN).parts, EVEN)
    assert sum(metres.high for metres in found.values()) == pytest.approx(needs(fabric, EVEN).metres.high)
    unsure = fabric.parts[0].rounds[2]
    assert found[unsure.yarn.first].high > 0
