"""What makes no stitch: rings, turns, joins, markers, colours; and remarks in brackets."""

from __future__ import annotations

import pytest
from passages import around, body, cursor, rest, rounds
from passages import st as stitch

from coach.notation.actions import is_remark, read_action, read_counts
from coach.notation.cursor import Cursor
from coach.notation.lexer import fold, tokens
from coach.notation.model import Action, Chain, Into

# words → kind of the action
ACTIONS = [
    ("magic ring", "ring"), ("MR", "ring"), ("adjustable ring", "ring"), ("magic circle", "ring"),
    ("magic loop", "ring"), ("a magic ring", "ring"),
    ("turn", "turn"), ("turn your work", "turn"), ("turn the work", "turn"),
    ("join", "join"), ("join with sl st", "join"), ("join with sl st in first st", "join"),
    ("join with a sl st to first sc", "join"),
    ("join with sl st in top of beg ch-3", "join"), ("sl st to join", "join"), ("sl st in beg sc", "join"),
    ("join to first hdc", "join"), ("close with sl st", "join"), ("sl st in top of ch-3", "join"), ("join rnd", "join"),
    ("fasten off", "fasten_off"), ("FO", "fasten_off"), ("finish off", "fasten_off"), ("break off", "fasten_off"),
    ("fasten off, leaving a tail", "fasten_off"),
    ("PM", "marker"), ("PM in first st", "marker"), ("move marker up", "marker"), ("SM", "marker"),
    ("mark this st", "marker"),
    ("change to B", "colour"), ("change to color B in last st", "colour"), ("drop A", "colour"), ("with MC", "colour"),
    ("switch to red", "colour"), ("join B in any st", "colour"), ("in color B", "colour"),
]


@pytest.mark.parametrize(("text", "kind"), ACTIONS)
def test_an_action(text, kind):
    c = cursor(text)
    (action,) = read_action(c)
    assert (type(action), action.kind) == (Action, kind)
    assert c.done, rest(c)


@pytest.mark.parametrize(("text", "told"), [
    ("Join yarn in any st", "join yarn in any st"), ("attach yarn to first st", "attach yarn to first st"),
    ("join colour B in any st", "join color b in any st"), ("join B in any st", "join b in any st"),
])
def test_yarn_that_is_joined_is_no_colour_unless_one_is_named(text, told):
    (action,) = read_action(Cursor(tokens(fold(text), 0, "US"), text=text))
    assert action.text == told


@pytest.mark.parametrize("text", ["without joining", "without turning"])
def test_what_is_not_done_in_passing_is_nothing(text):
    c = cursor(text)
    assert read_action(c) == []
    assert c.done


@pytest.mark.parametrize("text", ["do not join", "do not turn", "don't turn"])
def test_what_is_not_to_be_done_is_told(text):
    c = cursor(text)
    (action,) = read_action(c)
    assert action.kind == "note"
    assert c.done


@pytest.mark.parametrize("text", ["sc in next st", "sl st in next st", "sl st in next ch-2 sp",
    "sl st in 2nd ch from hook", "ch 3", "6 sc in ring", "(", "", "the", "x 6"])
def test_no_action_and_no_move(text):
    c = cursor(text)
    assert read_action(c) is None
    assert c.at == 0


class TestJoining:
    def test_to_a_ring_is_a_foundation(self):
        for words in ("join with sl st to form a ring", "sl st in first ch to form a ring", "join to form ring"):
            (action,) = read_action(cursor(words))
            assert (action.kind, action.text) == ("join", "ring")

    def test_it_goes_into_the_first(self):
        (action,) = read_action(cursor("join with sl st in first sc"))
        assert action.into == Into("first")

    def test_it_ends_before_what_comes_after_it(self):
        nodes = body("Sc in each st around; join with sl st in first sc, turn.")
        assert [getattr(n, "kind", None) for n in nodes[1:]] == ["join", "turn"]

    def test_a_chain_after_a_join_is_a_chain(self):
        nodes = body("Sc in each st around, join, ch 1.")
        assert nodes[-1] == Chain(1)


class TestSlipStitchesThatAreStitches:
    @pytest.mark.parametrize("line", ["Sl st in next st.", "Sl st in next 3 sts.", "Sl st in each st around."])
    def test_they_are_not_joins(self, line):
        assert not any(isinstance(n, Action) for n in body(line))


class TestInARound:
    def test_a_colour_at_its_start(self):
        nodes = body("With A, sc in each st around.")
        assert nodes[0].kind == "colour"
        assert nodes[1] == around(stitch("sc"))

    def test_a_marker_at_its_end(self):
        nodes = body("Sc in each st around, PM in first st.")
        assert nodes[0] == around(stitch("sc"))
        assert nodes[1].kind == "marker"

    def test_fastening_off_is_a_note(self):
        round = rounds("Rnd 1: 6 sc in magic ring. Fasten off, leaving a long tail.")[0]
        assert [n.kind for n in round.notes] == ["fasten_off"]
        assert not any(isinstance(n, Action) and n.kind == "fasten_off" for n in round.body)

    def test_the_other_side_of_a_chain(self):
        round = rounds("Ch 9.\nRnd 1: Sc in 2nd ch from hook, sc in next 6 chs, 3 sc in last ch, "
                       "working along other side of foundation ch, sc in next 7 chs.")[0]
        assert [n.kind for n in round.body if isinstance(n, Action)] == ["other_side"]


class TestWhatAChainCountsAs:
    @pytest.mark.parametrize(("words", "counts", "stands_for"), [
        ("(counts as dc)", True, "dc"),
        ("(counts as first dc)", True, "dc"),
        ("(counts as 1 dc)", True, "dc"),
        ("(counts as a st)", True, None),
        ("(counts as first st)", True, None),
        ("(does not count as a st)", False, None),
        ("(does not count as st)", False, None),
        ("(doesn't count as a st)", False, None),
        ("(do not count)", False, None),
        ("(does not count as dc)", False, None),
        ("(this counts as the first hdc)", True, "hdc"),
        (", counts as dc", True, "dc"),
        ("counts as first tr", True, "tr"),
        ("(always counts as a dc)", True, "dc"),
    ])
    def test_as_said(self, words, counts, stands_for):
        c = cursor(words)
        assert read_counts(c) == (counts, stands_for)
        assert c.done, rest(c)

    @pytest.mark.parametrize("words", ["", ", dc in next st", "(dc, ch 1)", "turn", "(note: pull tight)"])
    def test_nothing_said_and_no_move(self, words):
        c = cursor(words)
        assert read_counts(c) == (None, None)
        assert c.at == 0

    @pytest.mark.parametrize(("line", "chain"), [
        ("Ch 3 (counts as dc), dc in next 5 sts.", Chain(3, True, "dc")),
        ("Ch 2 (does not count as a st), hdc in each st around.", Chain(2, False, None)),
        ("Ch 1, sc in each st around.", Chain(1, None, None)),
        ("3ch (count as 1dc), dc in next 5 sts.", Chain(3, True, "dc")),
        ("Ch 4 (counts as dc, ch 1), dc in next 5 sts.", Chain(4, True, "dc", more=1)),
        ("Ch 5 counts as dc and ch 2, dc in next 5 sts.", Chain(5, True, "dc", more=2)),
    ])
    def test_in_a_round(self, line, chain):
        assert body(line)[0] == chain


class TestRemarks:
    @pytest.mark.parametrize("text", ["(RS)", "(counts as dc)", "(note: pull tight)", "(right side facing)",
        "(the front)", "(see picture)", "(optional)", "(right side of the work)"])
    def test_a_bracket_that_tells_something(self, text):
        c = cursor(text)
        close = c.closing()
        c.take()
        assert is_remark(c, close)

    @pytest.mark.parametrize("text", ["(sc, inc)", "(2 dc, ch 2, 2 dc)", "(sk next st)", "(inc)", "(dec)"])
    def test_a_bracket_that_is_worked(self, text):
        c = cursor(text)
        close = c.closing()
        c.take()
        assert not is_remark(c, close)

    def test_a_remark_in_a_round_is_passed_over(self):
        assert body("Sc in each st around (the right side faces you).") == (around(stitch("sc")),)

    def test_a_remark_in_the_middle_is_passed_over(self):
        assert body("Sc in each st (not too tight) around.") == (around(stitch("sc")),)
