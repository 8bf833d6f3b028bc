"""Recordings of every usual kind are read; one that is being written is whole at every moment."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import wave
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.sound.errors import RecordingError
from coach.sound.model import Speech
from coach.sound.wav import WavReader, WavWriter, read_speech, read_wav, write_wav

SAMPLES = np.array([0, 1, -1, 256, -256, 12_800, -12_800, 32_512, -32_768] * 40, np.int16)  # exact in 16 bits
COARSE = (SAMPLES // 256 * 256).astype(np.int16)  # exact in 8 bits


def wav(
    data: bytes, code: int, channels: int, rate: int, bits: int, before: bytes = b"", size: int | None = None
) -> bytes:
    """A WAV file as other programs write it. before: chunks before the samples; size: what it claims to hold."""
    block = channels * bits // 8
    if code == 0xFFFE:
        guid = struct.pack("<H", 1) + bytes.fromhex("000000001000800000AA00389B71")
        fmt = struct.pack("<HHIIHHHHI", code, channels, rate, rate * block, block, bits, 22, bits, 3) + guid
    else:
        fmt = struct.pack("<HHIIHH", code, channels, rate, rate * block, block, bits)
    size = len(data) if size is None else size
    body = b"WAVEfmt " + struct.pack("<I", len(fmt)) + fmt + before + b"data" + struct.pack("<I", size) + data
    return b"RIFF" + struct.pack("<I", len(body)) + body


def encoded(samples: np.ndarray, code: int, bits: int) -> bytes:
    if code == 3:
        return (samples / 32_768).astype(f"<f{bits // 8}").tobytes()
    if bits == 8:
        return (samples // 256 + 128).astype(np.uint8).tobytes()
    if bits == 24:
        return b"".join(int(s << 8).to_bytes(3, "little", signed=True) for s in samples.tolist())
    return (samples.astype(np.int64) << (bits - 16)).astype(f"<i{bits // 8}").tobytes()


KINDS = [(1, 8), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64), (0xFFFE, 16), (0xFFFE, 24)]


@pytest.fixture
def file(tmp_path) -> Path:
    return tmp_path / "words.wav"


class TestReading:
    @pytest.mark.parametrize("code, bits", KINDS)
    def test_every_kind_of_sample(self, file, code, bits):
        samples = COARSE if bits == 8 else SAMPLES
        file.write_bytes(wav(encoded(samples, code, bits), code, 1, 16_000, bits))
        assert np.array_equal(read_wav(file), samples)

    @pytest.mark.parametrize("code, bits", KINDS)
    def test_stereo_is_averaged(self, file, code, bits):
        pairs = np.stack([COARSE, np.zeros_like(COARSE)], axis=1).ravel()
        file.write_bytes(wav(encoded(pairs, code, bits), code, 2, 16_000, bits))
        assert np.abs(read_wav(file) - COARSE / 2).max() <= 0.5

    @pytest.mark.parametrize("rate", [8_000, 22_050, 44_100, 48_000])
    def test_every_rate_becomes_the_ears(self, file, rate):
        tone = np.rint(9_000 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)).astype(np.int16)
        file.write_bytes(wav(tone.tobytes(), 1, 1, rate, 16))
        heard = read_wav(file)
        assert len(heard) == 16_000
        wanted = 9_000 * np.sin(2 * np.pi * 440 * np.arange(16_000) / 16_000)
        assert np.abs(heard - wanted)[500:-500].max() < 150

    def test_its_own_rate_is_kept_where_it_is_played(self, file):
        file.write_bytes(wav(SAMPLES.tobytes(), 1, 1, 22_050, 16))
        speech = read_speech(file)
        assert speech.rate == 22_050 and np.array_equal(speech.samples, SAMPLES)

    def test_other_chunks_are_passed_over(self, file):
        note = b"LIST" + struct.pack("<I", 5) + b"INFO!" + b"\0"
        file.write_bytes(wav(SAMPLES.tobytes(), 1, 1, 16_000, 16, before=note) + note)
        assert np.array_equal(read_wav(file), SAMPLES)

    @pytest.mark.parametrize("size", [0, 0xFFFF_FFFF], ids=["none", "all ones"])
    def test_a_length_that_was_never_filled_in(self, file, size):
        file.write_bytes(wav(SAMPLES.tobytes(), 1, 1, 16_000, 16, size=size))
        assert np.array_equal(read_wav(file), SAMPLES)

    def test_half_a_frame_at_the_end_is_left_out(self, file):
        file.write_bytes(wav(SAMPLES.tobytes() + b"\1", 1, 1, 16_000, 16))
        assert np.array_equal(read_wav(file), SAMPLES)

    def test_not_numbers_and_overflow_in_float(self, file):
        data = np.array([np.nan, np.inf, -np.inf, 3.0, 0.5], "<f4").tobytes()
        file.write_bytes(wav(data, 3, 1, 16_000, 32))
        assert list(read_wav(file)) == [0, 32_767, -32_768, 32_767, 16_384]

    def test_in_blocks_it_is_the_same(self, file):
        long = np.random.default_rng(5).integers(-9_000, 9_000, 100_000).astype(np.int16)
        file.write_bytes(wav(long.tobytes(), 1, 1, 44_100, 16))
        with WavReader(file) as reader:
            blocks = list(reader.blocks(16_000))
            assert len(blocks) > 3 and reader.seconds == pytest.approx(100_000 / 44_100)
        assert np.array_equal(np.concatenate(blocks), read_wav(file))

    @settings(max_examples=30, deadline=None)
    @given(samples=st.lists(st.integers(-32_768, 32_767), min_size=1, max_size=3_000), rate=st.integers(1_000, 192_000))
    def test_what_is_written_is_read(self, tmp_path_factory, samples, rate):
        path = tmp_path_factory.mktemp("round") / "trip.wav"
        write_wav(path, Speech(np.array(samples, np.int16), rate))
        assert read_speech(path).rate == rate and list(read_speech(path).samples) == samples


class TestClearMessages:
    """Each names the file, and says what to do."""

    def fault(self, path: Path) -> str:
        with pytest.raises(RecordingError) as caught:
            read_wav(path)
        assert str(path) in str(caught.value) and caught.value.message.endswith(".")
        return str(caught.value)

    def test_missing(self, tmp_path):
        assert "There is no file" in self.fault(tmp_path / "gone.wav")

    def test_a_folder(self, tmp_path):
        assert "is a folder" in self.fault(tmp_path)

    def test_empty(self, file):
        file.write_bytes(b"")
        assert "is empty" in self.fault(file)

    @pytest.mark.parametrize("data", [b"x", b"ID3\4" + bytes(400), b"# A seal\n\nRnd 1: 6 sc", b"RIFF\0\0\0\0AVI LIST"])
    def test_no_wav(self, file, data):
        file.write_bytes(data)
        assert "not a WAV file" in self.fault(file) and "Save the recording as a WAV file" in self.fault(file)

    def test_cut_off_in_its_samples(self, file):
        whole = wav(np.zeros(32_000, np.int16).tobytes(), 1, 1, 16_000, 16)
        file.write_bytes(whole[: 44 + 24_000])
        assert "0.8 of its 2.0 seconds are there" in self.fault(file)

    @pytest.mark.parametrize("length", [12, 20, 30, 36, 43])
    def test_cut_off_in_its_header(self, file, length):
        file.write_bytes(wav(SAMPLES.tobytes(), 1, 1, 16_000, 16)[:length])
        assert "cut off" in self.fault(file)

    def test_no_sound_in_it(self, file):
        file.write_bytes(wav(b"", 1, 1, 16_000, 16))
        assert "holds no sound" in self.fault(file)

    @pytest.mark.parametrize(
        "code, channels, rate, bits",
        [(85, 1, 16_000, 16), (1, 0, 16_000, 16), (1, 1, 0, 16), (1, 1, 7, 16), (1, 1, 16_000, 12), (3, 1, 16_000, 16)],
    )
    def test_another_kind_of_sound(self, file, code, channels, rate, bits):
        file.write_bytes(wav(SAMPLES.tobytes(), code, channels, rate, bits))
        assert "Save it as a 16-bit WAV" in self.fault(file)

    @pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
    def test_not_allowed(self, file):
        file.write_bytes(b"RIFF")
        file.chmod(0)
        assert "can't be read" in self.fault(file)

    def test_a_name_that_no_file_can_have(self):
        with pytest.raises(RecordingError):
            read_wav("\0.wav")

    @settings(max_examples=150, deadline=None)
    @given(data=st.data())
    def test_a_damaged_file_is_sound_or_a_clear_error(self, tmp_path_factory, data):
        whole = bytearray(wav(SAMPLES.tobytes(), 1, 1, 16_000, 16))
        for _ in range(data.draw(st.integers(1, 4))):
            whole[data.draw(st.integers(0, 47))] = data.draw(st.integers(0, 255))
        path = tmp_path_factory.mktemp("damaged") / "words.wav"
        path.write_bytes(whole[: data.draw(st.integers(0, len(whole)))])
        try:
            assert read_wav(path).dtype == np.int16
        except RecordingError as fault:
            assert str(path) in str(fault)


class TestWriting:
    def test_it_can_be_read_after_each_piece(self, file):
        with WavWriter(file, 22_050) as writer:
            assert file.stat().st_size == 44
            for n in range(1, 5):
                writer.write(SAMPLES)
                assert np.array_equal(read_speech(file).samples, np.tile(SAMPLES, n))
                with wave.open(str(file)) as other:  # the standard library agrees
                    assert other.getparams()[:4] == (1, 2, 22_050, n * len(SAMPLES))
            assert writer.seconds == pytest.approx(4 * len(SAMPLES) / 22_050)

    def test_killed_while_writing_it_is_whole(self, file):
        """A process that is killed, not a power cut."""
        program = (
            "import sys, numpy as np\nfrom coach.sound.wav import WavWriter\n"
            "writer = WavWriter(sys.argv[1], 16_000)\nn = 0\n"
            "while True:\n    n += 1\n    writer.write(np.full(997, n % 9_000, np.int16))\n    print(n, flush=True)\n"
        )
        home = Path(__file__).parents[2]
        running = subprocess.Popen([sys.executable, "-c", program, str(file)], stdout=subprocess.PIPE, cwd=home)
        assert running.stdout is not None
        for _ in range(200):
            last = int(running.stdout.readline())
        running.kill()
        rest = running.stdout.read().split()
        running.wait()
        running.stdout.close()
        samples = read_speech(file).samples
        assert len(samples) >= 997 * int(rest[-1] if rest else last)
        assert np.array_equal(samples, np.repeat(np.arange(1, len(samples) // 997 + 1) % 9_000, 997)[: len(samples)])

    def test_an_older_recording_is_replaced(self, file):
        file.write_bytes(b"x" * 100_000)
        with WavWriter(file, 16_000) as writer:
            writer.write(SAMPLES)
        assert file.stat().st_size == 44 + 2 * len(SAMPLES)

    def test_no_such_folder(self, tmp_path):
        with pytest.raises(RecordingError, match="can't be written: no such file or directory"):
            WavWriter(tmp_path / "no" / "words.wav", 16_000)

    def test_onto_a_folder(self, tmp_path):
        with pytest.raises(RecordingError, match="can't be written"):
            WavWriter(tmp_path, 16_000)

    @pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
    def test_a_full_disk(self):
        with pytest.raises(RecordingError, match="no space left"):
            WavWriter("/dev/full", 16_000)

    def test_closed(self, file):
        writer = WavWriter(file, 16_000)
        writer.close()
        with pytest.raises(RecordingError):
            writer.write(SAMPLES)

    def test_at_another_rate(self, file):
        write_wav(file, Speech(np.zeros(22_050, np.int16), 22_050), 16_000)
        assert read_speech(file).rate == 16_000 and len(read_speech(file).samples) == 16_000
