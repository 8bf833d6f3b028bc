"""Text in, what was read out: nodes without their spans, so that they compare by what they say."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace

import pytest

from coach.notation import read
from coach.notation.cursor import Cursor
from coach.notation.lexer import fold, tokens
from coach.notation.model import NEXT, Group, Into, Node, Pattern, Repeat, Round, Span, Stitch, Times


def plain(value: object) -> object:
    """The same value with every span at 0."""
    if isinstance(value, tuple | list):
        return tuple(plain(v) for v in value)
    if is_dataclass(value):
        changed = {f.name: Span(0, 0) if f.name == "span" else plain(getattr(value, f.name)) for f in fields(value)}
        return replace(value, **changed)
    return value


def cursor(text: str, terms: str = "US") -> Cursor:
    return Cursor(tokens(fold(text), 0, terms))


def rest(c: Cursor) -> list[object]:
    """What the cursor has not taken, as values."""
    return [t.value for t in c.tokens[c.at:c.stop]]


def rounds(text: str) -> list[Round]:
    return [round for part in read(text).parts for round in part.rounds]


def body(line: str, heading: str = "") -> tuple[Node, ...]:
    """The nodes of one round of a pattern."""
    return plain(rounds(f"{heading}Rnd 1: 6 sc in magic ring.\nRnd 2: {line}")[1].body)


def kinds(text: str) -> list[str]:
    return [fault.kind for fault in read(text).faults]


def spans(value: object) -> list[Span]:
    """Every span in a value, however deep."""
    if isinstance(value, Span):
        return [value]
    if isinstance(value, tuple):
        return [span for v in value for span in spans(v)]
    if is_dataclass(value):
        return [span for f in fields(value) for span in spans(getattr(value, f.name))]
    return []


def bug(*values: object, reason: str):
    """A case that is not read as it should be yet."""
    return pytest.param(*values, marks=pytest.mark.xfail(strict=True, reason=reason))


# ---- the nodes that most lines come to

def st(id: str, into: Into = NEXT, loop: str = "both") -> Stitch:
    return Stitch(id, into, loop)


def times(n: int | tuple[int, ...], *nodes: Node) -> Repeat:
    return Repeat(nodes, Times("exact", n))


def around(*nodes: Node) -> Repeat:
    return Repeat(nodes, Times("fill", 0, said=False))


def until(left: int, *nodes: Node) -> Repeat:
    return Repeat(nodes, Times("fill", left))


def inc(id: str = "sc", n: int = 2, loop: str = "both") -> Group:
    return Group((Stitch(id, loop=loop),) * n)


__all__ = ["Pattern", "around", "body", "bug", "cursor", "inc", "kinds", "plain", "rest", "rounds", "spans", "st",
    "times", "until"]
