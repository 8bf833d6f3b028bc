"""Labels of rounds and rows: `Rnd 3:`, `Rows 4-9:`, `R7:`, `4.-6. rnd`, `1st row (WS):`, `Rounds 3, 5 and 7:` ..."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS

_N = r"\d{1,6}(?:st|nd|rd|th)?"
_WORD = "|".join([*ORDINAL_WORDS, "next", "last", "final"])
_LIST = rf"{_N}(?:\s*(?:-|—|to|through|thru|and|&|,|/|\+)+\s*{_N}(?:\s*\(\s*\d+(?:\s*,\s*\d+)*\s*\))?)*"
_KIND = r"rounds?|rnds?|rds?|rows?"
_SIDE = r"(?:\s*[\(\[]\s*(?P<side>rs|ws|right side|wrong side)[^)\]]*[\)\]])?"
_FORMS = [
    re.compile(rf"(?P<kind>{_KIND}|r)\s*\.?\s*#?(?P<numbers>{_LIST})(?!\s*[a-z]?\d*\s*(?:times|sts?\b)){_SIDE}\s*(?P<sep>[:.)\]—=-]+|(?=\s))\s*", re.IGNORECASE),
    re.compile(rf"(?P<numbers>\d{{1,6}}(?:st|nd|rd|th|\.)?(?:\s*(?:-|to|and|&|,|—)\s*\d{{1,6}}(?:st|nd|rd|th|\.)?)*)\s*(?P<kind>{_KIND}){_SIDE}\s*(?P<sep>[:.)—=-]+|(?=\s))\s*", re.IGNORECASE),
    re.compile(rf"_?(?P<numbers>{_WORD})\s+(?P<kind>{_KIND})_?{_SIDE}\s*(?P<sep>[:.)—=_-]+)\s*", re.IGNORECASE),
    re.compile(rf"_?(?P<kind>{_KIND})\s+(?P<numbers>{'|'.join([*ORDINAL_WORDS, *list(NUMBER_WORDS)[1:21]])})_?{_SIDE}\s*(?P<sep>[:.)—=,_-]+)\s*", re.IGNORECASE),
    re.compile(rf"(?P<base>foundation|set-?up|base)\s+(?P<kind>{_KIND}){_SIDE}\s*(?P<sep>[:.)—-]+)\s*", re.IGNORECASE),
]
_BARE = re.compile(r"(?P<numbers>\d{1,3}(?:\s*-\s*\d{1,3})?)\s*(?P<sep>[.):])\s+(?=\S)")
_BULLET = re.compile(r"\s*(?:[-*•]\s+|>\s+)?(?:\*\*|__)?")
INSIDE = re.compile(rf"(?<=[.)\]>;])\s+(?=(?:(?:{_KIND})\s*\d{{1,6}}(?:\s*(?:-|to|and|&|,)\s*\d+)*{_SIDE.replace('?P<side>', '?:')}\s*:|R\d{{1,4}}(?:-\d+)?\s*:|\d{{1,4}}(?:st|nd|rd|th)\s+(?:{_KIND})\s*[:(]))", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Label:
    """A label as found. numbers: every round it names, in order (None: the next one); ends: the last number for each size,
    where sizes differ; kind: round, row or "" (not said)."""

    numbers: tuple[int, ...] | None
    kind: str
    side: str | None
    start: int
    end: int
    base: bool = False
    ends: tuple[int, ...] = ()
    bare: bool = False
    count: int = 1  # "Next 3 rnds": how many rounds a label without numbers is
    only: str = ""  # the sizes named before it: "Sizes M and L only: Rnd 9: ..."


_SIZES_ONLY = re.compile(r"\s*(?:for\s+)?sizes?\s+(?P<only>[^:.]{1,40}?)\s+only\s*[:,.-]?\s*", re.IGNORECASE)


def read_label(line: str, start: int, bare: bool = False) -> Label | None:
    """The label that a folded line starts with; `bare` allows `4.` and `4-6)`. start: the line's offset in the text."""
    if (m := _SIZES_ONLY.match(line)) and (label := read_label(line[m.end():], start + m.end())):
        return replace(label, only=m["only"])
    at = _BULLET.match(line).end()
    for form in _FORMS:
        m = form.match(line, at)
        if not m:
            continue
        groups = m.groupdict()
        if not m.group("sep") and not _may_follow(line[m.end():], groups["kind"]):
            continue
        kind = "row" if groups["kind"].lower().startswith("ro") and "w" in groups["kind"].lower() else ""
        if not kind and len(groups["kind"]) > 1:
            kind = "round"
        side = groups.get("side")
        side = None if not side else "RS" if side.lower()[0] == "r" else "WS"
        end = m.end()
        while line[end:end + 1] in "*_" and line[end:end + 2] in ("**", "__"):
            end += 2
        while end < len(line) and line[end] == " ":
            end += 1
        if groups.get("base"):
            return Label((0,), kind, side, start + at, start + end, base=True)
        numbers, ends = _numbers(groups["numbers"])
        return Label(numbers, kind, side, start + at, start + end, ends=ends)
    if bare and (m := _BARE.match(line, at)):
        numbers, ends = _numbers(m.group("numbers"))
        return Label(numbers, "", None, start + at, start + m.end(), bare=True)
    return None


def _may_follow(rest: str, kind: str) -> bool:
    """Whether a label without a colon is one: an instruction follows, not "Row 2 is the right side"."""
    return bool(re.match(r"\s*(\(|\[|\*|ch\b|\d|sc\b|dc\b|hdc|tr\b|inc\b|dec\b|mr\b|sl st|work\b|with\b|join|turn\b|rep|sk\b|magic|blo\b|flo\b|in\b|same\b|2 |inv)", rest, re.IGNORECASE))


def _numbers(text: str) -> tuple[tuple[int, ...] | None, tuple[int, ...]]:
    word = text.lower()
    if word in ORDINAL_WORDS:
        return (ORDINAL_WORDS[word],), ()
    if word in NUMBER_WORDS:
        return (NUMBER_WORDS[word],), ()
    if word in ("next", "last", "final"):
        return None, ()
    ends: tuple[int, ...] = ()
    if sized := re.search(r"(\d+)\s*\(([\d,\s]+)\)\s*$", text):
        ends = (int(sized[1]), *(int(n) for n in re.findall(r"\d+", sized[2])))
        text = text[:sized.start()] + str(max(ends))
    found: list[int] = []
    previous_join = ","
    for m in re.finditer(r"(\d+)|(-|—|to|through|thru)|(and|&|,|/|\+)", text, re.IGNORECASE):
        if m.group(1):
            n = int(m.group(1))
            if previous_join == "-" and found and found[-1] < n <= found[-1] + 10_000:
                found.extend(range(found[-1] + 1, n + 1))
            elif not found or n != found[-1]:
                found.append(n)
        else:
            previous_join = "-" if m.group(2) else ","
    return tuple(found), ends
