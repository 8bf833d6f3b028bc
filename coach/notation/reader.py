"""The whole page: title, materials, sizes, own stitches, parts, assembly."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation import prose
from coach.notation.as_part import Made
from coach.notation.blocks import blocks, labelled
from coach.notation.bounds import Room
from coach.notation.building import Own, Problem
from coach.notation.definitions import definitions
from coach.notation.document import Section, begins_unlabelled, sections
from coach.notation.faults import reading_faults
from coach.notation.header import plain, sizes_of, terms_of
from coach.notation.lexer import fold
from coach.notation.model import Note, Part, Pattern, Round, Span, line_starts
from coach.notation.rounds import Rounds
from coach.notation.uncollected import uncollected

LONGEST = 4_000_000  # characters; longer text is cut, and the fault says so
_AS_PART = re.compile(
    r"\W*+(?:(?:work|make|crochet)\s++)?(?:the\s++)?(?:same\s++)?(?:as|"
    r"like)\s++(?:for\s++)?(?:the\s++)?(?P<name>[\w ]{2,30}?)\s*+\.?\s*+",
    re.IGNORECASE,
)


@uncollected()
def read(text: str) -> Pattern:
    """The pattern that a text holds. Never raises for what a text says: faults are values."""
    cut = len(text) > LONGEST
    text = text[:LONGEST]
    folded = fold(text)
    title, found = sections(folded)
    terms, problems = terms_of(folded)
    if cut:
        problems.append(
            Problem(
                "long",
                Span(LONGEST - 1, LONGEST),
                "The text is too long; the rest was left out.",
                "Split it into several files.",
            )
        )
    sizes = sizes_of(found)
    said = definitions(text, found, terms)
    parts: list[Part] = []
    rounds: dict[str, tuple[Round, ...]] = {}
    room = Room()
    notes: list[Note] = []
    assembly: list[Note] = []
    for section in found:
        if section.kind in ("materials", "gauge", "abbreviations", "sizes", "special"):
            continue
        if section.kind == "assembly":
            assembly += _notes(text, section)
            continue
        made = _parts(text, section, terms, said.special, sizes, said.dec, room, problems, rounds)
        made = made or _copied(section, parts)
        if not made and section.kind == "part" and begins_unlabelled(section):
            made = _without_labels(text, section, terms, said.special, sizes, said.dec, room, problems)
        if made:
            parts += made
            rounds.update((part.name.lower(), part.rounds) for part in made)
        elif section.kind == "part" and parts:
            assembly += _notes(text, section)
        else:
            notes += _notes(text, section)
    if not parts:
        free = (s for s in found if s.kind in ("", "part", "notes"))
        made = (_without_labels(text, s, terms, said.special, sizes, said.dec, room, problems) for s in free)
        parts = next(filter(None, made), [])
        notes = [n for n in notes if not any(p.span.start <= n.span.start < p.span.end for p in parts)]
    if not title and len(parts) == 1 and parts[0].name != "Piece":
        title = parts[0].name
    notes = sorted((n for n in notes if n.text != title), key=lambda n: n.span.start)
    parts = [replace(p, notes=tuple(n for n in p.notes if n.text != title)) if p.notes else p for p in parts]
    pattern = Pattern(
        text,
        title,
        terms,
        sizes,
        plain(found, "materials"),
        plain(found, "gauge"),
        tuple(said.abbreviations),
        tuple(parts),
        tuple(assembly),
        tuple(notes),
        (),
        line_starts(text),
    )
    faults = [pattern.fault(p.kind, "error", p.span, p.message, p.hint) for p in problems] + reading_faults(pattern)
    return replace(pattern, faults=tuple(sorted(faults, key=lambda f: (f.line, f.column))))


def _notes(text: str, section: Section) -> list[Note]:
    """Every paragraph or list entry of a section as notes, one a sentence."""
    return [
        note
        for block, start in section.paragraphs()
        for sentence, at in prose.sentences(block, start)
        if (note := prose.note(text[at : at + len(sentence)], at))
    ]


def _parts(
    text: str,
    section: Section,
    terms: str,
    special: dict[str, Own],
    sizes: tuple[str, ...],
    dec: str | None,
    room: Room,
    problems: list[Problem],
    before: Made,
) -> list[Part]:
    """The parts of a section: several when its numbers start again at 1; none when it has no rounds. before: the
    rounds of the parts before it."""
    has_labels, bare = labelled(section)
    if not has_labels:
        return []
    gathered = [Rounds(text, terms, special, sizes, dec, room)]
    gathered[0].made = before
    for block, start, label in blocks(section, bare):
        current = gathered[-1]
        if label and label.numbers and label.numbers[0] == 1 and current.rounds and current.rounds[-1].number > 1:
            gathered.append(Rounds(text, terms, special, sizes, dec, room))
            gathered[-1].foundation, current.foundation = current.foundation, ()
            current = gathered[-1]
        current.add(block, start, label)
    parts: list[Part] = []
    for rounds in gathered:
        problems += rounds.problems
        if made := rounds.in_order():
            name = section.title or "Piece"
            end = max(max(r.span.end for r in made), section.start)
            parts.append(
                Part(
                    name if not parts else f"{name} {len(parts) + 1}",
                    section.make,
                    made,
                    tuple(rounds.notes),
                    Span(section.start, end),
                )
            )
    return parts


def _without_labels(
    text: str,
    section: Section,
    terms: str,
    special: dict[str, Own],
    sizes: tuple[str, ...],
    dec: str | None,
    room: Room,
    problems: list[Problem],
) -> list[Part]:
    """The part of a section that labels no round: what is worked from a chain or ring that it tells to make."""
    rounds = Rounds(text, terms, special, sizes, dec, room)
    rounds.free = True
    for block, start, _ in blocks(section, labelled(section)[1], free=True):
        rounds.add(block, start, None)
    made = rounds.in_order()
    if not made:
        return []
    problems += rounds.problems
    line, start = section.lines[-1]
    whole = Span(section.start, start + len(line))
    return [Part(section.title or "Piece", section.make, made, tuple(rounds.notes), whole)]


def _copied(section: Section, parts: list[Part]) -> list[Part]:
    """`Back: work as front`: a part that has the rounds of another."""
    said = section.paragraphs()
    m = _AS_PART.fullmatch(said[0][0]) if section.kind == "part" and len(said) == 1 else None
    model = next((p for p in parts if m and p.name.lower() == m["name"].lower()), None)
    if model is None:
        return []
    return [
        replace(
            model, name=section.title, make=section.make, span=Span(section.start, section.start + len(section.title))
        )
    ]
