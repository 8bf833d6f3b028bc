"""A whole session of spoken requests: rendered by several voices, heard by the real recogniser, answered into a WAV.

Speech made by an engine is a regression test: how well people are heard is measured on people's recordings elsewhere.
"""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from coach.cli import main
from coach.memory.journal import Journal
from coach.sound.model import HEARING_RATE, Speech
from coach.sound.mouth import EngineMouth
from coach.sound.resample import resample
from coach.sound.wav import read_speech, write_wav

SESSIONS = tomllib.loads((Path(__file__).parent / "sessions/sessions.toml").read_text("utf-8"))["session"]
PAUSE = 1.2  # seconds between two requests
RATE = 145  # words a minute
NOISE = 15.0  # root mean square of a quiet room, of 32767
SEED = 7


@pytest.fixture(scope="module")
def mouths():
    """A mouth for each voice, started once."""
    kept: dict[str, EngineMouth] = {}

    def mouth(voice: str) -> EngineMouth:
        return kept.setdefault(voice, EngineMouth(voice))

    yield mouth
    for one in kept.values():
        one.close()


def recorded(mouths, lines: list[str]) -> Speech:
    """The lines spoken by their voices with pauses, in a room that is not quite silent."""
    quiet = np.zeros(round(PAUSE * HEARING_RATE), np.int16)
    pieces = [quiet]
    for line in lines:
        voice, words = line.split(": ")
        speech = mouths(voice).say(words, RATE)
        pieces += [resample(speech.samples, speech.rate, HEARING_RATE) // 2, quiet]
    samples = np.concatenate(pieces)
    noise = np.random.default_rng(SEED).normal(0, NOISE, len(samples))
    return Speech((samples + np.rint(noise)).astype(np.int16), HEARING_RATE)


@dataclass
class Held:
    """A session that was held: JSON lines, what the coach spoke, and the journal's place."""

    told: list[dict]
    coach: Speech
    journal: list


@pytest.fixture(scope="module", params=SESSIONS, ids=lambda s: s["name"])
def session(request):
    return request.param


@pytest.fixture(scope="module")
def held(session, mouths, tmp_path_factory):
    folder = tmp_path_factory.mktemp("session")
    write_wav(folder / "maker.wav", recorded(mouths, session["say"]))
    line = ["work", session["pattern"], "--json", "--hear", str(folder / "maker.wav"),
            "--speak", str(folder / "coach.wav"), *session.get("options", [])]
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COACH_HOME", str(folder / "home"))
        patch.setenv("COACH_DEBUG", "1")
        out = folder / "out.json"
        with out.open("w", encoding="utf-8") as stdout:
            patch.setattr("sys.stdout", stdout)
            assert main(line) == 0
        with Journal.open() as journal:
            (work,) = journal.works()
            turns, state = journal.turns(work), journal.resume(work)
    told = [json.loads(line) for line in out.read_text("utf-8").splitlines()]
    return Held(told, read_speech(folder / "coach.wav"), [turns, state])


def test_at_least_three_voices_speak_in_all():
    voices = {line.split(": ")[0] for session in SESSIONS for line in session["say"]}
    assert len(voices) >= 3


def test_every_request_is_heard_and_no_other(session, held):
    assert [line["request"] for line in held.told] == session["requests"]
    assert [line["heard"] for line in held.told] == [line.split(": ")[1] for line in session["say"]]


def test_the_journal_has_them_all_and_ends_at_the_right_round_and_stitch(session, held):
    turns, state = held.journal
    assert [t.request.name for t in turns if t.request] == session["requests"]
    last = held.told[-1]
    for name in ("part", "round", "stitch", "total"):
        if name in session:
            assert last[name] == session[name], name
    assert state.place.round == last["round"] - 1


def test_what_the_journal_says_was_said_is_what_was_said(held):
    turns, _ = held.journal
    assert [t.said for t in turns if t.request] == [line["said"] for line in held.told]


def test_the_answers_are_of_a_sane_length_and_loudness(held):
    """About as long as people would take to read them out; clear, and never clipped."""
    words = sum(len(line["said"].split()) for line in held.told)
    spoken = np.abs(held.coach.samples.astype(np.int32)) > 300
    # voiced time: blocks of 20 ms in which anything is heard
    block = round(0.02 * held.coach.rate)
    blocks = spoken[: len(spoken) // block * block].reshape(-1, block).any(axis=1)
    seconds = blocks.sum() * 0.02
    assert 0.12 * words < seconds < 0.9 * words + 10
    loud = held.coach.samples[spoken].astype(np.float64)
    level = 20 * np.log10(np.sqrt(np.mean(loud**2)) / 32_768)
    assert -30 < level < -6
    assert np.abs(held.coach.samples.astype(np.int32)).max() < 32_767


def test_the_makers_pauses_stand_between_the_answers(session, held):
    """The recording is held while the coach speaks, so the session lasts as long as both together."""
    maker = (len(session["say"]) + 1) * PAUSE
    voiced = np.abs(held.coach.samples.astype(np.int32)) > 300
    silent = held.coach.seconds - voiced.sum() / held.coach.rate
    assert held.coach.seconds > maker
    assert silent > maker * 0.7
