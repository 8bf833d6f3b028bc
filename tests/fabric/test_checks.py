"""Every check by the examples of its manual entry: one passage that fails by it, and one that passes everything."""

from __future__ import annotations

import pkgutil
import re
from importlib import import_module
from textwrap import dedent
from types import ModuleType

import pytest

from coach.fabric import checks, work
from coach.fabric.checks.flat import FIRST_JUDGED, flat_counts, height, is_called_flat
from coach.notation import read

HELPERS = {"seen", "flat"}
CHECKS = [
    import_module(f"coach.fabric.checks.{m.name}")
    for m in pkgutil.iter_modules(checks.__path__)
    if m.name not in HELPERS
]


def example(check: ModuleType, title: str) -> str:
    """The indented passage under `Fails:` or `Passes:` of a manual entry."""
    m = re.search(rf"^{title}:\n\n(?P<text>(?: {{4}}.*\n|\n)+)", check.__doc__ + "\n", re.MULTILINE)
    assert m, f"{check.__name__} has no example that {title.lower()}"
    return dedent(m["text"]).strip()


def kinds(text: str) -> list[str]:
    return [fault.kind for fault in work(read(text)).faults]


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.__name__.rpartition(".")[2])
class TestManual:
    def test_the_entry_says_what_the_fault_is(self, check):
        kind, _, said = " ".join(check.__doc__.partition("\n\n")[0].split()).partition(": ")
        assert re.fullmatch(r"[a-z_]+", kind) and len(said.split()) > 4 and said.endswith(".")

    def test_the_example_that_fails_does(self, check):
        kind = check.__doc__.partition(":")[0]
        assert set(kinds(example(check, "Fails"))) == {kind}

    def test_the_example_that_passes_does(self, check):
        assert kinds(example(check, "Passes")) == []


def test_every_check_is_in_a_list():
    listed = {check.__name__ for check in (*checks.OF_A_ROUND, *checks.OF_A_PART, *checks.OF_THE_WHOLE)}
    raised_while_working = {"repeat", "ambiguous"}
    assert listed | raised_while_working == {check.__name__.rpartition(".")[2] for check in CHECKS}


START = "Rnd 1: 6 sc in magic ring. (6)\n"


class TestStatedCounts:
    @pytest.mark.parametrize(
        ("count", "stated"),
        [
            ("(12)", 12),
            ("(12 sc)", 12),
            ("(6 sc, 6 hdc)", 12),
            ("(12 sts, 6 ch-2 sps)", 12),
            ("(6 ch-2 sps)", None),
            ("", None),
        ],
    )
    def test_what_a_round_is_said_to_have(self, count, stated):
        rounds = read(f"{START}Rnd 2: (Sc, hdc) in each st around. {count}").parts[0].rounds
        assert checks.stated(rounds[1], 0) == stated

    def test_a_number_for_each_size(self):
        (round,) = read("Sizes: S (M, L)\n\nRnd 1: 6 (7, 8) sc in magic ring. (6 (7, 8))").parts[0].rounds
        assert [checks.stated(round, size) for size in range(3)] == [6, 7, 8]

    @pytest.mark.parametrize("count", ["(6 sc)", "(6 sc, 6 ch-2 sps)", "(12)", "(18)", "(6 sc, 6 sps)", "(6)"])
    def test_ways_to_count_a_round_with_spaces(self, count):
        """Stitches alone, each space as one, each chain as one: all three are in use (common practice, no source)."""
        assert kinds(f"{START}Rnd 2: (Sc, ch 2) in each st around. {count}") == []

    @pytest.mark.parametrize("count", ["(5 sc)", "(6 sc, 5 ch-2 sps)", "(6 sc, 6 ch-3 sps)", "(13)", "(7 dc)"])
    def test_wrong_counts_of_a_round_with_spaces(self, count):
        assert kinds(f"{START}Rnd 2: (Sc, ch 2) in each st around. {count}") == ["count"]

    def test_more_and_fewer_are_said(self):
        (many,), (few,) = (work(read(f"{START}Rnd 2: 2 sc in each st around. ({n})")).faults for n in (10, 13))
        assert "2 more" in many.message and "1 fewer" in few.message


class TestWhatIsNotJudged:
    def test_a_round_that_was_not_read(self):
        assert kinds(f"{START}Rnd 2: Blorp, 2 sc in each st around. (40)") == ["unknown"]

    def test_what_stands_on_it(self):
        assert kinds(f"{START}Rnd 2: Blorp.\nRnd 3: Sc in next 40 sts.") == ["unknown"]

    def test_its_stated_count_is_trusted_again(self):
        assert kinds(f"{START}Rnd 2: Blorp. (12)\nRnd 3: Sc in next 13 sts.") == ["unknown", "short"]

    def test_what_is_left_on_purpose(self):
        assert kinds(f"{START}Rnd 2: Sc in next 4 sts, leave remaining sts unworked.") == []
        assert kinds(f"{START}Rnd 2: Sc in next 4 sts, leave last 2 sts unworked.") == []


class TestFlatness:
    FLAT = "Mat: a flat circle.\n"
    GROWING = "".join(f"Rnd {n}: (Sc in next {n - 2} sts, inc) 6 times.\n" for n in range(3, 13))

    def test_a_flat_circle_of_any_size_is_flat(self):
        assert kinds(f"{self.FLAT}{START}Rnd 2: inc x 6\n{self.GROWING}") == []

    def test_a_ball_is_judged_only_where_it_is_called_flat(self):
        ball = f"{START}Rnd 2: inc x 6\n" + "".join(f"Rnd {n}: Sc in each st around.\n" for n in range(3, 12))
        assert kinds(ball) == []
        assert kinds(self.FLAT + ball) == ["cup"]

    def test_a_flat_crown_is_not_the_whole(self):
        cap = f"{START}Rnd 2: inc x 6\n" + "".join(f"Rnd {n}: Sc in each st around.\n" for n in range(3, 12))
        assert kinds("Cap: the crown is a flat circle, then the sides go down.\n" + cap) == []

    def test_flat_rounds_grow_by_two_pi_times_height_over_width(self):
        """Henderson and Taimina: a plane circle of radius r has a circumference of 2 pi r."""
        pattern = read(f"{self.FLAT}{START}Rnd 2: inc x 6\n{self.GROWING}")
        (part,) = work(pattern).parts
        assert is_called_flat(pattern, part)
        flat = [n for _, n in flat_counts(part)]
        assert len(flat) == len(part.rounds) - FIRST_JUDGED + 1
        assert all(b - a == pytest.approx(6.283, abs=0.001) for a, b in zip(flat, flat[1:], strict=False))

    def test_taller_stitches_need_more(self):
        heights = [
            height(work(read(f"Rnd 1: 12 {id} in magic ring.")).parts[0].rounds[0]) for id in ("sc", "hdc", "dc", "tr")
        ]
        assert heights == sorted(heights) and len(set(heights)) == 4


class TestAssembly:
    PARTS = (
        "## Body\nRnd 1: 6 sc in magic ring. (6)\n\n## Fins (make 2)\nRnd 1: 5 sc in magic ring. (5)\n\n## Assembly\n"
    )

    @pytest.mark.parametrize(
        "sentence",
        ["Sew the fins to the body.", "Sew on both fins.", "Sew the fin on.", "Close the body.", "Attach the label."],
    )
    def test_what_is_made_or_is_no_part(self, sentence):
        assert kinds(self.PARTS + sentence) == []

    @pytest.mark.parametrize(
        "sentence",
        ["Sew the tail to the body.", "Attach a wing at each side.", "Sew both ears on.", "Pin the two arms."],
    )
    def test_what_is_not_made(self, sentence):
        assert kinds(self.PARTS + sentence) == ["assembly"]
