"""What is printed, drawn or read aloud from a file: `write(fabric, path)` makes the sheet that the file's ending names.

What a sheet tells (its kind) and how it is dressed (its ending) are independent: the words of a kind are `Line`s in
reading order, which each ending dresses in its own way; drawings are SVG, which a picture renders.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from coach.fabric.model import Fabric
from coach.sheets import lines as print_lines
from coach.sheets import shopping
from coach.sheets.chart import Place
from coach.sheets.errors import SheetError
from coach.sheets.figures import drawings
from coach.sheets.lines import Line

if TYPE_CHECKING:
    from coach.sound.model import Mouth

WORDS: dict[str, Callable[[Fabric, str | None], Iterator[Line]]] = {
    "print": print_lines.lines,
    "shopping": shopping.lines,
}
DRAWINGS = ("chart", "profile")
KINDS = (*WORDS, *DRAWINGS)

TEXTS = {  # ending: (what it is, module of coach.sheets whose `dressed(lines, wishes)` gives text or bytes)
    ".html": ("large print for the screen or the printer", "html"),
    ".htm": ("large print for the screen or the printer", "html"),
    ".pdf": ("large print as a PDF", "pdf"),
    ".txt": ("plain text, short lines, for a screen reader or a braille display", "plain"),
    ".brf": ("braille, ready to emboss", "braille"),
    ".epub": ("an audio book", "book"),
}
SHOWING = ("html", "pdf")  # modules whose sheets show drawings beside the words
PICTURES = {".svg": "a drawing", ".png": "a picture"}
ENDINGS = (*TEXTS, *PICTURES)


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a sheet is wanted. kind: see KINDS (None: what the ending is usually for); part: draw this one only; place:
    shown in a chart; type_size: of large print, in points; left: for the left hand; language: of the words, as a BCP
    47 tag; terms: US or UK, None: the pattern's; written: those the pattern is written in; mouth: the voice of an audio
    book."""

    kind: str | None = None
    part: str | None = None
    place: Place | None = None
    type_size: float = 20.0
    left: bool = False
    language: str = "en"
    terms: str | None = None
    written: str = "US"
    mouth: Mouth | None = None


SMALLEST, LARGEST = 14.0, 72.0  # points of large print (large print starts at 14 to 16: common practice, no source)


def write(fabric: Fabric, path: Path, wishes: Wishes | None = None) -> str:
    """Write the sheet; gives what it is, in words. Raises SheetError for an ending or a wish it can't follow, or a
    full disk."""
    path, wishes = Path(path), wishes or Wishes()
    ending = path.suffix.lower()
    kind = _kind(ending, wishes)
    if wishes.place is not None and kind != "chart" and not (kind == "print" and TEXTS[ending][1] in SHOWING):
        raise SheetError(
            f"A {kind} sheet shows no place as {ending}.", "Use a chart (.svg or .png), or large print (.html or .pdf)."
        )
    if kind in DRAWINGS:
        what, made = f"{PICTURES[ending]} of the {kind}", _drawn(fabric, kind, ending, wishes)
    else:
        if not SMALLEST <= wishes.type_size <= LARGEST:
            raise SheetError(
                f"Type of {wishes.type_size:g} points is outside what large print uses.",
                f"Choose from {SMALLEST:g} to {LARGEST:g}.",
            )
        what, module = TEXTS[ending]
        if kind == "print" and module in SHOWING:
            told = print_lines.lines(fabric, wishes.terms, drawings(fabric, wishes))
        else:
            told = WORDS[kind](fabric, wishes.terms)
        made = import_module(f"coach.sheets.{module}").dressed(list(told), wishes)
    try:
        path.write_bytes(made.encode("utf-8") if isinstance(made, str) else made)
    except OSError as error:
        raise SheetError(
            f"I can't write {path}: {error.strerror or error}.", "Check the folder and the disk."
        ) from None
    return what


def recordings(fabric: Fabric, folder: Path, wishes: Wishes) -> str:
    """Read a kind of words aloud into a folder, one WAV file a line; gives what it is, in words. Raises SheetError."""
    from coach.sheets.book import folder as write_folder

    if wishes.kind in DRAWINGS:
        raise SheetError(f"A {wishes.kind} can't be read aloud.", f"Use one of: {', '.join(WORDS)}.")
    words = WORDS[wishes.kind or "print"](fabric, wishes.terms)
    return f"{write_folder(words, wishes, Path(folder))} recordings and a playlist"


def _kind(ending: str, wishes: Wishes) -> str:
    if ending not in ENDINGS:
        raise SheetError(
            f"I can't write a sheet that ends in {ending or 'nothing'}.", f"Use one of: {', '.join(ENDINGS)}."
        )
    kind = wishes.kind or ("chart" if ending in PICTURES else "print")
    if kind not in KINDS:
        raise SheetError(f"There is no kind of sheet called {kind}.", f"Use one of: {', '.join(KINDS)}.")
    fits = PICTURES if kind in DRAWINGS else TEXTS
    if ending not in fits:
        raise SheetError(f"A {kind} sheet can't be written as {ending}.", f"Use one of: {', '.join(fits)}.")
    return kind


def _drawn(fabric: Fabric, kind: str, ending: str, wishes: Wishes) -> str | bytes:
    if kind == "chart":
        from coach.sheets.chart import chart

        svg = chart(fabric, part=wishes.part, place=wishes.place, left=wishes.left, terms=wishes.terms)
    else:
        from coach.sheets.profile import profile

        svg = profile(fabric, part=wishes.part)
    if ending == ".svg":
        return svg
    from coach.sheets.png import png

    return png(svg)


__all__ = ["ENDINGS", "KINDS", "Place", "SheetError", "Wishes", "recordings", "write"]
