"""Stated counts, in all the ways that they are written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import kinds, plain, rounds

from coach.notation.counts import read_counts, take_counts
from coach.notation.lexer import fold, tokens
from coach.notation.model import Count

EIGHTEEN = [Count(18)]
# round → counts
STATED = [
    ("Sc in each st around. (18)", EIGHTEEN),
    ("Sc in each st around (18)", EIGHTEEN),
    ("Sc in each st around (18).", EIGHTEEN),
    ("Sc in each st around. [18]", EIGHTEEN),
    ("Sc in each st around <18>", EIGHTEEN),
    ("Sc in each st around - 18", EIGHTEEN),
    ("Sc in each st around — 18", EIGHTEEN),
    ("Sc in each st around – 18 sts", EIGHTEEN),
    ("Sc in each st around = 18", EIGHTEEN),
    ("Sc in each st around. = 18 sts.", EIGHTEEN),
    ("Sc in each st around. 18 sts.", EIGHTEEN),
    ("Sc in each st around. 18 sts", EIGHTEEN),
    ("Sc in each st around: 18 sts", EIGHTEEN),
    ("Sc in each st around. (18 sts)", EIGHTEEN),
    ("Sc in each st around. (18 stitches)", EIGHTEEN),
    ("Sc in each st around. (total 18)", EIGHTEEN),
    ("Sc in each st around. (18 sts total)", EIGHTEEN),
    ("Sc in each st around. (18 total)", EIGHTEEN),
    ("Sc in each st around. 18 sts in all.", EIGHTEEN),
    ("Sc in each st around. (eighteen)", EIGHTEEN),
    ("Sc in each st around. (you should have 18 sts)", EIGHTEEN),
    ("Sc in each st around. (you will have 18 sts)", EIGHTEEN),
    ("Sc in each st around, 18 sts at end of rnd.", EIGHTEEN),
    ("Sc in each st around. (18 sc)", [Count(18, "sc")]),
    ("Sc in each st around - 18 sc", [Count(18, "sc")]),
    ("Sc in each st around, turn. (18 sc)", [Count(18, "sc")]),
    ("Sc in each st around. (18 single crochet)", [Count(18, "sc")]),
    ("*Dc, ch 2; rep from * around. (12 dc, 12 ch-2 sps)", [Count(12, "dc"), Count(12, "space 2")]),
    ("*Dc, ch 2; rep from * around. (12 dc and 12 ch-2 spaces)", [Count(12, "dc"), Count(12, "space 2")]),
    ("*Dc, ch 2; rep from * around. (12 dc + 12 2-ch sps)", [Count(12, "dc"), Count(12, "space 2")]),
    ("*Dc, ch 2; rep from * around. (12 dc, 12 ch-sps)", [Count(12, "dc"), Count(12, "space")]),
    ("*Dc, ch 2; rep from * around. (12 dc, 12 ch sps)", [Count(12, "dc"), Count(12, "space")]),
    ("*Dc, ch 2; rep from * around. (12 dc, 12 sps)", [Count(12, "dc"), Count(12, "space")]),
    ("Sc in each st around. (18, 20, 22)", [Count((18, 20, 22))]),
    ("Sc in each st around. 18 (20, 22) sts", [Count((18, 20, 22))]),
    ("Sc in each st around. (18 (20, 22) sts)", [Count((18, 20, 22))]),
    ("Sc in each st around.", []),
    ("(Sc, inc) 6 times", []),
    ("Sc in next 6 sts", []),
    ("(2 dc, ch 2, 2 dc) in next st", []),
    ("Sc in each st around (counts as right side)", []),
]


@pytest.mark.parametrize(("line", "counts"), STATED)
def test_a_stated_count(line, counts):
    found = list(plain(rounds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")[1].stated))
    assert found == counts


@pytest.mark.parametrize("line", [case[0] for case in STATED if isinstance(case[0], str)])
def test_it_is_no_instruction(line):
    assert kinds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}") == []


class TestItsPlace:
    @given(st.integers(1, 10**6), st.sampled_from(["({})", "[{}]", "- {} sts", "= {}", "{} sts."]))
    def test_a_count_knows_where_it_stands(self, n, form):
        text = f"Rnd 1: 6 sc in magic ring.\nRnd 2: Sc in each st around. {form.format(n)}"
        (count,) = rounds(text)[1].stated
        assert count.amount == n
        assert text[count.span.start:count.span.end].strip("()[] ") == str(n)

    def test_counts_of_the_sizes_span_them_all(self):
        text = "Rnd 1: 6 sc in magic ring.\nRnd 2: Sc in each st around. (18, 20, 22)"
        (count,) = rounds(text)[1].stated
        assert text[count.span.start:count.span.end] == "18, 20, 22"


class TestBeforeWhatFollows:
    @pytest.mark.parametrize("tail", ["", " Stuff.", " Fasten off.", " Place marker, do not join.", " Change to B."])
    def test_a_count_may_be_followed_by_words(self, tail):
        round = rounds(f"Rnd 1: 6 sc in magic ring. (6){tail}")[0]
        assert list(plain(round.stated)) == [Count(6)]

    def test_the_last_of_two_is_kept(self):
        assert plain(rounds("Rnd 1: 6 sc in magic ring (6), 6 sc in ring. (12)")[0].stated) == (Count(12),)


class TestReadCounts:
    def read(self, text: str):
        found = tokens(fold(text), 0, "US")
        counts = read_counts(found, 0, len(found))
        return None if counts is None else [(c.amount, c.kind) for c in counts]

    @pytest.mark.parametrize(("text", "counts"), [
        ("18", [(18, None)]), ("18 sts", [(18, None)]), ("18 sc", [(18, "sc")]),
        ("12 dc, 4 ch-2 sps", [(12, "dc"), (4, "space 2")]),
        ("12 dc, 4 corner sps", [(12, "dc"), (4, "space")]), ("18, 20, 22", [((18, 20, 22), None)]),
        ("total: 18 sts", [(18, None)]),
        ("24 sc, 6 picots", [(24, "sc"), (6, "picot")]), ("3 sts, 2 chs", [(3, None), (2, "ch")]),
    ])
    def test_counts_and_nothing_else(self, text, counts):
        assert self.read(text) == counts

    @pytest.mark.parametrize("text", ["sc, inc", "18 sc in next st", "", "turn", "2 dc, ch 2, 2 dc", "18 bananas",
        "18 (20"])
    def test_anything_else_is_none(self, text):
        assert self.read(text) is None


class TestTakeCounts:
    def test_the_counts_are_taken_out(self):
        found = tokens("Sc in each st around. (18)", 0, "US")
        left, counts = take_counts(found)
        assert [c.amount for c in counts] == [18]
        assert not any(t.kind == "number" for t in left)

    def test_without_a_count_nothing_is_taken(self):
        found = tokens("(sc, inc) x 6", 0, "US")
        assert take_counts(found) == (found, [])

    @given(st.text(alphabet="()[]<>=-—,. 0123456789sctnxduringw", max_size=60))
    def test_whatever_stands_there(self, text):
        found = tokens(fold(text), 0, "US")
        left, counts = take_counts(found)
        assert len(left) <= len(found)
        assert all(0 <= c.span.start <= c.span.end <= len(text) for c in counts)
