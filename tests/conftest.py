"""Random cases are judged by what they give, never by how long they took. With CI set they are the same in every run, so that a
green run stays green; elsewhere each run tries others, and a failure is printed so that it can be kept as a case."""

import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("untimed", deadline=None, print_blob=True)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "untimed")

REFERENCE = Path(__file__).resolve().parents[2] / "shared" / "reference"


@pytest.fixture(scope="session")
def reference():
    """reference("geometry.toml") gives that file of facts from beside the checkout, or skips the test and says so."""

    def read(name: str) -> dict:
        path = REFERENCE / name
        if not path.is_file():
            pytest.skip(f"the reference facts are not here: ../shared/reference/{name}")
        return tomllib.loads(path.read_text("utf-8"))

    return read
