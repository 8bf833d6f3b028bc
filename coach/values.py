"""Values: small dataclasses that nothing changes once they are made.

A page is read into many thousands of them. A frozen dataclass takes three times as long in the making, since each field
is set past a guard; so the guard is there where the tests run (`COACH_FROZEN`, set in their conftest.py), and an
assignment anywhere is an error there.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import dataclass_transform

_FROZEN = bool(os.environ.get("COACH_FROZEN"))


@dataclass_transform(frozen_default=True)
def value(cls: type) -> type:
    """A class decorator: it compares and hashes by its fields, which are set when it is made and never again."""
    return dataclass(cls, slots=True, unsafe_hash=True, frozen=_FROZEN)
