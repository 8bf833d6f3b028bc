"""What has changed between two versions of a pattern: told in a few sentences, by what is worked."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric, notation
from coach.guide.revision import MOST_ALIGNED, Revision, aligned
from coach.language.phrasebook import load
from coach.language.speak import sentence

ENGLISH = load("en")
SEAL = """# Seal

## Body
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: sc in each st around (18)
Stuff it firmly.

## Flipper (make 2)
Rnd 1: 5 sc in magic ring (5)
Rnd 2: sc in each st around (5)

## Assembly
Sew on the flippers.
"""


def read(text: str):
    return fabric.work(notation.read(text))


def told(new: str, old: str = SEAL, touched=frozenset()) -> str:
    return sentence(ENGLISH, Revision(read(old), read(new)).told(touched))


@pytest.mark.parametrize("was, now, says", [
    ("Rnd 3: (sc, inc) x 6 (18)", "Rnd 3: (sc, inc) x 5, sc 2 (17)",
     "Body. Round 3 has changed: it makes 17 now, it made 18. Round 4 has changed: it makes 17 now, it made 18."),
    ("Rnd 3: (sc, inc) x 6 (18)", "Rnd 3: (inc, sc) x 6 (18)", "Body. Round 3 has changed, and makes 18 as before."),
    ("Rnd 4: sc in each st around (18)\nStuff it firmly.\n", "", "Body. Round 4 is gone."),
    ("Rnd 2: sc in each st around (5)\n", "Rnd 2: sc in each st around (5)\nRnd 3: inc x 5 (10)\n", "Flipper. Round 3 is new."),
    ("(make 2)", "(make 4)", "Flipper: 4 pieces now, 2 before."),
    ("(make 2)", "", "Flipper: 1 piece now, 2 before."),
    ("## Assembly\n", "## Tail\nRnd 1: 4 sc in magic ring (4)\n\n## Assembly\n", "Tail is new."),
    ("## Flipper (make 2)\nRnd 1: 5 sc in magic ring (5)\nRnd 2: sc in each st around (5)\n", "", "Flipper is gone."),
    ("Sew on the flippers.", "Sew on the flippers and the tail.", "Putting it together has changed."),
    ("Rnd 3: (sc, inc) x 6 (18)", "Rnd 3: wobble the yarn about the mast.", "Body. Round 3 has changed."),
    ("6 sc in magic ring (6)", "ch 2, 6 sc in second ch from hook (6)", "Body. Round 1 has changed, and makes 6 as before."),
    ("Rnd 4: sc in", "Rnd 4: sc in BLO in", "Body. Round 4 has changed, and makes 18 as before."),
])
def test_what_has_changed_is_told(was, now, says):
    assert was in SEAL
    assert told(SEAL.replace(was, now)) == says


@pytest.mark.parametrize("was, now", [
    ("(sc, inc) x 6 (18)", "*1 sc, 2 sc in next st; rep from * 6 times in all. (18)"),
    ("Rnd 3", "Round 3"),
    ("# Seal", "# The harbour seal\n\nA remark about the harbour.\n\nTerms: US."),
    ("## Body", "## BODY"),
    ("sc in each st around (18)", "sc 18"),
    ("Stuff it firmly.", "Stuff it lightly.\nThen look at it."),
])
def test_other_words_for_the_same_work_are_no_change(was, now):
    assert told(SEAL.replace(was, now)) == ""


def test_the_same_words_in_other_terms_are_another_work():
    ring = "# Ring\n\nTerms: US.\n\nRnd 1: 12 dc in magic ring (12)\n"
    assert told(ring.replace("US", "UK"), ring) == "Round 1 has changed, and makes 12 as before."


def test_a_round_put_in_moves_the_others_and_is_the_only_change():
    more = SEAL.replace("Rnd 4: sc", "Rnd 4: sc in each st around (18)\nRnd 5: (sc 2, inc) x 6 (24)\nRnd 6: (sc 2, dec) x 6 (18)\nRnd 7: sc")
    assert told(more) == "Body. Round 5 is new. Round 6 is new. Round 7 is new."


def test_many_changes_are_counted_and_those_that_were_worked_come_first():
    other = SEAL.replace("inc x 6 (12)", "inc x 5, sc (11)").replace("5 sc in magic ring (5)", "7 sc in magic ring (7)")
    assert told(other).startswith("Body. Round 2 has changed: it makes 11 now, it made 12. Flipper.")
    assert told(other, touched={(1, 0)}).startswith("Flipper. Round 1 has changed: it makes 7 now, it made 5. Body. Round 2")
    assert told(other.replace("flippers", "fins")).endswith("One more change.")
    assert told(other.replace("(make 2)", "").replace("flippers", "fins")).endswith("2 more changes.")


def test_a_part_that_moved_or_has_another_name_is_the_same_part():
    body, flipper = SEAL.partition("## Flipper")[0], SEAL.partition("## Flipper")[2].partition("## Assembly")[0]
    moved = f"# Seal\n\n## Flipper{flipper}\n{body.removeprefix('# Seal')}\n## Assembly\nSew on the flippers.\n"
    revision = Revision(read(SEAL), read(moved))
    assert revision.parts == {0: 1, 1: 0} and revision.told() == ()
    named = Revision(read(SEAL), read(SEAL.replace("## Flipper", "## Fin")))
    assert named.parts == {0: 0, 1: 1} and named.told() == ()


def test_two_parts_of_one_name_stay_apart():
    twins = "# Boat\n\n## Mast\nRnd 1: 6 sc in magic ring (6)\n\n## Mast\nRnd 1: 8 sc in magic ring (8)\n"
    assert Revision(read(twins), read(twins)).parts == {0: 0, 1: 1}


def test_an_only_part_is_the_same_part_whatever_its_name():
    one = "# Boat\n\n## Mast\nRnd 1: 6 sc in magic ring (6)\n"
    assert told(one.replace("Mast", "Pole").replace("6", "8"), one) == "Round 1 has changed: it makes 8 now, it made 6."


@given(st.lists(st.integers(0, 3), max_size=12), st.lists(st.integers(0, 3), max_size=12))
def test_aligning_leaves_nothing_out_and_keeps_the_order(old, new):
    pairs = list(aligned(old, new))
    assert [a for a, _ in pairs if a is not None] == list(range(len(old)))
    assert [b for _, b in pairs if b is not None] == list(range(len(new)))
    assert (None, None) not in pairs


@given(st.lists(st.integers(0, 3), max_size=12), st.integers(0, 12), st.integers(4, 9))
def test_what_was_put_in_is_the_only_thing_that_is_new(items, at, item):
    new = [*items[:at], item, *items[at:]]
    assert Counter(None if a is None else items[a] == new[b] for a, b in aligned(items, new)) == Counter([None] + [True] * len(items))


def test_a_thousand_rounds_are_compared_by_their_order():
    many = list(range(3 * MOST_ALIGNED))
    assert list(aligned(many, many[::-1])) == [(i, i) for i in many]


def test_a_round_of_a_thousand_million_stitches_is_compared_at_once():
    net = "# Net\n\nRnd 1: 1000000000 sc in magic ring\nRnd 2: (sc, inc) x 500000000\n"
    assert told(net.replace("(sc, inc)", "(inc, sc)"), net) == "Round 2 has changed, and makes 1500000000 as before."
