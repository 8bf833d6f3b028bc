"""leaves: a round leaves stitches of the round below unworked and does not say so.

Where it is meant, the text says it: "leave the remaining sts unworked".

Fails:

    Rnd 1: 8 sc in magic ring. (8)
    Rnd 2: (Sc in next st, inc) 3 times. (9)

Passes:

    Rnd 1: 8 sc in magic ring. (8)
    Rnd 2: (Sc in next st, inc) 4 times. (12)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.along import unworked
from coach.fabric.checks.ring_again import into_ring
from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble, sts
from coach.notation.model import Action, Chain, Group, Stitch, for_size
from coach.notation.walk import acts, places, walk


def leaves(seen: Seen) -> Iterator[Trouble]:
    worker = seen.worker
    if (
        seen.base.is_ring
        or worker.leaves_rest
        or not seen.round.body
        or seen.has("repeat", "leaves", "short")
        or _closes_its_chain(seen)
    ):
        return
    if worker.into_spaces:
        spaces = worker.base.spaces_in(worker.i, worker.base.tops)
        if spaces and not worker.base.start and not _of_other_sizes(seen) and not into_ring(seen.round):
            yield Trouble(
                "leaves",
                seen.last,
                f"{seen.round.label} leaves {spaces} chain {'space' if spaces == 1 else 'spaces'} unworked.",
                "Check how many times it is repeated.",
            )
        return
    left = unworked(worker)
    if left <= worker.may_leave or into_ring(seen.round):  # that is its fault
        return
    if left == worker.closing.passes and not worker.closing.chain:  # its last chain passes over them
        return
    around_chain = "other_side" in acts(seen.round.body)
    if left > worker.may_leave + around_chain:  # the end of a chain may be worked from one side only
        yield Trouble(
            "leaves",
            seen.last,
            f"{seen.round.label} leaves {sts(left)} of the round below unworked.",
            'Check how many times it is repeated, or write "leave the remaining sts unworked".',
        )


def _of_other_sizes(seen: Seen) -> bool:
    """Whether the words name the chains of each space that is worked into, and none like them is left."""
    spaces = [n for n in walk(seen.round.body) if isinstance(n, (Stitch, Group)) and n.into.kind == "space"]
    numbers = {n.into.number for n in spaces}
    if not numbers or None in numbers:
        return False
    worker = seen.worker
    return all(worker.base.next_space(worker.i, for_size(number, seen.size)) is None for number in numbers)


def _closes_its_chain(seen: Seen) -> bool:
    """Whether it ends in a chain of its own foundation, or goes into one chain: a motif that is worked into one."""
    body = seen.round.body
    if places(body) == {"hook", "same"}:
        first = next(n for n in walk(body) if isinstance(n, (Stitch, Group)))
        if first.into.kind == "hook":
            return True  # all of it in one chain
    if not any(isinstance(n, Chain) for n in seen.round.foundation):
        return False
    return any(isinstance(n, Action) and n.kind == "join" and n.into and n.into.kind == "chain" for n in body)
