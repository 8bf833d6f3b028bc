"""Braille as a BRF file: contracted English braille (UEB) in ASCII braille, 40 cells by 25 lines, ready to emboss or
to read on a display.

The translation is liblouis': its Python module where it is installed, else its program `lou_translate`.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from coach.sheets.errors import SheetError
from coach.sheets.lines import Line, said

if TYPE_CHECKING:
    from coach.sheets import Wishes

CELLS, LINES = 40, 25
TABLES = ("en-us-brf.dis", "en-ueb-g2.ctb")
RUNOVER = 2  # cells that a paragraph's further lines are set in
HEADING = 4  # cells before a heading
SECONDS = 60.0  # for a whole pattern; a long one takes a tenth of a second
Translate = Callable[[list[str]], list[str]]


def dressed(lines: Iterable[Line], wishes: Wishes | None = None, translate: Translate | None = None) -> str:
    """The sheet as BRF. translate: texts into ASCII braille, one by one (None: by liblouis). Raises SheetError where
    liblouis is not installed."""
    lines = list(lines)
    texts = (translate or _liblouis)([said(line) for line in lines] + [str(n) for n in range(1, len(lines) + 2)])
    blocks = [(line.kind, text.split()) for line, text in zip(lines, texts)]
    numbers = texts[len(lines) :]
    pages = list(_pages(blocks))
    return "".join(
        "\r\n".join((*page, *[""] * (LINES - 1 - len(page)), numbers[min(i, len(numbers) - 1)].strip().rjust(CELLS)))
        + "\r\n\f"
        for i, page in enumerate(pages)
    )


def _pages(blocks: list[tuple[str, list[str]]]) -> Iterator[list[str]]:
    """Lines of each page, without the last one, which holds its number. A heading stays with what follows it."""
    page: list[str] = []
    for i, (kind, words) in enumerate(blocks):
        rows = _rows(kind, words)
        if not rows:
            continue
        space = 1 if kind in ("title", "heading") and page else 0
        follows = len(_rows(*blocks[i + 1])) if kind == "heading" and i + 1 < len(blocks) else 0
        if page and len(page) + space + len(rows) + min(follows, 3) > LINES - 1 and len(rows) < LINES - 1:
            yield page
            page, space = [], 0
        page += [""] * space
        for row in rows:
            if len(page) == LINES - 1:
                yield page
                page = []
            page.append(row)
    if page:
        yield page


def _rows(kind: str, words: list[str]) -> list[str]:
    if kind == "title":
        return [row.center(CELLS).rstrip() for row in _filled(words, CELLS - 6, 0, 0)]
    if kind == "heading":
        return _filled(words, CELLS, HEADING, HEADING)
    return _filled(words, CELLS, 0, RUNOVER)


def _filled(words: list[str], width: int, first: int, rest: int) -> list[str]:
    """Words in lines; one longer than a line is cut."""
    rows: list[str] = []
    row = " " * first
    empty = True
    for word in words:
        while word:
            if len(row) + (not empty) + len(word) <= width:
                row += ("" if empty else " ") + word
                word, empty = "", False
            elif not empty:
                rows.append(row)
                row, empty = " " * rest, True
            else:
                room = width - len(row)
                rows.append(row + word[:room])
                word, row = word[room:], " " * rest
    return rows if empty else [*rows, row]


def _liblouis(texts: list[str]) -> list[str]:
    texts = [" ".join(text.split()) for text in texts]
    try:
        import louis
    except ImportError:
        return _program(texts)
    return [louis.translateString(list(TABLES), text) for text in texts]


def _program(texts: list[str]) -> list[str]:
    program = shutil.which("lou_translate")
    if program is None:
        raise SheetError(
            "Braille needs liblouis, which is not installed.",
            "On Debian: apt install liblouis-bin. Without it, a braille display takes the .txt sheet.",
        )
    try:
        done = subprocess.run(
            [program, "--forward", ",".join(TABLES)],
            input="\n".join(texts) + "\n",
            capture_output=True,
            encoding="utf-8",
            timeout=SECONDS,
            check=True,
        )
    except (subprocess.SubprocessError, OSError) as error:
        raise SheetError("liblouis does not work here.", f"It said: {str(error).splitlines()[0]}") from None
    made = done.stdout.split("\n")[: len(texts)]
    if len(made) != len(texts):
        raise SheetError(
            "liblouis left something out.", "Its tables for English may be missing: apt install liblouis-data"
        )
    return made
