"""The symbols of a chart against the published set, and the key that names them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from coach.fabric import work
from coach.notation import read
from coach.sheets.chart import Place, chart
from coach.sheets.chart.layout import draw
from coach.sheets.chart.plan import figures
from coach.sheets.chart.symbols import MANY, Symbol, symbol_of
from coach.sheets.chart.symbols import draw as draw_symbol
from coach.stitches.catalogue import stitch as entry_of

ROOT = Path(__file__).parents[2]
REFERENCE = ROOT.parent / "shared" / "reference" / "chart_symbols.toml"

# What each shape of the reference list means here: the words that its entry must have, and the symbol drawn. The list follows
# the Craft Yarn Council's set; its entries say whether they were seen or are from memory.
PUBLISHED = {
    "ch": ("ch", "open oval", Symbol("oval")),
    "sl st": ("slst", "filled", Symbol("dot")),
    "sc": ("sc", "or x", Symbol("cross")),
    "hdc": ("hdc", "no slash", Symbol(bar=True)),
    "dc": ("dc", "one short diagonal slash", Symbol(bar=True, slashes=1)),
    "tr": ("tr", "two diagonal slashes", Symbol(bar=True, slashes=2)),
    "dtr": ("dtr", "three diagonal slashes", Symbol(bar=True, slashes=3)),
    "trtr": ("trtr", "four diagonal slashes", Symbol(bar=True, slashes=4)),
    "sc2tog": ("sc2tog", "leaning together to a point", Symbol("cross")),
    "sc3tog": ("sc3tog", "three strokes meeting", Symbol("cross")),
    "dc2tog": ("dc2tog", "two dc stems whose tops meet", Symbol(bar=True, slashes=1)),
    "dc3tog": ("dc3tog", "three dc stems whose tops meet", Symbol(bar=True, slashes=1)),
    "3-dc cluster": (
        "cl",
        "three dc stems from ONE base",
        Symbol(bar=True, slashes=1, stems=3, gathered=True, bulge=1.2),
    ),
    "popcorn": ("popcorn", "oval on top", Symbol(bar=True, slashes=1, stems=5, top="oval")),
    "ch-3 picot": ("picot", "three ovals bent into a small loop", Symbol("loop")),
    "front post dc": ("fpdc", "hook turned to one side", Symbol(bar=True, slashes=1, foot="hook")),
    "back post dc": ("bpdc", "turned the other way", Symbol(bar=True, slashes=1, foot="hook back")),
    "reverse sc": ("revsc", "small wave", Symbol("cross", top="wave")),
}


def of(text: str):
    return work(read(text))


@pytest.fixture(scope="module")
def shapes() -> dict[str, str]:
    if not REFERENCE.exists():
        pytest.skip("../shared/reference is not here")
    return {entry["stitch"]: entry["shape"] for entry in tomllib.loads(REFERENCE.read_text("utf-8"))["symbol"]}


@pytest.mark.parametrize("named", PUBLISHED)
def test_a_symbol_of_the_published_set(shapes, named):
    id, words, symbol = PUBLISHED[named]
    assert words in shapes[named]
    assert symbol_of(entry_of(id)) == symbol


def test_no_symbol_of_the_published_set_is_left_out(shapes):
    """The others are drawn of several symbols, or are no stitches: a test below or in test_chart looks at each."""
    others = {
        "sc inc (2 sc in one)",
        "bobble / puff",
        "5-dc shell",
        "back loop only",
        "front loop only",
        "magic ring",
        "chain ring with number",
        "start of round",
    }
    assert set(shapes) - set(PUBLISHED) == others


def test_a_bobble_has_slashes_and_a_puff_has_none(shapes):
    assert "closed pointed oval" in shapes["bobble / puff"]
    bobble, puff = symbol_of(entry_of("bobble")), symbol_of(entry_of("puff"))
    assert bobble.gathered and puff.gathered and bobble.slashes == 1 and puff.slashes == 0


def test_increases_and_shells_are_symbols_from_one_foot(shapes):
    assert "joined at the bottom" in shapes["sc inc (2 sc in one)"] and "fanning from one base" in shapes["5-dc shell"]
    assert {entry_of("inc").symbol, entry_of("shell").symbol} <= MANY
    page = chart(of("## Fan\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\n"))
    assert page.count('data-step="0"') == 1 + 2  # one in the first round, both of an increase in the second


@pytest.mark.parametrize(("loop", "opens"), [("back", -1), ("front", 1)])
def test_one_loop_is_an_arc_under_the_foot(shapes, loop, opens):
    """For the back loop it opens upwards like a cup, for the front loop it is turned over."""
    assert "open up" in shapes["back loop only"] and "other way up" in shapes["front loop only"]
    strokes = draw_symbol(symbol_of(entry_of("sc")), (0j,), -14j, loop=loop)
    (arc,) = [line for line in strokes.lines if "Q" in line]
    start, control = (
        [float(n) for n in arc[1:].split("Q")[0].split()],
        [float(n) for n in arc.split("Q")[1].split()[:2]],
    )
    assert (start[1] - control[1]) * opens > 0  # y grows downwards: the ends of a cup lie above its middle


class TestKey:
    RING = "## Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\n"
    CHAINS = "## Lace\nRnd 1: Ch 6, join with sl st to form a ring, ch 1, 12 sc in ring, join with sl st. (12)\nRnd 2: Inc x 12. (24)\n"

    def test_the_magic_ring_is_in_it(self):
        assert "MR: magic ring" in chart(of(self.RING)) and "MR: magic ring" not in chart(of(self.CHAINS))

    def test_a_ring_of_chains_is_in_it(self):
        assert "ch ring: chain ring" in chart(of(self.CHAINS)) and "ch ring" not in chart(of(self.RING))

    def test_each_symbol_is_there_once_in_both_terms(self):
        key = chart(of(self.RING)).split("Key, in US terms")[1]
        assert key.count("sc: single crochet (UK dc)") == 1

    def test_a_place_is_explained_where_it_is_shown(self):
        assert "The disc shows the last stitch made" in chart(of(self.RING), place=Place(0, 2, 3))
        assert "The disc shows" not in chart(of(self.RING))


# ---- signs that are no stitches


def remarks(text: str, **wishes) -> list[str]:
    return re.findall(r'<text x="30\.0" y="\d+">([^<]+)</text>', chart(of(text), **wishes))


ROUNDS = "Rnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n"
IN_TURN = "s are black and blue in turn; these are no colours of yarn."


def test_the_key_tells_what_an_increase_looks_like():
    into_one = "Lines that meet below, like a V: worked into one place."
    starts = "A number and its arrow show where a round starts."
    assert remarks(ROUNDS) == [starts, into_one, f"Round{IN_TURN}"]
    assert remarks("Rnd 1: 6 sc in magic ring (6)\n") == [starts]


def test_the_key_tells_what_the_dots_of_a_closing_end_are():
    closing = f"{ROUNDS}Rnd 3: (sc, inc) x 6 (18)\nRnds 4-8: sc 18 (18)\nRnd 9: (sc, dec) x 6 (12)\nRnd 10: dec x 6 (6)\n"
    assert "Grey dots: the stitches of the round before, in the drawing above." in remarks(closing)
    assert not any("dots" in remark for remark in remarks(ROUNDS))


def test_rows_are_called_rows():
    rows = "Row 1: ch 5, sc in 2nd ch from hook, sc 3 (4)\nRow 2: ch 1, turn, sc 4 (4)\n"
    assert remarks(rows) == ["A number and its arrow show where a row starts.", f"Row{IN_TURN}"]
    both = f"## Cap\n{ROUNDS}## Strap\n{rows}"
    assert remarks(both)[0] == "A number and its arrow show where a round or row starts."
    assert remarks(both)[-1] == f"Rounds or row{IN_TURN}"


def test_the_key_is_as_wide_as_its_longest_remark():
    page = chart(of(ROUNDS), place=Place(0, 1, 3))
    assert int(re.search(r'width="(\d+)"', page)[1]) > 60 + 6.5 * max(map(len, remarks(ROUNDS, place=Place(0, 1, 3))))


@pytest.mark.parametrize("name", ["buoy", "seal", "puffin"])
def test_the_numbers_of_a_closing_end_stand_clear_of_its_stitches(name):
    """A number of two digits is about 12 units wide, a cross 6 to each side of its head."""
    fabric = of((ROOT / "patterns" / f"{name}.md").read_text("utf-8"))
    closing = [draw(f) for part in fabric.parts for f in figures(part, 0) if f.shape == "inward"]
    assert closing
    for drawing in closing:
        for label in drawing.labels:
            for mark in drawing.marks:
                for point in (mark.head, *mark.feet, *((mark.head + foot) / 2 for foot in mark.feet)):
                    assert abs(point - label.point) > 9, (label.text, mark)
