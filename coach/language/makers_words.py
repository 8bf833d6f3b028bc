"""Makers' own words for requests: what a phrasebook becomes with them, and the text of the file that keeps them.

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


def with_words(book: Phrasebook, words: dict[str, str]) -> tuple[Phrasebook, tuple[str, ...]]:
    """The phrasebook in which these words are requests too, and a sentence for each that can't be one."""
    faults: list[str] = []
    for phrase, meant in words.items():
        said, request = normal(phrase), understand(book, meant, typed=True)
        if request is None:
            faults.append(f"I don't know {meant!r}, which {phrase!r} should mean.")
        elif not said or "<" in said or ">" in said:
            faults.append(f"{phrase!r} is nothing to say.")
        elif said in book.called or understand(book, said, typed=True) not in (None, request):
            faults.append(f"{phrase!r} means something else already.")
        else:
            book = book.model_copy(update={"request": tuple(_added(book.request, said, request.name, request.value))})
    return book, tuple(faults)


def _added(known: Iterable[Heard], said: str, name: str, value: object) -> Iterable[Heard]:
    """With one more phrase for a request; a value of its own makes an entry of its own, which has no key."""
    for heard in known:
        if (heard.name, heard.value) == (name, value):
            name = ""
            heard = heard.model_copy(update={"say": (*heard.say, said)})
        yield heard
    if name:
        yield Heard.model_construct(name=name, value=value, say=(said,), type=(), key=(), shown="")
