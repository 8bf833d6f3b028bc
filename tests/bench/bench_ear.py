"""How well the ear hears: `python tests/bench/bench_ear.py [--cores N] [--folds DIR] [--only PART ...] [--quick]`.

Parts: talk (that asks for nothing, also through a conversation in each way of listening), people (phrases, one word,
digits), voices (synthetic, those held back and those learned), noise (and rooms), music, coach (its own speaking), cost.
Recordings of people lie in ../shared/speech; without them their parts are left out, and it says so.

The committed model has learned from the recordings of people (not from the phrases). So people's words, digits and talk
are judged with models that have not: `--folds DIR` has fold0, fold1 and fold2, made as the committed one with the
training's `--without N` beside it. Without them these figures flatter, and it says so.

Thresholds are judged on talk that they were not set on: set so that one half of each recording has no wrong action,
counted on the other half, and the other way round. Figures are printed, nothing is asserted.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # a process for each core, and no more threads than that

import argparse  # noqa: E402
import csv  # noqa: E402
import pickle  # noqa: E402
import random  # noqa: E402
import subprocess  # noqa: E402
import sys  # noqa: E402
from collections import Counter, defaultdict  # noqa: E402
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402
from bench_hearing import acted  # noqa: E402
from ear_hearing import BOOK, KINDS, PIECE, REPOSITORY, SHIPPED, SPEECH, Heard, Job, grammars, hear_all, sound_of  # noqa: E402
from intervals import rate, share  # noqa: E402

from coach.attention import Way  # noqa: E402
from coach.sound import head  # noqa: E402
from coach.sound.training import recordings, texts, voices  # noqa: E402

ONE_WORD = ("yes", "no", "stop", "back")
NOISES = (None, ("pink", 20), ("pink", 10), ("pink", 5), ("babble", 20), ("babble", 10), ("babble", 5), ("room", 0.3), ("room", 0.6))
LEARNED_VOICES = ("m1", "m2", "m3", "m7", "f1", "f2", "f3", "f5", "klatt", "klatt2", "klatt3", "max")


# ---- what is heard


def people() -> list[dict]:
    """The rows of the manifest, those of the recordings that are here."""
    if not (SPEECH / "manifest.tsv").is_file():
        return []
    with open(SPEECH / "manifest.tsv", encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE))
    return [row | {"file": str(SPEECH / row["file"])} for row in rows if (SPEECH / row["file"]).is_file()]


def talk_jobs(rows: list[dict]) -> list[Job]:
    found = []
    for row in rows:
        if row["kind"] != "talk":
            continue
        fold = recordings.TALK_FOLD.get(Path(row["file"]).stem, 0)
        for number in range(round(float(row["seconds"]) / PIECE + 0.49)):
            sound = ("piece", row["file"], number)
            for what, scored in (("working", True), ("asking", True), ("open", False), ("attention", False)):
                found.append(Job("talk", "", sound, what, row["file"], fold, scored))
    return found


def people_jobs(rows: list[dict]) -> list[Job]:
    found = []
    for row in rows:
        clip, said, fold = ("clip", row["file"]), row["transcript"], recordings.fold_of(row["speaker"])
        whats = {"proxy": ("people",), "number": ("choosing",), "command": ("asking", "working"), "oov-word": ("working",)}
        for what in whats.get(row["kind"], ()):
            for scored in (False, True):
                found.append(
                    Job("people", said, clip, what, row["speaker"], -1 if row["kind"] == "proxy" else fold, scored)
                )
    return found


def voice_jobs() -> list[Job]:
    """Every phrase that can be said while working or when asked, in voices held back and voices learned."""
    dice = random.Random(77)
    held_back = [voice for voice in dict.fromkeys(voices.all_voices()) if voice.is_held_back]
    learned = [voices.Voice("espeak", name) for name in LEARNED_VOICES]
    spoken = {name: set(grammars()[name].spoken()) for name in ("working", "asking")}
    sayings, found = texts.Sayings(BOOK, dice), []
    for phrase in texts.phrases(BOOK):
        for voice in (*held_back, *learned):
            lines = [sayings.request(phrase).text for _ in range(12)]
            for what in ("working", "asking"):
                if fitting := [text for text in lines if text in spoken[what]]:
                    sound = ("voice", voice.engine, voice.name, fitting[0], dice.randrange(10**6))
                    found.append(Job("voices", fitting[0], sound, what, voice.speaker))
                    break
    return found


def recorded_jobs(folder: Path) -> list[Job]:
    """Recordings of a voice, NAME/phrase.ogg, that the model has not learned from."""
    spoken = set(grammars()["asking"].spoken())
    return [
        Job("voices", one.text, ("clip", str(one.file)), "asking", one.speaker)
        for one in recordings.own(folder)
        if one.text in spoken
    ]


def noise_jobs(rows: list[dict]) -> list[Job]:
    found = []
    phrases = [row for row in rows if row["kind"] == "proxy"][::3]
    words = [row for row in rows if row["kind"] == "command" and row["transcript"] in ONE_WORD]
    for spoil in NOISES:
        for row in phrases:
            found.append(Job(f"noise {spoil}", row["transcript"], ("clip", row["file"], spoil), "people", "phrases"))
        for row in words:
            fold = recordings.fold_of(row["speaker"])
            found.append(Job(f"noise {spoil}", row["transcript"], ("clip", row["file"], spoil), "asking", "one word", fold))
        dice = random.Random(5)
        for phrase in grammars()["working"].phrases[::4]:
            if "<" not in phrase:
                voice = voices.choose(True, dice)
                sound = ("voice", voice.engine, voice.name, phrase, dice.randrange(10**6), spoil)
                found.append(Job(f"noise {spoil}", phrase, sound, "working", "voices held back"))
    return found


def music_jobs(folder: Path | None) -> list[Job]:
    found = [Job("music", "", ("music", 1000 + n), "open", "made up") for n in range(60)]
    for file in sorted(folder.rglob("*.ogg")) if folder else ():
        import soundfile

        for number in range(max(1, int(soundfile.info(file).duration / PIECE))):
            found.append(Job("music", "", ("piece", str(file), number), "open", "of packages"))
    return found


def coach_jobs() -> list[Job]:
    return [Job("coach", "", ("coach", n, n + 20), "speaking") for n in range(0, 200, 20)]


# ---- what is told


def tell_talk(heard: list[Heard]) -> None:
    scored = {what: [h for h in heard if h.job.scored and h.job.grammar == what] for what in ("working", "asking")}
    hours = sum(h.seconds for h in scored["working"]) / 3600
    print(f"people's talk that asks for nothing, {hours * 60:.0f} minutes")
    for what, group in scored.items():
        for kind in KINDS[:3]:
            halves = halves_of(group, kind)
            ranked = sorted(halves[0] + halves[1], reverse=True)
            wrong = sum(sum(s > max(one, default=0) for s in other) for one, other in (halves, halves[::-1]))
            print(
                f"  {what}, {kind}: highest scores {[round(s, 2) for s in ranked[:6]]}; set for none on one half, "
                f"counted on the other, both ways: {wrong}, {rate(wrong, hours)}; "
                f"as set ({getattr(SHIPPED, kind)}): {sum(s >= getattr(SHIPPED, kind) for s in ranked)}"
            )
    for way in (Way.OPEN, Way.ATTENTION):
        for paused in (False, True):
            done: list[str] = []
            for h in heard:
                if not h.job.scored and h.job.grammar == way.value:
                    done += acted(list(h.utterances), way, paused)[0]
            name = f"{way.value}{', paused' if paused else ''}"
            print(f"  through a conversation, {name}: {len(done)} wrong actions {dict(Counter(done))}, {rate(len(done), hours)}")
    print("  key or pedal, not pressed: none, since nothing that is heard is acted on")


def halves_of(group: list[Heard], kind: str) -> tuple[list[float], list[float]]:
    """The scores of a kind in the first and the second half of each recording."""
    pieces = Counter(h.job.speaker for h in group)
    halves: tuple[list[float], list[float]] = [], []
    for h in group:
        second = h.job.sound[2] >= pieces[h.job.speaker] / 2
        halves[second].extend(one.score for one, _ in h.candidates if one.kind == kind and one.text)
    return halves


def tell_people(heard: list[Heard], talk: list[Heard]) -> None:
    acting, scored = ([h for h in heard if h.job.scored == wanted] for wanted in (False, True))
    phrases = [h for h in acting if h.job.grammar == "people"]
    print("people's phrases (over 50 speakers, none learned)")
    tell("  in all", phrases)
    for said in sorted({h.job.said for h in phrases}):
        tell(f"    {said}", [h for h in phrases if h.job.said == said])
    delays("  their delay", phrases)
    print("people's one word")
    words = [h for h in acting if h.job.said in ONE_WORD and h.job.grammar == ("asking" if h.job.said in ("yes", "no") else "working")]
    tell("  in all", words)
    for said in ONE_WORD:
        tell(f"    {said}", [h for h in words if h.job.said == said])
    delays("  their delay", words)
    others = [h for h in acting if h.job.grammar == "working" and asked(h) not in grammars()["working"].phrases]
    tell("  other words, acted on or not", others)
    digits = [h for h in acting if h.job.grammar == "choosing"]
    print("digits after a question")
    tell("  in all", digits)
    for speaker in ("gsc", "fsdd", "felix", "allison"):
        tell(f"    {speaker}", [h for h in digits if h.job.speaker.startswith(speaker)])
    delays("  their delay", digits)
    if talk:
        curve(scored, talk)


def asked(h: Heard) -> str:
    return h.job.said


def curve(scored: list[Heard], talk: list[Heard]) -> None:
    """How many are obeyed when so many wrong actions an hour are let through; read off the same talk."""
    print("obeyed at a rate of wrong actions on the talk (thresholds read off this talk)")
    hours = sum(h.seconds for h in talk if h.job.scored and h.job.grammar == "working") / 3600
    for what, kinds, group in (
        ("people", ("proposed",), [h for h in scored if h.job.grammar == "people"]),
        ("working", ("word",), [h for h in scored if h.job.grammar == "working" and h.job.said in ("stop", "back")]),
        ("asking", ("word",), [h for h in scored if h.job.grammar == "asking" and h.job.said in ONE_WORD]),
    ):
        source = [h for h in talk if h.job.scored and h.job.grammar == ("asking" if what == "asking" else "working")]
        ranked = sorted((one.score for h in source for one, _ in h.candidates if one.kind in kinds and one.text), reverse=True)
        line = []
        for per_hour in (12, 6, 3, 1):
            allowed = int(per_hour * hours)
            limit = ranked[allowed] + 1e-6 if allowed < len(ranked) else 0.0
            right = sum(h.score(*kinds) >= limit for h in group)
            line.append(f"{per_hour}/h {right / max(1, len(group)):.0%} (from {limit:.2f})")
        print(f"  {what}, {' and '.join(kinds)}, {len(group)} clips: " + ", ".join(line))


def tell_voices(heard: list[Heard]) -> None:
    held_back = [h for h in heard if h.job.speaker in voices.HELD_BACK or h.job.speaker.startswith("own")]
    learned = [h for h in heard if h not in held_back]
    for name, group in (("held back", held_back), ("learned", learned)):
        if not group:
            continue
        print(f"synthetic voices, {name}: {len({h.job.speaker for h in group})} voices, every phrase")
        tell("  in all", group)
        tell("    two words and more", [h for h in group if " " in h.job.said])
        tell("    one word", [h for h in group if " " not in h.job.said])
        for voice in sorted({h.job.speaker for h in group}):
            tell(f"    {voice}", [h for h in group if h.job.speaker == voice])
        delays("  their delay", group)
    print("what was not obeyed, in all voices (said: taken for, times; - is nothing)")
    mixed: dict[str, Counter] = defaultdict(Counter)
    for h in heard:
        if not h.is_obeyed:
            mixed[h.job.said][h.wrong[0] if h.wrong else "-"] += 1
    for said, taken in sorted(mixed.items(), key=lambda item: -item[1].total())[:40]:
        print(f"    {said}: {', '.join(f'{text} {times}' for text, times in taken.most_common(5))}")


def tell_noise(heard: list[Heard]) -> None:
    for kind in ("phrases", "one word", "voices held back"):
        print(f"in noise, {kind if kind.startswith('voices') else 'people, ' + kind}")
        for spoil in NOISES:
            name = "clean" if spoil is None else f"{spoil[0]} {spoil[1]} {'s' if spoil[0] == 'room' else 'dB'}"
            tell(f"  {name}", [h for h in heard if h.job.part == f"noise {spoil}" and h.job.speaker == kind])


def tell_wrong(name: str, heard: list[Heard]) -> None:
    if heard:
        hours = sum(h.seconds for h in heard) / 3600
        wrong = [text for h in heard for text in h.wrong]
        print(f"{name}, {hours * 60:.0f} minutes: {len(wrong)} wrong actions {dict(Counter(wrong))}, {rate(len(wrong), hours)}")


def tell(name: str, heard: list[Heard]) -> None:
    if heard:
        right, wrong = sum(h.is_obeyed for h in heard), sum(bool(h.wrong) for h in heard)
        print(
            f"{name}: {right} of {len(heard)} obeyed, {right / len(heard):.1%} {share(right, len(heard))}; "
            f"{wrong} taken for another, {wrong / len(heard):.1%}",
            flush=True,
        )


def delays(name: str, heard: list[Heard]) -> None:
    waited = sorted(
        at - h.speech_end
        for h in heard
        if h.is_obeyed
        for one, at in h.candidates
        if one.score >= getattr(SHIPPED, one.kind, 9) and any(u.sure and u.start == one.start and u.text == one.text for u in h.utterances)
    )
    if waited:
        print(f"{name} from the end of speech: p50 {waited[len(waited) // 2]:.2f} s, p95 {waited[int(0.95 * len(waited))]:.2f} s")


# ---- what it costs

_COST = """
import resource, sys, time
import numpy as np
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.listen import best_ear
samples = np.frombuffer(sys.stdin.buffer.read(), np.int16)
began = time.process_time()
ear = best_ear(grammar(load(), "working", 45, ("sc", "hdc", "dc"), highest_count=60))
loaded = time.process_time()
slowest = 0.0
for at in range(0, len(samples), 320):
    before = time.process_time()
    ear.feed(samples[at : at + 320])
    slowest = max(slowest, time.process_time() - before)
used = time.process_time() - loaded
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"cost of {ear.name}: real-time factor {used / (len(samples) / 16000):.3f} on one core, speech with pauses; "
      f"{peak:.0f} MB at most, Python and all; loaded in {loaded - began:.1f} s; longest 20 ms took {slowest * 1000:.0f} ms")
"""


def cost(rows: list[dict]) -> None:
    """In a process of its own, as a session has it, fed 20 ms at a time."""
    sounds = [("clip", row["file"]) for row in rows if row["kind"] == "proxy"][:40] or [("coach", 0, 20)]
    samples = np.concatenate([sound_of(sound) for sound in sounds])
    subprocess.run([sys.executable, "-c", _COST], input=samples.tobytes(), check=True, cwd=REPOSITORY)


def main() -> None:
    parts = ("talk", "people", "voices", "noise", "music", "coach", "cost")
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--model", type=Path, default=head.OWN_MODEL)
    parser.add_argument("--folds", type=Path)
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    parser.add_argument("--music", type=Path, help="a folder of .ogg files beside the made-up music")
    parser.add_argument("--recorded", type=Path, help="recordings of a voice held back, NAME/phrase.ogg")
    parser.add_argument("--quick", action="store_true", help="a small part of all, to try the bench")
    parser.add_argument("--keep", type=Path, help="keep all that was heard in this file, or tell of what is kept in it")
    parser.add_argument("--only", nargs="+", choices=parts, default=parts)
    options = parser.parse_args()
    rows = people()
    if not rows:
        print("No recordings of people in ../shared/speech: their parts are left out.")
    elif options.folds is None:
        print("No --folds: figures of people's words, digits and talk flatter, since the model has learned from them.")
    jobs = {
        "talk": talk_jobs(rows),
        "people": people_jobs(rows),
        "voices": voice_jobs() + (recorded_jobs(options.recorded) if options.recorded else []),
        "noise": noise_jobs(rows),
        "music": music_jobs(options.music),
        "coach": coach_jobs(),
    }
    wanted = [job for part in options.only if part in jobs for job in jobs[part]]
    if options.quick:
        wanted = wanted[::11]
    models = {-1: options.model} | {n: options.folds / f"fold{n}" for n in range(recordings.FOLDS) if options.folds}
    if options.keep and options.keep.is_file():
        heard = pickle.loads(options.keep.read_bytes())
    else:
        heard = hear_all(wanted, models, options.cores, options.keep) if wanted else []
    of = defaultdict(list)
    for h in heard:
        of[h.job.part.split()[0]].append(h)
    if of["talk"]:
        tell_talk(of["talk"])
    if of["people"]:
        tell_people(of["people"], of["talk"])
    if of["voices"]:
        tell_voices(of["voices"])
    if of["noise"]:
        tell_noise(of["noise"])
    for kind in ("made up", "of packages"):
        tell_wrong(f"music {kind}", [h for h in of["music"] if h.job.speaker == kind])
    tell_wrong("the coach's own speaking, as loud as a maker", of["coach"])
    if "cost" in options.only:
        cost(rows)


if __name__ == "__main__":
    main()
