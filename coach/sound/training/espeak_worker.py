"""espeak-ng in a process of its own (it is GPL): `python -m coach.sound.training.espeak_worker`.

One JSON object a line in: `{"text": "next step", "voice": "en-us+m3", "rate": 150, "pitch": 50, "range": 50}`. Out for
each: the number of samples as four bytes, little endian, then so many int16 samples at 22.05 kHz; 0 for what can't
be said. With `"phonemes": true` its sounds in IPA, as UTF-16, in place of the samples.
"""

from __future__ import annotations

import ctypes
import json
import struct
import sys

RETRIEVE, UTF8, RATE, PITCH, RANGE, IPA = 1, 1, 1, 3, 4, 2  # of espeak-ng's speak_lib.h


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
        known = engine.espeak_SetVoiceByName(order["voice"].encode()) == 0
        if known and order.get("phonemes"):
            taken.append(_phonemes(engine, order["text"]).encode("utf-16-le"))
        elif known:
            for parameter, value in ((RATE, order["rate"]), (PITCH, order["pitch"]), (RANGE, order["range"])):
                engine.espeak_SetParameter(parameter, int(value), 0)
            text = order["text"].encode() + b"\0"
            engine.espeak_Synth(text, ctypes.c_size_t(len(text)), 0, 1, 0, UTF8, None, None)
            engine.espeak_Synchronize()
        sound = b"".join(taken)
        sys.stdout.buffer.write(struct.pack("<I", len(sound) // 2) + sound)
        sys.stdout.buffer.flush()


def _phonemes(engine: ctypes.CDLL, text: str) -> str:
    engine.espeak_TextToPhonemes.restype = ctypes.c_char_p
    rest, found = ctypes.pointer(ctypes.c_char_p(text.encode())), []
    while rest.contents.value:
        found.append(engine.espeak_TextToPhonemes(rest, UTF8, IPA).decode())
    return " ".join(found)


if __name__ == "__main__":
    main()
