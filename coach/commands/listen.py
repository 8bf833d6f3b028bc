"""`coach listen [FILE.wav]`: what is heard, an utterance a line, and whether the coach would have done it.

It listens as a session does at its start: with `--pattern` to all that can be said about that pattern, without one to
all requests, with numbers and counts up to HIGHEST.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from coach.commands.called import as_typed
from coach.commands.check import load
from coach.commands.stage import ear_for, phrasebook_for
from coach.conversation import Conversation
from coach.events import Listen
from coach.guide.model import Request
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook
from coach.language.understand import grammar, understand
from coach.topics import Working

if TYPE_CHECKING:
    from coach.sound.model import Ear, Utterance

HIGHEST = 60  # of rounds and counts, where no pattern says how many there are
STITCHES = ("sc", "hdc", "dc", "tr", "slst", "ch", "inc", "sc2tog", "ring")
WAIT = 0.2  # seconds between two looks at the microphone

Understand = Callable[[str], "Request | None"]


def run(args) -> int:
    """Listen until the recording is over, or Ctrl-C. Raises Unreadable and SoundError."""
    phrasebook = phrasebook_for(args.language)
    wanted, meaning = of_pattern(args.pattern, phrasebook) if args.pattern else of_any(phrasebook)
    ear = ear_for(args.ear, args.language, wanted)
    if ear.fault:
        print(as_typed(ear.fault), file=sys.stderr, flush=True)
    try:
        for utterance in _recording(args.file, ear) if args.file else _microphone(ear, args.microphone):
            line = as_json(meaning, utterance)
            print(json.dumps(line, ensure_ascii=False) if args.json else as_text(line), flush=True)
    except KeyboardInterrupt:
        pass
    finally:
        ear.close()
    return 0


def of_pattern(name: str, phrasebook: Phrasebook) -> tuple[Grammar, Understand]:
    """What a session about a pattern listens for at its start, and what it means. Raises Unreadable."""
    topic = Working(load(name), phrasebook)
    (first,) = (action for action in Conversation(topic).begin() if isinstance(action, Listen))
    return first.grammar, lambda text: topic.understand(text, typed=False)


def of_any(phrasebook: Phrasebook) -> tuple[Grammar, Understand]:
    """What can be said while working and while paused: nobody knows here which of them it is, nor of what pattern."""
    working = grammar(phrasebook, "working", HIGHEST, STITCHES, highest_count=HIGHEST)
    paused = grammar(phrasebook, "paused")
    both = Grammar(tuple(dict.fromkeys(working.phrases + paused.phrases)), working.numbers, working.counts)
    return both, lambda text: understand(phrasebook, text)


def as_json(meaning: Understand, heard: Utterance) -> dict[str, object]:
    request = meaning(heard.text)
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


def _microphone(ear: Ear, name: str | None) -> Iterator[Utterance]:
    import queue

    from coach.sound.microphone import Microphone

    heard: queue.SimpleQueue = queue.SimpleQueue()
    microphone = Microphone(heard.put, lambda event: None, name or None)
    print("Listening. Ctrl-C ends.", file=sys.stderr, flush=True)
    try:
        while True:
            try:
                yield from ear.feed(heard.get(timeout=WAIT))
            except queue.Empty:
                microphone.look()
    finally:
        microphone.close()
