"""Plain text in short lines, one thing a line: what a screen reader or a braille display takes best."""

from __future__ import annotations

import textwrap

from coach.fabric.model import Fabric
from coach.sheets.lines import lines

WIDTH = 72  # characters a line


def text(fabric: Fabric) -> str:
    """The sheet as plain text."""
    out: list[str] = []
    for line in lines(fabric):
        if line.kind in ("title", "heading"):
            out += ["", line.text.upper()] if out else [line.text.upper()]
            continue
        said = f"{line.label}. {line.text}. {line.count}." if line.kind == "round" else f"Take care: {line.text}" if line.kind == "fault" else line.text
        out += textwrap.wrap(said, WIDTH, subsequent_indent="  ")
    return "\n".join(out) + "\n"
