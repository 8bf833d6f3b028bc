"""How much is worked in each colour."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.colours import shares, stitches_by_colour, yarn_by_colour
from coach.fabric.gauge import Gauge
from coach.fabric.needs import needs
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.notation import read
from coach.notation.model import Action, Stitch

GAUGE = Gauge(0.5, 0.5)
SC = Leaf(Stitch("sc"), takes=1, makes=1)


def to(colour: str) -> Leaf:
    return Leaf(Action("colour", f"with {colour}"))


def part_of(text: str):
    return work(read(f"# Flag\n\n## Flag\n{text}")).parts[0]


class TestStitches:
    def test_a_colour_goes_on_until_another_is_named(self):
        tree = Run((Loop(SC, 3), to("b"), Loop(SC, 2), to("a"), SC))
        assert stitches_by_colour(tree, "a") == ({"a": 4, "b": 2}, "a")

    def test_a_repeat_begins_with_the_colour_that_it_ended_with(self):
        tree = Loop(Run((SC, to("b"), Loop(SC, 2))), 10**9)
        assert stitches_by_colour(tree, "a") == ({"a": 1, "b": 3 * 10**9 - 1}, "b")

    def test_no_times_no_stitches(self):
        assert stitches_by_colour(Loop(SC, 0), "a") == ({}, "a")

    trees = st.recursive(st.sampled_from([SC, to("a"), to("b"), Leaf(Stitch("sc"), takes=1, makes=2)]),
                         lambda inner: st.one_of(st.lists(inner, min_size=1, max_size=4).map(lambda c: Run(tuple(c))),
                                                 st.builds(Loop, inner, st.integers(1, 4))), max_leaves=10)

    @given(trees)
    def test_as_if_walked_step_by_step(self, tree: Tree):
        made: dict[str, int] = {}
        colour = "white"
        for leaf in walked(tree):
            if isinstance(leaf.node, Action):
                colour = leaf.node.text.removeprefix("with ")
            elif leaf.makes:
                made[colour] = made.get(colour, 0) + leaf.makes
        assert stitches_by_colour(tree, "white") == (made, colour)


def walked(tree: Tree):
    if isinstance(tree, Leaf):
        yield tree
    elif isinstance(tree, Loop):
        for _ in range(tree.times):
            yield from walked(tree.child)
    else:
        for child in tree.children:
            yield from walked(child)


class TestShares:
    def test_begun_in_a_note_and_changed_in_a_note(self):
        part = part_of("Begin with white.\nRnd 1: 6 sc in magic ring. (6)\nChange to red.\nRnd 2: inc x 6. (12)\n")
        assert shares(part, GAUGE) == {"white": pytest.approx(1 / 3), "red": pytest.approx(2 / 3)}

    def test_inside_a_round(self):
        part = part_of("With A.\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: With A, sc in next 2 sts; with B, sc in next 4 sts. (6)\n")
        assert shares(part, GAUGE) == {"a": pytest.approx(8 / 12), "b": pytest.approx(4 / 12)}

    def test_a_taller_stitch_takes_more(self):
        part = part_of("With A.\nRow 1: Ch 7, sc in 2nd ch from hook and in each ch across, turn. (6)\nChange to B.\n"
                       "Row 2: Ch 2, hdc in each st across. (6)\n")
        found = shares(part, GAUGE)
        assert found["b"] > found["a"] and sum(found.values()) == pytest.approx(1)

    def test_where_no_colour_is_named_there_is_one_without_a_name(self):
        assert shares(part_of("Rnd 1: 6 sc in magic ring. (6)\n"), GAUGE) == {"": 1.0}

    def test_other_words_are_no_colours(self):
        part = part_of("Start with the right side. Work with both hands.\nRnd 1: 6 sc in magic ring. (6)\nGo on with Rnd 2.\n"
                       "Rnd 2: inc x 6. (12)\n")
        assert shares(part, GAUGE) == {"": 1.0}


def test_the_colours_of_all_parts_make_up_the_whole():
    fabric = work(read("# Flags\n\n## Gauge\n10 sc to 5 cm\n\n## One (make 2)\nWith A.\nRnd 1: 6 sc in magic ring. (6)\n\n"
                       "## Other\nWith B.\nRnd 1: 6 sc in magic ring. (6)\n"))
    found = needs(fabric)
    colours = yarn_by_colour(fabric.parts, found.parts, found.gauge)
    assert colours["a"].low == pytest.approx(2 * colours["b"].low)
    assert sum(c.high for c in colours.values()) == pytest.approx(found.metres.high)
