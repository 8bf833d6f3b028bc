"""An SVG drawing as a PNG picture, with the fonts that are there."""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path

from coach.sheets.errors import SheetError, installing

ZOOM = 2.0  # pixels to a unit of the drawing
MOST_PIXELS = 60_000_000
FAMILY = "Bitstream Vera Sans"


def png(svg: str) -> bytes:
    """The picture; large drawings get fewer pixels to a unit. Raises SheetError where the renderer is not installed."""
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        raise SheetError(
            "A picture needs the package resvg-py, which is not installed.",
            installing("resvg-py reportlab", "write an .svg file."),
        ) from None
    width, height = (float(n) for n in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
    zoom = min(ZOOM, (MOST_PIXELS / (width * height)) ** 0.5)
    return svg_to_bytes(
        svg_string=svg,
        background="#ffffff",
        width=max(int(width * zoom), 1),
        font_files=fonts(),
        font_family=FAMILY,
        sans_serif_family=FAMILY,
    )


def fonts() -> list[str]:
    """Files of the letters that come with the PDF library; without it, those of the system are used."""
    spec = find_spec("reportlab")
    if spec is None or not spec.submodule_search_locations:
        return []
    folder = Path(next(iter(spec.submodule_search_locations))) / "fonts"
    return [str(path) for path in sorted(folder.glob("Vera*.ttf"))]
