"""What one round may hold, so that hostile text costs no more than its length; nothing written for people comes
near."""

from __future__ import annotations

from coach.notation.model import Group, Node, Repeat

DEPTH = 40  # brackets, repeats and places inside one another
LONGEST_ROUND = 20_000  # characters of one instruction


def too_deep(nodes: list[Node]) -> bool:
    """Whether repeats and groups lie too deep inside one another to be walked through."""
    level: list[Node] = nodes
    for _ in range(2 * DEPTH):  # a bracket may be a group and its repeat
        level = [inner for node in level if isinstance(node, (Group, Repeat)) for inner in node.body]
        if not level:
            return False
    return True
