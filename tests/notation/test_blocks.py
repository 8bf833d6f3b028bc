"""A section's lines into blocks: an instruction with the lines that go on with it, or the prose between two."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.notation.blocks import blocks, labelled, labels
from coach.notation.document import sections


def cut(text: str) -> list[tuple[tuple[int, ...] | None, str]]:
    """(numbers of the label or None, text) of each block of a part."""
    part = sections("## Seal\n" + text)[1][-1]
    _, bare = labelled(part)
    return [(label.numbers if label else None, " ".join(block.split())) for block, _, label in blocks(part, bare)]


@pytest.mark.parametrize(("text", "expected"), [
    ("Rnd 1: 6 sc.\nRnd 2: Inc x 6.", [((1,), "6 sc."), ((2,), "Inc x 6.")]),
    ("Rnd 1: (6 sc,\nin ring).\nRnd 2: Inc.", [((1,), "(6 sc, in ring)."), ((2,), "Inc.")]),
    ("Rnd 1: 6 sc,\nch 1.", [((1,), "6 sc, ch 1.")]),
    ("Rnd 1: *Sc, inc;\nrep from * around.", [((1,), "*Sc, inc; rep from * around.")]),
    ("Rnd 1: Sc in each\nst around.", [((1,), "Sc in each st around.")]),
    ("Rnd 1: Sc in each st.\nJoin.", [((1,), "Sc in each st. Join.")]),
    ("Rnd 1: Sc in each st\n(18)", [((1,), "Sc in each st (18)")]),
    ("Rnd 1: Sc in each st.\nStuff.", [((1,), "Sc in each st."), (None, "Stuff.")]),
    ("Rnd 1: Sc in each st.\n\nStuff firmly,\nto the top.",
    [((1,), "Sc in each st."), (None, "Stuff firmly, to the top.")]),
    ("Ch 4.\nRnd 1: 6 sc in ring.", [(None, "Ch 4."), ((1,), "6 sc in ring.")]),
    ("- Rnd 1: 6 sc.\n- Rnd 2: Inc x 6.", [((1,), "6 sc."), ((2,), "Inc x 6.")]),
    ("Rnd 1: 6 sc. (6) Rnd 2: Inc x 6. (12)", [((1,), "6 sc. (6)"), ((2,), "Inc x 6. (12)")]),
    ("Rnd 1: 6 sc.\n12\nRnd 2: Inc x 6.", [((1,), "6 sc."), ((2,), "Inc x 6.")]),
    ("Rnd 1: 6 sc.\nPage 3 of 7\nRnd 2: Inc x 6.", [((1,), "6 sc."), ((2,), "Inc x 6.")]),
    ("Rnd 1: 6 sc.\n[Photo 4: the first round]\nRnd 2: Inc x 6.", [((1,), "6 sc."), ((2,), "Inc x 6.")]),
    ("Rnd 1: (6 sc\n4\nin ring).", [((1,), "(6 sc in ring).")]),
    ("Rnd 1: 6 sc.\nRep Rnd 1 twice.", [((1,), "6 sc."), (None, "Rep Rnd 1 twice.")]),
    ("Stuff.\n- Sew the fin on.\n- Sew the eye on.",
    [(None, "Stuff."), (None, "Sew the fin on."), (None, "Sew the eye on.")]),
    ("1. 6 sc in ring\n2. inc x 6", [((1,), "6 sc in ring"), ((2,), "inc x 6")]),
])
def test_blocks(text, expected):
    assert cut(text) == expected


@given(st.lists(st.sampled_from(["Rnd 1: (sc,", "inc) x 6", "Stuff.", "", "rep from * around.", "Rnd 2: Sc. (6)",
    "Page 3", "- a", "(12)", "Ch 4, join."]), max_size=12))
def test_every_block_stands_where_it_says(lines):
    text = "## Seal\n" + "\n".join(lines)
    _, found = sections(text)
    for section in found:
        for block, start, label in blocks(section, labelled(section)[1]):
            first = block.split()[0] if block.split() else ""
            at = text.find(first, start)
            assert at >= start and text[start:at].strip() == ""
            assert label is None or label.start < start or label.end == start


class TestLabels:
    def test_every_label_of_a_section_also_those_inside_a_line(self):
        _, found = sections("## Seal\nRnd 1: 6 sc. Rnd 2: Inc x 6.\nRnds 3-5: Sc in each st.")
        assert [label.numbers for label in labels(found[-1])] == [(1,), (2,), (3, 4, 5)]

    def test_numbered_sentences_that_work_nothing_are_none(self):
        _, found = sections("## Assembly of the seal\n1. Sew the fin on.\n2. Weave in ends.")
        assert list(labels(found[-1])) == []

    @pytest.mark.parametrize(("text", "has_labels", "bare"), [
        ("Rnd 1: 6 sc.", True, False),
        ("1. 6 sc in ring\n2. inc x 6", True, True),
        ("1. 6 sc in ring\nRnd 2: inc x 6", True, False),
        ("Rnd 1: 6 sc.\n2. inc x 6", True, False),
        ("Stuff.", False, True),
    ])
    def test_whether_all_of_them_are_only_numbers(self, text, has_labels, bare):
        assert labelled(sections("## Seal\n" + text)[1][-1]) == (has_labels, bare)
