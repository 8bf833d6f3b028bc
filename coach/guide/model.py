"""What a maker asks, where the work stands, and what the coach answers: values only, no wording.

A `Reply` holds `Message`s, each a key of the phrasebook with its values; the language room makes sentences of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True)
class Place:
    """Where the work stands: indexes from 0, and how many of the round's steps are done (then: of its notes).

    round == number of the part's rounds: the piece is finished; part == number of parts: all parts are made and
    `steps` counts the assembly steps done.
    """

    part: int = 0
    piece: int = 0
    round: int = 0
    steps: int = 0


@dataclass(frozen=True, slots=True)
class Request:
    """What the maker wants. name: one of `coach.guide.requests.REQUESTS`; value: a number or a word, if any."""

    name: str
    value: int | str | None = None


@dataclass(frozen=True, slots=True)
class Message:
    """One thing to say: a key of the phrasebook's `[say]` table and the values for its sentence."""

    key: str
    values: dict[str, object] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True)
class Settings:
    """How the coach talks. by: stitch, group or round; rate: words a minute; volume: 0 to 1."""

    by: str = "group"
    rate: int = 175
    volume: float = 0.9


@dataclass(frozen=True, slots=True)
class State:
    """All that a request can change. said: the last reply, for "repeat"; announced: where the instruction that was read
    out last ends (place.steps when nothing is announced); before: the state that `undo` brings back; detours: each
    `next` that `back` can't tell from the round alone, as (place it led to, place before, what was announced there)."""

    place: Place = Place()
    announced: int = 0
    settings: Settings = Settings()
    paused: bool = False
    finished: bool = False  # "finished for now" was said
    said: tuple[Message, ...] = ()
    detours: tuple[tuple[Place, Place, int], ...] = ()
    before: State | None = field(default=None, repr=False, compare=False)

    def having(self, **changes: object) -> State:
        return replace(self, **changes)


@dataclass(frozen=True, slots=True)
class Reply:
    """The answer to a request: what to say. step: the steps now announced in plain US abbreviations (for --json)."""

    messages: tuple[Message, ...]
    step: str = ""
