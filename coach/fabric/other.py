"""Another gauge than the pattern's: the maker's own, or what another yarn or hook makes of it.

"20 stitches to 10 cm"      the maker counted them
"worsted yarn"              the pattern's fabric in that yarn: as much tighter or looser than usual as it was
"5 mm hook"                 stitches as much larger as the hook is, from the hook that the pattern names
"worsted yarn, 5 mm hook"   both
"16 stitches to 10 cm, worsted yarn"    the maker counted them in that yarn
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from coach.fabric.gauge import Gauge, Weight, gauge_of, is_toy, usual, weight_of, weights
from coach.fabric.swatch import own_gauge
from coach.notation.model import Pattern

SMALLEST_HOOK, LARGEST_HOOK = 0.5, 30.0  # mm: fine steel hooks, and the largest of the Council's table
BELOW_LABEL = 1.5  # mm that a toy's hook is smaller than the label says (1 to 2: common practice, no source)
# US letters of hooks in mm. Source: Craft Yarn Council, hook sizes (reprints seen).
LETTERS = {
    "b": 2.25,
    "c": 2.75,
    "d": 3.25,
    "e": 3.5,
    "f": 3.75,
    "g": 4.0,
    "h": 5.0,
    "i": 5.5,
    "j": 6.0,
    "k": 6.5,
    "l": 8.0,
}
_MM = re.compile(r"(\d+(?:[.,]\d+)?)\s*-?\s*(?:mm\b|millimet(?:re|er)s?\b)")
_LETTER = re.compile(r"(?:^|[\s(/])([b-l])(?:\s*[-/]?\s*\d{1,2}(?:[ .]\d/?\d?)?)?\s*(?:hook\b|\)|$)")
_ROWS = re.compile(r"\b(?:rows?|rounds?|rnds?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Other:
    """A gauge and what it rests on: yarn and hook (mm), where the text names them."""

    gauge: Gauge
    yarn: Weight | None = None
    hook: float | None = None


def other_gauge(text: str, pattern: Pattern, terms: str | None = None) -> Other | None:
    """The gauge that a text speaks of; None where it speaks of none that can be, or of a hook where nothing is known
    that it could change. terms: of the stitches' names (None: the pattern's)."""
    yarn, hook = yarn_named(text), hook_named(text)
    counted = _counted(text, pattern, terms or pattern.terms)
    if counted or yarn is None and hook is None:
        return counted and replace(counted, yarn=yarn, hook=hook)
    gauge = _in_yarn(pattern, yarn) if yarn else gauge_of(pattern)
    if gauge is None:
        return None
    if hook is not None:
        before = usual_hook(yarn, is_toy(pattern)) if yarn else hook_of(pattern)
        if before is None:
            return None
        gauge = replace(gauge.scaled(hook / before), said="hook")
    return Other(gauge, yarn, hook)


def yarn_named(text: str) -> Weight | None:
    """The yarn of "worsted yarn" or "weight 4 yarn"; None where no yarn is spoken of."""
    found = re.search(r"(?:weight\s*#?(\d)|([\w -]+?))\s*(?:weight )?yarn\b", text.lower())
    if found is None:
        return None
    name = (found[2] or "").strip()
    return next((w for w in weights() if found[1] == str(w.number) or name and name in w.names), None)


def hook_named(text: str) -> float | None:
    """Millimetres of "5 mm hook" or "H hook"; None where no hook is spoken of, or none of that size is made."""
    text = text.lower()
    if "hook" not in text:
        return None
    if found := _MM.search(text):
        size = float(found[1].replace(",", "."))
    elif found := _LETTER.search(text):
        size = LETTERS[found[1]]
    else:
        return None
    return size if SMALLEST_HOOK <= size <= LARGEST_HOOK else None


def hook_of(pattern: Pattern) -> float | None:
    """The hook that the materials name first, in mm, else the usual one for the yarn; None when neither is named."""
    named = next((size for line in pattern.materials if (size := hook_named(line))), None)
    weight = weight_of(pattern)
    return named or (usual_hook(weight, is_toy(pattern)) if weight else None)


def usual_hook(weight: Weight, toy: bool = False) -> float:
    """The middle of the standard's range for this yarn, in mm; smaller for a stuffed toy."""
    middle = sum(weight.hook) / 2
    return max(middle - BELOW_LABEL, middle * 0.6) if toy else middle


def _in_yarn(pattern: Pattern, yarn: Weight) -> Gauge:
    """The pattern's gauge in another yarn, where its own yarn is known; else the usual one."""
    own, weight, toy = gauge_of(pattern), weight_of(pattern), is_toy(pattern)
    new = usual(yarn, toy)
    if own is None or weight is None or own.said == "usual" or weight.of != yarn.of:
        return replace(new, said="yarn")
    return replace(own.scaled(new.width / usual(weight, toy).width), said="yarn")


def _counted(text: str, pattern: Pattern, terms: str) -> Other | None:
    """The maker's count. Where it names neither rows nor a kind of stitch, rows keep the proportion that they had."""
    found = own_gauge(text, terms) or own_gauge(text, pattern.terms)
    if found is None:
        return None
    known = gauge_of(pattern)
    if known is not None and not found.stitch and not _ROWS.search(text):
        found = replace(known.scaled(found.width / known.width), said="own")
    return Other(found)
