"""In which terms the coach speaks, US or UK, and for which hand. Neither difference is ever silent."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from coach.fabric.model import Fabric
from coach.guide.explain import stitch_of
from coach.guide.lessons import current
from coach.guide.messages import say
from coach.guide.model import State
from coach.guide.moves import Answer, Messages, changed, standing
from coach.notation.model import Group, Node, Repeat
from coach.stitches.catalogue import stitch

MOST_RENAMED = 3  # stitches whose two names are told when the terms change


def terms_of(fabric: Fabric, state: State) -> str:
    """US or UK, as stitches are called to the maker."""
    return state.terms or fabric.pattern.terms


def told(fabric: Fabric, state: State) -> Messages:
    """What a maker has to know who comes back: that the terms are not the pattern's, or its words not for their
    hand."""
    found: list = []
    if terms_of(fabric, state) != fabric.pattern.terms:
        found.append(say("terms_are", terms=state.terms, written=fabric.pattern.terms))
    return tuple(found)


def told_of_hand(fabric: Fabric, state: State) -> Messages:
    """To a left-handed maker, where the pattern's own words have a left or right in them."""
    text = re.sub(r"\b(?:right|wrong) sides?\b|\b(?:is|are|be) left\b", "", fabric.pattern.text, flags=re.IGNORECASE)
    if state.settings.hand == "left" and re.search(r"\b(?:left|right|clockwise)\b", text, re.IGNORECASE):
        return (say("hand_words"),)
    return ()


def terms(fabric: Fabric, state: State, value: object) -> Answer:
    """Speak in these terms from now on; what the pattern calls otherwise is told once."""
    if value not in ("US", "UK"):
        return state, (say("which_terms"),)
    written = fabric.pattern.terms
    after = changed(state, terms=value, guess=state.guess) if value != terms_of(fabric, state) else state
    here = current(fabric, after) or standing(fabric, after)
    if value == written:
        return after, (say("terms_as_written", terms=value), *here)
    renamed = [id for id in dict.fromkeys(_stitches(fabric)) if (s := stitch(id)) and s.name("US") != s.name("UK")]
    names = (say("renamed", renamed=id, written=written) for id in renamed[:MOST_RENAMED])
    return after, (say("terms_are", terms=value, written=written), *names, *here)


def hand(fabric: Fabric, state: State, value: object) -> Answer:
    """Mirror the coach's own directions, or not."""
    if value not in ("left", "right"):
        return state, (say("which_hand"),)
    after = changed(state, settings=replace(state.settings, hand=value), guess=state.guess)
    return after, (say(f"hand_{value}"), *told_of_hand(fabric, after))


def _stitches(fabric: Fabric) -> Iterator[str]:
    for part in fabric.pattern.parts:
        for round_ in part.rounds:
            yield from _ids(round_.body)


def _ids(nodes: Iterable[Node]) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, Repeat | Group):
            yield from _ids(node.body)
        elif found := stitch_of(node):
            yield found
