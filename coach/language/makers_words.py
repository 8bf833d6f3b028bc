"""Makers' own words for requests: what a phrasebook becomes with them, and the text of the file that keeps them.

The book's `own` has them, in the order in which they were added.

    # words.toml in the coach's folder (COACH_HOME)
    [words]
    "go on" = "next"
    "back to the eyes" = "go to round 5"

On the left what is said or typed, on the right anything that can be typed as a request. A phrase that means something
already, or asks for what there is not, is left out and told.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable

from coach.guide.model import Message
from coach.language.phrasebook import Heard, Phrasebook
from coach.language.understand import normal, understand


def own_words(text: str) -> tuple[dict[str, str], str]:
    """The words of a file's text, and what is wrong with it ("" for nothing)."""
    try:
        words = tomllib.loads(text).get("words", {})
    except tomllib.TOMLDecodeError as error:
        return {}, f"words.toml can't be read: {error}."
    if not isinstance(words, dict) or not all(isinstance(meant, str) for meant in words.values()):
        return {}, 'words.toml needs lines like "go on" = "next" under [words].'
    return words, ""


def written(words: dict[str, str]) -> str:
    """The text of a file with these words."""

    def quoted(text: str) -> str:
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

    return "[words]\n" + "".join(f"{quoted(phrase)} = {quoted(meant)}\n" for phrase, meant in words.items())


def changed(text: str, phrase: str, meant: str) -> str:
    """The text of a file in which a phrase means this, or ("") nothing any more; the rest stays as it is written."""
    words, fault = own_words(text)
    said = normal(phrase)
    wanted = {p: m for p, m in words.items() if normal(p) != said} | ({phrase: meant} if meant else {})
    lines = [line for line in text.splitlines() if not _defines(line, said)]
    heads = [n for n, line in enumerate(lines) if line.strip() == "[words]"]
    if meant and heads:
        end = next((n for n in range(heads[0] + 1, len(lines)) if lines[n].lstrip().startswith("[")), len(lines))
        lines.insert(end, written({phrase: meant}).splitlines()[1])
    edited = "\n".join(lines) + "\n"
    return edited if own_words(edited) == (wanted, fault) else written(wanted)


def _defines(line: str, said: str) -> bool:
    try:
        return any(normal(phrase) == said for phrase in tomllib.loads(line))
    except tomllib.TOMLDecodeError:
        return False


def with_words(book: Phrasebook, words: dict[str, str]) -> tuple[Phrasebook, tuple[Message, ...]]:
    """The phrasebook in which these words are requests too, and what to say of each that can't be one."""
    faults: list[Message] = []
    for phrase, meant in words.items():
        said, request = normal(phrase), understand(book, meant, typed=True)
        if request is None:
            faults.append(Message("learn_unknown", {"own": meant}))
        elif not said or "<" in said or ">" in said:
            faults.append(Message("learn_unsayable", {"own": phrase}))
        elif said in book.called or understand(book, said, typed=True) not in (None, request):
            faults.append(Message("learn_taken", {"own": phrase}))
        else:
            requests = tuple(_added(book.request, said, request.name, request.value))
            book = book.model_copy(update={"request": requests, "own": {**book.own, said: meant}})
    return book, tuple(faults)


def without_word(book: Phrasebook, phrase: str) -> tuple[Phrasebook, str]:
    """The phrasebook without one of the maker's words ("": the last one), and the word; "" where it is none."""
    said = normal(phrase) or next(reversed(book.own), "")
    if said not in book.own:
        return book, ""
    kept = (heard.model_copy(update={"say": tuple(p for p in heard.say if p != said)}) for heard in book.request)
    own = {word: meant for word, meant in book.own.items() if word != said}
    return book.model_copy(update={"request": tuple(h for h in kept if h.say or h.type), "own": own}), said


def _added(known: Iterable[Heard], said: str, name: str, value: object) -> Iterable[Heard]:
    """With one more phrase for a request; a value of its own makes an entry of its own, which has no key."""
    for heard in known:
        if (heard.name, heard.value) == (name, value):
            name = ""
            heard = heard.model_copy(update={"say": (*heard.say, said)})
        yield heard
    if name:
        yield Heard.model_construct(name=name, value=value, say=(said,), type=(), key=(), shown="")
