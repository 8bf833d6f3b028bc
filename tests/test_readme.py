"""What the README shows is what the program prints."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.language.understand import understand

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")


def shown(name: str) -> list[str]:
    """The lines of a marked example, without their indent."""
    block = re.search(rf"<!-- {name} -->\n(.*?)<!-- end -->", README, re.DOTALL)[1]
    return [line[4:] for line in block.splitlines()]


def without_times(line: str) -> str:
    return re.sub(r"^\d\d:\d\d\.\d  |\s*\(\d\.\d\d\)$", "", line)


def coach(*args: str, home: Path, cwd: Path = ROOT) -> str:
    done = subprocess.run([sys.executable, "-m", "coach", *args], capture_output=True, text=True, cwd=cwd, timeout=300,
                          env={"COACH_HOME": str(home), "PYTHONPATH": str(ROOT), "PATH": "", "NO_COLOR": "1", "PYTHONUTF8": "1"})
    return done.stdout


def test_the_rehearsal_is_what_the_program_prints(tmp_path):
    printed = [without_times(line) for line in coach("rehearse", "buoy", home=tmp_path).splitlines()]
    expected = [without_times(line) for line in shown("rehearsal")]
    assert len(expected) > 5
    assert printed[:len(expected)] == expected


def test_the_fault_is_what_the_program_prints(tmp_path):
    (tmp_path / "float.txt").write_text("Little float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\n"
                                        "Rnd 3: (Sc, inc) x 6. (19)\n")
    assert "\n".join(shown("fault")) in coach("check", "float.txt", home=tmp_path, cwd=tmp_path)


def phrases() -> list[str]:
    table = README.split("## What you can say")[1].split("## Patterns")[0]
    rows = [line.strip("|").split("|") for line in table.splitlines() if line.startswith("|")][2:]
    cells = [cell for row in rows for cell in row[:2]]
    return [p.strip() for cell in cells for p in re.split(r"[,/]", cell) if p.strip()]


@pytest.mark.parametrize("phrase", phrases())
def test_every_phrase_of_the_table_is_a_request(phrase):
    assert isinstance(understand(load("en"), phrase.lower()), Request)


def test_the_files_it_names_are_there():
    for name in ("DEVELOPERS.md", "LICENSE", "start", "patterns", "audio_models"):
        assert (ROOT / name).exists()
    for name in re.findall(r"`patterns/(\w+\.md)`", README):
        assert (ROOT / "patterns" / name).exists()
