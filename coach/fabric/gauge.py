"""How large one stitch is: from the pattern's own gauge, a maker's swatch, or what is usual for the yarn's weight."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pydantic import BaseModel, ConfigDict

from coach.notation.model import Pattern, Round, Stitch
from coach.notation.walk import walk
from coach.stitches.catalogue import catalogue, stitch

# Row height over stitch width; typical swatches, from memory.
HEIGHT_TO_WIDTH = {"slst": 0.35, "sc": 1.0, "hdc": 1.4, "dc": 1.9, "tr": 2.75, "dtr": 3.6, "trtr": 4.5}
CM = {"cm": 1.0, "mm": 0.1, "in": 2.54, "inch": 2.54, "inches": 2.54, '"': 2.54, "centimetres": 1.0, "centimeters": 1.0}
# toys are worked with a smaller hook than the label says: more stitches to the centimetre; common practice, no source
CHUNKIER = 1.15
_SAID = re.compile(
    r"(?P<n>\d+(?:\.\d+)?)\s*(?P<st>[a-z]+(?: st| crochet| crochets)?)\s*"
    r"(?:(?:and|x|by|,)\s*(?P<rows>\d+(?:\.\d+)?)\s*(?P<row>rows?|rounds?|rnds?))?\s*"
    r"(?:to|=|over|in|per|make|measure)\s*(?:about\s*)?(?P<size>\d+(?:\.\d+)?)\s*"
    r"(?P<unit>cm|mm|inches|inch|in\b|\"|centimet(?:er|re)s)?",
    re.IGNORECASE,
)
_ACROSS = re.compile(
    r"\b(?:(?:rnds?|rounds?) ?1 ?(?:to|-|–|through|and|&) ?|first )(?P<last>[1-9]\d?)(?: (?:rnds?|rounds?))? ?"
    r"(?:measures?|=|is|are|make)?:? ?(?:about |approx\.? )?(?P<size>\d+(?:\.\d+)?) ?"
    r"(?P<unit>cm|mm|inches|inch|in\b|\"|centimet(?:er|re)s) ?"
    r"(?:across|in diameter|wide|diameter|square|(?:along|on|per|at|to)? ?(?:each |a |the )?side)",
    re.IGNORECASE,
)


class Weight(BaseModel):
    """One yarn weight of the standard system. stitches: of single crochet to 10 cm, as a range; hook: in mm,
    likewise."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    number: int
    names: tuple[str, ...]
    stitches: tuple[float, float]
    of: str = "sc"
    hook: tuple[float, float]
    metres_per_100_g: tuple[float, float]


@cache
def weights() -> tuple[Weight, ...]:
    """The yarn weights, finest first."""
    data = tomllib.loads(files("coach.fabric").joinpath("yarn_weights.toml").read_text("utf-8"))
    return tuple(Weight.model_validate(w) for w in data["weight"])


@dataclass(frozen=True, slots=True)
class Gauge:
    """width, height: of one stitch of the kind `stitch`, in cm; stitch "" where the pattern names none ("14 sts"): then
    every row is as high. said: what it rests on: pattern, own (the maker's count), usual (for the yarn's weight), yarn
    or hook (another)."""

    width: float
    height: float
    stitch: str = "sc"
    said: str = "pattern"

    def height_of(self, id: str) -> float:
        """The height of a row of another stitch, in cm, by the usual proportions."""
        return self.height * ratio(id) / ratio(self.stitch) if self.stitch else self.height

    def scaled(self, factor: float) -> Gauge:
        """The same fabric in stitches `factor` times as large (another yarn or hook)."""
        return Gauge(self.width * factor, self.height * factor, self.stitch, self.said)


def ratio(id: str) -> float:
    """Row height over stitch width of a stitch."""
    if id in HEIGHT_TO_WIDTH:
        return HEIGHT_TO_WIDTH[id]
    entry = stitch(id)
    if entry and entry.of in HEIGHT_TO_WIDTH:
        return HEIGHT_TO_WIDTH[entry.of]
    return max(0.35, float(entry.height)) if entry and entry.height else 1.0


def weight_of(pattern: Pattern) -> Weight | None:
    """The yarn weight that the materials name; None when they name none."""
    text = " ".join(pattern.materials).lower()
    if m := re.search(r"weight\s*:?\s*#?(\d)\b", text):
        return next((w for w in weights() if w.number == int(m[1])), None)
    named = [(name, w) for w in weights() for name in w.names if re.search(rf"\b{re.escape(name)}\b", text)]
    return max(named, key=lambda found: len(found[0]))[1] if named else None


def read_gauge(text: str, terms: str = "US") -> Gauge | None:
    """`10 sc and 11 rounds to 5 cm`, `14 sts x 16 rows = 4 in`; None when the text gives no number of stitches."""
    for m in _SAID.finditer(text):
        id = _stitch_of(m["st"], terms)
        if id is None:
            continue
        size = float(m["size"]) * CM.get((m["unit"] or "cm").lower(), 1.0)
        n = float(m["n"])
        if not n or not size:
            continue
        width = size / n
        height = size / float(m["rows"]) if m["rows"] and float(m["rows"]) else width * ratio(id or "sc")
        return Gauge(width, height, id)
    return None


def across_rounds(text: str, pattern: Pattern) -> Gauge | None:
    """`Rnds 1 to 3 measure 7.5 cm across` (of a square: along each side): the first rounds as a flat circle or square,
    as far from the middle to its edge as they are high together; None when the text says no such thing, or no part has
    rounds of plain stitches for it."""
    m = _ACROSS.search(text)
    size = float(m["size"]) * CM[m["unit"].lower()] if m else 0.0
    if not size:
        return None
    for part in pattern.parts:
        kinds = [_plain(round) for round in part.rounds[: int(m["last"])] if round.kind == "round"]
        if len(kinds) == int(m["last"]) and all(kinds):
            width = size / 2 / sum(ratio(id) for id in kinds)
            return Gauge(width, width * ratio(kinds[0]), kinds[0])
    return None


def _plain(round: Round) -> str | None:
    """The first plain stitch of a round."""
    ids = (n.stitch for n in walk(round.body) if isinstance(n, Stitch))
    return next((id for id in ids if id in HEIGHT_TO_WIDTH and id != "slst"), None)


def _stitch_of(word: str, terms: str) -> str | None:
    word = word.lower().strip()
    if word in ("st", "sts", "stitch", "stitches"):
        return ""
    return catalogue().words(terms).get(word) or catalogue().words(terms).get(word.rstrip("s"))


def usual(weight: Weight, toy: bool = False) -> Gauge:
    """The middle of the standard's range for this yarn; tighter for a stuffed toy."""
    per_10_cm = sum(weight.stitches) / 2 * (CHUNKIER if toy else 1.0)
    width = 10 / per_10_cm
    return Gauge(width, width * ratio(weight.of), weight.of, "usual")


def gauge_of(pattern: Pattern) -> Gauge | None:
    """The gauge to reckon with: the pattern's own, else the usual one for its yarn; None when it names neither."""
    for line in pattern.gauge:
        if found := read_gauge(line, pattern.terms) or across_rounds(line, pattern):
            return found
    weight = weight_of(pattern)
    return usual(weight, is_toy(pattern)) if weight else None


def is_toy(pattern: Pattern) -> bool:
    """Whether something is filled, so that it is worked tightly."""
    return any(note.kind == "stuff" for part in pattern.parts for round in part.rounds for note in round.notes)
