"""A maker's own swatch and gauge, as typed: "20 by 20 took 9 metres", `20x20=9`, "10 sc to 5 cm"."""

from __future__ import annotations

import re

from coach.fabric.gauge import Gauge, read_gauge
from coach.fabric.needs import Swatch

METRES = {
    "": 1.0,
    "m": 1.0,
    "metre": 1.0,
    "metres": 1.0,
    "meter": 1.0,
    "meters": 1.0,
    "cm": 0.01,
    "yd": 0.9144,
    "yds": 0.9144,
    "yard": 0.9144,
    "yards": 0.9144,
    "ft": 0.3048,
    "feet": 0.3048,
    "foot": 0.3048,
}
MOST = 10_000  # stitches, rows and metres of a swatch; more is a slip of the finger
_SWATCH = re.compile(
    r"(?P<stitches>\d+)\s*(?:sts?|stitches|sc|dc|hdc|htr|tr)?\s*(?:x|by|and|times|,)\s*(?P<rows>\d+)\s*(?:rows?|rounds?|rnds?)?\s*"
    r"(?:=|:|took|takes|used|uses|needed|needs|is)\s*(?:about\s*)?(?P<yarn>\d+(?:[.,]\d+)?)\s*(?P<unit>[a-z]+)?",
    re.IGNORECASE,
)


def read_swatch(text: str) -> Swatch | None:
    """None when the text gives no stitches, rows and length of yarn, or none that can be."""
    m = _SWATCH.search(text)
    if m is None or (m["unit"] or "").lower() not in METRES:
        return None
    metres = float(m["yarn"].replace(",", ".")) * METRES[(m["unit"] or "").lower()]
    stitches, rows = int(m["stitches"]), int(m["rows"])
    if not (0 < stitches < MOST and 0 < rows < MOST and 0 < metres < MOST):
        return None
    return Swatch(stitches, rows, metres)


def own_gauge(text: str, terms: str = "US") -> Gauge | None:
    """A gauge as a pattern would say it, but the maker's; None when there is none in the text, or none that can be."""
    found = read_gauge(text, terms)
    if found is None or not (
        0.05 <= found.width <= 20 and 0.02 <= found.height <= 100
    ):  # cm: finer than thread, thicker than rope
        return None
    return Gauge(found.width, found.height, found.stitch, "own")
