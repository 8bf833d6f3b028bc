"""Speech as numbers: a frozen network's embedding of the last 0.8 seconds, every 80 ms.

The network is in the wheel pyopen-wakeword (Apache-2.0), which also brings what it runs on; its wake words are not
used.

    samples ─ 1760 at a time, 1280 on ─▶ 8 mel frames ─ the last 76 ─▶ 96 numbers
"""

from __future__ import annotations

import ctypes

import numpy as np

from coach.sound.errors import EarError

STEP = 1280
"""Samples from one embedding to the next: 80 ms at HEARING_RATE."""
SIZE = 96
MEL_SAMPLES, MEL_FRAMES, MELS = 1760, 76, 32
CHUNKS = MEL_FRAMES // 8 + 1  # of STEP samples that the first embedding takes
REACH = ((CHUNKS - 1) * STEP + MEL_SAMPLES) / 16_000
"""Seconds of sound that are needed for the first embedding."""
CENTRE = 0.775
"""Seconds from the start of the sound to the end of what embedding 0 is about."""


def frame_at(seconds: float) -> float:
    """The number (with a fraction) of the embedding whose sound ends at a time since the first sample."""
    return (seconds - CENTRE) / (STEP / 16_000)


def time_of(frame: float) -> float:
    """The seconds since the first sample at which the sound of an embedding ends."""
    return CENTRE + frame * STEP / 16_000


class EmbeddingModel:
    """The network. batch: embeddings computed at once."""

    def __init__(self, batch: int = 1) -> None:
        """Raises EarError when the package is missing or can't be loaded."""
        try:
            from pyopen_wakeword.openwakeword import OpenWakeWordFeatures

            self._network = OpenWakeWordFeatures.from_builtin()
        except (ImportError, OSError, AttributeError, ValueError) as fault:
            raise EarError(
                "The package pyopen-wakeword, which turns speech into numbers, can't be loaded.",
                f"Install it with: pip install pyopen-wakeword ({fault})",
            ) from None
        self._library, self._batch = self._network.lib, batch
        interpreter = self._network.emb_interpreter
        shape = (ctypes.c_int32 * 4)(batch, MEL_FRAMES, MELS, 1)
        self._library.TfLiteInterpreterResizeInputTensor(interpreter, ctypes.c_int32(0), shape, ctypes.c_int32(4))
        self._library.TfLiteInterpreterAllocateTensors(interpreter)
        self._input = self._library.TfLiteInterpreterGetInputTensor(interpreter, ctypes.c_int32(0))
        self._output = self._library.TfLiteInterpreterGetOutputTensor(interpreter, ctypes.c_int32(0))

    def mels(self, samples: np.ndarray) -> np.ndarray:
        """Eight mel frames of MEL_SAMPLES samples (as int16 values)."""
        network = self._network
        return (
            self._run(
                network.mel_interpreter, network.mel_input_tensor, network.mel_output_tensor, samples[np.newaxis]
            ).reshape(-1, MELS)
            / 10
            + 2
        )

    def embeddings(self, windows: np.ndarray) -> np.ndarray:
        """(n, MEL_FRAMES, MELS) mel frames as (n, SIZE) numbers."""
        found = []
        for at in range(0, len(windows), self._batch):
            part = windows[at : at + self._batch]
            batch = np.zeros((self._batch, MEL_FRAMES, MELS, 1), np.float32)
            batch[: len(part), ..., 0] = part
            result = self._run(self._network.emb_interpreter, self._input, self._output, batch)
            found.append(result.reshape(self._batch, SIZE)[: len(part)])
        return np.concatenate(found) if found else np.zeros((0, SIZE), np.float32)

    def of(self, samples: np.ndarray) -> np.ndarray:
        """(n, SIZE): all embeddings of a recording, as a stream of the same samples gives them."""
        chunks = [self.mels(samples[at : at + MEL_SAMPLES]) for at in range(0, len(samples) - MEL_SAMPLES + 1, STEP)]
        if len(chunks) < CHUNKS:
            return np.zeros((0, SIZE), np.float32)
        frames = np.concatenate(chunks)
        return self.embeddings(
            np.stack([frames[at : at + MEL_FRAMES] for at in range(0, len(frames) - MEL_FRAMES + 1, 8)])
        )

    def _run(self, interpreter, into, out, values: np.ndarray) -> np.ndarray:
        values = np.ascontiguousarray(values, dtype=np.float32)
        address = values.ctypes.data_as(ctypes.c_void_p)
        self._library.TfLiteTensorCopyFromBuffer(into, address, ctypes.c_size_t(values.nbytes))
        self._library.TfLiteInterpreterInvoke(interpreter)
        result = np.empty(self._library.TfLiteTensorByteSize(out) // 4, np.float32)
        self._library.TfLiteTensorCopyToBuffer(
            out, result.ctypes.data_as(ctypes.c_void_p), ctypes.c_size_t(result.nbytes)
        )
        return result

    def close(self) -> None:
        self._network.close()


class Embedding:
    """A stream of samples as a stream of embeddings: pieces of any size give the same."""

    def __init__(self, model: EmbeddingModel | None = None) -> None:
        """Raises EarError."""
        self._model = model or EmbeddingModel()
        self._rest = np.zeros(0, np.int16)
        self._mels = np.zeros((0, MELS), np.float32)

    def feed(self, samples: np.ndarray) -> np.ndarray:
        """The embeddings, (n, SIZE), that these samples complete."""
        self._rest = np.concatenate([self._rest, samples.astype(np.int16, copy=False)])
        found = []
        while len(self._rest) >= MEL_SAMPLES:
            self._mels = np.concatenate([self._mels, self._model.mels(self._rest[:MEL_SAMPLES])])
            self._rest = self._rest[STEP:]
            while len(self._mels) >= MEL_FRAMES:
                found.append(self._model.embeddings(self._mels[np.newaxis, :MEL_FRAMES]))
                self._mels = self._mels[8:]
        return np.concatenate(found) if found else np.zeros((0, SIZE), np.float32)
