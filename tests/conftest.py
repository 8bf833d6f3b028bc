"""Random cases are judged by what they give, never by how long they took. With CI set they are the same in every run, so that a
green run stays green; elsewhere each run tries others, and a failure is printed so that it can be kept as a case."""

import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import settings

os.environ["COACH_FROZEN"] = "1"  # whoever sets a field of a value is told so, here and in the programs that tests start

settings.register_profile("untimed", deadline=None, print_blob=True)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "untimed")

# These hear, speak and wait in real time: side by side they would disturb one another.
IN_REAL_TIME = ("sound", "sessions", "test_live", "test_rehearse", "test_session", "test_sources", "test_voices")


def pytest_collection_modifyitems(items):
    """On several cores (pytest-xdist) the tests of a file stay together, and so do all those in real time, which take
    longest and so come first."""
    files = {item: item.path.relative_to(Path(__file__).parent) for item in items}
    real = {item for item, path in files.items() if path.parts[0] in IN_REAL_TIME or path.stem in IN_REAL_TIME}
    for item in items:
        item.add_marker(pytest.mark.xdist_group("real time" if item in real else str(files[item])))
    items.sort(key=lambda item: item not in real)


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
