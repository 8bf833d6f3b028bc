"""How well the ear hears: `python tests/bench/bench_ear.py [--folds DIR] [--only PART ...]`.

Parts: people (phrases, one word, digits), talk, voices (synthetic, held back), noise, music, coach (its own speaking),
cost. Recordings of people lie in ../shared/speech; without them their parts are left out, and it says so.

The committed model has learned from the recordings of people (not from the phrases). So people's words, digits and
talk are
judged with models that have not: `--folds DIR` has fold0, fold1 and fold2, made with the training's `--without N`.
Without
them these figures flatter, and it says so. Every candidate is written down with its score; thresholds are set on the
first
half of each recording of talk and judged on the second. Figures are printed, nothing is asserted.
"""

from __future__ import annotations

import argparse
import csv
import random
import resource
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

REPOSITORY = Path(__file__).parents[2]
sys.path.insert(0, str(REPOSITORY))

from coach.language.model import NUMBER, Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar  # noqa: E402
from coach.sound import head  # noqa: E402
from coach.sound.model import HEARING_RATE  # noqa: E402
from coach.sound.pocketsphinx_ear import PocketsphinxEar  # noqa: E402
from coach.sound.training import augment, recordings, texts, voices  # noqa: E402
from coach.sound.verified_ear import Candidate, Thresholds, VerifiedEar  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"
BOOK = load()
WORKING = grammar(BOOK, "working", 45, ("sc", "hdc", "dc"))
ASKING = grammar(BOOK, "asking", 45, ("sc", "hdc", "dc"))  # with yes and no
CHOOSING = Grammar((NUMBER, "stop"), tuple(form for n in range(46) for form in BOOK.number.spoken(n)))
NEVER = Thresholds(9, 9, 9, 0)  # nothing is sure: every candidate is scored to its end
SHIPPED = Thresholds()
ONE_WORD = ("yes", "no", "stop", "back")


@dataclass(frozen=True)
class Heard:
    """A recording that was heard: what was said ("" for nothing meant), by whom, its seconds, candidates and when
    decided."""

    said: str
    speaker: str
    seconds: float
    candidates: list[tuple[Candidate, float]]

    def score(self, kind: str, text: str) -> float:
        return max((one.score for one, _ in self.candidates if one.kind == kind and one.text == text), default=0.0)

    def is_obeyed(self, limits: Thresholds) -> bool:
        return any(self.score(kind, self.said) >= getattr(limits, kind) for kind in ("proposed", "word", "number"))

    def wrong(self, limits: Thresholds) -> list[Candidate]:
        return [
            one
            for one, _ in self.candidates
            if one.text != self.said
            and one.kind in ("proposed", "word", "number")
            and one.score >= getattr(limits, one.kind)
        ]


class Bench:
    def __init__(self, model: Path, folds: Path | None) -> None:
        self.model = head.load(model)
        self.folds = [head.load(folds / f"fold{n}") for n in range(recordings.FOLDS)] if folds else None
        self.rows = []
        if (SPEECH / "manifest.tsv").is_file():
            with open(SPEECH / "manifest.tsv", encoding="utf-8") as lines:
                self.rows = list(csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE))
        self.talk_heard: list[Heard] = []

    def of(self, fold: int) -> head.Head:
        return self.folds[fold] if self.folds else self.model

    def hear(
        self, samples: np.ndarray, what: Grammar, model: head.Head, limits: Thresholds = NEVER, said="", speaker=""
    ) -> Heard:
        found: list[tuple[Candidate, float]] = []
        ear = VerifiedEar(PocketsphinxEar(), model, limits, judged=lambda one, at: found.append((one, at)))
        ear.listen_for(what)
        for at in range(0, len(samples), HEARING_RATE):
            ear.feed(samples[at : at + HEARING_RATE])
        ear.finish()
        return Heard(said, speaker, len(samples) / HEARING_RATE, found)

    def recording(self, row: dict) -> np.ndarray:
        import soundfile

        return soundfile.read(SPEECH / row["file"], dtype="int16")[0]

    def clips(self, kind: tuple[str, ...], what: Grammar, whole: bool = False) -> list[Heard]:
        """whole: with the committed model, which has not learned from these."""
        return [
            self.hear(
                padded(self.recording(row)),
                what,
                self.model if whole else self.of(recordings.fold_of(row["speaker"])),
                said=row["transcript"],
                speaker=row["speaker"],
            )
            for row in self.rows
            if row["kind"] in kind
        ]

    # ---- parts

    def talk(self) -> None:
        for row in self.rows:
            if row["kind"] == "talk":
                fold = recordings.TALK_FOLD.get(Path(row["file"]).stem, 0)
                self.talk_heard.append(self.hear(self.recording(row), ASKING, self.of(fold)))
        hours = sum(one.seconds for one in self.talk_heard) / 3600
        print(f"people's talk, {hours * 60:.0f} minutes:")
        for kind in ("proposed", "word"):
            first, second = self._scores(kind)
            print(f"  {kind}: highest scores {[round(s, 3) for s in sorted(first + second)[:-9:-1]]}")
            for rate in (6, 3, 1):
                limit = limit_for(first, rate * hours / 2)
                wrong = sum(score >= limit for score in second)
                print(
                    f"    set for {rate}/h on one half ({limit:.3f}): the other half has "
                    f"{wrong / (hours / 2):.1f}/h{bounds(wrong, hours / 2)}"
                )
        wrong = sum(len(one.wrong(SHIPPED)) for one in self.talk_heard)
        print(f"  with the thresholds as they are: {wrong} wrong actions, {wrong / hours:.1f}/h{bounds(wrong, hours)}")

    def _scores(self, kind: str) -> tuple[list[float], list[float]]:
        halves: tuple[list[float], list[float]] = [], []
        for one in self.talk_heard:
            for candidate, _ in one.candidates:
                if candidate.kind == kind:
                    halves[candidate.end > one.seconds / 2].append(candidate.score)
        return halves

    def people(self) -> None:
        proxies = self.clips(("proxy",), Grammar((*WORKING.phrases, *texts.FURTHER), WORKING.numbers), whole=True)
        tell("people's phrases (proxies, over 50 speakers, none learned)", proxies)
        delays(
            "  their delay",
            [
                self.hear(
                    padded(self.recording(row)),
                    Grammar((*WORKING.phrases, *texts.FURTHER), WORKING.numbers),
                    self.model,
                    SHIPPED,
                    row["transcript"],
                )
                for row in self.rows
                if row["kind"] == "proxy"
            ][:60],
        )
        clips = self.clips(("command", "oov-word"), ASKING)
        one_word = [one for one in clips if one.said in ONE_WORD]
        tell("people's one word (yes, no, stop, back)", one_word)
        for word in ONE_WORD:
            tell(f"    {word}", [one for one in one_word if one.said == word])
        tell(
            "people's other words: acted on",
            [one for one in clips if one.said not in ONE_WORD and one.said not in ASKING.phrases],
        )
        digits = self.clips(("number",), CHOOSING)
        for speaker in ("gsc", "fsdd", "felix", "allison"):
            tell(f"digits after a question, {speaker}", [one for one in digits if one.speaker.startswith(speaker)])

    def voices(self) -> None:
        dice, renderer = random.Random(77), voices.Renderer()
        sayings, spoken = texts.Sayings(BOOK, dice), set(ASKING.spoken())
        found = []
        for phrase in texts.phrases(BOOK):
            lines = [line for line in (sayings.request(phrase) for _ in range(12)) if line.text in spoken][:2]
            for line in lines:
                voice = voices.choose(True, dice)
                samples = renderer.say(line.text, voice, dice.randrange(10**6))
                if len(samples):
                    clip = padded((samples * 8000).astype(np.int16))
                    found.append(self.hear(clip, ASKING, self.model, said=line.text, speaker=voice.speaker))
        tell("all requests, synthetic voices held back", found)
        for name, group in (("flite rms", True), ("espeak variants", False)):
            tell(f"    {name}", [one for one in found if (one.speaker == "flite rms") == group])
        tell("    two words and more", [one for one in found if " " in one.said])
        tell("    one word", [one for one in found if " " not in one.said])

    def noise(self) -> None:
        rows = [row for row in self.rows if row["kind"] == "proxy"][::4]
        talk = [
            self.recording(row).astype(float)
            for row in self.rows
            if row["kind"] == "talk" and "reading" not in row["file"]
        ]
        what = Grammar((*WORKING.phrases, *texts.FURTHER), WORKING.numbers)

        def spoiled(name: str, spoil) -> None:
            dice = np.random.RandomState(3)
            found = []
            for row in rows:
                clip = padded(self.recording(row), seconds=1.2).astype(float)
                found.append(
                    self.hear(
                        np.clip(spoil(clip, dice), -32_768, 32_767).astype(np.int16),
                        what,
                        self.model,
                        said=row["transcript"],
                    )
                )
            tell(f"people's phrases in {name}", found)

        for decibels in (20, 10):
            gain = 10 ** (-decibels / 20)
            spoiled(
                f"pink noise at {decibels} dB",
                lambda x, d, g=gain: x + augment.coloured(len(x), d) * g * np.sqrt(augment.speech_power(x)),
            )
            spoiled(
                f"babble at {decibels} dB",
                lambda x, d, g=gain: x + augment.babble(len(x), d, talk, 4) * g * np.sqrt(augment.speech_power(x)),
            )
        for seconds in (0.3, 0.6):
            spoiled(f"a room of {seconds} s", lambda x, d, s=seconds: augment.in_room(x, augment.room(d, s, 3.0)))

    def music(self, folder: Path | None) -> None:
        dice = np.random.RandomState(99)
        pieces = [
            ("made up", augment.music(60 * HEARING_RATE, dice) * 10 ** (dice.uniform(-35, -15) / 20) * 32_767)
            for _ in range(8)
        ]
        if folder:
            import soundfile

            for file in sorted(folder.rglob("*.ogg")):
                samples, rate = soundfile.read(file, dtype="float64", always_2d=True)
                from scipy.signal import resample_poly

                pieces.append(
                    (file.stem, resample_poly(samples.mean(1)[: 60 * rate], HEARING_RATE, rate) * 0.5 * 32_767)
                )
        heard = [
            (name, self.hear(np.clip(x, -32_768, 32_767).astype(np.int16), ASKING, self.model)) for name, x in pieces
        ]
        for label, group in (
            ("made up", [h for n, h in heard if n == "made up"]),
            ("of packages", [h for n, h in heard if n != "made up"]),
        ):
            if group:
                hours = sum(one.seconds for one in group) / 3600
                wrong = [one.text for h in group for one in h.wrong(SHIPPED)]
                print(
                    f"music {label}, {hours * 60:.0f} minutes: {len(wrong)} wrong actions {wrong}"
                    f"{bounds(len(wrong), hours)}"
                )

    def coach(self) -> None:
        """The coach's own voice, as loud as a maker's, while only what is listened for then can be heard."""
        renderer, dice = voices.Renderer(), random.Random(4)
        sayings = texts.Sayings(BOOK, dice)
        speech = [renderer.say(dice.choice(sayings._coach), voices.Voice("espeak", "f3"), n) for n in range(120)]
        samples = np.concatenate([padded((one * 8000).astype(np.int16), 0.3) for one in speech if len(one)])
        heard = self.hear(samples, grammar(BOOK, "speaking"), self.model)
        wrong = [one.text for one in heard.wrong(SHIPPED)]
        print(f"the coach's own speaking, {heard.seconds / 60:.0f} minutes: {len(wrong)} wrong actions {wrong}")

    def cost(self) -> None:
        before = resource.getrusage(resource.RUSAGE_SELF)
        samples = np.concatenate(
            [padded(self.recording(row)) for row in self.rows if row["kind"] == "proxy"][:40]
            or [np.random.default_rng(1).normal(0, 300, 60 * HEARING_RATE).astype(np.int16)]
        )
        self.hear(samples, WORKING, self.model, SHIPPED)
        after = resource.getrusage(resource.RUSAGE_SELF)
        seconds = len(samples) / HEARING_RATE
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        print(
            f"real-time factor {used / seconds:.3f} of speech with pauses; "
            f"{after.ru_maxrss / 1024:.0f} MB at most in this process, bench and all"
        )


def limit_for(scores: list[float], allowed: float) -> float:
    """The least threshold that lets so many through."""
    ranked = sorted(scores, reverse=True)
    return ranked[int(allowed)] + 1e-6 if int(allowed) < len(ranked) else 0.0


def bounds(count: int, hours: float) -> str:
    """What the true rate may be (95 %, Poisson)."""
    from scipy.stats import chi2

    low = chi2.ppf(0.025, 2 * count) / 2 if count else 0.0
    return f" ({low / hours:.1f} to {chi2.ppf(0.975, 2 * count + 2) / 2 / hours:.1f})"


def padded(samples: np.ndarray, seconds: float = 0.7) -> np.ndarray:
    quiet = np.random.default_rng(1).normal(0, 6, round(seconds * HEARING_RATE)).astype(np.int16)
    return np.concatenate([quiet, samples, quiet])


def tell(name: str, heard: list[Heard]) -> None:
    if heard:
        right = sum(one.is_obeyed(SHIPPED) for one in heard)
        wrong = sum(bool(one.wrong(SHIPPED)) for one in heard)
        proposed = sum(any(c.text == one.said for c, _ in one.candidates) for one in heard)
        print(
            f"{name}: {100 * right / len(heard):.0f} % obeyed, {100 * wrong / len(heard):.0f} % taken for another, "
            f"{100 * proposed / len(heard):.0f} % proposed, of {len(heard)}",
            flush=True,
        )


def delays(name: str, heard: list[Heard]) -> None:
    waited = sorted(
        at - one.end for h in heard for one, at in h.candidates if one.text == h.said and one.score >= SHIPPED.proposed
    )
    if waited:
        print(
            f"{name} from the end of speech: median {waited[len(waited) // 2]:.2f} s, "
            f"p95 {waited[int(0.95 * len(waited))]:.2f} s"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--model", type=Path, default=head.OWN_MODEL)
    parser.add_argument("--folds", type=Path)
    parser.add_argument("--music", type=Path, help="a folder of .ogg files beside the made-up music")
    parser.add_argument("--only", nargs="*", default=["talk", "people", "voices", "noise", "music", "coach", "cost"])
    options = parser.parse_args()
    bench = Bench(options.model, options.folds)
    if not bench.rows:
        print("No recordings of people in ../shared/speech: their parts are left out.")
    elif bench.folds is None:
        print("No --folds: figures of people's words, digits and talk flatter, since the model has learned from them.")
    for part in options.only:
        began = time.monotonic()
        getattr(bench, part)(*([options.music] if part == "music" else []))
        print(f"  [{part}: {time.monotonic() - began:.0f} s]", flush=True)


if __name__ == "__main__":
    main()
