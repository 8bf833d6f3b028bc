"""An ear in a process of its own hears what it would hear in ours, and is replaced when it dies."""

from __future__ import annotations

import os
import signal
import time
from functools import partial

import numpy as np
import pytest

from coach.language.model import Grammar
from coach.sound.ear_process import SILENT_SECONDS, EarProcess
from coach.sound.errors import EarError
from coach.sound.listen import best_ear, hear_recording
from coach.sound.model import HEARING_RATE
from coach.sound.mouth import EngineMouth
from coach.sound.pocketsphinx_ear import PocketsphinxEar
from coach.sound.resample import resample

GRAMMAR = Grammar(("next step", "go to round <number>", "finished for now"), ("two", "twelve"))
PHRASES = ("next step", "go to round twelve", "finished for now")


@pytest.fixture(scope="module")
def recording() -> np.ndarray:
    quiet = np.random.default_rng(5).normal(0, 15, HEARING_RATE).astype(np.int16)
    pieces = [quiet]
    with EngineMouth("en-us+klatt3") as mouth:
        for words in PHRASES:
            speech = mouth.say(words, 145)
            pieces += [resample(speech.samples, speech.rate, HEARING_RATE) // 2, quiet]
    return np.concatenate(pieces)


@pytest.fixture
def ear():
    ear = EarProcess(PocketsphinxEar)
    ear.listen_for(GRAMMAR)
    yield ear
    ear.close()


def test_the_same_words_are_heard_as_in_our_own_process(ear, recording):
    here = PocketsphinxEar()
    here.listen_for(GRAMMAR)
    there = hear_recording(recording, ear)
    assert [u.text for u in there] == list(PHRASES)
    assert there == hear_recording(recording, here)
    assert ear.name == here.name


def test_what_can_not_be_heard_is_told(ear):
    assert ear.missing_words(Grammar(("next zzyzzx",))) == ["zzyzzx"]


def test_a_child_that_was_killed_is_replaced_and_knows_what_to_listen_for(ear, recording):
    ear._child.kill()
    ear._child.join()
    assert [u.text for u in hear_recording(recording, ear)] == list(PHRASES)


def test_a_new_child_tells_times_from_the_first_sample_of_all(ear, recording):
    here = PocketsphinxEar()
    here.listen_for(GRAMMAR)
    expected = hear_recording(recording, here)
    ear.feed(np.zeros(3 * HEARING_RATE, np.int16))
    ear._child.kill()
    ear._child.join()
    times = [(u.start, u.end) for u in hear_recording(recording, ear)]
    assert times == [(pytest.approx(u.start + 3), pytest.approx(u.end + 3)) for u in expected]


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no way to make a process hang here")
def test_a_child_that_hangs_is_replaced(ear, recording):
    """Noticed within two seconds: it gives no sign of life. (How long it took is printed, see the live session's test.)"""
    os.kill(ear._child.pid, signal.SIGSTOP)
    hung = ear._child
    assert [u.text for u in hear_recording(recording, ear)] == list(PHRASES)
    assert not hung.is_alive() and SILENT_SECONDS < 2


class Slow(PocketsphinxEar):
    """As on a machine that has much else to do: an answer takes longer than a hung ear is given, and it is busy all the time."""

    def feed(self, samples):
        time.sleep(SILENT_SECONDS + 0.5)
        return []


def test_a_child_that_is_only_slow_is_left_in_peace():
    ear = EarProcess(Slow)
    child = ear._child
    assert ear.feed(np.zeros(160, np.int16)) == []
    assert ear._child is child
    ear.close()


def test_the_recognising_is_not_done_in_our_process(ear, recording):
    """The whole point: what computes here holds Python's lock. Compared by processor time."""
    here = PocketsphinxEar()
    here.listen_for(GRAMMAR)

    def used(one) -> float:
        before = time.process_time()
        hear_recording(recording, one)
        return time.process_time() - before

    assert used(ear) < used(here) / 2


def test_an_ear_that_can_not_be_had_is_told_in_its_own_words():
    with pytest.raises(EarError) as told:
        EarProcess(partial(best_ear, GRAMMAR, "shell"))
    assert told.value.message == "There is no ear called shell."
    assert "pocketsphinx" in told.value.hint


def test_closing_ends_the_child():
    ear = EarProcess(PocketsphinxEar)
    child = ear._child
    ear.close()
    assert not child.is_alive()
