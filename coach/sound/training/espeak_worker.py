"""espeak-ng in a process of its own (it is GPL): `python -m coach.sound.training.espeak_worker`.

One JSON object a line in: `{"text": "next step", "voice": "en-us+m3", "rate": 150, "pitch": 50, "range": 50}`. Out for
each: the number of samples as four bytes, little endian, then so many int16 samples at 22.05 kHz; 0 for what can't
be said.
"""

from __future__ import annotations

import ctypes
import json
import struct
import sys

RETRIEVE, UTF8, RATE, PITCH, RANGE = 1, 1, 1, 3, 4  # of espeak-ng's speak_lib.h


def main() -> None:
    import espeakng_loader

    engine = ctypes.CDLL(espeakng_loader.get_library_path())
    if engine.espeak_Initialize(RETRIEVE, 0, espeakng_loader.get_data_path().encode(), 0) <= 0:
        sys.exit("espeak-ng can't be started.")
    taken: list[bytes] = []

    @ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)
    def take(samples, count, _events):
        if samples and count > 0:
            taken.append(ctypes.string_at(samples, 2 * count))
        return 0

    engine.espeak_SetSynthCallback(take)
    for line in sys.stdin:
        order = json.loads(line)
        taken.clear()
        if engine.espeak_SetVoiceByName(order["voice"].encode()) == 0:
            for parameter, value in ((RATE, order["rate"]), (PITCH, order["pitch"]), (RANGE, order["range"])):
                engine.espeak_SetParameter(parameter, int(value), 0)
            text = order["text"].encode() + b"\0"
            engine.espeak_Synth(text, ctypes.c_size_t(len(text)), 0, 1, 0, UTF8, None, None)
            engine.espeak_Synchronize()
        sound = b"".join(taken)
        sys.stdout.buffer.write(struct.pack("<I", len(sound) // 2) + sound)
        sys.stdout.buffer.flush()


if __name__ == "__main__":
    main()
