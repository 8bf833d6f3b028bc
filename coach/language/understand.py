"""Words to requests, and the words that an ear has to know.

Heard words must be a complete phrase of the phrasebook; typed lines may also be a typed word, with numbers in digits.
Case, punctuation and spacing never matter.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache, lru_cache

from coach.guide.model import Request
from coach.guide.requests import REQUESTS, makes_sense
from coach.language.model import COUNT, NUMBER, Grammar
from coach.language.numbers import HIGHEST
from coach.language.phrasebook import Heard, Phrasebook
from coach.language.steps import Steps
from coach.stitches.catalogue import catalogue

STITCH = "<stitch>"  # in a phrase: any name of a stitch
LESSON = "<lesson>"  # the same, heard for more of them
TASK = "<task>"  # a technique as one asks how to do it, in the phrasebook's words
PART = "<part>"  # any name of a part
WORDS = "<words>"  # one of the phrasebook's notes; when typed, anything
MEASURE = "<measure>"  # a number of stitches to ten centimetres, or of metres
YARN, HOOK = "<yarn>", "<hook>"  # those of the phrasebook
HIGHEST_MEASURE = 45
HIGHEST_COUNT = 250  # stitches that an ear listens for; a list of thousands hears worse
_PARTING = re.compile(r"(?:[\s:,;–—-]|\.(?!\d))*")  # between "note" and what it is
_WORD = re.compile(r"(?:[^\W_]|[<>'’])+")  # as `normal` parts them
_SLOT = re.compile(r"<number>|<count>|<stitch>|<lesson>|<task>|<part>|<words>|<measure>|<yarn>|<hook>")


def understand(
    phrasebook: Phrasebook,
    text: str,
    typed: bool = False,
    terms: str = "US",
    parts: tuple[str, ...] = (),
    own: tuple[str, ...] = (),
) -> Request | None:
    """The request that these words are, or None. terms: in which a stitch is named; parts: names of parts that can be
    said; own: names of stitches that the pattern defines, which win over the catalogue's.

    A typed name of a part need not be one of these: the answer to it says which there are.
    """
    phrases, match = _phrases(phrasebook, typed), _matched(phrasebook)
    words = match(text)
    if not words and typed and text.strip() in phrasebook.keys:  # "?" and other signs
        return _request(phrasebook.keys[text.strip()])
    if words in phrases.whole:
        return _request(phrases.whole[words])
    for before, after, slot, heard in phrases.open:
        if len(words) < len(before) + len(after) + 1 or not (words.startswith(before) and words.endswith(after)):
            continue
        inside = words[len(before) : len(words) - len(after)].strip()
        match slot:
            case "<stitch>" | "<lesson>":
                defined = next((name for name in own if match(name) == inside), None)
                value: int | str | None = defined or stitch_named(phrasebook, inside, terms)
            case "<task>":
                value = _tasks(phrasebook).get(inside)
            case "<part>":
                named = next((part for part in parts if match(part) == inside), None)
                value = inside if typed and named is None and before in phrases.spoken else named
            case "<words>":
                known = next((note for note in phrasebook.notes if match(note) == inside), None)
                value = _after(phrasebook, text, before) if typed else known
            case "<yarn>":
                value = f"{phrasebook.yarns[inside]} yarn" if inside in phrasebook.yarns else None
            case "<hook>":
                value = f"{phrasebook.hooks[inside]:g} mm hook" if inside in phrasebook.hooks else None
            case _:
                value = _number(phrasebook, inside)
        if value is not None:
            return Request(heard.name, value)
    return None


def for_key(phrasebook: Phrasebook, key: str) -> Request | None:
    """The request of a single key ("space", "n"), or None."""
    heard = phrasebook.keys.get(key)
    return _request(heard) if heard else None


def phrase(book: Phrasebook, request: Request, terms: str = "US") -> str:
    """Words to be heard for a request: its longest phrase, since short ones are easily misheard; "" for none."""
    takes = REQUESTS[request.name].takes
    fixed = not isinstance(takes, str)
    say = [p for h in book.request if h.name == request.name and (not fixed or h.value == request.value) for p in h.say]
    if request.value is None or not fixed:
        say = [p for p in say if ("<" in p) is (request.value is not None)]
    chosen = max(say, key=lambda p: len(p.split() if book.spaced else normal(p).replace(" ", "")), default="")
    if fixed or request.value is None:
        return chosen
    value = request.value
    if takes == "words" and not (WORDS if isinstance(value, str) else MEASURE) in chosen:
        return ""
    if takes == "stitch" and value in catalogue():
        value = Steps(book, terms).name(value)
    return _SLOT.sub(book.spoken(value, takes == "count")[0] if isinstance(value, int) else normal(value), chosen)


@lru_cache(maxsize=64)
def grammar(
    phrasebook: Phrasebook,
    situation: str = "working",
    highest_round: int = 0,
    stitches: tuple[str, ...] = (),
    terms: str = "US",
    highest_count: int = 0,
    parts: tuple[str, ...] = (),
    lessons: tuple[str, ...] = (),
    own: tuple[str, ...] = (),
) -> Grammar:
    """All that can be said now.

    situation: one of `coach.guide.requests.SITUATIONS`; highest_round: numbers of rounds go up to it (0: none makes
    sense); stitches: catalogue ids that may be asked about; highest_count: counts of stitches go up to it; parts: names
    of the parts; lessons: ids of what can be learnt besides; own: names of stitches that the pattern defines.
    """

    def names(ids: tuple[str, ...]) -> tuple[str, ...]:
        steps = Steps(phrasebook, terms)
        return tuple(normal(name) for name in dict.fromkeys((*(steps.name(id) for id in ids), *own)))

    slots = {
        NUMBER: _spoken_numbers(phrasebook, min(highest_round, HIGHEST)),
        COUNT: _spoken_numbers(phrasebook, min(highest_count, HIGHEST_COUNT), counting=True),
        STITCH: names(stitches),
        LESSON: names((*stitches, *lessons)),
        TASK: tuple(phrasebook.task),
        PART: tuple(dict.fromkeys(filter(None, map(normal, parts)))),
        WORDS: phrasebook.notes,
        MEASURE: _spoken_numbers(phrasebook, HIGHEST_MEASURE, counting=True),
        YARN: tuple(phrasebook.yarns),
        HOOK: tuple(phrasebook.hooks),
    }
    found: dict[str, None] = {}
    for heard in phrasebook.request:
        if not makes_sense(heard.name, situation):
            continue
        for phrase in heard.say:
            slot = _SLOT.search(phrase)
            if slot is None or slot[0] in (NUMBER, COUNT) and slots[slot[0]]:
                found[phrase] = None
            elif slot[0] not in (NUMBER, COUNT):
                found.update(dict.fromkeys(phrase.replace(slot[0], words) for words in slots[slot[0]]))
    wanted = {slot: slots[slot] if any(slot in phrase for phrase in found) else () for slot in (NUMBER, COUNT)}
    return Grammar(tuple(found), wanted[NUMBER], wanted[COUNT])


@lru_cache(maxsize=64)
def _spoken_numbers(book: Phrasebook, highest: int, counting: bool = False) -> tuple[str, ...]:
    return tuple(dict.fromkeys(form for n in range(1, highest + 1) for form in book.spoken(n, counting)))


def normal(text: str) -> str:
    """Lower case, words parted by single spaces, no punctuation."""
    return " ".join(re.sub(r"[^\w\s<>]|_", " ", text.lower().replace("'", "").replace("’", "")).split())


def _matched(book: Phrasebook) -> Callable[[str], str]:
    """How words of this language are compared: as `normal` gives them, without spaces where these don't matter."""
    return normal if book.spaced else lambda text: normal(text).replace(" ", "")


def _after(book: Phrasebook, text: str, before: str) -> str:
    """What is typed after some words, as it is typed."""
    if book.spaced:
        words = [m for m in _WORD.finditer(text) if m[0].strip("'’")]
        end = words[len(before.split()) - 1].end()
        return text[_PARTING.match(text, end).end() :].strip()
    match = _matched(book)
    return next(text[at:] for at in range(len(text)) if match(text[:at]) == before).strip(" :,.")


def stitch_named(phrasebook: Phrasebook, name: str, terms: str = "US") -> str | None:
    """The catalogue id of a stitch by any of its names, also those of the other terms where these have none such."""
    name = _matched(phrasebook)(name)
    own, other = _stitches(phrasebook, terms), _stitches(phrasebook, "US" if terms == "UK" else "UK")
    for table in (own, other):
        for form in (name, name.removesuffix("s")):
            if form in table:
                return table[form]
    return None


def _request(heard: Heard) -> Request:
    return Request(heard.name, heard.value)


def _number(book: Phrasebook, words: str) -> int | None:
    if words.isascii() and words.isdigit():
        return int(words) if len(words) < 19 else None
    return _number_words(book).get(words)


class _Phrases:
    """whole: phrases without a slot; open: (words before, after, slot, request), the longest first; spoken: the words
    before the slots of phrases that can be spoken."""

    def __init__(self, book: Phrasebook, typed: bool):
        self.whole: dict[str, Heard] = {}
        self.open: list[tuple[str, str, str, Heard]] = []
        self.spoken: set[str] = set()
        match = _matched(book)
        for heard in book.request:
            for phrase in heard.say + (heard.type if typed else ()):
                slot = _SLOT.search(phrase)
                if slot is None:
                    self.whole.setdefault(match(phrase), heard)
                else:
                    before, after = match(phrase[: slot.start()]), match(phrase[slot.end() :])
                    if book.spaced and phrase[: slot.start()].endswith(" "):
                        before += " "
                    if book.spaced and phrase[slot.end() :].startswith(" "):
                        after = " " + after
                    self.open.append((before, after, slot[0], heard))
                    if phrase in heard.say:
                        self.spoken.add(before)
        self.open.sort(key=lambda p: -len(p[0]) - len(p[1]))


@cache
def _phrases(book: Phrasebook, typed: bool) -> _Phrases:
    return _Phrases(book, typed)


@cache
def _stitches(book: Phrasebook, terms: str) -> dict[str, str]:
    match = _matched(book)
    found = {match(name): id for id, name in book.stitch.items()}
    for stitch in catalogue().stitch:
        for word in (*stitch.words(terms), Steps(book, terms).name(stitch.id)):
            found.setdefault(match(word), stitch.id)
    return found


@cache
def _tasks(book: Phrasebook) -> dict[str, str]:
    match = _matched(book)
    return {match(task): id for task, id in book.task.items()}


@cache
def _number_words(book: Phrasebook) -> dict[str, int]:
    match = _matched(book)
    return {match(form): number for form, number in book.number_words.items()}
