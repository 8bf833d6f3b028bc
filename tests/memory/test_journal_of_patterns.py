"""The journal under the real guide: each of the coach's own patterns worked with any requests, restarted anywhere."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from coach.fabric.work import work as worked
from coach.guide.machine import answer
from coach.guide.model import Request, State
from coach.language.phrasebook import load
from coach.language.speak import sentence
from coach.memory.journal import Journal
from coach.notation.reader import read

PATTERNS = sorted((Path(__file__).resolve().parents[2] / "patterns").glob("*.md"))
REQUESTS = [*["next"] * 12, "back", "undo", "undo", "repeat", "count", "where", "recap", "start_round", ("go_round", 2),
            ("by", "stitch"), ("by", "group"), ("by", "round"), "faster", "quieter", "pause", "carry_on",
            ("what_is", "inc")]


def before(state: State) -> list[State]:
    found = []
    while state is not None:
        found.append(state)
        state = state.before
    return found


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_any_requests_and_a_restart_anywhere(tmp_path, path):
    text = path.read_text(encoding="utf-8")
    fabric, book = worked(read(text)), load()
    chance = random.Random(path.stem)
    journal = Journal.open(tmp_path / "journal.db")
    work = journal.begin(path.stem, text, str(path))
    state = journal.resume(work)
    repeats = 0
    for _ in range(150):
        name, value = (chosen if isinstance(chosen := chance.choice(REQUESTS), tuple) else (chosen, None))
        state, reply = answer(fabric, state, Request(name, value))
        assert journal.record(work, Request(name, value), state, name, sentence(book, reply.messages)) is None
        if chance.random() < 0.2:
            journal.close()
            journal = Journal.open(journal.path)
            resumed = journal.resume(work)
            assert [s.place for s in before(resumed)] == [s.place for s in before(state)]
            assert resumed.having(said=()) == state.having(said=())
            # trees in what was said are equal only to themselves: the sentences are compared
            assert sentence(book, resumed.said) == sentence(book, state.said)
            again = [sentence(book, answer(fabric, s, Request("repeat"))[1].messages) for s in (resumed, state)]
            assert again[0] == again[1]
            repeats += 1
            state = resumed
    assert repeats > 10
    while state.before is not None:  # all the way back
        state, _ = answer(fabric, state, Request("carry_on" if state.paused else "undo"))
    assert state.place == State().place
