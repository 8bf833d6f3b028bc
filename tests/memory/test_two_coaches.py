"""Two coaches on one journal, and journals that can't be written."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
from pathlib import Path

import pytest
from keep_writing import WRITER_ROOT
from walks import NEXT, begin, places, step, walk

from coach.memory import schema
from coach.memory.journal import OTHER, Journal

KEPT = "Your place is kept in memory only. I will keep trying to save it."


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.db"


def test_two_coaches_on_two_works_do_not_disturb_each_other(path):
    one, two = Journal.open(path), Journal.open(path)
    seal, puffin = begin(one, "Seal"), begin(two, "Puffin")
    states = one.resume(seal), two.resume(puffin)
    for _ in range(10):
        states = walk(one, seal, states[0], 1), walk(two, puffin, states[1], 2)
    assert places(two.resume(seal))[0] == 10 and places(one.resume(puffin))[0] == 20
    assert [w.title for w in one.works()] == ["Puffin", "Seal"] == [w.title for w in two.works()]
    assert one.news() == two.news() == ()


def test_two_coaches_on_one_work_are_told_and_the_last_one_decides(path):
    one = Journal.open(path)
    work = begin(one)
    first = walk(one, work, one.resume(work), 3)
    two = Journal.open(path)
    second = walk(two, work, two.resume(work), 2)
    assert one.news() == two.news() == ()
    first = walk(one, work, first, 4)
    assert one.news() == (OTHER,)
    second = walk(two, work, second, 1)
    assert two.news() == (OTHER,)
    walk(one, work, first, 1)
    assert one.news() == ()  # said once
    with Journal.open(path) as third:
        assert places(third.resume(work)) == list(range(8, -1, -1))
        assert len(third.turns(work)) == 1 + 3 + 2 + 4 + 1 + 1
    assert places(two.resume(work))[0] == 8  # and the other can take the place over


def test_threads_that_open_a_new_journal_at_once_all_get_it(path):
    journals, problems = [], []
    barrier = threading.Barrier(6)

    def open_it():
        barrier.wait()
        journal = Journal.open(path)
        begin(journal)
        journals.append(journal)
        problems.extend([journal.error] if journal.error else journal.news())

    threads = [threading.Thread(target=open_it) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert problems == []
    assert len(journals[0].works()) == 6


def test_processes_that_write_at_once_lose_nothing(path):
    script = """
import sys
sys.path[:0] = sys.argv[2:]
from walks import begin, walk
from coach.memory.journal import Journal
journal = Journal.open(sys.argv[1])
work = begin(journal, sys.argv[2])
walk(journal, work, journal.resume(work), 40)
print(work.id)
journal.close()
"""
    roots = [str(WRITER_ROOT), str(Path(__file__).parent)]
    writers = [subprocess.Popen([sys.executable, "-c", script, str(path), *roots], stdout=subprocess.PIPE,
                                stderr=subprocess.PIPE, text=True) for _ in range(3)]
    told = [writer.communicate() for writer in writers]
    assert [errors for _, errors in told] == ["", "", ""]
    with Journal.open(path) as journal:
        assert {work.id for work in journal.works()} == {int(out) for out, _ in told}
        for work in journal.works():
            assert places(journal.resume(work)) == list(range(40, -1, -1))


def test_a_journal_held_by_another_program_is_said_and_written_later(path):
    def impatient(path):
        con = schema.connect(path)
        con.execute("PRAGMA busy_timeout = 20")
        return con

    journal = Journal.open(path, connect=impatient)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 1)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    state = step(state)
    assert journal.record(work, NEXT, state).kind == "busy"
    assert journal.news() == (f"Another program is holding the journal. {KEPT}",)
    assert places(journal.resume(work)) == [2, 1, 0]
    other.execute("ROLLBACK")
    other.close()
    assert journal.retry() is None
    assert journal.news() == ("Your place is saved again.",)
    with Journal.open(path) as again:
        assert places(again.resume(work)) == [2, 1, 0]


AS_NOBODY = """
import os, sys
sys.path[:0] = sys.argv[2:]
from walks import NEXT, begin, places, step
from coach.guide.model import State
from coach.memory.journal import Journal
from coach.memory.states import from_json, to_json
from_json(to_json(State()))  # all is imported now
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
journal = Journal.open(sys.argv[1])
work = journal.latest() or begin(journal)
state = step(journal.resume(work))
error = journal.record(work, NEXT, state)
print(error.kind, places(journal.resume(work)), *journal.news(), sep="|")
"""


def without_rights(path: Path) -> str:
    """What a coach says that may not write; where the tests run as root it becomes another user first."""
    roots = [str(WRITER_ROOT), str(Path(__file__).parent)]
    done = subprocess.run([sys.executable, "-c", AS_NOBODY, str(path), *roots], capture_output=True, text=True)
    assert done.stderr == ""
    return done.stdout.strip()


@pytest.fixture
def shared():
    """A folder that every user can reach."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.skipif(os.name != "posix", reason="rights are set as on POSIX")
def test_a_read_only_folder_without_a_journal(shared):
    shared.chmod(0o555)
    assert without_rights(shared / "journal.db") == f"unreachable|[1, 0]|I can't open or make the journal. {KEPT}"


@pytest.mark.skipif(os.name != "posix", reason="rights are set as on POSIX")
def test_a_read_only_folder_with_a_journal_still_tells_the_place(shared):
    path = shared / "journal.db"
    with Journal.open(path) as journal:
        work = begin(journal)
        walk(journal, work, journal.resume(work), 4)
    path.chmod(0o444)
    shared.chmod(0o555)
    kind, undo, *news = without_rights(path).split("|")
    assert kind in ("readonly", "unreachable")
    assert undo == "[5, 4, 3, 2, 1, 0]"
    assert len(news) == 1 and news[0].endswith(KEPT)
    with Journal.open(path) as journal:
        assert places(journal.resume(work))[0] == 4


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can make a small disk")
def test_a_really_full_disk(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)], capture_output=True)
    if mounted.returncode != 0:
        pytest.skip("a small disk can't be mounted here")
    try:
        journal = Journal.open(disk / "journal.db")
        work = begin(journal)
        state = journal.resume(work)
        saved = 0
        while journal.error is None and saved < 2000:
            state = step(state)
            saved += journal.record(work, NEXT, state, "next", "x" * 2000) is None
        assert journal.error.kind == "full"
        for _ in range(3):
            state = step(state)
            assert journal.record(work, NEXT, state).kind == "full"
        assert journal.news() == (f"The disk is full. {KEPT}",)
        subprocess.run(["mount", "-o", "remount,size=8m", str(disk)], check=True)
        assert journal.retry() is None
        assert journal.news() == ("Your place is saved again.",)
        journal.close()
        with Journal.open(disk / "journal.db") as again:
            assert places(again.resume(work)) == list(range(saved + 4, -1, -1))
    finally:
        subprocess.run(["umount", str(disk)], check=True)
