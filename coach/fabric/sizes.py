"""Which remarks of a pattern in several sizes concern the size that is worked."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from coach.notation.model import Note

_PER_SIZE = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) ?\((\d+(?:\.\d+)?(?:, ?\d+(?:\.\d+)?)*)\)")  # 48 (54, 60)
_EVERYONE = re.compile(r"^all sizes\b", re.IGNORECASE)
_NAMED = r"^(?:for |in |only )?sizes? (?P<names>{name}(?:(?:\s*[,/&]\s*|\s+)(?:(?:and|or)\s+)?{name})*)(?!\w)"


def told_to(note: Note, sizes: tuple[str, ...]) -> tuple[int, ...] | None:
    """The indexes of the sizes that a note names at its start ("Size S goes straight on to Rnd 11"); None: it names
    none."""
    if _EVERYONE.match(note.text):
        return tuple(range(len(sizes)))
    longest_first = sorted(sizes, key=len, reverse=True)
    name = "(?:" + "|".join(map(re.escape, longest_first)) + r")(?!\w)"
    found = re.match(_NAMED.format(name=name), note.text, re.IGNORECASE) if sizes else None
    if found is None:
        return None
    names = {m[0].casefold() for m in re.finditer(name, found["names"], re.IGNORECASE)}
    return tuple(i for i, size in enumerate(sizes) if size.casefold() in names)


def in_size(notes: Iterable[Note], sizes: tuple[str, ...], size: int) -> tuple[Note, ...]:
    """The notes that the maker of this size has to hear, with the numbers of this size."""
    if len(sizes) < 2:
        return tuple(notes)
    heard = (note for note in notes if size in (told_to(note, sizes) or (size,)))
    return tuple(replace(n, text=of_size(n.text, sizes, size)) if "(" in n.text else n for n in heard)


def of_size(text: str, sizes: tuple[str, ...], size: int) -> str:
    """A text with one number where it has one for each size: `48 (54, 60) cm` is `54 cm` in the second of three."""

    def number(found: re.Match[str]) -> str:
        numbers = (found[1], *found[2].split(","))
        return numbers[size].strip() if len(numbers) == len(sizes) else found[0]

    return _PER_SIZE.sub(number, text) if len(sizes) > 1 else text


def kept_for(notes: Iterable[Note], sizes: tuple[str, ...], size: int) -> tuple[Note, ...]:
    """Of the notes after a round that this size does not work, those that call it all the same."""
    return tuple(note for note in notes if size in (told_to(note, sizes) or ()))
