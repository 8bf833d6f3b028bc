"""`coach plan`: size, yarn, filling and time, as text and as JSON."""

from __future__ import annotations

import json

import pytest


def planned(coach, *args: str) -> dict:
    done = coach("plan", *args, "--json")
    assert done.returncode == 0
    return json.loads(done.out)


def test_part_by_part_and_in_all(coach):
    done = coach("plan", "seal")
    assert done.returncode == 0
    assert "By the pattern's gauge: a stitch is 5.0 mm wide, a row 4.5 mm high." in done.out
    for part in ("Head", "Body", "Flipper (make 2)", "Tail", "In all"):
        assert f"\n{part}\n" in done.out
    assert "Filling:" in done.out and "making up not counted" in done.out


def test_the_sum_of_the_parts_is_the_whole(coach):
    seal = planned(coach, "seal")
    assert seal["gauge"]["by"] == "pattern"
    assert [part["name"] for part in seal["parts"]] == ["Head", "Body", "Flipper", "Tail"]
    for end in (0, 1):
        assert sum(part["yarn_m"][end] for part in seal["parts"]) == pytest.approx(seal["yarn_m"][end], abs=0.3)
        assert sum(part["filling_g"][end] for part in seal["parts"]) == pytest.approx(seal["filling_g"][end], abs=0.3)
    assert seal["parts"][2]["filling_g"] == [0, 0]  # "Do not stuff"


def test_with_another_gauge_everything_gets_another_size(coach):
    usual, larger = planned(coach, "seal"), planned(coach, "seal", "--gauge", "5 sc and 5.5 rounds to 5 cm")
    assert larger["gauge"]["by"] == "own"
    for before, after in zip(usual["parts"], larger["parts"], strict=True):  # stitches twice as wide, rows twice as high
        assert after["width_cm"] == pytest.approx(2 * before["width_cm"], abs=0.02)
        assert after["height_cm"] == pytest.approx(2 * before["height_cm"], abs=0.02)
        assert after["surface_cm2"] == pytest.approx(4 * before["surface_cm2"], rel=0.01)


def test_a_swatch_narrows_the_range(coach):
    usual, own = planned(coach, "buoy"), planned(coach, "buoy", "--swatch", "20x20=9")
    spread = [high / low for low, high in (usual["yarn_m"], own["yarn_m"])]
    assert spread[1] < spread[0]


def test_yarn_of_each_colour_makes_up_the_whole(coach):
    puffin = planned(coach, "puffin")
    assert set(puffin["colours"]) == {"a", "b", "c", "d"}
    assert sum(high for _, high in puffin["colours"].values()) == pytest.approx(puffin["yarn_m"][1], abs=0.3)


def test_sizes(coach):
    small, large = (planned(coach, "cap", "--size", size) for size in ("S", "L"))
    assert (small["size"], large["size"]) == ("S", "L")
    assert small["yarn_m"][0] < large["yarn_m"][0]


@pytest.mark.parametrize(("args", "told", "hint"), [
    (("seal", "--gauge", "blue"), "I can't read the gauge 'blue'.", '--gauge "10 sc to 5 cm"'),
    (("seal", "--gauge", "0 sc to 5 cm"), "I can't read the gauge", "--gauge"),
    (("seal", "--swatch", "20x20"), "I can't read the swatch '20x20'.", "--swatch 20x20=9"),
    (("seal", "--size", "giant"), "one size only", "Leave out --size."),
    (("nowhere",), "nowhere", ""),
])
def test_what_cannot_be_planned_is_said_with_a_hint(coach, args, told, hint):
    done = coach("plan", *args)
    assert done.returncode == 2 and not done.out
    assert told in done.err and hint in done.err


def test_without_gauge_or_yarn_it_asks_for_a_gauge(coach, home):
    (home / "float.txt").write_text("Rnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n")
    done = coach("plan", "float.txt")
    assert done.returncode == 2
    assert "neither a gauge nor a yarn weight" in done.err and "--gauge" in done.err
    assert coach("plan", "float.txt", "--gauge", "10 sc to 5 cm").returncode == 0


def test_another_yarn_and_hook(coach):
    own, thick = planned(coach, "seal"), planned(coach, "seal", "--yarn", "worsted")
    assert thick["gauge"]["by"] == "yarn"
    assert thick["gauge"]["width_cm"] / own["gauge"]["width_cm"] == pytest.approx(29 / 25, abs=0.01)  # Craft Yarn Council: 12-17, 11-14
    hooked = planned(coach, "seal", "--hook", "7")
    assert hooked["gauge"]["by"] == "hook" and hooked["gauge"]["width_cm"] == pytest.approx(2 * own["gauge"]["width_cm"])
    assert planned(coach, "seal", "--hook", "h")["gauge"] == planned(coach, "seal", "--hook", "5")["gauge"]


@pytest.mark.parametrize(("options", "told"), [
    (("--yarn", "blue"), "I can't read the yarn 'blue'."),
    (("--hook", "big"), "I can't read the hook 'big'."),
    (("--hook", "99"), "I can't read the hook '99'."),
    (("--hook", "5", "--gauge", "10 sc to 5 cm"), "A gauge is of one yarn and hook."),
])
def test_what_can_t_be_is_a_sentence(coach, options, told):
    done = coach("plan", "seal", *options)
    assert done.returncode == 2 and told in done.err and not done.out


def test_a_hook_alone_says_nothing_of_an_unknown_yarn(coach, home):
    (home / "cork.txt").write_text("Rnd 1: 6 sc in magic ring. (6)\n")
    done = coach("plan", "cork.txt", "--hook", "5")
    assert done.returncode == 2 and "--yarn worsted" in done.err
    assert coach("plan", "cork.txt", "--hook", "5", "--yarn", "worsted").returncode == 0


def test_each_colour_has_its_weight(coach):
    puffin = planned(coach, "puffin")
    assert list(puffin["colours_g"]) == list(puffin["colours"])
    for end in (0, 1):
        assert sum(grams[end] for grams in puffin["colours_g"].values()) == pytest.approx(puffin["yarn_g"][end], abs=0.3)


def test_where_a_piece_is_widest(coach):
    head, *_, tail = planned(coach, "seal")["parts"]
    assert head["widest"] == "Rnd 7" and (tail["kind"], tail["widest"]) == ("oval", None)
    assert "across at Rnd 7" in coach("plan", "seal").out


def test_a_usual_pace_until_the_own_one_is_known(coach):
    assert planned(coach, "buoy")["pace"] is None
    assert "at a usual pace, 5 to 20 stitches a minute" in coach("plan", "buoy").out


BEACON = """# Beacon

## Gauge

10 sc to 5 cm

## Flag

Row 1: flumble the mast

## Mast

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: wobble about. (12)
Rnd 3: (Sc 1, inc) x 6. (17)
"""


def test_what_the_figures_leave_out_is_told(coach, tmp_path):
    (tmp_path / "beacon.txt").write_text(BEACON, "utf-8")
    done = coach("plan", str(tmp_path / "beacon.txt"))
    flag, mast = done.out.partition("\nFlag\n")[2].split("\nMast\n")
    assert flag.splitlines()[:2] == [
        "  Its size can't be told, and the sum below is without it.",
        "  Row 1 can't be counted and is left out, so the true figures may be larger.",
    ]
    assert "  Rnd 2 can't be counted and is taken as the count written for it.\n" in mast
    assert "  Rnd 3 has a fault and is taken as it works out.\n" in mast
    assert "36 stitches." in mast
    told = planned(coach, str(tmp_path / "beacon.txt"))["doubts"]
    assert [part for part, _ in told] == ["Flag", "Mast", "Mast"] and "Rnd 2" in told[1][1]


def test_a_sound_pattern_has_nothing_to_leave_out(coach):
    assert planned(coach, "seal")["doubts"] == [] and "can't" not in coach("plan", "seal").out


def test_what_is_flat_or_next_to_nothing_is_told_so(coach, tmp_path):
    """A flat circle has no height, and a few stitches take next to no yarn: no figure is 0.0."""
    rounds = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\n"
    (tmp_path / "disc.txt").write_text(f"# Disc\n\n## Materials\n\n- DK yarn\n\n## Disc\n\n{rounds}", "utf-8")
    done = coach("plan", str(tmp_path / "disc.txt"))
    assert "across at Rnd 2, flat.\n" in done.out and " 0.0 " not in done.out


def test_one_round_that_ruffles_is_told_at_its_place(coach):
    assert "It ruffles at Rnd 12: more stitches than lie flat." in coach("plan", "puffin").out


def test_several_rounds_that_ruffle_are_told_from_the_first_on(coach, tmp_path):
    rounds = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 3 sc in each st. (18)\nRnd 3: 3 sc in each st. (54)\n"
    (tmp_path / "frill.txt").write_text(f"# Frill\n\n## Materials\n\n- DK yarn\n\n## Frill\n\n{rounds}", "utf-8")
    assert "It ruffles from Rnd 2 on: more stitches than lie flat." in coach("plan", str(tmp_path / "frill.txt")).out


@pytest.mark.parametrize("text, message, hint", [
    ("hello there", "has no round that I can read.", "coach check"),
    ("# Sail\n\nRow 1: flumble the mast\n", "There is nothing to reckon with: no round of it can be counted.", "coach check"),
])
def test_where_there_is_nothing_to_reckon_with(coach, tmp_path, text, message, hint):
    (tmp_path / "none.txt").write_text(text, "utf-8")
    done = coach("plan", str(tmp_path / "none.txt"), "--yarn", "worsted")
    assert done.returncode == 2 and message in done.err and hint in done.err and not done.out
