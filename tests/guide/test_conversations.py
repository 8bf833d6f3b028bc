"""Conversations written as data: what is said, what is answered, and where the work stands then.

Each file in `conversations/` has a pattern and turns: `ask` (the words typed; none: the start), `says` (the answer),
`at` (part, piece, round, count so far; pieces and rounds from 1, and after all parts: "", 0, 0, assembly steps done) and,
where it matters, `step` (what is announced, in US abbreviations). `kept` is the place from which a work is taken up,
`changed` what the pattern file holds since then.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest

import coach.guide
from coach.fabric import Fabric, work
from coach.guide.messages import MESSAGES, say
from coach.guide.model import Place, Reply, Request, State
from coach.guide.places import done_in_round
from coach.language.phrasebook import load
from coach.notation import read
from coach.topics import Versions, Working

FILES = sorted((Path(__file__).parent / "conversations").glob("*.toml"))
ENGLISH = load("en")
GUIDE = [p for p in Path(coach.guide.__file__).parent.glob("*.py") if p.name != "messages.py"]


def where(fabric: Fabric, place: Place) -> list:
    if place.part == len(fabric.parts):
        return ["", 0, 0, place.steps]
    return [fabric.parts[place.part].name, place.piece + 1, place.round + 1, done_in_round(fabric, place)]


@cache
def spoken(path: Path) -> tuple[tuple[dict, Request | None, Reply, list, str], ...]:
    """Each turn of a file with what really happened: request, reply, place, sentence."""
    data = tomllib.loads(path.read_text("utf-8"))
    *place, announced = data.get("kept", [0, 0, 0, 0, 0])
    kept = {"": work(read(data["pattern"])), "changed": work(read(data.get("changed", data["pattern"])))}
    offered = "changed" if "changed" in data else None
    topic = Working(kept[""], ENGLISH, State(Place(*place), announced), data["terms"], Versions(kept.__getitem__, offered))
    found = []
    for turn in data["turn"]:
        request = topic.understand(turn["ask"], typed=True) if "ask" in turn else None
        if "ask" not in turn:
            answer = topic.begin()
        else:
            answer = topic.answer(request) if request else topic.aside(say("not_understood"))
        reply = Reply(answer.messages, topic.step)
        found.append((turn, request, reply, where(topic.fabric, topic.state.place), answer.said))
    return tuple(found)


@pytest.mark.parametrize("path", FILES, ids=[p.stem for p in FILES])
def test_a_conversation(path):
    for number, (turn, _, reply, at, said) in enumerate(spoken(path), 1):
        heard = f"turn {number}: {turn.get('ask', 'the start')}"
        assert said == turn["says"], heard
        assert at == turn["at"], heard
        if "step" in turn:
            assert reply.step == turn["step"], heard


def test_every_request_of_the_phrasebook_has_a_conversation():
    asked = {(request.name, request.value) for path in FILES for _, request, *_ in spoken(path) if request}
    for heard in ENGLISH.request:
        if heard.name in ("listen", "tones", "learn", "forget"):
            continue  # the conversation's own, see tests/test_attention.py and tests/test_teaching.py
        values = [value for name, value in asked if name == heard.name]
        assert heard.value in values or (values and heard.value is None), (heard.name, heard.value)


def test_nearly_every_message_of_the_guide_is_heard_in_a_conversation():
    heard = {message.key for path in FILES for _, _, reply, *_ in spoken(path) for message in reply.messages}
    words = {word for path in GUIDE for word in re.findall(r'"(\w+)"', path.read_text("utf-8"))}
    # led to by keys, by hand or by time only; other tests do
    never = {"by_what", "which_stitch", "which_pace", "which_terms", "which_hand", "which_breaks", "colour", "worked", "by_own_pace", "no_size",
             "break_offer"}
    assert (set(MESSAGES) & words) - heard <= never


def test_repeat_says_the_same_again_in_every_conversation():
    repeats = 0
    for path in FILES:
        last = None
        for _, request, reply, *_ in spoken(path):
            if request and request.name == "repeat":
                assert reply.messages == last
                repeats += 1
            elif reply.messages and (request is None or request.name not in UNREPEATED) and not still(reply):
                last = reply.messages
    assert repeats >= 4


UNREPEATED = ("pause", "slower", "faster", "louder", "quieter")


def still(reply: Reply) -> bool:
    return reply.messages[0].key in ("still_paused", "not_understood", "nothing_asked")
