"""States as JSON and back."""

from __future__ import annotations

import json
from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.model import Chunk
from coach.fabric.tree import Leaf, Loop, Run, Top
from coach.guide.model import Message, Place, Settings, State
from coach.memory.states import from_json, to_json
from coach.notation.model import Group, Span, Stitch

numbers = st.integers(min_value=0)
words = st.text(st.characters(exclude_categories=[]), max_size=8)  # lone halves of characters too
scalars = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | words
hashables = scalars | st.tuples(scalars, scalars)
values = st.recursive(
    scalars | st.builds(Place, numbers, numbers, numbers, numbers) | st.builds(Span, numbers, numbers),
    lambda inner: (st.lists(inner, max_size=3) | st.lists(inner, max_size=3).map(tuple)
                   | st.dictionaries(hashables, inner, max_size=3) | st.frozensets(hashables, max_size=3)
                   | st.builds(lambda v: Message("m", {"v": v}), inner)),
    max_leaves=8,
)
states = st.builds(
    State,
    place=st.builds(Place, numbers, numbers, numbers, numbers),
    announced=numbers,
    settings=st.builds(Settings, by=st.sampled_from(["stitch", "group", "round"]), rate=numbers,
                       volume=st.floats(0, 1)),
    paused=st.booleans(),
    finished=st.booleans(),
    said=st.lists(st.builds(Message, words, st.dictionaries(words, values, max_size=3)), max_size=3).map(tuple),
)


def same_kinds(one: object, other: object) -> bool:
    """1, True and 1.0 are equal in Python, and so are other values of several kinds."""
    if isinstance(one, (tuple, list)):
        return isinstance(other, tuple if isinstance(one, tuple) else list) and all(map(same_kinds, one, other))
    if isinstance(one, dict):
        return all(same_kinds(one[key], other[key]) for key in one)
    if isinstance(one, Message):
        return same_kinds(one.values, other.values)
    return isinstance(other, type(one))


@given(states)
def test_what_was_written_is_what_is_read(state):
    read = from_json(to_json(state))
    assert read == state
    assert same_kinds([m.values for m in state.said], [m.values for m in read.said])


def test_the_state_before_is_given_not_kept():
    first = State()
    second = State(Place(steps=1), before=first)
    assert from_json(to_json(second)).before is None
    assert from_json(to_json(second), before=first).before is first


def test_worked_steps_can_be_part_of_a_message():
    sc = Leaf(Stitch("sc", span=Span(3, 5)), takes=1, makes=1, tops=(Top("sc"),), at=0, tally={"sc": 1})
    two = Group((Stitch("sc"), Stitch("sc")))
    inc = Leaf(two, takes=1, makes=2, tops=(Top("sc"), Top("sc")), at=0, tally={"sc": 2})
    repeat = Loop(Run((sc, inc)), 6)
    state = State(said=(Message("chunk", {"chunk": Chunk(0, 12, (repeat, sc), time=1, times=6)}),))

    chunk = from_json(to_json(state)).said[0].values["chunk"]
    assert (chunk.start, chunk.stop, chunk.time, chunk.times) == (0, 12, 1, 6)
    assert chunk.trees[0].same(repeat) and chunk.trees[1].same(sc)
    assert (chunk.trees[0].makes, chunk.trees[0].tally) == (18, {"sc": 18})


def test_what_an_older_coach_did_not_know_gets_its_default():
    kept = json.loads(to_json(State(Place(steps=4))))
    del kept["paused"], kept["settings"]["volume"]
    assert from_json(json.dumps(kept)) == State(Place(steps=4))


def test_what_this_coach_does_not_know_is_left_out():
    kept = json.loads(to_json(State(Place(steps=4))))
    kept["tension"] = "loose"
    assert from_json(json.dumps(kept)) == State(Place(steps=4))


NO_STATES = ["", "{", "7", "[]", '{"is":"Place"}', '{"is":"Hook"}', '{"is":"State","place":', "null"]


@pytest.mark.parametrize("text", NO_STATES)
def test_what_is_no_state_is_refused(text):
    with pytest.raises(ValueError):
        from_json(text)


def test_what_can_not_be_kept_is_refused_by_name():
    @dataclass
    class Place:  # another of the same name
        steps: int = 0

    with pytest.raises(TypeError, match="Place"):
        to_json(State(said=(Message("m", {"place": Place()}),)))
    with pytest.raises(TypeError, match="object"):
        to_json(State(said=(Message("m", {"thing": object()}),)))
