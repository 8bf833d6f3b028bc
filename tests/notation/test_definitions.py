"""What a pattern says that its own words mean."""

from __future__ import annotations

import pytest
from passages import body, kinds, plain, rounds, times
from passages import st as stitch

from coach.notation.definitions import definitions
from coach.notation.document import sections
from coach.notation.lexer import fold
from coach.notation.model import Chain, Group, Stitch

DC = stitch("dc")


def defined(text: str, section: str = "Special stitches", terms: str = "US"):
    page = fold(f"# Edging\n\n## {section}\n\n{text}\n\n## Edging\n\nRow 1: Sc in each st.")
    return definitions(page, sections(page)[1], terms)


# definition → names, nodes in one place (None: not a stitch of its own)
STITCHES = [
    ("Shell: 5 dc in same st.", {"shell"}, [times(5, DC)]),
    ("Shell = 5 dc in next st", {"shell"}, [times(5, DC)]),
    ("Shell: work 5 dc in one st.", {"shell"}, [times(5, DC)]),
    ("Shell (sh): 5 dc in indicated st.", {"shell", "sh"}, [times(5, DC)]),
    ("Shell, sh: 5 dc in same st.", {"shell", "sh"}, [times(5, DC)]),
    ("Ripple st: (2 dc, ch 1, 2 dc) in next st.", {"ripple st", "ripple"}, [times(2, DC), Chain(1), times(2, DC)]),
    ("V-st: (dc, ch 1, dc) in same st.", {"v-st"}, [DC, Chain(1), DC]),
    ("- Wave — (sc, hdc, dc) in next st", {"wave"}, [stitch("sc"), stitch("hdc"), DC]),
]


@pytest.mark.parametrize(("text", "names", "nodes"), STITCHES)
def test_a_stitch_of_its_own(text, names, nodes):
    special = defined(text).special
    assert names <= set(special)
    for name in names:
        assert not special[name].spread
        assert list(plain(special[name].body)) == nodes


@pytest.mark.parametrize("text", [
    "sc = single crochet", "dc: double crochet", "st = stitch", "ch = chain", "rnd = round", "Caution: small parts.",
    "Note: ch 3 counts as dc.", "Yarn: 50 g of grey.", "sl st = slip stitch"])
def test_a_name_in_full_is_none(text):
    assert defined(text, "Abbreviations").special == {}


class TestSpread:
    """A stitch over several places of its own."""

    def test_its_nodes_stand_side_by_side(self):
        special = defined("Crossed st: sk next st, dc in next st, dc in same st.").special
        assert special["crossed"].spread

    def test_it_takes_up_as_many(self):
        text = ("# Edging\n\n## Special stitches\n\nPair: sc in next st, dc in next st.\n\n"
                "## Edging\n\nFsc 12.\nRow 1: (Pair) x 6.")
        assert kinds(text) == []
        assert len(rounds(text)) == 1


class TestByHand:
    def test_a_stitch_told_in_loops_is_known_by_its_name(self):
        special = defined("Pebble: yo, insert hook in next st, draw up a loop, yo and draw through all loops.").special
        assert special["pebble"].body == (Stitch("pebble"),)

    def test_one_of_the_catalogue_stays_that(self):
        text = "Single crochet (sc): insert hook, yo, pull up a loop, yo, pull through both loops."
        assert "sc" not in defined(text).special


class TestIncreasesAndDecreases:
    def test_dec_is_the_invisible_one_where_it_says_so(self):
        assert defined("dec = invisible decrease", "Abbreviations").dec == "invdec"
        assert defined("dec = decrease", "Abbreviations").dec is None

    def test_inc_of_three(self):
        nodes = body("Inc in next st, sc in next 5 sts.",
            "## Abbreviations\n\ninc = increase (work 3 sc in same st)\n\n## Body\n\n")
        assert nodes[0].body == (times(3, stitch("sc")),)

    def test_inc_of_two_is_the_usual(self):
        assert defined("inc = 2 sc in next st", "Abbreviations").special == {}


class TestAbbreviations:
    def test_as_written(self):
        assert dict(defined("sc = single crochet\ninc = increase\nBLO = back loop only",
            "Abbreviations").abbreviations) == {
            "sc": "single crochet", "inc": "increase", "blo": "back loop only"}

    def test_several_on_a_line(self):
        found = dict(defined("sc = single crochet; inc = increase; dec = decrease", "Abbreviations").abbreviations)
        assert set(found) == {"sc", "inc", "dec"}

    def test_in_a_note_before_the_rounds(self):
        text = "Special stitch: Shell = 5 dc in same st.\n\nFsc 12.\nRow 1: *Shell in next st, sk 1; rep from * across."
        assert isinstance(plain(rounds(text)[0].body)[0].body[0], Group)
