"""The disk fails at the n-th operation, for every n, once and for ever; and the power is cut at every n.

Simulated with a file layer below SQLite (apsw). After each: no request that was acknowledged is missing, none is there
twice, the coach in memory has lost nothing, and what could not be saved is saved once the disk works again.
"""

from __future__ import annotations

import os
import random
import shutil

import pytest

apsw = pytest.importorskip("apsw", reason="the faulty disk needs apsw: pip install apsw")

from faulty_disk import Disk
from walks import NEXT, UNDO, begin, places, step, undone

from coach.guide.model import State
from coach.memory.journal import Journal
from coach.memory.model import JournalError

EVERY = int(os.environ.get("COACH_TEST_FAULTS_EVERY", "1"))
pytestmark = [
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),  # apsw tells of errors while closing
]


class Evening:
    """A small evening's work on a disk: what was acknowledged, and what the coach thinks."""

    def __init__(self, path, disk: Disk):
        self.journal = Journal.open(path, connect=disk.connect)
        self.work = begin(self.journal)
        self.state: State = self.journal.resume(self.work)
        self.heard: list[str] = []
        self.acknowledged = 0
        self.errors = []

    def spend(self, requests: int = 8) -> Evening:
        for n in range(1, requests + 1):
            back = n % 4 == 0
            self.state = undone(self.state) if back else step(self.state, n)
            self.heard.append(str(n))
            error = self.journal.record(self.work, UNDO if back else NEXT, self.state, str(n), "x" * 700)
            self.errors.append(error)
            if error is None:
                self.acknowledged = n
        return self


def left_on_disk(folder, evening: Evening) -> tuple[list[str], list[int]]:
    """What a new coach finds: the requests in order, and the places that undo goes back through."""
    with Journal.open(folder / "journal.db") as journal:
        assert journal.error is None and journal.news() == ()
        works = journal.works()
        if not works:
            return [], [0]
        assert [work.id for work in works] == [evening.work.id]
        turns = [turn.heard for turn in journal.turns(works[0]) if turn.kind == "turn"]
        return turns, places(journal.resume(works[0]))


def copied(folder, to):
    """The files as a killed coach leaves them."""
    shutil.rmtree(to, ignore_errors=True)
    shutil.copytree(folder, to, ignore=shutil.ignore_patterns("*-shm"))
    return to


def path_after(heard: list[str]) -> list[int]:
    stack = [0]
    for n in map(int, heard):
        if n % 4 == 0:
            stack.pop()
        else:
            stack.append(n)
    return stack[::-1]


def operations(tmp_path) -> int:
    disk = Disk()
    folder = tmp_path / "counted"
    folder.mkdir()
    evening = Evening(folder / "journal.db", disk).spend()
    assert evening.errors == [None] * 8
    evening.journal.close()
    assert disk.done > 60
    return disk.done


ERRORS = {"broken": apsw.IOError, "full": apsw.FullError, "readonly": apsw.ReadOnlyError}


@pytest.mark.parametrize("error", ERRORS.values(), ids=ERRORS)
@pytest.mark.parametrize("for_ever", [False, True], ids=["once", "for ever"])
def test_an_error_at_the_nth_operation_loses_nothing(tmp_path, for_ever, error):
    said = set()
    for n in range(1, operations(tmp_path) + 1, EVERY):
        folder = tmp_path / f"{n}"
        folder.mkdir()
        disk = Disk(fail_at=n, for_ever=for_ever, error=error)
        evening = Evening(folder / "journal.db", disk).spend()
        story = f"operation {n} ({disk.failed[:1]})"

        # the coach in memory has lost nothing
        assert places(evening.journal.resume(evening.work)) == path_after(evening.heard), story
        try:
            turns = evening.journal.turns(evening.work)
            assert [turn.heard for turn in turns if turn.kind == "turn"] == evening.heard, story
        except JournalError:
            assert for_ever and evening.errors[-1], story

        # killed now, a new coach finds all that was acknowledged, in order, each once
        turns, undo = left_on_disk(copied(folder, tmp_path / "killed"), evening)
        assert turns == evening.heard[:len(turns)] and len(turns) >= evening.acknowledged, story
        assert undo == path_after(turns), story

        if for_ever and any(evening.errors):
            assert evening.errors[-1] is not None, story
        else:
            assert sum(e is not None for e in evening.errors) <= 1, story  # only the request that met the error felt it
        news = evening.journal.news()
        said.update(news)
        assert all(sentence.endswith(("I will keep trying to save it.", "saved again.")) for sentence in news), story
        if any(evening.errors):
            assert news, story

        # the disk works again
        disk.mend()
        assert evening.journal.retry() is None, story
        evening.journal.close()
        assert left_on_disk(folder, evening) == (evening.heard, path_after(evening.heard)), story
        assert [p.name for p in folder.iterdir()] == ["journal.db"], story  # nothing was taken for damaged
        shutil.rmtree(folder)
    kept = "Your place is kept in memory only. I will keep trying to save it."
    if error is apsw.FullError:
        assert f"The disk is full. {kept}" in said
    if error is apsw.IOError:
        assert f"The disk does not work as it should. {kept}" in said


def cuts(tmp_path, make: type[Disk] = Disk, chances: int = 3) -> list[tuple[int, int]]:
    """Cuts the power at every operation; gives (requests acknowledged, requests found) for each."""
    found = []
    for n in range(1, operations(tmp_path) + 1, EVERY):
        folder = tmp_path / f"cut-{n}"
        folder.mkdir()
        disk = make(fail_at=n, for_ever=True)
        evening = Evening(folder / "journal.db", disk)
        if evening.journal.error is None:
            evening.spend()
        for seed in [None, *range(chances)]:
            after = tmp_path / "after"
            shutil.rmtree(after, ignore_errors=True)
            after.mkdir()
            list(disk.after_power_cut(after, None if seed is None else random.Random(seed)))
            turns, undo = left_on_disk(after, evening)
            assert turns == evening.heard[:len(turns)] and undo == path_after(turns), f"operation {n}, seed {seed}"
            found.append((evening.acknowledged, len(turns)))
        disk.mend()
        evening.journal.close()
        shutil.rmtree(folder)
    return found


def test_a_power_cut_at_the_nth_operation_loses_nothing_acknowledged(tmp_path):
    """What was not synced is dropped, whole or sector by sector, as the seeds 0 to 2 decide."""
    found = cuts(tmp_path)
    assert all(acknowledged <= turns for acknowledged, turns in found)
    assert {acknowledged for acknowledged, _ in found} == set(range(9))


class Careless(Disk):
    """Leaves SQLite's setting as it often is with a write-ahead log: the disk is not waited for."""

    def connect(self, path):
        con = super().connect(path)
        con.execute("PRAGMA synchronous = NORMAL")
        con.skipping = "PRAGMA synchronous"
        return con


def test_that_the_power_cuts_find_a_coach_that_does_not_wait_for_the_disk(tmp_path):
    """Else the test above could not fail."""
    assert any(acknowledged > turns for acknowledged, turns in cuts(tmp_path, Careless, chances=0))
