"""A recap is kept short: what it says is cut to about twenty-five words, what matters least first.

In this order, until it is short enough: a single next step by its brief name, where that leaves out no loop that the
hook goes under; what the round repeats; the end of the next steps ("and so on": "read the round" says all of them); how
many repeats are done. The maker's own notes and what else is said at a start are not counted, nor cut.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from coach.fabric.tree import Leaf
from coach.guide.model import Message
from coach.guide.shaping import has_loops

MOST = 25  # words
NEXT = ("do_next", "do_next_time", "do_next_again")
COUNTED = (
    *NEXT,
    "part",
    "part_of",
    "round",
    "round_same",
    "right_side",
    "wrong_side",
    "colour",
    "foundation",
    "repeats",
    "recap_repeats",
    "recap_done",
    "last_done",
    "last_round",
    "last_round_uncounted",
)
_PIECE = re.compile(r"(?<=[,.;]) ")

Say = Callable[..., str]


def is_recap(messages: Iterable[Message]) -> bool:
    return any(message.key in NEXT for message in messages)


def within(messages: tuple[Message, ...], say: Say, and_so_on: Callable[[str], str]) -> list[str]:
    """The sentences of a recap. say: the sentence of a message, with brief=True of its steps in brief; and_so_on: puts
    after the beginning of a sentence that there is more."""
    said = [say(message) for message in messages]
    at = next(i for i, message in enumerate(messages) if message.key in NEXT)
    if _over(messages, said) and _is_simple(messages[at]):
        said[at] = min(said[at], say(messages[at], brief=True), key=_words)
    if _over(messages, said):
        said = ["" if message.key == "repeats" else text for message, text in zip(messages, said)]
    if over := _over(messages, said):
        said[at] = _cut(said[at], _words(said[at]) - over, and_so_on)
    if _over(messages, said):
        said = [
            _cut(text, 0, "{}.".format) if message.key == "recap_repeats" else text
            for message, text in zip(messages, said)
        ]
    return [text for text in said if text]


def _over(messages: tuple[Message, ...], said: list[str]) -> int:
    """Words too many; none where it is no more than it may be."""
    return max(sum(_words(text) for message, text in zip(messages, said) if message.key in COUNTED) - MOST, 0)


def _cut(text: str, most: int, and_so_on: Callable[[str], str]) -> str:
    """The first pieces of a sentence that are so many words together; at least the first one."""
    kept, *pieces = _PIECE.split(text)
    for piece in pieces:
        if _words(and_so_on(f"{kept} {piece}")) > most:
            return and_so_on(kept.rstrip(",.;"))
        kept = f"{kept} {piece}"
    return kept


def _words(text: str) -> int:
    return len(text.split())


def _is_simple(message: Message) -> bool:
    """Whether the brief name of what comes next leaves nothing out."""
    trees = message.values.get("trees", ())
    return len(trees) == 1 and isinstance(trees[0], Leaf) and not has_loops(trees[0])
