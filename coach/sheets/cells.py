"""A row of a table as one line: a round's label, its text and its count, as a maker would write them."""

from __future__ import annotations

import re

LONGEST_NAME = 20  # characters of a cell that names what the one beside it tells
_LABEL = re.compile(r"(?:rnds?|rounds?|rows?|r)\.?\s*\d+(?:\s*(?:-|–|to)\s*\d+)?", re.IGNORECASE)


def as_line(cells: list[str]) -> str:
    """`Rnd 2 | inc x 6 | 12` → `Rnd 2: inc x 6 (12)`, `sc | single crochet` → `sc: single crochet`; other rows with a
    bar between the cells."""
    cells = [" ".join(cell.split()) for cell in cells]
    cells = [cell for cell in cells if cell]
    if len(cells) >= 2 and _LABEL.fullmatch(cells[0].rstrip(":.")):
        label, *rest = cells
        if len(rest) > 1 and re.fullmatch(r"\d+(?: sts?| stitches)?", rest[-1]):
            rest[-1] = f"({rest[-1]})"
        return f"{label.rstrip(':.')}: {' '.join(rest)}"
    named = len(cells) == 2 and len(cells[0]) <= LONGEST_NAME and cells[0][-1].isalnum()
    return f"{cells[0]}: {cells[1]}" if named else " | ".join(cells)
