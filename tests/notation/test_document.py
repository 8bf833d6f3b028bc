"""A page into sections: by Markdown headings, or by short lines that stand before rounds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.notation import read
from coach.notation.document import section_kind, sections, split_make
from coach.notation.model import line_starts

MARKED = """# Harbour seal

A seal of two colours.

## Materials

- 50 g of grey yarn

## Body

Rnd 1: 6 sc in magic ring. (6)

## Fin (make 2)

Rnd 1: 5 sc in magic ring. (5)

## Assembly

1. Sew the fins on.
"""
PASTED = """Harbour seal

Materials:
50 g of grey yarn

BODY
Rnd 1: 6 sc in magic ring. (6)

Fin (make 2)
Rnd 1: 5 sc in magic ring. (5)

Assembly
Sew the fins on.
"""


@pytest.mark.parametrize("text", [MARKED, PASTED], ids=["with headings", "pasted"])
class TestPage:
    def test_its_title(self, text):
        assert sections(text)[0] == "Harbour seal"

    def test_its_sections(self, text):
        _, found = sections(text)
        assert [(s.title.title(), s.kind, s.make) for s in found[1:]] == [
            ("Materials", "materials", 1), ("Body", "part", 1), ("Fin", "part", 2), ("Assembly", "assembly", 1)]

    def test_every_line_is_where_it_says(self, text):
        _, found = sections(text)
        for section in found:
            for line, start in section.lines:
                assert text[start:start + len(line)] == line


@pytest.mark.parametrize(("name", "kind"), [
    ("Materials", "materials"), ("MATERIALS:", "materials"), ("You will need", "materials"),
    ("Yarn and hook", "materials"), ("Supplies", "materials"),
    ("Gauge", "gauge"), ("Tension", "gauge"), ("Abbreviations", "abbreviations"),
    ("Abbreviations (US)", "abbreviations"), ("Stitch guide", "abbreviations"),
    ("Special stitches", "special"), ("Special stitch", "special"), ("Sizes", "sizes"),
    ("Finished measurements", "sizes"),
    ("Assembly", "assembly"), ("Finishing", "assembly"), ("Making up", "assembly"), ("To finish", "assembly"),
    ("Putting it together", "assembly"),
    ("Notes", "notes"), ("Pattern notes", "notes"), ("Before you begin", "notes"), ("Safety", "notes"),
    ("Skill level", "notes"),
    ("Body", "part"), ("Left fin", "part"), ("Edging", "part"), ("Lamp and roof", "part"), ("Seal", "part"),
])
def test_what_a_heading_opens(name, kind):
    assert section_kind(name) == kind


@pytest.mark.parametrize(("heading", "name", "make"), [
    ("Fin (make 2)", "Fin", 2), ("Fin (Make two)", "Fin", 2), ("Fin [make 2]", "Fin", 2), ("Fin - make 2", "Fin", 2),
    ("Fin, make 2", "Fin", 2), ("Fin: make 2", "Fin", 2),
    ("Fin (x2)", "Fin", 2), ("Fin x2", "Fin", 2), ("Fin x 2", "Fin", 2), ("Fin (2x)", "Fin", 2), ("Fin (2)", "Fin", 2),
    ("FIN (MAKE 4)", "FIN", 4), ("Fin (make 2):", "Fin", 2),
    ("Fins (both)", "Fins", 2), ("Fins (a pair)", "Fins", 2), ("Fin (make three)", "Fin", 3),
    ("Fin (crochet 2)", "Fin", 2), ("Fin (work 2)", "Fin", 2),
    ("Body", "Body", 1), ("Part 2", "Part 2", 1), ("Body (in grey)", "Body", 1), ("Make 2", "Make 2", 1),
    ("Fin (make 2 in grey)", "Fin", 2),
])
def test_how_many_to_make(heading, name, make):
    assert split_make(heading) == (name, make)


class TestHeadingsOfPastedText:
    @pytest.mark.parametrize("heading", ["Body", "BODY", "Body:", "*Body*", "Left fin", "Lamp and roof",
        "BODY (in grey)"])
    def test_a_short_line_before_rounds(self, heading):
        _, found = sections(f"Seal\n\n{heading}\nRnd 1: 6 sc in magic ring.\nRnd 2: 2 sc in each st around.")
        assert [s.kind for s in found] == ["", "part"]

    @pytest.mark.parametrize("line", ["Tip: count.", "Stuff firmly.",
        "Work in the round throughout, without joining, as the marker tells.", "Ch 4, join.", "12 sc", "Page 2"])
    def test_other_lines_are_none(self, line):
        _, found = sections(f"Seal\n\nBody\nRnd 1: 6 sc in magic ring.\n{line}\nRnd 2: 2 sc in each st around.")
        assert [s.title for s in found] == ["", "Body"]


class TestHeadingsOfMarkdown:
    @pytest.mark.parametrize("heading", ["## Fin", "### Fin", "## Fin ##", "##   Fin", "**Fin**", "**Fin**:"])
    def test_a_heading(self, heading):
        _, found = sections(f"# Seal\n\n{heading}\n\nRnd 1: 6 sc in magic ring.")
        assert [s.title for s in found] == ["", "Fin"]

    def test_a_line_in_bold_among_rounds_is_one_only_when_short(self):
        long = "Stuff the seal as you go, and then a little more. " * 2
        text = f"# Seal\n\n## Body\n\nRnd 1: 6 sc in magic ring.\n\n**{long}**\n"
        assert [s.title for s in sections(text)[1]] == ["", "Body"]

    def test_a_bold_label_is_none(self):
        assert [s.title for s in sections("# Seal\n\n## Body\n\n**Rnd 1:** 6 sc in magic ring.")[1]] == ["", "Body"]


class TestTitles:
    @pytest.mark.parametrize(("text", "title"), [
        ("# Seal\nRnd 1: 6 sc", "Seal"), ("# Seal #\n", "Seal"),
        ("Seal\n\nA small one.\n\nBody\nRnd 1: 6 sc in magic ring.", "Seal"), ("Rnd 1: 6 sc in magic ring.", ""),
        ("Work in rounds.\nRnd 1: 6 sc in magic ring.", ""), ("Ch 21.\nRow 1: Sc in 2nd ch from hook.", ""), ("", ""),
    ])
    def test_the_title(self, text, title):
        assert sections(text)[0] == title

    @pytest.mark.parametrize("header", [
        "Terms: UK", "Colours: white (MC), red (CC)", "Hook: 3 mm", "Skill level: easy", "Gauge: not important", "Yarn used: cotton"])
    @pytest.mark.parametrize("gap", ["\n", "\n\n"])
    def test_a_line_of_the_header_is_no_title_and_no_part(self, header, gap):
        rounds = "Rnd 1: 6 dc in magic ring."
        title, found = sections(gap.join(("Ball", header, rounds)))
        assert title in ("", "Ball") and [s.title for s in found if s.kind == "part"] == ["Ball"]
        assert found[-1].title == "Ball" and header in [line for s in found[1:-1] for line, _ in s.lines]
        title, found = sections(gap.join((header, rounds)))
        assert title == "" and {s.title for s in found} == {""}

    @pytest.mark.parametrize("header", [
        "US terms. Worsted yarn, 5 mm hook. Gauge: 14 sts and 8 rows = 10 cm in dc.", "Gauge: 14 dc = 10 cm",
        "Yarn: worsted\nHook: 5 mm", "Terms: US\n\nYarn: worsted", "Finished size: 20 cm"])
    @pytest.mark.parametrize("gap", ["\n", "\n\n"])
    @pytest.mark.parametrize("before", ["", "\n\n", "US terms.\n\n"])
    def test_a_first_line_with_a_header_below_is_the_title_and_names_what_is_made(self, before, gap, header):
        rows = "Ch 6.\nRow 1: Sc in 2nd ch from hook and across."
        title, found = sections(f"{before}Harbour blanket{gap}{header}{gap}{rows}\n\nBorder\nRnd 1: Sc evenly around.")
        assert title == "Harbour blanket"
        assert [s.title for s in found if s.kind == "part"] == ["Harbour blanket", "Border"]

    @pytest.mark.parametrize("text", [
        "Head\nRnd 1: 6 sc in magic ring.", "Head\nColour: grey\nRnd 1: 6 sc in magic ring.",
        "Head\nYarn: grey\nRnd 1: 6 sc in magic ring.",
        "Head\nNote: do not stuff.\nRnd 1: 6 sc in magic ring.",
        "Fins (make 2)\nGauge: 14 sc = 10 cm\nRnd 1: 6 sc in magic ring.",
        "Head\nRnd 1: 6 sc in magic ring.\nGauge: 14 sc = 10 cm",
        "Work in rounds.\n\nHead\nGauge: 14 sc = 10 cm\nRnd 1: 6 sc in magic ring."])
    def test_the_heading_of_a_part_is_no_title(self, text):
        title, found = sections(f"{text}\n\nBody\nRnd 1: 6 sc in magic ring.")
        assert title == "" and [s.title for s in found if s.kind == "part"] == [text[text.find("Head"):].split("\n")[0]
            if "Head" in text else "Fins", "Body"]

    def test_a_part_with_a_colon_stays_one(self):
        assert [s.title for s in sections("Ball\n\nBody: make 2\nRnd 1: 6 sc in magic ring.")[1]] == ["", "Body"]

    def test_a_second_first_heading_is_a_part(self):
        title, found = sections("# Seal\n\n# Body\n\nRnd 1: 6 sc in magic ring.")
        assert title == "Seal" and [s.title for s in found] == ["", "Body"]


@given(st.lists(st.sampled_from([*MARKED.split("\n"), *PASTED.split("\n"), "## ", "#", "(make 2)", "**", "x"]),
    max_size=20).map("\n".join))
def test_no_line_is_lost(text):
    """Every line of a page is a heading, the title, or in one section."""
    title, found = sections(text)
    kept = {start for section in found for _, start in section.lines} | {section.start for section in found[1:]}
    lost = set(line_starts(text)) - kept
    assert len(lost) <= bool(title)


@pytest.mark.parametrize(("text", "title", "make"), [
    ("Two hearts\n\nRnd 1: MR, sc 6. (6)", "Two hearts", 1),
    ("Seven seals\n\nRnd 1: MR, sc 6. (6)\n", "Seven seals", 1),
    ("2 ears\n\nRnd 1: MR, sc 6. (6)", "ears", 2),
    ("Hearts (make two)\n\nRnd 1: MR, sc 6. (6)", "Hearts", 2),
])
def test_a_number_that_opens_the_title_is_of_the_title(text, title, make):
    part = sections(text)[1][-1]
    assert (part.title, part.make) == (title, make)


def test_further_down_it_says_how_many_are_made():
    found = sections("Seal\n\nRnd 1: MR, sc 6. (6)\n\nTwo fins\nRnd 1: MR, sc 6. (6)")[1]
    assert (found[-1].title, found[-1].make) == ("fins", 2)


@pytest.mark.parametrize(("heading", "notes"), [
    ("Wing (make 2, with B)", ["with B"]),
    ("Wing (make two, white and grey)", ["white and grey"]),
    ("Wing (make 2)", []),
    ("Wing (make 2 alike)", []),
])
@pytest.mark.parametrize("mark", ["", "## "])
def test_what_a_heading_tells_besides_how_many_is_heard_before_the_part(heading, notes, mark):
    head = f"Gull\n\n{mark}Head\nRnd 1: 6 sc in a ring. (6)\n\n"
    part = read(f"{head}{mark}{heading}\nRnd 1: 4 sc in a ring. (4)\n").parts[-1]
    assert (part.name, part.make, [note.text for note in part.notes]) == ("Wing", 2, notes)


def test_a_part_without_labels_is_read_behind_what_its_heading_tells():
    text = "Gull\n\nHead\nRnd 1: 6 sc in a ring. (6)\n\nBeak (make 1, in orange):\nCh 5. Sc in 2nd ch from hook and in next 3 ch. (4)\n"
    beak = read(text).parts[-1]
    assert (beak.name, [note.text for note in beak.notes], [r.label for r in beak.rounds]) == ("Beak", ["in orange"], ["Row 1"])


class TestNotesHeadings:
    """`Notes` on a line of its own, in a text without Markdown."""

    TEXT = "Float\n\nMaterials\nGrey yarn\n\n{heading}\nIt floats on its side.\n\nBody\nRnd 1: 6 sc in magic ring. (6)\n"

    @pytest.mark.parametrize("heading", ["Notes", "Notes:", "NOTES", "Pattern notes", "Before you begin", "Safety"])
    def test_they_end_a_list(self, heading):
        pattern = read(self.TEXT.format(heading=heading))
        assert pattern.materials == ("Grey yarn",)
        assert [note.text for note in pattern.notes] == ["It floats on its side."]

    def test_among_the_rounds_it_is_a_remark_and_the_part_goes_on(self):
        (part,) = read("Float\nRnd 1: 6 sc in magic ring. (6)\n\nNotes\nIt is flat.\n\nRnd 2: Inc x 6. (12)\n").parts
        assert [r.label for r in part.rounds] == ["Rnd 1", "Rnd 2"]


def test_a_title_does_not_run_into_the_words_below_it():
    pattern = read("Net float\nIt lies on the water.\n\nFloat\nRnd 1: 6 sc in magic ring. (6)\n")
    assert pattern.title == "Net float" and [note.text for note in pattern.notes] == ["It lies on the water."]


def test_a_heading_that_only_drawings_follow_is_no_step_of_the_assembly():
    pattern = read("Float\nRnd 1: 6 sc in magic ring. (6)\n\nAssembly\nClose the hole.\n\nSize and shape\n")
    assert [note.text for note in pattern.assembly] == ["Close the hole."]


@pytest.mark.parametrize(("heading", "name", "make", "remark"), [
    ("Body (start with A)", "Body", 1, "start with A"), ("Beak (in orange)", "Beak", 1, "in orange"),
    ("Ears (make 2) (with B)", "Ears", 2, "with B"), ("Nose (using MC)", "Nose", 1, "using MC"),
    ("Tail (make 2), worked flat", "Tail", 2, "worked flat"),
    ("Hat (with ears)", "Hat (with ears)", 1, None), ("BODY (IN ROUNDS)", "BODY (IN ROUNDS)", 1, None)])
def test_the_colour_that_a_heading_tells_is_a_remark_and_no_part_of_the_name(heading, name, make, remark):
    (part,) = read(f"{heading}\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st. (12)\n").parts
    assert (part.name, part.make) == (name, make)
    assert [n.text for n in part.notes] == ([remark] if remark else [])


def test_the_first_of_several_parts_gives_the_text_no_title_where_it_is_named_as_a_part_of_a_whole():
    header = "Yarn: grey\nGauge: 20 sc = 10 cm\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st. (12)\n"
    head = "\nHead\nRnd 1: 6 sc in magic ring. (6)\n"
    assert read(f"Body\n{header}{head}").title == ""
    assert read(f"Seal\n{header}{head}").title == read(f"Seal\n{header}").title == "Seal"
