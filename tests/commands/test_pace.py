"""The maker's own pace, from works before."""

from __future__ import annotations

import pytest

from coach.commands.pace import LATEST, earlier_pace
from coach.guide.model import Place, Request, State
from coach.memory.journal import Journal

BUOY = "# Buoy\n\n## Buoy\n" + "".join(
    f"Rnd {n}: {'50 sc in magic ring' if n == 1 else 'Sc in each st around'}. (50)\n" for n in range(1, 9)
)


@pytest.fixture
def journal(tmp_path):
    with Journal.open(tmp_path / "journal.db") as journal:
        yield journal


def worked(journal: Journal, rounds: int, minutes: float, text: str = BUOY):
    work = journal.begin("Buoy", text, "buoy.txt")
    journal.record(work, Request("next"), State(Place(0, 0, rounds), worked=minutes * 60))
    return work


def test_it_is_not_known_at_first(journal):
    assert earlier_pace(journal) is None


def test_stitches_by_minutes_of_the_works_before(journal):
    worked(journal, 4, 20)
    assert earlier_pace(journal) == pytest.approx(200 / 20)
    worked(journal, 6, 40)
    assert earlier_pace(journal) == pytest.approx((200 + 300) / (20 + 40))


def test_the_work_in_hand_is_left_out(journal):
    work = worked(journal, 4, 20)
    assert earlier_pace(journal, work) is None


@pytest.mark.parametrize(("rounds", "minutes"), [(4, 5), (1, 20), (4, 900), (0, 0)])
def test_what_was_short_or_no_steady_work_says_nothing(journal, rounds, minutes):
    worked(journal, rounds, minutes)
    assert earlier_pace(journal) is None


def test_only_the_latest_count(journal):
    worked(journal, 8, 400)
    for _ in range(LATEST):
        worked(journal, 4, 20)
    assert earlier_pace(journal) == pytest.approx(10)


def test_how_long_is_told_by_it(journal, home, coach):
    with Journal.open() as own:
        worked(own, 4, 20)
    (home / "cork.txt").write_text(BUOY)
    done = coach("work", "cork.txt", "--typed", typed="how long will it take\n")
    assert "35 to 45 minutes to go. At your own pace." in done.out  # 400 stitches at 10 a minute
    assert '"pace": 10.0' in coach("plan", "cork.txt", "--yarn", "dk", "--json").out
    assert "at your own pace, 10 stitches a minute" in coach("plan", "cork.txt", "--yarn", "dk").out
