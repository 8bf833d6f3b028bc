"""WAV files: any usual one is read as int16 mono, and one is written that is valid at every moment.

The standard library's `wave` can't read float samples nor the extensible format, and fixes its header only at the end.
"""

from __future__ import annotations

import os
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import BinaryIO

import numpy as np

from coach.sound.errors import RecordingError
from coach.sound.model import HEARING_RATE, Speech
from coach.sound.resample import Resampler, resample, to_int16

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE  # format codes (Microsoft's "mmreg.h", RFC 2361)
OPEN_ENDED = 0xFFFF_FFFF  # the length that a program writes which did not know it yet; also 0
SLOWEST_RATE, FASTEST_RATE = 1_000, 384_000  # samples a second that make sense for speech
BLOCK_FRAMES = 16_384
HEADER = struct.Struct("<4sI4s4sIHHIIHH4sI")

_SAVE_AS = "Save the recording as a WAV file and try again."


@dataclass(frozen=True, slots=True)
class Format:
    """How samples lie in a file. rate: frames a second; bits: of one sample."""

    code: int
    channels: int
    rate: int
    bits: int

    @property
    def frame_bytes(self) -> int:
        return self.channels * self.bits // 8


class WavReader:
    """A WAV file, read piece by piece: 8, 16, 24 or 32 bit or float, any channels (they are averaged), any rate."""

    def __init__(self, path: Path | str) -> None:
        """Raises RecordingError for a file that is missing, no WAV, empty, truncated, or of another kind."""
        self.path = Path(path)
        self._file = _open(self.path)
        try:
            self.format, self._at, self._bytes = _headers(self._file, self.path)
        except BaseException:
            self._file.close()
            raise

    @property
    def frames(self) -> int:
        return self._bytes // self.format.frame_bytes

    @property
    def seconds(self) -> float:
        return self.frames / self.format.rate

    def blocks(self, rate: int | None = None) -> Iterator[np.ndarray]:
        """All samples as int16 mono arrays of about half a second, at `rate` (None: the file's own)."""
        stream = Resampler(self.format.rate, rate or self.format.rate)
        self._file.seek(self._at)
        for start in range(0, self.frames, BLOCK_FRAMES):
            wanted = min(BLOCK_FRAMES, self.frames - start) * self.format.frame_bytes
            yield stream.feed(_mono(self._file.read(wanted), self.format))
        yield stream.finish()

    def samples(self, rate: int | None = None) -> np.ndarray:
        """All samples at once: int16 mono at `rate` (None: the file's own)."""
        return np.concatenate(list(self.blocks(rate)))

    def close(self) -> None:
        self._file.close()

    def __enter__(self) -> WavReader:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self.close()


def read_wav(path: Path | str, rate: int = HEARING_RATE) -> np.ndarray:
    """A recording as int16 mono samples at `rate`. Raises RecordingError."""
    with WavReader(path) as reader:
        return reader.samples(rate)


def read_speech(path: Path | str) -> Speech:
    """A recording at its own rate. Raises RecordingError."""
    with WavReader(path) as reader:
        return Speech(reader.samples(), reader.format.rate)


class WavWriter:
    """A 16-bit mono WAV file that grows. After each `write` the file on disk is whole and valid, even if the coach is
    killed the next moment (a power cut may still lose the end)."""

    def __init__(self, path: Path | str, rate: int) -> None:
        """Makes the file, or replaces the one that is there. rate: samples a second. Raises RecordingError."""
        self.path = Path(path)
        self.rate = rate
        self._bytes = 0
        try:
            self._file = open(self.path, "wb", buffering=0)
        except OSError as fault:
            raise _unwritable(self.path, fault) from None
        self._put(0, self._header())

    @property
    def seconds(self) -> float:
        """What has been written so far."""
        return self._bytes / 2 / self.rate

    def write(self, samples: np.ndarray) -> None:
        """Add int16 samples. Raises RecordingError, e.g. when the disk is full."""
        data = samples.astype("<i2").tobytes()
        self._put(HEADER.size + self._bytes, data)
        self._bytes += len(data)
        self._put(0, self._header())  # last, so that it never promises more than is there

    def close(self) -> None:
        self._file.close()

    def _put(self, at: int, data: bytes) -> None:
        try:
            self._file.seek(at)
            rest = memoryview(data)
            while rest:
                rest = rest[self._file.write(rest) :]
        except (OSError, ValueError) as fault:
            raise _unwritable(self.path, fault) from None

    def _header(self) -> bytes:
        size = min(self._bytes, OPEN_ENDED - HEADER.size)
        fmt = (b"fmt ", 16, PCM, 1, self.rate, self.rate * 2, 2, 16)
        return HEADER.pack(b"RIFF", size + HEADER.size - 8, b"WAVE", *fmt, b"data", size)

    def __enter__(self) -> WavWriter:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self.close()


def write_wav(path: Path | str, speech: Speech, rate: int | None = None) -> None:
    """Speech as a 16-bit mono file at `rate` (None: its own). Raises RecordingError."""
    with WavWriter(path, rate or speech.rate) as writer:
        writer.write(resample(speech.samples, speech.rate, writer.rate))


def _open(path: Path) -> BinaryIO:
    if path.is_dir():
        raise RecordingError(f"{path} is a folder, not a recording.", "Name a WAV file in it.")
    try:
        return open(path, "rb")
    except FileNotFoundError:
        raise RecordingError(f"There is no file {path}.", "Check its name and folder.") from None
    except (OSError, ValueError) as fault:
        raise RecordingError(f"{path} can't be read: {_reason(fault)}.") from None


def _headers(file: BinaryIO, path: Path) -> tuple[Format, int, int]:
    """The format, where the samples begin and how many bytes of them there are."""
    length = file.seek(0, os.SEEK_END)
    file.seek(0)
    if not length:
        raise RecordingError(f"{path} is empty.", "Record it again.")
    head = file.read(12)
    if head[:4] != b"RIFF" or head[8:] != b"WAVE":
        raise RecordingError(f"{path} is not a WAV file.", _SAVE_AS)
    form: Format | None = None
    while len(chunk := file.read(8)) == 8:
        name, size = chunk[:4], int.from_bytes(chunk[4:], "little")
        at = file.tell()
        if name == b"fmt ":
            form = _format(file.read(min(size, 40)), path)
        elif name == b"data" and form is not None:
            return form, at, _data_bytes(form, size, length - at, path)
        file.seek(at + size + size % 2)  # chunks begin at even places
    raise RecordingError(f"{path} is cut off before its samples begin.", "Record it again, or copy it again.")


def _format(chunk: bytes, path: Path) -> Format:
    if len(chunk) < 16:
        raise RecordingError(f"{path} is cut off before its samples begin.", "Record it again, or copy it again.")
    code, channels, rate, _, _, bits = struct.unpack("<HHIIHH", chunk[:16])
    if code == EXTENSIBLE and len(chunk) >= 26:
        code = int.from_bytes(chunk[24:26], "little")
    known = (code == PCM and bits in (8, 16, 24, 32)) or (code == FLOAT and bits in (32, 64))
    if not known or not channels or not SLOWEST_RATE <= rate <= FASTEST_RATE:
        raise RecordingError(f"{path} holds a kind of sound that can't be read.", "Save it as a 16-bit WAV file.")
    return Format(code, channels, rate, bits)


def _data_bytes(form: Format, promised: int, there: int, path: Path) -> int:
    open_ended = promised in (0, OPEN_ENDED)
    size = there if open_ended else promised
    if size > there:
        seconds, of = (n / form.frame_bytes / form.rate for n in (there, promised))
        raise RecordingError(
            f"{path} is cut off: {seconds:.1f} of its {of:.1f} seconds are there.", "Record it again, or copy it again."
        )
    if size < form.frame_bytes:
        raise RecordingError(f"{path} holds no sound.", "Record it again.")
    return size - size % form.frame_bytes


def _mono(data: bytes, form: Format) -> np.ndarray:
    """The frames in `data` as int16 samples, channels averaged."""
    if form.code == FLOAT:
        values = np.frombuffer(data, f"<f{form.bits // 8}").astype(np.float64)
        values = np.nan_to_num(values, nan=0.0, posinf=1.0, neginf=-1.0)
    elif form.bits == 8:
        values = (np.frombuffer(data, np.uint8).astype(np.float64) - 128) / 128
    elif form.bits == 24:
        low, mid, high = (np.frombuffer(data, np.uint8)[i::3].astype(np.int32) for i in range(3))
        values = (((high << 24 | mid << 16 | low << 8) >> 8) / 2**23).astype(np.float64)
    else:
        values = np.frombuffer(data, f"<i{form.bits // 8}").astype(np.float64) / 2 ** (form.bits - 1)
    return to_int16(values.reshape(-1, form.channels).mean(axis=1))


def _unwritable(path: Path, fault: Exception) -> RecordingError:
    return RecordingError(f"{path} can't be written: {_reason(fault)}.", "Choose another folder, or make room.")


def _reason(fault: Exception) -> str:
    return (getattr(fault, "strerror", None) or str(fault)).lower()
