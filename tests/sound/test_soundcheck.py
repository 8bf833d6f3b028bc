"""What the sound check says, for figures of every kind; and the check itself on a simulated card."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import numpy as np
import pytest
from simulated_card import LOUDSPEAKER, MICROPHONE, SimulatedCard

from coach.sound.check import SoundCheck, soundcheck
from coach.sound.levels import Echo, Levels
from coach.sound.mouth import EngineMouth

QUIET_ROOM = Levels(-62, -55, 0)
GOOD_VOICE = Levels(-60, -22, 0)
NO_ECHO = Echo(0.4, -60, 4)
ECHO = Echo(0.2, -15, 35)


def check(room=QUIET_ROOM, maker=GOOD_VOICE, echo=NO_ECHO, **others) -> SoundCheck:
    return SoundCheck("Webcam", "Desk", room, maker, echo, **others)


@pytest.mark.parametrize(
    "found, said",
    [
        (check(), ["does not hear itself", "All is well."]),
        (check(echo=ECHO), ["hears itself, so while it speaks it listens only for stop and its name"]),
        (check(room=Levels(-96, -96, 0), maker=None), ["gives nothing at all"]),
        (check(room=Levels(-38, -30, 0), maker=Levels(-38, -12, 0)), ["The room is loud", "does not hear itself"]),
        (check(maker=Levels(-60, -50, 0)), ["hardly stands out from the room"]),
        (check(room=Levels(-80, -70, 0), maker=Levels(-80, -48, 0)), ["is faint"]),
        (check(maker=Levels(-60, -1, 0.02)), ["too loud for the microphone"]),
        (check(maker=None), ["does not hear itself", "All is well."]),
        (SoundCheck(missing=("There is no microphone.",)), ["There is no microphone."]),
    ],
)
def test_advice(found, said):
    sentences = found.advice
    assert len(sentences) == len(said)
    for sentence, words in zip(sentences, said, strict=True):
        assert words in sentence


def test_every_sentence_is_one_that_can_be_read_aloud():
    for found in (check(), check(echo=ECHO), check(room=Levels(-96, -96, 0)), check(maker=Levels(-60, -1, 0.02))):
        assert all(s[0].isupper() and s.endswith((".", "?")) and "_" not in s and len(s) < 200 for s in found.advice)


@pytest.fixture(scope="module")
def mouth() -> Iterator[EngineMouth]:
    with EngineMouth("en-us") as mouth:
        yield mouth


class TestTheWholeCheck:
    def test_without_devices_it_says_so_and_raises_nothing(self, mouth, monkeypatch):
        monkeypatch.setitem(sys.modules, "sounddevice", SimulatedCard())
        found = soundcheck(mouth)
        assert found.microphone is found.loudspeaker is found.room is found.echo is None
        assert len(found.missing) == 2 and found.advice == found.missing

    def test_a_name_that_is_not_there(self, mouth, monkeypatch):
        monkeypatch.setitem(sys.modules, "sounddevice", SimulatedCard(Webcam=MICROPHONE))
        found = soundcheck(mouth, microphone="Studio")
        assert "There is no microphone called Studio. There are: Webcam." in found.advice

    @pytest.mark.parametrize("gain, hears", [(0.2, True), (0.0, False)])
    def test_over_a_simulated_card(self, mouth, monkeypatch, gain, hears):
        """Its microphone hears its loudspeaker 0.1 s later, or not; time is the card's own."""
        card = SimulatedCard(Webcam=MICROPHONE, Desk=LOUDSPEAKER)
        monkeypatch.setitem(sys.modules, "sounddevice", card)
        under_way = [np.zeros(960, np.int16)] * 5
        hiss = np.random.default_rng(1)

        def wait(seconds: float) -> None:
            for _ in range(round(seconds / 0.02)):
                played = card.sound(0.02)
                under_way.append(played if len(played) else np.zeros(960, np.int16))
                came = under_way.pop(0) * gain + hiss.normal(size=960) * 20
                card.hear(np.rint(came).astype(np.int16)[:, np.newaxis])

        asked: list[str] = []
        found = soundcheck(mouth, ask=asked.append, wait=wait)
        assert (found.microphone, found.loudspeaker, found.missing) == ("Webcam", "Desk", ())
        # 20 / 32768 is -64.3 dB over 24 kHz; what is above the ears' 8 kHz is filtered out: 10 log10(1/3) = -4.8
        assert found.room is not None and found.room.quiet == pytest.approx(-69.5, abs=1.5)
        assert found.echo is not None and found.hears_itself is hears
        if hears:
            assert found.echo.delay == pytest.approx(0.1, abs=0.03)
            assert found.echo.gain == pytest.approx(-14, abs=1)
        assert [text.split()[0] for text in asked] == ["Please", "Now"] and found.maker is not None
        assert card.streams == []
