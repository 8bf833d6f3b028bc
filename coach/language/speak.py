"""Replies as sentences."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coach.fabric.model import Worked
from coach.guide.model import Message
from coach.language import recaps
from coach.language.names import capital
from coach.language.phrasebook import Phrasebook
from coach.language.steps import Steps
from coach.stitches.catalogue import stitch
from coach.stitches.spelling import spelled

NAMED = 4  # rounds, or runs of them, that are told by name
_DIGITS = re.compile(r"\d+")


def sentence(phrasebook: Phrasebook, messages: Iterable[Message], terms: str = "US", hand: str = "right") -> str:
    """What a reply sounds like, one or more sentences; "" for no messages. hand: left mirrors the coach's own
    directions."""

    def said(message: Message, brief: bool = False) -> str:
        return _said(phrasebook, message, terms, hand, brief)

    messages = tuple(messages)
    if recaps.is_recap(messages):
        return " ".join(recaps.within(messages, said, lambda text: phrasebook.in_words("and_so_on", text=text)))
    return " ".join(map(said, messages))


def _said(book: Phrasebook, message: Message, terms: str, hand: str, brief: bool) -> str:
    steps = Steps(book, terms)
    values = dict(message.values)
    if "trees" in values:
        values["trees"] = steps.brief(values["trees"]) if brief else steps.trees(values["trees"])
    if "shaping" in values:
        values["shaping"] = steps.shaping(values["shaping"])
    if "repeat" in values:
        values["repeat"] = steps.brief(values["repeat"])
    if "nth" in values:
        values["ordinal"] = book.ordinal(int(values["nth"]))
    if "stitch_name" in values:
        values["stitch_name"] = steps.name(str(values["stitch_name"]))
    if "nodes" in values:
        values["nodes"] = steps.nodes(values["nodes"])
    if "text" in values:
        values["text"] = steps.written(str(values["text"]), str(values["terms"]))
    if "kind" in values:
        values["round"] = round_label(book, str(values["kind"]), int(values["number"]), str(values["label"]))
    if "runs" in values:
        values["runs"] = _rounds(book, values["runs"])
    if values.get("part") == "":
        values["part"] = book.in_words("this_piece")
    if "colour" in values:
        values["colour"] = steps.colour(str(values["colour"]))
    if "into" in values:
        values["place"] = steps.place(values["into"])
    if "own" in values:
        values["own"] = str(values["own"]).rstrip(".")
    if "duration" in values:
        values["duration"] = duration(book, float(values["duration"]))
    if "lesson" in values:
        entry = stitch(str(values["lesson"]))
        values["how"] = steps.how(entry, hand)[int(values["at"])]
    if "renamed" in values:
        entry = stitch(str(values["renamed"]))
        values["ours"], values["theirs"] = entry.name(terms), entry.name(str(values["written"]))
    if "requests" in values:
        values["requests"] = _offered(book, values["requests"])
    if "stitch" in values:
        entry = stitch(str(values["stitch"]))
        values["how"] = " ".join(steps.how(entry, hand)) if entry else ""
        values["stitch"] = capital(steps.name(str(values["stitch"])))
    template = spelled(book.chosen(book.say[message.key], values), terms)
    if "trees" in values and not template.startswith("{trees}"):
        values["trees"] = values["trees"][:1].lower() + values["trees"][1:]
    return _ended(capital(book.filled(template, values).strip()))


def duration(book: Phrasebook, seconds: float) -> str:
    """Hours and minutes in words; what is over half a minute counts as one."""
    hours, minutes = divmod(int(seconds / 60 + 0.5), 60)
    spoken = [book.in_words(unit, n=n) for unit, n in (("hours", hours), ("minutes", minutes)) if n]
    return book.in_words("and").join(spoken) if spoken else book.in_words("no_time")


def round_label(book: Phrasebook, kind: str, number: int, label: str) -> str:
    """A round as it is called aloud; a label without its number in it is said as written."""
    if str(number) not in _DIGITS.findall(label):
        return label
    return book.in_words(kind, number=number)


def _rounds(book: Phrasebook, runs: Iterable[tuple[Worked, Worked, int]]) -> str:
    """Rounds as they are called aloud; of more than a few, how many others there are."""

    def called(worked: Worked) -> str:
        return round_label(book, worked.source.kind, worked.source.number, worked.label)

    runs = tuple(runs)
    named = runs if len(runs) <= NAMED else runs[: NAMED - 1]
    told = [
        called(first) if first is last else book.in_words("from_to", first=called(first), last=called(last))
        for first, last, _ in named
    ]
    if more := sum(n for *_, n in runs[len(named) :]):
        told.append(book.in_words("others", n=more))
    return book.in_words("and").join(filter(None, (book.in_words("comma").join(told[:-1]), told[-1])))


def _offered(book: Phrasebook, names: Iterable[str]) -> str:
    phrases = [next(h.offered for h in book.request if h.name == name) for name in names]
    return book.in_words("or").join((book.in_words("comma").join(phrases[:-1]), phrases[-1]))


def _ended(text: str) -> str:
    """With one full stop at its end, if nothing else ends it."""
    if text.endswith((".", "!", "?", ":", '."', ".)")):
        return text[:-1] if text.endswith("..") else text
    return text + "."
