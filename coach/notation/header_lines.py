"""Lines before the rounds that tell things of the whole pattern: `Hook: 4 mm`, `Terms: UK`, `Gauge: 18 sc = 10 cm`, or
several in one line: `US terms. Worsted yarn, 5 mm hook. Gauge: 14 sts = 10 cm.`
"""

from __future__ import annotations

import re
from itertools import pairwise

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
_SENTENCE_ENDS = re.compile(r"(?<=[a-z)]\.)\s++(?=[A-Z0-9])")
_YARN = r"(?:[a-z0-9%-]+\s){0,6}(?:yarn|wool|cotton|thread|acrylic)"
_BRACKETS = r"(?:\s\([^()]{1,20}\))?"
_MM, _LETTERED = r"\d{1,2}(?:[.,]\d{1,2})?\s?-?mm", r"(?:us\s)?[a-z]\s?[-/]?\s?\d{1,2}|us\s\d{1,2}"
_SIZE = rf"(?:{_MM}|(?:{_LETTERED})(?:\s?[,/]?\s?{_MM})?)"
_HOOK = rf"(?:an?\s)?(?:size\s)?{_SIZE}{_BRACKETS}\s(?:crochet\s)?hook{_BRACKETS}"
_STITCHES = r"(?:sts?|stitches|sc|hdc|dc|tr|(?:single|double) crochets?|trebles?)"
_KEYLESS = {  # kind of section: what such a sentence is, without a word and a colon before it
    "materials": rf"(?:using\s)?(?:{_YARN}|{_HOOK})(?:(?:,|;|,? and|,? with|\s?\+)\s(?:{_YARN}|{_HOOK})){{0,5}}",
    "gauge": rf"(?:(?:gauge|tension)\s(?:is\s)?)?\d{{1,3}}\s?{_STITCHES}\b[^.:;]{{0,60}}?"
    r"(?:=|to|over|in|per|measure)\s?\d{1,2}(?:\.\d)?\s?(?:cm|in|inch|inches|\")(?![a-z])[^.:;]{0,40}",
    "notes": r"(?:(?:written )?in\s|uses\s)?(?:u\.?[ks]\.?|american|british)(?:\scrochet)?\s(?:terms?|terminology)"
    r"(?:\s(?:are\s)?used)?(?:\sthroughout)?",
}
_SENTENCE = re.compile(
    r"\W*+(?:" + "|".join(f"(?P<{kind}>{words})" for kind, words in _KEYLESS.items()) + r")\s?\.?\W*", re.IGNORECASE
)


def is_header(line: str) -> bool:
    """Whether a line tells things of the whole pattern, and so names no part and is no title."""
    return _LINE.match(line) is not None or bool(header_lines(line, 0))


def is_read_out(line: str) -> bool:
    """Whether it is a note, which is no part of a list above it."""
    return _NOTES.match(line) is not None


def header_lines(line: str, start: int) -> list[tuple[str, str, int]]:
    """(kind of section that it belongs to, text, offset) of each thing that such a line tells; none where it is no such
    line, or one that is read out with the work (a note, a part's colour)."""
    found: list[tuple[str, str, int]] = []
    at = 0
    for end in [*_ends(line), len(line)]:
        m = _LINE.match(line, at, end) or _SENTENCE.fullmatch(line, at, end)
        if m is None or not m.lastgroup:
            return []
        found.append((m.lastgroup, line[at:end], start + at))
        at = end
    return found if len(found) > 1 or _LINE.match(line) else []  # one sentence without a key may be a title


def _ends(line: str) -> list[int]:
    """Where further things that a line tells begin."""
    keyed = {m.end() for m in _FURTHER.finditer(line)}
    sentences = sorted({m.end() for m in _SENTENCE_ENDS.finditer(line)} | keyed)
    keyless = {a for a, b in pairwise((*sentences, len(line))) if _SENTENCE.fullmatch(line, a, b)}
    after = {b for a, b in pairwise((0, *sentences)) if _SENTENCE.fullmatch(line, a, b)}
    return sorted(keyed | keyless | after)
