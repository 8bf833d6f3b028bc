"""What speaks: the real engine through a player; here the player writes a file, since a test has no loudspeaker."""

from __future__ import annotations

import queue

import numpy as np
import pytest

from coach.events import Notice, SpeechDone
from coach.language.phrasebook import load
from coach.sound.errors import NoDevice
from coach.sound.mouth import EngineMouth
from coach.sound.player import FilePlayer
from coach.sound.stream import DeviceBack, DeviceLost
from coach.sound.wav import read_speech
from coach.voices import NoVoice, PlayedVoice

ENGLISH = load("en")


class Room:
    """A voice that speaks into a file, and what it has posted."""

    def __init__(self, path, **mouth):
        self.path = path
        self.posted: queue.SimpleQueue = queue.SimpleQueue()
        self.voice = PlayedVoice(EngineMouth(**mouth), lambda tell: FilePlayer(path, tell), self.posted.put, ENGLISH)

    def event(self):
        """The next event for the conversation."""
        while True:
            for event in self.voice.events(self.posted.get(timeout=20)):
                return event

    @property
    def seconds(self) -> float:
        return read_speech(self.path).seconds


@pytest.fixture
def room(tmp_path):
    room = Room(tmp_path / "coach.wav")
    yield room
    room.voice.close()


def test_a_sentence_is_spoken_and_its_end_is_told(room):
    room.voice.say(7, "Round one. Six single crochet.")
    assert room.event() == SpeechDone(7, whole=True, ago=room_tail())
    assert 1.0 < room.seconds < 6.0
    assert not room.voice.speaking


def room_tail() -> float:
    from coach.sound.playback import TAIL_SECONDS

    return TAIL_SECONDS


def test_sentences_end_in_the_order_of_their_numbers(room):
    for number in (1, 2):
        room.voice.say(number, f"Sentence {number}.")
        assert room.event().number == number


def test_newer_speech_takes_the_place_of_older(room):
    for number in range(1, 6):
        room.voice.say(number, "This sentence is long enough that it is not rendered before the next is asked for." * 3)
    last = room.event()
    while last.number != 5:
        last = room.event()
    assert last.whole


def test_silence_before_the_engine_has_rendered_is_told_as_not_whole(room):
    room.voice.say(1, "This is a very long sentence. " * 40)
    room.voice.silence()
    done = room.event()
    assert (done.number, done.whole) == (1, False) or done.whole  # on a quick machine it was spoken already
    assert not room.voice.speaking


def test_a_sentence_without_words_is_over_at_once(room):
    room.voice.say(3, " ... ".strip(". "))
    assert room.event() == SpeechDone(3)


def test_a_tone_is_played_and_is_no_speech(room):
    room.voice.tone("unsure")
    room.voice.say(1, "Next.")
    assert room.event().number == 1


def test_a_lower_volume_is_quieter(tmp_path):
    levels = []
    for volume in (0.9, 0.2):
        room = Room(tmp_path / f"{volume}.wav")
        room.voice.adjust(175, volume)
        room.voice.say(1, "Six single crochet.")
        room.event()
        room.voice.close()
        levels.append(float(np.abs(read_speech(room.path).samples).max()))
    assert levels[1] < levels[0] / 3


def test_a_faster_voice_is_shorter(tmp_path):
    lengths = []
    for rate in (120, 300):
        room = Room(tmp_path / f"{rate}.wav")
        room.voice.adjust(rate, 0.9)
        room.voice.say(1, "Single crochet in each of the next twelve stitches, then turn.")
        room.event()
        room.voice.close()
        lengths.append(room.seconds)
    assert lengths[1] < lengths[0] * 0.7


def test_an_engine_that_fails_is_told_once_and_each_sentence_still_ends(tmp_path):
    room = Room(tmp_path / "coach.wav", voice="no such voice")
    room.voice.say(1, "Next.")
    assert room.event() == SpeechDone(1, whole=False)
    notice = room.event()
    assert isinstance(notice, Notice)
    assert "no such voice" in notice.text
    room.voice.say(2, "Next.")
    assert room.event() == SpeechDone(2, whole=False)
    assert room.posted.empty()
    room.voice.close()


def test_a_lost_loudspeaker_is_told_in_words(room):
    assert room.voice.events(DeviceLost("loudspeaker", "Harbour")) == [
        Notice("The loudspeaker is gone. Every sentence is printed.")]
    assert room.voice.events(DeviceBack("loudspeaker", "Harbour")) == [Notice("The loudspeaker is back.")]


def test_what_is_no_event_of_the_player_passes_through(room):
    event = SpeechDone(1)
    assert room.voice.events(event) == [event]


def test_without_a_player_there_is_no_voice():
    def none(tell):
        raise NoDevice("There is no loudspeaker.")
    with EngineMouth() as mouth, pytest.raises(NoDevice):
        PlayedVoice(mouth, none, print, ENGLISH)


def test_no_voice_is_done_at_once():
    posted = []
    voice = NoVoice(posted.append)
    voice.say(4, "Next.")
    assert posted == [SpeechDone(4)]
    assert not voice.speaking


def pitch(samples: np.ndarray, rate: int) -> float:
    """The strongest frequency, in hertz."""
    return float(np.argmax(np.abs(np.fft.rfft(samples * np.hanning(len(samples)), rate))))


def test_tones_come_behind_what_is_said_before_them(room):
    room.voice.say(1, "Four tones, in this order.")
    room.voice.tone("heard")
    room.voice.tone("unsure")
    assert room.event() == SpeechDone(1, whole=True, ago=room_tail())
    room.voice.close()
    speech = read_speech(room.path)
    loud = np.flatnonzero(np.abs(speech.samples.astype(int)) > 2000)
    last = speech.samples[loud[-1] - int(0.12 * speech.rate) : loud[-1]]
    assert pitch(last, speech.rate) == pytest.approx(220, abs=5), "the low one last"
