"""One round in the reading that the stitches and the stated count bear out."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice, product

from coach.fabric import checks
from coach.fabric.base import Base
from coach.fabric.checks.ambiguous import ambiguous, one_or_more_each
from coach.fabric.closing import closing
from coach.fabric.edges import ALONG, Edged, shared_out
from coach.fabric.foundation import Foundation, chain_alone, first_place, into_the_ring, lay
from coach.fabric.hand import Option, Trouble, sts
from coach.fabric.opened import into_each, opened, says_chains
from coach.fabric.repeating import MOST_TURNS
from coach.fabric.standing import standing_chains
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.fabric.worker import Worker
from coach.notation.model import Action, Chain, Evenly, Group, Node, Repeat, Round, Stitch, for_size
from coach.notation.walk import acts, places, walk
from coach.stitches.catalogue import stitch as entry_of
from coach.values import value

MOST_READINGS = 64  # combinations of readings that are tried for one round
_ELSEWHERE = ("named", *ALONG)  # places that the round below does not tell
MOST_TAKEN_UP = 6  # stitches below for one of a round, where those below are looked for


@value
class Below:
    """What the round before leaves: its tree, whether the work is turned before the next, a turning chain made at its
    end,
    whether it is known, whether its own starting chain counts as a stitch (on top, and as the pattern said), and what
    it is where it is only a foundation."""

    tree: Tree | None = None
    turned: bool = False
    chain: Chain | None = None
    first: bool = True
    known: bool = True
    counted: bool | None = None  # what an earlier round said of its starting chain
    tch: bool = False  # the round below starts with a chain that counts
    in_space: bool = False  # it ends in its last space
    in_blocks: bool = False  # the part is worked in blocks from corner to corner
    edged: Edged | None = None  # the edges of the piece, where the next round comes along them
    laid: tuple[Node, ...] = ()  # "Row 1: Ch 21": the next row is worked into it as into a foundation


@value
class Reading:
    """One way to read a round, and how it comes out. known: what it is worked into is, not only guessed."""

    tree: Tree
    base: Base
    worker: Worker
    foundation: Foundation | None
    troubles: tuple[Trouble, ...]
    known: bool = True

    @property
    def wrong(self) -> int:
        return sum(t.severity == "error" for t in self.troubles)


def settle(round: Round, below: Below, size: int, spoiled: bool) -> tuple[Reading, tuple[str, ...]]:
    """The reading in which nothing is wrong, and sentences about what it chose. spoiled: not all of the round was
    read.
    """
    if below.laid and not round.foundation:
        round = replace(round, foundation=below.laid)
    if below.known and not below.first and "piece" in places(round.body):
        around = read_once(round, below, size, {"onto": 1}, spoiled)
        if not around.wrong:
            return around, ()
    first = read_once(round, below, size, {}, spoiled)
    if first.worker.edged is not None and not spoiled:
        return _along_edges(round, below, size, first)
    options = dict(first.worker.options)
    if (below.first or below.laid) and not _is_fixed(round):
        options["foundation"] = Option("foundation", 2, round.body[0] if round.body else Leaf(None))
    if first.foundation and _hooked(round) and entry_height(main_stitch(round)) >= 2:
        options["skipped"] = Option("skipped", 2, round.body[0])
    if below.known and below.tree is not None and below.tree.spaces and not first.foundation:
        options[_chains_key(round, below)] = Option("chains", 2, round.body[0] if round.body else Leaf(None))
    ambiguities = any(isinstance(k, tuple) and k[0] in ("times", "each") for k in options)
    if not options or not (first.wrong or ambiguities) or spoiled:
        return first, ()
    return _choose(round, below, size, first, options)


def _along_edges(round: Round, below: Below, size: int, first: Reading) -> tuple[Reading, tuple[str, ...]]:
    """An edging with as many stitches along the edges as its count asks for; and a sentence about them."""
    usual, said = tuple(first.worker.open_edges), checks.stated(round, size)
    if not usual:
        return first, ()
    more = said - first.tree.makes if said else 0
    shares = shared_out(usual, more) if more else usual
    if shares is None:
        return first, ()
    found = read_once(round, below, size, {"along": shares}, False) if more else first
    least, most = min(shares), max(shares)
    many = f"{least} stitches" if least == most else f"{least} to {most} stitches"
    why = f"since that gives {said}" if said else "as is usual for so many rows, since nothing tells how many"
    return found, (f"Along {'the edge go' if len(shares) == 1 else 'each edge go'} {many}, {why}",)


def _choose(
    round: Round, below: Below, size: int, first: Reading, options: dict[object, Option]
) -> tuple[Reading, tuple[str, ...]]:
    """The first reading in which nothing is wrong; where none is, the first one of all."""
    sound = [({}, first)] if not first.wrong else []
    turns = first.worker.turns
    for choice in islice(product(*(o.in_turn for o in options.values())), MOST_READINGS):
        if turns > MOST_TURNS:
            break
        chosen = dict(zip(options, choice, strict=True))
        tried = read_once(round, below, size, chosen, False)
        turns += tried.worker.turns
        if not tried.wrong:
            sound.append((chosen, tried))
            if first.wrong:
                break
    if not sound:
        return first, ()
    best = sound[0][1]
    said: list[str] = []
    doubts: list[Trouble] = []
    for key, option in options.items():
        if not (isinstance(key, tuple) and key[0] in _TOLD):
            continue
        picked = best.worker.chosen.get(key, 0)
        if key[0] in ("chains", "ending", "around", "spread", "legs") and (
            key not in best.worker.chosen or not _is_unusual(option, key, picked)
        ):
            continue
        others = {
            c.get(key, 0) for c, r in sound if (r.tree.makes, r.tree.takes) != (best.tree.makes, best.tree.takes)
        } - {picked}
        doubted = bool(others) or (not round.stated and best.base.is_ring)
        trouble, words = _TOLD[key[0]](option.node, size, picked, best)
        if doubted and trouble is not None:
            doubts.append(trouble)
        elif not doubted:
            said.append(words)
    return replace(best, troubles=(*best.troubles, *doubts)), tuple(said)


def _times_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    """What to say of a repeat whose number has two readings: when in doubt, and when not."""
    amounts = [for_size(a, size) for a in (node.times.amount, *node.times.readings)]
    uses = f"uses {sts(best.tree.takes)} and " if best.known and not best.base.is_ring else ""
    return ambiguous(node, amounts, amounts[picked]), (
        f"The repeat is worked {amounts[picked]} times in all, since that {uses}gives {best.tree.makes}"
    )


def _each_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    amount = for_size(node.times.amount, size)
    each = f"are {amount}" if picked else "is one"
    told = f"There {each} in each of the {amount}, since that gives {best.tree.makes}"
    return one_or_more_each(node, amount, picked), told


def _chains_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    return None, f"Each chain is worked into as well, since that gives {best.tree.makes}"


def _ending_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    left_out = "its last step" if picked == 1 else f"its last {picked} steps"
    what = f"leaves out {left_out}" if picked else "is a whole one"
    return None, f"The last time {what}, since that uses {sts(best.tree.takes)}"


def _around_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    return None, f"It is worked all the way around, since that uses {sts(best.tree.takes)}"


def _spread_read(node: Repeat, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    more = best.tree.makes - best.base.stitches
    shaped = f"{abs(more)} {'increase' if more > 0 else 'decrease'}{'' if abs(more) == 1 else 's'}"
    return None, f"It has {best.tree.makes} stitches, with {shaped} evenly spread, since nothing tells where"


def _legs_read(node: Group, size: int, picked: int, best: Reading) -> tuple[Trouble | None, str]:
    where = "over the next two stitches" if picked else "in one stitch"
    return None, f"The decrease is worked {where}, since that uses {sts(best.tree.takes)}"


def _is_unusual(option: Option, key: tuple, picked: int) -> bool:
    """Whether it is read in another way than without the arithmetic."""
    return picked != (option.node.ending or 0 if key[0] == "ending" else option.usual)


_TOLD = {
    "times": _times_read,
    "each": _each_read,
    "chains": _chains_read,
    "ending": _ending_read,
    "around": _around_read,
    "spread": _spread_read,
    "legs": _legs_read,
}


def read_once(round: Round, below: Below, size: int, chosen: dict[object, int], spoiled: bool) -> Reading:
    """The round worked with these choices."""
    main = main_stitch(round)
    foundation = None
    into = places(round.body)
    elsewhere = not into.isdisjoint(_ELSEWHERE) or not acts(round.body).isdisjoint(("elsewhere", "moves"))
    onto_a_piece = "piece" in into and not chosen.get("onto")  # what is beside it may go into the round below
    known = below.known and not elsewhere and not onto_a_piece
    if below.edged is not None:
        base, known = below.edged.base, True
    elif below.first or below.laid or _own_ring(round):
        skipped = chosen.get("skipped")
        foundation = lay(round, main, size, chosen.get("foundation", 0), None if skipped is None else bool(skipped))
        base, known, round = foundation.base, foundation.known, into_the_ring(round)
        if not known:
            base = _guessed(round, size, main, foundation.hooked)
    elif known:
        explicit = says_chains(round, below.tree)
        one_by_one = explicit != bool(chosen.get(_chains_key(round, below), 0))
        base = Base(opened(below.tree) if one_by_one and below.tree else below.tree, below.turned)
        if one_by_one:
            round = replace(round, body=into_each(round.body))
    else:
        base = _guessed(round, size, main)
    worker = Worker(
        Base(None) if spoiled else base,  # how often an unread part is worked, nobody knows: it is told as written
        size,
        main,
        chosen,
        limit=foundation.limit if foundation else None,
        hooked=bool(foundation and foundation.hooked),
        row=round.kind == "row",
        known=known and not spoiled,
        counted_tch=below.tch and not foundation,
        closing=closing(round, size),
        edged=below.edged if not spoiled else None,
        in_blocks=below.in_blocks,
    )
    if below.in_space and known and not foundation and not below.turned:
        worker.start_in_last_space()
    before = foundation.standing if foundation else None
    if before is not None:
        worker.begun = True
    elif below.chain is not None and (start := _along_it(round, below.chain, size)) is not None:
        worker.trailing = below.chain
        before = start if start.makes else None
    elif below.chain is not None and not below.first:
        before = worker.carried(below.chain, not (round.body and isinstance(round.body[0], Chain)))
    tree = chain_alone(round, size) or worker.run(_leading_said(round.body, below))
    if before is not None:
        tree = Run((before, *(tree.children if isinstance(tree, Run) else (tree,))))
    seen = (worker.base if worker.edged else base) if not worker.base.is_ring else Base(None)
    if spoiled:
        return Reading(tree, base, worker, foundation, (), known)
    if not known:  # what is below is not known: only what the round says of itself can be wrong
        found = checks.round_troubles(round, tree, worker, seen, size)
        troubles = tuple(t for t in found if t.kind == "foundation" or (t.kind == "count" and not is_open(round)))
        return Reading(tree, seen, worker, foundation, troubles, False)
    return Reading(
        tree, seen, worker, foundation, (*worker.troubles, *checks.round_troubles(round, tree, worker, seen, size))
    )


def _along_it(round: Round, chain: Chain, size: int) -> Leaf | None:
    """What the chain at the end of the row before stands for where this one goes back along it (`ch 11, turn. Row 6: Sc
    in 2nd ch from hook ...`): a stitch, or nothing; None where it only turns."""
    kind, number, stitch = first_place(round.body) or ("", 0, "")
    skipped = for_size(number, size) - 1
    if kind != "hook" or for_size(chain.count, size) <= skipped:
        return None
    return standing_chains(stitch, skipped, chain.counts) or Leaf(None, steps=0)


def _chains_key(round: Round, below: Below) -> tuple[str]:
    """The key of the choice whether chains are worked one by one: told where the words don't say it."""
    return ("chains said",) if says_chains(round, below.tree) else ("chains",)


def _guessed(round: Round, size: int, main: str, hooked: bool = False) -> Base:
    """Where the round below is not known: so many stitches that this one comes out as it is said to, where that
    tells."""
    said = checks.stated(round, size)
    if not said or not is_open(round):
        return Base(None)
    low, high = 1, MOST_TAKEN_UP * said
    while low < high:  # more stitches below never give fewer above
        middle = (low + high) // 2
        if _on(middle, round, size, main, hooked)[0] < said:
            low = middle + 1
        else:
            high = middle
    made, base, sound = _on(low, round, size, main, hooked)
    return base if sound and made == said else Base(None)


def _on(stitches: int, round: Round, size: int, main: str, hooked: bool) -> tuple[int, Base, bool]:
    """What the round makes on so many plain stitches, those, and whether it fits them."""
    base = Base(Loop(Leaf(None, tops=(Top(main),)), stitches))
    probe = Worker(base, size, main, {}, hooked=hooked, row=round.kind == "row", known=False)
    made = probe.run(round.body).makes
    return made, base, not probe.troubles and probe.i == stitches


def is_open(round: Round) -> bool:
    """Whether how much it makes depends on the round below."""
    return any(isinstance(n, Evenly) or (isinstance(n, Repeat) and n.times.kind != "exact") for n in walk(round.body))


def _leading_said(body: tuple[Node, ...], below: Below) -> tuple[Node, ...]:
    """A starting chain of which nothing is said counts as the pattern said of an earlier one like it."""
    if below.counted is None or not body or not isinstance(body[0], Chain) or body[0].counts is not None:
        return body
    return (
        (replace(body[0], counts=below.counted), *body[1:])
        if isinstance(body[0].count, int) and body[0].count >= 2
        else body
    )


def main_stitch(round: Round) -> str:
    """The stitch that gives the round its height: the first plain one."""
    for node in walk(round.body):
        if isinstance(node, Evenly):
            return node.of
        if isinstance(node, Stitch):
            entry = entry_of(node.stitch)
            post = node.stitch.startswith(("fp", "bp"))  # as high as the stitch that it is named for
            if (plain := node.stitch[2:] if post else node.stitch) in ("sc", "hdc", "dc", "tr", "dtr", "trtr"):
                return plain
            if entry and entry.of:
                return entry.of
            if entry and entry.height and node.stitch != "slst":
                return node.stitch
    return "sc"


def entry_height(id: str) -> int:
    """Turning chains of a stitch."""
    entry = entry_of(id)
    return entry.turning_chain if entry else 1


def _is_fixed(round: Round) -> bool:
    """Whether the words leave nothing open about the foundation."""
    chains = any(isinstance(n, Chain) for n in round.foundation)
    joined = any(isinstance(n, Action) and n.kind in ("join", "ring") and n.text != "ring" for n in round.foundation)
    return not chains or joined or _hooked(round)


def _hooked(round: Round) -> bool:
    return any(isinstance(n, Stitch) and n.into.kind == "hook" for n in walk(round.body[:2])) or bool(
        round.body and getattr(round.body[0], "what", "") == "chain"
    )


def _own_ring(round: Round) -> bool:
    return any(isinstance(n, Action) and n.kind == "ring" for n in round.foundation)
