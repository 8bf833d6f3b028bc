"""How the coach takes turns: events in, actions out. No clock, no device, no input or output of its own.

The rules in prose
------------------
- The maker may be silent for as long as they like; silence changes nothing. After a long silence in the middle of a
  round the coach recaps by itself, once.
- While the coach counts along, a stitch is counted each time the maker's pace has passed, as if they had asked for it.
- A request is on disk before its answer is spoken: `Save` always comes before `Say`.
- Typed lines and keys are acted on at any time; a new answer cuts the one that is being spoken.
- While the coach speaks, the microphone hears the coach: of what it hears only "stop" is acted on, until `TAIL` seconds
  after the last sample was played. Words that began while the coach spoke are judged by that moment, however late
  the ear reports them. Where the microphone is known to be apart from the loudspeaker, requests are acted on as well.
- Words that the ear is not sure of, or that are no request, get one low tone and change nothing; none while paused,
  when people talk to each other, nor while the coach speaks.
- A number that sounds like another which this place has too, and that the ear is not quite sure of, is asked back:
  "Seventeen, or seventy?" The number alone answers it; anything else is taken as it is said.
- While the ears are closed (see coach/attention.py) only the coach's name is acted on: it opens them, silences the
  coach, and may be said in one breath with a request. Keys and typed lines are acted on all the same.
- A typed line that is no request is answered in text, since a tone says less than a line does.
- What the coach has to say about itself (a device lost) is printed, and spoken when it is not speaking anyway.
- While a word is being taught (see coach/teaching.py), no stitch is counted along and nothing is recapped.
- When the maker has finished for now, the last answer is spoken to its end, then the coach quits.

The turns
---------
    turn       | a request | "stop"       | unsure words | the name   | name and request, | speech  | TAIL has
               | heard     | heard        |              | heard      | typed or key      | is done | passed
    -----------+-----------+--------------+--------------+------------+-------------------+---------+----------
    LISTENING  | answer    | answer       | low tone     | open       | answer            |         |
    CLOSED     |           |              |              | open       | answer            |         |
    SPEAKING   |           | hush, answer |              | hush, open | hush, answer      | TAIL    |
    TAIL       |           | answer       |              | open       | answer            |         | LISTENING

An answer makes the turn SPEAKING, unless there is nothing to say ("stop" has no answer). CLOSED is LISTENING with the
ears closed. `RULES` is this table.
"""

from __future__ import annotations

from dataclasses import replace
from enum import Enum, auto

from coach.attention import Attention, Way, without_name
from coach.events import (
    Action,
    Adjust,
    Answer,
    Event,
    Forgotten,
    Heard,
    Learned,
    Listen,
    Notice,
    Pressed,
    Quit,
    Save,
    Say,
    Show,
    Silence,
    Sound,
    SpeechDone,
    TimePassed,
    Tone,
    Topic,
    Typed,
)
from coach.guide.model import Message, Request
from coach.language.model import Grammar
from coach.teaching import Step, Teaching, Told

TAIL = 0.3  # seconds after the last sample in which a room still carries the coach's voice
LEAD = 0.2  # seconds of quiet that an ear may give words at their front
AFTER_SILENCE = 600.0  # seconds without a request after which the coach recaps
TAP = Request("tap")  # what counting along asks for at the maker's pace
STOP = "stop"  # the one request that is heard while the coach speaks
DOUBT = 0.6  # the least confidence with which a number that sounds like another is not asked back
TONES = ("heard", "unsure", "ears closed", "microphone lost")  # in the order in which they are explained


# ---- whose turn it is


class Turn(Enum):
    LISTENING = auto()
    CLOSED = auto()
    SPEAKING = auto()
    TAIL = auto()


class Kind(Enum):
    """What an event comes to, once its words are understood."""

    REQUEST = auto()
    STOP = auto()
    UNSURE = auto()
    NAME = auto()
    BY_HAND = auto()


class Do(Enum):
    NOTHING = auto()
    ANSWER = auto()
    HUSH_AND_ANSWER = auto()
    OPEN = auto()
    HUSH_AND_OPEN = auto()
    LOW_TONE = auto()


_COLUMNS = (Kind.REQUEST, Kind.STOP, Kind.UNSURE, Kind.NAME, Kind.BY_HAND)
_ROWS = {
    Turn.LISTENING: (Do.ANSWER, Do.ANSWER, Do.LOW_TONE, Do.OPEN, Do.ANSWER),
    Turn.CLOSED: (Do.NOTHING, Do.NOTHING, Do.NOTHING, Do.OPEN, Do.ANSWER),
    Turn.SPEAKING: (Do.NOTHING, Do.HUSH_AND_ANSWER, Do.NOTHING, Do.HUSH_AND_OPEN, Do.HUSH_AND_ANSWER),
    Turn.TAIL: (Do.NOTHING, Do.ANSWER, Do.NOTHING, Do.OPEN, Do.ANSWER),
}
RULES: dict[tuple[Turn, Kind], Do] = {
    (turn, kind): do for turn, row in _ROWS.items() for kind, do in zip(_COLUMNS, row, strict=True)
}


class Conversation:
    """One conversation about one topic. `begin()` and `take(event)` give the actions to perform, in order."""

    def __init__(self, topic: Topic, number: int = 0, attention: Attention | None = None, hears: bool = True) -> None:
        """number: of the latest speech before this conversation, so that its end is not taken for one of ours;
        attention: the ears (None: always open); hears: there is a microphone."""
        self.topic = topic
        self.attention = attention or Attention()
        self.teaching = Teaching(topic, hears)
        self.turn = Turn.LISTENING
        self.number = number  # of the latest speech
        self._quiet = float("inf")  # seconds since the coach was last heard; counts up outside SPEAKING
        self._silent = 0.0  # seconds since the last request
        self._recapped = False  # in this silence
        self._counted = 0.0  # seconds since the last stitch was counted along
        self._grammar: Grammar | None = None
        self._voice: tuple[int, float] | None = None
        self._doubtful: dict[str, Request] = {}  # a number that was asked back: what it may have been
        self._over = False

    def begin(self) -> tuple[Action, ...]:
        answer = self.topic.begin()
        if self.attention.way is not Way.OPEN:
            how = self.topic.aside(ways(self.attention.way, self.topic.name))
            answer = replace(answer, said=f"{answer.said} {how.said}", messages=(*answer.messages, *how.messages))
        return self._tell(answer)

    def take(self, event: Event) -> tuple[Action, ...]:
        match event:
            case TimePassed():
                return self._wait(event.seconds)
            case Notice():
                return self._note(event)
            case SpeechDone():
                return self._spoken(event)
            case _ if self._over:
                return ()
            case Heard():
                return self._hear(event)
            case Typed():
                return self._read(event)
            case Sound():
                return self._take_example(event)
            case Learned():
                return self._told(self.teaching.learned(event))
            case Forgotten():
                return self._told(self.teaching.forgotten(event))
            case Pressed():
                self._doubtful = {}
                request = self.topic.pressed(event.key) or event.request
                return self._act(Kind.BY_HAND, request, event.key or event.request.name, shown=True)

    # ---- each kind of event

    def _wait(self, seconds: float) -> tuple[Action, ...]:
        if self.turn is not Turn.SPEAKING:
            self._quiet += seconds
            if self.turn is Turn.TAIL and self._quiet >= TAIL:
                self.turn = Turn.LISTENING
        self.topic.passed(seconds)
        self._silent += seconds
        self._counted += seconds
        closed = self.attention.passed(seconds, self.turn is Turn.SPEAKING)
        if self.turn is Turn.SPEAKING or self._over:
            return ()
        if closed:
            return () if self.topic.quiet else self._tone("ears closed")
        if self.teaching.step is not Step.DONE:
            return ()
        if self.topic.pace is not None and self._counted >= self.topic.pace:
            return self._answer(TAP, "")
        if self._silent >= AFTER_SILENCE and not self._recapped:
            self._recapped = True
            return self._tell(recap) if (recap := self.topic.recap()) else ()
        return ()

    def _spoken(self, event: SpeechDone) -> tuple[Action, ...]:
        if event.number != self.number or self.turn is not Turn.SPEAKING:
            return ()  # older speech, cut by newer
        self.turn, self._quiet = Turn.TAIL, 0.0
        return self._wait(event.ago)

    def _hear(self, event: Heard) -> tuple[Action, ...]:
        called, words = without_name(event.text, self.topic.name)
        called = called and self.attention.way is not Way.KEY
        doubtful, self._doubtful = self._doubtful, {}
        request = self.topic.understand(words, typed=False) if event.sure and words else None
        request = doubtful.get(words, request) if event.sure else None
        if called and event.sure:
            kind = Kind.NAME if request is None else Kind.BY_HAND
            self.attention.call()
        else:
            kind = Kind.UNSURE if request is None else Kind.STOP if request.name == STOP else Kind.REQUEST
        turn = self._turn_of(event.began)
        if kind is Kind.REQUEST and self.attention.apart and self.attention.was_open(event.began):
            kind = Kind.BY_HAND
        if request and words not in doubtful and (event.confidence is None or event.confidence < DOUBT):
            self._doubtful = self.topic.sounds_like(request)
        return self._act(kind, request, event.text, turn, shown=True)

    def _turn_of(self, began: float) -> Turn:
        """Whose turn it was when a sound from the microphone began, so many seconds ago."""
        if self.turn is Turn.LISTENING and began > self._quiet + LEAD and not self.attention.apart:
            return Turn.SPEAKING
        if self.turn is Turn.LISTENING and not self.attention.was_open(began):
            return Turn.CLOSED
        return self.turn

    def _take_example(self, event: Sound) -> tuple[Action, ...]:
        told = self.teaching.sound(event.of, event.lasted) if self._turn_of(event.began) is Turn.LISTENING else None
        if told is None:
            return ()
        self.attention.go_on()
        return self._told(told)

    def _told(self, told: Told) -> tuple[Action, ...]:
        """What a lesson answers to what is no request."""
        answer = self._with_text(self.topic.aside(*told.messages), told.text)
        return (*told.actions, *self._tell(answer))

    def _read(self, event: Typed) -> tuple[Action, ...]:
        doubtful, self._doubtful = self._doubtful, {}
        if not event.text.strip():
            return ()
        request = doubtful.get(event.text.strip().lower()) or self.topic.understand(event.text, typed=True)
        request = request or self.teaching.typed(event.text)
        if request is None:
            return (Show(self.topic.unknown(event.text), "note"),)
        return self._act(Kind.BY_HAND, request, event.text)

    def _act(
        self, kind: Kind, request: Request | None, heard: str, turn: Turn | None = None, shown: bool = False
    ) -> tuple[Action, ...]:
        """shown: the words are printed too, since the maker does not see them otherwise."""
        words = (Show(heard, "heard"),) if shown else ()
        match RULES[turn or self.turn, kind]:
            case Do.NOTHING:
                self._doubtful = {}
                return ()
            case Do.LOW_TONE:
                wanted = self.topic.quiet or self.teaching.step is Step.WORD  # an example is no request
                return () if wanted else self._tone("unsure")
            case Do.OPEN:
                return (*words, *self._tone("heard"))
            case Do.HUSH_AND_OPEN:
                return (Silence(), *words, *self._tone("heard"))
            case Do.ANSWER:
                return (*words, *self._answer_or_ask(request, heard))
            case Do.HUSH_AND_ANSWER:
                return (Silence(), *words, *self._answer_or_ask(request, heard))

    def _note(self, event: Notice) -> tuple[Action, ...]:
        """Always shown; spoken where nothing else is being said, since an answer is never cut for it."""
        tone = self._tone(event.tone) if event.tone else ()
        if self.turn is Turn.SPEAKING or self._over:
            return (*tone, Show(event.text, "note"))
        return (*tone, *self._say(event.text, ()))

    # ---- answering

    def _answer_or_ask(self, request: Request, heard: str) -> tuple[Action, ...]:
        if not self._doubtful:
            return self._answer(request, heard)
        self.attention.go_on()
        first, second, *_ = self._doubtful
        return self._tell(self.topic.aside(Message("which_number", {"first": first, "second": second})))

    def _answer(self, request: Request, heard: str) -> tuple[Action, ...]:
        told, tones = None, ()
        if request is TAP:
            answer = self.topic.answer(request)
        elif told := self.teaching.request(request):
            self.attention.go_on()
            answer = self._with_text(self.topic.aside(*told.messages), told.text)
            request = told.request or request
        else:
            self.attention.go_on()
            answer, tones = self._about_ears(request)
        self._silent = self._counted = 0.0
        self._recapped = False
        taught = told.actions if told else ()
        return (*taught, Save(request, answer, heard), *self._tell(answer), *tones)

    def _with_text(self, answer: Answer, text: str) -> Answer:
        return replace(answer, said=f"{text} {answer.said}".strip())

    def _about_ears(self, request: Request) -> tuple[Answer, tuple[Action, ...]]:
        """What concerns the ears is no matter of the topic."""
        match request:
            case Request("listen", "now"):
                self.attention.tap()
                return self.topic.aside(), self._tone("heard" if self.attention.is_open else "ears closed")
            case Request("listen", str(way)):
                self.attention.choose(Way(way))
                return self.topic.aside(ways(Way(way), self.topic.name)), ()
            case Request("tones", "on" | "off" as wanted):
                self.attention.tones = wanted == "on"
                return self.topic.aside(Message("tones_on" if wanted == "on" else "tones_off")), ()
            case Request("tones"):
                return self.topic.aside(Message("tones_are")), tuple(map(Tone, TONES))
        return self.topic.answer(request), ()

    def _tone(self, kind: str) -> tuple[Action, ...]:
        return (Tone(kind),) if self.attention.tones else ()

    def _tell(self, answer: Answer) -> tuple[Action, ...]:
        actions: list[Action] = []
        if (answer.rate, answer.volume) != self._voice:
            self._voice = answer.rate, answer.volume
            actions.append(Adjust(answer.rate, answer.volume))
        if answer.said:
            actions += self._say(answer.said, answer.messages)
        grammar = self.topic.grammar()
        grammar = replace(grammar, phrases=(*grammar.phrases, *self._doubtful))
        if (phrases := self.teaching.phrases()) is not None:
            grammar = Grammar(phrases, sounds=True)
        if (grammar := self.attention.grammar(grammar, self.topic.name)) != self._grammar:
            self._grammar = grammar
            actions.append(Listen(grammar))
        if answer.over:
            self._over = True
            actions.append(Quit("finished"))
        return tuple(actions)

    def _say(self, text: str, messages: tuple[Message, ...]) -> tuple[Action, ...]:
        self.number += 1
        self.turn = Turn.SPEAKING
        return Show(text), Say(text, messages, self.number)


_WAYS = {Way.ATTENTION: "listening_attention", Way.OPEN: "listening_open", Way.KEY: "listening_key"}


def ways(way: Way, name: str) -> Message:
    """How the coach is told that it is meant. It spells its name, or it would call itself."""
    letters = ", ".join(name.replace(" ", "").upper())
    return Message(_WAYS[way], {"letters": letters} if way is Way.ATTENTION else {})
