"""Which device is meant, and plain words for what is missing."""

from __future__ import annotations

import builtins
import sys

import pytest
from simulated_card import LOUDSPEAKER, MICROPHONE, SimulatedCard

from coach.sound.devices import Device, choose, devices, missing, sound_system
from coach.sound.errors import NoDevice, NoPortAudio


def device(index: int, name: str, inputs: int = 0, outputs: int = 0, default: bool = False) -> Device:
    return Device(index, name, "Host", inputs, outputs, 48_000, default and inputs > 0, default and outputs > 0)


DESK = (
    device(0, "Monitor", outputs=2),
    device(1, "Built-in", inputs=2, outputs=2, default=True),
    device(2, "Headset Pro", inputs=1),
    device(3, "Headset", inputs=1, outputs=2),
)


class TestChoosing:
    @pytest.mark.parametrize(
        "kind, name, chosen",
        [
            ("microphone", None, 1), ("loudspeaker", None, 1),
            ("loudspeaker", "monitor", 0), ("loudspeaker", "heads", 3),
            ("microphone", "HEADSET", 3), ("microphone", "pro", 2), ("microphone", "in", 1),
        ],
    )
    def test_by_name_or_the_usual_one(self, kind, name, chosen):
        assert choose(DESK, kind, name).index == chosen

    def test_without_a_usual_one_the_first(self):
        assert choose(DESK[2:], "microphone").index == 2

    def test_the_usual_one_first_among_several_that_fit(self):
        two = (device(0, "Mic A", inputs=1), device(1, "Mic B", inputs=1, default=True))
        assert choose(two, "microphone", "mic").index == 1

    def test_an_unknown_name_lists_what_is_there(self):
        with pytest.raises(NoDevice) as fault:
            choose(DESK, "microphone", "Studio")
        assert str(fault.value) == (
            "There is no microphone called Studio. There are: Built-in; Headset Pro; Headset."
        )

    @pytest.mark.parametrize("name, near", [
        ("hedset", "Headset"), ("headst pro", "Headset Pro"), ("build-in", "Built-in"), ("buoy", "")])
    def test_a_name_that_is_nearly_one_is_answered_with_it(self, name, near):
        with pytest.raises(NoDevice) as fault:
            choose(DESK, "microphone", name)
        assert fault.value.hint.startswith(f"Did you mean {near}? There are: " if near else "There are: ")

    def test_a_device_of_the_other_kind_is_none(self):
        with pytest.raises(NoDevice, match="no microphone called Monitor"):
            choose(DESK, "microphone", "Monitor")

    @pytest.mark.parametrize("kind", ["microphone", "loudspeaker"])
    def test_nothing_there(self, kind):
        with pytest.raises(NoDevice, match=f"There is no {kind}. Plug one in"):
            choose((), kind)


class TestMissing:
    def test_nothing_is_missing(self):
        assert missing(DESK) == ()

    def test_no_microphone(self):
        (sentence,) = missing(DESK[:1])
        assert sentence.startswith("There is no microphone.") and "keys work without" in sentence

    def test_no_loudspeaker(self):
        (sentence,) = missing(DESK[2:3])
        assert sentence.startswith("There is no loudspeaker.") and "printed" in sentence

    def test_no_device_at_all(self):
        assert len(missing(())) == 2

    @pytest.mark.parametrize("fault", [OSError("PortAudio library not found"), ImportError("no sounddevice")])
    def test_no_portaudio(self, monkeypatch, fault):
        importing = builtins.__import__

        def refusing(name, *others):
            if name == "sounddevice":
                raise fault
            return importing(name, *others)

        monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
        monkeypatch.setattr(builtins, "__import__", refusing)
        monkeypatch.setattr(sys, "platform", "linux")
        with pytest.raises(NoPortAudio):
            sound_system()
        (sentence,) = missing()
        assert "PortAudio is missing" in sentence and "sudo apt install libportaudio2" in sentence


class TestListing:
    def test_names_channels_rates_and_the_usual_ones(self, monkeypatch):
        card = SimulatedCard(Desk=LOUDSPEAKER, Webcam=MICROPHONE | {"default_samplerate": 44_100.0}, Headset=MICROPHONE)
        monkeypatch.setitem(sys.modules, "sounddevice", card)
        desk, webcam, headset = devices()
        assert (desk.name, desk.outputs, desk.default_out, desk.default_in) == ("Desk", 2, True, False)
        assert (webcam.name, webcam.inputs, webcam.rate, webcam.default_in) == ("Webcam", 2, 44_100, True)
        assert (headset.host, headset.default_in) == ("Simulated", False)

    def test_none_is_an_empty_list(self, monkeypatch):
        monkeypatch.setitem(sys.modules, "sounddevice", SimulatedCard())
        assert devices() == () and len(missing()) == 2

    def test_the_real_portaudio_lists_without_an_error_where_it_is_installed(self):
        try:
            sound_system()
        except NoPortAudio:
            pytest.skip("PortAudio is not installed here")
        assert all(d.inputs or d.outputs for d in devices())
