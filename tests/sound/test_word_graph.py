"""Graphs of words against the sentences they were made of, walked here by a walker of its own."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coach.language.model import Grammar
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.word_graph import WordGraph, word_graph


def sentences(graph: WordGraph, state: int | None = None) -> list[str]:
    """Every way from the start to the end, in words."""
    state = graph.start if state is None else state
    if state == graph.end:
        return [""]
    return [
        f"{word or ''} {rest}".strip()
        for begin, to, word in graph.arcs if begin == state for rest in sentences(graph, to)
    ]


def test_two_requests():
    graph = word_graph(["undo", "undo that"])
    assert sorted(sentences(graph)) == ["undo", "undo that"]


def test_numbers_are_shared_between_phrases():
    numbers = tuple(f"{ten} {one}" for ten in ("twenty", "thirty") for one in ("one", "two", "three"))
    one = word_graph(Grammar(("round <number>",), numbers).spoken())
    two = word_graph(Grammar(("round <number>", "go to round <number>"), numbers).spoken())
    assert len(one.arcs) == len("round twenty thirty one two three".split()) + 1  # and the step to the end
    assert len(two.arcs) == len(one.arcs) + len("go to round".split())  # its numbers are there already


def test_hundreds_of_sentences_stay_small():
    spoken = grammar(load(), "working", 400, ("sc", "hdc")).spoken()
    graph = word_graph(spoken)
    assert len(spoken) > 2_000 and graph.states * 20 < len(spoken)
    assert sorted(sentences(graph)) == sorted(spoken)


WORDS = st.lists(st.sampled_from("go back to the round one two".split()), min_size=1, max_size=5).map(" ".join)


@given(st.sets(WORDS, min_size=1, max_size=12))
def test_its_ways_are_the_sentences_each_once(spoken):
    assert sorted(sentences(word_graph(sorted(spoken)))) == sorted(spoken)


@given(st.lists(WORDS, min_size=1, max_size=12), st.randoms())
def test_order_and_repetition_change_nothing(spoken, random):
    shuffled = spoken * 2
    random.shuffle(shuffled)
    one, other = word_graph(spoken), word_graph(shuffled)
    assert (one.states, sorted(one.arcs, key=str)) == (other.states, sorted(other.arcs, key=str))


@given(st.sets(WORDS, min_size=1, max_size=12))
def test_no_two_states_go_on_alike(spoken):
    graph = word_graph(spoken)
    ways = [tuple(sorted(sentences(graph, state))) for state in range(graph.states) if state != graph.end]
    assert len(set(ways)) == graph.states - 1
