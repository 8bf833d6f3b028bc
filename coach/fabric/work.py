"""A pattern as read → a pattern as worked: each round into the one below, each ambiguity settled by the arithmetic."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice, product

from coach.fabric import checks
from coach.fabric.base import Base
from coach.fabric.foundation import Foundation, lay, walk
from coach.fabric.model import Fabric, Worked, WorkedPart
from coach.fabric.tree import Leaf, Run, Top, Tree
from coach.fabric.worker import Option, Trouble, Worker
from coach.notation.model import Action, Chain, Fault, Node, Part, Pattern, Repeat, Round, Stitch, for_size
from coach.stitches.catalogue import stitch as entry_of

MOST_READINGS = 64  # combinations of readings that are tried for one round


def work(pattern: Pattern, size: int = 0) -> Fabric:
    """The whole pattern in one size (index into its sizes). Never raises for what a pattern says."""
    parts, faults = [], list(pattern.faults)
    for part in pattern.parts:
        worked = work_part(pattern, part, size)
        parts.append(worked)
        for round in worked.rounds:
            faults += [f for f in round.faults if f not in faults]
    fabric = Fabric(pattern, size, tuple(parts), ())
    faults += checks.whole(fabric)
    faults.sort(key=lambda f: (f.line, f.column))
    return Fabric(pattern, size, tuple(parts), tuple(faults))


def work_part(pattern: Pattern, part: Part, size: int) -> WorkedPart:
    """One part, round after round."""
    worked: list[Worked] = []
    below = Below()
    for round in part.rounds:
        if round.sizes and size not in round.sizes:
            continue
        done, below = work_round(pattern, round, below, size)
        if worked and _same(worked[-1], done):
            done = replace(done, same=True)
        worked.append(done)
    return WorkedPart(part, tuple(worked))


@dataclass(frozen=True, slots=True)
class Below:
    """What the round before leaves: its tree, whether the work is turned before the next, a turning chain made at its end,
    and what its turning chain counted as."""

    tree: Tree | None = None
    turned: bool = False
    chain: Chain | None = None
    first: bool = True
    known: bool = True
    counted: bool | None = None  # what an earlier round said of its starting chain


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a round, and how it comes out."""

    tree: Tree
    base: Base
    worker: Worker
    foundation: Foundation | None
    troubles: tuple[Trouble, ...]

    @property
    def wrong(self) -> int:
        return sum(t.severity == "error" for t in self.troubles)


def work_round(pattern: Pattern, round: Round, below: Below, size: int) -> tuple[Worked, Below]:
    """One round on what is below it, in the reading that the stitches and the stated count bear out."""
    reading = _read(round, below, size, {})
    readings: tuple[str, ...] = ()
    options = dict(reading.worker.options)
    if below.first and not _is_fixed(round):
        options["foundation"] = Option("foundation", 2, round.body[0] if round.body else Leaf(None))
    if below.first and reading.foundation and _hooked(round):
        options["skipped"] = Option("skipped", 2, round.body[0])
    if options and (reading.wrong or any(o.key[0] == "times" for o in options.values() if isinstance(o.key, tuple))):
        reading, readings = _settle(round, below, size, reading, options)
    return _finish(pattern, round, below, size, reading, readings)


def _settle(round: Round, below: Below, size: int, first: Reading, options: dict[object, Option]) -> tuple[Reading, tuple[str, ...]]:
    """The first reading in which nothing is wrong; where none is, the first one of all."""
    keys = list(options)
    ways = [range(options[k].ways) for k in keys]
    sound = [({}, first)] if not first.wrong else []
    for choice in islice(product(*ways), MOST_READINGS):
        chosen = dict(zip(keys, choice))
        tried = _read(round, below, size, chosen)
        if not tried.wrong:
            sound.append((chosen, tried))
            if first.wrong:
                break
    if not sound:
        return first, ()
    chosen, best = sound[0]
    said = []
    for key, option in options.items():
        if not (isinstance(key, tuple) and key[0] == "times"):
            continue
        node = option.node
        amounts = [for_size(a, size) for a in (node.times.amount, *node.times.readings)]
        picked = amounts[best.worker.chosen.get(key, 0)]
        others = {(amounts[c.get(key, 0)]) for c, r in sound if r.tree.makes != best.tree.makes or r.tree.takes != best.tree.takes}
        if others - {picked} or (not round.stated and best.base.is_ring):
            best.worker.trouble("ambiguous", node.span, f"This can mean {amounts[0]} or {amounts[1]} times in all, and nothing here tells which; {picked} is taken.",
                                f'Write "{picked} times in all", or the count of the round.', "warning")
        else:
            said.append(f"{picked} times in all, since that uses {best.tree.takes} stitches and gives {best.tree.makes}")
    best = replace(best, troubles=(*best.troubles, *(t for t in best.worker.troubles if t.kind == "ambiguous" and t not in best.troubles)))
    return best, tuple(said)


def _read(round: Round, below: Below, size: int, chosen: dict[object, int]) -> Reading:
    main = main_stitch(round)
    foundation = None
    limit = None
    if below.first or _own_ring(round):
        skipped = chosen.get("skipped")
        foundation = lay(round, main, size, chosen.get("foundation", 0), None if skipped is None else bool(skipped))
        base, limit = foundation.base, foundation.limit
    else:
        base = Base(below.tree, below.turned)
    worker = Worker(base, size, main, chosen, limit=limit, hooked=bool(foundation and foundation.hooked))
    before: Tree | None = foundation.standing if foundation else None
    if before is not None:
        worker.begun = True
    elif below.chain is not None and not below.first:
        before = _carried(below, main, worker, round, size)
    tree = worker.run(_leading_said(round.body, below))
    if before is not None:
        tree = Run((before, *(tree.children if isinstance(tree, Run) else (tree,))))
    known = (below.known if not below.first else foundation.known) and not worker.base.is_ring
    troubles = [*worker.troubles, *checks.round_troubles(round, tree, worker, base if known else Base(None), size)]
    return Reading(tree, base if known else Base(None), worker, foundation, tuple(troubles))


def _leading_said(body: tuple[Node, ...], below: Below) -> tuple[Node, ...]:
    """A starting chain of which nothing is said counts as the pattern said of an earlier one like it."""
    if below.counted is None or not body or not isinstance(body[0], Chain) or body[0].counts is not None:
        return body
    return (replace(body[0], counts=below.counted), *body[1:]) if isinstance(body[0].count, int) and body[0].count >= 2 else body


def _carried(below: Below, main: str, worker: Worker, round: Round, size: int) -> Tree | None:
    """The turning chain made at the end of the row before: a stitch of this one, where it counts."""
    if round.body and isinstance(round.body[0], Chain):
        return None
    chain = below.chain
    n = for_size(chain.count, size)
    entry = entry_of(chain.stands_for or main)
    height = entry.turning_chain if entry else 1
    usual = n >= 3 and height >= 3 and n >= height
    counts = chain.counts if chain.counts is not None else bool(worker.choose(("chain", "carried"), 2, chain, int(usual)))
    if not counts:
        return None
    rest = n - height
    id = chain.stands_for or main
    tops = (Top(id),) + ((Top("space", rest),) if rest > 0 else ())
    worker.begun = True
    worker.prev, worker.i = worker.i, worker.i + 1
    return Leaf(chain, takes=1, makes=1, tops=tops, at=0, tally={id: 1} | ({f"space {rest}": 1} if rest > 0 else {}), steps=0)


def _finish(pattern: Pattern, round: Round, below: Below, size: int, reading: Reading, readings: tuple[str, ...]) -> tuple[Worked, Below]:
    stated = checks.stated(round, size)
    faults = tuple(_fault(pattern, t) for t in reading.troubles)
    unread = [f for f in pattern.faults if f.severity == "error" and round.span.start <= _offset(pattern, f) < max(round.span.end, round.span.start + 1)]
    worked = Worked(round, reading.tree, reading.base.stitches, stated, False, readings, faults + tuple(u for u in unread if u not in faults))
    last = _trailing_chain(round.body)
    turned = round.kind == "row" or reading.worker.turned
    said = next((n.counts for n in round.body[:1] if isinstance(n, Chain) and n.counts is not None and isinstance(n.count, int) and n.count >= 2), below.counted)
    return worked, Below(reading.tree, turned, last, False, bool(reading.tree.tops) and _is_known(reading, below), said)


def _is_known(reading: Reading, below: Below) -> bool:
    return reading.tree.tops > 0


def _offset(pattern: Pattern, fault: Fault) -> int:
    return pattern.lines[fault.line - 1] + fault.column - 1 if pattern.lines else 0


def _fault(pattern: Pattern, trouble: Trouble) -> Fault:
    return pattern.fault(trouble.kind, trouble.severity, trouble.span, trouble.message, trouble.hint)


def main_stitch(round: Round) -> str:
    """The stitch that gives the round its height: the first plain one."""
    for node in walk(round.body):
        if isinstance(node, Stitch):
            entry = entry_of(node.stitch)
            if node.stitch in ("sc", "hdc", "dc", "tr", "dtr", "trtr"):
                return node.stitch
            if entry and entry.of:
                return entry.of
            if entry and entry.height and node.stitch != "slst":
                return node.stitch
    return "sc"


def _is_fixed(round: Round) -> bool:
    """Whether the words leave nothing open about the foundation."""
    chains = any(isinstance(n, Chain) for n in round.foundation)
    joined = any(isinstance(n, Action) and n.kind in ("join", "ring") for n in round.foundation)
    return not chains or joined or _hooked(round)


def _hooked(round: Round) -> bool:
    return any(isinstance(n, Stitch) and n.into.kind == "hook" for n in walk(round.body[:2])) or bool(
        round.body and getattr(round.body[0], "what", "") == "chain")


def _own_ring(round: Round) -> bool:
    return any(isinstance(n, Action) and n.kind == "ring" for n in round.foundation)


def _trailing_chain(body: tuple[Node, ...]) -> Chain | None:
    """`ch 3, turn` at a row's end."""
    nodes = [n for n in body if not (isinstance(n, Action) and n.kind in ("colour", "marker"))]
    if len(nodes) >= 2 and isinstance(nodes[-1], Action) and nodes[-1].kind == "turn" and isinstance(nodes[-2], Chain):
        return nodes[-2]
    return None


def _same(a: Worked, b: Worked) -> bool:
    """Whether a round is worked just as the one before it."""
    return (a.source.body == b.source.body or b.source.same_as == a.label) and not b.source.foundation and a.made == b.made and a.steps == b.steps and b.made > 0 and not (
        isinstance(b.source.body[0], Repeat) and a.takes != b.takes if b.source.body else True)
