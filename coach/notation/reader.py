"""The whole page: title, materials, sizes, own stitches, parts, assembly."""

from __future__ import annotations

import re

from coach.notation import prose
from coach.notation.cursor import Cursor
from coach.notation.document import Section, sections
from coach.notation.faults import reading_faults
from coach.notation.building import Own, Problem
from coach.notation.grammar import Grammar
from coach.notation.labels import INSIDE, read_label
from coach.notation.lexer import fold, tokens
from coach.notation.model import Action, Chain, Node, Note, Part, Pattern, Repeat, Span, Stitch, Unread, line_starts
from coach.notation.rounds import Rounds
from coach.stitches.catalogue import catalogue

LONGEST = 4_000_000  # characters; longer text is cut, and the fault says so
_SIZES = re.compile(r"\W*(?:(?:finished )?sizes?|to fit)\s*(?::|-|are|is)?\s*(.+)", re.IGNORECASE)
_SIZE_PREFIX = re.compile(r"\s*((?:XXS|XS|S|Small|Baby|Child|Toddler|Newborn)\s*\((?:[\w ]{1,12},?\s*)+\))\s*:", re.IGNORECASE)
_DEFINITION = re.compile(r"\W*(?P<name>[A-Za-z][\w -]{0,40}?)\s*(?:\((?P<short>[\w -]{1,16})\))?\s*(?:=|:|—| - )\s*(?P<body>.+)")


def read(text: str) -> Pattern:
    """The pattern that a text holds. Never raises for what a text says: faults are values."""
    cut = len(text) > LONGEST
    text = text[:LONGEST]
    folded = fold(text)
    lines = line_starts(text)
    title, found = sections(folded)
    terms, problems = terms_of(folded)
    if cut:
        problems.append(Problem("long", Span(LONGEST - 1, LONGEST), "The text is too long; the rest was left out.", "Split it into several files."))
    sizes = _sizes(found)
    abbreviations, special, dec = _definitions(text, found, terms)
    parts: list[Part] = []
    notes: list[Note] = []
    assembly: list[Note] = []
    for section in found:
        if section.kind in ("materials", "gauge", "abbreviations", "sizes", "special"):
            continue
        if section.kind == "assembly":
            assembly += _prose(text, section)
            continue
        made, found_problems = _part(text, folded, section, terms, special, sizes, dec)
        problems += found_problems
        if made:
            parts += made
        elif section.kind == "part" and parts:
            assembly += _prose(text, section)
        else:
            notes += _prose(text, section)
    pattern = Pattern(text, title, terms, sizes, _plain(found, "materials"), _plain(found, "gauge"), abbreviations, tuple(parts), tuple(assembly), tuple(notes),
                      (), lines)
    faults = [pattern.fault(p.kind, "error", p.span, p.message, p.hint) for p in problems]
    faults += reading_faults(pattern)
    faults.sort(key=lambda f: (f.line, f.column))
    return Pattern(**{**{name: getattr(pattern, name) for name in pattern.__dataclass_fields__}, "faults": tuple(faults)})


# -------------------------------------------------------------------- what the whole text says
def terms_of(folded: str) -> tuple[str, list[Problem]]:
    """US or UK; a text that uses stitches of both has a fault where the second kind first appears."""
    said = re.search(r"\b(u\.?s\.?a?|american|u\.?k\.?|british)\b\.?\s*(crochet\s*)?(terms?|terminology|abbreviations?|notation|stitch names)", folded, re.IGNORECASE) or re.search(
        r"\bterms?\s*:?\s*(u\.?s\.?|american|u\.?k\.?|british)\b", folded, re.IGNORECASE)
    us = re.search(r"\b\d*(sc|hdc|sc\d+tog|hdc\d+tog|single crochets?|half double crochets?)\b(?!tog)", folded, re.IGNORECASE)
    uk = re.search(r"\b\d*(htr|dc\d*tog(?=.*\bhtr)|half treble( crochet)?s?|htr\d+tog)\b", folded, re.IGNORECASE)
    problems = []
    stated = None
    if said:
        stated = "US" if re.search(r"u\.?s|american", said.group(), re.IGNORECASE) else "UK"
    if us and uk:
        later = us if stated == "UK" or (stated is None and us.start() > uk.start()) else uk
        problems.append(Problem("terms", Span(later.start(), later.end()), f'"{later.group()}" is of the other terminology: the text mixes US and UK terms.',
                                "Write the whole pattern in US terms or in UK terms."))
    if stated == "UK" and us and not uk:
        problems.append(Problem("terms", Span(us.start(), us.end()), f'"{us.group()}" is a US term, and the text says it is in UK terms.', "Use one terminology throughout."))
        return "UK", problems
    if stated:
        return stated, problems
    if uk and not us or (us and uk and uk.start() < us.start()):
        return "UK", problems
    return "US", problems


def _sizes(found: list[Section]) -> tuple[str, ...]:
    for section in found:
        for line, _ in section.lines:
            if section.kind not in ("", "sizes", "materials", "notes", "gauge") and not _SIZE_PREFIX.match(line):
                continue
            m = _SIZES.match(line) or _SIZE_PREFIX.match(line)
            said = m[1] if m else line if section.kind == "sizes" else None
            if said and (names := _size_names(said)):
                return names
    for section in found:
        for line, _ in section.lines:
            if (m := _SIZE_PREFIX.match(line)) and (names := _size_names(m[1])):
                return names
    return ()


def _size_names(words: str) -> tuple[str, ...]:
    """`S (M, L)`, `Baby (Child, Adult)`, `Small [Medium, Large]`."""
    m = re.match(r"\W*([A-Za-z0-9][\w./ -]{0,24}?)\s*[(\[]([^)\]]{1,120})[)\]]", words)
    if not m:
        return ()
    rest = [w.strip() for w in re.split(r"[,:;/]", m[2]) if w.strip()]
    first = m[1].strip()
    if not rest or any(len(w.split()) > 4 for w in rest) or re.search(r"\d\s*(cm|in|mm|m)\b", m[1]) or (first.isdigit() and not all(r.isdigit() for r in rest)):
        return ()
    if len(rest) == 1 and re.search(r"\d", rest[0]):
        return ()
    return (first, *rest)


def _plain(found: list[Section], kind: str) -> tuple[str, ...]:
    return tuple(line.strip(" -*•") for s in found if s.kind == kind for line, _ in s.lines if line.strip(" -*•"))


def _prose(text: str, section: Section) -> list[Note]:
    """Every paragraph or list entry of a section as notes, one a sentence."""
    found: list[Note] = []
    for block, start in _paragraphs(section):
        for sentence, at in prose.sentences(block, start):
            if note := prose.note(text[at:at + len(sentence)], at):
                found.append(note)
    return found


def _paragraphs(section: Section) -> list[tuple[str, int]]:
    found: list[tuple[str, int]] = []
    for line, start in section.lines:
        entry = re.match(r"\s*(?:[-*•]|\d+[.)])\s+", line)
        if not line.strip():
            found.append(("", start))
        elif entry or not found or not found[-1][0]:
            skip = entry.end() if entry else 0
            found.append((line[skip:], start + skip))
        else:
            block, at = found[-1]
            found[-1] = (block + " " * (start - at - len(block)) + line, at)
    return [(b, s) for b, s in found if b.strip()]


def _definitions(text: str, found: list[Section], terms: str) -> tuple[tuple[tuple[str, str], ...], dict[str, Own], str | None]:
    """(abbreviations as written, own stitches by name, what `dec` means) of the sections that define them."""
    said: list[tuple[str, str]] = []
    special: dict[str, Own] = {}
    dec = None
    for section in found:
        loose = section.kind not in ("abbreviations", "special")
        for block, start in _paragraphs(section):
            if loose and not re.match(r"\W*(special stitch|[\w -]{2,24}(\([\w -]+\))?\s*[:=]\s)", block, re.IGNORECASE) or read_label(block, 0, bare=True):
                continue
            for line, at in ([(block, start)] if section.kind == "special" or loose else _entries(block, start)):
                m = _DEFINITION.match(re.sub(r"^\W*special stitch(es)?\s*:?\s*", lambda s: " " * len(s.group()), line, flags=re.IGNORECASE))
                if not m:
                    continue
                name, short, body = m["name"].strip().lower(), (m["short"] or "").strip().lower(), m["body"]
                if not loose:
                    said.append((name, body.strip(" .;")))
                if name in ("dec", "decrease") and re.search(r"inv", body, re.IGNORECASE):
                    dec = "invdec"
                nodes = _definition_body(text, body, at + m.start("body"), terms)
                for key in {name, short, re.sub(r"\s*(st|stitch)$", "", name)} - {"", "inc", "dec", "increase", "decrease", "ch", "st", "rnd", "row", "note", "size", "yarn", "hook"}:
                    if nodes and _is_own(key, terms, nodes) and not (loose and len(key) < 2):
                        special[key] = Own(nodes)
    return tuple(said), special, dec


def _entries(block: str, start: int) -> list[tuple[str, int]]:
    """`sc = single crochet, inc = increase; ...` on one line is several entries."""
    cuts = [m.start() for m in re.finditer(r"(?:(?<=[;,.])|^)\s*[A-Za-z][\w -]{0,20}(?:\([\w -]+\))?\s*[=:]", block)]
    if len(cuts) < 2:
        return [(block, start)]
    return [(block[a:b], start + a) for a, b in zip(cuts, [*cuts[1:], len(block)])]


def _definition_body(text: str, body: str, at: int, terms: str) -> tuple[Node, ...]:
    """The nodes of a definition that is itself an instruction; () when it is a name or a description."""
    if re.search(r"\b(yo|yarn over|insert|pull|draw|loops? on|hook through)\b", body, re.IGNORECASE):
        return ()
    grammar = Grammar(text)
    m = re.match(r"(.*?)\b(?:all\s+)?(?:in|into)\s+(?:the\s+)?(?:same|next|indicated|one|a|st|stitch|specified|designated|any)\b.*", body, re.IGNORECASE)
    short = m[1] if m and m[1].strip() else body
    nodes = grammar.items(Cursor(tokens(short, at, terms)))
    if grammar.problems or not nodes or any(isinstance(n, (Unread, Action)) for n in nodes):
        return ()
    inner = nodes[0].body if len(nodes) == 1 and hasattr(nodes[0], "body") and not isinstance(nodes[0], Repeat) else nodes
    return tuple(inner)


def _is_own(name: str, terms: str, nodes: tuple[Node, ...]) -> bool:
    """Whether a defined name is the pattern's own stitch: not a plain stitch by its usual name."""
    id = catalogue().words(terms).get(name)
    if id and catalogue()[id].kind in ("stitch", "start", "technique", "decrease", "increase", "decoration"):
        return False
    return not (len(nodes) == 1 and isinstance(nodes[0], Stitch) and id == nodes[0].stitch) and not all(isinstance(n, Chain) for n in nodes)


# -------------------------------------------------------------------- parts
def _part(text: str, folded: str, section: Section, terms: str, special, sizes, dec) -> tuple[list[Part], list[Problem]]:
    """The parts of a section: several when its numbers start again at 1; none when it has no rounds."""
    if not any(_labels_ahead(section)):
        return [], []
    parts: list[Part] = []
    problems: list[Problem] = []
    name = section.title or "Piece"
    current = Rounds(text, terms, special, sizes, dec)

    def close() -> None:
        problems.extend(current.problems)
        rounds = current.in_order()
        if rounds:
            title = name if not parts else f"{name} {len(parts) + 1}"
            last = max(r.span.end for r in rounds)
            parts.append(Part(title, section.make, rounds, tuple(current.notes), Span(section.start, max(last, section.start))))

    for block, start, label in _blocks(section):
        if label and label.numbers == (1,) and current.rounds and current.rounds[-1].number > 1 and not any(r.number == 2 and False for r in current.rounds):
            pending = current.foundation
            current.foundation = ()
            close()
            current = Rounds(text, terms, special, sizes, dec)
            current.foundation = pending
        current.add(block, start, label)
    close()
    return parts, problems


def _labels_ahead(section: Section):
    for line, start in section.lines:
        if read_label(line, start, bare=True) and (not (label := read_label(line, start, bare=True)).bare or _looks_worked(line)):
            yield label


def _looks_worked(line: str) -> bool:
    return bool(re.search(r"\b(\d*(sc|dc|hdc|tr|inc|dec|ch|mr|htr)|sl st|magic ring)\b", line, re.IGNORECASE))


def _blocks(section: Section):
    """(text, offset, label) of every instruction; lines that go on are joined, prose between rounds has label None."""
    bare = not any(not label.bare for label in _labels_ahead(section))
    open_: list | None = None  # [text, start, label]
    for line, start in section.lines:
        pieces, at = [], 0
        for m in INSIDE.finditer(line):
            pieces.append((line[at:m.start()], start + at))
            at = m.end()
        pieces.append((line[at:], start + at))
        for piece, where in pieces:
            label = read_label(piece, where, bare and _looks_worked(piece))
            if label is not None:
                if open_:
                    yield tuple(open_)
                offset = label.end - where
                open_ = [piece[offset:], label.end, label]
            elif not piece.strip():
                if open_ and (open_[2] is None or not _unfinished(open_[0])):
                    yield tuple(open_)
                    open_ = None
            elif _is_page_furniture(piece):
                continue
            elif open_ and (open_[2] is None or _goes_on(open_[0], piece)):
                entry = re.match(r"\s*[-*•]\s+", piece)
                if open_[2] is None and entry:
                    yield tuple(open_)
                    open_ = [piece[entry.end():], where + entry.end(), None]
                else:
                    open_[0] += " " * (where - open_[1] - len(open_[0])) + piece
            else:
                if open_:
                    yield tuple(open_)
                entry = re.match(r"\s*(?:[-*•]\s+(?!\*))?", piece)
                open_ = [piece[entry.end():], where + entry.end(), None]
    if open_:
        yield tuple(open_)


def _is_page_furniture(line: str) -> bool:
    """Page numbers and captions that a page leaves between rounds."""
    return bool(re.fullmatch(r"\s*(?:-?\s*\d{1,4}\s*-?|page\s+\d+(\s*(of|/)\s*\d+)?|\d+\s*/\s*\d+|\[?(fig(ure)?|photo|picture|image|illustration)\b.{0,60})\s*", line, re.IGNORECASE))


def _unfinished(text: str) -> bool:
    text = text.rstrip()
    return any(text.count(o) > text.count(c) for o, c in ("()", "[]", "{}")) or text.endswith((",", ";", "-", "*")) or not text


def _goes_on(before: str, line: str) -> bool:
    """Whether a line without a label carries on the round before it."""
    if _unfinished(before):
        return True
    first = line.lstrip()[:1]
    complete = bool(re.search(r"[.!)\]>]\s*$|=\s*\d+\s*$|—\s*\d+\s*(sts?|sc|dc)?\s*$", before))
    if re.match(r"\s*(rep(eat)?\b|\*|ending\b|join\b|turn\b|\(\d+|\[\d+|- \d+ |= ?\d+)", line, re.IGNORECASE):
        return True
    if first.islower() and not complete:
        return True
    if prose.is_surely_prose(line) or re.match(r"\s*#", line):
        return False
    return not complete


__all__ = ["read", "terms_of"]
