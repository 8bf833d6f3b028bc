"""What one round and one text may hold, so that hostile text costs no more than its length; nothing written for people
comes near."""

from __future__ import annotations

from dataclasses import dataclass

from coach.notation.model import Group, Node, Repeat

DEPTH = 40  # brackets, repeats and places inside one another
LONGEST_ROUND = 20_000  # characters of one instruction
MOST_UNWRITTEN = 5_000  # rounds of one text that a range or a repeat stands for: `repeat 999999999 times` ends here


def too_deep(nodes: list[Node]) -> bool:
    """Whether repeats and groups lie too deep inside one another to be walked through."""
    level = [node for node in nodes if isinstance(node, (Group, Repeat))]
    for _ in range(2 * DEPTH):  # a bracket may be a group and its repeat
        if not level:
            return False
        level = [inner for node in level for inner in node.body if isinstance(inner, (Group, Repeat))]
    return True


@dataclass(slots=True)
class Room:
    """How many rounds that are not written out a text may still have; shared by its parts."""

    left: int = MOST_UNWRITTEN

    def take(self, numbers: tuple[int, ...]) -> tuple[int, ...]:
        """As many of the numbers as there is room for (the first one always)."""
        kept = numbers[: max(self.left, 0) + 1]
        self.left -= max(len(kept) - 1, 0)
        return kept
