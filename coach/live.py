"""The shell around conversations: it performs their actions, and has the clock, the threads and the devices.

    typed lines ┐                                        ┌ journal
    keys        ├─▶ inbox ─▶ Session ─▶ conversation ─▶  ├ voice (loudspeaker, recording, none)
    microphone  ┘                                        └ paper (lines printed)

A stage is the place where conversations are held, one after another: `TypedStage` takes lines as fast as they come,
`coach.tape.TapeStage` takes a recording in virtual time, `LiveStage` has the devices and the clock.
"""

from __future__ import annotations

import json
import queue
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import Protocol, TextIO

from coach.attention import Attention
from coach.conversation import Conversation
from coach.events import (
    Action,
    Adjust,
    Answer,
    Event,
    Forget,
    Heard,
    KeepWord,
    Learn,
    Listen,
    Notice,
    Quit,
    Save,
    Say,
    Show,
    Silence,
    TimePassed,
    Tone,
    Topic,
    Typed,
)
from coach.figures import Figures
from coach.language.model import Grammar
from coach.sources import Listening, Source
from coach.topics import report

TICK = 0.1  # seconds between two looks at the clock and the devices when nothing happens

Keep = Callable[[Save], Iterable[str]]


def forget(save: Save) -> Iterable[str]:
    """A Keep for conversations that leave nothing to write down."""
    return ()


class Ended(Enum):
    """Why a conversation is over."""

    FINISHED = "finished"  # the maker said so, or chose
    INPUT = "input"  # nothing more can come in


class Voice(Protocol):
    """What speaks. What it posts goes through `events` first; each `say` leads to one SpeechDone."""

    @property
    def speaking(self) -> bool: ...

    def say(self, number: int, text: str) -> None:
        """Begin to speak; what was being spoken is cut."""

    def silence(self) -> None:
        """Stop speaking at once."""

    def tone(self, kind: str) -> None:
        """One short tone."""

    def adjust(self, rate: int, volume: float) -> None:
        """From the next sentence on."""

    def look(self) -> None:
        """Notice what changed by itself; called a few times a second."""

    def events(self, item: object) -> list[Event]:
        """What an item of the inbox means for the conversation."""

    def close(self) -> None:
        """Give back what the voice holds."""


# ---- paper: where lines go


class Paper:
    """One sentence a line, plain, for eyes, screen readers and braille displays."""

    def __init__(self, out: TextIO) -> None:
        self._out = out

    def about(self, topic: Topic) -> None:
        """What the next lines are about."""

    def show(self, text: str, kind: str = "said") -> None:
        """kind: said, heard or note."""
        print(f"> {text}" if kind == "heard" else text, file=self._out, flush=True)

    def saved(self, save: Save) -> None:
        """A request was written down and is about to be answered."""

    def end_of_line(self, heard: str) -> None:
        """All that a typed line leads to has been shown."""


class JsonPaper(Paper):
    """One JSON object for each line read, or for each request heard."""

    def __init__(self, out: TextIO) -> None:
        super().__init__(out)
        self._topic: Topic | None = None
        self._save: Save | None = None
        self._note = ""

    def about(self, topic: Topic) -> None:
        self._topic = topic

    def show(self, text: str, kind: str = "said") -> None:
        if kind == "note":
            self._note = text

    def saved(self, save: Save) -> None:
        self._print(report(self._topic, save.heard, save.request, save.answer))
        self._save = save

    def end_of_line(self, heard: str) -> None:
        if self._save is None:
            self._print(report(self._topic, heard, None, Answer(self._note)))
        self._save, self._note = None, ""

    def _print(self, line: dict[str, object]) -> None:
        print(json.dumps(line, ensure_ascii=False), file=self._out, flush=True)


# ---- performing a conversation


class Session:
    """A conversation with everything around it. `take` performs all that an event leads to."""

    def __init__(
        self,
        conversation: Conversation,
        voice: Voice,
        paper: Paper,
        keep: Keep = forget,
        listen: Callable[[Grammar], None] = lambda grammar: None,
        teach: Callable[[Learn | Forget], None] = lambda action: None,
        keep_word: Callable[[KeepWord], str] = lambda word: "",
    ) -> None:
        """keep: writes a Save to disk and gives sentences about the journal; listen: tells the ear what can be said;
        teach: has the ear learn or forget a word; keep_word: writes a typed word to disk, gives a sentence where it
        can't."""
        self._teach = teach
        self._keep_word = keep_word
        self.conversation = conversation
        self.voice = voice
        self.paper = paper
        self._keep = keep
        self._listen = listen
        self.saved = 0  # requests that were written down
        self._news = ""  # to be said before the next answer
        self._quit = False

    @property
    def over(self) -> bool:
        """The maker has finished, and has heard the last answer."""
        return self._quit and not self.voice.speaking

    def start(self) -> None:
        self.paper.about(self.conversation.topic)
        self._perform(self.conversation.begin())

    def take(self, event: Event) -> None:
        self._perform(self.conversation.take(event))

    def take_all(self, inbox: deque) -> None:
        """Everything that waits, and all that this leads to."""
        while inbox:
            for event in self.voice.events(inbox.popleft()):
                self.take(event)

    def _perform(self, actions: Iterable[Action]) -> None:
        for action in actions:
            match action:
                case Silence():
                    self.voice.silence()
                case Save():
                    self._news = self._with_news(" ".join(self._keep(action)))
                    self.saved += 1
                    self.paper.saved(action)
                case Adjust():
                    self.voice.adjust(action.rate, action.volume)
                case Show():
                    self.paper.show(self._with_news(action.text) if action.kind == "said" else action.text, action.kind)
                case Say():
                    self.voice.say(action.number, self._with_news(action.text))
                    self._news = ""
                case Tone():
                    self.voice.tone(action.kind)
                case Listen():
                    self._listen(action.grammar)
                case Learn() | Forget():
                    self._teach(action)
                case KeepWord():
                    self._news = self._with_news(self._keep_word(action))
                case Quit():
                    self._quit = True

    def _with_news(self, text: str) -> str:
        return f"{self._news} {text}".strip()


# ---- stages


class Stage(Protocol):
    """Where conversations are held."""

    def hold(self, topic: Topic, keep: Keep = forget, notices: Iterable[str] = ()) -> Ended:
        """One conversation, to its end. notices: sentences about the coach itself, to be told first."""

    def note(self, text: str) -> None:
        """Show a line about the coach itself."""

    def close(self) -> None: ...


class TypedStage:
    """Requests are lines, each answered before the next is read; speech goes into a recording or nowhere."""

    def __init__(
        self,
        lines: Iterator[str],
        voice: Voice,
        paper: Paper,
        inbox: deque,
        let_time_pass: Callable[[], None],
        give_back: Callable[[], None] = lambda: None,
        keep_word: Callable[[KeepWord], str] = lambda word: "",
    ) -> None:
        """inbox: where the voice posts to; let_time_pass: what a recording needs until the answer has been spoken;
        give_back: what else is done at the end; keep_word: as for a `Session`."""
        self._keep_word = keep_word
        self._lines = lines
        self._voice = voice
        self._paper = paper
        self._inbox = inbox
        self._let_time_pass = let_time_pass
        self._give_back = give_back

    def hold(self, topic: Topic, keep: Keep = forget, notices: Iterable[str] = ()) -> Ended:
        session = Session(Conversation(topic, hears=False), self._voice, self._paper, keep, keep_word=self._keep_word)
        for notice in notices:
            self._paper.show(notice, "note")
        session.start()
        self._speak(session)
        while not session.over:
            line = next(self._lines, None)
            if line is None:
                return Ended.INPUT
            session.take(Typed(line))
            self._paper.end_of_line(line.strip())
            self._speak(session)
        return Ended.FINISHED

    def note(self, text: str) -> None:
        self._paper.show(text, "note")

    def _speak(self, session: Session) -> None:
        session.take_all(self._inbox)
        self._let_time_pass()
        session.take_all(self._inbox)

    def close(self) -> None:
        self._voice.close()
        self._give_back()


@dataclass(frozen=True, slots=True)
class Came:
    """An event from a source, and when it came into the inbox."""

    event: Event | None
    when: float


class LiveStage:
    """The devices and the clock. Sources run in threads of their own and put events into the inbox."""

    def __init__(
        self,
        inbox: queue.SimpleQueue,
        voice: Voice,
        paper: Paper,
        sources: Iterable[Source],
        attention: Attention | None = None,
        keep_ears: Callable[[Attention], str] = lambda ears: "",
        apart: Callable[[], bool] = lambda: False,
        figures: Figures | None = None,
        give_back: Callable[[], None] = lambda: None,
        ear: Listening | None = None,
        keep_word: Callable[[KeepWord], str] = lambda word: "",
    ) -> None:
        """attention: the ears (None: always open); keep_ears: writes down how they are to listen, after each request
        about them; gives a sentence where it can't; apart: whether the microphone can't hear the loudspeaker now;
        figures: gets how quick it was; give_back: what else is done at the end; ear: the one of the sources that words
        can be taught; keep_word: as for a `Session`."""
        self._ear = ear
        self._keep_word = keep_word
        self._attention = attention or Attention()
        self._apart = apart
        self._figures = figures or Figures()
        self._give_back = give_back
        self._keep_ears = keep_ears
        self._inbox = inbox
        self._voice = voice
        self._paper = paper
        self._sources = tuple(sources)
        self._number = 0  # of the latest speech
        for source in self._sources:
            source.start(lambda event: inbox.put(Came(event, time.monotonic())))

    def hold(self, topic: Topic, keep: Keep = forget, notices: Iterable[str] = ()) -> Ended:
        conversation = Conversation(topic, self._number, self._attention, hears=self._ear is not None)

        def keep_all(save: Save) -> Iterable[str]:
            fault = self._keep_ears(self._attention) if save.request.name in ("listen", "tones") else ""
            return *keep(save), *filter(None, [fault])

        try:
            session = Session(
                conversation,
                self._voice,
                self._paper,
                keep_all,
                self._listen,
                self._ear.perform if self._ear else lambda action: None,
                self._keep_word,
            )
            return self._hold(session, notices)
        finally:
            self._number = conversation.number

    def _hold(self, session: Session, notices: Iterable[str]) -> Ended:
        session.start()
        for notice in notices:
            session.take(Notice(notice))
        last = time.monotonic()
        while not session.over:
            try:
                item = self._inbox.get(timeout=TICK)
            except queue.Empty:
                item = None
            now = time.monotonic()
            session.take(TimePassed(now - last))
            last = now
            self._look()
            self._take(session, item)
            if not any(source.running for source in self._sources) and self._inbox.empty() and not self._voice.speaking:
                return Ended.INPUT
        return Ended.FINISHED

    def _take(self, session: Session, item: object) -> None:
        """An item of the inbox: from a source, or what the voice makes of it."""
        match item:
            case Came(Heard() as heard, when):
                saved = session.saved
                session.take(replace(heard, began=heard.began + time.monotonic() - when))
                if session.saved > saved:
                    self._figures.word_to_action.append(max(0.0, heard.began - heard.lasted + time.monotonic() - when))
            case Came(event):
                if event is not None:
                    session.take(event)
            case _ if item is not None:
                for event in self._voice.events(item):
                    session.take(event)

    def note(self, text: str) -> None:
        self._paper.show(text, "note")

    def _listen(self, grammar: Grammar) -> None:
        for source in self._sources:
            source.listen_for(grammar)

    def _look(self) -> None:
        self._attention.apart = self._apart()
        self._voice.look()
        for source in self._sources:
            source.look()

    def close(self) -> None:
        for source in self._sources:
            source.close()
        self._voice.close()
        self._give_back()
