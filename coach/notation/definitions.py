"""Abbreviations and special stitches: what the pattern itself says its words mean."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from coach.notation.bounds import LONGEST_ROUND
from coach.notation.building import Own
from coach.notation.cursor import Cursor
from coach.notation.document import Section
from coach.notation.grammar import Grammar
from coach.notation.labels import may_be_labelled, read_label
from coach.notation.lexer import tokens
from coach.notation.model import Action, Chain, Group, Node, Repeat, Stitch, Unread
from coach.stitches.catalogue import catalogue

_PREFIX = re.compile(
    r"\W*+(?:special (?:stitch(?:es)?|terms?)|abbreviations?|stitch key|key|notes?|glossary)\s*+:\s*+", re.IGNORECASE
)
_DEFINITION = re.compile(
    r"\W*+(?P<name>[A-Za-z0-9][\w' -]{0,40}?)\s*+(?:,\s*+(?P<also>[\w -]{1,16}))?\s*+"
    r"(?:\((?P<short>[\w -]{1,16})\))?\s*+(?:=|:|—|(?<= )- )\s*+(?P<body>\S.*)"
)
_LOOSE = re.compile(r"\W*+(?:special stitch|[\w' -]{1,30}(?:\([\w -]{1,16}\))?\s?[:=]\s)", re.IGNORECASE)
_ENTRY = re.compile(r"(?:(?<=[;,.])|^)\s*+[A-Za-z][\w -]{0,20}(?:\([\w -]{1,16}\))?\s*+[=:]")
_EQUATION = re.compile(r"(?:^|[,;]) ?[A-Z]{1,4} ?= ?[a-z]")
_MOVES = re.compile(r"\b(yo|yarn over|insert|pull|draw|loops? on|hook through|leaving)\b", re.IGNORECASE)
_CLOSED = re.compile(r"\b(?:clos|join|finish|work|draw|crochet)\w* (?:off |up )?(?:all )?together\b", re.IGNORECASE)
_ONE_PLACE = re.compile(
    r"\b(?:all\s++)?(?:in|into)\s++(?:the\s++)?(?:same|next|indicated|one|a|st|stitch|specified|designated|any|this)\b",
    re.IGNORECASE,
)
_THUS = re.compile(  # "Work 1 round of raised spots thus: turn the wool round the needle ..."
    r"[^.:]{0,80}\b(?:rounds?|rows?) of (?P<name>[a-z][a-z ]{2,30}?)s? thus\s*+:[\s-]*+(?P<body>\S.*)",
    re.IGNORECASE | re.DOTALL,
)
_NO_NAMES = frozenset(
    (
        "",
        "dec",
        "decrease",
        "increase",
        "ch",
        "st",
        "sts",
        "rnd",
        "row",
        "note",
        "notes",
        "size",
        "yarn",
        "hook",
        "caution",
        "warning",
        "tip",
        "hint",
        "level",
        "terms",
        "gauge",
        "tension",
        "materials",
        "sizes",
        "finished size",
        "skill level",
    )
)


@dataclass(slots=True)
class Definitions:
    """abbreviations: (name, meaning) as written; special: the pattern's own stitches; dec: what `dec` means."""

    abbreviations: list[tuple[str, str]] = field(default_factory=list)
    special: dict[str, Own] = field(default_factory=dict)
    dec: str | None = None


def definitions(text: str, found: list[Section], terms: str) -> Definitions:
    """What the sections define; lines of other sections count where they are a stitch's name, a colon and how it is
    worked.
    """
    out = Definitions()
    for section in found:
        if section.kind in ("materials", "gauge", "sizes", "assembly"):
            continue
        for block, start in section.paragraphs(defining=True):
            loose = section.kind not in ("abbreviations", "special")
            if " thus" in block and (m := _THUS.search(block)) and _MOVES.search(m["body"]):
                head = m["name"].lower().split()[-1]  # "raised spots": later, "12 spots"
                out.special |= {name: Own((Stitch(head),)) for name in (m["name"].lower(), head)}
            prefix = _PREFIX.match(block)
            cut = prefix.end() if prefix else 0
            if (
                may_be_labelled(block)
                or (loose and not prefix and not _LOOSE.match(block))
                or read_label(block, 0, bare=True)
            ):
                continue
            listed = section.kind == "abbreviations" or (prefix is not None and "abb" in prefix.group().lower())
            listed = listed or len(_EQUATION.findall(block)) > 1  # "X = sc, V = inc"
            for line, at in _entries(block[cut:], start + cut) if listed else [(block[cut:], start + cut)]:
                _define(out, text, line, at, terms, loose and not listed)
    return out


def _define(out: Definitions, text: str, line: str, at: int, terms: str, loose: bool) -> None:
    m = _DEFINITION.match(line)
    if not m or m["name"].strip().lower() in ("caution", "warning", "note", "notes", "tip"):
        return
    names = [n.strip().lower() for n in (m["name"], m["also"], m["short"]) if n]
    body = m["body"]
    if not loose:
        out.abbreviations += _paired(names, body.strip(" .;,"))
    if names[0] in ("dec", "decrease") and re.search(r"inv", body, re.IGNORECASE):
        out.dec = "invdec"
    own = _meaning(text, names, body, at + m.start("body"), terms)
    if own is None:
        return
    short = {re.sub(r"\s*+(?:st|stitch)$", "", n) for n in names}
    for name in {*names, *short} - _NO_NAMES:
        if _is_own(name, terms, own) and not (loose and len(name) < 2):
            out.special[name] = own


def _paired(names: list[str], meaning: str) -> list[tuple[str, str]]:
    """`st, sts: stitch, stitches` is two; a name in brackets means the same as the one before it."""
    meanings = [m.strip() for m in meaning.split(",")]
    return list(zip(names, meanings if len(meanings) == len(names) else [meaning] * len(names), strict=True))


def _entries(block: str, start: int) -> list[tuple[str, int]]:
    """`sc = single crochet, inc = increase; ...` on one line is several entries."""
    cuts = [m.start() for m in _ENTRY.finditer(block)]
    if len(cuts) < 2:
        return [(block, start)]
    return [(block[a:b], start + a) for a, b in zip(cuts, [*cuts[1:], len(block)], strict=True)]


def _meaning(text: str, names: list[str], body: str, at: int, terms: str) -> Own | None:
    """What a definition makes of a name; None when it only names a stitch in full, or can't be read."""
    if names[0] in ("inc", "increase"):
        return _increase(text, body, at, terms)
    if _MOVES.search(body):
        words = catalogue().words(terms)
        if all(n in words for n in names):
            return None
        return Own((Stitch(next((words[n] for n in names if n in words), names[0])),))
    if _CLOSED.search(body):  # "bo = 4 dc in the same st, closed together": one stitch, whatever it is called
        words = catalogue().words(terms)
        return Own((Stitch(next((words[n] for n in names if n in words), names[0])),))
    place = _ONE_PLACE.search(body)
    places = len(re.findall(r"\b(?:in|into|over)\s++(?:the\s++)?next\b", body, re.IGNORECASE))
    spread = places > 1 or (places == 1 and bool(re.search(r"\bsk(?:ip)?\b|\bover\b", body, re.IGNORECASE)))
    nodes = _nodes(
        text, body if spread or not place or not body[: place.start()].strip() else body[: place.start()], at, terms
    )
    if not nodes:
        return None
    if not spread and len(nodes) == 1 and isinstance(nodes[0], Group):
        nodes = nodes[0].body
    return Own(nodes, spread)


def _increase(text: str, body: str, at: int, terms: str) -> Own | None:
    """`inc = increase (work 3 sc in same st)`: an increase of another size than usual."""
    m = re.search(r"\b\d\s++\w{2,4}\s++in(?:to)?\b", body)
    nodes = _nodes(text, body[m.start() : m.end() - 2].removesuffix("in").rstrip(), at + m.start(), terms) if m else ()
    if len(nodes) == 1 and isinstance(nodes[0], Repeat) and nodes[0].times.amount != 2:
        return Own(nodes)
    return None


def _nodes(text: str, body: str, at: int, terms: str) -> tuple[Node, ...]:
    if len(body) > LONGEST_ROUND:
        return ()
    grammar = Grammar(text)
    nodes = grammar.items(Cursor(tokens(body, at, terms)))
    if grammar.problems or any(isinstance(n, (Unread, Action)) for n in nodes):
        return ()
    return tuple(nodes)


def _is_own(name: str, terms: str, own: Own) -> bool:
    """Whether a defined name is the pattern's own stitch: not a plain stitch by its usual name."""
    id = catalogue().words(terms).get(name)
    if id and catalogue()[id].kind in ("stitch", "start", "technique", "decrease", "decoration"):
        return False
    if id and catalogue()[id].kind == "increase":
        return not all(isinstance(n, Stitch) for n in own.body)
    nodes = own.body
    return not (len(nodes) == 1 and isinstance(nodes[0], Stitch) and id == nodes[0].stitch) and not all(
        isinstance(n, Chain) for n in nodes
    )
