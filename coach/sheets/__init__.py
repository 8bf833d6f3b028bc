"""What is printed: `write(fabric, path)` makes the sheet that the file's ending names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from coach.fabric.model import Fabric
from coach.sheets import html, plain
from coach.sheets.errors import SheetError

KINDS: dict[str, tuple[str, Callable[[Fabric], str]]] = {
    ".html": ("large print for the screen or the printer", html.large_print),
    ".htm": ("large print for the screen or the printer", html.large_print),
    ".txt": ("plain text, short lines, for a screen reader or a braille display", plain.text),
}


def write(fabric: Fabric, path: Path) -> str:
    """Write the sheet; gives what kind it is, in words. Raises SheetError for an ending it does not know or a full disk."""
    path = Path(path)
    if path.suffix.lower() not in KINDS:
        raise SheetError(f"I can't write a sheet that ends in {path.suffix or 'nothing'}.", f"Use one of: {', '.join(KINDS)}.")
    kind, make = KINDS[path.suffix.lower()]
    try:
        path.write_text(make(fabric), "utf-8")
    except OSError as error:
        raise SheetError(f"I can't write {path}: {error.strerror or error}.", "Check the folder and the disk.") from None
    return kind


__all__ = ["KINDS", "SheetError", "write"]
