"""Sheets that need a package more: where it is missing, the hint installs it for the Python that runs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from coach.sheets.errors import installing

ROOT = Path(__file__).parents[2]
WITHOUT = "import sys; sys.modules[{package!r}] = None; from coach.cli import main; sys.exit(main(sys.argv[1:]))"


@pytest.mark.parametrize(("package", "name", "ending"), [
    ("reportlab", "reportlab", "pdf"),
    ("resvg_py", "resvg-py", "png"),
])
def test_what_is_missing_and_how_to_get_it(package, name, ending, tmp_path):
    sheet = tmp_path / f"buoy.{ending}"
    done = subprocess.run([sys.executable, "-c", WITHOUT.format(package=package), "sheet", "buoy", "--to", str(sheet)],
                          capture_output=True, text=True, cwd=ROOT, env={"COACH_HOME": str(tmp_path), "PATH": ""})
    assert done.returncode == 2 and not sheet.exists()
    missing, install, instead = done.stderr.splitlines()
    assert f"needs the package {name}, which is not installed." in missing
    assert install.startswith(f"Install it with: {sys.executable} -m pip install {name}")
    assert instead.startswith("Or write an .")


def test_a_folder_with_a_space_is_quoted(monkeypatch):
    monkeypatch.setattr(sys, "executable", "/home/quay side/.venv/bin/python")
    assert installing("reportlab", "wait.").startswith('Install it with: "/home/quay side/.venv/bin/python" -m pip')
