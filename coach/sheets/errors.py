"""What can go wrong with a sheet, in words for the maker."""

from __future__ import annotations

from coach.errors import CoachError


class SheetError(CoachError):
    """A sheet that can't be written, or a file that no pattern can be taken from."""
