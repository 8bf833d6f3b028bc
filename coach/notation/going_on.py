"""Rounds that a page leaves out and says so: `Go straight on to Rnd 11` behind Rnd 8."""

from __future__ import annotations

import re

from coach.notation.model import Round

_TO_ROUND = re.compile(
    r"\b(?:go(?:es)?|continue|skip|jump|proceed) (?:(?:straight|right|directly) )?(?:(?:on|ahead) )?"
    r"(?:to|with|at|from) (?:the )?(?:rnds?|rounds?|rds?|rows?)\.? ?(?P<number>\d{1,6})\b",
    re.IGNORECASE,
)


def leaves_out(last: Round, next: Round) -> bool:
    """Whether rounds are missing between two that follow one another in a part, and no remark behind the first one goes
    on to the second."""
    if next.number <= last.number + 1 or next.sizes:
        return False
    told = (int(m["number"]) for note in last.notes for m in _TO_ROUND.finditer(note.text))
    return next.number not in told
