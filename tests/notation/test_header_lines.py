"""Lines before the rounds that tell one thing of the whole pattern."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.gauge import gauge_of
from coach.notation import read
from coach.notation.header_lines import header_lines, is_header, is_read_out

ROUNDS = "Rnd 1: 6 {sc} in a ring. (6)\nRnd 2: 2 {sc} in each st. (12)\n"


@pytest.mark.parametrize(("line", "kinds"), [
    ("Hook: 4 mm", ["materials"]),
    ("Hook size: 4 mm", ["materials"]),
    ("**Hook:** 4 mm", ["materials"]),
    ("- Yarn - double knitting, 25 g", ["materials"]),
    ("Yarn used: cotton", ["materials"]),
    ("Colours: white (MC), red (CC)", ["materials"]),
    ("You will need: yarn and a hook", ["materials"]),
    ("Gauge: 18 sc and 20 rows = 10 cm", ["gauge"]),
    ("Tension: 18 dc = 10 cm", ["gauge"]),
    ("Finished size: 12 cm", ["sizes"]),
    ("Terms: UK", ["notes"]),
    ("Terms used: US", ["notes"]),
    ("Skill level: easy", ["notes"]),
    ("Difficulty - easy", ["notes"]),
    ("Size: adult. Gauge: 14 dc = 10 cm", ["sizes", "gauge"]),
    ("Hook: 4 mm; yarn: cotton; level: easy", ["materials", "materials", "notes"]),
    ("US terms. Worsted yarn, 5 mm hook. Gauge: 14 sts and 8 rows = 10 cm in dc.", ["notes", "materials", "gauge"]),
    ("UK terms used. DK cotton and a 3.5 mm hook.", ["notes", "materials"]),
    ("Worsted weight yarn, H/8 (5 mm) hook. 14 sts and 8 rows = 4 in.", ["materials", "gauge"]),
    ("Size: adult. 100% wool yarn, size 5.5 mm (I) crochet hook. Gauge 18 sc to 10 cm.",
        ["sizes", "materials", "gauge"]),
    ("Written in American terms. Gauge: 14 sts = 10 cm. Work loosely.", ["notes", "gauge"]),
    ("Hook: 5 mm. Aran yarn. Tension: 14 sts = 10 cm in trebles. British terminology.",
        ["materials", "materials", "gauge", "notes"]),
])
def test_what_a_line_tells(line, kinds):
    assert is_header(line)
    assert [kind for kind, _, _ in header_lines(line, 7)] == kinds
    assert "".join(words for _, words, _ in header_lines(line, 7)) == line
    assert [start for _, _, start in header_lines(line, 7)][0] == 7


@pytest.mark.parametrize("line", [
    "Head", "Hook the yarn through", "Rnd 1: 6 sc", "Gauge", "Materials:", "Colour A: red", "Terms", "Yarn over: pull through",
    "Size matters", "(hook) 4 mm", "", "US terms.", "Worsted yarn", "Cotton yarn, 3 mm hook", "Soft wool yarn. Seal",
    "US terms. Ch 22, turn.", "US terms. Worsted yarn, 5 mm hook, then ch 20.",
    "Rnd 1: 6 sc. US terms. Gauge: 14 sts = 10 cm.", "With worsted yarn, make a chain. US terms."])
def test_other_lines(line):
    assert header_lines(line, 0) == []


@pytest.mark.parametrize("line", ["Note: work tightly.", "Notes: do not join", "Colour: grey"])
def test_what_is_read_out_with_the_work_stays_with_it(line):
    assert is_header(line) and header_lines(line, 0) == []
    assert is_read_out(line) == (line != "Colour: grey")
    (part,) = read(f"Head\n{line}\n{ROUNDS.format(sc='sc')}").parts
    assert [n.text for n in part.notes] == [line]


HEADER = ["Terms: UK", "Hook: 3 mm", "Yarn: double knitting in grey, 25 g", "Gauge: 18 dc and 20 rows = 10 cm",
    "Skill level: easy", "Finished size: 12 cm"]


@pytest.mark.parametrize("gap", ["\n", "\n\n"])
@pytest.mark.parametrize("heading", ["", "Head\n", "Head (make 2)\n"])
@pytest.mark.parametrize("lines", [HEADER, HEADER[::-1], [f"- {line}" for line in HEADER], [f"**{x}**" for x in HEADER]])
def test_a_header_is_understood_and_not_heard_among_the_work(lines, heading, gap):
    pattern = read(gap.join(["Harbour seal", *lines, heading + ROUNDS.format(sc="dc")]))
    assert pattern.terms == "UK" and pattern.title == "Harbour seal" and not pattern.faults
    assert set(pattern.materials) == {"Hook: 3 mm", "Yarn: double knitting in grey, 25 g"}
    assert pattern.gauge == ("Gauge: 18 dc and 20 rows = 10 cm",)
    assert {n.text for n in pattern.notes} == {"Terms: UK", "Skill level: easy"}
    (part,) = pattern.parts
    assert part.notes == () and [r.number for r in part.rounds] == [1, 2]


def test_the_gauge_of_a_header_is_the_gauge():
    fabric = work(read(f"Hat\nSize: adult. Gauge: 18 sc and 20 rows = 10 cm\n{ROUNDS.format(sc='sc')}"))
    assert round(gauge_of(fabric.pattern).width * 18, 2) == 10


@pytest.mark.parametrize("line", [
    "US terms. Worsted yarn, 5 mm hook. Gauge: 14 dc and 8 rows = 10 cm.",
    "Worsted yarn, 5 mm hook. 14 dc and 8 rows = 10 cm. US terms."])
@pytest.mark.parametrize("heading", ["", "Blanket\n", "Border\n"])
def test_a_header_in_one_line(line, heading):
    pattern = read(f"Harbour blanket\n{line}\n\n{heading}{ROUNDS.format(sc='sc')}")
    assert pattern.materials == ("Worsted yarn, 5 mm hook.",)
    assert pattern.title == "Harbour blanket" and not pattern.faults
    gauge = gauge_of(pattern)
    assert (gauge.width, gauge.height, gauge.stitch, gauge.said) == (10 / 14, 10 / 8, "dc", "pattern")
    assert [n.text for n in pattern.notes] == ["US terms."] and pattern.parts[0].notes == ()


def test_such_a_line_among_the_rounds_is_a_note():
    (part,) = read(f"Head\n{ROUNDS.format(sc='sc')}Aran yarn, 4 mm hook. US terms.\nRnd 3: sc in each st.").parts
    assert [n.text for r in part.rounds for n in r.notes] == ["Aran yarn, 4 mm hook.", "US terms."]


def test_among_rounds_and_behind_them_it_is_a_note():
    (part,) = read(f"Head\n{ROUNDS.format(sc='sc')}Hook: change to 4 mm.\nRnd 3: sc in each st.").parts
    assert [n.text for r in part.rounds for n in r.notes] == ["Hook: change to 4 mm."]


def test_a_note_ends_a_list():
    pattern = read(f"Seal\n\nMaterials:\n- yarn\n- stuffing\nNotes: work in a spiral.\n{ROUNDS.format(sc='sc')}")
    assert pattern.materials == ("yarn", "stuffing")
    assert [n.text for n in pattern.parts[0].notes] == ["Notes: work in a spiral."]


@given(st.text("Hok:yarn gauge-.;,45mS", max_size=40))
def test_whatever_a_line_holds_its_pieces_are_the_line(line):
    told = header_lines(line, 3)
    assert not told or "".join(words for _, words, _ in told) == line
    assert all(line[start - 3:start - 3 + len(words)] == words for _, words, start in told)


ALONE = {"US terms.": "notes", "Aran yarn.": "materials", "5 mm hook.": "materials", "Gauge: 14 sts = 10 cm.": "gauge"}


@given(st.lists(st.sampled_from([*ALONE, "Hook: 4 mm;", "Ch 20.", "Seal"]), min_size=1, max_size=8))
def test_sentences_that_tell_nothing_else_stand_in_any_order(sentences):
    line = " ".join(sentences)
    told = header_lines(line, 0)
    assert not told or "".join(words for _, words, _ in told) == line
    if len(sentences) > 1 and set(sentences) <= set(ALONE):
        assert [kind for kind, _, _ in told] == [ALONE[s] for s in sentences]


def test_the_gauge_is_found_at_the_end_of_a_list_of_materials():
    text = "# Gull\n\n## Materials\n- White yarn\n- 3 mm hook\n\nGauge: 6 sc and 6 rnds = 2.5 cm\n\n## Head\n" + ROUNDS
    pattern = read(text.format(sc="sc"))
    assert pattern.materials == ("White yarn", "3 mm hook")
    assert gauge_of(pattern).width == pytest.approx(2.5 / 6)
