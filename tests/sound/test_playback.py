"""The player's core: exactly the queued samples, in any blocks; stop; and when speaking is over."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.sound.playback import Playback, Played, Quiet, scaled

RATE = 1_000  # so that a sample is a millisecond


def piece(size: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).integers(1, 30_000, size).astype(np.int16)


def pull_all(playback: Playback, blocks: list[int]) -> tuple[np.ndarray, list[tuple[int, object]]]:
    """The samples of all blocks, and each event with the number of samples pulled by the end of its block."""
    samples, events, total = [np.zeros(0, np.int16)], [], 0
    for count in blocks:
        out, ended = playback.pull(count)
        assert len(out) == count and out.dtype == np.int16
        samples.append(out)
        total += count
        events += [(total, event) for event in ended]
    return np.concatenate(samples), events


blocks_of = st.lists(st.integers(0, 400), min_size=1, max_size=30)


class TestSamples:
    @given(sizes=st.lists(st.integers(0, 300), max_size=6), blocks=blocks_of)
    def test_any_blocks_play_exactly_what_was_queued_then_silence(self, sizes, blocks):
        playback = Playback(RATE)
        pieces = [piece(size, seed) for seed, size in enumerate(sizes)]
        assert [playback.queue(p) for p in pieces] == list(range(1, len(pieces) + 1))
        samples, _ = pull_all(playback, blocks)
        wanted = np.concatenate([*pieces, np.zeros(sum(blocks), np.int16)])[: sum(blocks)]
        assert np.array_equal(samples, wanted)

    @given(steps=st.lists(st.tuples(st.integers(0, 200), st.integers(0, 200)), max_size=12))
    def test_queued_while_playing_nothing_is_lost_or_changed(self, steps):
        playback = Playback(RATE)
        queued, got = [np.zeros(0, np.int16)], [np.zeros(0, np.int16)]
        for seed, (size, count) in enumerate(steps):
            queued.append(piece(size, seed))
            playback.queue(queued[-1])
            got.append(playback.pull(count)[0])
        got.append(playback.pull(3_000)[0])
        heard = np.concatenate(got)
        assert np.array_equal(heard[heard != 0], np.concatenate(queued))  # pieces have no zeros, silence only zeros

    def test_silence_before_anything(self):
        out, events = Playback(RATE).pull(50)
        assert not out.any() and events == []

    def test_what_is_left(self):
        playback = Playback(RATE)
        playback.queue(piece(300)), playback.queue(piece(200))
        playback.pull(100)
        assert playback.left == pytest.approx(0.4)


class TestSpeaking:
    def test_until_the_last_sample_and_the_tail(self):
        playback = Playback(RATE, tail=0.3)
        playback.queue(piece(100))
        assert playback.speaking
        assert playback.pull(99) [1] == []
        assert playback.pull(1)[1] == [Played(1, 0.1, 0.1)]
        assert playback.pull(299)[1] == [] and playback.speaking
        assert playback.pull(1)[1] == [Quiet()] and not playback.speaking
        assert playback.pull(1_000)[1] == []

    @given(sizes=st.lists(st.integers(0, 300), min_size=1, max_size=5), blocks=blocks_of, tail=st.integers(0, 300))
    def test_events_come_in_the_block_that_completes_them(self, sizes, blocks, tail):
        playback = Playback(RATE, tail / RATE)
        for seed, size in enumerate(sizes):
            playback.queue(piece(size, seed))
        _, events = pull_all(playback, blocks)
        ends = np.cumsum(sizes).tolist()
        for number, end in enumerate(ends, start=1):
            at = [total for total, event in events if isinstance(event, Played) and event.number == number]
            reached = [t for t in np.cumsum(blocks).tolist() if t >= end]
            assert at == reached[:1]
        over = [total for total, event in events if isinstance(event, Quiet)]
        assert len(over) <= 1
        if over:
            assert over[0] >= ends[-1] + tail and not playback.speaking
        elif sum(blocks) > ends[-1] + tail:
            pytest.fail("speaking never ended")

    def test_a_sentence_in_the_tail_goes_on_speaking(self):
        playback = Playback(RATE, tail=0.3)
        playback.queue(piece(100))
        playback.pull(200)
        playback.queue(piece(100))
        assert playback.pull(100)[1] == [Played(2, 0.1, 0.1)]
        assert playback.pull(300)[1] == [Quiet()]

    def test_a_sentence_without_samples_still_ends(self):
        playback = Playback(RATE, tail=0.1)
        playback.queue(piece(0))
        assert playback.pull(100)[1] == [Played(1, 0.0, 0.0), Quiet()]


class TestStop:
    @given(size=st.integers(1, 500), before=st.integers(0, 600), after=blocks_of)
    def test_nothing_is_heard_after_the_fade(self, size, before, after):
        playback = Playback(RATE)
        playback.queue(piece(size)), playback.queue(piece(400, 2))
        playback.pull(before)
        playback.stop()
        samples, events = pull_all(playback, after)
        assert not samples[4:].any()  # 4 ms of fade
        assert not [e for _, e in events if isinstance(e, Played)]

    def test_it_tells_how_far_each_piece_was_heard(self):
        playback = Playback(RATE)
        for size in (100, 100, 100):
            playback.queue(piece(size))
        assert playback.pull(140)[1] == [Played(1, 0.1, 0.1)]
        stopped = playback.stop()
        assert stopped == [Played(2, 0.04, 0.1), Played(3, 0.0, 0.1)]
        assert [event.whole for event in stopped] == [False, False]

    def test_the_fade_goes_down_to_nothing(self):
        playback = Playback(RATE)
        playback.queue(np.full(100, 10_000, np.int16))
        playback.pull(10)
        playback.stop()
        assert list(playback.pull(6)[0]) == [10_000, 6_667, 3_333, 0, 0, 0]

    def test_what_had_not_begun_has_no_fade(self):
        playback = Playback(RATE)
        playback.queue(np.full(100, 10_000, np.int16))
        playback.stop()
        assert not playback.pull(50)[0].any()

    def test_the_tail_still_counts_as_speaking(self):
        playback = Playback(RATE, tail=0.3)
        playback.queue(piece(500))
        playback.pull(100)
        playback.stop()
        assert playback.speaking
        assert playback.pull(299)[1] == [] and playback.pull(10)[1] == [Quiet()]

    def test_stopping_silence_is_nothing(self):
        playback = Playback(RATE)
        assert playback.stop() == [] and not playback.speaking

    def test_what_is_said_next_is_whole(self):
        playback = Playback(RATE)
        playback.queue(piece(500))
        playback.pull(100)
        playback.stop()
        playback.queue(piece(50, 3))
        out, events = playback.pull(100)
        assert np.array_equal(out[4:54], piece(50, 3)) and events == [Played(2, 0.05, 0.05)]


class TestLosing:
    def test_everything_ends_at_once_and_it_is_said_why(self):
        playback = Playback(RATE)
        playback.queue(piece(100)), playback.queue(piece(100))
        playback.pull(30)
        assert playback.lose() == [Played(1, 0.03, 0.1), Played(2, 0.0, 0.1), Quiet(lost=True)]
        assert not playback.speaking and playback.pull(500)[1] == []

    def test_in_the_tail(self):
        playback = Playback(RATE)
        playback.queue(piece(100))
        playback.pull(150)
        assert playback.lose() == [Quiet(lost=True)]

    def test_in_silence_there_is_nothing_to_lose(self):
        assert Playback(RATE).lose() == []


class TestVolume:
    def test_it_scales_what_comes_next(self):
        playback = Playback(RATE)
        playback.queue(np.full(100, 8_000, np.int16))
        playback.pull(10)
        playback.volume = 0.5
        assert set(playback.pull(50)[0]) == {4_000}
        playback.volume = 0.0
        assert set(playback.pull(40)[0]) == {0}

    def test_full_volume_changes_nothing(self):
        samples = piece(10)
        assert scaled(samples, 1.0) is samples
