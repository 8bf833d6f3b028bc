"""The gate on tones in noise, on speech, and on recordings with something odd about them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rendered_speech import VOICES, in_pieces, noise, session, silence

from coach.sound.gate import Gate, GateSettings, level
from coach.sound.model import HEARING_RATE


def tone(seconds: float, loud: float = 3000.0) -> np.ndarray:
    return (loud * np.sin(np.arange(round(seconds * HEARING_RATE)) * 0.3)).astype(np.int16)


def hear(*pieces: np.ndarray, settings: GateSettings = GateSettings()) -> list[tuple[float, float]]:
    gate = Gate(settings)
    samples = np.concatenate(pieces)
    return [(s.start, s.end) for s in gate.feed(samples) + gate.finish()]


def test_a_sound_is_cut_out_with_a_margin():
    [(start, end)] = hear(silence(1), tone(0.5), silence(1))
    assert start == pytest.approx(1 - 0.1, abs=0.08)
    assert end == pytest.approx(1.5 + 0.1, abs=0.08)
    assert start < 1 and end > 1.5


def test_two_sounds_are_two_segments_and_a_short_gap_is_none():
    assert len(hear(silence(1), tone(0.4), silence(0.5), tone(0.4), silence(1))) == 2
    assert len(hear(silence(1), tone(0.4), silence(0.2), tone(0.4), silence(1))) == 1


@pytest.mark.parametrize("pieces", [
    [silence(5)],
    [np.zeros(5 * HEARING_RATE, np.int16)],
    [noise(5, 300)],  # a fan all the time
    [np.zeros(0, np.int16)],
    [silence(1), tone(0.02), silence(1)],  # a click is too short
], ids=["a quiet room", "digital silence", "a fan", "nothing", "a click"])
def test_nothing_to_hear(pieces):
    assert hear(*pieces) == []


def test_a_segment_holds_the_samples_of_its_place():
    samples = np.concatenate([silence(1), tone(0.5), silence(1)])
    gate = Gate()
    [segment] = gate.feed(samples)
    assert np.array_equal(segment.samples, samples[segment.first : segment.first + len(segment.samples)])


def test_a_recording_that_begins_with_the_word():
    [(start, end)] = hear(tone(0.4), silence(1))
    assert start == 0 and 0.4 < end < 0.65


def test_a_recording_that_ends_with_the_word():
    [(start, end)] = hear(silence(1), tone(0.505))
    assert end >= 1.505


def test_a_recording_shorter_than_the_start():
    assert len(hear(silence(0.1), tone(0.2), silence(0.1))) == 1


def test_what_lasts_too_long_is_told_once_and_passes_by():
    gate = Gate()
    found = gate.feed(np.concatenate([silence(1), tone(7), silence(1), tone(0.5), silence(1)]))
    assert [s.too_long for s in found] == [True, False]
    assert found[0].end - found[0].start <= 4.3
    assert found[1].start == pytest.approx(9, abs=0.2)


def test_a_fan_that_is_switched_on_is_got_used_to():
    fan = noise(14, 300)
    fan[8 * HEARING_RATE : round(8.5 * HEARING_RATE)] += tone(0.5)
    found = hear(silence(2), fan)
    assert any(9.8 < start < 10.1 and end < 10.8 for start, end in found)  # the word in it is heard
    assert all(start < 2.1 or 9.8 < start < 10.1 for start, _ in found)  # and the fan itself only where it began


def test_a_fan_as_loud_as_speech_is_too_long_and_then_the_floor():
    gate = Gate()
    assert [s.too_long for s in gate.feed(np.concatenate([silence(1), noise(8, 2000)])) + gate.finish()] == [True]


@pytest.mark.parametrize("loud", [30, 300, 1500])
def test_a_fan_that_runs_from_the_start_is_the_floor_at_once(loud):
    [(start, end)] = hear(noise(2, loud), noise(0.5, loud, seed=2) + tone(0.5, 4 * loud), noise(1, loud, seed=3))
    assert (start, end) == (pytest.approx(1.9, abs=0.08), pytest.approx(2.6, abs=0.08))


def coming_and_going(seconds: float, loud: float) -> np.ndarray:
    """As talk in the next room does, four times a second."""
    time = np.arange(round(seconds * HEARING_RATE)) / HEARING_RATE
    return (noise(seconds, loud) * (0.3 + np.abs(np.sin(2 * np.pi * 2 * time)))).astype(np.int16)


def test_in_a_room_that_comes_and_goes_a_sound_has_to_be_further_above_the_floor():
    room = coming_and_going(9, 200)
    room[7 * HEARING_RATE : round(7.5 * HEARING_RATE)] += tone(0.5, 3000)
    [(start, end)] = [(s, e) for s, e in hear(silence(1), room) if s > 5]
    assert (start, end) == (pytest.approx(7.9, abs=0.15), pytest.approx(8.6, abs=0.15))
    always = replace(GateSettings(), unrest=0.0)
    assert (7.9, 8.6) not in [(round(s, 1), round(e, 1)) for s, e in hear(silence(1), room, settings=always)]


def test_a_quiet_word_behind_loud_talk_is_a_sound_all_the_same():
    talk = np.concatenate([piece for _ in range(6) for piece in (tone(0.5, 9000), silence(0.35))])
    found = hear(silence(1), talk, silence(1), tone(0.4, 120), silence(1))
    assert found[-1][0] == pytest.approx(1 + 5.1 + 1 - 0.1, abs=0.1)


def test_the_floor_follows_the_room():
    gate = Gate()
    gate.feed(silence(5, 10))
    quiet = gate.floor
    gate.feed(noise(8, 200))
    assert gate.floor > quiet + 20  # 26 dB louder
    gate.feed(silence(8, 10))
    assert gate.floor == pytest.approx(quiet, abs=1)


def test_levels_are_decibels_below_full_scale():
    assert level(np.full(320, 20_000, np.int16)) < -90  # a constant is no sound
    assert level(tone(1, 32_767)) == pytest.approx(-3.01, abs=0.05)  # a full sine: 10 log10(1/2)
    assert level(tone(1, 3276.7)) == pytest.approx(-23.01, abs=0.1)
    assert level(np.zeros(0, np.int16)) < -90


@pytest.mark.parametrize("below", [30, 20])
@pytest.mark.parametrize("voice", VOICES[:2])
def test_requests_in_noise_are_cut_apart(voice, below):
    """Noise 20 and 30 dB below the voice."""
    texts = ("count so far", "undo that", "carry on")
    samples = session(*texts, voice=voice).astype(np.int32)
    voiced = np.sqrt(np.mean(samples[np.abs(samples) > 300].astype(float) ** 2))
    noisy = np.clip(samples + noise(len(samples) / HEARING_RATE, voiced / 10 ** (below / 20)), -32_767, 32_767)
    assert len(hear(noisy.astype(np.int16))) == len(texts)


@given(st.lists(st.integers(1, 5000), min_size=1, max_size=6))
@settings(max_examples=25, deadline=None)
def test_pieces_of_any_size_give_the_same_segments(sizes):
    samples = np.concatenate([silence(0.7), tone(0.4), silence(0.5), tone(0.3), silence(0.41)])
    pieces, whole = Gate(), Gate()
    expected = whole.feed(samples) + whole.finish()
    found = [s for piece in in_pieces(samples, sizes) for s in pieces.feed(piece)] + pieces.finish()
    assert [(s.first, s.too_long) for s in found] == [(s.first, s.too_long) for s in expected]
    assert all(np.array_equal(a.samples, b.samples) for a, b in zip(found, expected)) and len(found) == 2


@given(st.lists(st.tuples(st.floats(0.05, 1.5), st.floats(0.05, 1.0), st.floats(100, 20_000)), max_size=5))
@settings(max_examples=25, deadline=None)
def test_segments_never_overlap_and_stay_inside(parts):
    pieces = [piece for quiet, loud, high in parts for piece in (silence(quiet), tone(loud, high))]
    samples = np.concatenate([silence(0.6), *pieces])
    gate = Gate()
    found = gate.feed(samples) + gate.finish()
    ends = [0, *(s.first + len(s.samples) for s in found)]
    assert all(s.first >= end for s, end in zip(found, ends))
    assert ends[-1] <= len(samples) + 320  # a last frame may be filled up


def test_every_number_is_a_setting():
    slow = replace(GateSettings(), pause=1.0)
    assert len(hear(silence(1), tone(0.4), silence(0.6), tone(0.4), silence(2), settings=slow)) == 1
