"""A stitch chart: every part's rounds in the symbols of the published standard, each stitch on the one below."""

from __future__ import annotations

from coach.sheets.chart.key import AHEAD
from coach.sheets.chart.page import chart
from coach.sheets.chart.place import Place, check_place, place_in_words
from coach.sheets.chart.words import not_drawn

__all__ = ["AHEAD", "Place", "chart", "check_place", "not_drawn", "place_in_words"]
