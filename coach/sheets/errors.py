"""What can go wrong with a sheet, in words for the maker."""

from __future__ import annotations

import sys

from coach.errors import CoachError


class SheetError(CoachError):
    """A sheet that can't be written, or a file that no pattern can be taken from."""


def installing(packages: str, instead: str) -> str:
    """The hint for what is not installed: for the Python that runs, since `./start` has one of its own."""
    python = f'"{sys.executable}"' if " " in sys.executable else sys.executable
    return f"Install it with: {python} -m pip install {packages}\nOr {instead}"
