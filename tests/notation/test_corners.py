"""Corners told after the sides are worked as they come."""

from __future__ import annotations

from coach.notation import read
from coach.notation.printer import write


def body(line: str) -> str:
    return write(read(f"Rnd 1: {line}").parts[0].rounds[0].body)


def test_the_corner_stands_between_two_sides():
    assert body("Sc in each st around, working 3 sc in each corner sp.") == (
        "*sc in each st to next corner, 3 sc in corner sp; rep from * around, sc in each st around")


def test_said_in_the_order_of_working_it_stays_as_it_is():
    said = body("*Sc in each st to next corner, 3 sc in corner sp; rep from * around.")
    assert said.count("corner sp") == 1 and said.endswith("rep from * around")


def test_spaces_that_are_no_corners_are_left_alone():
    assert "to next corner" not in body("Sc in each st around, sc in each ch-1 sp around.")
    assert "to next corner" not in body("Sc in next 3 sts, 3 sc in each corner sp.")
