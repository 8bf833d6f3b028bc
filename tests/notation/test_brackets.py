"""Brackets: what is wrong with one, with its place and a hint, and what the words around it make of it."""

from __future__ import annotations

import pytest
from passages import body, cursor, rounds

from coach.notation import read
from coach.notation.brackets import closes_nothing, is_repeated, not_closed, says_how, too_many, unlike
from coach.notation.lexer import Token
from coach.notation.model import Span

PAGE = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: {}\n"


def mark(value: str, at: int = 4) -> Token:
    return Token("mark", value, at, at + 1)


class TestFaults:
    @pytest.mark.parametrize("pair", ["()", "[]", "{}"])
    def test_alike_is_no_fault(self, pair):
        assert unlike(mark(pair[0]), mark(pair[1], 9)) == []

    @pytest.mark.parametrize("pair", ["(]", "[)", "{)", "<)"])
    def test_unlike_is_one_at_the_bracket_that_opens(self, pair):
        problem, = unlike(mark(pair[0]), mark(pair[1], 9))
        assert (problem.kind, problem.span) == ("bracket", Span(4, 5))
        assert problem.message == f'"{pair[0]}" is closed by "{pair[1]}".' and problem.hint

    @pytest.mark.parametrize("fault", [not_closed, closes_nothing, too_many])
    def test_each_has_its_place_and_a_hint(self, fault):
        problem = fault(mark("("))
        assert (problem.kind, problem.span) == ("bracket", Span(4, 5)) and problem.message and problem.hint

    @pytest.mark.parametrize(("line", "said"), [
        ("[Sc in next st, inc) 3 times. (9)", '"[" is closed by ")".'),
        ("(Sc in next st, inc 3 times.", 'The bracket "(" is not closed.'),
        ("Sc in next st, inc] 3 times.", 'The bracket "]" closes nothing.'),
    ])
    def test_a_page_has_them_in_its_line(self, line, said):
        faults = [f for f in read(PAGE.format(line)).faults if f.kind == "bracket"]
        assert [(f.line, f.message) for f in faults] == [(2, said)]


class TestWhatItIs:
    @pytest.mark.parametrize(("text", "expected"), [
        ("(sc, inc) 6 times", True),
        ("(sc, inc) x 6", True),
        ("(sc, inc), rep around", True),
        ("(sc, inc) around", True),
        ("(sc, inc) in next st", False),
        ("(sc, inc), turn", False),
        ("(sc, inc)", False),
    ])
    def test_repeated(self, text, expected):
        c = cursor(text)
        close = next(i for i, t in enumerate(c.tokens) if t.is_(")"))
        assert is_repeated(c, close) is expected
        assert c.at == 0  # it only looks

    def test_says_how_the_stitches_before_it_are_made(self):
        counted, = body("6 sc in next 6 sts.")
        filled, = body("2 sc in each st around.")
        assert says_how(counted, (filled,))
        assert not says_how(filled, (filled,)) and not says_how(counted, (counted,))
        assert not says_how(counted, (filled, filled))

    def test_so_such_a_round_is_the_bracket_alone(self):
        assert len(rounds(PAGE.format("12 sc (inc in each). (12)"))[1].body) == 1
