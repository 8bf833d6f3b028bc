"""A device that stops is noticed within two seconds, tried again, and welcomed back. No clock: time is an argument."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coach.sound.watchdog import Sign, Watchdog


def looks(watchdog: Watchdog, start: float, end: float, beating: bool, step: float = 0.1) -> list[tuple[float, Sign]]:
    """What is noticed between two times, looked at every 0.1 s."""
    noticed = []
    for n in range(round((end - start) / step)):
        now = round(start + n * step, 6)
        if beating:
            watchdog.beat(now)
        sign = watchdog.look(now)
        if sign is not Sign.FINE:
            noticed.append((now, sign))
    return noticed


def test_a_working_device_is_fine_for_hours():
    assert looks(Watchdog(0), 0, 3_600, beating=True) == []


def test_an_unplugged_one_is_noticed_within_two_seconds_and_said_once():
    watchdog = Watchdog(0)
    looks(watchdog, 0, 10, beating=True)
    noticed = looks(watchdog, 10, 20, beating=False)
    assert noticed[0][1] is Sign.LOST and 11 < noticed[0][0] <= 12
    assert [sign for _, sign in noticed].count(Sign.LOST) == 1 and watchdog.lost


def test_it_is_tried_at_once_and_then_every_three_seconds():
    noticed = looks(Watchdog(0), 0, 10, beating=False)
    tries = [at for at, sign in noticed if sign is Sign.RETRY]
    assert tries[0] - noticed[0][0] <= 0.11
    assert all(2.9 < b - a < 3.2 for a, b in zip(tries, tries[1:], strict=False)) and len(tries) == 3


def test_one_that_never_gave_anything_is_lost_too():
    assert looks(Watchdog(100), 100, 102, beating=False)[0][1] is Sign.LOST


def test_back_again_and_lost_again():
    watchdog = Watchdog(0)
    looks(watchdog, 0, 5, beating=False)
    assert looks(watchdog, 5, 8, beating=True) == [(5.5, Sign.BACK)]
    assert [sign for _, sign in looks(watchdog, 8, 10, beating=False)] == [Sign.LOST, Sign.RETRY]


def test_a_few_frames_and_a_stall_are_not_back():
    watchdog = Watchdog(0)
    looks(watchdog, 0, 5, beating=False)
    looks(watchdog, 5, 5.3, beating=True)
    assert {sign for _, sign in looks(watchdog, 5.3, 20, beating=False)} == {Sign.RETRY}
    looks(watchdog, 20, 20.3, beating=True)
    assert looks(watchdog, 20.3, 21, beating=True) == [(20.5, Sign.BACK)]


def test_a_late_start_is_not_cut_short():
    watchdog = Watchdog(0)
    tries = [at for at, sign in looks(watchdog, 0, 6, beating=False) if sign is Sign.RETRY]
    assert looks(watchdog, 6, tries[-1] + 2.9, beating=False) == []
    assert looks(watchdog, tries[-1] + 2.9, 12, beating=True)[0][1] is Sign.BACK


def test_one_that_was_reopened_may_take_its_time():
    watchdog = Watchdog(0)
    watchdog.beat(10)
    watchdog.opened(10.1)
    assert looks(watchdog, 10.1, 13, beating=False) == []
    assert looks(watchdog, 13, 14, beating=False)[0][1] is Sign.LOST
    watchdog.opened(14)
    assert watchdog.look(14) is Sign.FINE and watchdog.lost  # opening alone is no frame


def test_a_short_gap_is_no_loss():
    watchdog = Watchdog(0)
    watchdog.beat(10)
    assert watchdog.look(11.4) is Sign.FINE


def test_not_having_looked_for_long_is_no_loss():
    watchdog = Watchdog(0)
    watchdog.beat(99.9)
    assert watchdog.look(100) is Sign.FINE


@given(st.lists(st.tuples(st.floats(0, 3), st.booleans()), max_size=60))
def test_lost_and_back_take_turns(story):
    watchdog, now, told = Watchdog(0), 0.0, []
    for wait, beat in story:
        now += wait
        if beat:
            watchdog.beat(now)
        sign = watchdog.look(now)
        if sign in (Sign.LOST, Sign.BACK):
            told.append(sign)
        assert watchdog.lost == (bool(told) and told[-1] is Sign.LOST)
    assert all(sign is (Sign.LOST, Sign.BACK)[n % 2] for n, sign in enumerate(told))
