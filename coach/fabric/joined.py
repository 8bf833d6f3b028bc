"""Pieces that are joined on a round: how many stitches `sc around leg 2` works, where that leg was made before."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from coach.fabric.model import Worked, WorkedPart
from coach.notation.model import Into, Node, Repeat, Round, Times
from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS

_NUMBERS = {**NUMBER_WORDS, **ORDINAL_WORDS}


@dataclass(frozen=True, slots=True)
class Piece:
    """A part that is made. edge: stitches of its last round, None where they are not known."""

    name: str
    edge: int | None


def pieces(parts: Iterable[WorkedPart], name: str, rounds: list[Worked]) -> tuple[Piece, ...]:
    """What is made before a round: the parts before its own, and its own so far."""
    made = [(part.name, part.rounds) for part in parts] + [(name, tuple(rounds))]
    return tuple(Piece(n.lower(), r[-1].made if r[-1].counted else None) for n, r in made if r)


def with_pieces(round: Round, parts: Iterable[WorkedPart], name: str, rounds: list[Worked]) -> Round:
    """The round with a number in place of `around leg 2`, where it is known; what is made before as in `pieces`."""
    if not any(_around(node) for node in round.body):
        return round
    made = pieces(parts, name, rounds)
    return replace(round, body=tuple(_counted(node, made) for node in round.body))


def _around(node: Node) -> Into | None:
    """The piece that a node goes all around; None where it does not."""
    if not isinstance(node, Repeat) or len(node.body) != 1 or node.times.kind != "fill" or node.times.said:
        return None
    into = getattr(node.body[0], "into", None)
    return into if into is not None and into.kind == "piece" else None


def _counted(node: Node, made: tuple[Piece, ...]) -> Node:
    into = _around(node)
    edge = _edge(into, made) if into else None
    return node if edge is None else replace(node, times=Times("exact", edge))


def _edge(into: Into, made: tuple[Piece, ...]) -> int | None:
    """The stitches of the piece that is named; of several that fit, where all have as many."""
    noun = next((w for w in reversed(re.findall(r"[a-z]+", into.words.lower())) if w not in _NUMBERS), "")
    alike = [piece for piece in made if _stem(noun) in map(_stem, re.findall(r"[a-z]+", piece.name))]
    same = [piece for piece in alike if into.number in _numbers(piece.name)]
    edges = {piece.edge for piece in same or alike}
    return edges.pop() if len(edges) == 1 else None


def _numbers(name: str) -> list[int]:
    """The numbers in a part's name: `leg 1`, `second leg`, `arm 1 and 2`."""
    return [int(w) if w.isdigit() else _NUMBERS.get(w, 0) for w in re.findall(r"[a-z]+|\d{1,4}", name)]


def _stem(word: str) -> str:
    return {"feet": "foot", "halves": "half"}.get(word, word.removesuffix("s"))
