"""The latest view, for as many browsers as look at it. Laying one down never waits for anybody."""

from __future__ import annotations

import threading


class Board:
    """Holds one text; each new one takes the place of the one before."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._number = 0
        self._text = ""
        self._closed = False

    @property
    def closed(self) -> bool:
        return self._closed

    def lay(self, text: str) -> None:
        with self._changed:
            self._number += 1
            self._text = text
            self._changed.notify_all()

    def close(self) -> None:
        """Nothing new will come; who waits is woken."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def after(self, number: int, seconds: float) -> tuple[int, str] | None:
        """The latest text and its number, as soon as that is another than `number`; None when none has come in so many
        seconds, or the board is closed."""
        with self._changed:
            self._changed.wait_for(lambda: self._number != number or self._closed, seconds)
            return (self._number, self._text) if self._number != number else None
