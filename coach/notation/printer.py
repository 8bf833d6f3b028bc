"""Nodes → the trade's plain written form, in US or UK abbreviations; reading it again gives the same stitches."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from coach.notation.model import (
    NEXT,
    Action,
    Amount,
    Chain,
    Evenly,
    Group,
    Into,
    Node,
    Repeat,
    Skip,
    Stitch,
    Times,
    Unread,
)
from coach.stitches.catalogue import stitch
from coach.stitches.spelling import spelled

PLAIN = ("sc", "hdc", "dc", "tr", "dtr", "trtr")
_LOOPS = {
    "back": "BLO",
    "front": "FLO",
    "both": "",
    "third": "third loop",
    "front post": "front post",
    "back post": "back post",
}
_YARN = re.compile(  # yarns are called A, B, C, or MC and CC
    r"^((?:with|using|in|join|drop|carry|pick up|(?:change|changing|switch)(?: to)?)(?: colou?r)? )"
    r"([a-f]|[mc]c\d?|c[ab])\b"
)
_ENDING = {0: "ending with ", 1: "ending last rep with "}
_ALONG = Into("chain")
_EDGES = ("row end", "side", "edge")
_OF_MANY = ("piece corner", "space", "same", "first", "last")  # places into which "2 dc in ..." are all worked
_PLACES = {
    "same": "in same st",
    "ring": "in ring",
    "first": "in first st",
    "last": "in last st",
    "tch": "in top of tch",
    "between": "between next 2 sts",
    "join": "in same st",
    "centre": "in center st",
    "middle": "in center st of next group",
    "row end": "in end of next row",
    "piece corner": "in corner",
}


@dataclass(frozen=True, slots=True)
class Way:
    """How it is written. main: the plain stitch that the round names first, of which `inc` and `dec` are ("" for none);
    terms: US or UK."""

    main: str
    terms: str


def write(nodes: tuple[Node, ...] | list[Node], terms: str = "US") -> str:
    """The nodes in a row, separated by commas: `sc 2, inc, (dc, ch 1, dc) in next st`. What could not be read stays as
    written.

    `inc` and `dec` are of the stitch that a round names first, so `inc` is only written where that is single crochet.
    """
    return _write(nodes, Way(next(_named(nodes), ""), terms))


def _named(nodes: tuple[Node, ...] | list[Node]) -> Iterator[str]:
    """The plain stitches that the words would name, were every pair of single crochets an `inc`."""
    for node in nodes:
        if isinstance(node, Stitch) and node.stitch in PLAIN:
            yield node.stitch
        elif isinstance(node, Chain) and node.counts and node.stands_for in PLAIN:
            yield node.stands_for
        elif isinstance(node, Repeat) or (
            isinstance(node, Group) and (is_increase(node) != 2 or "sc" not in _named(node.body))
        ):
            yield from _named(node.body)


def _write(nodes: tuple[Node, ...] | list[Node], way: Way) -> str:
    out = ""
    for i, node in enumerate(nodes):
        if said := _one(node, way):
            before = nodes[i - 1] if i else None
            ending = _ENDING.get(before.ending, "") if isinstance(before, Repeat) else ""
            out += f"{', ' if out else ''}{ending}{said}"
    return out


def amount(value: Amount) -> str:
    """`6`, or `6 (7, 8)` for several sizes."""
    if isinstance(value, int):
        return str(value)
    return f"{value[0]} ({', '.join(map(str, value[1:]))})"


def abbreviation(id: str, terms: str = "US") -> str:
    """The abbreviation of a stitch in these terms."""
    entry = stitch(id)
    return entry.abbreviation(terms) if entry else id


def place(into: Into, loop: str = "both") -> str:
    """`in BLO of next st`, `in corner ch-2 sp`; empty for the next stitch under both loops."""
    said = _LOOPS.get(loop, "")
    if into.kind == "space" and not into.words:
        chains = f"ch-{amount(into.number)} " if into.number is not None else ""
        return f"in {'corner' if into.corner else 'next'} {chains}sp"
    if into.kind == "hook":
        return f"in {_ordinal(into.number)} ch from hook"
    if into.words:
        return into.words
    if into.kind == "between" and into.number is not None:
        return f"between next 2 groups of {amount(into.number)} sts"
    if into.kind == "nth":
        return f"in {_ordinal(into.number)} st"
    if into.kind == "chain":
        return "in next ch"
    if into.kind == "last" and into.stitch == "ch":
        return "in last ch"
    if into.kind in _PLACES:
        return f"{_PLACES[into.kind]}{f' {said}' if said else ''}"
    return said


def _ordinal(n: Amount | None) -> str:
    n = n if isinstance(n, int) else n[0] if n else 1
    end = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{end}"


def is_increase(node: Node) -> int:
    """How many of one stitch a group puts into the next stitch; 0 when it is no plain increase."""
    return _alike(node.body) if isinstance(node, Group) and node.into.kind == "next" and not node.into.corner else 0


def _alike(body: tuple[Node, ...]) -> int:
    """How many of one stitch these nodes are; 0 when they are something else, or one alone."""
    first = body[0] if body else None
    if len(body) == 1 and isinstance(first, Repeat) and first.times.kind == "exact":
        n = first.times.amount
        return n if isinstance(n, int) and len(first.body) == 1 and isinstance(first.body[0], Stitch) else 0
    same = isinstance(first, Stitch) and all(
        isinstance(n, Stitch) and (n.stitch, n.loop) == (first.stitch, first.loop) for n in body
    )
    return len(body) if same and len(body) > 1 else 0


def _one(node: Node, way: Way) -> str:
    if isinstance(node, Stitch):
        return " ".join(filter(None, (abbreviation(node.stitch, way.terms), place(node.into, node.loop))))
    if isinstance(node, Chain):
        counts = (
            ""
            if node.counts is None
            else " (does not count as a st)"
            if not node.counts
            else f" (counts as {abbreviation(node.stands_for or 'st', way.terms)}{_more(node)})"
        )
        return f"ch {amount(node.count)}{counts}"
    if isinstance(node, Group):
        return _group(node, way)
    if isinstance(node, Repeat):
        return _repeat(node, way)
    if isinstance(node, Skip):
        if node.what == "rest":
            return f"leave last {amount(node.count)} sts unworked" if node.count else "leave remaining sts unworked"
        noun = {"stitch": "st", "chain": "ch", "space": "sp", "tch": "tch"}[node.what]
        many = "" if node.count == 1 else f" {amount(node.count)}"
        return (
            f"sk {'first' if node.first else 'next'}{many} {noun}{'s' if many else ''}"
            if node.what != "tch"
            else "sk tch"
        )
    if isinstance(node, Evenly):
        if node.stitch == "to":
            return f"{abbreviation(node.of, way.terms)} {amount(node.count)} evenly around"
        of = "" if node.of == way.main else f"{abbreviation(node.of, way.terms)} around, "
        return f"{of}{node.stitch} {amount(node.count)} sts evenly" + ("" if of else " around")
    if isinstance(node, Unread):
        return node.text
    return _action(node, way.terms)


def _more(node: Chain) -> str:
    return f" and ch {amount(node.more)}" if node.more else ""


def _group(node: Group, way: Way) -> str:
    n = _alike(node.body)
    first = node.body[0].body[0] if n and isinstance(node.body[0], Repeat) else node.body[0] if node.body else None
    if n and isinstance(first, Stitch):
        name, loop = abbreviation(first.stitch, way.terms), f" {_LOOPS[first.loop]}" if first.loop != "both" else ""
        if is_increase(node):
            return (
                f"inc{loop}"
                if n == 2 and first.stitch == "sc" and way.main in ("", "sc")
                else f"{n} {name} in next st{loop}"
            )
        if node.into.kind in _OF_MANY and not loop:
            return f"{n} {name} {place(node.into)}"
    return f"({_write(node.body, way)}) {place(node.into) or 'in next st'}"


def _repeat(node: Repeat, way: Way) -> str:
    single = node.body[0] if len(node.body) == 1 else None
    if node.cut is not None and (node.times.kind != "exact" or isinstance(node.times.amount, int)):
        often = f"{node.times.amount - 1} more times" if node.times.kind == "exact" else _extent(node.times)
        first, rest = _write(node.body[: node.cut], way), _write(node.body[node.cut :], way)
        return f"*{first}**, {rest}; rep from * {often}, ending last rep at **"
    if node.times == Times("exact", 1) and node.other is not None:
        return _write(node.body, way)  # what is written once, and may be meant all around
    if node.times.kind == "exact":
        n = amount(node.times.amount)
        if isinstance(single, Stitch) and single.into.kind == "next":
            return " ".join(
                filter(None, (f"{abbreviation(single.stitch, way.terms)} {n}", _LOOPS.get(single.loop, "")))
            )
        if isinstance(single, Stitch) and single.into.kind == "ring":
            return f"{n} {abbreviation(single.stitch, way.terms)} in ring"
        if isinstance(single, Stitch) and single == Stitch(single.stitch, _ALONG, span=single.span):
            return f"{abbreviation(single.stitch, way.terms)} in next {n} chs"
        if isinstance(single, Stitch) and single.into.kind in ("side", "edge", "piece"):
            return f"{n} {abbreviation(single.stitch, way.terms)} {single.into.words}"
        return f"({_write(node.body, way)}) x {n}"
    if node.times.kind == "kinds":
        return "; ".join(f"in each {_kind(n)} below: {_write(n.body, way)}" for n in node.body if isinstance(n, Repeat))
    extent = _extent(node.times)
    if isinstance(single, Stitch) and single.into.kind == "next":
        return " ".join(
            filter(
                None,
                (
                    f"{abbreviation(single.stitch, way.terms)} in",
                    f"{_LOOPS[single.loop]} of" if single.loop in ("back", "front") else "",
                    f"each st {extent}",
                ),
            )
        )
    if isinstance(single, Stitch) and single == Stitch(single.stitch, _ALONG, span=single.span):
        return f"{abbreviation(single.stitch, way.terms)} in each ch {extent}"
    if isinstance(single, Stitch) and single.into.kind in (*_EDGES, "piece") and extent == "around":
        place_ = "in end of each row" if single.into.kind == "row end" else single.into.words
        return f"{abbreviation(single.stitch, way.terms)} {place_}"
    return f"*{_write(node.body, way)}; rep from * {extent}"


def _kind(node: Repeat) -> str:
    into = getattr(node.body[0], "into", NEXT)
    return abbreviation(into.stitch) if into.stitch else "space"


def _extent(times: Times) -> str:
    if times.kind in ("space", "last space"):
        return "to next corner" if times.kind == "space" else "to last sp"
    return f"to last {amount(times.amount)} sts" if times.said and times.amount else "around"


def _action(node: Action, terms: str) -> str:
    if node.kind == "join" and node.into and node.into.number:
        at = f"top of ch-{node.into.number}" if node.into.kind == "tch" else f"{_ordinal(node.into.number)} ch"
        return f"join with sl st in {at}"
    return {
        "turn": "turn",
        "join": "join",
        "ring": "magic ring",
        "other_side": "on other side of ch",
        "marker": "place marker",
        "colour": spelled(_YARN.sub(lambda m: m[1] + m[2].upper(), node.text), terms),
    }.get(node.kind, node.text)


__all__ = ["abbreviation", "amount", "is_increase", "place", "write"]
