"""An hour of a maker's own time in virtual time: nothing is lost, nothing piles up.

The recogniser is left out here, as it would take five minutes; its gate and everything else is what a maker has.
tests/bench/bench_hour.py does the same with the real ear.
"""

from __future__ import annotations

import numpy as np
import pytest
from hour import ASKED, EVERY, SEAL, evening

from coach import fabric
from coach.language.model import Grammar
from coach.memory.journal import Journal
from coach.sound.gate import Segment
from coach.sound.gated import GatedEar
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.wav import WavReader

resource = pytest.importorskip("resource", reason="no way to ask for the memory used here")
MINUTES = 60.0


class InTurn(GatedEar):
    """Whatever sound the gate lets through is the next request of the list."""

    name = "in turn"

    def __init__(self) -> None:
        super().__init__()
        self.heard = 0

    def missing_words(self, grammar: Grammar) -> list[str]:
        return []

    def _prepare(self, grammar: Grammar) -> Grammar:
        return grammar

    def _hear(self, segment: Segment) -> Utterance:
        text = ASKED[self.heard % len(ASKED)]
        self.heard += 1
        return Utterance(segment.start, segment.end, text, 0.9)


def sound() -> np.ndarray:
    """Something loud, half a second long."""
    return np.rint(np.random.default_rng(5).normal(0, 2000, HEARING_RATE // 2)).astype(np.int16)


@pytest.fixture(scope="module")
def hour(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hour")
    return folder, list(evening(InTurn(), [sound()], MINUTES, folder))


def test_every_request_of_an_hour_is_done_and_written_down(hour):
    folder, moments = hour
    asked = int(MINUTES * 60 // EVERY)
    assert moments[-1].minutes >= MINUTES - 0.1
    assert asked - 2 <= moments[-1].done <= asked
    with Journal.open(folder / "journal.db") as journal:
        (work,) = journal.works()
        names = [turn.heard for turn in journal.turns(work) if turn.request]
        assert names == [ASKED[n % len(ASKED)] for n in range(len(names))] and len(names) >= asked - 2
        place = journal.resume(work).place
    assert place.round > 0 and fabric.work(SEAL.pattern).parts


def test_memory_is_flat(hour, capsys):
    """What grows is what undo needs: a state for each request, of some hundred small blocks, whatever the hour."""
    _, moments = hour
    first, last = moments[1], moments[-1]
    for_each = (last.blocks - first.blocks) / (last.done - first.done)
    with capsys.disabled():
        print(f"\n    from minute {first.minutes:.0f} to {last.minutes:.0f}: {last.peak - first.peak:.1f} MB more, "
              f"{for_each:.0f} blocks for each of {last.done - first.done} requests", end="")
    assert last.peak - first.peak < 16
    assert for_each < 400


def test_the_recording_is_as_long_as_the_evening_was(hour):
    folder, _ = hour
    with WavReader(folder / "coach.wav") as reader:
        assert reader.seconds > MINUTES * 60
