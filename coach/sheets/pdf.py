"""Large print as a tagged PDF: headings, paragraphs and lists in reading order, so that a screen reader meets the
same page as the eye."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.sheets.errors import SheetError, installing
from coach.sheets.lines import Line
from coach.sheets.tagged import Block, tag

if TYPE_CHECKING:
    from coach.sheets import Wishes

PAGE = (595.28, 841.89)  # A4, in points
MARGIN = 51.0  # points, 18 mm
LEADING = 1.4  # of the type size
PLAIN, BOLD = "SheetPlain", "SheetBold"


@dataclass(frozen=True, slots=True)
class Style:
    """tag: of the PDF standard; scale: of the type size; before: space above, in lines; bold: whether all of it is."""

    tag: str
    scale: float = 1.0
    before: float = 0.5
    bold: bool = False
    hanging: bool = False


STYLES = {
    "title": Style("H1", 1.5, 0, True),
    "heading": Style("H2", 1.25, 1.2, True),
    "round": Style("LI", hanging=True),
    "item": Style("LI", hanging=True),
    "note": Style("P"),
    "key": Style("P"),
    "terms": Style("P"),
    "fault": Style("P", bold=True),
}
Word = tuple[str, str]  # text, font


def dressed(lines: Iterable[Line], wishes: Wishes) -> bytes:
    """The sheet as PDF. Raises SheetError where the library is not installed."""
    try:
        from reportlab import rl_config
        from reportlab.pdfgen.canvas import Canvas
    except ImportError:
        raise SheetError(
            "A PDF needs the package reportlab, which is not installed.",
            installing("reportlab", "write an .html file and print that."),
        ) from None
    rl_config.invariant = 1  # the same sheet gives the same bytes
    _fonts()
    lines = list(lines)
    title = next((line.text for line in lines if line.kind == "title"), "Pattern")
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=PAGE, pageCompression=1, lang=wishes.language, initialFontName=PLAIN)
    canvas.setTitle(title)
    canvas.setAuthor("")
    canvas.setSubject("")
    canvas.setCreator("crochet-coach")
    setter = Setter(canvas, wishes.type_size)
    for i, line in enumerate(lines):
        if line.kind == "figure":
            setter.show(line)
        else:
            shown = i + 1 < len(lines) and lines[i + 1].kind == "figure"
            setter.set(line, followed=i + 1 < len(lines), on_new_page=shown and line.kind == "heading")
    setter.end()
    canvas.save()
    return tag(out.getvalue(), setter.blocks, title, wishes.language)


class Setter:
    """Sets lines on pages, each word where it fits; what belongs together stays on one page where it can."""

    def __init__(self, canvas, size: float):
        self.canvas = canvas
        self.size = size
        self.y = PAGE[1] - MARGIN
        self.page = 0
        self.next_mark = 0
        self.blocks: list[Block] = []

    def set(self, line: Line, followed: bool, on_new_page: bool = False) -> None:
        if on_new_page and self.y < PAGE[1] - MARGIN:
            self.turn()
        style = STYLES[line.kind]
        size = self.size * style.scale
        hang = size if style.hanging else 0.0
        rows = list(_rows(_words(line, style), size, PAGE[0] - 2 * MARGIN, hang))
        before = style.before * size if self.y < PAGE[1] - MARGIN else 0.0
        needed = (
            before
            + len(rows) * size * LEADING
            + (3 * self.size * LEADING if style.tag in ("H1", "H2") and followed else 0)
        )
        if self.y - needed < MARGIN and needed <= PAGE[1] - 2 * MARGIN and self.y < PAGE[1] - MARGIN:
            self.turn()
            before = 0.0
        self.y -= before
        block = Block(style.tag, line.text, [])
        self.blocks.append(block)
        marked = False
        for i, row in enumerate(rows):
            if self.y - size * LEADING < MARGIN:
                if marked:
                    self.canvas._code.append("EMC")
                self.turn()
                marked = False
            if not marked:
                self.canvas._code.append(
                    f"/{'LBody' if style.tag == 'LI' else style.tag} <</MCID {self.next_mark}>> BDC"
                )
                block.marks.append((self.page, self.next_mark))
                self.next_mark += 1
                marked = True
            self.y -= size * LEADING
            self._row(row, size, MARGIN + (hang if i else 0))
        if marked:
            self.canvas._code.append("EMC")

    def show(self, line: Line) -> None:
        """A drawing as a picture, as large as the page lets it be, with what it shows as its alternative text."""
        from reportlab.lib.utils import ImageReader

        from coach.sheets.png import png

        try:
            picture = ImageReader(io.BytesIO(png(line.drawing)))
        except SheetError:  # without the renderer the words stand alone
            self.set(Line("note", f"Not drawn here: {line.text}"), followed=False)
            return
        width, height = picture.getSize()
        scale = min((PAGE[0] - 2 * MARGIN) / width, (self._room() - self.size) / height)
        width, height = width * scale, height * scale
        if self.y - height - self.size < MARGIN and self.y < PAGE[1] - MARGIN:
            self.turn()
        self.y -= height + self.size
        self.blocks.append(
            Block("Figure", line.text, [(self.page, self.next_mark)], (MARGIN, self.y, MARGIN + width, self.y + height))
        )
        self.canvas._code.append(f"/Figure <</MCID {self.next_mark}>> BDC")
        self.next_mark += 1
        self.canvas.drawImage(picture, MARGIN, self.y, width, height)
        self.canvas._code.append("EMC")

    def _room(self) -> float:
        """For a drawing: what is left of the page, where that is most of it, else a page."""
        left, whole = self.y - MARGIN, PAGE[1] - 2 * MARGIN
        return left if left > 0.75 * whole else whole

    def _row(self, row: list[Word], size: float, x: float) -> None:
        text = self.canvas.beginText(x, self.y)
        for i, (word, font) in enumerate(row):
            text.setFont(font, size)
            text.textOut(word + (" " if i + 1 < len(row) else ""))
        self.canvas.drawText(text)

    def turn(self) -> None:
        self.foot()
        self.canvas.showPage()
        self.page += 1
        self.next_mark = 0
        self.y = PAGE[1] - MARGIN

    def foot(self) -> None:
        self.canvas._code.append("/Artifact BMC")
        self.canvas.setFont(PLAIN, min(self.size, 16))
        self.canvas.drawCentredString(PAGE[0] / 2, MARGIN / 2, str(self.page + 1))
        self.canvas._code.append("EMC")

    def end(self) -> None:
        self.foot()
        self.canvas.showPage()


def _words(line: Line, style: Style) -> Iterator[Word]:
    plain = BOLD if style.bold else PLAIN
    spans = [(line.text, plain)]
    if line.kind == "round":
        spans = [(f"{line.label}.", BOLD), (f"{line.text}.", PLAIN), (f"{line.count}.", BOLD)]
    elif line.kind == "fault":
        spans = [(f"Take care: {line.text}", BOLD)]
    for text, font in spans:
        yield from ((_known(word), font) for word in text.split())


def _rows(words: Iterable[Word], size: float, width: float, hang: float) -> Iterator[list[Word]]:
    """Words filled into rows; a word wider than a row is cut."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    row: list[Word] = []
    used = 0.0
    room = width
    for word, font in words:
        while True:
            wide = stringWidth(word, font, size)
            space = stringWidth(" ", font, size) if row else 0.0
            if used + space + wide <= room:
                row.append((word, font))
                used += space + wide
                break
            if row:
                yield row
                row, used, room = [], 0.0, width - hang
                continue
            cut = next(n for n in range(len(word), 0, -1) if n == 1 or stringWidth(word[:n], font, size) <= room)
            yield [(word[:cut], font)]
            word, room = word[cut:], width - hang
            if not word:
                break
    if row:
        yield row


def _fonts() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in ((PLAIN, "Vera.ttf"), (BOLD, "VeraBd.ttf")):
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, file))


def _known(word: str) -> str:
    """Letters that the font lacks become their plain form, or a question mark."""
    from reportlab.pdfbase import pdfmetrics

    glyphs = pdfmetrics.getFont(PLAIN).face.charToGlyph
    if all(ord(c) in glyphs for c in word):
        return word
    plain = "".join(c if ord(c) in glyphs else unicodedata.normalize("NFKD", c) for c in word)
    return "".join(c if ord(c) in glyphs else "" if unicodedata.combining(c) else "?" for c in plain)
