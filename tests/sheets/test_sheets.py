"""Sheets: what is printed is what was proved, in reading order."""

from __future__ import annotations

import re
from base64 import b64decode
from html import unescape
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from coach import sheets
from coach.fabric import work
from coach.notation import read
from coach.sheets.chart import Place, chart
from coach.sheets.lines import lines, spoken

SVG = "{http://www.w3.org/2000/svg}"
BUOY = """# Little buoy

## Materials

- Red yarn, 10 g
- Hook, 3 mm & a needle

## Float (make 2)

Hold the tail aside.

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc around. (12)
Rnds 3-4: Sc in each st around. (12)
Rnd 5: (Sc 1, dec) x 4. (8)

Stuff lightly.

## Assembly

1. Sew the floats together.
"""


def buoy():
    return work(read(BUOY))


class Outline(HTMLParser):
    """Tags in order, and whether every one is closed."""

    VOID = {"meta", "img"}

    def __init__(self) -> None:
        super().__init__()
        self.open, self.seen, self.text = [], [], ""

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text += data


def outline(page: str) -> Outline:
    found = Outline()
    found.feed(page)
    assert found.open == []
    return found


def test_lines_come_in_reading_order():
    kinds = [line.kind for line in lines(buoy())]
    assert kinds == [
        "title",
        "terms",
        "key",
        "key",
        "heading",
        "item",
        "item",
        "heading",
        "note",
        *["round"] * 5,
        "note",
        "heading",
        "item",
    ]


def test_each_round_has_its_proved_count():
    rounds = [line for line in lines(buoy()) if line.kind == "round"]
    assert [(r.label, r.count) for r in rounds] == [
        ("Rnd 1", "6 stitches"),
        ("Rnd 2", "12 stitches"),
        ("Rnd 3", "12 stitches"),
        ("Rnd 4", "12 stitches"),
        ("Rnd 5", "8 stitches"),
    ]
    assert rounds[3].text == "the same as Rnd 3: sc 12" and spoken(rounds[3]).startswith("Round 4. The same as round 3. Single")
    assert "x 4" in rounds[4].text


def test_a_ring_is_made_before_it_is_worked_into():
    first, second, *_ = [line.text for line in lines(buoy()) if line.kind == "round"]
    assert first == "magic ring, 6 sc in ring" and second == "inc x 6"
    joined = work(read("Rnd 1: Ch 4, join with sl st to form a ring, ch 1, 6 sc in ring. (6)"))
    assert [line.text for line in lines(joined) if line.kind == "round"] == ["ch 4, join, ch 1, 6 sc in ring"]


class TestTerms:
    """US or UK, as asked for; the difference is never silent."""

    UK = work(read("# Cork\n\nUK terms.\n\n## Cork\n\nRnd 1: 6 dc in magic ring. (6)\nRnd 2: wobble dc about\n"))

    def told(self, *kinds: str, terms: str | None = None) -> list[str]:
        return [line.text for line in lines(self.UK, terms) if line.kind in kinds]

    def test_as_the_pattern_has_them(self):
        assert self.told("terms") == ["The pattern is written in UK terms."]
        assert self.told("key") == [
            "The rounds below are in UK abbreviations.",
            "dc: double crochet, in US terms single crochet (sc).",
        ]
        assert self.told("round")[0] == "magic ring, 6 dc in ring"

    def test_the_others(self):
        assert (
            self.told("terms", terms="US")[1]
            == "Its rounds are put into US terms here; its other words are as written, in UK terms."
        )
        assert self.told("key", terms="US")[1] == "sc: single crochet, in UK terms double crochet (dc)."
        assert self.told("round", terms="US")[0] == "magic ring, 6 sc in ring"

    def test_what_could_not_be_read_stays_as_written(self):
        assert "wobble dc about" in self.told("round", terms="US")[1]

    def test_read_aloud(self):
        said = [spoken(line, "US", written="UK") for line in lines(self.UK, "US") if line.kind == "round"]
        assert said[0] == "Round 1. Make a magic ring. 6 single crochet into the ring. 6 stitches."
        heard = [spoken(line, "UK") for line in lines(self.UK) if line.kind == "round"]
        assert "6 double crochet into the ring" in heard[0]

    @pytest.mark.parametrize("terms", ["US", "UK"])
    def test_a_chart(self, terms):
        page = chart(self.UK, terms=terms)
        assert f"Key, in {terms} terms" in page and f"In {terms} terms." in page
        assert f"Rnd 1: magic ring, 6 {'sc' if terms == 'US' else 'dc'} in ring." in page


def test_large_print_is_whole_and_has_no_table(tmp_path):
    kind = sheets.write(buoy(), tmp_path / "buoy.html")
    page = (tmp_path / "buoy.html").read_text("utf-8")
    found = outline(page)
    assert "large print" in kind
    assert found.seen.count("h1") == 1 and found.seen.count("h2") == 3
    assert "table" not in found.seen
    assert "3 mm & a needle" in found.text and "3 mm &amp; a needle" in page
    assert 'lang="en"' in page and "http" not in page


class TestDrawings:
    """Large print shows a chart after each part, and the shapes at the end; each has words that stand for it."""

    GAUGED = BUOY.replace("## Float", "## Gauge\n\n10 sc to 5 cm\n\n## Float")

    def shown(self, tmp_path, text: str) -> list[tuple[str, str]]:
        """(alternative text, drawing) of each picture of the web page."""
        sheets.write(work(read(text)), tmp_path / "a.html")
        page = (tmp_path / "a.html").read_text("utf-8")
        found = re.findall(r'<img src="data:image/svg\+xml;base64,([^"]+)" alt="([^"]+)">', page)
        assert page.count("<img") == len(found)
        return [(alt, b64decode(data).decode("utf-8")) for data, alt in found]

    def test_a_chart_after_each_part_and_the_shapes_at_the_end(self, tmp_path):
        chart_, shapes = self.shown(tmp_path, self.GAUGED)
        assert chart_[0] == "Stitch chart of Float; it shows the rounds that are written above."
        assert "Little buoy: stitch chart" in chart_[1] and "Rnd 5" in chart_[1]
        assert shapes[0].startswith("The parts from the side. Float, make 2: ") and "cm across" in shapes[0]
        assert "Little buoy: size and shape" in shapes[1]

    def test_without_a_gauge_no_shape_is_drawn(self, tmp_path):
        assert len(self.shown(tmp_path, BUOY)) == 1

    def test_a_part_that_is_too_large_to_draw_is_told(self, tmp_path):
        text = "## Mat\n" + "".join(
            f"Rnd {n}: {'99 sc in magic ring' if n == 1 else 'Sc around'}. (99)\n" for n in range(1, 60)
        )
        assert self.shown(tmp_path, text) == []
        assert "more than the 5,000 that a chart can show" in (tmp_path / "a.html").read_text("utf-8")

    def test_the_place_is_shown_in_its_part(self, tmp_path):
        sheets.write(buoy(), tmp_path / "a.html", sheets.Wishes(place=Place(0, 2, 5)))
        page = (tmp_path / "a.html").read_text("utf-8")
        data = re.search(r"base64,([^\"]+)", page)[1]
        assert "The place: Float, Rnd 2, 5 of 12" in b64decode(data).decode("utf-8")
        assert 'written above. The place: Float, Rnd 2, 5 of 12 stitches made."' in page

    def test_parts_to_come_are_grey_and_those_made_are_not(self, tmp_path):
        """As in a chart of all parts: what is still to come is grey, in every part."""
        parts = "\n".join(f"## {name}\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\n" for name in ("Base", "Mast", "Top"))
        fabric = work(read(f"# Beacon\n\n{parts}"))
        sheets.write(fabric, tmp_path / "a.html", sheets.Wishes(place=Place(1, 2, 4)))
        page = (tmp_path / "a.html").read_text("utf-8")
        drawn = [b64decode(data).decode("utf-8") for data in re.findall(r"base64,([^\"]+)", page)]
        assert [svg.count('class="ahead"') for svg in drawn] == [0, 8, 18]
        assert [svg.count('class="here"') for svg in drawn] == [0, 1, 0]
        whole = chart(fabric, place=Place(1, 2, 4))
        assert whole.count('class="ahead"') == 26 and "what is grey is still to come" in whole
        told = re.findall(r'alt="([^"]+)"', page)
        assert told[0].endswith("written above.")
        assert told[1].endswith("The place: Mast, Rnd 2, 4 of 12 stitches made.")
        assert told[2].endswith("All of it is grey, since it is still to come.")
        assert ["is grey" in svg for svg in drawn] == [False, True, True]

    def test_what_can_t_be_counted_is_told_beside_the_picture(self, tmp_path):
        unsure = self.GAUGED.replace("Rnd 2: Inc around. (12)", "Rnd 2: wobble about. (12)")
        chart_, shapes = self.shown(tmp_path, unsure)
        for words in (unescape(chart_[0]), ElementTree.fromstring(chart_[1]).find(f"{SVG}desc").text):
            assert "Not drawn: Rnd 2, since it, or what it stands on, can't be counted." in words
        for words in (unescape(shapes[0]), ElementTree.fromstring(shapes[1]).find(f"{SVG}desc").text):
            assert "Rnd 2 can't be counted and is taken as the count written for it." in words

    def test_a_part_without_a_size_is_told_beside_the_others(self, tmp_path):
        text = self.GAUGED.replace("## Assembly", "## Flag\n\nRow 1: flumble the mast\n\n## Assembly")
        *_, shapes = self.shown(tmp_path, text)
        assert "Flag: its size can't be told, since none of its rounds can be counted." in unescape(shapes[0])
        words = [text.text for text in ElementTree.fromstring(shapes[1]).iter(f"{SVG}text")]
        assert "Flag: its size can't be told, since none of its rounds can be counted." in words

    @pytest.mark.parametrize("name, kind", [("a.txt", None), ("a.svg", "profile"), ("a.html", "shopping")])
    def test_a_sheet_that_shows_no_place_says_so(self, tmp_path, name, kind):
        with pytest.raises(sheets.SheetError, match="shows no place"):
            sheets.write(buoy(), tmp_path / name, sheets.Wishes(kind, place=Place(0, 2, 5)))
        assert not (tmp_path / name).exists()

    def test_a_place_that_is_not_there_is_a_sentence(self, tmp_path):
        with pytest.raises(sheets.SheetError) as error:
            sheets.write(buoy(), tmp_path / "a.html", sheets.Wishes(place=Place(0, 9, 1)))
        assert "no round 9" in error.value.message and not (tmp_path / "a.html").exists()


def test_plain_text_has_short_lines_and_every_round(tmp_path):
    sheets.write(buoy(), tmp_path / "buoy.txt")
    text = (tmp_path / "buoy.txt").read_text("utf-8")
    assert max(map(len, text.splitlines())) <= 72
    assert "\nFloat, make 2\n" in text
    for label in ("Rnd 1.", "Rnd 5."):
        assert label in text
    assert text.index("Rnd 5.") < text.index("Stuff lightly") < text.index("Assembly")


def test_a_fault_stands_at_its_round():
    fabric = work(read("## Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (13)"))
    kinds = [line.kind for line in lines(fabric)]
    assert kinds[-2:] == ["round", "fault"]


def test_an_unknown_ending_says_which_there_are(tmp_path):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(buoy(), tmp_path / "buoy.xyz")
    assert ".html" in error.value.hint and ".txt" in error.value.hint


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(buoy(), tmp_path / "missing" / "buoy.html")
    assert error.value.message.startswith("I can't write")


def test_the_colour_of_a_round_stands_before_its_ring():
    flag = work(read("# Flag\n\n## Flag\n\nRnd 1 (red): 6 sc in magic ring. (6)\nRnd 2 (B): Inc x 6. (12)\n"))
    first = next(line for line in lines(flag) if line.kind == "round")
    assert first.text == "change to red, magic ring, 6 sc in ring, change to B"
    assert spoken(first).startswith("Round 1. Change to red. ")


def test_a_chain_that_is_made_before_the_colour_stands_before_it():
    flag = work(read("# Flag\n\n## Flag\n\nRnd 1: Ch 4, sl st to form ring. With A, 6 sc in ring. (6)\n"))
    assert next(line for line in lines(flag) if line.kind == "round").text.endswith("change to A, 6 sc in ring")


def test_what_is_the_same_again_is_told_plainly():
    """The same stitches, though a colour changes with them; all of it the same where nothing changes."""
    fabric = work(read("""# Buoy

Rnd 1: With A, 6 sc in magic ring. (6)
Rnd 2: Inc around. (12)
Rnds 3-4: Sc in each st around. (12)
Rnd 5: With B, sc in each st around. (12)
"""))
    told = [line.text for line in lines(fabric) if line.kind == "round"]
    assert told[3] == "the same stitches as Rnd 3: sc 12, change to B" and "same" not in told[2]


def test_a_round_that_repeats_an_earlier_one_names_it():
    """The first of those that are alike; none where the count makes another round of it."""
    fabric = work(read("""# Rope

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc around. (12)
Rnd 3: Sc in each st around. (12)
Rnds 4-6: as round 3. (12)
Rnd 7: (Sc 1, dec) around. (8)
Rnd 8: Repeat round 2.
Rnd 9: Repeat round 3.
"""))
    told = [line.text for line in lines(fabric) if line.kind == "round"]
    assert told[3:6] == ["the same as Rnd 3: sc 12"] * 3
    assert not any(text.startswith("the same") for text in (*told[:3], *told[6:]))
    drawn = chart(fabric)
    assert "Rnd 6: the same as Rnd 3. 12 stitches." in drawn


def test_a_round_further_on_names_the_one_that_the_pattern_says():
    fabric = work(read("""# Mat

Row 1: Ch 7, sc in 2nd ch from hook and in each ch across. (6)
Row 2: Ch 3, turn, dc in each st across. (6)
Row 3: Ch 1, turn, sc in each st across. (6)
Rows 4-5: Repeat rows 2 and 3.
"""))
    told = [line for line in lines(fabric) if line.kind == "round"]
    assert told[3].text.startswith("the same as Row 2: ") and told[4].text.startswith("the same as Row 3: ")
    assert spoken(told[4]).startswith("Row 5. The same as row 3. ")


class TestDoubts:
    """What can't be read or counted is named in words, never passed over."""

    ROPE = """# Rope

Row 1: Ch 7, sc in 2nd ch from hook and in each ch across. (6)
Row 2: wobble about. (6)
Row 4: Ch 1, turn, sc 6. (6)
Row 5: ???
"""

    def told(self, kind: str) -> list:
        return [line for line in lines(work(read(self.ROPE))) if line.kind == kind]

    def test_a_count_that_is_only_written_is_no_proved_one(self):
        assert [line.count for line in self.told("round")] == ["6 stitches", "6 stitches, as written", "6 stitches", "Not counted"]

    def test_a_round_without_words_says_so(self):
        assert self.told("round")[3].text == "nothing that could be read"

    def test_a_missing_round_is_told_where_it_is_missing(self):
        faults = [line.text for line in self.told("fault")]
        assert sum("Row 3 is missing" in text for text in faults) == 1 and len(set(faults)) == len(faults)
        every = [line.text for line in lines(work(read(self.ROPE)))]
        assert every.index("ch 1, turn, sc 6") + 1 == every.index(next(text for text in every if "Row 3 is missing" in text))

    def test_what_is_wrong_outside_the_rounds_is_told_at_the_end(self):
        text = self.ROPE.replace("Row 5: ???", "## Making up\n\nSew the dorsal fin to the rope.")
        fabric = work(read(text))
        outside = [f for f in fabric.faults if f.severity == "error" and f.line > 9]
        told = [line.text for line in lines(fabric) if line.kind == "fault"]
        assert all(f"Line {f.line}: {f.message}" in told for f in outside)


def test_colours_are_spelled_as_in_the_terms():
    """US terms: color; UK terms: colour; whichever the pattern itself has."""
    rounds = "Rnd 1: 6 {sc} in magic ring, change color. (6)\nRnd 2: Inc around, change to the other colour. (12)\nRnd 3: Join color C, {sc} around. (12)\n"
    for terms, sc, right, wrong in (("US", "sc", "color", "colour"), ("UK", "dc", "colour", "color")):
        fabric = work(read(f"# Flag\n\n{terms} terms.\n\n## Flag\n\n{rounds.format(sc=sc)}"))
        for told in ([line.text for line in lines(fabric)], [spoken(line, terms) for line in lines(fabric)]):
            text = " ".join(told)
            assert text.count(right) >= 3 and not re.search(rf"\b{wrong}\b", text), text
    assert "change color" in " ".join(line.text for line in lines(fabric, "US"))


def test_yarns_have_capitals_in_print():
    fabric = work(read("# Buoy\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Join B in any st, ch 1, inc around. (12)\n"))
    text = " ".join(line.text for line in lines(fabric) if line.kind == "round")
    assert " b " not in text and "B" in text
