"""Chains told after the stitches that they part."""

from __future__ import annotations

import pytest
from passages import body, st

from coach.notation.by_kind import BY_KIND
from coach.notation.model import Chain, Group, Into, Repeat, Unread

UK = "UK terms.\n\n"
PARTED = [
    ("2 tr, with 1 ch between, in next st", Group((st("dc"), Chain(1), st("dc")))),
    ("2 tr with 1 ch between next st", Group((st("dc"), Chain(1), st("dc")))),
    ("3 dc, with ch 2 between each, in next sp", Group((st("sc"), Chain(2), st("sc"), Chain(2), st("sc")), Into("space"))),
    ("4 tr in next sp, with 1 ch between the 2nd and 3rd",
        Group((st("dc"), st("dc"), Chain(1), st("dc"), st("dc")), Into("space"))),
    ("2 tr divided by 3 purl in next st",
        Group((st("dc"), st("picot"), st("picot"), st("picot"), st("dc")))),
    ("2 tr separated by 3 ch in next st", Group((st("dc"), Chain(3), st("dc")))),
]


@pytest.mark.parametrize(("words", "group"), PARTED)
def test_they_stand_between_the_stitches_of_one_place(words: str, group: Group):
    assert body(words, UK) == (group,)


def test_without_a_place_the_stitches_stand_apart():
    assert body("miss 1, 3 dc, with 2 ch between", UK)[1:] == (st("sc"), Chain(2), st("sc"), Chain(2), st("sc"))


def test_behind_what_goes_all_around_they_are_behind_each():
    (only,) = body("1 dc in each space around, 3 ch between", UK)
    assert isinstance(only, Repeat) and only.body == (st("sc", Into("space")), Chain(3))


def test_kinds_that_go_all_around_become_one_repeat():
    (only,) = body("1 dc on each dc of the preceding row, 1 tr on each tr, 3 ch between", UK)
    assert only.times == BY_KIND
    assert [part.body[0].into.stitch for part in only.body] == ["sc", "dc"]
    assert all(part.body[1] == Chain(3) for part in only.body)


def test_a_corner_that_a_round_begins_in_is_one_corner():
    first, second = body("3 tr in corner sp, 1 tr in each tr around", UK)
    assert isinstance(first, Group) and isinstance(second, Repeat) and second.times != BY_KIND


@pytest.mark.parametrize("words", ["with 1 ch between", "miss 1, with 1 ch between", "2 tr, 8 chain between each 8 chain",
    "3 tr, with 1 ch between the 5th and 6th, in next st"])
def test_where_nothing_is_parted_it_stays_unread(words: str):
    assert any(isinstance(node, Unread) for node in body(words, UK))
