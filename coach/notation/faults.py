"""Faults of the text alone (no counting): words not understood, rounds missing or twice, size lists of other
lengths.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.notation.going_on import leaves_out
from coach.notation.model import Action, Amount, Fault, Group, Node, Part, Pattern, Repeat, Round, Span, Stitch, Unread
from coach.notation.walk import walk
from coach.notation.words import SYNONYMS, phrases

Walked = tuple[Round, tuple[Node, ...]]  # a round, and every node of its body
MOST_HINTS = 200  # faults that are given the nearest known words: looking them up takes time
_STITCH_NAME = re.compile(
    r"(?P<name>(?:(?!(?:in|next|each|the|same|of|or|to|center|end|first|last) )[A-Za-z'-]{2,20} ){1,3}(?:st|sts|"
    r"stitch|stitches))\b",
    re.IGNORECASE,
)


def reading_faults(pattern: Pattern) -> list[Fault]:
    """Every fault that the checks below find."""
    walked = [(round, walk(round.body)) for part in pattern.parts for round in part.rounds]
    return [
        *unknown_words(pattern, walked),
        *numbering(pattern),
        *size_lists(pattern, walked),
        *empty(pattern),
    ]


def unknown_words(pattern: Pattern, walked: list[Walked]) -> Iterator[Fault]:
    """Words that are not understood, with the nearest known ones. One fault a place, however many rounds share the
    line.
    """
    seen: set[Span] = set()
    known = phrases(pattern.terms)
    for _, nodes in walked:
        for node in nodes:
            if not isinstance(node, Unread) or node.span in seen:
                continue
            seen.add(node.span)
            said = node.text.strip()
            if m := _STITCH_NAME.match(said):
                yield pattern.fault(
                    "special",
                    "error",
                    node.span,
                    f'The stitch "{m["name"]}" is used, but not defined.',
                    "Say how it is worked, under Special stitches.",
                )
                continue
            word = next(
                (
                    w
                    for w in re.findall(r"[A-Za-z][\w-]*", said[:200])
                    if w.lower() not in SYNONYMS and w.lower() not in known.vocabulary
                ),
                "",
            )
            near = known.nearest(word.lower()) if word and len(seen) < MOST_HINTS else []
            hint = (
                f"Did you mean {' or '.join(near)}?"
                if near
                else "Check the spelling, or define it under Abbreviations."
            )
            yield pattern.fault("unknown", "error", node.span, f'"{_short(said)}" is not understood.', hint)


def _short(words: str) -> str:
    return words if len(words) <= 80 else f"{words[:77]}..."


def numbering(pattern: Pattern) -> Iterator[Fault]:
    """A round number that is missing, comes twice in its part, or before which it begins."""
    for part in pattern.parts:
        yield from _numbering(pattern, part)


def _numbering(pattern: Pattern, part: Part) -> Iterator[Fault]:
    last: Round | None = None
    seen: dict[int, Round] = {}
    for round in part.rounds:
        again = seen.get(round.number)
        if again is not None and not _other_sizes(again, round):
            yield pattern.fault(
                "twice", "error", round.span, f"{round.label} is there twice.", "Number the rounds one after another."
            )
        elif last is not None and leaves_out(last, round):
            gap = f"{last.label.split()[0]} {last.number + 1}"
            yield pattern.fault(
                "missing",
                "error",
                round.span,
                f"{gap} is missing: {round.label} comes after {last.label}.",
                "Look for the missing round on the page.",
            )
        elif last is not None and round.number < min(seen):
            yield pattern.fault(
                "missing",
                "error",
                round.span,
                f"{round.label} comes after {last.label}.",
                "Number the rounds one after another.",
            )
        seen[round.number] = round
        if last is None or round.number > last.number or not again:
            last = round


def _other_sizes(a: Round, b: Round) -> bool:
    return bool(a.sizes) and bool(b.sizes) and not set(a.sizes) & set(b.sizes)


def size_lists(pattern: Pattern, walked: list[Walked]) -> Iterator[Fault]:
    """Lists of numbers for the sizes that are not as long as the sizes, or as each other."""
    expected = len(pattern.sizes)
    seen = set()
    for round, nodes in walked:
        for amount, span in _lists(round, nodes):
            expected = expected or len(amount)
            if len(amount) != expected and (span, amount) not in seen:
                seen.add((span, amount))
                yield pattern.fault(
                    "sizes",
                    "error",
                    span,
                    f"Here are {len(amount)} numbers, but there are {expected} sizes.",
                    "Give one number for each size.",
                )


def _lists(round: Round, nodes: tuple[Node, ...]) -> list[tuple[tuple[int, ...], Span]]:
    """Every list of numbers in a round, with its place. nodes: those of its body."""
    nodes = (*walk(round.foundation), *nodes) if round.foundation else nodes
    found = [(amount, n.span) for n in nodes if isinstance(amount := _amount(n), tuple)]
    return found + [(c.amount, c.span) for c in round.stated if isinstance(c.amount, tuple)]


def _amount(node: Node) -> Amount | None:
    """The number that a node has, of times, places or chains."""
    if isinstance(node, (Stitch, Group)):
        return node.into.number
    return node.times.amount if isinstance(node, Repeat) else getattr(node, "count", None)


def empty(pattern: Pattern) -> Iterator[Fault]:
    """A text with no rounds at all."""
    if not pattern.parts:
        yield pattern.fault(
            "empty",
            "error",
            Span(0, 1),
            "No rounds or rows were found.",
            'A round is a line like "Rnd 2: 2 sc in each st around (12)".',
        )


__all__ = ["Action", "numbering", "reading_faults", "size_lists", "unknown_words"]
