"""A coach without a voice, to be killed: works on and on, and says what it is about to write and what is written.

    python keep_writing.py JOURNAL

writes "at N" for the number of turns found, then for each "w N" before and "a N" after the N-th record.
"""

from __future__ import annotations

import sys
from pathlib import Path

WRITER_ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(WRITER_ROOT), str(Path(__file__).resolve().parent)]

from walks import NEXT, UNDO, begin, places, step, undone

from coach.memory.journal import Journal

SEVENTH = 7  # every seventh request is an undo


def main(path: str) -> None:
    out = sys.stdout
    journal = Journal.open(path)
    work = journal.latest() or begin(journal)
    state = journal.resume(work)
    n = len(journal.turns(work)) - 1
    print("at", n, flush=True)
    while True:
        n += 1
        back = n % SEVENTH == 0 and len(places(state)) > 1
        state = undone(state) if back else step(state, n)
        out.write(f"w {n}\n")
        out.flush()
        error = journal.record(work, UNDO if back else NEXT, state, str(n), "x" * (n * 37 % 900))
        if error is not None:
            out.write(f"error {error.kind} {error.detail}\n")
        else:
            out.write(f"a {n}\n")
        out.flush()


if __name__ == "__main__":
    main(sys.argv[1])
