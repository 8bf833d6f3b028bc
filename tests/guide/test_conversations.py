"""Conversations written as data: what is said, what is answered, and where the work stands then.

Each file in `conversations/` has a pattern and turns: `ask` (the words typed; none: the start), `says` (the answer),
`at` (part, piece, round, count so far; pieces and rounds from 1, and after all parts: "", 0, 0, assembly steps done) and,
where it matters, `step` (what is announced, in US abbreviations). `kept` is the place from which a work is taken up.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest

import coach.guide
from coach.fabric import Fabric, work
from coach.guide.lessons import own_stitches
from coach.guide.machine import answer, begin
from coach.guide.messages import MESSAGES, say
from coach.guide.model import Place, Reply, Request, State
from coach.guide.places import done_in_round
from coach.language.phrasebook import load
from coach.language.speak import sentence
from coach.language.understand import understand
from coach.notation import read

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
    fabric = work(read(data["pattern"]))
    *place, announced = data.get("kept", [0, 0, 0, 0, 0])
    state, found = State(Place(*place), announced), []
    for turn in data["turn"]:
        heard_in, own = state.terms or data["terms"], tuple(own_stitches(fabric.pattern))
        request = understand(ENGLISH, turn["ask"], typed=True, terms=heard_in, own=own) if "ask" in turn else None
        if "ask" not in turn:
            state, reply = begin(fabric, state)
        elif request is None:
            reply = Reply((say("not_understood"),))
        else:
            state, reply = answer(fabric, state, request)
        said = sentence(ENGLISH, reply.messages, state.terms or data["terms"], state.settings.hand)
        found.append((turn, request, reply, where(fabric, state.place), said))
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
        if heard.name in ("listen", "tones"):
            continue  # the ears' own, see tests/test_attention.py
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
