"""What the page shows of a conversation: all of it in one value, so that a browser that missed some is right again."""

from __future__ import annotations

from dataclasses import dataclass

from coach.events import Answer
from coach.guide.lessons import current
from coach.guide.model import Message, State
from coach.guide.moves import instruction
from coach.guide.places import part_at, worked_at
from coach.language.names import capital
from coach.language.phrasebook import Heard, Phrasebook
from coach.language.speak import round_label, sentence
from coach.topics import Choosing, Working, report

ELSEWHERE = ("round", "round_same", "right_side", "wrong_side", "off", "reading", "makes", "makes_but", "own_note")
"""Of an instruction's messages, those that the page shows in another place, or only as they are said."""

WORKING = ("next", "back", "repeat", "count", "left", "where", "recap", "undo", "pause", "stop", "help", "finish")
COUNTING = ("tap", *WORKING)
ASKING = ("yes", "no", *WORKING)
PAUSED = ("carry_on", "stop")
CHOOSING = ("repeat", "finish")


@dataclass(frozen=True, slots=True)
class Words:
    """What the conversation showed last. said: spoken; note: only shown; heard: the maker's words."""

    said: str = ""
    note: str = ""
    heard: str = ""


def view(topic: Working | Choosing, words: Words) -> dict[str, object]:
    """The view as values for JSON: the fields of `coach.topics.report` and

    situation: working, counting, asking, paused, choosing; title; instruction: what is to do now, "" where nothing is;
    round_name; rounds, make: of the part; chart: number of the part to draw, or None; place: {round, stitch} in it;
    requests: [{name, label, typed, keys}] as buttons; keys: key -> typed; note.
    """
    book = topic.phrasebook
    line = report(topic, words.heard, None, Answer(words.said)) | {"note": words.note}
    del line["request"]
    if not isinstance(topic, Working):
        titles = [
            {"name": "choose", "label": f"{n}: {title}", "typed": title, "keys": []}
            for n, title in enumerate(topic.titles, start=1)
        ]
        return line | {
            "situation": "choosing",
            "title": "",
            "instruction": "",
            "round_name": "",
            "rounds": 0,
            "make": 1,
            "chart": None,
            "place": None,
            "requests": titles + buttons(book, CHOOSING),
            "keys": keys(book, CHOOSING),
        }
    fabric, place = topic.fabric, topic.state.place
    part, worked = part_at(fabric, place), worked_at(fabric, place)
    source = worked.source if worked else None
    offered = _OFFERED[situation(topic.state)]
    return line | {
        "situation": situation(topic.state),
        "title": fabric.pattern.title,
        "instruction": to_do(topic),
        "round_name": capital(round_label(book, source.kind, source.number, source.label)) if source else "",
        "rounds": len(part.rounds) if part else 0,
        "make": part.make if part else 1,
        "chart": place.part if part and part.rounds else None,
        "place": {"round": line["round"], "stitch": line["stitch"]} if part and part.rounds else None,
        "requests": buttons(book, offered),
        "keys": keys(book),
    }


def situation(state: State) -> str:
    return "paused" if state.paused else "asking" if state.asking else "counting" if state.counting else "working"


def to_do(topic: Working) -> str:
    """The instruction without what stands beside it on the page, or the step of a lesson; none while the coach waits
    for yes or no."""
    if topic.state.asking:
        return ""
    told = current(topic.fabric, topic.state) or instruction(topic.fabric, topic.state)
    messages: list[Message] = [m for m in told if m.key not in ELSEWHERE]
    return sentence(topic.phrasebook, messages, topic.terms)


def buttons(book: Phrasebook, names: tuple[str, ...]) -> list[dict[str, object]]:
    """Requests as they are said; pressed, they are typed."""
    found = {heard.name: heard for heard in reversed(book.request)}
    return [
        {
            "name": name,
            "label": capital(found[name].offered),
            "typed": typed(found[name]),
            "keys": list(found[name].key),
        }
        for name in names
    ]


def keys(book: Phrasebook, names: tuple[str, ...] | None = None) -> dict[str, str]:
    """What each key of the phrasebook stands for, as typed."""
    return {key: typed(heard) for key, heard in book.keys.items() if names is None or heard.name in names}


def typed(heard: Heard) -> str:
    """The first way to type a request that needs no value."""
    return next((phrase for phrase in (*heard.say, *heard.type) if "<" not in phrase), heard.key[0])


_OFFERED = {"working": WORKING, "counting": COUNTING, "asking": ASKING, "paused": PAUSED}
