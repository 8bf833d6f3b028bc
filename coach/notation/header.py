"""What holds for the whole text: its terms, its sizes, its lists of materials."""

from __future__ import annotations

import re

from coach.notation.building import Problem
from coach.notation.document import ENTRY, LEFT_OPEN, Section
from coach.notation.model import Span

_SIZES = re.compile(r"\W*+(?:(?:finished )?sizes?|to fit)\s*+(?::|-|are|is)?\s*+(.+)", re.IGNORECASE)
_SIZES_SAID = re.compile(r"\W*+(?:finished )?sizes?\s*+:", re.IGNORECASE)
_SIZE_PREFIX = re.compile(
    r"\s*+((?:XXS|XS|S|Small|Baby|Child|Toddler|Newborn)\s*+[(\[][\w ,]{1,120}[)\]])\s*+:", re.IGNORECASE
)
_SAID = re.compile(
    r"\b(?P<a>u\.?s\.?a?|american|u\.?k\.?|british)\b\.?\s*+(?:crochet\s*+)?(?:terms?|terminology|abbreviations?|"
    r"notation|stitch names)"
    r"|\bterms?\s*+(?:used)?\s*+:?\s*+(?P<b>u\.?s\.?|american|u\.?k\.?|british)\b",
    re.IGNORECASE,
)
_OF_THE_ROUNDS = re.compile(
    r"\b(?:rounds|rows|instructions|directions) (?:below )?(?:are|is) [^.;\n]{0,30}$", re.IGNORECASE
)
_SAYING = ("term", "abbreviation", "notation", "stitch names")  # one of these is in what _SAID finds
_US = re.compile(
    r"\b\d{0,4}(?:sc|hdc|sc\d{1,2}tog|hdc\d{1,2}tog|single crochets?|half double crochets?)\b(?!tog)", re.IGNORECASE
)
_UK = re.compile(r"\b\d{0,4}(?:htr|half treble(?: crochet)?s?|htr\d{1,2}tog)\b", re.IGNORECASE)
_IN_UK = ("htr", "half treble")
_NAMED_UK = re.compile(r"[\W_]*[^\n]{0,80}?\b(?:U\.?K\b\.?|British\b)(?! ?\d)[^\n]{0,40}(?:\n|$)")  # the title
_ONLY_UK = re.compile(r"\b\d{0,4}(?:tr|dtr|ss|miss)\b", re.IGNORECASE)
_UK_WORDS = re.compile(r"\b(?:ss (?:in|to|into)|miss(?: next)? \d{1,2} ?(?:tr|dc|ch|sts?)|miss next)\b", re.IGNORECASE)
_US_WORDS = re.compile(r"\b(?:sk|skip|sl\.? ?st|fp|bp|yo)\b", re.IGNORECASE)
_OLD = re.compile(
    r"\b(?:\d{1,3}|an?|one|two|three|four|five|six|seven|eight|nine|ten) (?:doubles?|trebles?)\b(?! (?:crochets?|"
    r"trebles?|st|str|thick|l))|\b\d{1,3} plain(?=(?: close together)?[,;.]| (?:on|over|in)\b)",
    re.IGNORECASE,
)
_OTHER_NAMED = re.compile(r"\bU\.?S\.?A?\b|\bU\.?K\.?\b|\bAmerican\b|\bBritish\b")
_CELL_ENDS = re.compile(r"\S {3,}(?=\S)")
_LENGTH = re.compile(r"\d\s*+(cm|in|mm|m)\b")


def terms_of(folded: str) -> tuple[str, list[Problem]]:
    """US or UK; a text that uses stitches of both has a fault where the second kind first appears."""
    lower = folded.lower()  # a word is far sooner looked for than a pattern
    said = _stated(folded) if any(word in lower for word in _SAYING) else None
    stated = (
        None if said is None else "US" if re.match(r"u\.?s|american", said["a"] or said["b"], re.IGNORECASE) else "UK"
    )
    us = _first(_US, folded)
    uk = _first(_UK, folded) if any(word in lower for word in _IN_UK) else None
    if us and uk:
        later = us if stated == "UK" or (stated is None and us.start() > uk.start()) else uk
        terms = stated or ("UK" if uk.start() < us.start() else "US")
        return terms, [
            Problem(
                "terms",
                Span(later.start(), later.end()),
                f'"{later.group()}" is of the other terminology: the text mixes US and UK terms.',
                "Write the whole pattern in US terms or in UK terms.",
            )
        ]
    if stated == "UK" and us:
        return "UK", [
            Problem(
                "terms",
                Span(us.start(), us.end()),
                f'"{us.group()}" is a US term, and the text says it is in UK terms.',
                "Use one terminology throughout.",
            )
        ]
    if stated is None and not us and _UK_WORDS.search(folded) and not _US_WORDS.search(folded):
        stated = "UK"
    if stated is None and (named := _NAMED_UK.match(folded)) and (uk or _ONLY_UK.search(folded, named.end())):
        stated = "UK"  # "Blanket square UK"
    if stated is None and not us and re.match(r"[^\n]{0,80}\(UK\)\s", folded):
        stated = "UK"  # "Baby socks (UK)"
    if stated:
        return stated, []
    return "UK" if uk or (not us and _OLD.search(folded)) else "US", []


def _stated(text: str) -> re.Match | None:
    """The words that say which terms the text is in: those of its rounds ("The rounds are put into UK terms here")
    before those of anything else."""
    said = list(_SAID.finditer(text))
    of_rounds = (m for m in said if _OF_THE_ROUNDS.search(text, max(m.start() - 60, 0), m.start()))
    return next(of_rounds, said[0] if said else None)


def _first(words: re.Pattern, text: str) -> re.Match | None:
    """The first use of one of these words in a line that does not speak of the terms themselves, nor goes on with one
    that does, nor is a row of a table, which may have a column for each (`hdc | htr | half double crochet`)."""
    for m in words.finditer(text):
        start = text.rfind("\n", 0, m.start()) + 1
        if start > 1 and text[start - 2] not in "\n.!?" and (text[start] == "(" or text[start].islower()):
            start = text.rfind("\n", 0, start - 1) + 1
        end = text.find("\n", m.end())
        line = text[start : end if end >= 0 else len(text)][:1000]
        if not _OTHER_NAMED.search(line) and len(_CELL_ENDS.findall(line)) < 2:
            return m
    return None


def sizes_of(found: list[Section]) -> tuple[str, ...]:
    """The names of the sizes, smallest first; () where there is one."""
    for section in found:
        for line, _ in section.lines:
            prefix = _SIZE_PREFIX.match(line)
            said = section.kind in ("", "sizes", "materials", "notes", "gauge") or _SIZES_SAID.match(line)
            if not said and not prefix:
                continue
            m = _SIZES.match(line) or prefix
            said = m[1] if m else line if section.kind == "sizes" else None
            if said and (names := _size_names(said)):
                return names
    return ()


def _size_names(words: str) -> tuple[str, ...]:
    """`S (M, L)`, `Baby (Child, Adult)`, `Small [Medium, Large]`, `S/M/L`, `XS-S-M-L`."""
    if m := re.match(r"\W*+([A-Za-z0-9]{1,8}(?:/[A-Za-z0-9]{1,8}){1,9})\s*+\.?\s*+$", words):
        return tuple(m[1].split("/"))
    if m := re.match(
        r"\W*+((?:\d?X{0,3}[SML]|\d{2,3})(?:-(?:\d?X{0,4}[SML]|\d{2,3})){2,9})\s*+\.?\s*+$", words, re.IGNORECASE
    ):
        return tuple(m[1].split("-"))  # "XS-S-M-L"
    m = re.match(r"\W*+([A-Za-z0-9][\w./ -]{0,24}?)\s*+[(\[]([^)\]]{1,120})[)\]]", words)
    if not m:
        return ()
    first = m[1].strip()
    rest = [w.strip() for w in re.split(r"[,:;]" if "/" in first else r"[,:;/]", m[2]) if w.strip()]  # "S/M (L/XL)"
    if (
        not rest
        or any(len(w.split()) > 4 for w in rest)
        or _LENGTH.search(m[1])
        or (first.isdigit() and not all(r.isdigit() for r in rest))
    ):
        return ()
    if len(rest) == 1 and re.search(r"\d", rest[0]) and not (first.isdigit() and rest[0].isdigit()):
        return ()
    return (first, *rest)


def plain(found: list[Section], kind: str) -> tuple[str, ...]:
    """The entries of all sections of a kind, without their list marks."""
    entries = (entry.replace("**", "").strip(" -*•") for s in found if s.kind == kind for entry in _entries(s))
    return tuple(entry for entry in entries if entry)


def _entries(section: Section) -> list[str]:
    """Its lines, each with those that hang below it or end its sentence (`..., so that` / `  no filling shows`)."""
    found: list[str] = []
    margin = 0
    for line, _ in section.lines:
        indent = len(line) - len(line.lstrip())
        above = found[-1] if found else ""
        hangs = indent > margin + 1 and not above.endswith(":") or LEFT_OPEN.search(above)
        if above and line.strip() and hangs and not ENTRY.match(line):
            found[-1] = f"{above} {line.strip()}"
        else:
            found.append(line.rstrip())
            margin = indent
    return found
