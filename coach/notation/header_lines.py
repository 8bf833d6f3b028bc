"""Lines before the rounds that tell one thing of the whole pattern: `Hook: 4 mm`, `Terms: UK`, `Gauge: 18 sc = 10 cm`.
"""

from __future__ import annotations

import re

_KEYS = {  # kind of section: what such a line begins with
    "materials": r"colou?rs|yarns?|hooks?|needles?|materials?|supplies|(?:yarn )?weight|you (?:will )?need|stuffing",
    "gauge": r"gauge|tension",
    "sizes": r"(?:finished )?(?:sizes?|measurements|height|width)",
    "notes": r"terms|terminology|language|(?:skill )?level|difficulty|time|skill",
}
_ANY = "|".join(_KEYS.values())
_END = r"(?: size| used| needed| required)?\W{0,4}(?::|(?<= )-(?= ))\W{0,8}(?=\w)"
_LINE = re.compile(
    r"\W*+(?:"
    + "|".join(f"(?P<{kind}>{keys})" for kind, keys in _KEYS.items())
    + r"|colou?r|abbreviations|notes?)"
    + _END,
    re.IGNORECASE,
)
_NOTES = re.compile(rf"\W*+notes?{_END}", re.IGNORECASE)
_FURTHER = re.compile(rf"(?<=[.;,])\s++(?=(?:{_ANY}){_END})", re.IGNORECASE)


def is_header(line: str) -> bool:
    """Whether a line tells one thing of the whole pattern, and so names no part and is no title."""
    return _LINE.match(line) is not None


def is_read_out(line: str) -> bool:
    """Whether it is a note, which is no part of a list above it."""
    return _NOTES.match(line) is not None


def header_lines(line: str, start: int) -> list[tuple[str, str, int]]:
    """(kind of section that it belongs to, text, offset) of each thing that such a line tells; none where it is no such
    line, or one that is read out with the work (a note, a part's colour)."""
    found: list[tuple[str, str, int]] = []
    at = 0
    for end in [*(m.end() for m in _FURTHER.finditer(line)), len(line)]:
        m = _LINE.match(line, at, end)
        if m is None or not m.lastgroup:
            return []
        found.append((m.lastgroup, line[at:end], start + at))
        at = end
    return found
