"""Whole runs of `python -m coach` with an empty journal, in an empty folder."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def home(tmp_path, monkeypatch):
    """An empty journal and an empty folder to work in."""
    monkeypatch.setenv("COACH_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("COACH_DEBUG", raising=False)
    monkeypatch.delenv("COACH_COMMAND", raising=False)
    folder = tmp_path / "desk"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def coach(home):
    def run(*args: str, typed: str | bytes = "") -> subprocess.CompletedProcess:
        data = typed.encode() if isinstance(typed, str) else typed
        env = os.environ | {"PYTHONPATH": str(ROOT)}
        line = [sys.executable, "-m", "coach", *args]
        done = subprocess.run(line, input=data, capture_output=True, env=env, timeout=60)
        done.out, done.err = done.stdout.decode("utf-8"), done.stderr.decode("utf-8")
        assert "Traceback" not in done.out + done.err
        return done
    return run
