"""`coach listen [FILE.wav]`: what is heard, an utterance a line, and whether the coach would have done it."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

from coach.commands.stage import ear_for, phrasebook_for
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook
from coach.language.understand import grammar, understand

if TYPE_CHECKING:
    from coach.sound.model import Ear, Utterance

ROUNDS = 60  # numbers that are listened for, since no pattern says how many rounds there are
STITCHES = ("sc", "hdc", "dc", "tr", "slst", "ch", "inc", "sc2tog", "ring")
WAIT = 0.2  # seconds between two looks at the microphone


def run(args) -> int:
    phrasebook = phrasebook_for(args.language)
    ear = ear_for(args.ear, args.language, all_requests(phrasebook))
    try:
        for utterance in _recording(args.file, ear) if args.file else _microphone(ear):
            line = as_json(phrasebook, utterance)
            print(json.dumps(line, ensure_ascii=False) if args.json else as_text(line), flush=True)
    except KeyboardInterrupt:
        pass
    finally:
        ear.close()
    return 0


def all_requests(phrasebook: Phrasebook) -> Grammar:
    """What can be said while working and while paused: nobody knows here which of them it is."""
    working, paused = (grammar(phrasebook, situation, ROUNDS, STITCHES) for situation in ("working", "paused"))
    return Grammar(tuple(dict.fromkeys(working.phrases + paused.phrases)), working.numbers)


def as_json(phrasebook: Phrasebook, heard: Utterance) -> dict[str, object]:
    request = understand(phrasebook, heard.text)
    return {
        "start": round(heard.start, 2),
        "end": round(heard.end, 2),
        "text": heard.text,
        "confidence": heard.confidence,
        "request": request.name if request else None,
        "value": request.value if request else None,
        "acted": heard.sure and request is not None,
    }


def as_text(line: dict[str, object]) -> str:
    """`3.20 to 3.95: next step (0.52): next`."""
    score = "" if line["confidence"] is None else f" ({line['confidence']:.2f})"
    value = "" if line["value"] is None else f" {line['value']}"
    did = f"{line['request']}{value}" if line["acted"] else "not sure, nothing done"
    return f"{line['start']:.2f} to {line['end']:.2f}: {line['text']}{score}: {did}"


def _recording(path: str, ear: Ear) -> Iterator[Utterance]:
    from coach.sound.model import HEARING_RATE
    from coach.sound.wav import WavReader

    with WavReader(path) as reader:
        for samples in reader.blocks(HEARING_RATE):
            yield from ear.feed(samples)
        yield from ear.finish()


def _microphone(ear: Ear) -> Iterator[Utterance]:
    import queue

    from coach.sound.microphone import Microphone

    heard: queue.SimpleQueue = queue.SimpleQueue()
    microphone = Microphone(heard.put, lambda event: None)
    print("Listening. Ctrl-C ends.", file=sys.stderr, flush=True)
    try:
        while True:
            try:
                yield from ear.feed(heard.get(timeout=WAIT))
            except queue.Empty:
                microphone.look()
    finally:
        microphone.close()
