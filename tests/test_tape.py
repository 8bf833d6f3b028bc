"""Recordings in place of devices: virtual time, the patient recording, the coach's WAV."""

from __future__ import annotations

import io
from collections import deque
from pathlib import Path

import numpy as np
import pytest

from coach import fabric, notation
from coach.events import SpeechDone
from coach.language.phrasebook import load
from coach.live import Ended, Paper, TypedStage
from coach.sound.errors import RecordingError
from coach.sound.model import HEARING_RATE, Speech, Utterance
from coach.sound.mouth import EngineMouth
from coach.sound.wav import read_speech, write_wav
from coach.tape import AFTER, BLOCK, VOICE_RATE, Ears, Recording, TapeStage, TapeVoice
from coach.topics import Working

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
ENGLISH = load("en")


@pytest.fixture(scope="module")
def mouth():
    with EngineMouth() as mouth:
        yield mouth


class Lent:
    """A mouth that outlives the voice which closes it."""

    def __init__(self, mouth: EngineMouth) -> None:
        self.say = mouth.say

    def close(self) -> None: ...


@pytest.fixture
def voice(mouth, tmp_path):
    posted = deque()
    voice = TapeVoice(Lent(mouth), tmp_path / "coach.wav", posted.append)
    voice.posted, voice.path = posted, tmp_path / "coach.wav"
    yield voice
    voice.close()


def until_done(voice) -> float:
    """Seconds until the voice has nothing more to say."""
    start = voice.seconds
    while voice.speaking:
        voice.go_on(BLOCK)
    return voice.seconds - start


# ---- the voice

def test_time_passes_in_the_recording_as_it_is_told_to(voice):
    for _ in range(50):
        voice.go_on(BLOCK)
    voice.close()
    recording = read_speech(voice.path)
    assert recording.rate == VOICE_RATE
    assert recording.seconds == pytest.approx(1.0, abs=0.001)
    assert not recording.samples.any()


def test_a_sentence_takes_its_time_and_then_its_end_is_posted(voice):
    voice.say(1, "Six single crochet into the ring.")
    assert voice.speaking
    assert not voice.posted
    seconds = until_done(voice)
    assert 1.0 < seconds < 4.0
    assert list(voice.posted) == [SpeechDone(1, whole=True)]


def test_a_sentence_that_is_cut_is_silent_from_the_next_block_on(voice):
    voice.say(1, "Single crochet in each of the next twenty four stitches.")
    for _ in range(25):
        voice.go_on(BLOCK)
    voice.silence()
    assert list(voice.posted) == [SpeechDone(1, whole=False)]
    assert not voice.go_on(0.5).any()
    voice.close()
    assert np.abs(read_speech(voice.path).samples[: VOICE_RATE // 2]).max() > 1000


def test_newer_speech_takes_the_place_of_older(voice):
    voice.say(1, "Single crochet in each of the next twenty four stitches.")
    voice.go_on(BLOCK)
    voice.say(2, "Next.")
    until_done(voice)
    assert list(voice.posted) == [SpeechDone(1, whole=False), SpeechDone(2, whole=True)]


def test_a_sentence_without_words_is_over_in_the_next_moment(voice):
    voice.say(1, "")
    voice.go_on(BLOCK)
    assert list(voice.posted) == [SpeechDone(1, whole=True)]


def test_a_tone_is_heard_and_posts_nothing(voice):
    voice.tone("unsure")
    assert np.abs(voice.go_on(0.2)).max() > 1000
    assert not voice.posted


def test_volume_and_rate_count_from_the_next_sentence_on(voice):
    text = "Single crochet in each of the next twelve stitches."
    voice.adjust(175, 0.9)
    voice.say(1, text)
    loud = np.abs(voice.go_on(1.0)).max()
    until_done(voice)
    voice.adjust(300, 0.2)
    voice.say(2, text)
    quiet = np.abs(voice.go_on(1.0)).max()
    assert quiet < loud / 3
    assert voice.words > 1.5


def test_the_recording_is_whole_at_every_moment(voice):
    """Killed in the middle of a sentence, what was spoken so far can be played."""
    voice.say(1, "Six single crochet into the ring.")
    for n in range(1, 40):
        voice.go_on(BLOCK)
        assert read_speech(voice.path).seconds == pytest.approx(n * BLOCK, abs=0.001)


def test_a_recording_that_can_not_be_written_is_told_at_once(mouth, tmp_path):
    with pytest.raises(RecordingError, match="written"):
        TapeVoice(Lent(mouth), tmp_path / "no such folder" / "coach.wav", print)


# ---- typed requests, spoken answers

def test_typed_requests_are_answered_in_the_recording_one_after_another(voice):
    out = io.StringIO()
    stage = TypedStage(iter(["next", "next", "bye"]), voice, Paper(out), voice.posted, voice.speak)
    assert stage.hold(Working(BUOY, ENGLISH)) is Ended.FINISHED
    stage.close()
    words = len(out.getvalue().split())
    assert 0.2 * words < read_speech(voice.path).seconds < 0.8 * words


# ---- the patient recording

def wav(path, seconds: float, rate: int = HEARING_RATE):
    """A recording in which each sample tells its place."""
    samples = (np.arange(round(seconds * rate)) % 30_000).astype(np.int16)
    write_wav(path, Speech(samples, rate))
    return path


def test_a_recording_comes_out_whole_in_blocks_and_then_it_is_over(tmp_path):
    recording = Recording(wav(tmp_path / "maker.wav", 1.005))
    blocks = []
    while not recording.over or len(blocks[-1]):
        blocks.append(recording.next(BLOCK, speaking=False))
    assert {len(b) for b in blocks[:-2]} == {round(BLOCK * HEARING_RATE)}
    samples = np.concatenate(blocks)
    assert len(samples) == round(1.005 * HEARING_RATE)
    assert (samples == np.arange(len(samples)) % 30_000).all()


def test_a_recording_waits_while_the_coach_speaks(tmp_path):
    recording = Recording(wav(tmp_path / "maker.wav", 1.0))
    first = recording.next(BLOCK, speaking=False)
    assert all(not len(recording.next(BLOCK, speaking=True)) for _ in range(500))
    assert recording.next(BLOCK, speaking=False)[0] == first[-1] + 1


def test_a_recording_of_another_rate_lasts_as_long(tmp_path):
    recording = Recording(wav(tmp_path / "maker.wav", 1.0, rate=44_100))
    count = 0
    while not recording.over or count < HEARING_RATE:
        count += len(recording.next(BLOCK, speaking=False))
    assert count == HEARING_RATE


@pytest.mark.parametrize("content", [None, b"", b"RIFF", b"no sound at all" * 10])
def test_what_is_no_recording_is_told(tmp_path, content):
    path = tmp_path / "maker.wav"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(RecordingError):
        Recording(path)


# ---- ears and time

class Clockwork:
    """An ear that hears a word half a second long at every full second of what it is fed."""

    name = "clockwork"

    def __init__(self) -> None:
        self.fed = 0

    def listen_for(self, grammar) -> None:
        self.grammar = grammar

    def feed(self, samples):
        before, self.fed = self.fed // HEARING_RATE, self.fed + len(samples)
        return [Utterance(n - 0.5, n, "next step") for n in range(before + 1, self.fed // HEARING_RATE + 1)]

    def finish(self):
        return []

    def close(self) -> None: ...


def test_how_long_ago_words_began_is_counted_in_what_the_ear_was_fed():
    ears = Ears(Clockwork())
    assert ears.feed(np.zeros(HEARING_RATE - 1, np.int16)) == []
    (heard,) = ears.feed(np.zeros(1 + HEARING_RATE // 4, np.int16))
    assert heard.began == pytest.approx(0.75)
    assert heard.lasted == pytest.approx(0.5)


class Doubtful(Clockwork):
    """Hears a number that it is not quite sure of, and then the answer to the question about it."""

    def __init__(self) -> None:
        super().__init__()
        self.numbers: list[tuple[str, ...]] = []

    def listen_for(self, grammar) -> None:
        self.numbers.append(grammar.numbers)

    def feed(self, samples):
        words = ("go to round seventeen", "seventy", "go to round thirteen")
        return [Utterance(u.start, u.end, words[round(u.end) - 1], 0.5) for u in super().feed(samples) if u.end < 4]


def test_through_a_session_a_doubtful_number_is_asked_back_where_both_are_there(tmp_path, voice):
    """A pattern of 75 rounds has a 17th and a 70th; of 29 it has no 30th, so thirteen is not in doubt."""
    for rounds, asked, place in ((75, ["Seventeen, or seventy?"], 70), (29, [], 13)):
        text = "# Long buoy\n\nRnd 1: 6 sc in magic ring (6)\n" + "".join(
            f"Rnd {n}: sc in each st around (6)\n" for n in range(2, rounds + 1))
        topic, ear, out = Working(fabric.work(notation.read(text)), ENGLISH), Doubtful(), io.StringIO()
        seconds = 2.5 if rounds == 75 else 3.5
        TapeStage(Recording(wav(tmp_path / "maker.wav", seconds)), ear, voice, Paper(out), voice.posted).hold(topic)
        lines = out.getvalue().splitlines()
        assert [line for line in lines if line.endswith("?")] == asked
        assert topic.state.place.round == place - 1
        highest = ENGLISH.number.spoken(rounds)[0]
        assert all(highest in numbers and len(numbers) < 2 * rounds for numbers in ear.numbers)


def test_the_session_lasts_as_long_as_both_have_spoken(mouth, tmp_path, voice):
    """Five seconds of recording are five requests; each answer is heard to its end before the recording goes on."""
    recording = Recording(wav(tmp_path / "maker.wav", 5.0))
    out = io.StringIO()
    stage = TapeStage(recording, Clockwork(), voice, Paper(out), voice.posted)
    assert stage.hold(Working(BUOY, ENGLISH)) is Ended.INPUT
    stage.close()
    lines = out.getvalue().splitlines()
    assert lines.count("> next step") == 5
    assert len(lines) == 1 + 2 * 5
    assert read_speech(voice.path).seconds == pytest.approx(5.0 + voice.words + AFTER, abs=0.5)
