"""Which remarks of a pattern in several sizes concern the size that is worked."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coach.notation.model import Note

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
    """The notes that the maker of this size has to hear."""
    return tuple(note for note in notes if len(sizes) < 2 or size in (told_to(note, sizes) or (size,)))


def kept_for(notes: Iterable[Note], sizes: tuple[str, ...], size: int) -> tuple[Note, ...]:
    """Of the notes after a round that this size does not work, those that call it all the same."""
    return tuple(note for note in notes if size in (told_to(note, sizes) or ()))
