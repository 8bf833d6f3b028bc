"""`Work in pattern as established`: the rounds whose turn it is, and their stitches up to a place within a round.

The pattern is the run of rounds that ends before these words and begins with the first one that is no plain round;
where it comes back to what it began with, it ends there. The rounds take turns by their numbers.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from coach.notation.building import Context
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import NEXT, Chain, Group, Node, Repeat, Round, Skip, Stitch
from coach.notation.printer import is_increase, write

_SAID = re.compile(r"\b(?:patt?|pattern|established|as set)\b")
_PARTS_OF_IT = ("pat", "established", "as set")  # far sooner looked for
PATTERN_FIRST = frozenset("work continue continuing cont keep keeping now evenly in as".split())
LONGEST = 12  # rounds that a pattern has at most


def established(rounds: Sequence[Round], number: int) -> list[Round]:
    """The rounds of the pattern in their order from round `number` on; none where all of them are plain."""
    first = next((i for i, r in enumerate(rounds) if _is_patterned(r)), None)
    if first is None:
        return []
    run = [r for r in rounds[first : first + LONGEST + 1] if not any(map(_shapes, r.body))]
    bodies = [write(r.body) for r in run]
    again = next((i for i in range(1, len(run)) if bodies[i] == bodies[0] or _in_pattern(run[i])), len(run))
    turn = (number - run[0].number) % again
    return [*run[turn:again], *run[:turn]]


def pattern_for(text: str, rounds: Sequence[Round], number: int) -> tuple[Node, ...]:
    """What is worked over and over in round `number`, where its words say that it is in pattern."""
    lower = text.lower()
    said = any([part in lower for part in _PARTS_OF_IT]) and _SAID.search(lower)
    turn = established(rounds, number) if said else []
    return unit(turn[0]) if turn else ()


def unit(round: Round) -> tuple[Node, ...]:
    """What a round works over and over."""
    return next((r.body for r in round.body if isinstance(r, Repeat) and _is_unlike(r)), ())


def gone_on_with(round: Round) -> tuple[Node, ...]:
    """A round of the pattern once more, on as many stitches as there are then."""
    return tuple(
        replace(n, times=replace(n.times, partly=True)) if isinstance(n, Repeat) and n.times.kind == "fill" else n
        for n in round.body
    )


def says_pattern(c: Cursor) -> bool:
    """Takes `in patt`, `in established pattern`, `in pattern as set`, `as established`; False (and no move) when there
    is none."""
    at = c.at
    named = c.take_all("in|keeping|keep", "the?", "established?|same?", "patt|pattern|pat")
    c.take_if("correct") if named else None
    as_before = c.take_all("as", "established|set|before|usual") or c.take_all("as", "for", "last|previous", "row|rnd")
    if named or as_before and c.tokens[c.at - 1].is_("established", "set"):
        return True
    c.at = at
    return False


def read_in_pattern(c: Cursor, ctx: Context) -> list[Node] | None:
    """`work in patt to last 5 sts`, `cont in pattern as set to end`: what the pattern works there, the last time as
    far as it goes."""
    at = c.at
    c.take_any("work", "continue", "continuing", "cont", "keep", "now", "evenly")
    if not says_pattern(c):
        c.at = at
        return None
    extent = read_extent(c) or AROUND
    span = c.span_from(at)
    if not ctx.pattern:
        return [Repeat((ctx.one(ctx.main, NEXT, ctx.loop, span),), extent, None, span)]
    return [Repeat(ctx.pattern, replace(extent, partly=True), None, span)]


def _is_patterned(round: Round) -> bool:
    return bool(unit(round)) and not any(map(_shapes, round.body))


def _in_pattern(round: Round) -> bool:
    return any(isinstance(n, Repeat) and n.times.partly for n in round.body)


def _is_unlike(repeat: Repeat) -> bool:
    """Whether it works more than one thing."""
    kinds = [n for n in repeat.body if isinstance(n, (Stitch, Group, Repeat, Chain))]
    return len(kinds) > 1 or any(isinstance(n, Group) and not is_increase(n) for n in kinds)


def _shapes(node: Node) -> bool:
    """Whether it increases or decreases and nothing beside it makes up for that."""
    if isinstance(node, Repeat):
        return not any(isinstance(n, (Skip, Chain)) for n in node.body) and any(map(_shapes, node.body))
    if isinstance(node, Stitch):
        return node.stitch == "invdec" or node.stitch.endswith("2tog")
    return is_increase(node) > 0 and node.into == NEXT
