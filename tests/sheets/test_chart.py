"""Stitch charts: every stitch stands on the one it is worked into."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from coach.fabric import work
from coach.fabric.tree import leaves
from coach.notation import read
from coach.notation.model import Skip
from coach.notation.walk import walk
from coach.sheets.chart import Place, chart
from coach.sheets.chart.layout import draw
from coach.sheets.chart.page import MOST, strokes_of
from coach.sheets.chart.pieces import pieces
from coach.sheets.chart.plan import corners, courses, figures
from coach.sheets.chart.symbols import MANY, SYMBOLS, symbol_of
from coach.sheets.chart.symbols import draw as draw_symbol
from coach.sheets.errors import SheetError
from coach.stitches.catalogue import catalogue
from coach.stitches.catalogue import stitch as entry_of

ROOT = Path(__file__).parents[2]
PATTERNS = sorted(p.stem for p in (ROOT / "patterns").glob("*.md"))
SVG = "{http://www.w3.org/2000/svg}"


def fabric(name: str):
    return work(read((ROOT / "patterns" / f"{name}.md").read_text("utf-8")))


def of(text: str):
    return work(read(text))


CIRCLE = "# Float\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\nRnd 3: (Sc 1, inc) x 6. (18)\n"
BALL = CIRCLE + "Rnds 4-6: Sc in each st around. (18)\nRnd 7: (Sc 1, dec) x 6. (12)\nRnd 8: Dec x 6. (6)\n"
ROWS = (
    "# Mat\n\n## Mat\n\nCh 7.\n\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (6)\n"
    "Row 2: Ch 1, sc in each st across, turn. (6)\n"
)


def all_pieces(one):
    for part in one.parts:
        for course in courses(part, one.size):
            yield course, pieces(course.worked, course.base, one.size)


# ---- pieces
@pytest.mark.parametrize("name", PATTERNS)
def test_a_round_s_symbols_leave_the_tops_that_the_fabric_counts(name):
    for course, found in all_pieces(fabric(name)):
        assert sum(p.top for p in found) == course.worked.tree.tops
        assert max(p.made for p in found) == course.worked.made


@pytest.mark.parametrize("name", PATTERNS)
def test_every_stitch_of_the_round_below_carries_what_takes_it_up(name):
    for course, found in all_pieces(fabric(name)):
        if course.ring or not course.base.plain:
            continue
        used = {f for p in found for f in p.feet}
        assert used <= set(range(course.base.tops))
        skips = any(isinstance(n, Skip) for n in walk(course.worked.source.body))
        assert len(used) <= course.worked.takes if skips else len(used) == course.worked.takes


def test_an_increase_fans_and_a_decrease_joins():
    by_round = {c.index: found for c, found in all_pieces(of(BALL))}
    assert [p.feet for p in by_round[1]][:4] == [(0,), (0,), (1,), (1,)]
    assert all(p.id == "sc" and p.fan == 2 for p in by_round[1])
    assert [p.feet for p in by_round[7]] == [(0, 1), (2, 3), (4, 5), (6, 7), (8, 9), (10, 11)]


def test_a_turned_row_starts_on_the_last_stitch_of_the_row_below():
    _, (_, second) = [found for _, found in all_pieces(of(ROWS))], [found for _, found in all_pieces(of(ROWS))]
    assert [p.feet for p in second if p.kind == "stitch"] == [(5,), (4,), (3,), (2,), (1,), (0,)]


def test_loops_are_drawn_as_seen_from_the_right_side():
    """On wrong-side rows front and back loops swap (the conventions in the reference's list of chart symbols)."""
    one = of(ROWS.replace("Row 2: Ch 1, sc in each st", "Row 2: Ch 1, sc in BLO of each st"))
    (_, second) = list(courses(one.parts[0], 0))
    assert second.wrong_side
    assert {p.loop for p in pieces(second.worked, second.base, 0, True) if p.kind == "stitch"} == {"front"}


# ---- figures
@pytest.mark.parametrize("name", PATTERNS)
def test_every_round_is_in_one_figure(name):
    one = fabric(name)
    for part in one.parts:
        drawn = [c.index for f in figures(part, one.size) for c in f.courses]
        assert drawn == list(range(len(part.rounds)))


def test_a_ball_opens_in_one_disc_and_closes_in_another():
    shapes = [(f.shape, len(f.courses)) for f in figures(fabric("seal").parts[0])]
    assert shapes == [("disc", 10), ("inward", 4)]


def test_a_tube_is_laid_open_and_rows_are_flat():
    assert [f.shape for f in figures(fabric("lighthouse").parts[0])] == ["flat"]
    assert [f.shape for f in figures(fabric("dishcloth").parts[0])] == ["flat"]


# ---- the drawing
@pytest.mark.parametrize("left", [False, True])
@pytest.mark.parametrize("name", PATTERNS)
def test_each_foot_is_on_the_head_of_the_round_below(name, left):
    one = fabric(name)
    for part in one.parts:
        for figure in figures(part, one.size):
            drawing = draw(figure, one.size, left)
            for course in figure.courses[1:]:
                below = [m for m in drawing.marks if m.round == course.index - 1]
                heads = {_key(m.head) for m in below if m.kind != "arc"} | {
                    _key(_middle(m.curve)) for m in below if m.kind == "arc"
                }
                stood_on = {
                    _key(foot)
                    for m in drawing.marks
                    if m.round == course.index and m.kind in ("stitch", "column")
                    for foot in m.feet
                }
                assert stood_on <= heads


def _middle(curve: tuple[complex, ...]) -> complex:
    return (curve[(len(curve) - 1) // 2] + curve[len(curve) // 2]) / 2


def _key(point: complex) -> tuple[float, float]:
    return round(point.real, 3), round(point.imag, 3)


@pytest.mark.parametrize("name", PATTERNS)
def test_no_two_stitches_of_a_round_share_a_head(name):
    one = fabric(name)
    for part in one.parts:
        for figure in figures(part, one.size):
            heads = [(m.round, _key(m.head)) for m in draw(figure, one.size).marks if m.kind in ("stitch", "column")]
            assert len(heads) == len(set(heads))


def test_rounds_of_a_flat_circle_lie_on_growing_rings():
    (figure,) = figures(of(CIRCLE).parts[0])
    radii = {}
    for mark in draw(figure).marks:
        radii.setdefault(mark.round, set()).add(round(abs(mark.head), 3))
    assert all(len(r) == 1 for r in radii.values())
    rings = [r.pop() for _, r in sorted(radii.items())]
    assert rings == sorted(rings) and len(set(rings)) == 3
    assert [len([m for m in draw(figure).marks if m.round == k and m.kind == "stitch"]) for k in range(3)] == [
        6,
        12,
        18,
    ]


def test_rounds_run_anticlockwise_for_the_right_hand_and_clockwise_for_the_left():
    """Rounds from the centre anticlockwise, left-handed people the other way (reference list of chart symbols)."""
    (figure,) = figures(of(CIRCLE).parts[0])
    for left, sign in ((False, -1), (True, 1)):  # on a page whose y grows downwards
        first, second = [m.head for m in draw(figure, left=left).marks if m.round == 0][:2]
        assert (first.conjugate() * second).imag * sign > 0


def test_a_right_side_row_runs_from_right_to_left_and_the_next_one_back():
    (figure,) = figures(of(ROWS).parts[0])
    for row, sign in ((0, -1), (1, 1)):
        xs = [m.head.real for m in draw(figure).marks if m.round == row and m.kind == "stitch"]
        assert xs == sorted(xs, reverse=sign < 0)


def test_corner_spaces_lie_on_the_diagonals_of_a_square():
    one = fabric("square")
    (figure,) = figures(one.parts[0])
    drawing = draw(figure)
    for course in range(5):
        arcs = [m for m in drawing.marks if m.round == course and m.kind == "arc"]
        assert len(arcs) == 4
        for arc in arcs:
            middle = sum(arc.curve) / len(arc.curve)
            assert abs(abs(middle.real) - abs(middle.imag)) < (0.15 if course else 0.3) * abs(middle)


SOLID = "Rnd 1: 8 sc in magic ring. (8)\nRnd 2: (Sc in next st, 3 sc in next st) x 4. (16)\n" + "".join(
    f"Rnd {n}: (Sc in next {n - 1} sts, 3 sc in next st, sc in next {n - 2 if n > 3 else 1} sts) x 4. ({8 * n})\n"
    for n in (3, 4, 5)
)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        (SOLID, 4),
        (
            "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 3 sc in each st around. (18)\n"
            "Rnd 3: (Sc in next st, 3 sc in next st, sc in next st) x 6. (30)\n",
            6,
        ),
        (
            "Rnd 1: 3 dc in magic ring, ch 2, (3 dc in ring, ch 2) 3 times. (12)\n"
            "Rnd 2: (Dc in next 3 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp) 4 times. (28)\n",
            4,
        ),
    ],
    ids=["square", "hexagon", "a square of two rounds"],
)
def test_work_with_corners_is_drawn_with_corners(text, count):
    """Three in one at each corner: +8 a round makes a square, +12 a hexagon (geometry.toml, shapes: seen)."""
    one = of(f"## Tile\n{text}")
    (figure,) = figures(one.parts[0])
    assert corners(figure.courses).count == count
    last = [m for m in draw(figure).marks if m.round == len(one.parts[0].rounds) - 1]
    far = sorted(abs(m.head if m.kind == "stitch" else _middle(m.curve)) for m in last)
    assert far[-count] / far[0] > 0.4 + 0.6 / math.cos(math.pi / count)  # 1: a circle; 1 / cos: a sharp corner


@pytest.mark.parametrize(
    "text",
    [
        "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\nRnd 3: (Sc, inc) x 6. (18)\n",
        "Rnd 1: 5 sc in magic ring. (5)\nRnd 2: 3 sc in each st around. (15)\nRnd 3: Sc in each st around. (15)\n",
        "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 3 sc in each st around. (18)\nRnd 3: (3 sc in next st, sc in next 2 sts) x 6. (30)\n",
    ],
    ids=["increases", "one round of threes", "threes that wander"],
)
def test_what_has_no_corners_is_round(text):
    assert corners(figures(of(f"## Float\n{text}").parts[0])[0].courses) is None


def test_stitches_of_an_increase_stand_to_both_sides_of_their_foot():
    (figure,) = figures(of(CIRCLE).parts[0])
    marks = [m for m in draw(figure).marks if m.round == 1]
    for a, b in zip(marks[::2], marks[1::2]):
        assert a.feet == b.feet
        assert ((a.head * a.feet[0].conjugate()).imag > 0) != ((b.head * b.feet[0].conjugate()).imag > 0)


def test_chains_counted_in_a_ring_are_written_in_it():
    one = fabric("square")
    (figure,) = figures(one.parts[0])
    assert draw(figure).number == 4 and len(draw(figure).ovals) == 4


# ---- symbols
def test_every_stitch_of_the_catalogue_that_has_a_symbol_has_a_drawing():
    for entry in catalogue().stitch:
        if entry.symbol and entry.kind not in ("technique", "start"):
            assert entry.symbol in SYMBOLS or entry.symbol in MANY, entry.id


@pytest.mark.parametrize(
    ("id", "lines"),
    [("sc", 2), ("hdc", 2), ("dc", 3), ("tr", 4), ("dtr", 5), ("trtr", 6), ("sc2tog", 5), ("dc2tog", 5), ("dc3tog", 7)],
)
def test_strokes_of_a_symbol(id, lines):
    entry = entry_of(id)
    feet = tuple(complex(10 * k, 0) for k in range(entry.takes))
    strokes = draw_symbol(symbol_of(entry), feet, complex(5 * (entry.takes - 1), -40 if entry.height > 1 else -14))
    assert len(strokes.lines) == lines and not strokes.fills


def test_a_decrease_the_catalogue_does_not_list_is_drawn_with_all_its_feet():
    one = of("## Fan\nRnd 1: 12 dc in magic ring. (12)\nRnd 2: Dc4tog x 3. (3)\n")
    (figure,) = figures(one.parts[0])
    marks = [m for m in draw(figure).marks if m.round == 1]
    assert [len(m.feet) for m in marks] == [4, 4, 4]
    assert len(strokes_of(marks[0]).lines) == 4 * 2 + 1  # a stem and a slash each, one bar


# ---- the page
@pytest.mark.parametrize("name", PATTERNS)
def test_a_chart_is_sound_svg_and_tells_itself_in_words(name):
    one = fabric(name)
    page = chart(one)
    root = ElementTree.fromstring(page)
    assert root.tag == f"{SVG}svg" and root.get("role") == "img"
    ids = root.get("aria-labelledby").split()
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert [title.get("id"), desc.get("id")] == ids
    for part in one.parts:
        assert part.name in desc.text
        for round_ in part.rounds:
            assert f"{round_.label}: " in desc.text
    stitches = [g for g in root.iter(f"{SVG}g") if g.get("data-step") is not None]
    assert len(stitches) >= sum(leaf.makes for part in one.parts for w in part.rounds for leaf in leaves(w.tree)) * 0.9
    assert "nan" not in page and "http" not in page.replace("http://www.w3.org/2000/svg", "")


def test_everything_drawn_is_on_the_page():
    root = ElementTree.fromstring(chart(fabric("square")))
    width, height = float(root.get("width")), float(root.get("height"))
    for text in root.iter(f"{SVG}text"):
        x, y = float(text.get("x")), float(text.get("y"))
        if text.get("class") in ("title", "part", "caption"):
            assert 0 <= x <= width and 0 <= y <= height


def test_the_key_names_each_symbol_in_the_pattern_s_terms_and_the_other():
    page = chart(fabric("square"))
    assert "Key, in UK terms" in page and "tr: treble crochet (US dc)" in page


def test_the_place_is_shown_and_told():
    page = chart(fabric("seal"), part="head", place=Place(0, 5, 12))
    assert page.count('class="here"') == 1
    assert "The place: Head, Rnd 5, 12 of 30 stitches made." in page
    ahead = [int(made) for made in re.findall(r'data-made="(\d+)" class="ahead"', page)]
    assert len(ahead) == 30 - 12 + 5 * 30 + 24 + 18 + 12 + 6


def test_parts_after_the_place_are_still_to_come_and_those_before_it_are_made():
    page = chart(fabric("seal"), place=Place(1, 3, 2))
    parts = page.split('class="piece"')[1:]
    assert len(parts) > 2 and page.count('class="here"') == 1
    steps = [part.count("<g data-step") for part in parts]
    ahead = [part.count('class="ahead"') for part in parts]
    assert ahead[0] == 0 and 0 < ahead[1] < steps[1] and ahead[2:] == steps[2:]


def test_before_the_first_stitch_of_a_round_the_place_is_the_end_of_the_one_below():
    assert chart(fabric("buoy"), place=Place(0, 3, 0)).count('class="here"') == 1


@pytest.mark.parametrize(("place", "says"), [(Place(0, 40, 1), "no round 40"), (Place(0, 2, 13), "no stitch 13")])
def test_a_place_that_is_not_there_is_a_sentence(place, says):
    with pytest.raises(SheetError) as error:
        chart(fabric("buoy"), place=place)
    assert says in error.value.message and error.value.hint


def test_one_part_alone_and_a_part_that_is_not_there():
    page = chart(fabric("seal"), part="flipper")
    assert "Flipper, make 2" in page and ">Head<" not in page
    with pytest.raises(SheetError) as error:
        chart(fabric("seal"), part="wing")
    assert "Head, Body, Flipper, Tail" in error.value.hint


def test_too_many_stitches_for_a_page_are_a_sentence():
    one = of(
        "## Mat\nCh 101.\n\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (100)\n"
        + "Rows 2-60: Ch 1, sc in each st across, turn. (100)\n"
    )
    with pytest.raises(SheetError) as error:
        chart(one)
    assert f"{MOST:,}" in error.value.message and "html" in error.value.hint


def test_a_pattern_without_rounds_is_a_sentence():
    with pytest.raises(SheetError):
        chart(of("# Only a title\n\nA few words.\n"))


@pytest.mark.parametrize(
    "text",
    [
        "## Lace\nRnd 1: Ch 6, join with sl st in first ch to form a ring; ch 3 (counts as dc), 15 dc in "
        "ring, join with sl st in top of ch 3. (16 dc)\n"
        "Rnd 2: Ch 4 (counts as dc and ch 1), *dc in next dc, ch 1; rep from * around, join with sl st in 3rd "
        "ch of ch 4. (16 dc, 16 ch-1 sps)\n"
        "Rnd 3: Sl st in next ch-1 sp, ch 1, sc in same sp, *ch 5, sc in next ch-1 sp; rep from * around, ch "
        "5, join with sl st in first sc.\n"
        "Rnd 4: Sl st in next ch-5 sp, ch 3, 4 dc in same sp, *ch 1, 5 dc in next ch-5 sp; rep from * around, "
        "ch 1, join.\n",
        "## Odd\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Sc in next 20 sts. (20)\nRnd 3: wiggle about\n",
        "## Picots\nCh 12.\n\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (11)\nRow 2: Ch 1, "
        "*sc in next st, picot; rep from * across, turn.\n",
        "## Mixed\nCh 7.\n\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (6)\nRow 2: Ch 1, "
        "bobble in next st, puff in next st, popcorn in next st, "
        "star, shell in next st.\nRnd 3: Sc in each st around.\n",
    ],
)
def test_lace_faults_and_rare_stitches_are_drawn_too(text):
    ElementTree.fromstring(chart(of(text)))


# ---- what can't be drawn
BOLLARD = """# Bollard

## Bollard

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnd 3: wobble about the edge. (18)
Rnd 4: (Sc 2, inc) x 6. (24)
Rnd 5: Sc around. (24)
Rnd 6: florp about
Rnd 7: (Sc 1, dec) x 4. (8)
Rnd 8: Dec x 6. (6)
"""


def drawn_rounds(one):
    return [[c.worked.label for c in figure.courses] for figure in figures(one.parts[0], one.size)]


def words_in(page: str) -> list[str]:
    return [text.text for text in ElementTree.fromstring(page).iter(f"{SVG}text")]


def test_a_round_that_is_not_counted_is_not_drawn_and_what_comes_after_it_stands_apart():
    """Round 7 stands on one that nobody knows; round 8 takes up more than there is, so it stands on what it takes."""
    one = of(BOLLARD)
    assert drawn_rounds(one) == [["Rnd 1", "Rnd 2"], ["Rnd 4", "Rnd 5"], ["Rnd 8"]]
    by_label = {c.worked.label: c for c in courses(one.parts[0], 0)}
    assert by_label["Rnd 4"].base.tops == 18 and by_label["Rnd 8"].base.tops == 12
    assert [c.apart for c in by_label.values()] == [False, False, True, False, True]


def test_every_stitch_of_a_round_that_stands_apart_has_a_foot_of_its_own():
    for course, found in all_pieces(of(BOLLARD)):
        if course.apart:
            feet = [foot for piece in found for foot in piece.feet]
            assert set(feet) == set(range(course.base.tops)), course.worked.label


def test_the_chart_says_what_it_does_not_show():
    page = chart(of(BOLLARD))
    missing = "Not drawn: Rnd 3, Rnd 6 and Rnd 7, since they, or what they stand on, can't be counted."
    apart = "Rnd 4 and Rnd 8 are drawn apart, since what they stand on is missing here or does not fit."
    for sentence in (missing, apart):
        assert sentence in words_in(page)
        assert sentence in ElementTree.fromstring(page).find(f"{SVG}desc").text
    assert "Rnd 3: wobble about the edge. 18 stitches, as written." in page
    drawn = {int(g.get("data-round")) for g in ElementTree.fromstring(page).iter(f"{SVG}g") if g.get("data-round")}
    assert drawn == {1, 2, 4, 5, 8}


def test_one_round_is_left_out_in_the_singular():
    page = chart(of(BOLLARD.partition("Rnd 6")[0]))
    assert "Not drawn: Rnd 3, since it, or what it stands on, can't be counted." in words_in(page)
    assert "Rnd 4 is drawn apart, since what it stands on is missing here or does not fit." in words_in(page)


def test_a_long_list_of_rounds_is_wrapped():
    """Every other round of forty can't be read: no line runs off a page."""
    rounds = "\n".join(f"Rnd {n}: {'sc around' if n % 2 else 'florp about'}. (12)" for n in range(3, 41))
    words = words_in(chart(of(f"# Rope\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\n{rounds}\n")))
    at = next(k for k, line in enumerate(words) if line.startswith("Not drawn"))
    assert max(map(len, words)) <= 100 and "Rnd 40" in " ".join(words[at : at + 4])


def test_a_part_of_which_nothing_can_be_counted_says_so_instead():
    two = BOLLARD + "\n## Sail\n\nRow 1: flumble the mast\nRow 2: as flumbled\n"
    assert "Sail is not drawn: none of its rounds can be counted." in words_in(chart(of(two)))
    with pytest.raises(SheetError, match="Sail is not drawn: none of its rounds can be counted.") as error:
        chart(of(two), part="sail")
    assert "coach check" in error.value.hint


def test_a_place_at_a_round_that_can_t_be_counted_is_told_without_a_number():
    told = ElementTree.fromstring(chart(of(BOLLARD), place=Place(0, 3, 0))).find(f"{SVG}desc").text
    assert "The place: Bollard, Rnd 3, which can't be counted." in told
    assert "The place: Bollard, Rnd 4, 5 of 24" in chart(of(BOLLARD), place=Place(0, 4, 5))


def test_a_sound_pattern_leaves_nothing_out():
    for name in PATTERNS:
        page = chart(fabric(name))
        assert "Not drawn" not in page and "drawn apart" not in page, name


def test_an_edging_is_drawn_apart_with_its_corners():
    fabric = work(read(
        "Ch 5.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (4)\nRow 2: Ch 1, sc in each st across, turn. (4)\n"
        "Edging: Ch 1, sc in each st across, 3 sc in corner, sc in each row end, join. (9)"))
    edging = list(courses(fabric.parts[0], 0))[-1]
    assert edging.apart and edging.base.tops == 4 + 2 + 4 + 2
    feet = [p.feet for p in pieces(edging.worked, edging.base) if p.id == "sc"]
    assert feet == [(0,), (1,), (2,), (3,), (3,), (3,), (3,), (4,), (5,)]  # the corner beside the last stitch
    assert "Edging is drawn apart, since it goes along the edges of the piece." in chart(fabric)


def test_slip_stitches_from_block_to_block_move_nothing():
    """A row of one block fewer: its blocks stand in the chains of the two it meets first."""
    block = "sl st in next ch-3 sp, ch 3, 3 dc in same sp"
    fabric = work(read(
        "Row 1: Ch 6, dc in 4th ch from hook and in next 2 ch, turn.\n"
        f"Row 2: Ch 6, dc in 4th ch from hook and in next 2 ch, {block}, turn.\n"
        f"Row 3: Sl st in next 3 dc, {block}, sl st in last ch-3 sp, turn."))
    row = list(courses(fabric.parts[0], 0))[-1]
    assert [p.feet[0] for p in pieces(row.worked, row.base) if p.id == "dc"] == [4, 4, 4]  # the space of the last block
