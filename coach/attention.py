"""Who is meant: whether what the microphone hears is said to the coach. Pure; time comes in as seconds that passed.

    attention   the coach's name opens the ears; they close when nothing was said for WINDOW seconds
    open        the ears are open until they are closed by a key or a word
    key         a key or a pedal opens them: tapped, for WINDOW seconds (again: closes them); held, while it is held

    ears   | name heard | tapped        | held    | let go | request or answer | WINDOW has passed in quiet
    -------+------------+---------------+---------+--------+-------------------+---------------------------
    closed | open       | open          | open    |        |                   |
    open   | go on      | close         | go on   | close  | go on             | close

While the coach speaks, the window does not run: the talk goes on. A terminal tells no end of a key, but repeats one
that is held: taps that follow each other within REPEATED seconds are one key held down.
"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

from coach.language.model import Grammar

WINDOW = 8.0
"""Seconds that the ears stay open in quiet. (After a name people took up to 6 to begin, in the measured recipe.)"""
REPEATED = 0.7
"""Seconds; keyboards begin to repeat a key after 0.25 to 0.66 (common practice, no source)."""


class Way(StrEnum):
    """How the coach is told that it is meant."""

    ATTENTION = "attention"
    OPEN = "open"
    KEY = "key"


USUAL = {"pocketsphinx": Way.ATTENTION, "vosk": Way.ATTENTION}
"""The way for each recogniser that hears alone, unless another is chosen, as measured (tests/bench/bench_hearing.py).
An ear that our own model verifies is open: no wrong action in 33 minutes of people's talk, see audio_models/ear."""


def usual_way(ear: str | None) -> Way:
    """ear: the recogniser's name; None where there is no microphone."""
    return USUAL.get(ear, Way.OPEN) if ear else Way.OPEN


class Attention:
    """The ears of a session: how they are opened, and whether they are. One for all its conversations."""

    def __init__(self, way: Way = Way.OPEN, tones: bool = True, apart: bool = False) -> None:
        """tones: whether the short tones are to be heard; apart: the microphone does not hear the coach (a headset), so
        all that it hears while the coach speaks was said by somebody else."""
        self.way = way
        self.tones = tones
        self.apart = apart
        self._left = 0.0  # seconds that the ears stay open
        self._shut = False  # closed by the maker, where they are open otherwise
        self._held = False  # down, by a pedal that tells when it goes up
        self._closed_for = float("inf")  # seconds
        self._since_tap: float | None = None
        self._repeats = False  # the key is held down

    @property
    def is_open(self) -> bool:
        return self.way is Way.OPEN and not self._shut or self._held or self._left > 0.0

    def choose(self, way: Way) -> None:
        """Listen in another way from now on. Who chooses is talking to the coach: the ears stay open for a while."""
        self.way, self._left, self._shut = way, WINDOW, False

    def call(self) -> None:
        """The coach was called by its name."""
        self._left, self._shut = WINDOW, False

    def go_on(self) -> None:
        """There was a request, or an answer: who talks with the coach need not call it again."""
        self._left = WINDOW if self._left else 0.0

    def tap(self) -> None:
        """A key that only tells that it is down."""
        self._repeats = self._since_tap is not None and self._since_tap <= REPEATED
        opens = self._repeats or not self.is_open
        self._left = REPEATED if self._repeats else WINDOW if opens else 0.0
        self._shut = not opens
        self._since_tap = 0.0

    def hold(self, down: bool) -> None:
        """A key or pedal that tells when it goes down and up."""
        self._held, self._left, self._shut = down, 0.0, not down

    def passed(self, seconds: float, speaking: bool = False) -> bool:
        """Time went by; gives whether the ears closed by it. speaking: the coach was."""
        if self._since_tap is not None:
            self._since_tap += seconds
        if speaking and not self._repeats:
            return False
        was_open = self.is_open
        self._left = max(0.0, self._left - seconds)
        self._closed_for = 0.0 if was_open else self._closed_for + seconds
        return was_open and not self.is_open

    def was_open(self, ago: float) -> bool:
        """Whether the ears are open, or were so many seconds ago: words may end after the window they began in."""
        return self.is_open or self._closed_for < ago

    def grammar(self, grammar: Grammar, name: str) -> Grammar:
        """The grammar with the name, and where it is needed also with the name before each phrase, as people say it in
        one breath. The phrases without it stay while the ears are closed: they are what other sounds are taken for in
        place of the name."""
        if self.way is Way.KEY:
            return grammar
        phrases = grammar.phrases if self.way is Way.ATTENTION else ()
        return replace(grammar, phrases=(*grammar.phrases, name, *(f"{name} {phrase}" for phrase in phrases)))


def without_name(text: str, name: str) -> tuple[bool, str]:
    """Whether heard words begin with the name, and what else they are."""
    rest = text.removeprefix(name)
    called = rest != text and (not rest or rest.startswith(" "))
    return called, rest.strip() if called else text
