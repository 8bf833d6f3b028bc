"""A coach killed at any instant comes back to the last request it acknowledged, or to the one it was writing.

This shows what a killed process leaves behind, not what a power cut leaves: the system still writes what it was given.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

from keep_writing import SEVENTH
from walks import places

from coach.memory.journal import Journal

KILLS = int(os.environ.get("COACH_TEST_KILLS", "60"))
A_JOURNAL = 15  # kills to one journal, before the next begins
WRITER = Path(__file__).with_name("keep_writing.py")


def killed(path: Path, delay: float, from_the_start: bool) -> tuple[int | None, bool]:
    """Kills a writer; gives the last turn it acknowledged (None: it didn't come so far) and whether it was writing."""
    process = subprocess.Popen([sys.executable, str(WRITER), str(path)], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                               bufsize=0)  # what readline read ahead, communicate would not give
    first = b"" if from_the_start else process.stdout.readline()
    time.sleep(delay)
    process.kill()
    rest, errors = process.communicate()
    assert errors == b""
    lines = [line.split() for line in (first + rest).decode().splitlines() if line.endswith(tuple("0123456789"))]
    assert not any(line[0] == "error" for line in lines)
    told = [(word, int(n)) for word, n in lines]
    acknowledged = max((n for word, n in told if word in ("at", "a")), default=None)
    return acknowledged, bool(told) and told[-1][0] == "w"


def expected(turns: int) -> list[int]:
    """The places that undo would go back through after so many turns of the writer: the plainest model."""
    stack = [0]
    for n in range(1, turns + 1):
        if n % SEVENTH == 0 and len(stack) > 1:
            stack.pop()
        else:
            stack.append(n)
    return stack[::-1]


def test_killed_at_any_instant_nothing_is_lost_and_nothing_done_twice(tmp_path):
    seed = random.randrange(2**32)
    chance = random.Random(seed)
    writing = starting = records = 0
    last = 0
    for kill in range(KILLS):
        path = tmp_path / f"journal-{kill // A_JOURNAL}.db"
        last = 0 if kill % A_JOURNAL == 0 else last
        from_the_start = kill % 5 == 0  # while it opens, makes or repairs the journal
        acknowledged, inside = killed(path, chance.uniform(0, 0.12 if from_the_start else 0.02), from_the_start)
        acknowledged = max(last, acknowledged or 0)
        with Journal.open(path) as journal:
            story = f"seed {seed}, kill {kill}"
            assert journal.error is None and journal.news() == (), story
            works = journal.works()
            assert len(works) <= 1, story
            turns = [turn.heard for turn in journal.turns(works[0])][1:] if works else []
            assert turns == [str(n) for n in range(1, len(turns) + 1)], story  # each once, in order
            assert acknowledged <= len(turns) <= acknowledged + 1, story
            if works:
                assert places(journal.resume(works[0])) == expected(len(turns)), story
        writing += inside
        starting += from_the_start
        records += len(turns) - last
        last = len(turns)
    print(f"{KILLS} kills, seed {seed}: {writing} inside a write, {starting} from the start on, {records} records")
    assert writing > 0
