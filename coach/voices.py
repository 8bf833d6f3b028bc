"""What speaks for a session: nothing, or a player with a mouth behind it (`coach.tape` has the one in virtual time).

What a voice posts goes through its `events` before the conversation gets it; each `say` leads to one SpeechDone, unless
newer speech took its place.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from coach.events import Event, Notice, SpeechDone
from coach.guide.model import Message
from coach.language.phrasebook import Phrasebook
from coach.language.speak import sentence

if TYPE_CHECKING:
    from coach.sound.model import Mouth
    from coach.sound.player import Player


class NoVoice:
    """Speaks nothing: what is said is printed anyway."""

    speaking = False
    device = ""

    def __init__(self, post: Callable[[Event], None]) -> None:
        self._post = post

    def say(self, number: int, text: str) -> None:
        self._post(SpeechDone(number))

    def silence(self) -> None: ...

    def tone(self, kind: str) -> None: ...

    def adjust(self, rate: int, volume: float) -> None: ...

    def look(self) -> None: ...

    def events(self, item: object) -> list[Event]:
        return [item]

    def close(self) -> None: ...


class PlayedVoice:
    """Renders in a thread of its own, so that keys and "stop" never wait for the speech engine, and plays."""

    def __init__(
        self,
        mouth: Mouth,
        player_for: Callable[[Callable[[Any], None]], Player],
        post: Callable[[Any], None],
        phrasebook: Phrasebook,
        sounded: Callable[[float], None] = lambda seconds: None,
    ) -> None:
        """player_for: makes the player, given what to tell its events to; sounded: is told how many seconds passed from
        each `say` to its first sample at the loudspeaker. Raises what the player raises."""
        self._sounded = sounded
        self._asked: dict[int, float] = {}  # number of the speech: when it was to be said
        self._mouth = mouth
        self._phrasebook = phrasebook
        self._post = post
        self._rate = 175
        self._numbers: dict[int, int] = {}  # piece of the player: number of the speech
        self._ended: tuple[int, bool] | None = None  # the speech that was played last, and whether to its end
        self._wanted: tuple[int, str, int] | None = None  # number, text, rate: not rendered yet
        self._after: list[str] = []  # tones that follow it
        self._changed = threading.Condition()
        self._closed = False
        self._failed = False
        self._player = player_for(post)
        self._thread = threading.Thread(target=self._render, name="speech", daemon=True)
        self._thread.start()

    @property
    def device(self) -> str:
        """The loudspeaker's name; "" where a file takes its place."""
        return self._player.device.name if hasattr(self._player, "device") else ""

    @property
    def speaking(self) -> bool:
        return self._wanted is not None or self._player.speaking

    def say(self, number: int, text: str) -> None:
        under_way = self._numbers.values()  # the others were silenced before they began
        self._asked = {n: asked for n, asked in self._asked.items() if n in under_way} | {number: time.monotonic()}
        if self._numbers:
            self._player.stop()  # only speech is cut: a tone before this is heard to its end
        with self._changed:
            self._wanted = number, text, self._rate
            self._after.clear()
            self._changed.notify()

    def silence(self) -> None:
        with self._changed:
            waiting, self._wanted = self._wanted, None
            self._after.clear()
        self._player.stop()
        if waiting:
            self._post(SpeechDone(waiting[0], whole=False))

    def tone(self, kind: str) -> None:
        from coach.sound.tones import tone

        with self._changed:
            if self._wanted is not None:
                self._after.append(kind)  # it comes behind what is to be said
                return
        self._player.play(tone(kind))

    def adjust(self, rate: int, volume: float) -> None:
        self._rate = rate
        self._player.volume = volume

    def look(self) -> None:
        """To be called a few times a second: notices a lost loudspeaker."""
        self._player.look()

    def close(self) -> None:
        with self._changed:
            self._closed = True
            self._changed.notify()
        self._mouth.close()
        self._thread.join(timeout=2)
        self._player.close()

    def _render(self) -> None:
        from coach.sound.errors import SoundError
        from coach.sound.tones import tone

        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._wanted or self._closed)
                if self._closed:
                    return
                number, text, rate = wanted = self._wanted
            try:
                speech = self._mouth.say(text, rate)
            except SoundError as fault:
                speech, told = None, fault
            with self._changed:
                if self._wanted is not wanted:
                    continue  # silenced, or something newer is to be said
                if speech is not None and len(speech.samples):
                    self._failed = False
                    self._numbers[self._player.play(speech)] = number
                for kind in self._after:
                    self._player.play(tone(kind))
                self._after.clear()
                self._wanted = None
            if speech is None:
                self._post(SpeechDone(number, whole=False))
                if not self._failed and not self._closed:
                    self._failed = True  # said once; every sentence is printed
                    self._post(Notice(str(told)))
            elif not len(speech.samples):
                self._post(SpeechDone(number))

    def _measure(self, number: int, heard: float) -> None:
        """A speech has just ended after so many seconds: when did it begin?"""
        asked = self._asked.pop(number, None)
        if asked is not None and heard:
            began = time.monotonic() - heard + getattr(self._player, "latency", 0.0)
            self._sounded(max(0.0, began - asked))

    def events(self, item: object) -> list[Event]:
        """What an item of the inbox means for the conversation: the player's own events come in from its thread."""
        from coach.sound.playback import TAIL_SECONDS, Played, Quiet
        from coach.sound.stream import DeviceBack, DeviceLost

        match item:
            case Played():
                with self._changed:  # the piece's number may only just be written down
                    number = self._numbers.pop(item.number, None)
                if number is not None:  # else it was a tone
                    self._ended = number, item.whole
                    self._measure(number, item.heard)
                return []
            case Quiet():
                ended, self._ended = self._ended, None
                return [SpeechDone(*ended, ago=TAIL_SECONDS)] if ended else []
            case DeviceLost() | DeviceBack():
                key = "loudspeaker_lost" if isinstance(item, DeviceLost) else "loudspeaker_back"
                return [Notice(sentence(self._phrasebook, [Message(key)]))]
        return [item]
