"""Text into tokens of the trade: every one with its place, nothing lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.notation import read
from coach.notation.lexer import Token, fold, pieces, tokens

# written → tokens (kind, value)
US = [
    ("sc 3", [("stitch", "sc"), ("number", 3)]),
    ("3sc", [("number", 3), ("stitch", "sc")]),
    ("1sc, 1dec", [("number", 1), ("stitch", "sc"), ("mark", ","), ("number", 1), ("word", "dec")]),
    ("3ch", [("number", 3), ("word", "ch")]),
    ("ch 3", [("word", "ch"), ("number", 3)]),
    ("6scmr", [("number", 6), ("stitch", "sc"), ("word", "mr")]),
    ("incx6", [("word", "inc"), ("word", "x"), ("number", 6)]),
    ("2sc dec x6", [("number", 2), ("stitch", "sc"), ("word", "dec"), ("word", "x"), ("number", 6)]),
    ("2 sc dec", [("number", 2), ("stitch", "sc2tog")]),
    ("<b>sc</b> &times; 6", [("stitch", "sc"), ("word", "x"), ("number", 6)]),
    ("sc【6】", [("stitch", "sc"), ("mark", "["), ("number", 6), ("mark", "]")]),
    ("ch-3 sp", [("space", 3), ("word", "sp")]),
    ("chain-3 space", [("space", 3), ("word", "sp")]),
    ("3-ch sp", [("space", 3), ("word", "sp")]),
    ("2 ch space", [("space", 2), ("word", "sp")]),
    ("ch-2 corner sp", [("space", 2), ("word", "corner"), ("word", "sp")]),
    ("2nd ch from hook", [("ordinal", 2), ("word", "ch"), ("word", "from"), ("word", "hook")]),
    ("second chain", [("ordinal", 2), ("word", "ch")]),
    ("single crochet", [("stitch", "sc")]),
    ("half double crochet", [("stitch", "hdc")]),
    ("Double Crochet", [("stitch", "dc")]),
    ("sl st", [("stitch", "slst")]),
    ("slip stitch", [("stitch", "slst")]),
    ("sc2tog", [("stitch", "sc2tog")]),
    ("dc4tog", [("stitch", "dc4tog")]),
    ("fpdc", [("stitch", "fpdc")]),
    ("twelve stitches", [("number", 12), ("word", "st")]),
    ("twenty-four sts", [("number", 24), ("word", "st")]),
    ("a dozen", [("word", "a"), ("number", 12)]),
    ("inv dec", [("stitch", "invdec")]),
    ("*sc; rep from *", [("mark", "*"), ("stitch", "sc"), ("mark", ";"), ("word", "rep"), ("word", "from"), ("mark",
    "*")]),
    ("**", [("mark", "**")]),
    ("(sc)", [("mark", "("), ("stitch", "sc"), ("mark", ")")]),
    ("in each st around", [("word", "in"), ("word", "each"), ("word", "st"), ("word", "around")]),
    ("into every stitch round", [("word", "in"), ("word", "each"), ("word", "st"), ("word", "around")]),
    ("skip, sk, miss", [("word", "skip"), ("mark", ","), ("word", "skip"), ("mark", ","), ("word", "skip")]),
    ("blorp", [("word", "blorp")]),
    ("", []),
]
UK = [
    ("dc", "sc"), ("htr", "hdc"), ("tr", "dc"), ("dtr", "tr"), ("double crochet", "sc"), ("treble", "dc"),
    ("half treble", "hdc"),
    ("double treble", "tr"), ("dc2tog", "sc2tog"), ("tr3tog", "dc3tog"), ("ss", "slst"), ("slip stitch", "slst"),
]


def said(text: str, terms: str = "US", special: frozenset[str] = frozenset()) -> list[tuple[str, object]]:
    return [(t.kind, t.value) for t in tokens(fold(text), 0, terms, special)]


@pytest.mark.parametrize(("text", "expected"), US)
def test_us(text, expected):
    assert said(text) == expected


@pytest.mark.parametrize(("text", "id"), UK)
def test_uk_names_are_us_ids(text, id):
    assert said(text, "UK") == [("stitch", id)]


class TestSizes:
    @pytest.mark.parametrize(("text", "amount"), [
        ("7 (8, 9) sts", (7, 8, 9)),
        ("7 [8, 9] sts", (7, 8, 9)),
        ("50 (54, 58, 62) ch", (50, 54, 58, 62)),
        ("4 (6) rnds", (4, 6)),
        ("4 (5, 6) times", (4, 5, 6)),
    ])
    def test_a_number_and_others_in_brackets_are_one_for_each_size(self, text, amount):
        assert said(text)[0] == ("number", amount)

    @pytest.mark.parametrize("text", ["sc 7 (8 sts)", "6 (sc, inc)", "7 (8"])
    def test_other_brackets_are_brackets(self, text):
        assert all(not isinstance(value, tuple) for _, value in said(text))


class TestOwnStitches:
    def test_a_name_that_the_pattern_defines_is_one(self):
        assert said("Pebble in next st", special=frozenset({"pebble"}))[0] == ("stitch", "pebble")

    def test_of_several_words(self):
        assert said("wave st in next st", special=frozenset({"wave st"}))[0] == ("stitch", "wave st")

    def test_it_goes_before_the_usual_meaning(self):
        assert said("shell in next st", special=frozenset({"shell"}))[0] == ("stitch", "shell")

    def test_without_the_definition_it_is_a_word(self):
        assert said("pebble")[0] == ("word", "pebble")


class TestTypography:
    @pytest.mark.parametrize(("printed", "plain"), [
        ("ｓｃ", "sc"), ("６", "6"), ("（sc）", "(sc)"), ("“sc”", '"sc"'), ("don’t", "don't"), ("6–9", "6-9"),
        ("ch‑2", "ch-2"), ("3×", "3x"),
        ("sc\u00a06", "sc 6"), ("＊sc", "*sc"), ("sc\t6", "sc 6"), ("ﬁ", "ﬁ"), ("…", "."), ("sc", "sc"),
    ])
    def test_variants_are_folded(self, printed, plain):
        assert fold(printed) == plain

    @given(st.text(max_size=300))
    def test_folding_keeps_every_offset(self, text):
        assert len(fold(text)) == len(text)

    @given(st.text(max_size=300))
    def test_folding_twice_is_folding_once(self, text):
        assert fold(fold(text)) == fold(text)

    @given(st.text(max_size=100))
    def test_lines_stay_lines(self, text):
        assert fold(text).count("\n") == text.count("\n")


class TestSpans:
    @given(st.text(max_size=200), st.integers(0, 1000), st.sampled_from(["US", "UK"]))
    def test_tokens_follow_one_another_inside_the_text(self, text, start, terms):
        at = start
        for token in tokens(fold(text), start, terms):
            assert at <= token.start < token.end <= start + len(text)
            at = token.end

    @given(st.text(max_size=200))
    def test_no_letter_and_no_number_is_lost(self, text):
        folded = fold(text)
        covered = set()
        for token in pieces(folded):
            covered.update(range(token.start, token.end))
        for i, c in enumerate(folded):
            assert i in covered or not c.isalnum(), (i, c)

    @given(st.sampled_from([text for text, _ in US]), st.integers(0, 10**6))
    def test_a_later_start_only_moves_them(self, text, start):
        assert [(t.start - start, t.end - start) for t in tokens(fold(text), start, "US")] == [(t.start,
            t.end) for t in tokens(fold(text), 0, "US")]

    @given(st.lists(st.sampled_from("Sc in each st around next two seal rnd K.".split()), max_size=12))
    def test_words_of_a_phrase_are_those_that_stand_alone(self, words):
        text = " ".join(words)
        alone = [token for i, word in enumerate(words) for token in pieces(word, len(" ".join([*words[:i], ""])))]
        assert pieces(text) == alone

    def test_a_token_of_several_words_spans_them(self):
        (token,) = tokens("half double crochet", 0, "US")
        assert (token.start, token.end) == (0, 19)
        assert token.span.end == 19


class TestIndependence:
    @given(st.sampled_from([text for text, _ in US]), st.sampled_from([str.upper, str.lower, str.title]))
    def test_case_makes_no_difference(self, text, change):
        assert said(change(text)) == said(text)

    @given(st.sampled_from([text for text, _ in US]), st.sampled_from(["  ", " \t", "\u00a0"]))
    def test_spacing_makes_no_difference(self, text, space):
        wide = text.replace(", ", "," + space).replace("; ", ";" + space)
        assert said(wide) == said(text)


class TestTokens:
    def test_is_asks_for_words_and_marks_only(self):
        assert Token("word", "in", 0, 2).is_("in", "on")
        assert Token("mark", ",", 0, 1).is_(",")
        assert not Token("stitch", "sc", 0, 2).is_("sc")
        assert not Token("number", 3, 0, 1).is_("3")

    def test_very_long_numbers_are_cut_and_not_refused(self):
        (token,) = pieces("9" * 500)
        assert token.value == int("9" * 18)


@pytest.mark.parametrize("row", ["1 | 6 sc in MR | 6", "| 1 | 6 sc in MR | 6 |", "Rnd 1 | 6 sc in MR | 6", "1|6 sc in MR|6"])
def test_a_row_of_a_table_is_a_round_with_its_count(row):
    folded = fold(row)
    assert len(folded) == len(row) and folded.count(":") == folded.count("=") == 1
    (round,) = [r for part in read(f"Rnd | Instructions | Sts\n{row}").parts for r in part.rounds]
    assert [c.amount for c in round.stated] == [6]
