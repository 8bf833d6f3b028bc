"""What keeping the place costs: a request in process, and one on disk beside a bare commit of SQLite, in one run.

    python tests/bench/bench_keeping.py [requests]

Printed as ratios, since times are the machine's: the issue asks for at most 1.5 bare commits for a request, for less than a
millisecond at the 99th percentile without the disk, whatever the size of the pattern, and for memory that does not follow
the stitches.
"""

from __future__ import annotations

import json
import random
import sqlite3
import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from coach import fabric, notation
from coach.guide import machine
from coach.guide.model import Request, State
from coach.memory import schema
from coach.memory.journal import Journal
from coach.memory.states import to_json

HUGE = """# Net of the whole harbour

## Net
Rnd 1: 1000000000 sc in magic ring
Rnd 2: (sc, inc) x 500000000
Rnd 3: (sc 2, inc) x 500000000
Rnd 4: sc in each st around
"""
SMALL = HUGE.replace("1000000000", "1000").replace("500000000", "500")
NAMES = ("next", "next", "next", "next", "back", "undo", "where", "recap", "left", "repeat", "under", "did", "mark", "go_marker",
         "start_round", "read_round", "count_me", "parts", "fix", "how_big", "last")
COUNTS = ("have", "go_stitch", "ripped")


def requests(n: int, work: fabric.Fabric, seed: int = 7) -> list[Request]:
    """An evening's mixture of requests, of which one in ten has a number anywhere in the round."""
    chance = random.Random(seed)
    most = max(worked.made for worked in work.parts[0].rounds)
    found = [Request("by", "stitch"), Request("go_round", 3)]
    while len(found) < n:
        if chance.random() < 0.1:
            found.append(Request(chance.choice(COUNTS), chance.randrange(1, most)))
        elif chance.random() < 0.05:
            found.append(Request("go_round", chance.randrange(1, 5)))
        else:
            found.append(Request(chance.choice(NAMES)))
    return found


def in_process(text: str, n: int) -> tuple[list[float], int]:
    """Seconds of each request, the quickest first, and the most bytes that were held meanwhile."""
    work = fabric.work(notation.read(text))
    state, _ = machine.begin(work, State())
    took = []
    asked = requests(n, work)
    for request in asked:
        began = time.thread_time()  # of the processor: another program's turn is none of the coach's
        state, _ = machine.answer(work, state, request)
        took.append(time.thread_time() - began)
    tracemalloc.start()
    state, _ = machine.begin(work, State())
    for request in asked[:500]:
        state, _ = machine.answer(work, state, request)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return sorted(took), most


def on_disk(n: int) -> tuple[list[float], list[float]]:
    """Seconds of a request kept by the journal, and of a bare commit of as many bytes with the same settings, by turns."""
    work = fabric.work(notation.read(SMALL))
    asked = requests(n, work)
    kept, bare = [], []
    with tempfile.TemporaryDirectory() as folder, Journal.open(Path(folder) / "journal.db") as journal:
        con = schema.connect(Path(folder) / "bare.db")
        con.execute("PRAGMA journal_mode = WAL")
        con.execute("PRAGMA synchronous = FULL")
        con.execute("CREATE TABLE turns (id INTEGER PRIMARY KEY, row TEXT)")
        kept_work = journal.begin("Net", SMALL, "net.md", None, "US")
        state, _ = machine.begin(work, journal.resume(kept_work))

        def keep() -> None:
            assert journal.record(kept_work, request, state, request.name, "So it is.") is None

        def commit() -> None:
            con.execute("BEGIN IMMEDIATE")
            con.execute("INSERT INTO turns (row) VALUES (?)", (row,))
            con.execute("COMMIT")

        for turn, request in enumerate(asked):
            state, _ = machine.answer(work, state, request)
            row = json.dumps([request.name, request.value]) + to_json(state)
            turns = [(keep, kept), (commit, bare)]
            for do, took in turns if turn % 2 else turns[::-1]:  # the second of two finds the disk readier
                began = time.perf_counter()
                do()
                took.append(time.perf_counter() - began)
        con.close()
    return sorted(kept), sorted(bare)


def at(values: list[float], share: float) -> float:
    return values[min(int(len(values) * share), len(values) - 1)]


def main(n: int) -> None:
    stitches = sum(worked.made for worked in fabric.work(notation.read(HUGE)).parts[0].rounds)
    (huge, most), (small, least) = in_process(HUGE, n), in_process(SMALL, n)
    print(f"{n} requests, pattern of {stitches:,} stitches: 99 % within {at(huge, 0.99) * 1e3:.2f} ms, "
          f"half within {at(huge, 0.5) * 1e3:.2f} ms, the slowest {huge[-1] * 1e3:.2f} ms")
    print(f"beside one of a millionth of that: {at(huge, 0.5) / at(small, 0.5):.2f} of the time, {most / least:.2f} of the memory")
    kept, bare = on_disk(n)
    print(f"on disk: {at(kept, 0.5) / at(bare, 0.5):.2f} bare commits in the middle, {at(kept, 0.9) / at(bare, 0.9):.2f} at nine tenths, "
          f"{sum(kept) / sum(bare):.2f} in all (SQLite {sqlite3.sqlite_version})")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
