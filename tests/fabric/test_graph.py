"""The stitches as a graph: each hangs in the one it was worked into and follows the one before it.

Built the slow way, step by step, and checked with networkx: a piece is one piece, and work that never goes back on
itself lies flat in the plane (a spiral of rounds is a disc of circles joined; rows are a strip).
"""

from __future__ import annotations

import itertools
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from worked import after, flat, landings, rounds

from coach.fabric import work
from coach.fabric.model import Worked
from coach.fabric.tree import leaves
from coach.notation import read


def stitches(worked: list[Worked], turned: bool = False) -> nx.Graph:
    """Nodes (round, n-th top), in the order in which they were made; ("ring", 0) is below the first round.

    Edges: from each top to the one made before it, and to the top (or tops) of the round below that it goes into.
    turned: rows, each worked back over the one below.
    """
    graph = nx.Graph()
    last = ("ring", 0)
    for r, round in enumerate(worked):
        below = worked[r - 1].tree.tops if r else 0
        n = passed = 0
        for step in leaves(round.tree):
            first = passed + (step.at or 0)
            into = range(first, first + max(step.takes, 1)) if below and step.at is not None else ()
            first_of_step = n
            for _ in step.made_tops:
                node = (r, n)
                graph.add_edge(last, node, after=True)
                last = node
                n += 1
            for top in range(first_of_step, n):
                for place in into:
                    graph.add_edge((r, top), (r - 1, below - 1 - place if turned else place), into=True)
                if not below and r == 0:
                    graph.add_edge((r, top), ("ring", 0), into=True)
            passed += step.moves
    return graph


def hanging(graph: nx.Graph, round: int, top: int) -> list:
    """Where a top goes in: its neighbours in the round below."""
    return sorted(n for n in graph[(round, top)] if n[0] == round - 1 and "into" in graph.edges[(round, top), n])


def is_flat(graph: nx.Graph) -> bool:
    return nx.check_planarity(graph)[0]


class TestSpiral:
    def test_a_ring_of_six(self):
        graph = stitches(rounds("Rnd 1: 6 sc in magic ring."))
        assert len(graph) == 7
        assert graph.degree(("ring", 0)) == 6

    def test_an_increase_hangs_twice_in_one_stitch(self):
        graph = stitches(rounds(after(6, "2 sc in each st around.")))
        assert [hanging(graph, 1, n) for n in range(4)] == [[(0, 0)], [(0, 0)], [(0, 1)], [(0, 1)]]

    def test_a_decrease_hangs_in_two(self):
        graph = stitches(rounds(after(6, "Sc2tog 3 times.")))
        assert [hanging(graph, 1, n) for n in range(3)] == [[(0, 0), (0, 1)], [(0, 2), (0, 3)], [(0, 4), (0, 5)]]

    def test_a_skipped_stitch_holds_nothing(self):
        graph = stitches(rounds(after(6, "(Sc, sk 1) x 3.")))
        assert [hanging(graph, 1, n) for n in range(3)] == [[(0, 0)], [(0, 2)], [(0, 4)]]

    def test_three_double_crochet_hang_in_one_space(self):
        graph = stitches(rounds(after(6, "(Sc, ch 2) x 6.", "3 dc in each ch-2 sp around.")))
        assert {tuple(hanging(graph, 2, n)) for n in range(3)} == {((1, 1),)}
        assert {tuple(hanging(graph, 2, n)) for n in range(15, 18)} == {((1, 11),)}


class TestRows:
    def test_a_row_hangs_in_the_row_before_from_its_end(self):
        worked = rounds(flat(5, "Ch 1, sc in each st across, turn."))
        graph = stitches(worked, turned=True)
        assert [hanging(graph, 1, n) for n in range(5)] == [[(0, 4)], [(0, 3)], [(0, 2)], [(0, 1)], [(0, 0)]]

    def test_a_strip_is_one_piece_and_flat(self):
        graph = stitches(rounds(flat(8, *["Ch 1, sc in each st across, turn."] * 6)), turned=True)
        assert nx.is_connected(graph) and is_flat(graph)


# A spiral round as a program: (instruction, stitches it takes, stitches it makes), filled up with plain stitches.
ITEMS = [("sc", 1, 1), ("inc", 1, 2), ("sc2tog", 2, 1), ("3 dc in next st", 1, 3), ("sc3tog", 3, 1), ("hdc 2", 2, 2),
    ("sk 1, sc", 2, 1), ("(dc, ch 2, dc) in next st", 1, 2)]


@st.composite
def spirals(draw) -> str:
    """Four rounds of random instructions on a ring, each taking up all of the one below."""
    below, lines = draw(st.integers(4, 8)), []
    start = below
    for _ in range(draw(st.integers(1, 4))):
        left, made, items = below, 0, []
        while left and len(items) < 12:
            text, takes, makes = draw(st.sampled_from([i for i in ITEMS if i[1] <= left]))
            items.append(text)
            left, made = left - takes, made + makes
        if left:
            items.append(f"sc in next {left} sts" if left > 1 else "sc")
            made += left
        below = made
        lines.append(", ".join(items) + f". ({made})")
        if "ch 2" in lines[-1]:
            break  # what lies on top of it would have to say how it treats the spaces
    return after(start, *lines)


@settings(max_examples=60)
@given(spirals())
def test_any_spiral_is_one_piece_and_flat(text):
    worked = rounds(text)
    assert not any(round.faults for round in worked), text
    graph = stitches(worked)
    assert nx.is_connected(graph)
    assert is_flat(graph)


@settings(max_examples=60)
@given(spirals())
def test_no_step_goes_back_or_beyond_the_round_below(text):
    worked = rounds(text)
    for below, round in itertools.pairwise(worked):
        where = [w for w in landings(round) if w is not None]
        assert where == sorted(where)
        assert all(0 <= w < below.tree.tops for w in where)


@settings(max_examples=60)
@given(spirals())
def test_every_stitch_but_the_first_has_one_before_it(text):
    graph = stitches(rounds(text))
    along = [edge for edge in graph.edges.data("after") if edge[2]]
    nodes = sum(round.tree.tops for round in rounds(text))
    assert len(graph) == nodes + 1
    assert len(along) == nodes


@pytest.mark.parametrize("corners, spaces", [(4, "ch 2"), (6, "ch 1")])
def test_a_motif_of_clusters_and_spaces_is_one_piece_and_flat(corners, spaces):
    n = spaces[-1]
    text = (f"Rnd 1: (3 dc in ring, {spaces}) {corners} times.\n"
            f"Rnd 2: *Dc in next 3 sts, (2 dc, {spaces}, 2 dc) in next ch-{n} sp; rep from * around.\n"
            f"Rnd 3: *Dc in next 5 sts, (2 dc, {spaces}, 2 dc) in next ch-{n} sp, dc in next 2 sts; rep from * around.")
    worked = rounds(text)
    assert [round.made for round in worked] == [3 * corners, 7 * corners, 11 * corners]
    graph = stitches(worked)
    assert nx.is_connected(graph) and is_flat(graph)


def test_a_graph_that_crosses_itself_would_be_found():
    """The check can fail: two rounds whose stitches are worked into the round below in a scattered order."""
    graph = stitches(rounds(after(8, "Sc in each st around.", "Sc in each st around.")))
    for n in range(8):
        graph.add_edge((2, n), (0, 3 * n % 8))
    assert not is_flat(graph)


PATTERNS = sorted((Path(__file__).resolve().parents[2] / "patterns").glob("*.md"))


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_every_part_of_our_patterns_is_one_piece_and_flat(path: Path):
    """Every stitch hangs together, in a disc of rounds or a strip of rows that could be laid out without a crossing."""
    for part in work(read(path.read_text("utf-8"))).parts:
        graph = stitches(list(part.rounds), turned=part.rounds[0].source.kind == "row")
        assert len(graph) == sum(round.tree.tops for round in part.rounds) + 1, part.name
        assert nx.is_connected(graph), part.name
        assert is_flat(graph), part.name


def test_there_are_patterns_of_ours_to_look_at():
    assert len(PATTERNS) >= 6
