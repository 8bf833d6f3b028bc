"""What goes into a conversation and what comes out of it: answers of a topic, events that happen, actions to
perform."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from coach.guide.model import Message, Request
from coach.language.model import Grammar

# ---- what is talked about


@dataclass(frozen=True, slots=True)
class Answer:
    """What a topic says to a request. state: where it led; rate, volume: how to speak from now on; over: nothing is
    left to talk about."""

    said: str
    messages: tuple[Message, ...] = ()
    state: object = None
    rate: int = 175
    volume: float = 0.9
    over: bool = False


class Topic(Protocol):
    """What the conversation is about: working a pattern, choosing one. It knows words and requests, and no turns."""

    quiet: bool  # people may talk to each other now, so a word not understood gets no tone
    pace: float | None  # seconds after which the next stitch is counted; None: nothing is counted along
    name: str  # the word that the coach is called by

    def passed(self, seconds: float) -> None:
        """So much time went by."""

    def recap(self) -> Answer | None:
        """What is said after a long silence, if anything. It changes nothing."""

    def begin(self) -> Answer:
        """What is said first."""

    def understand(self, text: str, typed: bool) -> Request | None:
        """The request that these words are, or None."""

    def pressed(self, key: str) -> Request | None:
        """The request that a key is here, where it is another than usual."""

    def answer(self, request: Request) -> Answer:
        """Do what is asked."""

    def sounds_like(self, request: Request) -> dict[str, Request]:
        """What else a request with a number may have been, itself first: each number in words, and the request with it;
        {} where nothing else is possible here."""

    def phrase(self, request: Request) -> str:
        """Words that can be heard and mean the request; "" where there are none."""

    def word_and_meaning(self, line: str) -> tuple[str, str] | None:
        """The two sides of a typed line like "onward means next"; None where it has not both."""

    def with_word(self, word: str, meaning: str) -> Message | None:
        """From now on a word of the maker's means what `meaning` does; gives what to say where it can't."""

    def without_word(self, word: str) -> str | None:
        """Forget a word of the maker's, "" for the last one; gives the word, None where there is none such."""

    def aside(self, *messages: Message) -> Answer:
        """Say something about the coach; the work stays as it is."""

    def unknown(self, text: str) -> str:
        """A line to show for a typed line that is no request."""

    def grammar(self) -> Grammar:
        """All that can be said now."""


# ---- events: what happens to a conversation


@dataclass(frozen=True, slots=True)
class Heard:
    """Words from the microphone. sure: good enough to be obeyed; confidence: 0 to 1, where the ear has one;
    began: how many seconds ago the words began; lasted: how many seconds long they were."""

    text: str
    sure: bool = True
    confidence: float | None = None
    began: float = 0.0
    lasted: float = 0.0


@dataclass(frozen=True, slots=True)
class Typed:
    """A line of text, or the word that a key stands for."""

    text: str


@dataclass(frozen=True, slots=True)
class Pressed:
    """A key (or a pedal) that stands for a request, and how to show it ("space")."""

    request: Request
    key: str = ""


@dataclass(frozen=True, slots=True)
class SpeechDone:
    """The device has played the last sample of what `Say` with this number asked for. whole: it was not cut short;
    ago: how many seconds ago that was."""

    number: int
    whole: bool = True
    ago: float = 0.0


@dataclass(frozen=True, slots=True)
class TimePassed:
    """So many seconds went by since the last event of this kind."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Notice:
    """Something about the coach itself: a device was lost, the journal can't be written. tone: one to play first."""

    text: str
    tone: str | None = None


@dataclass(frozen=True, slots=True)
class Sound:
    """A sound on its own from the microphone, while sounds are listened for. of: the ear's own matter; began, lasted:
    as with `Heard`."""

    of: object
    began: float = 0.0
    lasted: float = 0.0


@dataclass(frozen=True, slots=True)
class Learned:
    """What came of `Learn`. fault: why the word could not be learned ("" where it was); again: with other examples it
    may be."""

    meaning: str
    fault: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What came of `Forget`. meaning: of the word that was forgotten, "" where none had been learned by ear."""

    meaning: str


Event = Heard | Typed | Pressed | SpeechDone | TimePassed | Notice | Sound | Learned | Forgotten


# ---- actions: what the shell has to do, in this order. How an action queues is its type.


class Urgent:
    """Done at once, never behind speech."""


class Certain:
    """Never cancelled; what follows it waits until it is done."""


class Ordered:
    """Done after the actions before it; speech among them may be cut by an urgent action or by newer speech."""


@dataclass(frozen=True, slots=True)
class Silence(Urgent):
    """Stop speaking within a block of sound."""


@dataclass(frozen=True, slots=True)
class Save(Certain):
    """Write down the request and what it led to. heard: as said or typed."""

    request: Request
    answer: Answer
    heard: str


@dataclass(frozen=True, slots=True)
class Say(Ordered):
    """Speak; newer speech takes the place of older. number: comes back with `SpeechDone`."""

    text: str
    messages: tuple[Message, ...]
    number: int


@dataclass(frozen=True, slots=True)
class Show(Ordered):
    """Print a line. kind: said (it is spoken too), heard (the maker's words), note (only shown)."""

    text: str
    kind: str = "said"


@dataclass(frozen=True, slots=True)
class Tone(Ordered):
    """One short tone. kind: a name of `coach.sound.tones`; unsure is the low one."""

    kind: str


@dataclass(frozen=True, slots=True)
class Adjust(Urgent):
    """From the next sentence on. rate: words a minute; volume: 0 to 1."""

    rate: int
    volume: float


@dataclass(frozen=True, slots=True)
class Listen(Ordered):
    """What can be said now has changed."""

    grammar: Grammar


@dataclass(frozen=True, slots=True)
class Learn(Ordered):
    """Have the ear learn a word: it is heard as `meaning` (words for a request) from now on. sounds: its examples, each
    the `of` of a `Sound`. Comes back as `Learned`."""

    meaning: str
    sounds: tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Forget(Ordered):
    """Have the ear forget the word that it learned last. Comes back as `Forgotten`."""


@dataclass(frozen=True, slots=True)
class KeepWord(Certain):
    """Write down what a typed word of the maker's means; "": nothing any more."""

    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Quit(Ordered):
    """The conversation is over, after the speech before it has ended. reason: finished."""

    reason: str


Action = Silence | Save | Say | Show | Tone | Adjust | Listen | Learn | Forget | KeepWord | Quit
