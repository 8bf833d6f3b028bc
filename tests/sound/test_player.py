"""What takes the loudspeaker's place: a file, or nothing."""

from __future__ import annotations

import numpy as np
import pytest

from coach.sound.errors import RecordingError
from coach.sound.model import Speech
from coach.sound.mouth import EngineMouth
from coach.sound.playback import Played, Quiet
from coach.sound.player import FILE_RATE, FilePlayer, Player, SilentPlayer
from coach.sound.tones import tone
from coach.sound.wav import read_speech


def speech(size: int, value: int = 1_000, rate: int = FILE_RATE) -> Speech:
    return Speech(np.full(size, value, np.int16), rate)


class TestFilePlayer:
    def test_in_order_with_silence_between(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append, rate=1_000, gap=0.05)
        player.play(speech(30, 5, 1_000)), player.play(speech(20, 6, 1_000))
        player.close()
        assert list(read_speech(tmp_path / "said.wav").samples) == [5] * 30 + [0] * 50 + [6] * 20 + [0] * 50

    def test_it_tells_that_each_piece_is_over(self, tmp_path):
        told: list[object] = []
        player: Player = FilePlayer(tmp_path / "said.wav", told.append)
        assert [player.play(speech(FILE_RATE)), player.play(speech(0))] == [1, 2]
        assert told == [Played(1, 1.0, 1.0), Quiet(), Played(2, 0.0, 0.0), Quiet()] and not player.speaking
        player.close()

    def test_the_coachs_own_voice_and_tones_at_a_sane_length_and_loudness(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append)
        with EngineMouth("en-us") as mouth:
            sentences = [mouth.say("Round one: six single crochet."), mouth.say("Round two.")]
        for piece in (*sentences, tone("unsure")):
            player.play(piece)
        player.close()
        recorded = read_speech(tmp_path / "said.wav")
        wanted = sum(s.seconds for s in sentences) + tone("unsure").seconds + 3 * 0.5
        assert recorded.seconds == pytest.approx(wanted, abs=0.01) == player.seconds
        assert 0.02 < np.sqrt(np.mean((recorded.samples / 32_768) ** 2)) < 0.3

    def test_other_rates_are_resampled(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append, gap=0)
        player.play(speech(48_000, rate=48_000))
        assert player.seconds == pytest.approx(1.0)
        player.close()

    def test_volume(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append, gap=0)
        player.volume = 0.5
        player.play(speech(10))
        player.close()
        assert set(read_speech(tmp_path / "said.wav").samples) == {500}

    def test_time_can_pass(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append)
        player.silence(2.5)
        assert player.seconds == pytest.approx(2.5)
        player.stop(), player.look(), player.close()

    def test_what_is_said_is_on_disk_before_it_is_closed(self, tmp_path):
        player = FilePlayer(tmp_path / "said.wav", [].append, gap=0)
        player.play(speech(100))
        assert len(read_speech(tmp_path / "said.wav").samples) == 100
        player.close()

    def test_nowhere_to_write(self, tmp_path):
        with pytest.raises(RecordingError):
            FilePlayer(tmp_path / "no" / "said.wav", [].append)


def test_silence_takes_no_time():
    told: list[object] = []
    player: Player = SilentPlayer(told.append)
    assert player.play(speech(FILE_RATE)) == 1
    assert told == [Played(1, 1.0, 1.0), Quiet()] and not player.speaking
    player.stop(), player.look(), player.close()
