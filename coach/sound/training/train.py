"""Makes the coach's own ear: `python -m coach.sound.training.train`.

Renders requests and much else in every synthetic voice there is, adds recordings of people, spoils it all as rooms and
microphones do, and learns. On two cores it takes about an hour; its choices depend on the seed alone.

    --people DIR   recordings as in ../shared/speech (with its manifest)     --own DIR  a maker's own, NAME/phrase.wav
    --to DIR       where the model is written to                             --quick    a small one, to try the path
    --without N    leave out a third of the people (0, 1 or 2), to measure with

Needs the extra "training": pip install -e ".[training]".
"""

from __future__ import annotations

import argparse
import os
import pickle
import random
import time
from pathlib import Path

from coach.language.phrasebook import load
from coach.sound.head import Description, save
from coach.sound.training import dataset, recordings, texts, voices

REPOSITORY = Path(__file__).parents[3]


def main(arguments: list[str] | None = None) -> None:
    options = _options(arguments)
    began = time.monotonic()
    book = load("en")
    requests = texts.phrases(book)
    classes = (*requests, *texts.number_words(book))
    people = recordings.shared(options.people) if (options.people / "manifest.tsv").is_file() else []
    people += recordings.own(options.own) if options.own else []
    print(f"{len(classes)} classes, {len(voices.all_voices())} voices, {len(people)} recordings of people.", flush=True)
    times, copies = (3, 1) if options.quick else (options.times, options.copies)
    wanted = dataset.orders(
        texts.Sayings(book, random.Random(options.seed)),
        people,
        set(texts.words(book)),
        classes,
        times,
        copies,
        options.seed,
        options.own_copies,
    )
    if options.streams and options.streams.is_file():
        streams = pickle.loads(options.streams.read_bytes())
    else:
        streams = dataset.make(wanted, people, options.cores)
        if options.streams:
            part = options.streams.with_suffix(".part")
            part.write_bytes(pickle.dumps(streams))
            part.replace(options.streams)
    hours = sum(len(one.features) for one in streams) * 0.08 / 3600
    print(f"{len(streams)} streams, {hours:.1f} hours, {time.monotonic() - began:.0f} s.", flush=True)

    from coach.sound.training.learn import Vocabulary, learn

    vocabulary = Vocabulary.of(texts.words(book), classes)
    description = Description(
        tuple(vocabulary.words), classes, tuple(requests.get(phrase, f"number {phrase}") for phrase in classes)
    )
    mine = [
        one
        for one in streams
        if one.group != dataset.HELD_BACK and (options.without is None or one.fold != options.without)
    ]
    head = learn(
        mine,
        vocabulary,
        epochs=4 if options.quick else options.epochs,
        seed=options.seed,
        device=options.device,
        people_count=options.people_count,
        width=options.width,
    )
    save(options.to, head.weights(), description)
    print(
        f"{options.to}: {sum(p.numel() for p in head.parameters())} weights, {time.monotonic() - began:.0f} s.",
        flush=True,
    )


def _options(arguments: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--people", type=Path, default=REPOSITORY.parent / "shared" / "speech")
    parser.add_argument("--own", type=Path)
    parser.add_argument("--to", type=Path, default=REPOSITORY / "audio_models" / "ear")
    parser.add_argument("--streams", type=Path, help="keep the streams in this file, or learn from it")
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    parser.add_argument("--device", default="cpu", help="of torch")
    parser.add_argument("--times", type=int, default=20, help="how often each request is rendered")
    parser.add_argument("--copies", type=int, default=7, help="of each recording, differently spoiled")
    parser.add_argument("--own-copies", type=int, default=2, help="of each of a maker's own")
    parser.add_argument("--people-count", type=int, default=2, help="how often people are heard in an epoch")
    parser.add_argument("--epochs", type=int, default=26)
    parser.add_argument("--width", type=int, default=160, help="of the network")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--without", type=int, choices=range(recordings.FOLDS))
    return parser.parse_args(arguments)


if __name__ == "__main__":
    main()
