"""A cursor over tokens: it takes what it names, or stays where it was."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import cursor, rest

from coach.notation.cursor import END
from coach.notation.model import Span


class TestLooking:
    def test_peek_looks_and_does_not_move(self):
        c = cursor("sc in next st")
        assert (c.peek().value, c.peek(1).value, c.peek(3).value) == ("sc", "in", "st")
        assert c.at == 0

    def test_past_the_end_is_the_end(self):
        c = cursor("sc")
        assert c.peek(1) is END and c.peek(99) is END
        c.take()
        assert c.done and c.take() is END and c.at == 1

    def test_a_stop_is_an_end(self):
        c = cursor("sc in next st")
        c.stop = 2
        c.take(), c.take()
        assert c.done and c.peek() is END

    def test_is_is_of_words_and_marks(self):
        c = cursor("in (")
        assert c.is_("on", "in") and not c.is_("on")
        c.take()
        assert c.is_("(")


class TestTaking:
    def test_take_if_takes_one_of_these(self):
        c = cursor("into next st")
        assert c.take_if("on") is None and c.at == 0
        assert c.take_if("on", "in").value == "in" and c.at == 1

    def test_take_any_takes_as_many_as_come(self):
        c = cursor("in the next the st")
        c.take_any("the", "in", "next")
        assert rest(c) == ["st"]

    def test_a_group_of_words_is_asked_for_like_a_few(self):
        c = cursor("in the next dc")
        group = frozenset(("the", "next", "in", "dc"))
        assert c.is_in(group) and not c.is_in(frozenset(("on",)))
        assert c.take_in(frozenset(("on",))) is None and c.at == 0
        assert c.take_in(group).value == "in" and c.at == 1
        c.pass_over(group)
        assert rest(c) == ["dc"]  # a stitch, and no word
        assert not c.is_in(group) and c.take_in(group) is None
        c.take()
        c.pass_over(group)
        assert not c.is_in(group) and c.take_in(group) is None and c.done

    def test_take_kind(self):
        c = cursor("3 sc")
        assert c.take_kind("stitch") is None
        assert c.take_kind("number").value == 3
        assert c.take_kind("stitch").value == "sc"

    @pytest.mark.parametrize(("text", "sequence", "taken"), [
        ("rep from the hook", ("rep", "from", "hook"), False),
        ("rep from hook", ("rep", "from", "hook"), True),
        ("rep from the hook", ("rep", "from", "the?", "hook"), True),
        ("rep from hook", ("rep", "from", "the?", "hook"), True),
        ("magic ring", ("magic|adjustable", "ring|lp"), True),
        ("adjustable loop", ("magic|adjustable", "ring|lp"), True),
        ("sliding ring", ("magic|adjustable", "ring|lp"), False),
        ("rep", ("rep", "from"), False),
        ("rep", ("rep", "from?"), True),
        ("rep", ("rep", "a|the?"), True),
    ])
    def test_take_all_takes_all_or_nothing(self, text, sequence, taken):
        c = cursor(text)
        assert c.take_all(*sequence) == taken
        assert c.done == taken and (taken or c.at == 0)


class TestBrackets:
    @pytest.mark.parametrize(("text", "close"), [
        ("(sc)", 2), ("(sc, (dc), sc)", 8), ("[sc, (dc]", 5), ("(sc", None), ("((sc)", None), ("{[(sc)]}", 6)])
    def test_closing(self, text, close):
        assert cursor(text).closing() == close

    def test_only_as_far_as_it_reads(self):
        c = cursor("(sc, dc)")
        c.stop = 3
        assert c.closing() is None

    @given(st.integers(1, 60))
    def test_however_deep(self, depth):
        assert cursor("(" * depth + "sc" + ")" * depth).closing() == 2 * depth


class TestSpans:
    def test_from_a_token_to_the_cursor(self):
        c = cursor("ch 3, dc in next st")
        c.take(), c.take()
        assert c.span_from(0) == Span(0, 4)

    def test_with_nothing_taken_it_is_the_token_itself(self):
        assert cursor("sc in st").span_from(1) == Span(3, 5)

    def test_at_the_end_it_is_empty(self):
        c = cursor("sc")
        c.take()
        assert c.span_from(1) == Span(2, 2)
        assert cursor("").span_from(0) == Span(0, 0)
