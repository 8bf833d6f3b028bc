"""The patterns as the coach reads and works them."""

from __future__ import annotations

from functools import cache

import pytest
from harbour import text_of

from coach import fabric, notation
from coach.fabric.model import Fabric


@cache
def _work(text: str, size: int) -> Fabric:
    return fabric.work(notation.read(text), size)


@pytest.fixture(scope="session")
def worked():
    """worked("seal") is the fabric of patterns/seal.md, worked("cap", 2) that of its third size."""
    return lambda name, size=0: _work(text_of(name), size)


@pytest.fixture(scope="session")
def counts(worked):
    """counts("seal", "Head") is what each round of that part makes, as the coach works it."""
    return lambda name, part, size=0: [r.made for p in worked(name, size).parts if p.name == part for r in p.rounds]
