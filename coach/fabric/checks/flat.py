"""When a piece is called flat, and how many stitches a flat round has."""

from __future__ import annotations

import math
import re

from coach.fabric.model import Worked, WorkedPart
from coach.notation.model import Pattern, Stitch
from coach.notation.walk import walk

# Height of a round over the width of a stitch, by stitch: typical swatches, from memory; they give the usual 6, 8, 12.
_HEIGHT_TO_WIDTH = {"sc": 1.0, "hdc": 1.4, "dc": 1.95, "tr": 2.75}
_FLAT = re.compile(
    r"\bflat (?:circle|disc|disk|round|mat|coaster|hexagon|cloth)\b|\b(?:lies|lie|stays?|keeps?) flat\b", re.IGNORECASE
)
_NOT_ALL = re.compile(r"\b(?:crown|brim|sides?|bottom|base of|then|walls?)\b", re.IGNORECASE)
FIRST_JUDGED = 4  # the first rounds of a circle are too small to ruffle or cup


def is_called_flat(pattern: Pattern, part: WorkedPart) -> bool:
    """Whether the text says that this part is a flat circle, and says it of the whole part."""
    if not part.rounds or any(w.source.kind != "round" for w in part.rounds):
        return False
    said = " ".join([pattern.title, part.name, *(n.text for n in (*pattern.notes, *part.source.notes))])
    return bool(_FLAT.search(said)) and not _NOT_ALL.search(said)


def flat_counts(part: WorkedPart) -> list[tuple[Worked, float]]:
    """(round, stitches it would have lying flat) of every round that is judged: 2 pi times its height over stitch
    width.
    """
    found, radius = [], 0.0
    for n, worked in enumerate(part.rounds, 1):
        radius += height(worked)
        if n >= FIRST_JUDGED:
            found.append((worked, 2 * math.pi * radius))
    return found


def height(worked: Worked) -> float:
    """Height of a round in stitch widths, by its first plain stitch."""
    for node in walk(worked.source.body):
        if isinstance(node, Stitch) and node.stitch in _HEIGHT_TO_WIDTH:
            return _HEIGHT_TO_WIDTH[node.stitch]
    return _HEIGHT_TO_WIDTH["sc"]
