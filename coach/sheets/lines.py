"""What every sheet says, in reading order: headings, paragraphs, rounds; each sheet only dresses it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import zip_longest

from coach.fabric.changing import begun_in, told_in_colours
from coach.fabric.colours import UNNAMED, colour_named
from coach.fabric.foundation import begun_with
from coach.fabric.model import Fabric, Worked
from coach.fabric.tree import Tree
from coach.fabric.words import abbreviated
from coach.notation.going_on import leaves_out
from coach.notation.model import Action, Chain, Fault, Node, Part, Pattern, Round
from coach.notation.printer import write
from coach.stitches.catalogue import stitch

Drawings = Callable[[str | None], Iterable["Line"]]


@dataclass(frozen=True, slots=True)
class Line:
    """kind: title, heading, round, note, item, fault, terms (in which it is written), key (how to read it; not read
    aloud). label, count, worked: of a round only, and again: the earlier round whose stitches it has. Or figure: a
    drawing (SVG), whose text says what it shows."""

    kind: str
    text: str
    label: str = ""
    count: str = ""
    worked: Worked | None = None
    drawing: str = ""
    again: Worked | None = None


def said(line: Line) -> str:
    """The line as one running text."""
    if line.kind == "round":
        return f"{line.label}. {line.text}. {line.count}."
    return f"Take care: {line.text}" if line.kind == "fault" else line.text


def spoken(line: Line, terms: str = "US", language: str = "en", written: str | None = None) -> str:
    """The line as it is read aloud: no abbreviations. terms: those to read it in; written: those the pattern is written
    in (None: the same)."""
    from coach.language.names import capital
    from coach.language.phrasebook import load
    from coach.language.speak import round_label
    from coach.language.steps import Steps

    book = load(language)
    steps = Steps(book, terms)
    if line.worked is None:
        text = steps.written(said(line), written or terms) if line.kind != "terms" else said(line)
        return text if text.endswith((".", "!", "?")) or line.kind in ("title", "heading") else f"{text}."
    source = line.worked.source
    label = round_label(book, source.kind, source.number, line.label)
    colour, begun, trees = _in_order(line.worked)
    told = [steps.trees(colour), steps.nodes(begun), steps.trees(trees)]
    again = ""
    if (as_ := line.again) is not None:
        earlier = round_label(book, as_.source.kind, as_.source.number, as_.label)
        again = f"{capital(line.text.partition(as_.label)[0])}{earlier}. "
    return f"{capital(label)}. {again}{'. '.join(filter(None, told))}. {line.count}."


def lines(fabric: Fabric, terms: str | None = None, drawings: Drawings | None = None) -> Iterator[Line]:
    """The whole pattern: what is needed, each part round by round with its proved count, the assembly. terms: US or UK,
    of the rounds (None: the pattern's); drawings: what is drawn of a part, or of all of them (None)."""
    pattern = fabric.pattern
    terms = terms or pattern.terms
    yield Line("title", pattern.title or "Pattern")
    size = f" Size {pattern.sizes[fabric.size]}." if pattern.sizes else ""
    yield Line("terms", f"The pattern is written in {pattern.terms} terms.{size}")
    if terms != pattern.terms:
        kept = f"its other words are as written, in {pattern.terms} terms"
        yield Line("terms", f"Its rounds are put into {terms} terms here; {kept}.")
    yield Line("key", f"The rounds below are in {terms} abbreviations.")
    yield from (Line("key", told) for told in _abbreviations(fabric, terms))
    for name, entries in (("Materials", pattern.materials), ("Gauge", pattern.gauge)):
        if entries:
            yield Line("heading", name)
            yield from (Line("item", entry) for entry in entries)
    if pattern.notes:
        yield Line("heading", "Notes")
        yield from (Line("note", note.text) for note in pattern.notes)
    untold = [f for f in fabric.faults if f.severity == "error"]  # also those of no round, like one that is missing
    for part in fabric.parts:
        yield Line("heading", part.name + (f", make {part.make}" if part.make > 1 else ""))
        yield from (Line("note", note.text) for note in part.source.notes)
        for (worked, again), next in zip_longest(repeated(part.rounds), part.rounds[1:]):
            yield _round(worked, again, terms)
            spoiling = [f for f in untold if f in worked.faults or _inside(pattern, f, worked)]
            untold = [f for f in untold if f not in spoiling]
            told = dict.fromkeys(f.message for f in (*spoiling, *worked.faults))
            yield from (Line("fault", message) for message in told)
            yield from (Line("note", note.text) for note in worked.source.notes)
            if next is not None and _passes_others(part.source, worked.source, next.source):
                yield Line("note", f"Go straight on to {next.label}.")
        yield from drawings(part.name) if drawings and part.rounds else ()
    if untold:
        faulty = any(worked.faults for part in fabric.parts for worked in part.rounds)
        yield Line("heading", "What else is wrong" if faulty else "What is wrong")
        yield from (Line("fault", f"Line {f.line}: {f.message}") for f in untold)
    if fabric.assembly:
        yield Line("heading", "Assembly")
        yield from (Line("item", note.text) for note in fabric.assembly)
    if drawings and (shapes := list(drawings(None))):
        yield Line("heading", "Size and shape")
        yield from shapes


def _passes_others(part: Part, last: Round, next: Round) -> bool:
    """Whether the rounds between two are of other sizes, and no remark says so."""
    between = any(last.number < other.number < next.number for other in part.rounds)
    return between and leaves_out(last, replace(next, sizes=()))


def _inside(pattern: Pattern, fault: Fault, worked: Worked) -> bool:
    """Whether it lies in the words of a round."""
    at = pattern.lines[fault.line - 1] + fault.column - 1
    return worked.source.span.start <= at < worked.source.span.end


def _abbreviations(fabric: Fabric, terms: str) -> Iterator[str]:
    """Of each stitch that the two terms call differently, what it is in both."""
    other = "UK" if terms == "US" else "US"
    kinds = dict.fromkeys(id for part in fabric.parts for worked in part.rounds for id in worked.tree.tally)
    used = {entry.of or entry.id: None for id in kinds if (entry := stitch(id))} | kinds
    for entry in filter(None, map(stitch, used)):
        if entry.name("US") != entry.name("UK"):
            yield (
                f"{entry.abbreviation(terms)}: {entry.name(terms)}, in {other} terms {entry.name(other)} "
                f"({entry.abbreviation(other)})."
            )


def steps_of(worked: Worked, terms: str) -> str:
    """A round's foundation and steps in abbreviations."""
    colour, begun, trees = _in_order(worked)
    return ", ".join(filter(None, (abbreviated(colour, terms), write(begun, terms), abbreviated(trees, terms))))


def _in_order(worked: Worked) -> tuple[tuple[Tree, ...], tuple[Node, ...], tuple[Tree, ...]]:
    """(the colour that its ring or chain is made in, these, its steps with their changes)."""
    begun, told = begun_with(worked), told_in_colours(worked)
    named_first = colour_named(worked.source, UNNAMED) == worked.yarn.first
    colour = begun_in(worked) if named_first or not any(isinstance(n, Chain) for n in begun) else ()
    if colour:
        begun = tuple(n for n in begun if not (isinstance(n, Action) and n.kind == "colour"))
    return colour, begun, told[len(colour) :]


def repeated(rounds: tuple[Worked, ...]) -> Iterator[tuple[Worked, Worked | None]]:
    """Each round with the first of the earlier ones that has the same stitches, where it is worked just as the round
    before it or the text says which one it repeats."""
    first: Worked | None = None  # of those that are alike up to here
    before: Worked | None = None
    by_label: dict[str, Worked] = {}
    for worked in rounds:
        if worked.same:
            first = first or before
        else:
            named = by_label.get(worked.source.same_as or "")
            alike = named and (named.made, named.takes, named.steps) == (worked.made, worked.takes, worked.steps)
            first = named if alike else None
        yield worked, first
        by_label[worked.label] = before = worked


def named(worked: Worked, again: Worked, terms: str) -> str:
    """`the same as Rnd 4`; where only the colour is another, `the same stitches as Rnd 4`."""
    alike = steps_of(worked, terms) == steps_of(again, terms)
    return f"the same as {again.label}" if alike else f"the same stitches as {again.label}"


def _round(worked: Worked, again: Worked | None, terms: str) -> Line:
    steps = steps_of(worked, terms) or "nothing that could be read"
    text = f"{named(worked, again, terms)}: {steps}" if again is not None else steps
    return Line("round", text, worked.label, count_of(worked), worked, again=again)


def count_of(worked: Worked) -> str:
    """`18 stitches`; of a round that can't be counted what the pattern states, or that it is not counted."""
    made = worked.made if worked.counted else worked.stated
    told = "Not counted" if made is None else "1 stitch" if made == 1 else f"{made} stitches"
    return told if worked.counted or made is None else f"{told}, as written"
