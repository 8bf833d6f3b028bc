"""AIFF files, which macOS's speech engine writes whatever name it is given: as much of the format as that takes.

Apple, "Audio Interchange File Format: AIFF", version 1.3 (1989), and "AIFF-C" (1991): big-endian chunks, of which COMM
has the form and SSND the samples.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np

from coach.sound.errors import RecordingError
from coach.sound.model import Speech
from coach.sound.resample import to_int16

_SAMPLES = {  # compression type and bits: how a sample is stored, and its full scale
    (b"NONE", 16): (">i2", 2**15),
    (b"NONE", 32): (">i4", 2**31),
    (b"sowt", 16): ("<i2", 2**15),
    (b"fl32", 32): (">f4", 1),
    (b"FL32", 32): (">f4", 1),
}


def is_aiff(path: Path) -> bool:
    """Whether a file begins like one. Raises OSError."""
    with path.open("rb") as file:
        head = file.read(12)
    return head[:4] == b"FORM" and head[8:] in (b"AIFF", b"AIFC")


def read_aiff(path: Path) -> Speech:
    """Its samples, channels averaged, at its own rate. Raises RecordingError."""
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise RecordingError(f"{path} can't be read: {fault.strerror}.") from None
    chunks = {}
    at = 12
    while at + 8 <= len(data):
        size = int.from_bytes(data[at + 4 : at + 8])
        chunks[data[at : at + 4]] = data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2
    form, sound = chunks.get(b"COMM", b""), chunks.get(b"SSND", b"")
    if len(form) < 18 or len(sound) < 8:
        raise RecordingError(f"{path} is cut off before its samples begin.")
    channels, frames, bits = struct.unpack(">hIh", form[:8])
    kind = _SAMPLES.get((form[18:22] or b"NONE", bits))
    rate = _extended(form[8:18])
    if kind is None or channels < 1 or rate < 1:
        raise RecordingError(f"{path} holds a kind of sound that can't be read.")
    start = 8 + int.from_bytes(sound[:4])
    there = sound[start : start + frames * channels * bits // 8]
    values = np.frombuffer(there[: len(there) - len(there) % (channels * bits // 8)], kind[0]).astype(np.float64)
    return Speech(to_int16(values.reshape(-1, channels).mean(axis=1) / kind[1]), rate)


def _extended(data: bytes) -> int:
    """A positive IEEE 754 80-bit number, as the sample rate is kept, as a whole one."""
    exponent, mantissa = struct.unpack(">HQ", data)
    shift = 16_383 + 63 - (exponent & 0x7FFF)
    return mantissa >> shift if 0 <= shift < 64 else 0
