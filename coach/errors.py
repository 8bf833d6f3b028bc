"""What a maker is told when something can't be done."""

from __future__ import annotations


class CoachError(Exception):
    """Something can't be done. message: what is wrong, in plain sentences; hint: what to do about it ("" where nothing
    helps). Each room has its own kinds."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.message} {self.hint}".strip()
