"""Who is obeyed, way by way: `python tests/bench/bench_hearing.py [--ear NAME] [--only PART ...] [--minutes N]`.

Parts: talk (wrong actions an hour, for each way of listening), people (recall per word), noise (babble and pink noise),
voices (synthetic voices x requests, and what was taken for what), coach (its own speech over a room).

Everything goes through a real conversation in virtual time, so an action is what a maker at home would have got. The
recordings of people lie in ../shared/speech; without them their parts are left out, and it says so. `--ear best` is the
ear that a maker gets; its model has learned from these people's talk, so its figures for talk flatter (see
bench_ear.py). Figures are printed, nothing is asserted.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections import Counter, defaultdict
from pathlib import Path

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests" / "sound")]

from rendered_speech import session, silence  # noqa: E402

from coach import fabric, notation  # noqa: E402
from coach.attention import Attention, Way  # noqa: E402
from coach.conversation import Conversation  # noqa: E402
from coach.events import Heard, Save, SpeechDone, TimePassed, Tone  # noqa: E402
from coach.language.model import Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar, understand  # noqa: E402
from coach.sound.listen import best_ear, hear_recording  # noqa: E402
from coach.sound.model import HEARING_RATE, Utterance  # noqa: E402
from coach.topics import Working  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"
BOOK = load()
SEAL = fabric.work(notation.read((REPOSITORY / "patterns" / "seal.md").read_text("utf-8")))
NAME = Working(SEAL, BOOK).name
WORKING = grammar(BOOK, "working", 45, ("sc", "hdc", "dc"))
VOICES = tuple(f"en-us+{voice}" for voice in ("m1 m2 m3 m5 m7 f1 f2 f3 f4 f5 edward klatt3".split()))
HELD_BACK = VOICES[2::3]  # no setting of ours was ever chosen with these
PROXIES = ("computer", "view glass", "smart mirror")  # people saying three syllables, as our phrases have


def people(kind: str, seconds: float = 1e9) -> list[tuple[str, np.ndarray]]:
    """(what was said, samples) of a kind; [] where there are no recordings."""
    import soundfile

    if not (SPEECH / "manifest.tsv").is_file():
        return []
    with open(SPEECH / "manifest.tsv", encoding="utf-8") as lines:
        rows = [r for r in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE) if r["kind"] == kind]
    return [(r["transcript"], soundfile.read(SPEECH / r["file"], dtype="int16", stop=int(min(seconds * HEARING_RATE, 2**31)))[0])
            for r in rows]


def acted(utterances: list[Utterance], way: Way, paused: bool = False) -> tuple[list[str], int]:
    """What a conversation would have done about all this, and how often its ears were opened. Its answers take no time, so
    that it never misses anything by speaking."""
    conversation = Conversation(Working(SEAL, BOOK), attention=Attention(way))
    conversation.begin()
    now, done, opened = 0.0, [], 0

    def hush(seconds: float) -> None:
        conversation.take(SpeechDone(conversation.number))
        conversation.take(TimePassed(seconds))

    hush(1.0)
    if paused:
        from coach.events import Typed

        conversation.take(Typed("pause"))
        hush(20.0)
    for heard in utterances:
        hush(max(0.0, heard.end - now))
        now = max(now, heard.end)
        actions = conversation.take(Heard(heard.text, heard.sure, heard.confidence, 0.0, heard.end - heard.start))
        done += [a.request.name for a in actions if isinstance(a, Save)]
        opened += Tone("heard") in actions
    return done, opened


def talk(ear, minutes: float) -> None:
    found = people("talk", minutes * 60 / 7 if minutes else 1e9)
    hours = sum(len(samples) for _, samples in found) / HEARING_RATE / 3600
    print(f"\ntalk that asks for nothing, {hours * 60:.0f} minutes")
    for way in (Way.OPEN, Way.ATTENTION):
        topic = Working(SEAL, BOOK)
        ear.listen_for(Attention(way).grammar(topic.grammar(), topic.name))
        heard = [hear_recording(samples, ear) for _, samples in found]
        for name, paused in ((way.value, False), (f"{way.value}, paused", True)):
            results = [acted(utterances, way, paused) for utterances in heard]
            done = Counter(name for names, _ in results for name in names)
            opened = sum(opened for _, opened in results)
            print(f"  {name:18} {sum(done.values()) / hours:5.1f} wrong actions an hour {dict(done)}, opened {opened} times")
    print("  key, not pressed     0.0 by construction: nothing that is heard is acted on")


def recall(ear, clips: list[tuple[str, np.ndarray]], what: Grammar) -> dict[str, tuple[int, int, int]]:
    """For each word: clips obeyed, taken for another, all."""
    ear.listen_for(what)
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    for said, samples in clips:
        sure = [u.text for u in hear_recording(samples, ear) if u.sure]
        counts[said][0] += said in sure
        counts[said][1] += any(text != said for text in sure)
        counts[said][2] += 1
    return {word: tuple(numbers) for word, numbers in counts.items()}


def show(counts: dict[str, tuple[int, int, int]]) -> None:
    for word, (right, wrong, all_) in [*sorted(counts.items()), ("in all", tuple(map(sum, zip(*counts.values()))))]:
        print(f"  {word:14} {right:3} of {all_:3} obeyed ({right / all_:4.0%}), {wrong} taken for another")


def people_heard(ear) -> None:
    print("\npeople, phrases of three syllables among the requests")
    show(recall(ear, people("proxy"), Grammar((*WORKING.phrases, *PROXIES), WORKING.numbers)))
    print("people, one word among the requests")
    clips = [(said, samples) for said, samples in people("command") if said in ("yes", "no", "stop", "back")]
    show(recall(ear, clips, Grammar((*WORKING.phrases, "yes", "no"), WORKING.numbers)))


def noise(ear) -> None:
    clips = people("proxy")[::6]
    talkers = [samples for _, samples in people("talk", 60)]
    dice = np.random.default_rng(4)
    print(f"\nnoise, {len(clips)} clips of people")
    for kind in ("babble", "pink"):
        for ratio in (20, 10, 5):
            noisy = [(said, mixed(samples, kind, ratio, dice, talkers)) for said, samples in clips]
            right = sum(r for r, *_ in recall(ear, noisy, Grammar((*WORKING.phrases, *PROXIES), WORKING.numbers)).values())
            print(f"  {kind:6} {ratio:2} dB  {right:3} of {len(clips)} obeyed ({right / len(clips):.0%})")


def mixed(samples: np.ndarray, kind: str, ratio: float, dice: np.random.Generator, talkers: list[np.ndarray]) -> np.ndarray:
    """Samples with a second of noise before and after, `ratio` dB below the clip's own power."""
    padded = np.concatenate([np.zeros(HEARING_RATE), samples.astype(float), np.zeros(HEARING_RATE)])
    if kind == "pink":
        spectrum = np.fft.rfft(dice.normal(size=len(padded)))
        beside = np.fft.irfft(spectrum / np.sqrt(np.maximum(1, np.arange(len(spectrum)))), len(padded))
    else:
        begin = [int(dice.integers(0, len(t) - len(padded))) for t in talkers if len(t) > len(padded)]
        beside = sum(t[b : b + len(padded)].astype(float) for t, b in zip((t for t in talkers if len(t) > len(padded)), begin))
    loud = np.sqrt(np.mean(samples.astype(float) ** 2) / np.mean(beside**2)) * 10 ** (-ratio / 20)
    return np.clip(padded + beside * loud, -32_768, 32_767).astype(np.int16)


def voices(ear) -> None:
    """Each request's longest phrase that can be said as it is: what a maker is advised to say."""
    wanted = {}
    for heard in BOOK.request:
        say = [p for p in heard.say if "<" not in p and p in WORKING.phrases]
        if say:
            wanted.setdefault((heard.name, heard.value), max(say, key=lambda p: len(p.split())))
    right, all_, mixed_up = Counter(), Counter(), Counter()
    ear.listen_for(WORKING)
    for voice in VOICES:
        group = "held back" if voice in HELD_BACK else "others"
        for asked, phrase in wanted.items():
            sure = [u.text for u in hear_recording(session(phrase, voice=voice), ear) if u.sure]
            requests = [understand(BOOK, text) for text in sure]
            hit = any(r and (r.name, r.value) == asked for r in requests)
            right[group] += hit
            all_[group] += 1
            if not hit:
                mixed_up[phrase, sure[0] if sure else "-"] += 1
    print(f"\nsynthetic voices x {len(wanted)} requests")
    for group in all_:
        print(f"  {group:9} {right[group]} of {all_[group]} right ({right[group] / all_[group]:.1%})")
    print("  not right (said, taken for, times; - is nothing):")
    for (said, taken), times in mixed_up.most_common(25):
        print(f"    {said} | {taken} | {times}")


def coach(ear) -> None:
    """The coach's own instructions as they come back from a room; nobody else speaks."""
    topic = Working(SEAL, BOOK)
    sentences = [topic.begin().said]
    while len(sentences) < 40:
        sentences.append(topic.answer(understand(BOOK, "next step")).said)
    dry = np.concatenate([np.concatenate([session(s, voice="en-us", rate=175), silence(0.3)]) for s in sentences]).astype(float)
    dice = np.random.default_rng(2)
    tail = dice.normal(size=3200) * np.exp(-6.9 * np.arange(3200) / 3200)  # T60 of 0.2 s
    tail[0] = 3.0
    wet = np.convolve(dry, tail)[: len(dry)]
    wet *= np.sqrt(np.mean(dry**2) / np.mean(wet**2))
    print(f"\nthe coach's own speech in a room, {len(dry) / HEARING_RATE / 60:.0f} minutes")
    for ratio in (0, -6, -12, -20):
        name = Attention(Way.ATTENTION).grammar(topic.grammar(), topic.name)
        ear.listen_for(name)
        sound = np.clip(wet * 10 ** (ratio / 20) + dice.normal(0, 6, len(wet)), -32_768, 32_767).astype(np.int16)
        sure = [u.text for u in hear_recording(sound, ear) if u.sure]
        heard = [t for t in sure if t.startswith(NAME) or (r := understand(BOOK, t)) and r.name == "stop"]
        print(f"  {ratio:3} dB: {len(heard)} actions {heard} (only its name and stop are heard then), of {len(sure)} phrases")


def main() -> None:
    parts = {"talk": talk, "people": people_heard, "noise": noise, "voices": voices, "coach": coach}
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--ear", default="pocketsphinx", help="pocketsphinx, vosk, or best")
    options.add_argument("--only", nargs="+", choices=parts, default=tuple(parts))
    options.add_argument("--minutes", type=float, default=0.0, help="of talk (0: all)")
    args = options.parse_args()
    ear = best_ear(WORKING, None if args.ear == "best" else args.ear)
    print(f"ear: {ear.name}; its name: {NAME}")
    for name in args.only:
        if name in ("talk", "people", "noise") and not people("talk", 1):
            print(f"\n{name}: left out, no recordings in ../shared/speech")
            continue
        parts[name](*((ear, args.minutes) if name == "talk" else (ear,)))


if __name__ == "__main__":
    main()
