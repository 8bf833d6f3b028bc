"""A whole page read: its title and materials, terms, sizes, own stitches, parts and assembly, and its faults."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from passages import kinds, plain, rounds, spans

from coach.notation import read
from coach.notation.lexer import fold
from coach.notation.model import Chain, Group
from coach.notation.reader import terms_of

PUFFIN = """# Puffin on a post

A small puffin, worked from the head down.

## Materials

- 30 g of black yarn
- Hook, 3 mm

## Gauge

12 sc and 13 rnds to 5 cm

## Abbreviations

sc = single crochet, inc = increase, dec = invisible decrease

## Body

Worked in one.

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnd 3: (Sc, inc) x 6. (18) Stuff.
Rnds 4-6: Sc in each st around. (18)
Rnd 7: (Sc, dec) x 6. (12)

Fasten off.

## Wing (make 2)

Ch 7.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (6)

## Assembly

1. Sew the wings to the body. Weave in the ends.
2. Caution: keep away from small children.
"""


class TestPage:
    PATTERN = read(PUFFIN)

    def test_it_has_no_faults(self):
        assert self.PATTERN.faults == ()

    def test_what_stands_before_the_parts(self):
        p = self.PATTERN
        assert (p.title, p.terms, p.sizes) == ("Puffin on a post", "US", ())
        assert p.materials == ("30 g of black yarn", "Hook, 3 mm")
        assert p.gauge == ("12 sc and 13 rnds to 5 cm",)
        assert [n.text for n in p.notes] == ["A small puffin, worked from the head down."]

    def test_abbreviations_as_written(self):
        assert dict(self.PATTERN.abbreviations) == {
            "sc": "single crochet", "inc": "increase", "dec": "invisible decrease"}

    def test_parts(self):
        assert [(p.name, p.make, len(p.rounds)) for p in self.PATTERN.parts] == [("Body", 1, 7), ("Wing", 2, 1)]
        assert [n.text for n in self.PATTERN.parts[0].notes] == ["Worked in one."]

    def test_what_dec_means_here(self):
        body = self.PATTERN.parts[0].rounds[6].body
        assert plain(body)[0].body[1].stitch == "invdec"

    def test_notes_of_rounds(self):
        body = self.PATTERN.parts[0]
        assert [n.kind for n in body.rounds[2].notes] == ["stuff"]
        assert [n.kind for n in body.rounds[6].notes] == ["fasten_off"]

    def test_assembly_one_sentence_a_note(self):
        assert [(n.kind, n.text) for n in self.PATTERN.assembly] == [
            ("sew", "Sew the wings to the body."), ("note", "Weave in the ends."),
            ("caution", "Caution: keep away from small children.")]

    def test_without_headings_it_reads_the_same(self):
        pasted = PUFFIN.replace("# ", "").replace("#", "")
        a, b = read(PUFFIN), read(pasted)
        assert a.title == b.title
        assert [(p.name, p.make) for p in a.parts] == [(p.name, p.make) for p in b.parts]
        assert [plain(r.body) for p in a.parts for r in p.rounds] == [plain(r.body) for p in b.parts for r in p.rounds]

    def test_line_ends_of_another_system_change_nothing(self):
        a, b = read(PUFFIN), read(PUFFIN.replace("\n", "\r\n"))
        assert [plain(r.body) for p in a.parts for r in p.rounds] == [plain(r.body) for p in b.parts for r in p.rounds]
        assert a.title == b.title and not b.faults


class TestTerms:
    @pytest.mark.parametrize(("text", "terms"), [
        ("Rnd 1: 6 sc in magic ring.", "US"),
        ("Rnd 1: 6 dc in magic ring.", "US"),
        ("UK terms\n\nRnd 1: 6 dc in magic ring.", "UK"),
        ("This pattern is in British terms.\n\nRnd 1: 6 dc in ring.", "UK"),
        ("US terminology\n\nRnd 1: 6 dc in magic ring.", "US"),
        ("American crochet terms are used.\n\nRnd 1: 6 dc in ring.", "US"),
        ("Terms: UK\n\nRnd 1: 6 dc in ring.", "UK"),
        ("Rnd 1: 6 htr in magic ring.", "UK"),
        ("Rnd 1: 6 half trebles in magic ring.", "UK"),
        ("Rnd 1: 8 hdc in magic ring.", "US"),
        ("", "US"),
    ])
    def test_which(self, text, terms):
        assert read(text).terms == terms
        assert terms_of(fold(text))[0] == terms

    def test_uk_names_are_us_stitches(self):
        (node,) = plain(rounds("UK terms\n\nRnd 1: 6 dc in magic ring.\nRnd 2: Tr in each st around.")[1].body)
        assert node.body[0].stitch == "dc"

    @pytest.mark.parametrize("text", [
        "Rnd 1: 6 sc in magic ring.\nRnd 2: Htr in each st around.",
        "UK terms\n\nRnd 1: 6 sc in magic ring.",
        "Rnd 1: 8 hdc in magic ring.\nRnd 2: 2 htr in each st around.",
    ])
    def test_a_mixture_is_a_fault(self, text):
        assert "terms" in kinds(text)


class TestSizes:
    @pytest.mark.parametrize(("line", "sizes"), [
        ("Sizes: S (M, L)", ("S", "M", "L")),
        ("Sizes: S (M, L, XL)", ("S", "M", "L", "XL")),
        ("Size: Small (Medium, Large)", ("Small", "Medium", "Large")),
        ("Sizes: Baby [Child, Adult]", ("Baby", "Child", "Adult")),
        ("To fit: S (M)", ("S", "M")),
        ("## Sizes\n\nS (M, L)", ("S", "M", "L")),
        ("S (M, L): Ch 50 (54, 58).", ("S", "M", "L")),
        ("Finished size: 12 cm (about 5 in)", ()),
        ("One size", ()),
    ])
    def test_their_names(self, line, sizes):
        assert read(f"# Sleeve\n\n{line}\n\n## Body\n\nRnd 1: 6 sc in magic ring.").sizes == sizes

    def test_on_the_first_line(self):
        assert read("Sizes: S (M, L)\n\nRnd 1: 6 sc in magic ring.").sizes == ("S", "M", "L")

    @pytest.mark.parametrize(("line", "wrong"), [
        ("Rnd 2: Inc 2 (4, 6) sts evenly around.", False), ("Rnd 2: (Sc, inc) 2 (3) times.", True),
        ("Rnd 2: Sc in each st around. (6, 7, 8, 9)", True)])
    def test_a_list_of_another_length_is_a_fault(self, line, wrong):
        text = f"# Sleeve\n\nSizes: S (M, L)\n\nRnd 1: 6 sc in magic ring.\n{line}"
        assert ("sizes" in kinds(text)) == wrong


class TestOwnStitches:
    @pytest.mark.parametrize("definition", [
        "## Special stitches\n\nShell: 5 dc in same st.",
        "## Special stitches\n\nShell (sh): work 5 dc in next st.",
        "## Special stitches\n\n- Shell = 5 dc in one st",
        "## Abbreviations\n\nshell = 5 dc in same st",
        "Special stitch: Shell = 5 dc in next st.",
    ])
    def test_a_defined_shell(self, definition):
        text = f"# Edging\n\n{definition}\n\n## Edging\n\nFsc 12.\nRow 1: *Shell in next st, sk 1; rep from * across."
        repeat = plain(rounds(text)[0].body)[0]
        assert isinstance(repeat.body[0], Group)
        assert kinds(text) == []

    def test_a_definition_with_chains(self):
        text = ("# Edging\n\n## Special stitches\n\nV-st: (dc, ch 2, dc) in next st.\n\n"
                "## Edging\n\nFsc 12.\nRow 1: *V-st in next st, sk 1; rep from * across.")
        group = plain(rounds(text)[0].body)[0].body[0]
        assert Chain(2) in group.body


class TestFaults:
    ONE = "Rnd 1: 6 sc in magic ring. (6)\n"

    @pytest.mark.parametrize(("text", "kind", "line"), [
        (ONE + "Rnd 2: Sc in each blorp around.", "unknown", 2),
        (ONE + "Rnd 2: (Sc, inc x 3.", "bracket", 2),
        (ONE + "Rnd 3: Sc in each st around.", "missing", 2),
        (ONE + "Rnd 2: Sc in each st around.\nRnd 2: Sc in each st around.", "twice", 3),
        (ONE + "Rnd 2: Rep Rnd 7.", "missing", 2),
        (ONE + "Rnd 2: Htr in each st around.", "terms", 2),
        ("A page of prose about puffins, and nothing to work.", "empty", 1),
    ])
    def test_each_at_its_line(self, text, kind, line):
        assert (kind, line) in [(f.kind, f.line) for f in read(text).faults]

    @pytest.mark.parametrize("text", [
        ONE + "Rnd 2: Sc in each st around.", ONE + "Rnd 2: (Sc, inc) x 3.", ONE + "Rnds 2-4: Sc in each st around.",
        ONE + "Rnd 2: Rep Rnd 1."])
    def test_and_none_where_nothing_is_wrong(self, text):
        assert kinds(text) == []

    def test_the_column_is_that_of_the_word(self):
        (fault,) = read(self.ONE + "Rnd 2: Sc, blorp, sc.").faults
        assert (fault.line, fault.column, fault.end_column) == (2, 12, 17)

    def test_an_unknown_word_has_the_nearest_known_ones(self):
        (fault,) = read(self.ONE + "Rnd 2: Sc, dc, skipp, sc.").faults
        assert "skip" in fault.hint

    def test_so_has_a_misspelt_stitch(self):
        (fault,) = read(self.ONE + "Rnd 2: Bobbel in next st, sc in next 5 sts.").faults
        assert "bobble" in fault.hint

    def test_rounds_that_share_a_line_share_its_fault(self):
        assert kinds(self.ONE + "Rnds 2-9: Sc in each blorp around.") == ["unknown"]

    @pytest.mark.parametrize("text", [PUFFIN, ONE + "Rnd 2: Blorp.", ONE + "Rnd 5: Sc."])
    def test_messages_are_sentences(self, text):
        for fault in read(text).faults:
            assert fault.message[0] in "\"'" or fault.message[0].isupper()
            assert fault.message.endswith(".") and len(fault.message) < 160
            assert fault.severity in ("error", "warning")


class TestWhateverComes:
    @settings(max_examples=150)
    @given(st.text(max_size=400))
    def test_it_is_read_and_every_span_lies_inside(self, text):
        pattern = read(text)
        assert pattern.text == text
        assert all(0 <= s.start <= s.end <= len(text) for s in spans((pattern.parts, pattern.assembly, pattern.notes)))

    @settings(max_examples=150)
    @given(st.lists(st.sampled_from(PUFFIN.split("\n")), max_size=25).map("\n".join))
    def test_lines_of_a_pattern_in_any_order(self, text):
        pattern = read(text)
        lines = text.split("\n")
        for fault in pattern.faults:
            assert 1 <= fault.line <= len(lines)
            assert 1 <= fault.column < fault.end_column <= len(lines[fault.line - 1]) + 2

    @settings(max_examples=60)
    @given(st.integers(0, len(PUFFIN)), st.integers(0, 40), st.text(max_size=5))
    def test_a_damaged_page_keeps_its_other_rounds(self, at, length, put):
        pattern = read(PUFFIN[:at] + put + PUFFIN[at + length:])
        assert sum(len(p.rounds) for p in pattern.parts) >= 2 or pattern.faults

    def test_reading_twice_gives_the_same(self):
        assert read(PUFFIN) == read(PUFFIN)
