"""What macOS's speech engine writes. No Mac was at hand: files are built here, some by the standard library."""

from __future__ import annotations

import struct
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest

from coach.sound.aiff import is_aiff, read_aiff
from coach.sound.errors import RecordingError
from coach.sound.mouth import EngineMouth, read_rendered
from coach.sound.wav import write_wav

SAMPLES = np.array([0, 1, -1, 3_000, -3_000, 32_767, -32_768] * 20, np.int16)
# sample rates as the format keeps them: 80-bit floating-point numbers
RATES = {22_050: "400DAC44000000000000", 44_100: "400EAC44000000000000", 16_000: "400CFA00000000000000"}


def aiff(data: bytes, rate: int, bits: int = 16, channels: int = 1, kind: bytes = b"", before: bytes = b"") -> bytes:
    frames = len(data) * 8 // bits // channels
    form = struct.pack(">hIh", channels, frames, bits) + bytes.fromhex(RATES[rate]) + (kind and kind + b"\0\0")
    sound = bytes(8) + data
    body = before + b"COMM" + struct.pack(">I", len(form)) + form + b"SSND" + struct.pack(">I", len(sound)) + sound
    return b"FORM" + struct.pack(">I", len(body) + 4) + (b"AIFC" if kind else b"AIFF") + body


@pytest.fixture
def file(tmp_path) -> Path:
    return tmp_path / "speech.wav"


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(
    "kind, stored, bits",
    [
        (b"", SAMPLES.astype(">i2"), 16),
        (b"NONE", SAMPLES.astype(">i2"), 16),
        (b"sowt", SAMPLES.astype("<i2"), 16),
        (b"NONE", (SAMPLES.astype(np.int32) << 16).astype(">i4"), 32),
        (b"fl32", (SAMPLES / 32_768).astype(">f4"), 32),
    ],
    ids=["plain", "AIFC", "little-endian", "32 bit", "float"],
)
def test_every_kind_that_it_writes(file, rate, kind, stored, bits):
    file.write_bytes(aiff(stored.tobytes(), rate, bits, kind=kind))
    speech = read_aiff(file)
    assert is_aiff(file) and speech.rate == rate and np.array_equal(speech.samples, SAMPLES)


def test_stereo_is_averaged_and_other_chunks_are_passed_over(file):
    pairs = np.stack([SAMPLES // 2 * 2, np.zeros_like(SAMPLES)], axis=1).astype(">i2")
    file.write_bytes(aiff(pairs.tobytes(), 16_000, channels=2, before=b"NAME\0\0\0\3abc\0"))
    assert np.array_equal(read_aiff(file).samples, SAMPLES // 2)


@pytest.mark.skipif(sys.version_info >= (3, 13), reason="the standard library's aifc is gone")
def test_the_standard_librarys(file):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        import aifc
    with aifc.open(str(file), "wb") as writer:
        writer.aiff()
        writer.setnchannels(1), writer.setsampwidth(2), writer.setframerate(44_100)
        writer.writeframes(SAMPLES.astype(">i2").tobytes())
    assert read_aiff(file).rate == 44_100 and np.array_equal(read_aiff(file).samples, SAMPLES)


@pytest.mark.parametrize("length", [12, 20, 40, 50])
def test_cut_off(file, length):
    file.write_bytes(aiff(SAMPLES.astype(">i2").tobytes(), 22_050)[:length])
    with pytest.raises(RecordingError, match="cut off"):
        read_aiff(file)


def test_another_compression(file):
    file.write_bytes(aiff(SAMPLES.tobytes(), 22_050, kind=b"ulaw"))
    with pytest.raises(RecordingError, match="can't be read"):
        read_aiff(file)


def test_the_mouth_takes_what_its_engine_wrote(file):
    file.write_bytes(aiff(SAMPLES.astype(">i2").tobytes(), 22_050))
    assert np.array_equal(read_rendered(file).samples, SAMPLES)
    with EngineMouth("en-us") as mouth:
        speech = mouth.say("Next.")
    write_wav(file, speech)
    assert not is_aiff(file) and np.array_equal(read_rendered(file).samples, speech.samples)
