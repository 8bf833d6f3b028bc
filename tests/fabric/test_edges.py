"""Edgings along the edges of a flat piece: which row each stitch lands on, and how many go along each edge."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.edges import Edge, Edged, shared_out
from coach.fabric.gauge import gauge_of
from coach.fabric.shape import shape_of
from coach.fabric.tree import Leaf, Loop, Run, Top, leaves
from coach.notation import read


def piece(stitches: int, rows: int, stitch: str = "sc") -> str:
    """Rows of a plain stitch, without counting chains."""
    return (f"Ch {stitches + 1}.\nRow 1: {stitch.capitalize()} in 2nd ch from hook and in each ch across, turn. ({stitches})\n"
            + "".join(f"Row {n}: Ch 1, {stitch} in each st across, turn. ({stitches})\n" for n in range(2, rows + 1)))


def edging(text: str):
    """(the last round, its kinds of fault)."""
    fabric = work(read(text))
    return fabric.parts[-1].rounds[-1], [f.kind for f in fabric.faults]


def landed(worked) -> list[int | None]:
    """The place along the edges that each stitch lands on, counted on the fingers."""
    at, found = 0, []
    for leaf in leaves(worked.tree):
        found += [None if leaf.at is None else at + leaf.at] * leaf.makes
        at += leaf.moves
    return found


def by_hand(stitches: int, rows: int, corner: int) -> tuple[int, list[int]]:
    """(stitches of a border with one in each stitch and row end, and `corner` in each corner; their places)."""
    places, at = [], 0
    for edge in (stitches, rows, stitches, rows):
        places += range(at, at + edge)
        at += edge
        places += [at - 1] * corner  # at the corner, beside the last one
    return len(places), places


@given(stitches=st.integers(2, 30), rows=st.integers(1, 30), corner=st.integers(1, 5))
def test_a_border_all_around(stitches, rows, corner):
    many, places = by_hand(stitches, rows, corner)
    worked, faults = edging(
        piece(stitches, rows) + f"\nBorder\nRnd 1: Ch 1, sc in each st across, {corner} sc in corner, sc in end of each row, "
        f"{corner} sc in corner, sc in each ch across bottom edge, {corner} sc in corner, sc in end of each row, "
        f"{corner} sc in corner, join. ({many})")
    assert faults == []
    assert (worked.made, worked.takes, worked.base) == (many, 2 * (stitches + rows), 2 * (stitches + rows))
    assert landed(worked) == places


@given(n=st.integers(1, 60), rows=st.integers(2, 40))
def test_so_many_along_a_side_are_spread_over_all_its_rows(n, rows):
    worked, faults = edging(piece(5, rows) + f"\nBand\nRow 1: Work {n} sc evenly along the side. ({n})")
    assert faults == [] and worked.made == n
    side = worked.edged.edges[0]
    on = [side.row(place) for place in range(n)]
    assert on == sorted(on) and on[0] == 0 and on[-1] < rows
    many = [on.count(row) for row in range(rows)]
    assert max(many) - min(many) <= 1  # evenly: no row has two more than another


@given(n=st.integers(1, 40), rows=st.integers(2, 30))
def test_so_many_along_each_of_four_edges(n, rows):
    worked, faults = edging(piece(6, rows) + f"\nBorder\nRnd 1: Work {n} sc along each side, 3 sc in each corner, join. ({4 * n + 12})")
    assert (worked.made, faults) == (4 * n + 12, [])
    assert [e.worked.tops for e in worked.edged.edges] == [n] * 4


USUAL = [("sc", 12), ("hdc", 18), ("dc", 24), ("tr", 36)]  # along 12 rows: one, one and a half, two, three


@pytest.mark.parametrize(("stitch", "many"), USUAL)
def test_as_many_as_are_usual_where_nothing_tells(stitch: str, many: int):
    """Common practice, no source: one for a row of sc, three for two of hdc, two for dc, three for tr."""
    worked, faults = edging(piece(8, 12, stitch) + "\nBand\nRow 1: Ch 1, sc evenly along the side.")
    assert (worked.made, faults) == (many, [])
    assert worked.readings == (
        f"Along the edge go {many} stitches, as is usual for so many rows, since nothing tells how many",)


@given(more=st.integers(-6, 14))
def test_a_count_tells_how_many_go_along_the_sides(more):
    worked, faults = edging(
        piece(10, 12) + "\nBorder\nRnd 1: Ch 1, sc in each st across, 3 sc in corner, sc evenly along side, 3 sc in corner, sc in "
        f"each ch across bottom edge, 3 sc in corner, sc evenly along other side, 3 sc in corner, join. ({56 + 2 * more})")
    assert (worked.made, faults) == (56 + 2 * more, [])
    assert [e.worked.tops for e in worked.edged.edges] == [10, 12 + more, 10, 12 + more]


def test_no_sensible_number_along_the_sides_is_a_wrong_count():
    worked, faults = edging(piece(10, 12) + "\nBand\nRow 1: Ch 1, sc evenly along the side. (40)")
    assert (worked.made, faults) == (12, ["count"])


def test_a_side_is_begun_with_where_it_is_named_first():
    worked, faults = edging(piece(10, 4) + "Row 5: Ch 1, sc in each row end, ch 2, sc in each ch across bottom edge. (14)")
    assert faults == []
    assert [e.kind for e in worked.edged.edges] == ["rows", "chain", "rows", "top"]
    assert worked.takes == 14


def test_the_next_round_stands_on_the_border():
    fabric = work(read(piece(10, 6) + "\nBorder\nRnd 1: Sc evenly around, 3 sc in each corner, join. (44)\n"
                       "Rnd 2: Ch 1, sc in each st around, join. (44)"))
    assert fabric.faults == ()
    assert [(r.made, r.base) for r in fabric.parts[1].rounds] == [(44, 32), (44, 44)]


@pytest.mark.parametrize(("many", "fault"), [(9, "leaves"), (10, None), (11, "short")])
def test_an_edge_must_come_out(many: int, fault: str | None):
    _, faults = edging(piece(10, 4) + f"\nBorder\nRnd 1: Ch 1, sc in next {many} sts, 3 sc in corner, sc in each row end, join.")
    assert faults == ([fault] if fault else [])


def test_without_rows_nothing_is_known_of_the_sides():
    worked, faults = edging("Rnd 1: 6 sc in magic ring. (6)\n\nEdging\nRow 1: Sc in end of each row.")
    assert not worked.counted and faults == []


@given(usual=st.lists(st.integers(1, 50), min_size=1, max_size=6), more=st.integers(-40, 60))
def test_shares(usual, more):
    shares = shared_out(tuple(usual), more)
    if shares is None:
        assert not 0.4 * sum(usual) <= sum(usual) + more <= 2.5 * sum(usual)
    else:
        assert sum(shares) == sum(usual) + more and min(shares) >= 0


def test_the_base_is_the_edges_in_their_order():
    row = Run((Leaf(None, tops=(Top("sc"),)), Leaf(None, tops=(Top("dc"),))))
    side = Edge("rows", 3, 3, Loop(Leaf(None, tops=(Top("row end"),)), 3))
    edged = Edged((Edge("top", 2, 2, row), side))
    assert [edged.base.top(i).kind for i in range(5)] == ["dc", "sc", "row end", "row end", "row end"]  # turned
    assert (edged.stops, edged.begin(1)) == ((2, 5), 2)
    assert edged.with_places(1, 6).stops == (2, 8)


def test_an_edging_adds_to_the_fabric_and_not_to_the_width():
    gauge = gauge_of(read("Gauge: 20 sc and 20 rows = 10 cm\n\n" + piece(10, 12)))
    plain = shape_of(work(read(piece(10, 12))).parts[0], gauge)
    edged = shape_of(work(read(piece(10, 12) + "Edging: Ch 1, sc in each row end, join. (12)")).parts[0], gauge)
    assert (edged.kind, edged.width, edged.height) == (plain.kind, plain.width, plain.height) == ("flat", 5.0, 6.0)
    assert edged.surface - plain.surface == pytest.approx(12 * 0.5 * 0.5)


def test_a_border_of_its_own_is_as_long_as_its_edge():
    fabric = work(read("Gauge: 20 sc and 20 rows = 10 cm\n\n" + piece(10, 12)
        + "\nBorder\nRnd 1: Sc evenly around, 3 sc in each corner, join. (56)\nRnd 2: Ch 1, sc in each st around, join. (56)"))
    strip = shape_of(fabric.parts[1], gauge_of(fabric.pattern))
    assert (strip.kind, strip.width, strip.height) == ("edging", 28.0, 1.0)


def test_down_the_first_side_and_up_the_other():
    worked, _ = edging(piece(2, 3) + "\nBorder\nRnd 1: Ch 1, sc in each st across, sc in each row end, sc in each ch across bottom edge, "
                       "sc in each row end. (10)")
    assert [worked.edged.row(place) for place in range(10)] == [None, None, 3, 2, 1, None, None, 1, 2, 3]
    assert [worked.edged.at(place)[0].kind for place in (0, 2, 5, 9)] == ["top", "rows", "chain", "rows"]


@given(rows=st.integers(2, 30), many=st.integers(1, 4))
def test_so_many_for_each_row(rows, many):
    worked, faults = edging(piece(5, rows) + f"\nBand\nRow 1: Ch 1, sc evenly along the side ({many} sc per row).")
    assert (worked.made, worked.takes, worked.readings, faults) == (rows * many, rows, (), [])
    assert landed(worked) == [row for row in range(rows) for _ in range(many)]


@given(rows=st.integers(2, 31))
def test_three_for_two_rows_are_two_and_one(rows):
    """An odd last row begins the next pair."""
    worked, faults = edging(piece(5, rows) + "\nBand\nRow 1: Ch 1, sc evenly along the side (3 sc for every 2 rows).")
    assert (worked.made, faults) == ((3 * rows + 1) // 2, [])
    assert landed(worked) == [row for row in range(rows) for _ in range(2 - row % 2)]


@given(rows=st.integers(2, 12), stitches=st.integers(2, 12))
def test_each_side_by_its_rows(rows, stitches):
    """No pair reaches beyond the edge that it is on."""
    side = (3 * rows + 1) // 2
    worked, faults = edging(
        piece(stitches, rows) + "\nBorder\nRnd 1: Ch 1, sc in each st across, sc evenly down the side (3 sc for every 2 rows), sc in each ch "
        f"across bottom edge, sc evenly up the other side (3 sc for every 2 rows), join. ({2 * (side + stitches)})")
    assert (worked.made, worked.takes, faults) == (2 * (side + stitches), 2 * (rows + stitches), [])


def test_a_wrong_count_of_what_is_told_per_row_is_a_fault():
    worked, faults = edging(piece(10, 12) + "\nBand\nRow 1: Ch 1, sc evenly along the side (2 sc per row). (20)")
    assert (worked.made, faults) == (24, ["count"])


def test_what_is_told_of_one_side_leaves_the_other_to_the_count():
    worked, faults = edging(
        piece(10, 12) + "\nBorder\nRnd 1: Ch 1, sc in each st across, 3 sc in corner, sc evenly along the side (1 sc per row), 3 sc in corner, "
        "sc across the bottom, 3 sc in corner, sc evenly up the other side, 3 sc in corner, join. (58)")
    assert (worked.made, faults) == (58, [])
    assert [e.worked.tops for e in worked.edged.edges] == [10, 12, 10, 14]
