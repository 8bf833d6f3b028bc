"""The words for the edges of a flat piece, and the round that is called an edging."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as hs
from passages import around, body, cursor, kinds, plain, rounds, st, times

from coach.notation.edges import RowEnds, Side, over_rows, read_per_rows, read_row_ends, read_side, read_told_of_rows, tells_of_rows
from coach.notation.labels import read_label
from coach.notation.model import NEXT, Group, Into, Repeat, Times
from coach.notation.printer import write

END = Into("row end")

ROW_ENDS = [
    ("the end of each row", RowEnds(each=True)), ("ends of rows", RowEnds(each=True)), ("row ends", RowEnds(each=True)),
    ("each row end", RowEnds(each=True)), ("the side of each row", RowEnds(each=True)), ("the ends of the rows", RowEnds(each=True)),
    ("edge of every row along the side", RowEnds(each=True)), ("next 3 row ends", RowEnds(3)), ("end of next row", RowEnds()),
    ("end of next 4 rows", RowEnds(4)), ("end of every other row", RowEnds(alternate=True)), ("next row end", RowEnds()),
    ("the end of each dc row", RowEnds(each=True)), ("each dc row end", RowEnds(each=True)), ("sides of rows of left edge", RowEnds(each=True)),
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


PER_ROWS = [("per row", 1), ("per dc row", 1), ("per row end", 1), ("for each row", 1), ("for every row", 1), ("for every 2 rows", 2), ("per 2 rows", 2),
    ("every three dc rows", 3), ("per row along the side", 1)]


@pytest.mark.parametrize(("words", "rows"), PER_ROWS)
def test_for_how_many_rows(words: str, rows: int):
    c = cursor(words)
    assert read_per_rows(c) == rows and c.done


@pytest.mark.parametrize("words", ["per st", "for 2 rows", "each st", "for every 2 sts", "row", "per 0 rows", "every other row"])
def test_other_words_tell_nothing_of_rows(words: str):
    c = cursor(words)
    assert read_per_rows(c) is None and c.at == 0


TOLD = [("(2 sc per row)", ("sc", 2, 1)), ("(about 1 st per row end)", (None, 1, 1)), ("[3 sc for every 2 rows]", ("sc", 3, 2)),
    ("at 2 hdc per dc row", ("hdc", 2, 1)), ("(working 2 sc in the side of each dc row)", ("sc", 2, 1)), ("(2 sts in each dc row)", (None, 2, 1)),
    ("with 1 sc in each row end", ("sc", 1, 1))]


@pytest.mark.parametrize(("words", "told"), TOLD)
def test_so_many_for_the_rows(words, told):
    c = cursor(words)
    assert read_told_of_rows(c) == told and c.done


@pytest.mark.parametrize("words", ["(20 sc)", "(2 sc in next row end)", "(2 sc, ch 1)", "2 sc per row", "(2 sc per row", "(0 sc per row)", "(sc per row)"])
def test_other_brackets_tell_nothing_of_rows(words: str):
    c = cursor(words)
    assert read_told_of_rows(c) is None and c.at == 0


@pytest.mark.parametrize(("line", "told"), [
    ("evenly along the side (2 sts per row)", True), ("along the edge (about 3 sc for every 2 rows)", True), ("evenly (1 sc in each row end)", True),
    ("in each st across (20 sts per row)", False), ("evenly along the side (20 sts)", False), ("evenly along the side (each row grows)", False)])
def test_what_counts_no_round(line: str, told: bool):
    c = cursor(line)
    assert tells_of_rows(c.tokens, [t.value for t in c.tokens].index("("), len(c.tokens) - 1) is told


@given(many=hs.integers(1, 12), rows=hs.integers(1, 12))
def test_stitches_over_rows_are_even(many: int, rows: int):
    shares = over_rows(many, rows)
    assert rows % len(shares) == 0 and sum(shares) * (rows // len(shares)) == many
    assert max(shares) - min(shares) <= 1 and shares[0] == max(shares)


TWO = Group((st("sc"), st("sc")), END)
RATES = [
    ("sc evenly along the side (2 sc per row)", [around(TWO)]), ("sc evenly along the side (1 sc per row)", [around(st("sc", END))]),
    ("sc evenly along the side, 2 sc per dc row", [around(TWO)]), ("sc evenly along the side (1 st per row end)", [around(st("sc", END))]),
    ("sc evenly along the side, working 2 sc in the side of each dc row", [around(TWO)]),
    ("sc evenly along the side edge, placing 2 sts in each dc row end", [around(TWO)]),
    ("hdc evenly up the side (4 hdc for every 2 rows)", [around(Group((st("hdc"), st("hdc")), END))]),
    ("sc evenly along both sides (1 sc per row)", [times(2, around(st("sc", END)))]),
    ("2 sc per row along the side", [around(TWO)]),
]


@pytest.mark.parametrize(("line", "nodes"), RATES)
def test_so_many_per_row(line, nodes):
    assert list(body(line)) == nodes


@pytest.mark.parametrize("line", ["sc evenly along the side (3 sc for every 2 rows)", "sc evenly along the side, 3 sc for every 2 rows",
    "work 3 sc for every 2 rows along the side", "sc evenly along the side at 3 sts per 2 rows", "sc evenly along the side (6 sc per 4 rows)"])
def test_so_many_for_some_rows(line: str):
    assert list(body(line)) == [Repeat((TWO, st("sc", END)), Times("fill", 0, said=False, partly=True))]


def test_fewer_stitches_than_rows_leave_some_out():
    (all_along,) = body("1 sc for every 2 rows along the side")
    assert write([all_along]) == "*sc in end of next row, sk next st; rep from * around"


def test_what_is_told_of_rows_counts_no_round():
    edged = "Ch 6.\nRow 1: Sc in 2nd ch from hook and across, turn. (5)\nRow 2: Ch 1, sc in each st across. (5)\n"
    for line, stated in [("Sc evenly along the side (2 sts per row).", ()), ("Sc evenly along the side, 2 sts per row.", ()),
                         ("Sc evenly along the side (2 sc per row). (4)", (4,))]:
        assert tuple(c.amount for c in rounds(f"{edged}Edging: {line}")[-1].stated) == stated, line
