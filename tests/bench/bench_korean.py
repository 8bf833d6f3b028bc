"""What Vosk hears of the Korean phrasebook: `python tests/bench/bench_korean.py [--voices NAME ...] [--pace N]`.

Each phrase that can be said while working (numbers, stitches and notes: a few) is said by the speech engine's Korean voices and
heard by the ear as a maker gets it, among all that can be said then. Printed are the phrases that were obeyed, taken for another
or not heard, and what came of sentences that are no request. It needs the extra `korean`. Synthetic Korean is a poor stand-in
for people: figures for phrases tell what the tests can use, and nothing about makers.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests" / "sound")]

from rendered_speech import session  # noqa: E402

from coach import fabric, notation  # noqa: E402
from coach.guide.model import Request  # noqa: E402
from coach.language.model import Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import understand  # noqa: E402
from coach.sound.listen import best_ear, hear_recording  # noqa: E402
from coach.topics import Working  # noqa: E402

BOOK = load("ko")
SLOTS = {"<number>": ("삼", "오", "십"), "<count>": ("세", "여섯", "열두", "스물네"), "<stitch>": ("짧은뜨기", "늘리기"),
         "<lesson>": ("줄이기",), "<words>": BOOK.notes[:2]}
TALK = """오늘 날씨가 참 좋네요 / 저녁은 뭐 먹을까 / 학교에 가야 해요 / 텔레비전 소리가 크다 / 전화 왔어요 / 커피 한 잔 주세요 /
어제 친구를 만났어요 / 강아지가 자고 있어요 / 비가 올 것 같아요 / 안녕하세요 / 고양이 / 바다에 가자 / 내일 시장에 갈 거야 / 배가 고파 /
문 좀 닫아 줘 / 그 책 재미있어 / 버스가 늦었어 / 아이들이 놀고 있네 / 감사합니다 / 사과 두 개 / 어서 오세요 / 빨간 자동차"""


def phrases() -> list[str]:
    found = []
    for heard in BOOK.request:
        for phrase in heard.say:
            slot = next((slot for slot in SLOTS if slot in phrase), None)
            found += [phrase.replace(slot, words) for words in SLOTS[slot]] if slot else [phrase] if "<" not in phrase else []
    return found


def working(asking: bool = False) -> Grammar:
    pattern = notation.read((REPOSITORY / "patterns" / "buoy.md").read_text("utf-8"))
    topic = Working(fabric.work(pattern), BOOK)
    topic.begin()
    topic.answer(Request("go_round", 4))
    return topic.grammar()


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--voices", nargs="+", default=["ko+f2", "ko+f4", "ko", "ko+m3"])
    options.add_argument("--pace", type=int, default=165, help="words a minute")
    args = options.parse_args()
    wanted = working()
    said = [phrase for phrase in phrases() if phrase in wanted.spoken()]
    ear = best_ear(wanted, "vosk", language="ko")
    print(f"{len(said)} phrases among {len(wanted.spoken())}; missing words: {ear.missing_words(wanted) or 'none'}")
    for voice in args.voices:
        obeyed, wrong, unsure, nothing = [], [], [], []
        for phrase in said:
            ear.restart()
            heard = hear_recording(session(phrase, voice=voice, rate=args.pace, pause=0.6), ear)
            sure = [u.text for u in heard if u.sure]
            meant = understand(BOOK, phrase)
            if any(understand(BOOK, text) != meant for text in sure):
                wrong.append(f"{phrase} ({', '.join(sure)})")
            elif sure:
                obeyed.append(phrase)
            else:
                (unsure if any(u.text == phrase for u in heard) else nothing).append(phrase)
        all_ = len(said)
        print(f"\n{voice}: {len(obeyed)} of {all_} obeyed ({len(obeyed) / all_:.0%}), {len(wrong)} taken for another, "
              f"{len(unsure)} heard and not sure, {len(nothing)} not heard")
        for name, those in (("obeyed", obeyed), ("taken for another", wrong), ("not sure", unsure), ("not heard", nothing)):
            print(f"  {name}: {' / '.join(those)}")
        talk = [line.strip() for line in TALK.split("/")]
        acted = []
        for line in talk:
            ear.restart()
            acted += [u.text for u in hear_recording(session(line, voice=voice, rate=args.pace, pause=0.6), ear) if u.sure]
        print(f"  {len(talk)} sentences that are no request: {len(acted)} obeyed {acted}", flush=True)


if __name__ == "__main__":
    main()
