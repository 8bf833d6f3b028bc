"""`Thus you proceed, working 1 s.c. in every one but the middle stitch, in which you work 3, until you have made 15
ribs`: the rows that follow, told in one sentence. A rib is two rows."""

from __future__ import annotations

import re
from typing import NamedTuple

_THUS = re.compile(r"\W*(?:thus|so|in this (?:way|manner))\b[^.;:]{0,40}?\b(?:proceed|continue|go on)\b", re.IGNORECASE)
_WORKING = re.compile(
    r"\bworking (?P<told>\d.{3,200}?),? until (?:you have (?:made )?|there are )(?P<n>\d{1,4}) "
    r"(?P<what>ribs|rows|rounds)\b",
    re.IGNORECASE | re.DOTALL,
)
_HAS = re.compile(r"\b(?:row|round) has (?P<n>\d{1,5}) st", re.IGNORECASE)
ROWS_OF_A_RIB = 2


class Proceeding(NamedTuple):
    """told, at: the instruction of each row and where it begins in the sentence; rows: the number of the last row;
    stated: stitches that it has, where said."""

    told: str
    at: int
    rows: int
    stated: int | None


def read_proceeding(sentence: str) -> Proceeding | None:
    """What a sentence says of the rows that follow; None where it is no such sentence."""
    if not _THUS.match(sentence) or (m := _WORKING.search(sentence)) is None:
        return None
    rows = int(m["n"]) * (ROWS_OF_A_RIB if m["what"].lower() == "ribs" else 1)
    has = _HAS.search(sentence, m.end())
    return Proceeding(m["told"], m.start("told"), rows, int(has["n"]) if has else None)
