"""What can go wrong with a sheet, in words for the maker."""

from __future__ import annotations


class SheetError(Exception):
    """A sheet that can't be written, or a file that no pattern can be taken from. message and hint: plain sentences."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
