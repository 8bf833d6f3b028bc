"""A page of text → sections: Markdown headings, or short lines followed by rounds where the text has none."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import dropwhile, islice, pairwise

from coach.notation.colour_names import read_colour
from coach.notation.cursor import Cursor
from coach.notation.header_lines import header_lines, is_header, is_read_out
from coach.notation.labels import may_be_labelled, read_label
from coach.notation.lexer import pieces
from coach.notation.words import NUMBER_WORDS

LONGEST_HEADING = 200
LONGEST_HEADER = 20  # lines between a heading and the rounds below it
_SMALL = "one|two|three|four|five|six|seven|eight|nine|ten|twelve"
_MAKE = re.compile(
    rf"[(\[]?\s?[-:,x]?\s?\b(?:make|work|crochet)?\s?(?:x\s?)?(?P<n>\d{{1,4}}|{_SMALL})\s?(?:x|times|pieces|"
    rf"of)?,?\s?(?:the same|alike)?(?:in [\w ]{{2,20}})?[)\]]?\s?:?$",
    re.IGNORECASE,
)
_MAKE_SAID = re.compile(
    rf"\s?[(\[](?:make|work|crochet) (?P<n>\d{{1,2}}|{_SMALL})\b(?P<more>[^()\[\]\d]{{0,40}})[)\]]"
    r"\s?(?:,\s(?P<also>[a-z][a-z ,'-]{2,40}))?:?$",
    re.IGNORECASE,
)
_IN_COLOUR = re.compile(  # "Body (start with A)", "Beak (in orange)"
    r"\s?[(\[](?P<also>(?:(?:start|starting|begin|beginning|worked) )?(?:with|in|using) (?:colou?r )?"
    r"(?P<colour>[\w-]{1,14})(?: yarn)?)[)\]]\s?:?$",
    re.IGNORECASE,
)
_SAME = re.compile(r"(?:of )?(?:the same|alike|times|pieces|each|in all|these|them|identical)", re.IGNORECASE)
_MAKE_WORD = re.compile(r"\b(make|work|crochet|x)\b|[(\[]\s?\d+\s?[)\]]|x\s?\d|\dx", re.IGNORECASE)
_OF_A_WHOLE = re.compile(  # what is named so among other parts is not all of the work
    r"(?:body|head|legs?|arms?|ears?|tail|front|back|sleeves?|yoke|crown|brim|base|bottom|top|sides?|foot|feet|hands?|cuff|sole)",
    re.IGNORECASE,
)
_NAME = re.compile(r"\s*+[A-Z][A-Za-z]+(?: [A-Za-z]+){0,2}\s?:?\s*+")
_PAIR = re.compile(  # "Arm 1 and 2", "Ears (both)"
    r"[\s\-,:]?\s?(?:[(\[]\s?(?:both|a pair|pair)\s?[)\]]|\b(?:1|one)\s?(?:and|&|\+|/)\s?(?:2|two))$", re.IGNORECASE
)
_SEVERAL = re.compile(rf"(?P<n>\d{{1,2}}|{_SMALL})(?:\s?x)?\s++(?=[a-z]+(?:s|ae)$)", re.IGNORECASE)
ENTRY = re.compile(r"\s*+(?:[-*•]|\d{1,4}[.)])\s++")
_DEFINES = re.compile(r"\s*+[\w' -]{1,40}(?:\([\w -]{1,16}\))?\s?[:=]\s")
STARTS = re.compile(
    r"\W*+(?:ch(?:ain)? \d|chain \w+\.|\d{1,5} ?ch\b|(?:start:? |begin )?(?:with )?(?:make )?an? (?:chain|magic)|"
    r"(?:start:? |begin )?(?:with )?(?:magic (?:ring|circle|loop)|mr\b|\d+ ?\w+ in(?:to)? (?:an? |"
    r"the )?(?:mr\b|magic))|"
    r"with \w+, ch \d|(?:start|begin) (?:with|by) (?:\d{1,4} ?ch|ch(?:ain(?:ing)?)? ?\d)|to (?:start|begin), ch|"
    r"(?:foundation|base|beginning|starting)(?: ch(?:ain)?| ring| circle)? ?[:—-]|ring: )",
    re.IGNORECASE,
)
LEFT_OPEN = re.compile(r"\b(?:of|the|an?|and|or|with|to|in|into|on|at|by|for|from|is|are)\s*+$")  # no sentence ends so
_INTO_IT = re.compile(r"from (?:the )?hook|in(?:to)? (?:an? |the )?(?:ring|mr|magic|each ch)", re.IGNORECASE)
_BEFORE_WORK = re.compile(
    r"\W*+(?:ch|chain|make a (?:magic|chain)|magic|mr|start|with|using|foundation|fsc|begin|work in|worked|colou?r )\b",
    re.IGNORECASE,
)
_INSTRUCTION = re.compile(r"\d\s?(?:sc|dc|st|ch)\b|\b(?:sc|dc|hdc|inc|dec|ch|sts?|sl st|rep|turn)\b", re.IGNORECASE)
_NO_TITLE = re.compile(r"\d\s?(?:sc|dc|st|ch)\b|\b(?:sc|dc|hdc|inc|dec|ch|sts?|sl st|chain|mr|magic)\b", re.IGNORECASE)
_NO_HEADING = re.compile(
    r"(?:(?:u\.?[ks]\.?|british|american|english)\b.*\bterms?\b|tips?|notes?|hint|photo|picture|fig|page|sizes?|multiple)\b"
    r"|.*\bpage \d{1,4}$|[\d\W]*(?:of \d+)?$",
    re.IGNORECASE,
)
_SENTENCE = re.compile(  # what a line has that is no name of a part: a verb, a pronoun, an order
    r"(?:start|begin|use|using|with|work(?:ed|ing)?|crochet|make|made|leave|change|join|continue|attach|sew|stuff|add|cut|keep|"
    r"turn|count|fold|place|insert|mark|repeat|follow|see|do|don't|before|after|from|at|when|if|once|now|then|next|here|hold|"
    r"yarn|colou?r|right side|wrong side)\b"
    r"|.*\b(?:is|are|was|were|be|been|will|should|can|may|must|has|have|does|do|not|it|its|they|we|you|your|this|these|there|"
    r"begins?|starts?|goes|go|comes?|makes?|needs?|looks?|worked|sewn|facing)\b",
    re.IGNORECASE,
)
_MAKE_LINE = re.compile(
    rf"\W*(?:make|work|crochet)\s+(?P<n>\d{{1,2}}|{_SMALL})(?:\s+(?:of (?:these|them)|pieces|alike|the same))?\W*$",
    re.IGNORECASE,
)
_FOR_THE = re.compile(
    r"(?:now\s+)?(?:(?:for|make|crochet|work)\s+)?the\s+(?P<name>\w+(?:\s\w+){0,2}?)\s*(?=[:(]|$)", re.IGNORECASE
)
_NO_NAME = re.compile(r"\W*(?:free |the )?(?:crochet )?(?:pattern|instructions|directions|pdf)\W*$", re.IGNORECASE)
_AS_PART = re.compile(
    r"\W*+(?:(?:work|make) (?:the )?(?:same )?|(?:the )?same )(?:as|like) (?:for )?(?:the )?\w+(?: \w+)?\.?\s?$",
    re.IGNORECASE,
)
_NOTES_HEADING = re.compile(
    r"\W{0,4}(?:(?:pattern |general |special )?notes|before you (?:begin|start)|tips|safety)\s?:?", re.I
)
_LISTS = ("materials", "gauge", "abbreviations", "special", "sizes", "notes")
KINDS = (
    (
        "materials",
        r"materials?|supplies|(what |things )?you('ll| will)? need|yarns?( and .*)?|tools?( and .*)?|requirements",
    ),
    ("gauge", r"gauge|tension"),
    ("abbreviations", r"abbreviations?.*|stitch(es)?( guide| key| used| list)?|terms|key|glossary|terminology"),
    ("special", r"special (stitch(es)?|terms|techniques)( used)?|stitch patterns?|pattern stitch(es)?"),
    ("sizes", r"sizes?( and shape)?|measurements|finished (size|measurements)|dimensions"),
    (
        "assembly",
        r"assembly|finishing|making up|make up|to (make up|finish|assemble)|sewing|putting (it )?together|joining|"
        r"construction|assembling.*"
        r"|final steps",
    ),
    (
        "notes",
        r"(pattern |general |special )?notes?.*|before you (begin|start)|about.*|tips?|safety.*|difficulty|level|"
        r"skill level|introduction|care.*"
        r"|techniques?",
    ),
)


@dataclass(slots=True)
class Section:
    """A heading and the lines under it. kind: one of KINDS, part, or "" for the text before any heading.

    lines: (text, offset) of every line, folded, empty ones included.
    """

    title: str
    kind: str
    start: int
    end: int
    make: int = 1
    lines: list[tuple[str, int]] = field(default_factory=list)

    def paragraphs(self, defining: bool = False) -> list[tuple[str, int]]:
        """(text, offset) of every paragraph and every list entry; lines are joined, each character at its offset.
        defining: a line that defines a name begins one, too."""
        found: list[tuple[list[str], int, int]] = []  # lines, offset, end
        fresh = True
        for line, start in self.lines:
            entry = ENTRY.match(line)
            if not line.strip():
                fresh = True
            elif (
                entry
                or fresh
                or may_be_labelled(line)
                or ((defining or self.kind in ("special", "abbreviations")) and _DEFINES.match(line))
            ):
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
    lines = _lines(folded)
    marked = any(_heading(line) for line, _ in lines)
    title = ""
    first = current = Section("", "", 0, 0)
    found = [current]
    before_work = True
    for i, (line, start) in enumerate(lines):
        heading = _heading(line) if marked else None
        plain = not marked and (
            _plain_heading(lines, i) or before_work and _heads_notes(line, current) or _joins(lines, i, current)
        )
        if heading is None and (plain or marked and _bold_heading(line)):
            heading = (2, line.strip(" *_:"))
        if heading is None:
            if (
                current.kind == "part"
                and (m := _MAKE_LINE.match(line))
                and not any(text.strip() for text, _ in current.lines)
            ):
                current.make = _number(m["n"])
                line = " " * len(line)
            if current.kind in _LISTS and (_begins_work(line, start) or is_read_out(line)):
                current = Section("", "", start, start)  # a pasted list ends where the work begins
                found.append(current)
            told = (
                header_lines(line, start) if before_work and current.kind in ("", "part", "notes", "materials") else []
            )
            if current.kind == "materials" and any(kind != "gauge" for kind, _, _ in told):
                told = []  # the rest of what stands in a list of materials is of that list
            found[-1:] = [*(Section("", kind, at, at, lines=[(words, at)]) for kind, words, at in told), current]
            before_work = before_work and not _begins_work(line, start)
            current.lines.append((" " * len(line) if told else line, start))
            continue
        level, words = heading
        if not marked and (m := _FOR_THE.match(words)):
            words = m["name"] + words[m.end() :]
        if level == 1 and not title:
            title = words
            continue
        name, make = split_make(words)
        if not marked and _titles_a_number(words) and not any(text.strip() for text, _ in lines[:i]):
            name, make = words, 1  # the title of the whole text, "Two hearts"
        current = Section(name, section_kind(name), start, start + len(line), make)
        found.append(current)
        if remark := _remark(line):
            current.lines += [(remark[0], start + remark[1]), ("", start + len(line))]
    if not title and not marked and (title := _plain_title(first)):
        at = next(i for i, (line, _) in enumerate(first.lines) if title in line)
        line, start = first.lines[at]
        first.lines.insert(at + 1, ("", start + len(line)))  # what follows is another paragraph
    return title or ("" if marked else _headed_title(found)), found


def section_kind(name: str) -> str:
    """The kind of section a heading opens."""
    plain = name.strip(" :.*_").lower()[:LONGEST_HEADING]
    return next((kind for kind, words in KINDS if re.fullmatch(words, plain)), "part")


def split_make(words: str) -> tuple[str, int]:
    """`Fin (make 2)` → ("Fin", 2)."""
    words = words.strip(" *_").rstrip(":").strip()
    if m := _SEVERAL.match(words):  # "2 ears"
        return words[m.end() :], _number(m["n"])
    if m := _PAIR.search(words):
        return words[: m.start()].strip() or words, 2
    if (m := _MAKE_SAID.search(words)) and words[: m.start()].strip():  # "Ears (make two, white and pink)"
        return words[: m.start()].strip(" -:,"), _number(m["n"])
    if (m := _in_colour(words)) and words[: m.start()].strip():
        return split_make(words[: m.start()])
    m = _MAKE.search(words)
    if (
        m
        and _MAKE_WORD.search(m.group())
        and 1 <= _number(m["n"]) <= 100
        and (name := words[: m.start()].strip(" -:,("))
    ):
        return name, _number(m["n"])
    return words, 1


def _remark(line: str) -> tuple[str, int] | None:
    """(words, where) of a heading that tell more than how many are made: `Wing (make 2, with B)` → "with B", `Tail
    (make 2), worked flat` → "worked flat"."""
    m = _MAKE_SAID.search(line) or _in_colour(line)
    if m is not None and m["also"]:
        return m["also"], m.start("also")
    if m is None or not (words := m["more"].strip(" ,;:-")) or _SAME.fullmatch(words):
        return None
    return words, m.start("more") + m["more"].index(words)


def _in_colour(line: str) -> re.Match | None:
    """The colour in brackets that a heading ends with; `Hat (with ears)` has none."""
    m = _IN_COLOUR.search(line)
    return m if m and read_colour(Cursor(pieces(m["colour"].lower()))) else None


def _titles_a_number(words: str) -> bool:
    """Whether words begin with a number in letters, and say nothing else of how many are made."""
    m = _SEVERAL.match(words)
    return bool(m) and not m["n"].isdigit() and split_make(words) == (words[m.end() :], _number(m["n"]))


def _number(word: str) -> int:
    return int(word) if word.isdigit() else NUMBER_WORDS[word.lower()]


def _lines(text: str) -> list[tuple[str, int]]:
    found, start = [], 0
    for line in text.split("\n"):
        found.append((line, start))
        start += len(line) + 1
    return found


# -------------------------------------------------------------------- headings
def _heading(line: str) -> tuple[int, str] | None:
    """(level, words) of a Markdown heading."""
    line = line.strip()
    if not line.startswith("#"):
        return None
    words = line.lstrip("#")
    level = len(line) - len(words)
    if not 1 <= level <= 6 or not words.startswith(" ") or len(line) > LONGEST_HEADING:
        return None
    words = words.strip().rstrip("#").strip()
    return (level, words) if words else None


def _bold_heading(line: str) -> bool:
    line = line.strip()
    return (
        line.startswith("**")
        and len(line) < 60
        and bool(re.fullmatch(r"\*\*[^*]+\*\*:?", line))
        and read_label(line, 0) is None
    )


def _plain_heading(lines: list[tuple[str, int]], i: int) -> bool:
    """A short line that stands before rounds (or names a usual section) is a heading."""
    line = lines[i][0].strip()
    words = line.strip(" *_:#-").split()
    if not words or len(words) > 7 or len(line) > 50 or read_label(line, 0, bare=True):
        return False
    if section_kind(line.strip(" :*_")) not in ("part", "notes") and len(words) <= 3 and not line.endswith("."):
        after = lines[i + 1][0].strip() if i + 1 < len(lines) else ""
        return i == 0 or not lines[i - 1][0].strip() or line.endswith(":") or line.isupper() or bool(after)
    if (
        line.endswith((".", ",", ";", "!", "?"))
        or _INSTRUCTION.search(line)
        or _NO_HEADING.match(line)
        or is_header(line)
        or STARTS.match(line)
        or LEFT_OPEN.search(line)
        or re.match(r"ch(?:ain)?s?\s+\S+$", line, re.IGNORECASE)
        or not (re.match(r"[A-Z0-9*_(\"']", line) or _MAKE_SAID.search(line))
    ):
        return False
    near = [text for text, _ in lines[i + 1 : i + 1 + LONGEST_HEADER]]
    later = (text for above, text in pairwise(("", *near)) if not above.strip() or not _carries_on(text, above))
    below = dropwhile(lambda text: not text.strip() or is_header(text), later)
    following = [text for text in islice(below, 5) if text.strip() and not is_header(text)]
    if _SENTENCE.match(re.sub(r"[(\[].*?[)\]]", "", split_make(line)[0])):
        return bool(_FOR_THE.match(line)) and bool(following) and _opens_a_part(following[0])
    return _stands_before_rounds(line, following)


def _joins(lines: list[tuple[str, int]], i: int, current: Section) -> bool:
    """Whether a line names the part that joins the pieces of the one before: `Body`, and below it `Rnd 5: sc in 10 sts
    of the first leg ...` behind `Legs (make 2)`."""
    name = lines[i][0]
    if current.make < 2 or not _NAME.fullmatch(name) or i + 1 >= len(lines):
        return False
    below, piece = lines[i + 1][0], current.title.lower().removesuffix("s")
    label = read_label(below, 0)
    return label is not None and len(piece) > 2 and piece in below[label.end :].lower()


def _carries_on(line: str, above: str) -> bool:
    """Whether a line before the rounds only ends the sentence of the one above (`and move it up as you go.`)."""
    if read_label(line, 0, bare=True) is not None:
        return False
    return bool(LEFT_OPEN.search(above)) or line.lstrip()[:1].islower() and not STARTS.match(line)


def _heads_notes(line: str, current: Section) -> bool:
    """Whether a line before the work heads remarks, and so ends a list above it; among the rounds it is one itself."""
    return current.kind in ("", *_LISTS) and bool(_NOTES_HEADING.fullmatch(line))


def _opens_a_part(line: str) -> bool:
    """Whether a line is a first round, or what comes before it."""
    label = read_label(line, 0, bare=True)
    return (
        bool(STARTS.match(line))
        if label is None
        else label.base or (label.numbers is not None and label.numbers[0] <= 1)
    )


def _stands_before_rounds(line: str, following: list[str]) -> bool:
    if _works_unlabelled(" ".join(following[:2])):
        return True
    started = False  # the first round has no label
    for later in following:
        if _AS_PART.match(later):
            return True
        if _MAKE_LINE.match(later):
            continue
        label = read_label(later, 0, bare=True)
        if label is not None:
            first = label.base or (label.numbers is not None and label.numbers[0] <= 1)
            return (
                first
                or started
                or (label.numbers is not None and (bool(_MAKE.search(line)) or line.endswith(":") or line.isupper()))
            )
        started = started or bool(STARTS.match(later))
        if not _BEFORE_WORK.match(later) and len(later.split()) <= 3:
            return False
    return False


def begins_unlabelled(section: Section) -> bool:
    """Whether a section begins with a chain or a ring and stitches in it, in a line of its own without a label."""
    below = [line for line, at in section.lines if line.strip() and at >= section.end]  # not what the heading tells
    return _works_unlabelled(" ".join(below[:2]))


def _works_unlabelled(line: str) -> bool:
    return bool(STARTS.match(line) and _INTO_IT.search(line))


def _begins_work(line: str, start: int) -> bool:
    return not line.lstrip().startswith("-") and (read_label(line, start) is not None or bool(STARTS.match(line)))


def _plain_title(section: Section) -> str:
    """The first line of a pasted text, when it is short and no sentence."""
    line = next((line for line, _ in section.lines if line.strip() and not _is_no_name(line)), "")
    words = line.strip(" *_#")
    short = len(words) <= LONGEST_HEADING and len(words.split()) <= 8 and not words.endswith((".", ":", ","))
    return words if short and read_label(line, 0, bare=True) is None and not _NO_TITLE.search(words) else ""


def _headed_title(found: list[Section]) -> str:
    """What heads both the text and its first part: the first line, where lines that tell of the whole pattern follow it
    (one that tells only of the yarn or the hook may be of the part)."""
    at = next((i for i, section in enumerate(found) if section.kind == "part"), 0)
    told = [section.kind for section in found[:at] if section.start > found[at].start]
    before = (line for section in found[:at] if section.start < found[at].start for line, _ in section.lines)
    others = any(section.kind == "part" for section in found[at + 1 :])
    if others and _OF_A_WHOLE.fullmatch(found[at].title):
        return ""
    if found[at].make > 1 or any(line.strip() and not _NO_HEADING.match(line) for line in before):
        return ""
    return found[at].title if len(told) > 1 or told and told != ["materials"] else ""


def _is_no_name(line: str) -> bool:
    return bool(_NO_NAME.match(line) or is_header(line))
