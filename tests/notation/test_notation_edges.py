"""The words for the edges of a flat piece, and the round that is called an edging."""

from __future__ import annotations

import pytest
from passages import around, body, cursor, kinds, plain, rounds, st, times

from coach.notation.edges import RowEnds, Side, read_row_ends, read_side
from coach.notation.labels import read_label
from coach.notation.model import NEXT, Group, Into, Repeat, Times
from coach.notation.printer import write

END = Into("row end")

ROW_ENDS = [
    ("the end of each row", RowEnds(each=True)), ("ends of rows", RowEnds(each=True)), ("row ends", RowEnds(each=True)),
    ("each row end", RowEnds(each=True)), ("the side of each row", RowEnds(each=True)), ("the ends of the rows", RowEnds(each=True)),
    ("edge of every row along the side", RowEnds(each=True)), ("next 3 row ends", RowEnds(3)), ("end of next row", RowEnds()),
    ("end of next 4 rows", RowEnds(4)), ("end of every other row", RowEnds(alternate=True)), ("next row end", RowEnds()),
    ("the end of each dc row", RowEnds(each=True)), ("sides of rows of left edge", RowEnds(each=True)),
]


@pytest.mark.parametrize(("words", "found"), ROW_ENDS)
def test_ends_of_rows(words, found):
    c = cursor(words)
    assert read_row_ends(c) == found and c.done


@pytest.mark.parametrize("words", ["next st", "each st", "end ch", "next row", "last row", "the end", "side of the foundation ch",
    "back loop", "edge"])
def test_other_places_are_no_ends_of_rows(words: str):
    c = cursor(words)
    assert read_row_ends(c) is None and c.at == 0


SIDES = [  # words, whether a number stands before them → place, whether at the bottom, of how many edges
    ("evenly along the side", False, Side(Into("side", words="evenly along the side"))),
    ("down left edge", False, Side(Into("side", words="down left edge"))),
    ("evenly spaced up side edge", True, Side(Into("side", words="evenly spaced up side edge"))),
    ("evenly along other side", False, Side(Into("side", words="evenly along other side"))),
    ("along each side", True, Side(Into("edge", words="along next edge"), times=4)),
    ("evenly along both sides", True, Side(Into("side", words="evenly along next side"), times=2)),
    ("along each long edge", True, Side(Into("side", words="along next side"), times=2)),
    ("across bottom edge", False, Side(NEXT, bottom=True)), ("across the top", False, Side(NEXT)),
    ("across bottom edge", True, Side(Into("edge", words="across bottom edge"), bottom=True)),
    ("evenly along ends of rows", False, Side(Into("side", words="evenly along ends of rows"))),
]


@pytest.mark.parametrize(("words", "counted", "found"), SIDES)
def test_sides(words, counted, found):
    c = cursor(words)
    c.text = words
    assert read_side(c, counted) == found and c.done


@pytest.mark.parametrize("words", ["across", "evenly around", "across the row", "along other side of foundation ch", "along other side",
    "down", "evenly", "across next 5 sts"])
def test_other_words_are_no_side(words: str):
    c = cursor(words)
    assert read_side(c, False) is None and c.at == 0


LINES = [
    ("sc in end of each row", [around(st("sc", END))]),
    ("sc in next 5 row ends", [times(5, st("sc", END))]),
    ("2 sc in each row end along side", [around(Group((st("sc"), st("sc")), END))]),
    ("(sc, ch 1) in end of next row", "(sc, ch 1) in end of next row"),
    ("20 sc along side", [times(20, st("sc", Into("side", words="along side")))]),
    ("work 14 hdc evenly spaced down left edge", [times(14, st("hdc", Into("side", words="evenly spaced down left edge")))]),
    ("working in ends of rows, sc in each row", [around(st("sc", END))]),
    ("sc along the side edge, working 1 sc in the end of each row", [around(st("sc", END))]),
    ("pick up and dc 9 sts along side", [times(9, st("dc", Into("side", words="along side")))]),
]


@pytest.mark.parametrize(("line", "nodes"), LINES)
def test_lines(line, nodes):
    found = body(line)
    assert write(found) == nodes if isinstance(nodes, str) else list(found) == nodes


@pytest.mark.parametrize("line", ["sc in end of each row", "sc evenly along the side", "20 sc along side edge", "sc in each row end, ch 1",
    "work 20 sc along each side, 3 sc in each corner", "*sc in end of next row, ch 1, sk next row; rep from * along side"])
def test_what_is_printed_is_read_back(line: str):
    nodes = body(line)
    assert plain(body(write(nodes))) == plain(nodes)


def test_corners_between_the_edges():
    assert list(body("work 20 sc along each side, 3 sc in each corner")) == [
        Repeat((times(20, st("sc", Into("edge", words="along next edge"))), Group((st("sc"),) * 3, Into("space", corner=True))),
            Times("exact", 4))]


EDGINGS = ["Edging: Ch 1, sc evenly along the side.", "Border: Join yarn in any corner, sc evenly around.", "Side edging (RS): Sc in each row end.",
    "Final border round: Ch 1, sc in each st around."]


@pytest.mark.parametrize("line", EDGINGS)
def test_an_edging_is_a_round(line: str):
    label = read_label(line, 0)
    assert label is not None and label.title == line.split(":")[0].split(" (")[0].capitalize()


@pytest.mark.parametrize("line", ["Edging: in B", "Border", "Border:", "Edging: optional, see photo.", "Trim: leave a tail of 20 cm."])
def test_what_is_only_said_of_an_edging_is_no_round(line: str):
    assert read_label(line, 0) is None


def test_the_edging_is_called_by_its_name():
    text = "Ch 6.\nRow 1: Sc in 2nd ch from hook and across, turn. (5)\nRow 2: Ch 1, sc in each st across. (5)\nEdging: Ch 1, sc in each row end. (2)"
    assert [r.label for r in rounds(text)] == ["Row 1", "Row 2", "Edging"]
    assert kinds(text) == []


TOLD_BEFORE = ["working in ends of rows, sc in each row", "working down the side sc in each row", "working along ends of rows, sc in each row",
    "working up left edge: sc in each row"]


@pytest.mark.parametrize("line", TOLD_BEFORE)
def test_told_before_what_goes_there(line: str):
    assert list(body(line)) == [around(st("sc", END))]


def test_around_the_whole_piece_with_corners_by_the_way():
    corner = Group((st("sc"),) * 3, Into("space", corner=True))
    way = Repeat((Repeat((st("sc"),), Times("space", 0)), corner), Times("fill", 0, said=False))
    for words in ("entire blanket", "the whole piece", "outer edge", "all four sides"):
        assert list(body(f"sc evenly around {words}, placing 3 sc in each corner")) == [way, around(st("sc"))], words


def test_a_corner_stitch_is_the_middle_of_what_is_in_it():
    nodes = body("sc in each st around, 3 sc in each corner st")
    assert nodes[0].body[1].into == Into("middle", corner=True)
