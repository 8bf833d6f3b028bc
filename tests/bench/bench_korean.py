"""What Vosk hears of the Korean phrasebook: `python tests/bench/bench_korean.py [--voices NAME ...] [--pace N]`.

Each phrase that can be said while working (numbers, stitches and notes: a few) is said by the speech engine's Korean voices and
heard by the ear as a maker gets it, among all that can be said then. Printed are the phrases with what came of them in each
voice, how many were obeyed and how soon, and the wrong actions, of requests and of sentences that are no request. `--curve`
prints what BEHIND was chosen from. It needs the extra `korean`.

Synthetic Korean is a poor stand-in for people: figures tell what the tests can use, and nothing about makers.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests" / "sound")]

import numpy as np  # noqa: E402
from intervals import share  # noqa: E402
from rendered_speech import session  # noqa: E402

from coach import fabric, notation  # noqa: E402
from coach.guide.model import Request  # noqa: E402
from coach.language.model import Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import understand  # noqa: E402
from coach.sound.listen import best_ear  # noqa: E402
from coach.sound.model import HEARING_RATE, Utterance  # noqa: E402
from coach.sound.training.augment import spoken_range  # noqa: E402
from coach.sound.vosk_ear import BEHIND, SLOPE  # noqa: E402
from coach.topics import Working  # noqa: E402

BOOK = load("ko")
SLOTS = {"<number>": ("삼", "오", "십"), "<count>": ("세", "여섯", "열두", "스물네"), "<stitch>": ("짧은뜨기", "늘리기"),
         "<lesson>": ("줄이기",), "<words>": BOOK.notes[:2]}
TALK = """오늘 날씨가 참 좋네요 / 저녁은 뭐 먹을까 / 학교에 가야 해요 / 텔레비전 소리가 크다 / 전화 왔어요 / 커피 한 잔 주세요 /
어제 친구를 만났어요 / 강아지가 자고 있어요 / 비가 올 것 같아요 / 안녕하세요 / 고양이 / 바다에 가자 / 내일 시장에 갈 거야 / 배가 고파 /
문 좀 닫아 줘 / 그 책 재미있어 / 버스가 늦었어 / 아이들이 놀고 있네 / 감사합니다 / 사과 두 개 / 어서 오세요 / 빨간 자동차"""
FRAME = HEARING_RATE // 50


@dataclass(frozen=True)
class Said:
    """One phrase in one voice, what was heard of it, and how long after its end: seconds of sound, seconds of computing."""

    phrase: str
    voice: str
    heard: tuple[Utterance, ...]
    waited: float
    computed: float

    @property
    def sure(self) -> list[str]:
        return [u.text for u in self.heard if u.sure]

    @property
    def came_of_it(self) -> str:
        """"obeyed", the wrong action, "unsure" or "nothing"."""
        meant = understand(BOOK, self.phrase)
        wrong = [text for text in self.sure if meant is None or understand(BOOK, text) != meant]
        if wrong or self.sure:
            return ", ".join(wrong) or "obeyed"
        return "unsure" if self.heard else "nothing"


def phrases() -> list[str]:
    found = []
    for heard in BOOK.request:
        for phrase in heard.say:
            slot = next((slot for slot in SLOTS if slot in phrase), None)
            found += [phrase.replace(slot, words) for words in SLOTS[slot]] if slot else [phrase] if "<" not in phrase else []
    return found


def working() -> Grammar:
    pattern = notation.read((REPOSITORY / "patterns" / "buoy.md").read_text("utf-8"))
    topic = Working(fabric.work(pattern), BOOK)
    topic.begin()
    topic.answer(Request("go_round", 4))
    return topic.grammar()


def hear(ear, phrase: str, voice: str, pace: int) -> Said:
    samples = session(phrase, voice=voice, rate=pace, pause=0.8)
    end = spoken_range(samples.astype(float))[1]
    ear.restart()
    heard: list[Utterance] = []
    waited = computed = 0.0
    for at in range(0, len(samples), FRAME):
        began = time.perf_counter()
        found = ear.feed(samples[at : at + FRAME])
        if found and not heard:
            waited, computed = (at + FRAME - end) / HEARING_RATE, time.perf_counter() - began
        heard += found
    return Said(phrase, voice, (*heard, *ear.finish()), waited, computed)


def tell(said: list[Said]) -> None:
    for voice in dict.fromkeys(one.voice for one in said):
        tell_all(voice, [one for one in said if one.voice == voice])
    tell_all("all voices", said)


def tell_all(name: str, said: list[Said]) -> None:
    came = Counter(one.came_of_it for one in said)
    obeyed, no = came["obeyed"], came["unsure"] + came["nothing"]
    print(f"{name}: {obeyed} of {len(said)} obeyed, {obeyed / len(said):.0%} {share(obeyed, len(said))}; "
          f"{len(said) - obeyed - no} taken for another, {came['unsure']} unsure, {came['nothing']} not heard")
    done = [one for one in said if one.came_of_it == "obeyed"]
    if done:
        waits, costs = ([float(np.quantile([getattr(one, what) for one in done], q)) for q in (0.5, 0.95)]
                        for what in ("waited", "computed"))
        print(f"  from the end of speech: p50 {waits[0]:.2f} s, p95 {waits[1]:.2f} s, and {costs[0]:.2f} s (p95 {costs[1]:.2f} s) "
              "of computing here")


def tell_curve(said: list[Said], talk: list[Said]) -> None:
    """Confidence is told to three digits, so `behind` is known between about -15 and 27."""
    def behind(u: Utterance) -> float:
        return BEHIND + SLOPE * np.log(1 / max(1e-4, min(u.confidence, 0.9999)) - 1)

    print("obeyed, taken for another, and sentences that are no request obeyed, at most so far behind the open recogniser:")
    for limit in (-4, -2, 0, 2, 4, 6, 8, 10, 12):
        within = [[(one, u) for one in those for u in one.heard if behind(u) <= limit] for those in (said, talk)]
        right = sum(understand(BOOK, u.text) == understand(BOOK, one.phrase) for one, u in within[0])
        print(f"  {limit:3}: {right} and {len(within[0]) - right} of {len(said)}, {len(within[1])} of {len(talk)}")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--voices", nargs="+", default=list(BOOK.maker_voices))
    options.add_argument("--pace", type=int, default=165, help="words a minute")
    options.add_argument("--every", type=int, default=1, help="of so many phrases one, to be done sooner")
    options.add_argument("--curve", action="store_true", help="also at other thresholds")
    args = options.parse_args()
    wanted = working()
    asked = [phrase for phrase in phrases() if phrase in wanted.spoken()][:: args.every]
    ear = best_ear(wanted, "vosk", language="ko")
    print(f"{len(asked)} phrases among {len(wanted.spoken())}; missing words: {', '.join(ear.missing_words(wanted)) or 'none'}; "
          f"voices: {' | '.join(args.voices)}")
    said: list[Said] = []
    for phrase in asked:
        said += [hear(ear, phrase, voice, args.pace) for voice in args.voices]
        print(f"  {phrase}: {' | '.join(one.came_of_it for one in said[-len(args.voices):])}", flush=True)
    tell(said)
    talk = [hear(ear, line.strip(), voice, args.pace) for voice in args.voices for line in TALK.split("/")]
    obeyed = [f"{one.phrase} ({', '.join(one.sure)})" for one in talk if one.sure]
    print(f"sentences that are no request: {len(obeyed)} of {len(talk)} obeyed {share(len(obeyed), len(talk))}: {obeyed}")
    if args.curve:
        tell_curve(said, talk)


if __name__ == "__main__":
    main()
