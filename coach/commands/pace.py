"""The maker's own pace, from the time that the journal has of works before."""

from __future__ import annotations

from coach.commands.files import Unreadable
from coach.commands.versions import taken_up
from coach.guide.plan import made_so_far, steady_pace
from coach.memory.journal import Journal
from coach.memory.model import JournalError, Work

LATEST = 3  # works that tell how fast a hand is now; each is read, so more would be waited for


def earlier_pace(journal: Journal, besides: Work | None = None) -> float | None:
    """Stitches a minute in the works touched last; None where too little is known. besides: a work that is left out."""
    stitches, seconds = 0, 0.0
    others = [work for work in journal.works() if besides is None or work.id != besides.id]
    for work in others[:LATEST]:
        try:
            worked, state, _ = taken_up(journal, work)
        except (JournalError, Unreadable):
            continue
        if steady_pace(made_so_far(worked, state), state.worked):
            stitches, seconds = stitches + made_so_far(worked, state), seconds + state.worked
    return steady_pace(stitches, seconds)
