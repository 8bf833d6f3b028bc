"""The table of requests."""

from __future__ import annotations

import pytest

from coach.fabric.chunks import BY
from coach.guide.requests import HELP, REQUESTS, SITUATIONS, makes_sense


def heard(situation: str) -> set[str]:
    return {name for name in REQUESTS if makes_sense(name, situation)}


def test_each_situation_listens_for_what_makes_sense_in_it():
    assert heard("paused") == {"carry_on", "stop"}
    assert heard("asking") == heard("working") | {"yes", "no"}
    assert heard("speaking") == {"stop"}
    assert heard("working") == set(REQUESTS) - {"carry_on", "yes", "no"}


def test_every_situation_is_known():
    assert {s for asked in REQUESTS.values() for s in asked.when} == set(SITUATIONS)


def test_the_sizes_of_chunks_are_those_of_the_fabric():
    assert REQUESTS["by"].takes == BY


def test_help_offers_requests_that_make_sense_while_working():
    assert {name for page in HELP for name in page} <= heard("working")


def test_an_unknown_request_is_an_error():
    with pytest.raises(KeyError):
        makes_sense("dance", "working")
