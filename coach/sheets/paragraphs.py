"""Lines as they lie on a page → one line for each paragraph, entry or round: where a line ends only because the page
does, the next one goes on with it."""

from __future__ import annotations

import re

from coach.notation.document import ENTRY, LEFT_OPEN
from coach.notation.labels import read_label

FULL = 0.8  # of the widest line: so long is a line that ends where the page does (letters are not all of one width)
_ENDS = re.compile(r"(?:[.!?:]|\d[)\]>])[\"')\]]*$")
_OPEN = re.compile(r"[,;(\[&+–\xad-]$|\b(?:as|between|its|your|each|next|every|same|no|than|then|x)$")


def in_paragraphs(page: str) -> str:
    """page: lines as they lie on it, indented as there."""
    lines = page.split("\n")
    width = max(map(len, lines), default=0)
    out: list[str] = []
    last = ""  # the line above, None behind a blank one
    margin = 0  # of the first line of the paragraph
    for line in lines:
        if out and last.strip() and line.strip() and goes_on(last, line, width, out[-1], _indent(line) > margin + 1):
            out[-1] = together(out[-1], line)
        else:
            out.append(line)
            margin = _indent(line)
        last = line.rstrip()
    return "\n".join(out)


def goes_on(above: str, line: str, width: int, paragraph: str, hangs: bool = False) -> bool:
    """Whether a line goes on with the one above. width: characters of the widest line; paragraph: what both would be
    part of; hangs: the line is indented below its first one."""
    words = line.strip()
    unclosed = paragraph.count("(") + paragraph.count("[") > paragraph.count(")") + paragraph.count("]")
    if LEFT_OPEN.search(above) or _OPEN.search(above):
        return hangs or unclosed or not ENTRY.match(line)
    full, ends = len(above) + 1 + len(words.split()[0]) > FULL * width, _ENDS.search(above)
    if hangs and not ends and (full or words[0].islower()):
        return True
    if ENTRY.match(line) or read_label(line, 0) is not None or ends and not hangs:
        return False
    return full and (hangs or words[0].islower() or words[0] in "([*" or unclosed)


def together(above: str, line: str) -> str:
    """Two lines as one; a hyphen within a word needs no space behind it, one that is only seen at a line's end goes."""
    above, line = above.rstrip(), line.strip()
    if above.endswith("\xad"):
        return above[:-1] + line
    return above + line if re.search(r"\w-$", above) else f"{above} {line}"


def joined(pages: list[str]) -> str:
    """Pages behind one another; a paragraph that runs over to the next one is one line still."""
    out: list[str] = []
    for page in (page.strip("\n") for page in pages if page.strip()):
        first, _, rest = page.partition("\n")
        above = out[-1].rsplit("\n", 1)[-1].rstrip() if out else ""
        if above and goes_on(above, first, len(above), above):
            out[-1] = together(out[-1], first)
            out += [rest] if rest else []
        else:
            out.append(page)
    return "\n\n".join(out)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())
