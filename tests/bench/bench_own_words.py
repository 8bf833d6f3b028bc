"""Words that a maker teaches: `python tests/bench/bench_own_words.py [--quick]`.

Each word is taught with three examples and the ear is then the one that a maker gets. Printed are, with what they may truly
be: how many of a speaker's further sayings are heard as it (people's, from ../shared/speech, where one speaker has said a word
often enough; rendered voices everywhere), how many of the speakers' other words are taken for it, and the false alarms an hour
over all the talk in ../shared/speech, with all that was taught listened for at once, as the requests are.

Nothing is trained here, and the thresholds of `coach.sound.own_words` were set on other pairs of these people's words.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests" / "sound")]

import numpy as np  # noqa: E402
from intervals import rate, share  # noqa: E402
from rendered_speech import silence, spoken  # noqa: E402

from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar  # noqa: E402
from coach.sound.listen import best_ear, hear_recording  # noqa: E402
from coach.sound.model import HEARING_RATE  # noqa: E402
from coach.sound.own_words import EXAMPLES  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"
BOOK = load()
WORDS = ("hurry along", "onward", "wool on the needle", "marmalade", "again please", "seagull")
VOICES = ("en-us+m1", "en-us+f1", "en-us+m7", "en-us+f4", "en-us+klatt3")
PACES = (130, 150, 170, 140, 160, 145)  # three to teach with, three to ask with
PIECE = 60 * HEARING_RATE
MEANINGS = tuple(f"zzyzzx {letter}" for letter in "abcdefghijkl")
"""What the words mean: requests that the recogniser can't hear itself, so that only the word can be heard as one."""

Word = tuple[str, str, list[np.ndarray]]
"""Who says what, and the recordings of it."""


def rendered() -> list[Word]:
    return [(voice, word, [spoken(word, voice, pace) for pace in PACES]) for voice in VOICES for word in WORDS]


def people() -> list[Word]:
    """Those who have said one word more often than it takes to teach it."""
    import soundfile

    said = defaultdict(list)
    for row in rows():
        if row["kind"] in ("number", "command", "oov-word", "proxy") and row["speaker"] != "crowd":  # that is many
            said[row["speaker"], row["transcript"]].append(SPEECH / row["file"])
    often = [(who, what, files) for (who, what), files in said.items() if len(files) > EXAMPLES]
    return [(who, what, [soundfile.read(file, dtype="int16")[0] for file in files]) for who, what, files in often]


def rows() -> list[dict]:
    if not (SPEECH / "manifest.tsv").is_file():
        return []
    with open(SPEECH / "manifest.tsv", encoding="utf-8") as lines:
        return list(csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE))


def listen_for(ear, meanings: tuple[str, ...]) -> None:
    requests = grammar(BOOK, "working", 45, ("sc", "hdc", "dc"), highest_count=60)
    ear.listen_for(replace(requests, phrases=(*requests.phrases, *meanings)))


def heard(ear, samples: np.ndarray) -> list[str]:
    return [u.text for u in hear_recording(np.concatenate([silence(1.0), samples, silence(1.0, seed=2)]), ear) if u.sure]


def recall(ear, name: str, words: list[Word]) -> dict[str, list[np.ndarray]]:
    """Tell how one speaker after the other is heard; gives the examples of each word that could be taught."""
    right = asked = others = other = refused = 0
    taught, meaning = {}, MEANINGS[0]
    listen_for(ear, MEANINGS)
    for who in dict.fromkeys(who for who, *_ in words):
        theirs = [(what, sounds) for speaker, what, sounds in words if speaker == who]
        for what, sounds in theirs:
            if fault := learned(ear, meaning, sounds[:EXAMPLES]):
                refused += 1
                print(f"  {who}, {what}: not learned ({fault})", flush=True)
                continue
            taught[f"{what} of {who}"] = sounds[:EXAMPLES]
            right += sum(meaning in heard(ear, sound) for sound in sounds[EXAMPLES:])
            asked += len(sounds) - EXAMPLES
            for else_, sounds_of_it in theirs:
                if else_ != what:
                    others += meaning in heard(ear, sounds_of_it[-1])
                    other += 1
            ear.forget()
    print(f"{name}: {len(taught)} words taught, {refused} not learned")
    if asked:
        print(f"  said again: {right} of {asked} heard, {right / asked:.0%} {share(right, asked)}")
    if other:
        print(f"  the same speakers' other words: {others} of {other} taken for it, {others / other:.0%} {share(others, other)}")
    return taught


def learned(ear, meaning: str, sounds: list[np.ndarray]) -> str:
    from coach.sound.errors import EarError

    try:
        return ear.learn(meaning, sounds)
    except EarError as fault:
        return str(fault)


def false_alarms(ear, taught: dict[str, list[np.ndarray]], minutes: float) -> None:
    """Over all the talk, with a dozen of what was taught at once, or as many as may be: none that is like another."""
    import soundfile

    talk = [soundfile.read(SPEECH / row["file"], dtype="int16")[0] for row in rows() if row["kind"] == "talk"]
    if not talk:
        print("No recordings of people in ../shared/speech: nothing to tell of talk.")
        return
    listen_for(ear, MEANINGS)
    names: dict[str, str] = {}
    for name in list(taught)[:: max(1, len(taught) // 40)]:
        if len(names) < len(MEANINGS) and not learned(ear, MEANINGS[len(names)], taught[name]):
            names[MEANINGS[len(names)]] = name
    alarms, seconds = [], 0.0
    for samples in talk:
        samples = samples[: round(minutes * 60 * HEARING_RATE / len(talk))] if minutes else samples
        seconds += len(samples) / HEARING_RATE
        for at in range(0, len(samples), PIECE):
            alarms += [names[text] for text in heard(ear, samples[at : at + PIECE]) if text in names]
    print(f"false alarms of {len(names)} words at once over {seconds / 60:.0f} minutes of talk: {len(alarms)} {sorted(alarms)}, "
          f"{rate(len(alarms), seconds / 3600)}; a word {rate(len(alarms), seconds / 3600 * max(1, len(names)))}")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--quick", action="store_true", help="two voices, two words, and two minutes of talk")
    args = options.parse_args()
    voices = rendered()
    if args.quick:
        voices = [one for one in voices if one[0] in VOICES[:2] and one[1] in WORDS[:2]]
    ear = best_ear(models={})
    taught = recall(ear, "rendered voices", voices)
    if persons := people()[: 2 if args.quick else None]:
        taught |= recall(ear, "people", persons)
    false_alarms(ear, taught, 2.0 if args.quick else 0.0)


if __name__ == "__main__":
    main()
