"""The board: the latest text, for whoever looks."""

from __future__ import annotations

import threading

from hypothesis import given
from hypothesis import strategies as st

from coach.page.board import Board

PATIENCE = 20


def test_who_comes_late_gets_the_latest_alone():
    board = Board()
    for text in ("one", "two", "three"):
        board.lay(text)
    assert board.after(0, 0) == (3, "three")


def test_nothing_new_is_none():
    board = Board()
    assert board.after(0, 0) is None
    board.lay("one")
    assert board.after(1, 0) is None


def test_who_waits_is_woken():
    board, got = Board(), []
    waiting = threading.Thread(target=lambda: got.append(board.after(0, PATIENCE)))
    waiting.start()
    board.lay("one")
    waiting.join(PATIENCE)
    assert got == [(1, "one")]


def test_a_closed_board_still_gives_its_last_text_and_keeps_nobody_waiting():
    board, got = Board(), []
    waiting = threading.Thread(target=lambda: got.append(board.after(0, PATIENCE)))
    waiting.start()
    board.close()
    waiting.join(PATIENCE)
    assert got == [None]
    assert board.closed
    board.lay("the last")
    assert board.after(0, PATIENCE) == (1, "the last")
    assert board.after(1, PATIENCE) is None


@given(st.lists(st.text(), min_size=1))
def test_whoever_follows_ends_with_the_latest(texts):
    board, seen = Board(), []

    def follow() -> None:
        number = 0
        while (found := board.after(number, PATIENCE)) is not None:
            number = found[0]
            seen.append(found)

    follower = threading.Thread(target=follow)
    follower.start()
    for text in texts:
        board.lay(text)
    board.close()
    follower.join(PATIENCE)
    assert seen[-1] == (len(texts), texts[-1])
    assert [n for n, _ in seen] == sorted({n for n, _ in seen})
    assert all(texts[n - 1] == text for n, text in seen)
