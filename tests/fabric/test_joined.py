"""Pieces joined on a round: how many stitches each of them gives."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.joined import Piece, pieces, with_pieces
from coach.notation import read


def leg(name: str, stitches: int) -> str:
    return f"{name}\nRnd 1: {stitches} sc in magic ring. ({stitches})\nRnd 2: Sc around. ({stitches})\n\n"


def body_of(text: str):
    fabric = work(read(text))
    return fabric.parts[-1].rounds, [f.kind for f in fabric.faults]


@given(first=st.integers(3, 40), second=st.integers(3, 40), chain=st.integers(1, 9))
def test_legs_and_the_chain_between_them(first, second, chain):
    """Around each leg, and along the chain from both sides."""
    around = first + second + 2 * chain
    rounds, faults = body_of(
        leg("Leg 1", first) + leg("Leg 2", second) + f"Body\nRnd 1: Sc around leg 2, ch {chain}, sc around leg 1, sc in next {chain} ch.\n"
        f"Rnd 2: Sc around. ({around})")
    assert faults == []
    assert [r.made for r in rounds] == [first + second + chain, around]


NAMES = [("Leg 1", "Leg 2", "leg 1", "leg 2"), ("First Leg", "Second Leg", "first leg", "second leg"),
    ("First Leg", "Second Leg", "the first leg", "the other leg"), ("Leg one", "Leg two", "leg one", "leg two")]


@pytest.mark.parametrize(("first", "second", "one", "other"), NAMES)
def test_each_is_found_by_its_name(first, second, one, other):
    rounds, faults = body_of(leg(first, 7) + leg(second, 9) + f"Body\nRnd 1: Sc around {one}, ch 2, sc around {other}, ch 2. (16 sc)")
    assert faults == []
    assert [n.times.amount for n in rounds[0].source.body if hasattr(n, "times")] == [7, 9]


def test_which_of_two_is_not_told():
    """Two legs of different size, and neither number nor place: how many stitches go around it is not known."""
    rounds, _ = body_of(leg("Left Leg", 7) + leg("Right Leg", 9) + "Body\nRnd 1: Sc around leg.")
    assert not rounds[0].counted


def test_of_two_alike_either_will_do():
    rounds, _ = body_of(leg("Legs (make 2)", 8) + "Body\nRnd 1: Sc around leg 1, sc around leg 2. (16)")
    assert (rounds[0].made, rounds[0].counted) == (16, True)


@given(n=st.integers(4, 30), arm=st.integers(3, 12))
def test_arms_beside_the_stitches_of_the_body(n, arm):
    rounds, faults = body_of(
        leg("Arms (make 2)", arm) + f"Body\nRnd 1: {2 * n} sc in magic ring. ({2 * n})\n"
        f"Rnd 2: Sc in next {n} sts, sc around arm 1, sc in next {n} sts, sc around arm 2. ({2 * (n + arm)})")
    assert faults == []
    assert (rounds[1].made, rounds[1].takes) == (2 * (n + arm), 2 * n)


def test_stitches_of_the_body_that_are_left_are_not_known_to_be_wrong():
    """Where arms are held together with the body, some of its stitches are not worked."""
    rounds, faults = body_of(leg("Arms (make 2)", 6) + "Body\nRnd 1: 20 sc in magic ring. (20)\n"
        "Rnd 2: Sc in next 8 sts, sc in next 3 sts of arm 1, sc in next 8 sts, sc in next 3 sts of arm 2. (22)")
    assert (rounds[1].made, faults) == (22, [])


def test_what_is_made_before():
    fabric = work(read(leg("Leg 1", 5) + leg("Leg 2", 6)))
    assert pieces(fabric.parts[:1], "Leg 2", list(fabric.parts[1].rounds)) == (Piece("leg 1", 5), Piece("leg 2", 6))


def test_a_round_without_pieces_stays_as_it_is():
    fabric = work(read(leg("Leg 1", 5)))
    plain = fabric.parts[0].rounds[1].source
    assert with_pieces(plain, fabric.parts, "Leg 1", []) is plain
