"""What echo cancelling is worth: `python tests/bench/bench_echo.py [--seconds N] [--stops N] [--levels ...] [--both]`.

The coach reads instructions through a loudspeaker into a simulated room (reverberation 0.2 s); voices that are not its own
say "stop" and "stop talking" over it, every four seconds. The maker is as loud throughout; the coach comes back at 0, -6,
-12 and -20 dB of that; "distorting": at 0 dB, from a loudspeaker that flattens its peaks. Counted is what a session would have
done while it speaks: only "stop" and its name are acted on. With --both also without cancelling.
Figures are printed, nothing is asserted.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests" / "sound")]

from rendered_speech import silence, spoken  # noqa: E402

from coach import fabric, notation  # noqa: E402
from coach.attention import Attention, Way  # noqa: E402
from coach.guide.model import Request  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import understand  # noqa: E402
from coach.sound.echo import EchoCanceller  # noqa: E402
from coach.sound.listen import best_ear, hear_recording  # noqa: E402
from coach.sound.model import HEARING_RATE  # noqa: E402
from coach.topics import Working  # noqa: E402

BOOK = load()
VOICES = tuple(f"en-us+{voice}" for voice in "m1 f1 m3 f2 m7 f4 klatt3 edward".split())
SAID = ("stop", "stop talking")
EVERY, DELAY = 4.0, 0.12  # seconds
LEVEL = 3000.0  # root mean square of the maker's voice
# of the echo against the maker, in dB
RATIOS = {"even": 0, "6under": -6, "12under": -12, "20under": -20, "distorting": 0, "headset": None}


def at_level(samples: np.ndarray, level: float) -> np.ndarray:
    loud = samples[np.abs(samples) > 100].astype(float)
    return samples * (level / np.sqrt(np.mean(loud**2)))


def instructions(seconds: float) -> np.ndarray:
    """What the coach says one after the other while it is asked to go on."""
    topic = Working(fabric.work(notation.read((REPOSITORY / "patterns/seal.md").read_text("utf-8"))), BOOK)
    pieces, length = [], 0
    while length < seconds * HEARING_RATE:
        pieces += [spoken(topic.answer(Request("next")).said, "en-us", 175), silence(0.3, 0.0)]
        length += sum(map(len, pieces[-2:]))
    return at_level(np.concatenate(pieces)[: round(seconds * HEARING_RATE)], LEVEL)


def room(dry: np.ndarray, dice: np.random.Generator) -> np.ndarray:
    tail = dice.normal(size=3200) * np.exp(-6.9 * np.arange(3200) / 3200)
    tail[0] = 3.0
    wet = np.concatenate([np.zeros(round(DELAY * HEARING_RATE)), np.convolve(dry, tail)])[: len(dry)]
    return wet * np.sqrt(np.mean(dry**2) / np.mean(wet**2))


def makers(seconds: float) -> tuple[np.ndarray, list[float]]:
    """The maker alone, and when each "stop" ends."""
    said, ends = np.zeros(round(seconds * HEARING_RATE)), []
    for number, start in enumerate(np.arange(EVERY, seconds - EVERY, EVERY)):
        clip = at_level(spoken(SAID[number % 2], VOICES[number // 2 % len(VOICES)]), LEVEL)
        at = round(start * HEARING_RATE)
        said[at : at + len(clip)] += clip
        ends.append((at + len(clip)) / HEARING_RATE)
    return said, ends


def acted(samples: np.ndarray, topic: Working) -> list[float]:
    """When a session that is speaking would have acted."""
    ear = best_ear(Attention(Way.OPEN).grammar(topic.grammar(), topic.name), models={})
    sure = [u for u in hear_recording(samples, ear) if u.sure]
    ear.close()
    return [u.end for u in sure if u.text.startswith(topic.name)
            or (request := understand(BOOK, u.text)) and request.name == "stop"]


def cancelled(heard: np.ndarray, played: np.ndarray) -> np.ndarray:
    canceller, out = EchoCanceller(), []
    for at in range(0, len(heard), 320):
        canceller.played(played[at : at + 320], HEARING_RATE)
        out.append(canceller.feed(heard[at : at + 320]))
    return np.concatenate(out)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--seconds", type=float, default=600.0, help="of the coach's speech with nobody else")
    options.add_argument("--stops", type=float, default=150.0, help="seconds of it with stop said over it")
    options.add_argument("--levels", nargs="+", choices=RATIOS, default=tuple(RATIOS), help="of the echo")
    options.add_argument("--both", action="store_true", help="without cancelling too")
    args = options.parse_args()
    dice = np.random.default_rng(4)
    topic = Working(fabric.work(notation.read((REPOSITORY / "patterns/seal.md").read_text("utf-8"))), BOOK)
    played = instructions(max(args.seconds, args.stops))
    wet = {False: room(played, dice), True: room(at_level(9000 * np.tanh(played / 9000), LEVEL), dice)}
    maker, ends = makers(args.stops)
    far = np.rint(played).astype(np.int16)
    print(f"{len(ends)} times stop over {args.stops / 60:.1f} minutes; the coach alone for {args.seconds / 60:.1f}", flush=True)
    for level in args.levels:
        ratio = RATIOS[level]
        echo = wet[level == "distorting"] * (10 ** (ratio / 20) if ratio is not None else 0)
        for cancel in (False, True) if args.both else (True,):

            def hear(voice: np.ndarray) -> tuple[list[float], float]:
                beside = echo[: len(voice)] + dice.normal(0, 6, len(voice))
                mixed = np.clip(beside + voice, -32_768, 32_767).astype(np.int16)
                began = time.process_time()
                found = acted(cancelled(mixed, far[: len(mixed)]) if cancel else mixed, topic)
                return found, (time.process_time() - began) / len(voice) * HEARING_RATE

            over, _ = hear(maker)
            alone, cost = hear(np.zeros(round(args.seconds * HEARING_RATE)))
            right = [any(abs(at - end) < 0.8 for at in over) for end in ends]
            print(
                f"{level:>10}, {'cancelled' if cancel else 'nothing done':12}: stop {sum(right[::2])} of {len(right[::2])}, "
                f"stop talking {sum(right[1::2])} of {len(right[1::2])}; alone {len(alone)} actions; "
                f"{cost:.3f} of real time", flush=True,
            )


if __name__ == "__main__":
    main()
