"""A section's lines → blocks: a labelled instruction with the lines that go on with it, or the prose between two."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.notation import prose
from coach.notation.document import LEFT_OPEN, STARTS, Section
from coach.notation.labels import INSIDE, ORDINAL, Label, read_label
from coach.notation.per_size import SIZES_FIRST
from coach.notation.references import read_reference
from coach.notation.words import NUMBER_WORDS

_WORKED = re.compile(
    r"\b(?:\d*(?:(?:f|fp|bp|e)?(?:sc|dc|hdc|tr)|inc|dec|ch|mr|htr)\d*|(?:in|de)creas(?:e|ing)|sl st|magic ring|chain"
    r"|trebles?|doubles?|crochet)\b",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"\W{0,4}(?P<n>\d{1,3})(?:\s?(?:-|to|,|and|&)\s?\d{1,3}){0,8}\s?[.):]\s*+", re.IGNORECASE)
_SAYS_A_ROUND = re.compile(
    r"(?:(?:same|like|as) |plain\b|widen|narrow|make \d|draw up|leave \d|work even\b"
    r"|rep(?:eat)? (?:the )?(?:\d|(?:last|previous|rows?|rnds?|rounds?)\b|r\d)"
    rf"|(?:{'|'.join(NUMBER_WORDS)})(?:-\w+)? \w+s\b)",
    re.IGNORECASE,
)
_FURNITURE = re.compile(
    r"\s*+(?:-?\s*+\d{1,4}\s*+-?|(?:.{1,60}\W)?page\s++\d{1,4}(?:\s*+(?:of|/)\s*+\d{1,4})?|\d{1,4}\s*+/\s*+\d{1,4}"
    r"|(?:©|\(c\) |copyright\b|https?:|www\.).{0,90}|(?-i:[A-Z][A-Z' &-]{2,50}) {3,}\d{1,4}"
    r"|\[?(?:fig(?:ure)?|photo|picture|image|illustration)\b.{0,60})\s*+",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    r"\s*+(?:rep(?:eat)?\b|\*|ending\b|join\b|turn\b|\(\d|\[\d|- \d+ |= ?\d|x ?\d|\d{1,3} times"
    r"|\d{1,5} (?:sts?|stitches)\W*$)",
    re.IGNORECASE,
)
_BEHIND_A_GROUP = re.compile(r"\s*+(?:(?:in(?:to)?|over|to|and|then) [a-z\d]|around\b|across\b)")
_COMPLETE = re.compile(r"(?:[.!)\]>]|=\s?\d{1,6}(?: (?:sts?|stitches|sc|dc|hdc|tr))?|—\s?\d{1,6}\s?(?:sts?|sc|dc)?)$")
_ENDS_A_ROUND = re.compile(r"(?:\d[)\]>]|=\s?\d{1,6}|\.|^\W*(?:mr|magic ring) \d{1,3})$", re.IGNORECASE)
_DECORATED = re.compile(  # "*Neck*", "=== Sides ===": a heading between rounds that go on
    r"\s*+(?:[*_~=#]{1,6}|[^\w\s!-~]{1,4})\s?[A-Za-z][A-Za-z' ]{1,30}?\s?(?:[*_~=#]{1,6}|[^\w\s!-~]{1,4})\s*+"
)
_NAME = re.compile(r"\s*+[A-Z][a-z]+(?: [a-z]+){0,2}\s*+")  # "Body", on a line of its own between rounds that go on
LONGEST_TYPED = 70  # characters of a line that is broken by its writer
_GOES_FURTHER = re.compile(r"[.!?] \w|[.,;:*(\[-]$|\b(?:and|then|in|the|each|next|of|to)$", re.IGNORECASE)
_ENTRY = re.compile(r"\s*+[-•]\s++(?!\*)|\s*+\*\s++(?=[A-Z][^*]{0,400}$)")


class Block:
    """Lines as they are gathered; joining them keeps every character at its offset."""

    def __init__(self, text: str, start: int, label: Label | None):
        self.parts = [text]
        self.start = start
        self.label = label
        self.end = start + len(text)
        self.depth = 0  # brackets that are still open
        self.tail = ""
        self._seen(text)

    def _seen(self, text: str) -> None:
        opened = text.count("(") + text.count("[") + text.count("{")
        closed = text.count(")") + text.count("]") + text.count("}")
        self.depth = max(self.depth + opened - closed, 0)
        self.tail = (self.tail + text)[-40:].rstrip() if text.strip() else self.tail

    def add(self, text: str, start: int) -> None:
        self.parts += [" " * (start - self.end), text]
        self.end = start + len(text)
        self._seen(text)

    @property
    def unfinished(self) -> bool:
        return self.depth > 0 or not self.tail or self.tail.endswith((",", ";", "-", "*"))

    @property
    def complete(self) -> bool:
        return bool(_COMPLETE.search(self.tail))

    @property
    def is_a_name(self) -> bool:
        return len(self.parts) == 1 and bool(_NAME.fullmatch(self.parts[0])) and not _WORKED.search(self.parts[0])

    @property
    def ends_a_round(self) -> bool:
        return not self.depth and bool(_ENDS_A_ROUND.search(self.tail))

    def done(self) -> tuple[str, int, Label | None]:
        return "".join(self.parts), self.start, self.label


def blocks(section: Section, bare: bool, free: bool = False) -> Iterator[tuple[str, int, Label | None]]:
    """(text, offset, label) of every block of a section. bare: it has no labels but numbers, as `labelled` tells; free:
    no round has a label, so a line that is complete ends one."""
    block: Block | None = None
    numbered: set[int] = set()
    line_by_line = free and _is_line_by_line(section)
    for line, start in section.lines:
        for piece, where in _pieces(line, start):
            label = read_label(
                piece, where, bare and bool(_WORKED.search(piece)) or _goes_on_counting(piece, numbered, bare)
            )
            if label is not None:
                numbered.update(label.numbers or ())
                if block:
                    yield block.done()
                block = Block(piece[label.end - where :], label.end, label)
            elif not piece.strip():
                if block and (block.label is None or not block.unfinished):
                    yield block.done()
                    block = None
            elif _FURNITURE.fullmatch(piece):
                continue
            elif block and _goes_on(block, piece) and not (line_by_line or free and block.ends_a_round):
                block.add(piece, where)
            else:
                if block:
                    yield block.done()
                entry = _ENTRY.match(piece)
                offset = entry.end() if entry else 0
                block = Block(piece[offset:], where + offset, None)
    if block:
        yield block.done()


def _is_line_by_line(section: Section) -> bool:
    """Whether a text without full stops and commas at its line's ends has a round on each line, as one typed on a
    phone."""
    lines = [line.strip() for line, _ in section.lines if line.strip()]
    return all(len(line) <= LONGEST_TYPED and not _GOES_FURTHER.search(line) for line in lines)


def _goes_on_counting(line: str, numbered: set[int], bare: bool) -> bool:
    """Whether a line has the next number before it, or one that was left out, and says what a round may be without
    naming a stitch: `5. Plain`, `6. Same as 2d row`, `3rd: 1 red in next`."""
    if not numbered or not line.lstrip(" *->(")[:1].isdigit():
        return False
    m = (ORDINAL.match(line) or (_NUMBER.match(line) if bare else None)) if numbered else None
    if m is None or int(m["n"]) in numbered or int(m["n"]) - 1 not in numbered:
        return False
    return m.re is ORDINAL or _SAYS_A_ROUND.match(line, m.end()) is not None


def labelled(section: Section) -> tuple[bool, bool]:
    """(whether a section has labels, whether none of them is more than a number)."""
    found = labels(section)
    first = next(found, None)
    return first is not None, first is None or first.bare and all(label.bare for label in found)


def labels(section: Section) -> Iterator[Label]:
    """Every label that a line of the section starts with or holds."""
    for line, start in section.lines:
        for piece, where in _pieces(line, start):
            label = read_label(piece, where, bare=True)
            if label and (not label.bare or _WORKED.search(piece)):
                yield label


def _pieces(line: str, start: int) -> Iterator[tuple[str, int]]:
    """A line cut before every label that stands inside it."""
    at = 0
    for m in INSIDE.finditer(line):
        yield line[at : m.start() + len(m[0].rstrip())], start + at
        at = m.end()
    yield line[at:], start + at


def _goes_on(block: Block, line: str) -> bool:
    """Whether a line without a label carries on the block before it."""
    if SIZES_FIRST.match(line):
        return False
    if block.label is None:
        if block.is_a_name and line.lstrip()[:1].isupper():
            return False
        starts = STARTS.match(line) and not LEFT_OPEN.search(block.tail)
        return not _ENTRY.match(line) and not starts and not _is_reference(line)
    if _DECORATED.fullmatch(line):
        return False
    if block.unfinished:
        return True
    if _is_reference(line):
        return False
    if _GOES_ON.match(line) and not line.rstrip().endswith(":"):
        return True
    first = line.lstrip()[:1]
    if first.islower() and not block.complete or block.tail.endswith((")", "]")) and _BEHIND_A_GROUP.match(line):
        return True
    return not prose.is_surely_prose(line) and first != "#" and not block.complete


def _is_reference(line: str) -> bool:
    """`Rep Rows 2 and 3 twice` on a line of its own is no part of the row before it."""
    found = read_reference(line)
    return found is not None and (found.extends or bool(found.numbers))
