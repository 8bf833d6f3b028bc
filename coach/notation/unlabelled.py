"""Rounds without a label: whether they are rows, which only how they are worked tells; and rows called by a name that
is no label."""

from __future__ import annotations

import re

from coach.notation import prose
from coach.notation.building import Problem
from coach.notation.model import Action, Node, Round, Span, Stitch
from coach.notation.walk import walk

_CALLED = re.compile(
    r"\W*+(?P<name>(?!(?:at|every|each|all|this|these|for|in|on|after|before|note|tip)\b)(?:[a-z-]{2,20} ){1,2}"
    r"(?:row|rnd|round)s?)(?: ?\([^()]{1,20}\))?\s?:",
    re.IGNORECASE,
)


_AGAIN = re.compile(
    r"\W*+(?:rep(?:eat)?|do) (?:(?:this|that|from \*|the same) )?(?:all )?(?:(?:the )?way )?"
    r"(?:a?round|across|to (?:the )?end|\d{1,3} (?:more )?times)\b",
    re.IGNORECASE,
)
_FC = re.compile(r"\W*(?P<word>F\.?C\.?H?) ?(?P<n>\d{1,4})\W*(?:turn\W*)?", re.IGNORECASE)
_NUMBERED = re.compile(r"(?:^|[\s.)])\d{1,3}[.)]\s*$")
_BEGINS = re.compile(r"\W*+(?:(?:rnds?|rounds?|rows?|r) ?\d|\d{1,3}[.)] )", re.IGNORECASE)
_COUNTS = re.compile(
    r"(?:[(\[<]\d{1,5}(?: \w{2,8})?[)\]>]|[=:] ?\d{1,5}(?: ?\w{2,8})?)[^\w()\[\]]{0,8}$", re.IGNORECASE
)
_TAIL = 40  # characters at the end of a text in which a count may stand


def is_like_a_round(before: str, text: str) -> bool:
    """Whether words without a label that is read begin with a number as rounds do, or end with a count. before: what
    stands before them in their paragraph."""
    like = _NUMBERED.search(before[-_TAIL:]) or _BEGINS.match(text) or _COUNTS.search(text[-_TAIL:])
    return like is not None and not prose.starts_as_prose(text) and not prose.is_surely_prose(text)


def again_joined(found: list[tuple[str, int]], text: str, start: int) -> list[tuple[str, int]]:
    """The sentences (each with its offset) of a text that starts at `start`; `Repeat around.` is of the one before."""
    out: list[tuple[str, int]] = []
    for sentence, at in found:
        if out and _AGAIN.match(sentence):
            begun = out[-1][1]
            out[-1] = (text[begun - start : at + len(sentence) - start], begun)
        else:
            out.append((sentence, at))
    return out


def short_for_a_start(sentence: str, at: int) -> Problem | None:
    """`FC 21`, which is a chain to some, and foundation stitches to others; at: the offset of the sentence."""
    m = _FC.fullmatch(sentence)
    if m is None:
        return None
    span = Span(at + m.start("word"), at + m.end("n"))
    hint = f'Write "Ch {m["n"]}" for a chain, "Fsc {m["n"]}" for foundation single crochet.'
    return Problem("unknown", span, f'"{m["word"]}" can be a foundation chain, or foundation stitches.', hint)


def not_understood(sentence: str, at: int) -> Problem:
    """That an instruction without a label is not read; at: the offset of the sentence."""
    span = Span(at, at + len(sentence.rstrip()))
    hint = "Give each round a line of its own, with its number."
    return Problem("unknown", span, "This instruction is not understood.", hint)


def kind_of(foundation: tuple[Node, ...], body: tuple[Node, ...], before: Round | None = None) -> str:
    """`row` where the work is turned, or goes along a chain from the hook, or on such a row; else `round`. before:
    the round before this one."""
    acts = {n.kind for n in walk((*foundation, *body)) if isinstance(n, Action)}
    if "turn" in acts:
        return "row"
    if acts & {"join", "ring", "other_side"}:
        return "round"
    if before is not None:
        return before.kind
    along = [n.into.kind for n in walk(body) if isinstance(n, Stitch)]
    return "row" if along[:1] == ["hook"] and {*along} & {"next", "chain", "last"} else "round"


def name_of(kind: str, number: int) -> str:
    """The label as a maker says it."""
    return f"{'Row' if kind == 'row' else 'Rnd'} {number}"


def called(sentence: str) -> re.Match | None:
    """The words that name a row at the start of a sentence: `Turning row:`."""
    return _CALLED.match(sentence)


def unknown_label(name: re.Match, at: int) -> Problem:
    """That they are no label; at: the offset of the sentence."""
    span = Span(at + name.start("name"), at + name.end("name"))
    message = f'"{name["name"]}" is not understood as a label.'
    return Problem("unknown", span, message, "Number it, for example: Row 3.")
