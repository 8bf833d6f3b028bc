"""One round's instructions into nodes: what is worked, into what, how often."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, inc, kinds, rounds, spans, times, until
from passages import st as stitch

from coach.notation.cursor import Cursor
from coach.notation.grammar import Grammar
from coach.notation.lexer import fold, tokens
from coach.notation.model import SAME, Chain, Evenly, Group, Into, Skip, Unread
from coach.notation.stitches import main_stitch

SC, HDC, DC, DEC = stitch("sc"), stitch("hdc"), stitch("dc"), stitch("sc2tog")
SPACE2 = Into("space", 2)

# a round → its nodes
PLAIN = [
    ("Sc in each st around.", [around(SC)]),
    ("Sc in every stitch round.", [around(SC)]),
    ("Sc around.", [around(SC)]),
    ("Single crochet in each stitch around.", [around(SC)]),
    ("Work 1 sc in each st around.", [around(SC)]),
    ("Work single crochet into each stitch to the end.", [around(SC)]),
    ("Sc in next st.", [SC]),
    ("Sc in next 3 sts.", [times(3, SC)]),
    ("Sc in each of next 3 sts.", [times(3, SC)]),
    ("Sc in the next three stitches.", [times(3, SC)]),
    ("1 sc in each of the next 3 sts.", [times(3, SC)]),
    ("3 sc.", [times(3, SC)]),
    ("Sc 3.", [times(3, SC)]),
    ("3sc.", [times(3, SC)]),
    ("Sc x 3.", [times(3, SC)]),
    ("Sc 3 times.", [times(3, SC)]),
    ("Sc, hdc, dc.", [SC, HDC, DC]),
    ("Sc in next st, dc in next st.", [SC, DC]),
    ("Sc in next st and dc in next st.", [SC, DC]),
    ("Sc in next st, then dc in next st.", [SC, DC]),
    ("Sc in each st to last 2 sts, dc in last 2 sts.", [until(2, SC), times(2, DC)]),
]
SHAPING = [
    ("2 sc in next st.", [inc()]),
    ("2 sc in each st around.", [around(inc())]),
    ("Inc in each st around.", [around(inc())]),
    ("Inc around.", [around(inc())]),
    ("Inc.", [inc()]),
    ("1 inc.", [inc()]),
    ("Increase in next st.", [inc()]),
    ("Inc x 6.", [times(6, inc())]),
    ("6 inc.", [times(6, inc())]),
    ("Inc 6 times.", [times(6, inc())]),
    ("2 hdc in next st.", [inc("hdc")]),
    ("3 dc in next st.", [inc("dc", 3)]),
    ("Work two single crochet in the following stitch.", [inc()]),
    ("Sc2tog.", [DEC]),
    ("Dec.", [DEC]),
    ("Sc2tog around.", [around(DEC)]),
    ("Sc next 2 sts together.", [DEC]),
    ("Dec over next 2 sts.", [DEC]),
    ("Sc2tog over next 4 sts.", [times(2, DEC)]),
    ("Sc2tog 3 times.", [times(3, DEC)]),
    ("Inv dec.", [stitch("invdec")]),
    ("Invisible decrease.", [stitch("invdec")]),
    ("Dc3tog.", [stitch("dc3tog")]),
    ("Inc 6 sts evenly around.", [Evenly("inc", 6)]),
    ("Dec 4 sts evenly.", [Evenly("dec", 4)]),
]
PLACES = [
    ("Dc in same st.", [stitch("dc", SAME)]),
    ("Sc in next ch-2 sp.", [stitch("sc", SPACE2)]),
    ("3 dc in next ch-2 sp.", [Group((DC,) * 3, SPACE2)]),
    ("(2 dc, ch 2, 2 dc) in next ch-2 sp.", [Group((times(2, DC), Chain(2), times(2, DC)), SPACE2)]),
    ("(Dc, ch 1, dc) in next st.", [Group((DC, Chain(1), DC))]),
    ("[Dc, ch 1, dc] into next st.", [Group((DC, Chain(1), DC))]),
    ("(Dc, ch 1, dc) in same st.", [Group((DC, Chain(1), DC), SAME)]),
    ("In next st work (dc, ch 1, dc).", [Group((DC, Chain(1), DC))]),
    ("In next st work dc, ch 1, dc.", [Group((DC, Chain(1), DC))]),
    ("Sc in BLO of next st.", [stitch("sc", loop="back")]),
    ("Sc in back loop of each st around.", [around(stitch("sc", loop="back"))]),
    ("In BLO, sc in each st around.", [around(stitch("sc", loop="back"))]),
    ("BLO sc in each st around.", [around(stitch("sc", loop="back"))]),
    ("In FLO: sc in next 3 sts, dc in next st.", [times(3, stitch("sc", loop="front")), stitch("dc", loop="front")]),
    ("Working in back loops only, *sc in next st, sc2tog; rep from * around.",
     [around(stitch("sc", loop="back"), stitch("sc2tog", loop="back"))]),
    ("Ch 1, working in BLO, sc in each st around.", [Chain(1), around(stitch("sc", loop="back"))]),
    ("Sc in each st around, working in back loops only.", [around(stitch("sc", loop="back"))]),
    ("Sc in next 3 sts, working in FLO, dc in next st.", [times(3, SC), stitch("dc", loop="front")]),
    ("2 sc in FLO of next st.", [inc(loop="front")]),
    ("FPdc around next st.", [stitch("fpdc")]),
]
CHAINS = [
    ("Ch 1, sc in each st around.", [Chain(1), around(SC)]),
    ("1ch, 1sc into each st to end.", [Chain(1), around(SC)]),
    ("Chain 1, sc around.", [Chain(1), around(SC)]),
    ("Sc, ch 3, sc.", [SC, Chain(3), SC]),
    ("Sc, ch-3, sc.", [SC, Chain(3), SC]),
    ("Sk next st, sc in next st.", [Skip(1), SC]),
    ("Skip 2 sts, sc in next st.", [Skip(2), SC]),
    ("Miss next 2 sts, sc in next st.", [Skip(2), SC]),
    ("Sk first st, dc in next st.", [Skip(1, first=True), DC]),
    ("Sk 1, sc.", [Skip(1), SC]),
    ("Sk next ch-1 sp, sc in next st.", [Skip(1, "space"), SC]),
    ("Sc in next 6 sts, leave remaining sts unworked.", [times(6, SC), Skip(0, "rest")]),
]


@pytest.mark.parametrize(("line", "nodes"), [*PLAIN, *SHAPING, *PLACES, *CHAINS])
def test_a_round(line, nodes):
    assert list(body(line)) == nodes
    assert kinds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}") == []


class TestMainStitch:
    """`inc` and `dec` are of the stitch that the round is made of."""

    @pytest.mark.parametrize(("line", "node"), [
        ("(Hdc in next st, inc) x 3.", times(3, HDC, inc("hdc"))), ("(Dc, inc) x 3.", times(3, DC, inc("dc"))),
        ("(Dc, dec) x 3.", times(3, DC, stitch("dc2tog")))])
    def test_of_this_round(self, line, node):
        assert body(line) == (node,)

    @pytest.mark.parametrize(("text", "id"), [("dc 3, sc", "dc"), ("ch 3, tr", "tr"), ("inc, inc", "sc"), ("", "sc"),
        ("sl st, hdc", "hdc")])
    def test_the_first_named(self, text, id):
        assert main_stitch(tokens(text, 0, "US")) == id


class TestSeveralSizes:
    @pytest.mark.parametrize(("line", "node"), [
        ("Sc in next 4 (5, 6) sts.", times((4, 5, 6), SC)), ("(Sc, inc) 4 (5, 6) times.", times((4, 5, 6), SC, inc())),
        ("Ch 3 (4, 5).", Chain((3, 4, 5))),
        ("Sk 2 (3, 4) sts.", Skip((2, 3, 4))), ("Sc in each st to last 3 (4, 5) sts.", until((3, 4, 5), SC))])
    def test_a_number_for_each(self, line, node):
        assert body(line)[0] == node


class TestOwnStitches:
    HEADING = "## Special stitches\n\nShell: 5 dc in next st.\n\n## Body\n\n"

    def test_a_defined_stitch_is_a_group_of_its_own(self):
        assert body("Shell, sc.", self.HEADING)[0] == Group((times(5, DC),))

    def test_in_a_place(self):
        (group,) = body("Shell in next ch-2 sp.", self.HEADING)
        assert (type(group), group.into) == (Group, SPACE2)

    def test_without_a_definition_it_is_that_of_the_catalogue(self):
        assert body("Shell, sc.")[0] == stitch("shell")


class TestWhatCanNotBeRead:
    @pytest.mark.parametrize("line", ["Blorp in each st.", "Sc, frobnicate, sc.", "Sc in next xyz."])
    def test_it_is_kept_as_written(self, line):
        words = [n.text for n in rounds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")[1].body if isinstance(n, Unread)]
        assert words and all(w in line for w in words)

    def test_what_stands_around_it_is_still_read(self):
        nodes = body("Sc, frobnicate, dc.")
        assert nodes[0] == SC and nodes[2] == DC

    @pytest.mark.parametrize("line", ["(Sc, inc x 6.", "[Sc, inc) x 6", "((Sc, inc) x 6."])
    def test_an_open_bracket_is_a_fault(self, line):
        assert "bracket" in kinds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")

    def test_hostile_depth_is_a_fault(self):
        line = "(" * 5000 + "sc" + ")" * 5000
        assert "bracket" in kinds(f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line} x 6.")


class TestSpans:
    @pytest.mark.parametrize("line", [case[0] for case in [*PLAIN, *SHAPING, *PLACES, *CHAINS]])
    def test_every_node_lies_in_its_line(self, line):
        text = f"Rnd 1: 6 sc in magic ring.\nRnd 2: {line}"
        start = text.index(line)
        for span in spans(rounds(text)[1].body):
            assert start <= span.start < span.end <= len(text)

    def test_a_node_spans_its_words(self):
        text = "Rnd 1: 6 sc in magic ring.\nRnd 2: Sc in next 3 sts, 2 dc in next st, ch 4."
        assert [text[n.span.start:n.span.end] for n in rounds(text)[1].body] == ["Sc in next 3 sts", "2 dc in next st",
            "ch 4"]


class TestIndependence:
    """Case, spacing and punctuation change nothing."""

    LINES = st.sampled_from([case[0] for case in [*PLAIN, *SHAPING, *PLACES]])

    @given(LINES, st.sampled_from([str.upper, str.lower]))
    def test_of_case(self, line, change):
        assert body(change(line)) == body(line)

    @given(LINES)
    def test_of_the_full_stop(self, line):
        assert body(line.rstrip(".")) == body(line)

    @given(LINES)
    def test_of_wide_spaces(self, line):
        assert body(line.replace(" ", "  ")) == body(line)

    @given(LINES)
    def test_of_the_kind_of_bracket(self, line):
        assert body(line.replace("(", "[").replace(")", "]")) == body(line)

    @given(LINES)
    def test_of_printed_forms(self, line):
        wide = line.translate({ord(c): ord(c) + 0xFEE0 for c in "0123456789(),"})
        assert body(wide) == body(line)


class TestItems:
    def test_all_tokens_are_read(self):
        c = Cursor(tokens(fold("Sc, inc, (dc, ch 1) x 3"), 0, "US"))
        nodes = Grammar("Sc, inc, (dc, ch 1) x 3").items(c)
        assert c.done and len(nodes) == 3

    @given(st.text(alphabet="scdhxinctogr 0123456789,.;:()[]{}*-=&+", max_size=80))
    def test_it_ends_whatever_it_reads(self, text):
        c = Cursor(tokens(fold(text), 0, "US"))
        Grammar(text).items(c)
        assert c.done
