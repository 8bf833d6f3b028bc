"""A pattern as read → a pattern as worked: each round into the one below, each ambiguity settled by the arithmetic."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from coach.fabric import checks
from coach.fabric.blocks import begun_as_a_block, diagonal
from coach.fabric.changing import with_yarn
from coach.fabric.edges import Edged, edged, goes_along, piece, turns_corners
from coach.fabric.hand import Trouble
from coach.fabric.joined import with_pieces
from coach.fabric.model import Fabric, Worked, WorkedPart
from coach.fabric.settle import Below, Reading, is_open, main_stitch, settle
from coach.fabric.sizes import in_size, kept_for
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.notation.going_on import leaves_out
from coach.notation.model import Action, Chain, Fault, Node, Note, Part, Pattern, Repeat, Round, Unread
from coach.notation.printer import write
from coach.notation.uncollected import uncollected
from coach.notation.walk import acts, walk


@uncollected()
def work(pattern: Pattern, size: int = 0) -> Fabric:
    """The whole pattern in one size (index into its sizes). Never raises for what a pattern says."""
    reading = ReadingFaults(pattern)
    parts: list[WorkedPart] = []
    faults = dict.fromkeys(pattern.faults)
    for part in pattern.parts:
        worked = work_part(pattern, part, size, reading, parts)
        parts.append(worked)
        for round in worked.rounds:
            faults.update(dict.fromkeys(round.faults))
        faults.update(dict.fromkeys(checks.part_faults(pattern, worked)))
    fabric = Fabric(pattern, size, tuple(parts), ())
    faults.update(dict.fromkeys(checks.whole(fabric)))
    return replace(fabric, faults=tuple(sorted(faults, key=lambda f: (f.line, f.column))))


class ReadingFaults:
    """The errors of reading by their place, to be asked for those of one round."""

    def __init__(self, pattern: Pattern):
        errors = [
            f
            for f in pattern.faults
            if f.severity == "error" and f.kind not in ("terms", "missing", "twice", "assembly")
        ]
        placed = sorted(
            ((pattern.lines[f.line - 1] + f.column - 1 if pattern.lines else 0, n) for n, f in enumerate(errors))
        )
        self.faults = [errors[n] for _, n in placed]
        self.offsets = [offset for offset, _ in placed]

    def of(self, round: Round) -> tuple[Fault, ...]:
        """The faults that lie in a round's text."""
        start = bisect_left(self.offsets, round.span.start)
        return tuple(self.faults[start : bisect_left(self.offsets, max(round.span.end, round.span.start + 1))])


def work_part(
    pattern: Pattern,
    part: Part,
    size: int,
    reading: ReadingFaults | None = None,
    before: Sequence[WorkedPart] = (),
) -> WorkedPart:
    """One part, round after round. before: the parts before it, which it may be worked onto."""
    reading = reading or ReadingFaults(pattern)
    worked: list[Worked] = []
    below = _begun(part)
    last: Round | None = None
    for round in part.rounds:
        if last is not None and leaves_out(last, round):
            below = Below(None, below.turned, None, False, False, below.counted)
        last = round
        if round.sizes and size not in round.sizes:
            if worked:
                kept = kept_for(round.notes, pattern.sizes, size)
                worked[-1] = _with_notes(worked[-1], (*worked[-1].source.notes, *kept))
            continue
        edges = _edges(round, worked, before[-1].rounds if before else ())
        below = below if edges is None else replace(below, edged=edges)
        if below.in_blocks and not worked:
            round = begun_as_a_block(round)
        round = with_pieces(round, before, part.name, worked)
        done, below = work_round(pattern, round, below, size, reading.of(round))
        worked.append(replace(done, same=True) if worked and _same(worked[-1], done) else done)
    worked = [_with_notes(done, in_size(done.source.notes, pattern.sizes, size)) for done in worked]
    notes = in_size(part.notes, pattern.sizes, size)
    return WorkedPart(part if notes == part.notes else replace(part, notes=notes), with_yarn(part, worked))


def _begun(part: Part) -> Below:
    """What the first round of a part meets: a block stands on nothing but its own chain."""
    return Below(Run(()), first=False, in_blocks=True) if diagonal(part.rounds) else Below()


def _edges(round: Round, worked: list[Worked], before: tuple[Worked, ...]) -> Edged | None:
    """The edges that a round goes along: of the rows of its own part, or of the part before."""
    made = worked or before
    if goes_along(round):
        return edged(piece(made), round)
    on_a_row = made and made[-1].source.kind == "row" and not made[-1].tree.spaces
    if not on_a_row or not turns_corners(round):
        return None
    rows = piece(made)
    return edged(rows, round) if rows and rows[-1] is made[-1] else None


def _with_notes(worked: Worked, notes: tuple[Note, ...]) -> Worked:
    return worked if notes == worked.source.notes else replace(worked, source=replace(worked.source, notes=notes))


def work_round(
    pattern: Pattern, round: Round, below: Below, size: int, faults: tuple[Fault, ...] = ()
) -> tuple[Worked, Below]:
    """One round on what is below it, in the reading that the stitches and the stated count bear out.

    faults: errors of reading in it. They are faults enough: its arithmetic is not judged, and of what stands on it only
    a stated count is known.
    """
    unread = any(f.kind in ("unknown", "bracket", "special") for f in faults)
    spoiled = unread or any(isinstance(n, Unread) for n in walk(round.body))
    reading, said = settle(round, below, size, spoiled)
    stated = checks.stated(round, size)
    own = tuple(_fault(pattern, t) for t in reading.troubles)
    counted = not spoiled and "moves" not in acts(round.body) and _counts(round, reading)
    base = reading.base.stitches if reading.known else None
    faults = own + tuple(f for f in faults if f not in own)
    worked = Worked(round, reading.tree, base, stated, False, said, faults, counted, edged=reading.worker.edged)
    return worked, _left(round, below, reading, stated, counted)


def _counts(round: Round, reading: Reading) -> bool:
    """Whether what is known of the round below is enough to count this one; a guess that gives what is stated is."""
    worker = reading.worker
    return not worker.endless and (worker.base_known or not worker.base.is_ring or not is_open(round))


def _left(round: Round, below: Below, reading: Reading, stated: int | None, counted: bool) -> Below:
    """What the next round meets."""
    said = next(
        (
            n.counts
            for n in round.body[:1]
            if isinstance(n, Chain) and n.counts is not None and isinstance(n.count, int) and n.count >= 2
        ),
        below.counted,
    )
    tree: Tree = reading.tree
    known = counted and tree.tops > 0
    if not known and stated:
        tree, known = Loop(Leaf(None, tops=(Top(main_stitch(round)),)), stated), True
    return Below(
        tree,
        round.kind == "row" or reading.worker.turned,
        _trailing_chain(round),
        False,
        known,
        said,
        _counts_chain(tree),
        reading.worker.in_space,
        in_blocks=below.in_blocks,
        laid=_laid(round),
    )


def _laid(round: Round) -> tuple[Node, ...]:
    """The foundation that a round is and nothing more."""
    nodes = (*round.foundation, *round.body)
    if not nodes or not isinstance(nodes[0], (Chain, Action)):
        return ()
    only = all(isinstance(n, Chain) or (isinstance(n, Action) and n.kind in ("join", "turn", "ring")) for n in nodes)
    return nodes if only and any(isinstance(n, Chain) for n in nodes) else ()


def _counts_chain(tree: Tree) -> bool:
    """Whether the first thing of a round is a chain that counts as a stitch."""
    while isinstance(tree, (Run, Loop)):
        children = [c for c in tree.children if c.makes or c.tops] if isinstance(tree, Run) else [tree.child]
        if not children:
            return False
        tree = children[0]
    return tree.makes == 1 and (tree.node is None and tree.steps == 0 or isinstance(tree.node, Chain))


def _trailing_chain(round: Round) -> Chain | None:
    """`ch 3, turn` at a row's end."""
    nodes = [n for n in round.body if not (isinstance(n, Action) and n.kind in ("colour", "marker"))]
    if len(nodes) >= 2 and isinstance(nodes[-1], Action) and nodes[-1].kind == "turn" and isinstance(nodes[-2], Chain):
        return nodes[-2]
    return None


def _same(a: Worked, b: Worked) -> bool:
    """Whether a round is worked just as the one before it, and says the same words or that it does."""
    if b.source.foundation or not b.source.body or a.made != b.made or a.steps != b.steps or b.made <= 0:
        return False
    if isinstance(b.source.body[0], Repeat) and a.takes != b.takes:
        return False
    return b.source.same_as == a.label or write(a.source.body) == write(b.source.body)


def _fault(pattern: Pattern, trouble: Trouble) -> Fault:
    return pattern.fault(trouble.kind, trouble.severity, trouble.span, trouble.message, trouble.hint)
