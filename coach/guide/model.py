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
    """How the coach talks. by: stitch, group or round; rate: words a minute; volume: 0 to 1; pace: seconds that
    counting along leaves for a stitch; hand: right or left, which holds the hook; breaks: whether breaks are
    offered."""

    by: str = "group"
    rate: int = 175
    volume: float = 0.9
    pace: float = 4.0
    hand: str = "right"
    breaks: bool = True


@dataclass(frozen=True, slots=True)
class OwnNote:
    """What the maker wanted to be kept, and where the work stood then."""

    place: Place
    text: str


@dataclass(frozen=True, slots=True)
class Question:
    """What "yes" or "no" answers now. kind: finished (is the round finished in which `value` stitches were counted?),
    before (are these of the round before?), whole (does the round with the index `value`, to which the maker ripped
    back, still stand?) or pattern (go on with the version whose key is `value`?)."""

    kind: str
    value: int | str


@dataclass(frozen=True, slots=True)
class Lesson:
    """What is taught, and which of its steps was said last, from 0; step == number of its steps: the lesson is over.

    of: a catalogue id, or (own) the name of a stitch that the pattern defines.
    """

    of: str
    step: int = 0
    own: bool = False


@dataclass(frozen=True, slots=True)
class Guess:
    """The explanation of a wrong count that was given last. round: index of the round counted; count: what the maker
    has; number: which of the explanations, from 0."""

    round: int
    count: int
    number: int = 0


@dataclass(frozen=True, slots=True)
class State:
    """All that a request can change.

    said: the last reply, for "repeat"; announced: where the instruction that was read out last ends (place.steps when
    nothing is announced); before: the state that `undo` brings back; detours: each `next` that `back` can't tell from
    the round alone, as (place it led to, what was announced there, place before, what was announced before).
    made: the finished pieces as (part, piece), None: all those before the place; left: where other pieces were left,
    with what was announced there; counting: how the coach counts along, "" (not), paced, held (at a shaping) or tapped;
    worked: seconds of work; spent: of these, those at each part, as (part, seconds); rested: of these, those before the
    last break; lesson: what is being taught, on top of the place; terms: US or UK as the maker wants to hear them, ""
    as the pattern has them; gauge, swatch: what the maker measured, as typed; pace: stitches a minute in works before,
    0 where it is not known; cautioned: ids of the cautions that were said; pattern: key of the version of the pattern
    that is worked from, "" the one that the work was begun with; passed_over: key of a newer one that the maker did not
    want.
    """

    place: Place = Place()
    announced: int = 0
    settings: Settings = Settings()
    paused: bool = False
    finished: bool = False  # "finished for now" was said
    said: tuple[Message, ...] = ()
    detours: tuple[tuple[Place, int, Place, int], ...] = ()
    made: tuple[tuple[int, int], ...] | None = None
    left: tuple[tuple[Place, int], ...] = ()
    notes: tuple[OwnNote, ...] = ()
    markers: tuple[Place, ...] = ()
    asking: Question | None = None
    guess: Guess | None = None
    counting: str = ""
    worked: float = 0.0
    spent: tuple[tuple[int, float], ...] = ()
    rested: float = 0.0
    lesson: Lesson | None = None
    terms: str = ""
    gauge: str = ""
    swatch: str = ""
    pace: float = 0.0
    cautioned: tuple[str, ...] = ()
    pattern: str = ""
    passed_over: str | None = None
    before: State | None = field(default=None, repr=False, compare=False)

    def having(self, **changes: object) -> State:
        return replace(self, **changes)


@dataclass(frozen=True, slots=True)
class Reply:
    """The answer to a request: what to say. step: the steps now announced in plain US abbreviations (for --json)."""

    messages: tuple[Message, ...]
    step: str = ""
