"""What stands before and after a step tells what it is."""

from __future__ import annotations

import pytest

from coach.fabric.order import begins_a_row, chain_before, fills_a_rest, is_slip, starts_later
from coach.notation import read


def steps(text: str):
    """The steps of a second row."""
    return read(f"Terms: US\n\nRow 1: Ch 13, sc in 2nd ch from hook and in each ch across, turn. (12)\n{text}\n").parts[0].rounds[1].body


@pytest.mark.parametrize(("text", "slips"), [("Sl st in next st, ch 1.", True), ("Sl st in next 3 sts, ch 1.", True), ("Sc in next st, ch 1.", False)])
def test_slip_stitches_and_nothing_else(text, slips):
    assert is_slip(steps(f"Row 2: {text}")[0]) == slips


@pytest.mark.parametrize(("text", "rest"), [("Sc in each st across.", True), ("Sc in next 3 sts, ch 1.", False), ("*Sc in next st, ch 1; rep from * across.", True)])
def test_what_fills_a_rest(text, rest):
    assert any(map(fills_a_rest, steps(f"Row 2: {text}"))) == rest


@pytest.mark.parametrize(("text", "later"), [
    ("Sl st in next 2 sts, ch 3, dc in next st.", True),
    ("Sl st in next 2 sts, sc in next st.", False),
    ("Sl st in next st, ch 3, sl st in same st.", False),  # a picot
])
def test_slip_stitches_lead_to_where_the_round_starts(text, later):
    assert starts_later(steps(f"Row 2: {text}"), 0) == later


def test_the_first_that_is_worked():
    first = steps("Row 2: Ch 1, sl st in next st, sc in next st.")
    assert begins_a_row(first, 1) and not begins_a_row(first, 2) and chain_before(first, 1) and not chain_before(first, 2)
