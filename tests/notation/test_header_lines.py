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
])
def test_what_a_line_tells(line, kinds):
    assert is_header(line)
    assert [kind for kind, _, _ in header_lines(line, 7)] == kinds
    assert "".join(words for _, words, _ in header_lines(line, 7)) == line
    assert [start for _, _, start in header_lines(line, 7)][0] == 7


@pytest.mark.parametrize("line", [
    "Head", "Hook the yarn through", "Rnd 1: 6 sc", "Gauge", "Materials:", "Colour A: red", "Terms", "Yarn over: pull through",
    "Size matters", "(hook) 4 mm", ""])
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
