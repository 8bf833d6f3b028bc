"""The patterns as the coach reads and works them, and the reference facts where they lie beside the checkout."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import pytest
from harbour import text_of

from coach import fabric, notation
from coach.fabric.model import Fabric

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference"


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


@pytest.fixture(scope="session")
def reference():
    """reference("geometry.toml") gives that file's data, or skips the test."""

    def read(name: str) -> dict:
        path = REFERENCE / name
        if not path.is_file():
            pytest.skip(f"the reference facts are not here: ../shared/reference/{name}")
        return tomllib.loads(path.read_text("utf-8"))

    return read
