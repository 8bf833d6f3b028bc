"""The patterns against facts from outside: shapes, sizes, hooks, yarn, safety. The source stands beside each check."""

from __future__ import annotations

import math
import re

import pytest
from harbour import SEVEN, text_of

TOYS = ("seal", "puffin", "lighthouse", "buoy")


# ---- shapes: ../shared/reference/geometry.toml

def test_flat_circles_grow_by_six_single_crochets_a_round(counts, reference):
    # teaching pages (seen): sc 6 per round from a ring of 6
    circle = next(e for e in reference("geometry.toml")["flat_circle"]["example"] if e["stitch"] == "sc")
    six_n = circle["rounds_1_to_8"]
    assert counts("lighthouse", "Bottom")[:5] == six_n[:5]
    assert counts("puffin", "Head and body")[:5] == six_n[:5]
    assert counts("seal", "Head")[:5] == six_n[:5]
    assert counts("buoy", "Buoy")[:4] == six_n[:4]


def test_the_crown_of_the_cap_is_flat(counts, reference):
    # teaching pages (seen): hdc 8 per round; k = 2 pi h / w for the cap's own gauge of 14 sts and 11 rounds to 10 cm
    geometry = reference("geometry.toml")
    circle = next(e for e in geometry["flat_circle"]["example"] if (e["stitch"], e["increase_per_round"]) == ("hdc", 8))
    assert counts("cap", "Cap", 2)[:8] == circle["rounds_1_to_8"]
    assert 2 * math.pi * (10 / 11) / (10 / 14) == pytest.approx(8, abs=0.05)


def test_balls_are_the_balls_of_the_table(counts, reference):
    # 6 increases a round, some even rounds, decreases as a mirror: common practice, examples derived
    balls = {e["max"]: e["stitches_by_round"] for e in reference("geometry.toml")["sphere_common"]["example"] if e["max"] < 36}
    assert counts("buoy", "Buoy") == balls[24]
    assert counts("seal", "Head") == balls[30]


def test_the_roof_is_the_cone_of_three_increases(counts, reference):
    cone = next(e for e in reference("geometry.toml")["cone"]["example"] if e["increase_per_round"] == 3)
    assert counts("lighthouse", "Lamp and roof")[:6] == cone["rounds_1_to_6_from_6"]


def test_the_tower_is_a_tube_of_the_size_it_says(counts):
    # work even: circumference = stitches x width (derived); gauge 9 sc to 5 cm, felt disc of 5 cm inside
    assert set(counts("lighthouse", "Tower")[:12]) == {30}
    assert 30 * 5 / 9 / math.pi == pytest.approx(5, abs=0.4)


def test_the_square_grows_by_sixteen_a_round(counts, reference):
    # 2 tr, 2 ch, 2 tr at each of four corners: each side grows by four (derived)
    assert "8, 24, 40" in reference("geometry.toml")["shapes"]["square_corner_space"]
    rounds = counts("square", "Square")
    assert rounds[:5] == [8 + 16 * n for n in range(5)]
    assert rounds[5] == rounds[4] + 4 * 3  # 3 dc in each corner space


def test_the_square_keeps_four_corner_spaces(worked):
    rounds = worked("square").parts[0].rounds
    assert [r.tree.tally.get("space 2", 0) for r in rounds] == [4, 4, 4, 4, 4, 0]


def test_the_tail_is_an_oval_round_both_sides_of_its_chain(counts):
    # 7 chains, one of them turned on: 6 to work into. 4 in the middle, twice, and 3 at each end (1918 shoe sole, seen: the same rule)
    assert counts("seal", "Tail")[0] == 2 * (6 - 2) + 3 + 3
    assert [b - a for a, b in zip(counts("seal", "Tail"), counts("seal", "Tail")[1:])] == [6, 6]  # a flat oval grows as a circle does


# ---- chain and turn: ../shared/reference/stitches.toml [turning_chain_rules], memory, arithmetic checked

def test_chains_for_the_dishcloth(counts):
    assert "Ch 32." in text_of("dishcloth")
    assert counts("dishcloth", "Cloth")[0] == 32 - 1  # sc N+1: the first goes into the 2nd chain from the hook


def test_a_counting_chain_takes_the_place_of_the_first_stitch(worked):
    row = worked("dishcloth").parts[0].rounds[2]  # ch 3 (counts as dc), sk first st
    assert (row.made, row.takes, row.base) == (31, 31, 31)


def test_the_net_has_a_space_between_every_two_posts(worked):
    # mesh groups = (C - f) / g (1918 and 1850s examples, seen): 31 stitches, a post in every second one
    net = worked("dishcloth").parts[0].rounds[12]
    assert net.made == (31 + 1) // 2
    assert net.tree.tally["space 1"] == 31 // 2


def test_chains_for_the_foot(counts):
    assert "Ch 5, sc in 2nd ch from hook" in text_of("puffin")
    assert counts("puffin", "Foot")[0] == 5 - 1


# ---- the cap: ../shared/reference/sizes.toml

HEADS = (48, 54, 60)
GAUGE = 14 / 10


def test_the_cap_says_the_numbers_that_are_checked_here():
    text = text_of("cap")
    assert "head of 48 (54, 60) cm" in text and "14 hdc and 11 rounds to 10 cm" in text
    assert "46 (51, 57) cm round" in text and "19.5 (21.5, 24) cm" in text


@pytest.mark.parametrize(("size", "row"), [(0, "child"), (1, "woman"), (2, "man")])
def test_heads_lie_in_published_ranges(reference, size, row):
    # a maker's chart (child) and a hand-knitting author's page (woman, man), both seen; no Council page could be read
    inches = [r for table in reference("sizes.toml")["secondary"] for r in table["rows"] if r[0] == row]
    low, high = map(float, re.search(r"([\d.]+)-([\d.]+) in", inches[0][1]).groups())
    assert low * 2.54 - 0.5 <= HEADS[size] <= high * 2.54 + 0.5


@pytest.mark.parametrize("size", range(3))
def test_the_cap_is_a_little_smaller_than_the_head(counts, size):
    # a maker's chart (seen): about 2.5 cm smaller; ski caps 5 to 10 percent smaller (an author's page, seen): the brim
    rounds = counts("cap", "Cap", size)
    assert HEADS[size] - max(rounds) / GAUGE == pytest.approx(2.5, abs=0.5)
    assert 0.05 <= 1 - rounds[-1] / GAUGE / HEADS[size] <= 0.10


@pytest.mark.parametrize("size", range(3))
def test_the_cap_is_deep_enough(counts, size):
    # one page (seen, rough): height = head / 10 x 4; rounds of hdc at 11, the brim's sc at 16 to 10 cm
    rounds = counts("cap", "Cap", size)
    height = (len(rounds) - 5) * 10 / 11 + 5 * 10 / 16
    assert height == pytest.approx(HEADS[size] * 0.4, abs=0.5)


def test_the_buoy_is_as_big_as_it_says(counts):
    assert "5.5 cm across" in text_of("buoy") and "7 sc and 7 rounds to 5 cm" in text_of("buoy")
    assert max(counts("buoy", "Buoy")) * 5 / 7 / math.pi == pytest.approx(5.5, abs=0.1)


# ---- hooks and yarn: ../shared/reference/hooks.toml, yarn_weights.toml (Craft Yarn Council, reprints seen)

@pytest.mark.parametrize("name", SEVEN)
def test_hooks_are_sizes_that_can_be_bought(reference, name):
    sizes = {h["mm"] for h in reference("hooks.toml")["hook"]}
    asked = [float(mm) for mm in re.findall(r"([\d.]+) mm hook", text_of(name))]
    assert asked and set(asked) <= sizes


@pytest.mark.parametrize("name", TOYS)
def test_toys_are_worked_one_to_two_millimetres_below_the_label(reference, name):
    # common practice, memory: so that the filling does not show
    text = text_of(name)
    weight = int(re.search(r"\(weight (\d)\)", text)[1])
    label = next(w for w in reference("yarn_weights.toml")["weight"] if w["number"] == weight)
    hook = float(re.search(r"([\d.]+) mm hook", text)[1])
    assert 1 <= label["hook_mm"][0] - hook <= 2


# ---- safety: ../shared/reference/safety.toml (16 CFR 1501 seen; EN 71-1 in summary): local rules decide

@pytest.mark.parametrize("name", TOYS)
def test_toys_defer_to_local_rules(name):
    assert re.search(r"rules", text_of(name).split("## Assembly")[1])


def test_the_seal_warns_before_the_eyes_and_offers_sewn_ones(worked):
    text = text_of("seal")
    caution, eyes = text.index("Caution:"), text.index("Now is the moment for the eyes")
    assert caution < text.index("## Head") < eyes < text.index("Rnd 11:")  # the head is still open there
    assert "under three" in text[caution : text.index("## Head")] and "embroider" in text[caution : text.index("## Head")]
    notes = [n for r in worked("seal").parts[0].rounds for n in r.source.notes]
    assert any(n.kind == "eyes" for n in notes)
    assert any("Embroidered" in n.text for n in notes)


def test_no_other_pattern_asks_for_a_small_part():
    for name in SEVEN:
        if name != "seal":
            assert not re.search(r"\b(safety eye|bead|bell|wire|magnet|pellet|button eye)s?\b", text_of(name)), name


@pytest.mark.parametrize("name", TOYS)
def test_stuffed_pieces_are_filled_before_they_close(worked, name):
    for part in worked(name).parts:
        texts = [(i, n) for i, r in enumerate(part.rounds) for n in r.source.notes if n.kind == "stuff"]
        if part.rounds[-1].made == 6 and part.rounds[-1].source.kind == "round":  # a ball: it ends closed
            assert any(part.rounds[i].made > 6 for i, _ in texts), part.name


# ---- as a page

@pytest.mark.parametrize("name", SEVEN)
def test_every_listed_abbreviation_is_used_and_none_is_missing(worked, name):
    pattern = worked(name).pattern
    rounds = "\n".join(line for line in pattern.text.split("\n") if re.match(r"(Sizes?.*: )?(Rnds?|Rows?) |Ch \d+|Make \d+ch", line)).lower()
    listed = {word.strip() for key, _ in pattern.abbreviations for word in key.lower().split(",")}
    defined = " ".join(body for _, body in pattern.abbreviations).lower()  # a picot is made with a sl st
    for word in listed:
        assert re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", f"{rounds} {defined}"), f"{word} is listed and not used"
    for word in ("sc", "dc", "hdc", "tr", "sl st", "ss", "sc2tog", "inv dec", "picot", "rev sc", "blo", "ch", "sk", "sp"):
        if re.search(rf"(?<![a-z]){word}(?![a-z])", rounds):
            assert word in listed, f"{word} is used and not listed"
