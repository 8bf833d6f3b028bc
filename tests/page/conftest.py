from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from held import Held, working  # noqa: E402
from watching import chrome, opened  # noqa: E402

__all__ = ["chrome", "opened"]


@pytest.fixture
def held():
    with Held(working()) as one:
        yield one
