"""Changes of colour: each with the last step of the stitch before, and never to the colour that is on."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.changing import changes, colour_at, first_colour, is_change, told_in_colours
from coach.fabric.colours import stitches_by_colour
from coach.fabric.model import Yarn
from coach.fabric.tree import Leaf, Loop, Run, Tree, leaves
from coach.fabric.words import abbreviated
from coach.notation import read
from coach.notation.model import Action, Stitch

SC = Leaf(Stitch("sc"), takes=1, makes=1)


def to(colour: str) -> Leaf:
    return Leaf(Action("colour", f"with {colour}"), steps=0)


def rounds_of(*lines: str):
    return work(read("# Flag\n\n## Flag\n\n" + "\n".join(lines) + "\n")).parts[0].rounds


def told(*lines: str) -> list[str]:
    return [abbreviated(told_in_colours(worked)) for worked in rounds_of(*lines)]


def test_where_there_is_no_stitch_there_is_nothing_to_change_with():
    assert changes(Run((to("a"), Run(()))), "", "a") == ()
    lines = ("Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: Sc 6, with B, *dc in next ch-2 sp; rep from * around.")
    assert told(*lines)[1] == "sc 6, change to B"


class TestRounds:
    """What is told of a round, in abbreviations."""

    def test_a_colour_named_where_its_stitches_begin_is_taken_up_before(self):
        assert told("Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: With A, sc 2, with B, sc 4. (6)") == [
            "6 sc in ring, change to A", "sc 2, change to B, sc 4"]

    def test_the_colour_that_is_on_is_not_told(self):
        assert told("Rnd 1: With A, 6 sc in magic ring. (6)", "Rnd 2: With A, sc 6. (6)", "Rnd 3: With A, sc 2, with A, sc 4. (6)") == [
            "change to A, 6 sc in ring", "sc 6", "sc 2, sc 4"]

    def test_both_ways_of_writing_it_are_one(self):
        stated = told("Rnd 1: With A, 6 sc in magic ring. (6) Change to B in the last st.", "Rnd 2: Sc 6. (6)")
        begun = told("Rnd 1: With A, 6 sc in magic ring. (6)", "Rnd 2: With B, sc 6. (6)")
        assert stated == begun == ["change to A, 6 sc in ring, change to B", "sc 6"]

    def test_a_note_that_only_tells_the_change_is_not_read_after_it(self):
        first, second = rounds_of("Rnd 1: 6 sc in magic ring. (6) Change to B in the last st.", "Rnd 2: Sc 6. (6) Change the hook.")
        assert first.source.notes == () and [n.text for n in second.source.notes] == ["Change the hook."]

    def test_the_change_comes_before_the_turn_and_with_the_join(self):
        assert told("Row 1: With A, ch 5, sc in 2nd ch from hook and in next 3 chs, turn. (4)", "Row 2: With B, ch 1, sc 4. (4)")[0].endswith(
            "sc 3, change to B, turn")
        assert told("Rnd 1: With A, ch 4, join with sl st to form ring, ch 1, 6 sc in ring, join with sl st. (6)",
                    "Rnd 2: With B, ch 1, sc 6. (6)")[0].endswith(", change to B")

    def test_cut_yarn_is_not_changed_ahead(self):
        first, second = rounds_of("Rnd 1: With A, 6 sc in magic ring. Fasten off. (6)", "Rnd 2: With B, sc 6. (6)")
        assert (first.yarn, second.yarn) == (Yarn("", "a", "a", True), Yarn("a", "b", "b", True))

    def test_what_is_cut_after_a_change_is_the_yarn_that_was_left(self):
        lines = ("Rnd 1: With A, 6 sc in magic ring. (6) Change to B in the last st.", "",
                 "Cut colour A and knot its two ends.", "", "Rnd 2: Sc 6. (6)")
        assert told(*lines) == ["change to A, 6 sc in ring, change to B", "sc 6"]
        first = rounds_of(*lines)[0]
        assert [n.text for n in first.source.notes] == ["Cut colour A and knot its two ends."]
        assert first.yarn == Yarn("", "a", "b", True)

    def test_yarn_cut_before_the_change_is_not_changed_ahead(self):
        lines = ("Rnd 1: With A, 6 sc in magic ring. (6) Cut A. Change to B.", "Rnd 2: Sc 6. (6)")
        assert told(*lines) == ["change to A, 6 sc in ring", "change to B, sc 6"]

    def test_yarn_joined_anew_is_a_step(self):
        joined = rounds_of("Rnd 1: With A, 6 sc in magic ring. Fasten off. (6)", "Rnd 2: Join B in any st, ch 1, sc 6. (6)")[1]
        assert joined.step_at(0).node.text.startswith("join b") and joined.yarn == Yarn("a", "a", "b", True)

    def test_dropping_the_old_yarn_is_part_of_the_change(self):
        assert told("Rnd 1: With A, 6 sc in magic ring, drop A, with B, sc 6. (12)") == ["change to A, 6 sc in ring, change to B, sc 6"]

    def test_an_unnamed_change_stays_one(self):
        assert told("Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: Sc 2, change colour, sc 4. (6)")[1] == "sc 2, change color, sc 4"

    @pytest.mark.parametrize(("body", "said"), [
        ("(With A, sc 2, with B, sc 1) x 4", ["(sc 2, change to B, sc, change to A) x 3, sc 2, change to B, sc", "sc 12"]),
        ("(Sc 2, with B, sc 1, with A, sc 1) x 3", ["(sc 2, change to B, sc, change to A, sc) x 3", "sc 12"]),
        ("(Sc 2, with B, sc 1) x 4", ["sc 2, change to B, sc, (sc 2, sc) x 3", "sc 12"]),
    ])
    def test_a_repeat_is_told_each_time_as_it_is(self, body, said):
        assert told("Rnd 1: With A, 12 sc in magic ring. (12)", f"Rnd 2: {body}. (12)", "Rnd 3: Sc 12. (12)")[1:] == said


# ---- whatever the tree

def spaced(children: list[Tree]) -> Run:
    return Run((*children, SC))


trees = st.recursive(
    st.sampled_from([SC, Loop(SC, 3), to("a"), to("b"), to("c")]),
    lambda inner: st.one_of(st.lists(inner, min_size=1, max_size=4).map(spaced),
                            st.tuples(st.lists(inner, min_size=1, max_size=3).map(spaced), st.integers(1, 4)).map(lambda f: Loop(*f))),
    max_leaves=9).filter(lambda tree: tree.steps)


def worked_in(found: tuple[Tree, ...], colour: str) -> tuple[list[str], str]:
    """The colour of each stitch, where each change is made as told; and the colour at the end."""
    made = []
    for leaf in (leaf for tree in found for leaf in leaves(tree)):
        if is_change(leaf):
            named = leaf.node.text.removeprefix("change to ").lower()
            assert made and named != colour
            colour = named
        else:
            made.append(colour)
    return made, colour


def as_written(tree: Tree, colour: str) -> list[str]:
    made = []
    for leaf in leaves(tree):
        if is_change(leaf):
            colour = leaf.node.text.removeprefix("with ")
        else:
            made.append(colour)
    return made


@given(trees, st.sampled_from("abc"), st.sampled_from("abc"))
def test_every_stitch_gets_the_colour_that_is_written(tree, before, after):
    written = as_written(tree, before)
    first = first_colour(tree, before)
    assert first == written[0]
    assert worked_in(changes(tree, first, after), first) == (written, after)


@given(trees, st.sampled_from("abc"))
def test_the_colour_at_a_step_is_that_of_walking_there(tree, before):
    assert [colour_at(tree, n, before) for n in range(tree.steps)] == as_written(tree, before)


def test_a_thousand_million_changes_are_told_in_no_time():
    tree = Loop(Run((to("a"), SC, to("b"), Loop(SC, 10**3))), 10**9)
    assert len(changes(tree, "a", "c")) < 8
    assert colour_at(tree, 10**11 + 7, "a") == "b"


def test_the_turning_chain_has_the_colour_of_the_row_that_stands_on_it():
    first, second = rounds_of("Row 1: With A, ch 5, sc in 2nd ch from hook and in next 3 chs, ch 3 (counts as dc), turn. (4)",
                              "Row 2: With B, dc 3. (4)")
    assert abbreviated(told_in_colours(first)).endswith("sc 3, change to B, ch 3 (counts as dc), turn")
    assert stitches_by_colour(second.tree, second.yarn.first)[0] == {"b": 4}


def test_rows_that_repeat_others_have_their_colours():
    rows = rounds_of("Row 1: Ch 5, sc in 2nd ch from hook and in next 3 chs, turn. (4)", "Row 2 (white): Ch 1, sc 4, turn. (4)",
                     "Row 3 (grey): Ch 1, sc 4, turn. (4)", "Rep Rows 2 and 3 twice.", "Row 8 (red): Rep Row 2.")
    assert [row.yarn.first for row in rows] == ["", "white", "grey", "white", "grey", "white", "grey", "red"]
