"""Starts and rounds without a label: a bare ring, and rows that only their turning tells."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.notation import read
from coach.notation.model import Action, Chain, Into, Stitch
from coach.notation.unlabelled import is_like_a_round, kind_of, name_of


def rounds(text: str) -> list[tuple[str, int]]:
    """(label, stitches) of every round; nothing may be wrong."""
    fabric = work(read(text))
    assert not fabric.faults, fabric.faults
    return [(r.label, r.made) for part in fabric.parts for r in part.rounds]


RING = [
    "MR 6", "MR 6.", "MR 6 (6)", "Mr 6. (6)", "Magic ring, 6 sc. (6)", "Magic ring, 6 sc (6)", "Magic ring: 6 sc.",
    "6 sc in a magic ring. (6)", "Start with 6 sc in a magic ring. (6)", "Begin with 6 sc in MR", "Magic circle: 6 sc [6]",
    "Make a magic ring, 6 sc in ring. (6)"]


@pytest.mark.parametrize("start", RING)
@pytest.mark.parametrize("heading", ["", "Fin\n", "Fin (make 2)\n", "FIN:\n"])
def test_a_bare_ring_is_the_first_round(start, heading):
    assert rounds(f"{heading}{start}\nR2: inc x 6 (12)") == [("Rnd 1", 6), ("Rnd 2", 12)]


@pytest.mark.parametrize("start", RING)
def test_a_ring_names_no_part(start):
    (part,) = read(f"Flipper x2\n{start}\nR2 inc x 6 (12)\nR3 sc (12)").parts
    assert (part.name, part.make, part.notes) == ("Flipper", 2, ())


def test_each_part_may_begin_so():
    text = "Seal\n\nHead\nMR 6 (6)\nR2: inc x 6 (12)\n\nBody\nMR 7.\nR2: inc x 7 (14)"
    assert [p.name for p in read(text).parts] == ["Head", "Body"]
    assert rounds(text) == [("Rnd 1", 6), ("Rnd 2", 12), ("Rnd 1", 7), ("Rnd 2", 14)]


def test_a_count_behind_it_is_the_ring_s():
    fabric = work(read("Magic ring, 6 sc. (7)\nR2: inc x 6 (12)"))
    assert [f.kind for f in fabric.faults] == ["count"]


def test_lines_that_end_are_rounds_of_a_text_without_labels():
    assert rounds("Fin\nMR 6\ninc x 6 (12)\n(sc, inc) x 6 (18)\nsc around") == [
        ("Rnd 1", 6), ("Rnd 2", 12), ("Rnd 3", 18), ("Rnd 4", 18)]


@pytest.mark.parametrize("text", [
    "Ch 41, turn.\nHdc in 3rd ch from hook, hdc in each ch across, turn. (39)\nCh 2, hdc in each st across, turn. (39)",
    "Ch 41. Hdc in 3rd ch from hook and in each ch across. (39)\nCh 2, turn, hdc in each st across. (39)",
    "Ch 41.\nHdc in 3rd ch from hook and in each ch across. Turn. (39)\nCh 2. Hdc in each st across. (39)",
    "Ch 41.\nHdc in 3rd ch from hook and in each ch across.\nHdc in each st across.",
])
def test_rows_are_called_rows(text):
    assert rounds(text) == [("Row 1", 39), ("Row 2", 39)]


@pytest.mark.parametrize("text", [
    "Ch 4, join.\n12 dc in ring, join.\nCh 1, sc in each st around, join.",
    "Ch 2, 12 sc in 2nd ch from hook. (12)\nSc in each st. (12)",
    "Ch 6. Sc in 2nd ch from hook, sc in next 3 ch, 3 sc in last ch, on other side of ch sc in next 3 ch, 2 sc in next ch."
    "\nSc in each st.",
])
def test_rounds_are_called_rounds(text):
    assert [label for label, _ in rounds(text)] == ["Rnd 1", "Rnd 2"]


@pytest.mark.parametrize(("foundation", "body", "kind"), [
    ((Chain(20),), (Stitch("sc", Into("hook", 2)), Stitch("sc")), "row"),
    ((Chain(3),), (Stitch("sc", Into("hook", 2)), Stitch("sc")), "row"),
    ((Chain(4),), (Stitch("dc", Into("hook", 4)), Stitch("dc", Into("same"))), "round"),
    ((Chain(20), Action("join")), (Stitch("sc"),), "round"),
    ((Chain(20),), (Stitch("sc", Into("hook", 2)), Action("other_side")), "round"),
    ((Action("ring"),), (Stitch("sc", Into("ring")), Action("turn")), "row"),
    ((), (Stitch("sc"),), "round"),
])
def test_what_tells_a_row(foundation, body, kind):
    assert kind_of(foundation, body) == kind
    assert name_of(kind, 7) == {"row": "Row 7", "round": "Rnd 7"}[kind]


def test_the_name_of_the_pattern_is_no_note():
    pattern = read("Seal\n\nHead\nRnd 1: 6 sc in magic ring.")
    assert (pattern.title, pattern.notes) == ("Seal", ())
    (part,) = read("Bookmark\nCh 41.\nHdc in 3rd ch from hook and in each ch across.").parts
    assert part.notes == ()


PUFFIN = """
Puffin

Head
Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)

Beak (make 1, in orange):
Ch 5. Sc in 2nd ch from hook and in next 3 ch. (4)
Fasten off.

Foot (make 2)
Ch 4
Sc in 2nd ch from hook, sc in next 2 ch. (3)
Ch 1, turn, sc across. (3)

Assembly
Sew on the feet.
"""


def test_parts_without_labels_are_parts_among_others():
    assert [(p.name, p.make, [r.label for r in p.rounds]) for p in read(PUFFIN).parts] == [
        ("Head", 1, ["Rnd 1", "Rnd 2"]), ("Beak", 1, ["Row 1"]), ("Foot", 2, ["Row 1", "Row 2"])]
    assert [made for _, made in rounds(PUFFIN)] == [6, 12, 4, 3, 3]
    assert [n.text for n in read(PUFFIN).assembly] == ["Sew on the feet."]


@pytest.mark.parametrize("name", ["Antenna (make 2)", "Antenna (make two, in black)", "2 antennae", "ANTENNA x2"])
def test_a_text_of_one_line_has_its_name_and_number(name):
    (part,) = read(f"{name}\nCh 11. Sc in 2nd ch from hook and in each of next 9 ch. (10 sc)").parts
    assert (part.name.lower()[:7], part.make) == ("antenna", 2)


def test_what_a_chain_counts_as_is_no_chain_to_make():
    (part,) = read("Head\nCh 3 counts as dc throughout.\nRnd 1: 6 sc in MR (6)").parts
    assert [n.text for n in part.notes] == ["Ch 3 counts as dc throughout."] and part.rounds[0].foundation == ()


@pytest.mark.parametrize("line", ["Turning row: ch 1, sc in each st.", "Final edge row (RS): sc in each st."])
def test_a_row_called_by_no_known_name_is_a_fault(line):
    pattern = read(f"Row 1: Ch 9, sc in 2nd ch from hook and across. (8)\n{line}")
    (fault,) = [f for f in pattern.faults if f.kind == "unknown"]
    assert line[: fault.end_column - 1].endswith("row") and "label" in fault.message


@pytest.mark.parametrize("line", ["Every row: ch 1 and turn.", "At the end of the row: turn.", "Work each row: slowly.",
                                  "Note for the row: ch 1, sc in each st.", "Turning row: mind the edge."])
def test_what_is_said_of_rows_is_no_fault(line):
    assert not read(f"Row 1: Ch 9, sc in 2nd ch from hook and across. (8)\n{line}").faults


@pytest.mark.parametrize(("before", "text", "like"), [
    ("", "Rnd 3 so on and so forth", True),
    ("", "2) six sc", True),
    ("2. ", "six sc", True),
    ("", "Afterwards inc all six. (12)", True),
    ("", "Afterwards inc all six = 12 sts", True),
    ("", "Afterwards inc all six", False),
    ("", "Stuff before Rnd 3. (Not too firmly)", False),
])
def test_what_looks_like_a_round_and_has_no_label_is_not_passed_over(before: str, text: str, like: bool):
    assert is_like_a_round(before, text) is like


@pytest.mark.parametrize("start", ["FC 21.", "FC 21, turn.", "fc21"])
def test_a_start_that_can_be_two_things_is_asked_about(start: str):
    (fault, *_) = read(f"{start}\nRow 1: Sc in each st across. (21)\n").faults
    assert fault.line == 1 and "Ch 21" in fault.hint and "Fsc 21" in fault.hint
