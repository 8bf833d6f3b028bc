"""How often: numbers of times, and repeats from a star."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, cursor, inc, rest, times, until
from passages import st as stitch

from coach.notation.model import Action, Chain, Repeat, Span, Times
from coach.notation.repeats import Marks, read_times

SC, DC = stitch("sc"), stitch("dc")


class TestTimes:
    @pytest.mark.parametrize(("text", "n"), [
        ("x 6", 6), ("x6", 6), ("6 x", 6), ("6x", 6), ("* 6", 6), ("6 times", 6), ("six times", 6), ("twice", 2),
        ("once", 1), ("thrice", 3),
        ("two times", 2), ("6 times in all", 6), ("6 times total", 6), ("3 more times", 4), ("three more times", 4),
        ("once more", 2), ("twice more", 3),
        ("another 3 times", 3), ("a total of 6 times", 6), ("4 (5, 6) times", (4, 5, 6)),
        ("3 (4, 5) more times", (4, 5, 6)),
    ])
    def test_so_many(self, text, n):
        c = cursor(text)
        found = read_times(c)
        assert (found.kind, found.amount) == ("exact", n)
        assert c.done, rest(c)

    @pytest.mark.parametrize("text", ["around", "6 sc", "6", "x", "times", "more times", "in next st", "", "to end"])
    def test_not_a_number_of_times_and_no_move(self, text):
        c = cursor(text)
        assert read_times(c) is None
        assert c.at == 0

    @given(st.integers(1, 10**9))
    def test_any_number(self, n):
        assert read_times(cursor(f"{n} times")) == Times("exact", n)
        assert read_times(cursor(f"x {n}")) == Times("exact", n)
        assert read_times(cursor(f"{n} more times")) == Times("exact", n + 1)


class TestMarks:
    def test_a_star_is_where_a_repeat_begins(self):
        marks = Marks()
        assert marks.see("*", 2, Span(9, 10)) is not None
        assert marks.start_of("*") == 2

    def test_a_second_star_closes_it(self):
        marks = Marks()
        marks.see("*", 0, Span(0, 1))
        assert marks.see("*", 3, Span(9, 10)) is None
        assert marks.find("*").closed == 3

    def test_after_it_was_used_a_star_is_a_new_one(self):
        marks = Marks()
        marks.see("*", 0, Span(0, 1))
        marks.use("*")
        assert marks.see("*", 3, Span(9, 10)) is not None
        assert marks.start_of("*") == 3

    def test_stars_of_other_kinds_are_others(self):
        marks = Marks()
        marks.see("*", 0, Span(0, 1))
        assert marks.see("**", 2, Span(5, 7)) is not None
        assert (marks.start_of("*"), marks.start_of("**"), marks.start_of("†")) == (0, 2, None)


# a round → its nodes
REPEATS = [
    ("(Sc, inc) x 6", times(6, SC, inc())),
    ("(Sc, inc) 6 times", times(6, SC, inc())),
    ("[Sc, inc] six times", times(6, SC, inc())),
    ("(Sc, inc) twice", times(2, SC, inc())),
    ("(Sc, inc)*6", times(6, SC, inc())),
    ("(Sc, inc) * 6", times(6, SC, inc())),
    ("6 x (sc, inc)", times(6, SC, inc())),
    ("6(sc, inc)", times(6, SC, inc())),
    ("6 [sc, inc]", times(6, SC, inc())),
    ("{Sc, inc} 6 times", times(6, SC, inc())),
    ("(Sc, inc), repeat 6 times", times(6, SC, inc())),
    ("(Sc, inc) around", around(SC, inc())),
    ("(Sc, inc) across", around(SC, inc())),
    ("[Sc, inc] to end", around(SC, inc())),
    ("(Sc, inc) to last 2 sts", until(2, SC, inc())),
    ("*Sc, inc; rep from * around", around(SC, inc())),
    ("*Sc, inc, repeat from * around", around(SC, inc())),
    ("*Sc, inc. Repeat from * around", around(SC, inc())),
    ("*Sc, inc; repeat from * to end", around(SC, inc())),
    ("*Sc, inc; rep from * across to last 3 sts", until(3, SC, inc())),
    ("*Sc, inc; rep from * to within last 3 sts", until(3, SC, inc())),
    ("*Sc, inc; rep from * 5 more times", times(6, SC, inc())),
    ("*Sc, inc; rep from * five more times", times(6, SC, inc())),
    ("*Sc, inc; rep from * 5 times more", times(6, SC, inc())),
    ("*Sc, inc; rep from * once more", times(2, SC, inc())),
    ("*Sc, inc; rep from * twice more", times(3, SC, inc())),
    ("*Sc, inc; rep from * 6 times in all", times(6, SC, inc())),
    ("*Sc, inc; rep from * 5 more times (6 times in all)", times(6, SC, inc())),
    ("*Sc, inc; rep from * another 5 times", times(6, SC, inc())),
    ("†Sc, inc; rep from † around", around(SC, inc())),
    ("Sc, inc; rep around", around(SC, inc())),
    ("Sc, inc. Repeat around", around(SC, inc())),
    ("*Sc, inc* 6 times", times(6, SC, inc())),
    ("*Sc, dc* 6 times", times(6, SC, DC)),
    ("*Sc, sc, dc*, rep from * to * around", around(SC, SC, DC)),
]


@pytest.mark.parametrize(("line", "node"), REPEATS)
def test_a_repeat(line, node):
    assert body(f"{line}.") == (node,)


class TestTwoReadings:
    def test_six_times_after_a_star_is_seven_or_six(self):
        (node,) = body("*Sc, inc; rep from * 6 times.")
        assert node.times == Times("exact", 7, readings=(6,))

    @given(st.integers(2, 1000))
    def test_for_any_number(self, n):
        (node,) = body(f"*Sc, inc; rep from * {n} times.")
        assert {node.times.amount, *node.times.readings} == {n, n + 1}

    def test_after_a_bracket_it_is_one(self):
        (node,) = body("(Sc, inc) 6 times.")
        assert node.times.readings == ()


class TestNested:
    def test_brackets_in_brackets(self):
        assert body("[(Sc, inc) twice, dc] 3 times.") == (times(3, times(2, SC, inc()), DC),)

    def test_a_bracket_after_a_star(self):
        assert body("*(Sc, inc) twice, dc; rep from * around.") == (around(times(2, SC, inc()), DC),)

    def test_what_stands_before_a_star_is_not_repeated(self):
        assert body("Sc, *dc, sc; rep from * around.") == (SC, around(DC, SC))

    def test_what_stands_after_it_is_not_either(self):
        assert body("*Sc, inc; rep from * to last st, dc in last st.")[0] == until(1, SC, inc())
        assert len(body("*Sc, inc; rep from * to last st, dc in last st.")) == 2

    def test_two_stars_in_one_round(self):
        assert body("*Sc, inc; rep from * 2 more times, *sc, dc; rep from * 3 more times.") == (times(3, SC, inc()),
            times(4, SC, DC))

    @given(st.integers(1, 12))
    def test_however_deep(self, depth):
        node = SC
        for _ in range(depth):
            node = times(3, node, DC)
        assert body("(" * depth + "sc" + ", dc) x 3" * depth + ".") == (node,)


class TestWhatIsNotRepeated:
    def test_repeat_around_begins_after_the_starting_chain(self):
        nodes = body("Ch 1, sc, inc; rep around, join.")
        assert nodes[0] == Chain(1)
        assert nodes[1] == around(SC, inc())
        assert isinstance(nodes[2], Action) and nodes[2].kind == "join"


@pytest.mark.parametrize("words", ["Keep going like that all the way around", "Continue like this around", "Go on like that to end"])
def test_a_sentence_that_says_to_go_on_repeats_what_was_told(words):
    (again,) = body(f"Put 1 sc in the first stitch, then 2 in the next one. {words}.")
    assert isinstance(again, Repeat) and again.times.kind == "fill" and len(again.body) == 2
