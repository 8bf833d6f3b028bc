"""Values compare by what they say and are not changed; outside of tests nothing is spent on guarding them."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import FrozenInstanceError, replace

import pytest

from coach.values import value


@value
class Buoy:
    """One of a chain of them."""

    colour: str
    bells: int = 1


class TestValues:
    def test_equal_ones_are_one_in_a_set(self):
        assert Buoy("red") == Buoy("red", 1) != Buoy("green")
        assert len({Buoy("red"), Buoy("red"), Buoy("green")}) == 2

    def test_they_are_not_changed(self):
        with pytest.raises(FrozenInstanceError):
            Buoy("red").bells = 2

    def test_another_one_is_made_in_their_place(self):
        red = Buoy("red")
        assert replace(red, bells=2) == Buoy("red", 2)
        assert red.bells == 1

    def test_they_have_no_other_fields(self):
        with pytest.raises((AttributeError, TypeError)):
            Buoy("red").lamp = "white"


def test_a_maker_gets_them_without_the_guard(monkeypatch):
    monkeypatch.delenv("COACH_FROZEN")
    told = "from coach.notation.model import Span; span = Span(0, 1); span.end = 2; print(span, hash(span) == hash(Span(0, 2)))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout == "Span(start=0, end=2) True\n"
