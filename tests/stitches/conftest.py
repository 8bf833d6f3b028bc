"""The reference facts lie beside the checkout; where they do not, the tests that need them say so."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference"


@pytest.fixture(scope="session")
def reference():
    """reference("stitches.toml") gives that file's data, or skips the test."""

    def read(name: str) -> dict:
        path = REFERENCE / name
        if not path.is_file():
            pytest.skip(f"the reference facts are not here: ../shared/reference/{name}")
        return tomllib.loads(path.read_text("utf-8"))

    return read
