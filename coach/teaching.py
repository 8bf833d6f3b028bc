"""The maker teaches the coach a word of their own: what it is for, then three spoken examples, or the word typed. Pure.

    "learn my word" ─▶ MEANING ── a request ─▶ WORD ── EXAMPLES sounds ─▶ LEARNING ── learned ─▶ done
                                                ▲ │ └─ a typed line ────────────────────────────▶ done
                                                │ └─ "no thanks", or anything else that is asked ▶ nothing is learned
                                                └──── not alike, not heard ───┘

- What is asked while the meaning is wanted is not done: it is the meaning. Only leaving and "no" are what they are.
- A sound counts as an example as words count as a request: in the coach's silence, with open ears.
- Right after a word was learned, `undo` forgets it; `forget` forgets the last one at any time.
- In one line: "my word onward means next", "forget onward". Typed words are words for the recogniser as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

from coach.events import Action, Forget, Forgotten, KeepWord, Learn, Learned, Topic
from coach.guide.model import Message, Request

EXAMPLES = 3
SHORTEST = 0.2  # seconds of an example; what is shorter is a rustle, or a tone of the coach's own
NEVER_MEANT = ("learn", "forget", "finish", "no")  # not the meaning of a word, but what they are


class Step(Enum):
    """How far a lesson is."""

    DONE = auto()
    MEANING = auto()
    WORD = auto()
    LEARNING = auto()


@dataclass(frozen=True, slots=True)
class Told:
    """What a lesson answers: actions first, then messages; text: a sentence that is none of the phrasebook's; request:
    what is written down in the place of the one that was made, as the meaning of a word is not asked for."""

    messages: tuple[Message, ...] = ()
    actions: tuple[Action, ...] = ()
    text: str = ""
    request: Request | None = None


class Teaching:
    """The lessons of one conversation."""

    def __init__(self, topic: Topic, hears: bool) -> None:
        """hears: there is a microphone, so that examples can be spoken."""
        self._topic = topic
        self._hears = hears
        self._meaning = ""
        self._examples: tuple[object, ...] = ()
        self._take_back: Callable[[], Told] | None = None  # what was learned just now
        self.step = Step.DONE

    def request(self, request: Request) -> Told | None:
        """What a request comes to where it belongs to a lesson; None for an ordinary one, which ends the lesson."""
        step, self.step = self.step, Step.DONE
        take_back, self._take_back = self._take_back, None
        match request:
            case Request("learn", None):
                return self._begin()
            case Request("learn", str(line)):
                return self._in_one_line(line)
            case Request("forget", word):
                return self._forget(str(word or ""))
            case Request("undo") if take_back:
                return take_back()
            case Request("no") if step in (Step.MEANING, Step.WORD):
                return Told((Message("learn_nothing"),))
            case _ if step is Step.MEANING and request.name not in NEVER_MEANT:
                return self._mean(self._topic.phrase(request))
        return None

    def typed(self, text: str) -> Request | None:
        """What a line that is no request means: the word, while it is wanted."""
        return Request("learn", f"{text.strip()} = {self._meaning}") if self.step is Step.WORD else None

    def sound(self, of: object, lasted: float) -> Told | None:
        """What a sound of the maker's comes to; None where none is wanted."""
        if self.step is not Step.WORD or lasted < SHORTEST:
            return None
        self._examples = *self._examples, of
        match EXAMPLES - len(self._examples):
            case 0:
                self.step = Step.LEARNING
                return Told(actions=(Learn(self._meaning, self._examples),))
            case 1:
                return Told((Message("learn_last"),))
        return Told((Message("learn_again"),))

    def learned(self, event: Learned) -> Told:
        """The ear has learned the word, or not."""
        if not event.fault:
            self._take_back = lambda: Told(actions=(Forget(),))
            return Told((Message("learned", {"own": event.meaning}),))
        if event.again and self.step is Step.LEARNING:
            return self._mean(event.meaning, event.fault)
        self.step = Step.DONE if self.step is Step.LEARNING else self.step
        return Told(text=event.fault)

    def forgotten(self, event: Forgotten) -> Told:
        """The ear has forgotten its last word; where it had none, the last typed one is forgotten."""
        if event.meaning:
            return Told((Message("forgotten", {"own": event.meaning}),))
        return self._forget_typed("")

    def phrases(self) -> tuple[str, ...] | None:
        """What is listened for besides sounds while an example is wanted; None at any other time."""
        return tuple(filter(None, [self._topic.phrase(Request("no"))])) if self.step is Step.WORD else None

    # ---- the steps

    def _begin(self) -> Told:
        if not self._hears:
            return Told((Message("learn_typed"),))
        self.step = Step.MEANING
        return Told((Message("learn_what"),))

    def _mean(self, meaning: str, fault: str = "") -> Told:
        if not meaning:  # there is no way to say it
            return Told((Message("learn_nothing"),))
        self.step, self._meaning, self._examples = Step.WORD, meaning, ()
        return Told((Message("learn_word", {"own": meaning}),), text=fault, request=Request("learn", meaning))

    def _in_one_line(self, line: str) -> Told:
        parts = self._topic.word_and_meaning(line)
        if parts is None:
            return Told((Message("learn_typed"),))
        word, meaning = parts
        if fault := self._topic.with_word(word, meaning):
            return Told((fault,))
        self._take_back = lambda: self._forget_typed(word)
        return Told((Message("learned", {"own": meaning}),), (KeepWord(word, meaning),))

    def _forget(self, word: str) -> Told:
        return Told(actions=(Forget(),)) if self._hears and not word else self._forget_typed(word)

    def _forget_typed(self, word: str) -> Told:
        gone = self._topic.without_word(word)
        if gone is None:
            return Told((Message("nothing_learned"),))
        return Told((Message("forgotten", {"own": gone}),), (KeepWord(gone, ""),))
