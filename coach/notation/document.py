"""A page of text → sections: Markdown headings, or short lines followed by rounds where the text has none."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from coach.notation.labels import read_label
from coach.notation.words import NUMBER_WORDS

_HEADING = re.compile(r"(#{1,6})\s+(.*?)\s*#*\s*$")
_MAKE = re.compile(r"[\(\[]?\s*[-:,x]*\s*\b(?:make|work|crochet)?\s*(?:x\s*)?(\d+|one|two|three|four|five|six|seven|eight|nine|ten|twelve)\s*(?:x|times|pieces|of)?\s*[\)\]]?\s*:?\s*$",
                   re.IGNORECASE)
_MAKE_WORD = re.compile(r"\b(make|work|crochet|x)\b|[\(\[]\s*\d+\s*[\)\]]|x\s*\d|\dx", re.IGNORECASE)
_ENTRY = re.compile(r"\s*(?:[-*•]|\d{1,4}[.)])\s+")
_DEFINES = re.compile(r"\s*[\w' -]{1,40}(?:\([\w -]{1,16}\))?\s?[:=]\s")
_STARTS = re.compile(r"\W*(?:ch(?:ain)? \d|chain \w+\.|\d{1,5} ?ch\b|make a (?:chain|magic)|magic (?:ring|circle|loop)|with \w+, ch \d)", re.IGNORECASE)
KINDS = (
    ("materials", r"materials?|supplies|you (will )?need|yarns?( and .*)?|tools?( and .*)?|requirements"),
    ("gauge", r"gauge|tension"),
    ("abbreviations", r"abbreviations?.*|stitch(es)?( guide| key| used| list)?|terms|key|glossary|terminology"),
    ("special", r"special (stitch(es)?|terms|techniques)( used)?|stitch patterns?|pattern stitch(es)?"),
    ("sizes", r"sizes?|measurements|finished (size|measurements)|dimensions"),
    ("assembly", r"assembly|finishing|making up|make up|to (make up|finish|assemble)|sewing|putting (it )?together|joining|construction|assembling.*|final steps"),
    ("notes", r"(pattern |general |special )?notes?.*|before you (begin|start)|about.*|tips?|safety.*|difficulty|level|skill level|introduction|care.*|techniques?"),
)


_AS_PART = re.compile(r"\W*(?:work|make) (?:the )?(?:same )?(?:as|like) (?:for )?(?:the )?\w+\.?\s*$", re.IGNORECASE)
_LISTS = ("materials", "gauge", "abbreviations", "special", "sizes", "notes")


@dataclass(slots=True)
class Section:
    """A heading and the lines under it. kind: one of KINDS, part, or "" for the text before any heading.

    lines: (text, offset) of every line, folded, not empty ones included.
    """

    title: str
    kind: str
    start: int
    end: int
    make: int = 1
    lines: list[tuple[str, int]] = field(default_factory=list)

    def paragraphs(self) -> list[tuple[str, int]]:
        """(text, offset) of every paragraph and every list entry; lines are joined, each character at its offset."""
        found: list[tuple[list[str], int, int]] = []  # lines, offset, end
        fresh = True
        for line, start in self.lines:
            entry = _ENTRY.match(line)
            if not line.strip():
                fresh = True
            elif entry or fresh or (self.kind in ("special", "abbreviations") and _DEFINES.match(line)):
                skip = entry.end() if entry else 0
                found.append(([line[skip:]], start + skip, start + len(line)))
                fresh = False
            else:
                lines, at, end = found[-1]
                lines += [" " * (start - end), line]
                found[-1] = (lines, at, start + len(line))
        return [("".join(lines), at) for lines, at, _ in found]


def sections(folded: str) -> tuple[str, list[Section]]:
    """(title, sections in order) of a folded text."""
    lines = [(line, start) for line, start in _lines(folded)]
    marked = any(re.match(r"#{1,6}\s+\S", line) for line, _ in lines)
    title = ""
    current = Section("", "", 0, 0)
    found = [current]
    for i, (line, start) in enumerate(lines):
        heading = _heading(line) if marked else None
        if heading is None and (_plain_heading(lines, i) if not marked else _bold_heading(lines, i)):
            heading = (2, line.strip(" *_:"))
        if heading is None:
            if current.kind in _LISTS and line.strip() and not line.lstrip().startswith("-") and (read_label(line, start) or _STARTS.match(line)):
                current = Section("", "", start, start)  # a pasted list ends where the work begins
                found.append(current)
            current.lines.append((line, start))
            continue
        level, words = heading
        if level == 1 and not title:
            title = words
            continue
        name, make = split_make(words)
        current = Section(name, section_kind(name), start, start + len(line), make)
        found.append(current)
    if not marked and not title:
        title = _plain_title(found)
    return title, found


def section_kind(name: str) -> str:
    """The kind of section a heading opens."""
    plain = name.strip(" :.*_").lower()
    for kind, words in KINDS:
        if re.fullmatch(words, plain):
            return kind
    return "part"


def split_make(words: str) -> tuple[str, int]:
    """`Fin (make 2)` → ("Fin", 2)."""
    words = words.strip(" *_").rstrip(":").strip()
    if m := re.match(r"(\d{1,2}|two|three|four|five|six|eight)\s+(?=[a-z]+s$)", words, re.IGNORECASE):  # "2 ears"
        return words[m.end():], int(m[1]) if m[1].isdigit() else NUMBER_WORDS[m[1].lower()]
    if m := re.search(r"[\s\-,:]*[\(\[]\s*(?:both|a pair|pair)\s*[\)\]]\s*$", words, re.IGNORECASE):
        return words[:m.start()].strip() or words, 2
    m = _MAKE.search(words)
    if m and _MAKE_WORD.search(m.group()):
        n = int(m[1]) if m[1].isdigit() else NUMBER_WORDS[m[1].lower()]
        if 1 <= n <= 100 and words[:m.start()].strip(" -:,("):
            return words[:m.start()].strip(" -:,("), n
    return words, 1


def _lines(text: str) -> list[tuple[str, int]]:
    found, start = [], 0
    for line in text.split("\n"):
        found.append((line, start))
        start += len(line) + 1
    return found


def _heading(line: str) -> tuple[int, str] | None:
    m = _HEADING.match(line.strip())
    return (len(m[1]), m[2]) if m and m[2] else None


def _bold_heading(lines: list[tuple[str, int]], i: int) -> bool:
    line = lines[i][0].strip()
    return bool(re.fullmatch(r"\*\*[^*]+\*\*:?", line)) and len(line) < 60 and read_label(line, 0) is None


def _plain_heading(lines: list[tuple[str, int]], i: int) -> bool:
    """A short line that stands before rounds (or names a usual section) is a heading."""
    line = lines[i][0].strip()
    words = line.strip(" *_:#-").split()
    if not words or len(words) > 7 or len(line) > 50 or read_label(line, 0, bare=True):
        return False
    named = section_kind(line.strip(" :*_"))
    if named not in ("part", "notes") and (len(words) <= 3) and not line.endswith("."):
        return line.endswith(":") or i == 0 or not lines[i - 1][0].strip() or line.isupper() or (i + 1 < len(lines) and bool(lines[i + 1][0].strip()))
    if line.endswith((".", ",", ";", "!", "?")) or re.search(r"\d+\s*(sc|dc|st|ch)\b|\b(sc|dc|hdc|inc|dec|ch|sts?|sl st|rep|turn)\b", line, re.IGNORECASE):
        return False
    if re.match(r"(?:tip|note|hint|photo|picture|fig|page|size)\b", line, re.IGNORECASE) or re.fullmatch(r"[\d\W]*(of \d+)?", line):
        return False
    if not re.match(r"[A-Z0-9*_(\"']", line):
        return False
    for later, _ in lines[i + 1:i + 6]:
        if not later.strip():
            continue
        if _AS_PART.match(later):
            return True
        label = read_label(later, 0, bare=True)
        if label is not None:
            return label.base or (label.numbers is not None and (label.numbers[0] <= 1 or bool(_MAKE.search(line)) or line.endswith(":") or line.isupper()))
        if re.match(r"\W*(ch|chain|make a (magic|chain)|magic|mr|start|with|using|foundation|fsc|begin|work in|worked|(color|colour) )\b", later, re.IGNORECASE) or len(
                later.split()) > 3:
            continue
        return False
    return False


def _plain_title(found: list[Section]) -> str:
    """The first line of a pasted text, when it is short and no sentence."""
    for section in found[:1]:
        for line, _ in section.lines:
            if line.strip():
                words = line.strip(" *_#")
                if len(words.split()) <= 8 and not words.endswith((".", ":", ",")) and read_label(line, 0, bare=True) is None and not re.search(
                        r"\d+\s*(sc|dc|st|ch)\b|\b(sc|dc|hdc|inc|dec|ch|sts?|sl st|chain|mr|magic)\b", words, re.IGNORECASE):
                    return words
                return ""
    return ""
