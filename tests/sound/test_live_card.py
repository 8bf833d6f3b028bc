"""Promises of a live session, on a simulated card: silence when asked for it, devices and workers that fail."""

from __future__ import annotations

import os
import signal
import time
from functools import partial

import numpy as np
import pytest
from live_card import ENGLISH, RATE, Evening
from rendered_speech import silence, spoken
from simulated_card import MICROPHONE

from coach.attention import Attention, Way
from coach.events import Heard
from coach.live import Came
from coach.sound.ear_process import SILENT_SECONDS, EarProcess
from coach.sound.listen import best_ear
from coach.sound.model import HEARING_RATE
from coach.sound.mouth import BASE_SECONDS, SECONDS_PER_CHARACTER
from coach.sound.resample import resample

NAME = ENGLISH.called[0]
HUSHED = 0.2  # seconds


@pytest.fixture
def evening(monkeypatch):
    made: list[Evening] = []

    def begin(**how) -> Evening:
        made.append(Evening(monkeypatch, **how))
        return made[-1]

    yield begin
    for one in made:
        one.close()


# ---- silence

@pytest.mark.parametrize("latency", [0.02, 0.1, 0.15, 0.3, 0.6])
@pytest.mark.parametrize("words, way", [("stop", Way.OPEN), ("stop talking", Way.ATTENTION), (NAME, Way.OPEN),
                                        (NAME, Way.ATTENTION)])
def test_stop_and_its_name_silence_the_coach_within_a_fifth_of_a_second(evening, latency, words, way):
    """From the moment at which the words are recognised, in what is heard from a device that holds back more or less."""
    session = evening(latency=latency, attention=Attention(way, tones=False))
    session.until_it_speaks()
    session.post(Came(Heard(words, began=0.7, lasted=0.4), time.monotonic()))
    after = session.go_on(1.5)
    loud = np.flatnonzero(np.abs(after.astype(int)) > 50)
    assert (loud[-1] + 1 if len(loud) else 0) / RATE <= HUSHED
    assert len(loud) or latency > 0.15, "a device that holds little back is not cut off, or it would click"


def test_what_silences_is_acted_on_though_much_else_is_waiting(evening):
    session = evening(attention=Attention(tones=False))
    session.until_it_speaks()
    for _ in range(50):
        session.inbox.put(Came(Heard("what a day", sure=False, began=0.5), time.monotonic()))
    session.post(Came(Heard("stop", began=0.7, lasted=0.4), time.monotonic()))
    assert not np.any(session.go_on(1.5)[round(HUSHED * RATE) :])


def test_what_was_cut_can_be_asked_again_and_is_said_whole(evening):
    session = evening(attention=Attention(tones=False))
    session.until_it_speaks()
    session.post(Came(Heard("stop", began=0.7, lasted=0.4), time.monotonic()))
    session.go_on(1.0)
    session.type("repeat")
    session.until(lambda: session.voice.speaking)
    said = session.until(lambda: not session.voice.speaking)
    whole = session.mouth.say(session.shown[-1]).seconds
    loud = np.flatnonzero(np.abs(said.astype(int)) > 50)
    assert (loud[-1] - loud[0]) / RATE == pytest.approx(whole, abs=0.15)


# ---- devices

def test_a_microphone_that_is_unplugged_is_told_within_two_seconds_and_keys_go_on(evening):
    session = evening()
    session.until_quiet()
    session.type("next")
    session.until_quiet()
    place = session.topic.state.place
    webcam = session.card.plugged.pop("Webcam")
    session.go_on(2.0)
    gone = "The microphone is gone. Keys and typed words still work."
    assert session.shown[-1] == gone and session.topic.state.place == place
    session.until_quiet()
    session.type("how many so far")
    assert session.shown[-1].endswith("of 6.") and session.asked[-1] == "count"
    session.until_quiet()
    session.card.plugged["Webcam"] = webcam
    session.until(lambda: "The microphone is back." in session.shown)
    assert session.topic.state.place == place and session.shown.count(gone) == 1


def test_a_loudspeaker_that_is_unplugged_is_told_and_everything_is_printed(evening):
    session = evening()
    session.until_it_speaks()
    desk = session.card.plugged.pop("Desk")
    session.go_on(2.0)
    assert "The loudspeaker is gone. Every sentence is printed." in session.shown
    session.type("next")
    assert session.shown[-1].startswith("Round 1.")
    session.card.plugged["Desk"] = desk
    session.until(lambda: "The loudspeaker is back." in session.shown)
    session.type("count")
    session.until_it_speaks()


def test_with_another_microphone_plugged_in_it_goes_on_by_itself(evening):
    session = evening()
    session.until_quiet()
    del session.card.plugged["Webcam"]
    session.card.plugged["Headset"] = MICROPHONE
    session.until(lambda: "The microphone is back." in session.shown)
    assert session.ear.device == "Headset"


# ---- processes that hang

needs_signals = pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no way to make a process hang here")


@needs_signals
def test_an_ear_that_hangs_is_replaced_and_the_next_request_is_heard(evening, capsys):
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    session = evening(open_ear=lambda: EarProcess(partial(best_ear, models={})), attention=Attention())
    session.until_quiet()
    process = session.ear._ears.ear
    session.wait(session.ear._heard.empty)
    hung, began = process._child, time.monotonic()
    os.kill(hung.pid, signal.SIGSTOP)
    session.go_on(0.1)  # it is asked, and does not answer
    session.wait(lambda: process._child is not hung)
    noticed = time.monotonic() - began
    place = session.topic.state.place
    maker = resample(np.concatenate([silence(0.8), spoken("next step"), silence(1.5)]), HEARING_RATE, RATE)
    for _ in range(3):  # what it was hearing while it hung is lost, so the maker may have to say it again
        session.go_on(len(maker) / RATE, maker, paced=True)
        session.wait(session.ear._heard.empty)
        if session.asked:
            break
    assert session.asked == ["next"] and session.topic.state.place == place
    assert SILENT_SECONDS < 2
    with capsys.disabled():
        print(f"\n    a hung ear was replaced after {noticed:.1f} s", end="")


@needs_signals
def test_a_speech_worker_that_hangs_is_replaced_and_the_sentence_is_spoken(evening, capsys):
    session = evening()
    session.until_quiet()
    worker, began = session.mouth._now._worker, time.monotonic()
    os.kill(worker.pid, signal.SIGSTOP)
    session.type("next")
    session.until_it_speaks()
    spoke = time.monotonic() - began
    assert session.mouth._now._worker is not worker
    assert all(BASE_SECONDS + SECONDS_PER_CHARACTER * len(line) < 2 for line in session.shown)
    session.until_quiet()
    assert session.shown[-1].startswith("Round 1."), "and nothing is told, since nothing is amiss"
    with capsys.disabled():
        print(f"\n    with a hung speech worker the sentence began after {spoke:.1f} s", end="")
