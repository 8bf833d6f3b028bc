"""A stitch chart: every part's rounds in the symbols of the published standard, each stitch on the one below."""

from __future__ import annotations

from coach.sheets.chart.page import Place, chart, check_place, place_in_words

__all__ = ["Place", "chart", "check_place", "place_in_words"]
