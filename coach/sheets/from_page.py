"""A web page's text: a line for each block, headings marked, numbers of lists kept; scripts and menus are left out,
and told."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from coach.notation.labels import read_label
from coach.sheets.cells import as_line
from coach.sheets.extract import Extracted, shortened

BLOCKS = frozenset(
    "p div li tr br hr section article main header h1 h2 h3 h4 h5 h6 ul ol table "
    "blockquote pre dl dd dt figure figcaption caption details summary textarea form fieldset legend label "
    "address".split()
)
NEVER = frozenset("script style svg template title object iframe".split())
ELSEWHERE = ("iframe", "object", "embed")
MENUS = frozenset("nav footer aside noscript button select".split())
CHARSET = re.compile(rb"<meta[^>]{0,200}charset\s*=\s*[\"']?\s*([\w-]{1,40})", re.IGNORECASE)

NUMBER = re.compile(r"\d{1,6}\. ")
BEGINS = re.compile(
    r"\W*(?:(?:rnd|round|row|r) ?1\b|mr\b|ch(?:ain)? \d|.{0,30}\bmagic (?:ring|circle)|\d+ sc in (?:mr|ring))", re.I
)


def _number(written: str) -> int | None:
    return int(written[:6]) if written[:6].isdigit() else None


def _without_number(line: str) -> str:
    """An entry of a list that has a round's own label needs no number more."""
    m = NUMBER.match(line)
    return line[m.end() :] if m and read_label(line[m.end() :], 0) else line


def page(data: bytes) -> Extracted:
    """The text of a web page."""
    text = decoded(data)
    read = _read(text, NEVER | MENUS)
    if not re.search(
        r"\b(rnds?|rounds?|rows?)\b.{0,3}\d", read.text(), re.IGNORECASE
    ):  # a menu that was never closed hides all
        wider = _read(text, NEVER)
        if len(wider.text()) > len(read.text()):
            read = wider
    left_out = [f'The page\'s {kind}: "{shortened(words)}".' for kind, words in read.silent_words.items() if words]
    unseen = (words for words in read.pictures if words not in read.text())
    left_out += [f'A picture that is described as "{shortened(words)}".' for words in unseen]
    left_out += [f"What the page shows from elsewhere ({kind})." for kind in read.elsewhere]
    return Extracted(read.text(), tuple(left_out))


def decoded(data: bytes) -> str:
    """The text in the encoding that the page names, else UTF-8, else Windows' western one."""
    named = CHARSET.search(data[:4096])
    encodings = [named[1].decode("ascii", "replace")] if named else []
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings.insert(0, "utf-16")
    for encoding in (*encodings, "utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except (UnicodeDecodeError, LookupError):
            continue
    return data.decode("utf-8", "replace")


def _read(text: str, silent: frozenset[str]) -> _Page:
    found = _Page(silent)
    found.feed(text)
    found.close()
    return found


class _Page(HTMLParser):
    def __init__(self, silent: frozenset[str]) -> None:
        super().__init__(convert_charrefs=True)
        self.silent = silent
        self.out: list[str] = []
        self.hidden: list[str] = []  # open elements that are not taken over
        self.silent_words: dict[str, str] = {}
        self.pictures: dict[str, None] = {}  # what pictures are said to show
        self.elsewhere: dict[str, None] = {}  # elements that show another page
        self.lists: list[int | None] = []  # the next number of each open list, None where it has none
        self.next_number = 1  # of a list that goes on behind a picture or a sentence
        self.cells: list[list[str]] = []  # rows of the open tables

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "body":
            self.hidden.clear()  # a head that was never closed
        if tag in ELSEWHERE:
            self.elsewhere[tag] = None
        if tag in self.silent:
            self.hidden.append(tag)
        if self.hidden:
            return
        if tag == "img" and (words := " ".join((dict(attrs).get("alt") or "").split())):
            self.pictures[words] = None
        if tag == "tr":
            self._end_row()
            self.cells.append([])
        elif tag in ("td", "th") and self.cells:
            self.cells[-1].append("")
        elif tag in ("ol", "ul"):
            start = dict(attrs).get("start") or ""
            goes_on = self.next_number if not self.lists else 1
            self.lists.append((_number(start) or goes_on) if tag == "ol" else None)
        if tag in BLOCKS and not self._in_cell() and not self._at_number():
            self.out.append("\n")
        if tag in ("h1", "h2", "h3", "h4") and not self._in_cell():
            self.out.append("#" * min(int(tag[1]), 2) + " ")
            self.next_number = 1
        elif tag == "li" and self.lists and self.lists[-1] is not None:
            self.lists[-1] = _number(dict(attrs).get("value") or "") or self.lists[-1]
            self.out.append(f"{self.lists[-1]}. ")
            self.lists[-1] += 1
        elif tag == "br" and self._in_cell():
            self._say(" ")

    def handle_endtag(self, tag: str) -> None:
        if self.hidden:
            if tag in self.hidden:
                del self.hidden[self.hidden.index(tag) :]
            return
        if tag in ("tr", "table"):
            self._end_row()
        elif tag in ("ol", "ul") and self.lists:
            ended = self.lists.pop()
            if ended is not None and not self.lists:
                self.next_number = ended
        if tag in BLOCKS and not self._in_cell():
            self.out.append("\n")

    def handle_data(self, data: str) -> None:
        words = re.sub(r"\s+", " ", data)
        if not self.hidden and self._at_number() and len(self.lists) == 1 and BEGINS.match(words):
            self.out[-1], self.lists[-1] = "1. ", 2  # a list that goes on from no other one
        if not self.hidden:
            self._say(words)
        elif not NEVER.intersection(self.hidden) and words.strip():
            before = self.silent_words.get(self.hidden[0], "")
            if len(before) < 200:
                self.silent_words[self.hidden[0]] = f"{before} {words}".strip()

    def _at_number(self) -> bool:
        """Whether the number of a list was the last thing, so that what follows stands behind it."""
        return bool(self.out) and NUMBER.fullmatch(self.out[-1]) is not None

    def _in_cell(self) -> bool:
        return bool(self.cells and self.cells[-1])

    def _say(self, words: str) -> None:
        if self._in_cell():
            self.cells[-1][-1] += words
        else:
            self.out.append(words)

    def _end_row(self) -> None:
        if self.cells:
            row = as_line(self.cells.pop())
            self.out.append(f"\n{row}\n")

    def text(self) -> str:
        lines = [_without_number(" ".join(line.split())) for line in "".join(self.out).split("\n")]
        return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip() + "\n"
