"""Plain text in short lines, one thing a line: what a screen reader or a braille display takes best."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

from coach.sheets.lines import Line, said

if TYPE_CHECKING:
    from coach.sheets import Wishes

WIDTH = 72  # characters a line


def dressed(lines: Iterable[Line], wishes: Wishes | None = None) -> str:
    """The sheet as plain text."""
    out: list[str] = []
    for line in lines:
        if line.kind in ("title", "heading"):
            out += ["", line.text] if out else [line.text]  # no capitals: screen readers may spell them
        else:
            out += textwrap.wrap(said(line), WIDTH, subsequent_indent="  ")
    return "\n".join(out) + "\n"
