"""What holds for the whole text: terms, sizes, lists of materials."""

from __future__ import annotations

import pytest
from passages import kinds

from coach.notation.document import sections
from coach.notation.header import plain, sizes_of, terms_of
from coach.notation.lexer import fold


class TestTerms:
    @pytest.mark.parametrize(("text", "terms"), [
        ("6 sc in ring", "US"), ("6 hdc in ring", "US"), ("6 htr in ring", "UK"), ("Half treble in each st", "UK"),
        ("6 dc in ring", "US"), ("UK terms. 6 dc in ring", "UK"),
        ("U.K. terminology", "UK"), ("British crochet terms", "UK"), ("Written in US terms; 6 dc", "US"),
        ("American terms", "US"), ("Terms used: British", "UK"),
        ("3 doubles, 1 treble", "UK"), ("", "US"), ("The UK is rainy.", "US"), ("Socks (UK)\n6 dc", "UK"),
    ])
    def test_what_a_text_is_written_in(self, text, terms):
        assert terms_of(text) == (terms, [])

    @pytest.mark.parametrize(("text", "terms"), [
        ("The pattern is written in US terms. Its rounds are put into UK terms here.", "UK"),
        ("US terms and UK terms differ. The instructions below are in UK abbreviations.", "UK"),
        ("The rounds are in US terms; its notes are as they were, in UK terms.", "US"),
        ("UK terms. Rounds are joined. The US terms are in brackets.", "UK"),
    ])
    def test_what_is_said_of_the_rounds_holds_for_them(self, text, terms):
        assert terms_of(text)[0] == terms

    @pytest.mark.parametrize(("text", "terms", "where"), [
        ("6 sc, then 6 htr", "US", "htr"), ("6 htr, then 6 sc", "UK", "sc"), ("UK terms\n6 sc, 6 htr", "UK", "sc"),
        ("US terms\n6 htr, 6 sc", "US", "htr"), ("UK terms\n6 sc", "UK", "sc"),
    ])
    def test_a_mixture_is_a_fault_where_the_other_begins(self, text, terms, where):
        found, (problem,) = terms_of(text)
        assert (found, problem.kind) == (terms, "terms")
        assert text[problem.span.start:problem.span.end].lstrip("0123456789 ") == where

    def test_a_line_that_compares_the_two_mixes_nothing(self):
        assert terms_of("US sc is UK dc, US hdc is UK htr.\nRnd 1: 6 sc.")[1] == []

    @pytest.mark.parametrize("text", ["US terms. hdc is what a UK pattern calls a half treble\n(htr).\nRnd 1: 6 sc.",
        "US terms.\nhdc: half double crochet, in UK terms\nhalf treble.\nRnd 1: 6 sc."])
    def test_nor_does_the_line_that_such_a_line_runs_on_to(self, text):
        assert terms_of(text) == ("US", [])

    def test_nor_does_a_table_with_a_column_for_each(self):
        table = "US | UK | Meaning\nhdc | htr | half double crochet\nsc | dc | single crochet"
        assert terms_of(fold(table)) == ("US", [])

    def test_in_a_pattern_it_is_one_fault(self):
        assert kinds("Rnd 1: 6 sc in magic ring.\nRnd 2: Htr in each st.\nRnd 3: Htr in each st.") == ["terms"]


class TestSizes:
    def of(self, text: str) -> tuple[str, ...]:
        return sizes_of(sections(text)[1])

    @pytest.mark.parametrize(("text", "sizes"), [
        ("# Cap\n\nSizes: S (M, L)", ("S", "M", "L")), ("# Cap\n\nSize: Child [Adult]", ("Child", "Adult")),
        ("# Cap\n\n## Sizes\n\nS (M, L)", ("S", "M", "L")),
        ("# Cap\n\nTo fit S (M, L, XL)", ("S", "M", "L", "XL")), ("# Cap\n\nSizes: S/M/L", ("S", "M", "L")),
        ("# Cap\n\nSizes: 1 (2, 3)", ("1", "2", "3")),
        ("# Cap\n\nFinished size: 20 cm (8 in)", ()), ("# Cap\n\nA cap (of two colours).", ()), ("# Cap", ()), ("", ()),
    ])
    def test_their_names_smallest_first(self, text, sizes):
        assert self.of(text) == sizes


class TestLists:
    def test_lines_without_their_marks(self):
        _, found = sections("# Seal\n\n## Materials\n\n- grey yarn, 50 g\n* hook, 3 mm\n• eyes\n\n## Body\n")
        assert plain(found, "materials") == ("grey yarn, 50 g", "hook, 3 mm", "eyes")
        assert plain(found, "gauge") == ()

    @pytest.mark.parametrize(("lines", "entries"), [
        ("50 g of grey yarn, or as much as\n  two pairs of socks leave\n4 mm hook",
         ("50 g of grey yarn, or as much as two pairs of socks leave", "4 mm hook")),
        ("- grey yarn, 50 g\n  in all\n- hook", ("grey yarn, 50 g in all", "hook")),
        ("filling for the head of\nthe seal\nhook", ("filling for the head of the seal", "hook")),
        ("Yarn:\n    grey, 50 g\n    black, 5 g\nHook", ("Yarn:", "grey, 50 g", "black, 5 g", "Hook")),
        ("- grey yarn\n  - 50 g for the body\n  - 5 g for the fins", ("grey yarn", "50 g for the body", "5 g for the fins")),
        ("grey yarn\nhook\neyes", ("grey yarn", "hook", "eyes")),
        ("grey yarn\n\n    hook", ("grey yarn", "hook")),
    ])
    def test_a_line_that_hangs_below_an_entry_or_ends_it_is_part_of_it(self, lines, entries):
        _, found = sections(f"# Seal\n\n## Materials\n{lines}\n\n## Body\n")
        assert plain(found, "materials") == entries


@pytest.mark.parametrize(("text", "terms"), [
    ("Blanket square UK\n\nRound 1: 4 ch, ss to form ring, 3 ch, 11 tr in ring.", "UK"),
    ("UK buoy\n\nRound 1: Magic ring, 6 dc.\nRound 2: 2 tr in each st.", "UK"),
    ("# Blanket square (UK)\n\nRound 1: 4 ch, ss to form ring, 3 ch, 11 tr in ring.", "UK"),
    ("Blanket square\n\nRound 1: 4 ch, sl st to form ring, ch 3, 11 tr in ring. The yarn is from the UK", "US"),
    ("Blanket square UK\n\nRound 1: 6 sc in magic ring.", "US"),
    ("Hook: UK 8\n\nRound 1: Magic ring, 6 dc.\nRound 2: 2 tr in each st.", "US"),
])
def test_a_title_that_names_the_country_tells_the_terms(text, terms):
    assert terms_of(text)[0] == terms
