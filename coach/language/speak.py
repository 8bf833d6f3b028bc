"""Replies as sentences."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from coach.guide.model import Message
from coach.language.phrasebook import Phrasebook
from coach.language.steps import Steps
from coach.stitches.catalogue import catalogue

_DIGITS = re.compile(r"\d+")


def sentence(phrasebook: Phrasebook, messages: Iterable[Message], terms: str = "US") -> str:
    """What a reply sounds like, one or more sentences; "" for no messages."""
    return " ".join(_said(phrasebook, message, terms) for message in messages)


def _said(book: Phrasebook, message: Message, terms: str) -> str:
    steps = Steps(book, terms)
    values = dict(message.values)
    if "trees" in values:
        values["trees"] = steps.trees(values["trees"])
    if "nodes" in values:
        values["nodes"] = steps.nodes(values["nodes"])
    if "text" in values:
        values["text"] = plain(book, str(values["text"]), str(values["terms"]), terms)
    if "kind" in values:
        values["round"] = round_label(book, str(values["kind"]), int(values["number"]), str(values["label"]))
    if values.get("part") == "":
        values["part"] = book.in_words("this_piece")
    if "requests" in values:
        values["requests"] = _offered(book, values["requests"])
    if "stitch" in values:
        entry = catalogue().get(str(values["stitch"]))
        values["how"] = " ".join(entry.how) if entry else ""
        values["stitch"] = _capital(steps.name(str(values["stitch"])))
    return _ended(_capital(book.form(book.say[message.key], values).strip()))


def round_label(book: Phrasebook, kind: str, number: int, label: str) -> str:
    """A round as it is called aloud; a label without its number in it is said as written."""
    if str(number) not in _DIGITS.findall(label):
        return label
    return book.in_words(kind, number=number)


def _offered(book: Phrasebook, names: Iterable[str]) -> str:
    phrases = [next(h.offered for h in book.request if h.name == name) for name in names]
    return book.in_words("or").join((book.in_words("comma").join(phrases[:-1]), phrases[-1]))


def plain(book: Phrasebook, text: str, written_in: str, terms: str) -> str:
    """A pattern's own words with its abbreviations spoken out. written_in, terms: US or UK."""
    words, ids = _abbreviations(book, written_in)
    steps = Steps(book, terms)

    def out(match: re.Match[str]) -> str:
        word = match[0].lower()
        return book.written[word] if word in book.written else steps.name(ids[word])

    return " ".join(words.sub(out, text).split())


@cache
def _abbreviations(book: Phrasebook, terms: str) -> tuple[re.Pattern[str], dict[str, str]]:
    """All abbreviations as one expression, and those of stitches with their ids."""
    ids: dict[str, str] = {}
    for stitch in catalogue().stitch:
        if stitch.kind in ("technique", "start"):
            continue
        for word in stitch.uk_abbreviations if terms == "UK" else stitch.us_abbreviations:
            if len(word) > 1 and word.lower() != stitch.name(terms).lower():
                ids.setdefault(word.lower(), stitch.id)
    longest_first = sorted({*ids, *book.written}, key=lambda w: (-len(w), w))
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b", re.IGNORECASE), ids


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _ended(text: str) -> str:
    """With one full stop at its end, if nothing else ends it."""
    if text.endswith((".", "!", "?", '."', ".)")):
        return text[:-1] if text.endswith("..") else text
    return text + "."
