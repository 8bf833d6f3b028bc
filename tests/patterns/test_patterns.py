"""The seven patterns of the harbour: read without a fault, worked to the counts that were reckoned by hand."""

from __future__ import annotations

import re

import pytest
from harbour import EVERY_SIZE, SEVEN, text_of

from coach import fabric, notation

HANDWORK = {
    # every count reckoned by hand when the pattern was written, round by round
    ("buoy", "Buoy"): [6, 12, 18, 24, 24, 24, 24, 24, 18, 12, 6],
    ("seal", "Head"): [6, 12, 18, 24, 30, *[30] * 5, 24, 18, 12, 6],
    ("seal", "Body"): [6, 9, 12, 12, 18, 18, 24, 24, 24, 30, *[30] * 6, 24, 24, 18, 18],
    ("seal", "Flipper"): [6, 8, 10, 12, 12, 12, 10, 8],
    ("seal", "Tail"): [14, 20, 26],
    ("puffin", "Head and body"): [6, 12, 18, 24, 30, 30, 30, 30, 30, 24, 24, 36, *[36] * 8, 30, 24, 18, 12, 6],
    ("puffin", "Wing"): [6, 9, 12, 12, 12, 12, 10, 10],
    ("puffin", "Bill"): [4, 6, 9, 12, 12],
    ("puffin", "Foot"): [4, 4, 6, 6],
    ("lighthouse", "Tower"): [30] * 12 + [24] * 12 + [18] * 4,
    ("lighthouse", "Bottom"): [6, 12, 18, 24, 30, 30],
    ("lighthouse", "Lamp and roof"): [6, 9, 12, 15, 18, 21, 24, 18, 18, 18, 18, 18, 36, 36],
    ("dishcloth", "Cloth"): [31] * 12 + [16] + [31] * 13,
    ("square", "Square"): [8, 24, 40, 56, 72, 84],
}
CAP = {
    0: [8, 16, 24, 32, 40, 48, 56, 64, *[64] * 10, *[62] * 5],
    1: [8, 16, 24, 32, 40, 48, 56, 64, 72, *[72] * 11, *[70] * 5],
    2: [8, 16, 24, 32, 40, 48, 56, 64, 72, 80, *[80] * 13, *[78] * 5],
}


@pytest.mark.parametrize(("name", "size"), EVERY_SIZE)
def test_no_faults(worked, name, size):
    assert not worked(name, size).faults, "\n".join(f"line {f.line}: {f.message}" for f in worked(name, size).faults)


@pytest.mark.parametrize(("name", "part"), HANDWORK, ids=lambda word: word)
def test_counts_as_reckoned_by_hand(counts, name, part):
    assert counts(name, part) == HANDWORK[name, part]


@pytest.mark.parametrize("size", CAP)
def test_counts_of_the_cap_in_each_size(counts, size):
    assert counts("cap", "Cap", size) == CAP[size]


def test_every_part_is_reckoned(worked):
    parts = {(name, p.name) for name in SEVEN if name != "cap" for p in worked(name).parts if p.rounds}
    assert parts == set(HANDWORK)


@pytest.mark.parametrize(("name", "size"), EVERY_SIZE)
def test_every_round_states_its_count_and_keeps_it(worked, name, size):
    for part in worked(name, size).parts:
        for round_ in part.rounds:
            if round_.source.same_as and name == "dishcloth":
                continue  # "Rep Rows 2 and 3. (31)" states the count of the last of them only
            assert round_.made == round_.stated, f"{part.name} {round_.label}"


@pytest.mark.parametrize("name", SEVEN)
def test_every_round_uses_up_the_one_before(worked, name):
    # gallery and net included: nothing is left over and nothing is worked twice
    for part in worked(name).parts:
        for before, round_ in zip(part.rounds, part.rounds[1:]):
            if not any(top in before.tree.tally for top in ("space 1", "space 2")):
                assert round_.takes == round_.base == before.made, f"{part.name} {round_.label}"


@pytest.mark.parametrize(("name", "makes"), [
    ("buoy", {"Buoy": 1}),
    ("seal", {"Head": 1, "Body": 1, "Flipper": 2, "Tail": 1}),
    ("puffin", {"Head and body": 1, "Wing": 2, "Bill": 1, "Foot": 2}),
    ("lighthouse", {"Tower": 1, "Bottom": 1, "Lamp and roof": 1}),
    ("dishcloth", {"Cloth": 1}), ("square", {"Square": 1}), ("cap", {"Cap": 1}),
])
def test_parts_and_how_often_they_are_made(worked, name, makes):
    assert {p.name: p.make for p in worked(name).parts} == makes


@pytest.mark.parametrize("name", SEVEN)
def test_head_matter(worked, name):
    pattern = worked(name).pattern
    assert pattern.title
    assert pattern.terms == ("UK" if name == "square" else "US")
    assert pattern.materials and pattern.gauge and pattern.abbreviations and pattern.assembly


def test_the_cap_has_three_sizes(worked):
    assert worked("cap").pattern.sizes == ("S", "M", "L")


def test_the_dishcloth_is_turned_and_the_rest_goes_round(worked):
    kinds = {name: {r.source.kind for p in worked(name).parts for r in p.rounds} for name in SEVEN}
    assert kinds["dishcloth"] == {"row"}
    assert kinds["puffin"] == {"round", "row"}  # its feet are rows
    assert all(kinds[name] == {"round"} for name in SEVEN if name not in ("dishcloth", "puffin"))


def one_more(line: str) -> str:
    """The line with the first number of its stated count one too high."""
    if sizes := re.search(r"\d+(?= \(\d+, \d+\)$)", line):  # 64 (72, 80)
        return line[: sizes.start()] + str(int(sizes[0]) + 1) + line[sizes.end() :]
    head, _, count = line.rpartition("(")
    return head + "(" + re.sub(r"^\d+", lambda m: str(int(m[0]) + 1), count)


@pytest.mark.parametrize(("name", "size"), [(name, 0) for name in SEVEN if name != "cap"] + [("cap", 2)])
def test_a_wrong_count_in_any_line_is_found_there(name, size):
    # one stated count is spoilt at a time: the proof of every line must be strong enough to notice
    lines = text_of(name).split("\n")
    rounds = [i for i, line in enumerate(lines) if re.match(r"(Rnds?|Rows?) \d", line)]
    assert len(rounds) >= 6
    for i in rounds:
        wrong = one_more(lines[i])
        assert wrong != lines[i]
        if size == 2 and re.search(r"\d \(\d+, \d+\)$", wrong):
            continue  # the number that was spoilt is that of the first size, see the next test
        found = fabric.work(notation.read("\n".join([*lines[:i], wrong, *lines[i + 1 :]])), size).faults
        assert any(f.line == i + 1 for f in found), f"not noticed: {wrong}"


def test_a_wrong_count_for_one_size_is_found_in_that_size_only():
    text = text_of("cap").replace("sc2tog] twice, join. 62 (70, 78)", "sc2tog] twice, join. 62 (71, 78)")
    assert text != text_of("cap")
    wrong = [fabric.work(notation.read(text), size).faults for size in range(3)]
    assert [len(f) for f in wrong] == [0, 1, 0]
