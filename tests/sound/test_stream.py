"""Microphone and player over a simulated card: frames, unplugging, another rate, reopening by name."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from simulated_card import LOUDSPEAKER, MICROPHONE, SimulatedCard

from coach.sound.devices import rescan
from coach.sound.errors import DeviceFailed, NoDevice
from coach.sound.microphone import Microphone, mono
from coach.sound.model import Speech
from coach.sound.playback import Played, Quiet
from coach.sound.player import LivePlayer
from coach.sound.resample import resample
from coach.sound.stream import DeviceBack, DeviceLost


class Desk:
    """A card, its clock, and what was told and heard."""

    def __init__(self, **plugged: dict) -> None:
        self.card = SimulatedCard(**plugged)
        self.now = 0.0
        self.told: list[object] = []
        self.heard: list[np.ndarray] = []

    def microphone(self, name: str | None = None) -> Microphone:
        return Microphone(self.heard.append, self.told.append, name, clock=lambda: self.now)

    def player(self, name: str | None = None) -> LivePlayer:
        return LivePlayer(self.told.append, name, clock=lambda: self.now)

    def pass_time(self, seconds: float, *streams: Microphone | LivePlayer) -> np.ndarray:
        """Devices that are plugged in run, and the shell looks ten times a second. Gives what was played."""
        played = [np.zeros(0, np.int16)]
        for _ in range(round(seconds * 10)):
            self.now = round(self.now + 0.1, 6)
            self.card.hear(np.full((4_800, 1), 7, np.int16))
            played.append(self.card.sound(0.1))
            for stream in streams:
                stream.look()
        return np.concatenate(played)


@pytest.fixture
def desk(monkeypatch) -> Desk:
    made = Desk(Webcam=MICROPHONE, Desk=LOUDSPEAKER)
    monkeypatch.setitem(sys.modules, "sounddevice", made.card)
    return made


def sentence(seconds: float = 1.0, rate: int = 48_000) -> Speech:
    return Speech(np.random.default_rng(3).integers(1, 9_000, round(seconds * rate)).astype(np.int16), rate)


class TestMicrophone:
    def test_samples_come_at_the_ears_rate(self, desk):
        microphone = desk.microphone()
        tone = np.rint(9_000 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)).astype(np.int16)
        for at in range(0, 48_000, 960):
            desk.card.hear(tone[at : at + 960, np.newaxis])
        got = np.concatenate(desk.heard)
        assert got.dtype == np.int16 and np.array_equal(got, resample(tone, 48_000, 16_000)[: len(got)])
        assert len(got) > 15_500
        microphone.close()

    @pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 44_100, 96_000, 192_000])
    def test_a_device_of_any_rate(self, desk, rate):
        desk.card.plugged["Webcam"] = MICROPHONE | {"default_samplerate": float(rate)}
        desk.card._initialize()
        microphone = desk.microphone()
        assert desk.card.streams[0].settings["samplerate"] == rate
        tone = np.rint(9_000 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)).astype(np.int16)
        for at in range(0, rate, rate // 50):
            desk.card.hear(tone[at : at + rate // 50, np.newaxis])
        got = np.concatenate(desk.heard)
        assert 15_200 < len(got) <= 16_000
        spectrum = np.abs(np.fft.rfft(got[:15_200] * np.hanning(15_200)))
        assert spectrum.argmax() * 16_000 / 15_200 == pytest.approx(440, abs=2)
        microphone.close()

    def test_a_device_that_wants_two_channels_gets_them(self, desk):
        desk.card.channels["Webcam"] = (2,)
        microphone = desk.microphone()
        assert desk.card.streams[0].settings["channels"] == 2
        microphone.close()

    def test_channels_are_averaged_and_copied(self):
        frames = np.array([[100, 300], [-5, -5]], np.int16)
        assert list(mono(frames)) == [200, -5]
        one = frames[:, :1]
        copy = mono(one)
        one[:] = 0
        assert list(copy) == [100, -5]

    def test_in_use_by_another_program(self, desk):
        desk.card.in_use.add("Webcam")
        with pytest.raises(DeviceFailed, match="The microphone Webcam can't be opened: Device unavailable"):
            desk.microphone()

    def test_none_there(self, desk):
        with pytest.raises(NoDevice):
            desk.microphone("Studio")


class TestUnplugging:
    def test_it_is_told_once_and_back_once(self, desk):
        microphone = desk.microphone()
        desk.pass_time(3, microphone)
        webcam = desk.card.plugged.pop("Webcam")
        desk.pass_time(2, microphone)
        assert desk.told == [DeviceLost("microphone", "Webcam")] and microphone.lost
        desk.pass_time(30, microphone)
        desk.card.plugged["Webcam"] = webcam
        before = len(desk.heard)
        desk.pass_time(8, microphone)
        assert desk.told[1:] == [DeviceBack("microphone", "Webcam")] and not microphone.lost
        assert len(desk.heard) > before
        microphone.close()

    def test_it_comes_back_by_name_though_its_number_has_changed(self, desk):
        microphone = desk.microphone("webcam")
        del desk.card.plugged["Webcam"]
        desk.card.plugged |= {"Headset": MICROPHONE}
        desk.pass_time(3, microphone)
        assert microphone.lost and not desk.card.streams
        desk.card.plugged |= {"Webcam": MICROPHONE}
        desk.pass_time(8, microphone)
        assert microphone.device.name == "Webcam" and microphone.device.index == 2 and not microphone.lost
        microphone.close()

    def test_where_none_was_named_the_usual_one_takes_over(self, desk):
        microphone = desk.microphone()
        del desk.card.plugged["Webcam"]
        desk.card.plugged |= {"Headset": MICROPHONE}
        desk.pass_time(8, microphone)
        assert desk.told == [DeviceLost("microphone", "Webcam"), DeviceBack("microphone", "Headset")]
        microphone.close()

    def test_a_stalled_stream_is_opened_again(self, desk):
        microphone = desk.microphone()
        desk.card.streams[0].running = False  # some sound servers do that at the start
        desk.pass_time(3, microphone)
        assert desk.told == [DeviceLost("microphone", "Webcam"), DeviceBack("microphone", "Webcam")]
        microphone.close()

    def test_a_stalled_one_is_cured_without_disturbing_the_other(self, desk):
        microphone, player = desk.microphone(), desk.player()
        playing = desk.card.streams[1]
        desk.card.streams[0].running = False
        desk.pass_time(3, microphone, player)
        assert not microphone.lost and playing in desk.card.streams
        microphone.close(), player.close()

    def test_looking_for_a_microphone_does_not_cut_the_coach_off(self, desk):
        microphone, player = desk.microphone(), desk.player()
        del desk.card.plugged["Webcam"]
        player.play(sentence(5.0))
        played = desk.pass_time(5, microphone, player)
        assert np.array_equal(played, sentence(5.0).samples)
        desk.card.plugged |= {"Webcam": MICROPHONE}
        desk.pass_time(8, microphone, player)
        assert [e for e in desk.told if isinstance(e, DeviceBack)] == [DeviceBack("microphone", "Webcam")]
        microphone.close(), player.close()

    def test_a_stream_that_cannot_be_ended_does_not_hold_up_the_coach(self, desk):
        """As PortAudio does when a sound server dies."""
        microphone, player = desk.microphone(), desk.player()
        desk.card.streams[0].running = False
        desk.card.hanging.add("Webcam")
        desk.pass_time(4, microphone, player)
        assert desk.told == [DeviceLost("microphone", "Webcam"), DeviceBack("microphone", "Webcam")]
        rescan()  # must not end PortAudio now
        player.play(sentence())
        assert np.array_equal(desk.pass_time(1, microphone, player), sentence().samples)
        desk.card.freed.set()
        microphone.close(), player.close()

    def test_closed_is_neither_lost_nor_reopened(self, desk):
        microphone = desk.microphone()
        microphone.close()
        microphone.close()
        desk.pass_time(10, microphone)
        rescan()
        assert desk.told == [] and desk.card.streams == []


class TestPlayer:
    def test_the_sentence_and_nothing_else(self, desk):
        player = desk.player()
        assert player.play(sentence()) == 1
        assert player.speaking
        played = desk.pass_time(2, player)
        assert np.array_equal(played[:48_000], sentence().samples) and not played[48_000:].any()
        assert desk.told == [Played(1, 1.0, 1.0), Quiet()] and not player.speaking
        player.close()

    def test_speaking_lasts_for_what_the_device_holds_back_and_the_tail(self, desk):
        desk.card.latency = 0.5
        player = desk.player()
        player.play(sentence(1.0))
        desk.pass_time(1.7, player)
        assert player.speaking  # 1.0 + 0.5 + 0.3
        desk.pass_time(0.2, player)
        assert not player.speaking
        player.close()

    def test_other_rates_are_resampled(self, desk):
        player = desk.player()
        player.play(sentence(1.0, 22_050))
        played = desk.pass_time(1, player)
        assert np.array_equal(played, resample(sentence(1.0, 22_050).samples, 22_050, 48_000))
        player.close()

    def test_stop_is_silent_from_the_next_block(self, desk):
        player = desk.player()
        player.play(sentence(5.0)), player.play(sentence(1.0))
        desk.pass_time(1, player)
        player.stop()
        assert not desk.pass_time(1, player)[240:].any()  # 5 ms
        assert desk.told == [Played(1, 1.0, 5.0), Played(2, 0.0, 1.0), Quiet()]
        assert desk.card.streams[0].aborted == 0
        player.close()

    def test_a_slow_device_is_cut_off(self, desk):
        desk.card.latency = 0.45
        player = desk.player()
        player.play(sentence(5.0))
        desk.pass_time(1, player)
        player.stop()
        assert desk.card.streams[0].aborted == 1 and desk.card.streams[0].running
        player.play(sentence(0.5))
        assert np.count_nonzero(desk.pass_time(1, player)) >= 24_000
        player.close()

    def test_volume_is_heard_at_once_and_kept_between_nothing_and_all(self, desk):
        player = desk.player()
        player.play(Speech(np.full(96_000, 8_000, np.int16), 48_000))
        player.volume = 0.25
        assert set(desk.pass_time(1, player)) == {2_000}
        player.volume = 7
        assert player.volume == 1.0
        player.close()

    def test_unplugged_in_mid_sentence(self, desk):
        player = desk.player()
        player.play(sentence(5.0))
        desk.pass_time(1, player)
        desk_speaker = desk.card.plugged.pop("Desk")
        desk.pass_time(2, player)
        assert desk.told == [DeviceLost("loudspeaker", "Desk"), Played(1, 1.0, 5.0), Quiet(lost=True)]
        desk.told.clear()
        player.play(sentence(1.0))  # goes nowhere, and is over at once
        assert desk.told == [Played(2, 0.0, 1.0), Quiet(lost=True)] and not player.speaking
        desk.card.plugged["Desk"] = desk_speaker
        desk.pass_time(8, player)
        player.play(sentence(1.0))
        played = desk.pass_time(2, player)
        assert np.array_equal(played[:48_000], sentence(1.0).samples)
        assert desk.told[2:] == [DeviceBack("loudspeaker", "Desk"), Played(3, 1.0, 1.0), Quiet()]
        player.close()

    def test_another_loudspeaker_with_another_rate(self, desk):
        player = desk.player()
        del desk.card.plugged["Desk"]
        desk.card.plugged |= {"Headset": LOUDSPEAKER | {"default_samplerate": 16_000.0}}
        desk.pass_time(8, player)
        player.play(sentence(1.0, 16_000))
        assert np.array_equal(desk.pass_time(1, player), sentence(1.0, 16_000).samples)
        player.close()

    def test_both_are_reopened_when_one_is_looked_for(self, desk):
        microphone, player = desk.microphone(), desk.player()
        rescan()
        assert sorted(s.kind for s in desk.card.streams) == ["input", "output"]
        player.play(sentence())
        assert np.array_equal(desk.pass_time(1, microphone, player), sentence().samples)
        assert desk.heard
        microphone.close(), player.close()
