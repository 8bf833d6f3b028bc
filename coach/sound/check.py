"""The sound check: what the devices give, and in plain words what to change.

The room is listened to in silence, then while the coach speaks, then while the maker speaks.
"""

from __future__ import annotations

import queue
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from coach.sound.devices import missing
from coach.sound.errors import SoundError
from coach.sound.levels import Echo, Levels, echo, levels
from coach.sound.microphone import Microphone
from coach.sound.model import HEARING_RATE, Mouth
from coach.sound.player import LivePlayer
from coach.sound.resample import resample

SENTENCE = "This is how loud I am. Work two single crochet in the next stitch."
ROOM_SECONDS, ECHO_SECONDS, MAKER_SECONDS = 1.5, 1.5, 4.0

# In dB below full scale. Common practice for speech into 16 bits, no source: speech near -20, the room 30 below it.
SILENT_ROOM = -90.0  # no real microphone is as quiet as that: it is muted
NOISY_ROOM = -45.0
FAINT_VOICE = -40.0
CLEAR_OF_NOISE = 15.0  # dB that speech should be over the room
CLIPPED_SHARE = 0.001


@dataclass(frozen=True, slots=True)
class SoundCheck:
    """Figures of a check, None for what could not be measured. room, maker: levels; echo: of the coach's voice."""

    microphone: str | None = None
    loudspeaker: str | None = None
    room: Levels | None = None
    maker: Levels | None = None
    echo: Echo | None = None
    missing: tuple[str, ...] = ()

    @property
    def hears_itself(self) -> bool:
        """Then the ears stay half closed while the coach speaks."""
        return self.echo is not None and self.echo.heard

    @property
    def apart(self) -> bool:
        """Whether the microphone surely does not hear the loudspeaker: it hears, and not the coach."""
        hears = self.room is not None and self.room.loud > SILENT_ROOM and not _about_maker(self.maker, self.room)
        return hears and self.echo is not None and not self.echo.heard

    @property
    def advice(self) -> tuple[str, ...]:
        """Plain sentences: what is wrong and what to do, or that all is well."""
        return tuple(advice(self))


def advice(found: SoundCheck) -> list[str]:
    """What to say about the figures."""
    said = list(found.missing)
    if found.room is not None:
        said += _about_room(found.room)
    if found.room is not None and found.room.loud > SILENT_ROOM:
        said += _about_maker(found.maker, found.room)
    if found.hears_itself:
        said.append(
            "The coach hears itself, so while it speaks it listens only for stop and its name. "
            "With headphones, or less volume, it can listen all the time."
        )
    elif found.apart:
        said.append("The coach does not hear itself: you can speak while it speaks. With other devices, check again.")
    if len(said) == 1 and found.apart:
        said.append("All is well.")
    return said


def soundcheck(
    mouth: Mouth,
    microphone: str | None = None,
    loudspeaker: str | None = None,
    ask: Callable[[str], None] | None = None,
    wait: Callable[[float], None] = time.sleep,
) -> SoundCheck:
    """Measure with the devices of these names (None: the usual ones). ask: shows the maker what to do, and then the
    maker's own level is measured too. wait: lets seconds pass, in all about ten. Nothing raises: what can't be measured
    is in `missing`."""
    lacking = list(missing())
    heard = _Heard(wait)
    ears = player = None
    try:
        try:
            ears = Microphone(heard.blocks.put, _ignore, microphone)
        except SoundError as fault:
            lacking.append(str(fault))
        try:
            player = LivePlayer(_ignore, loudspeaker)
        except SoundError as fault:
            lacking.append(str(fault))
        room = own = maker = None
        if ears is not None:
            if ask is not None:
                ask("Please be quiet for a moment.")
            heard.during(ROOM_SECONDS / 3)  # a microphone often begins with a click
            room = levels(heard.during(ROOM_SECONDS), HEARING_RATE)
        if player is not None:
            try:
                own = _speak(mouth, player, heard)
            except SoundError as fault:
                lacking.append(str(fault))
        if ears is not None and ask is not None:
            ask("Now say: next step, count so far.")
            heard.during(0)
            maker = levels(heard.during(MAKER_SECONDS), HEARING_RATE)
        return SoundCheck(
            microphone=ears.device.name if ears else None,
            loudspeaker=player.device.name if player else None,
            room=room,
            maker=maker,
            echo=own if ears else None,
            missing=tuple(dict.fromkeys(lacking)),
        )
    finally:
        for stream in (ears, player):
            if stream is not None:
                stream.close()


def _about_room(room: Levels) -> list[str]:
    if room.loud <= SILENT_ROOM:
        return ["The microphone gives nothing at all. Is it muted, or is this program not allowed to use it?"]
    if room.quiet > NOISY_ROOM:
        return ["The room is loud. Move the microphone nearer to your mouth, or turn the noise down."]
    return []


def _about_maker(maker: Levels | None, room: Levels) -> list[str]:
    if maker is None:
        return []
    if maker.clipped > CLIPPED_SHARE:
        return ["Your voice is too loud for the microphone. Move it away a little, or turn its level down."]
    if maker.loud - room.quiet < CLEAR_OF_NOISE:
        return ["Your voice hardly stands out from the room. Move the microphone nearer, or turn its level up."]
    if maker.loud < FAINT_VOICE:
        return ["Your voice is faint. Turn the microphone's level up, or move it nearer."]
    return []


def _speak(mouth: Mouth, player: LivePlayer, heard: _Heard) -> Echo:
    speech = mouth.say(SENTENCE)
    heard.during(0)
    player.play(speech)
    recorded = heard.during(speech.seconds + ECHO_SECONDS)
    return echo(resample(speech.samples, speech.rate, HEARING_RATE), recorded, HEARING_RATE)


class _Heard:
    """What the microphone gives."""

    def __init__(self, wait: Callable[[float], None]) -> None:
        self.blocks: queue.SimpleQueue[np.ndarray] = queue.SimpleQueue()
        self._wait = wait

    def during(self, seconds: float) -> np.ndarray:
        """What was heard since the last call until `seconds` from now; without a microphone only time passes."""
        self._wait(seconds)
        blocks = [np.zeros(0, np.int16)]
        while not self.blocks.empty():
            blocks.append(self.blocks.get())
        return np.concatenate(blocks)


def _ignore(event: object) -> None:
    """The check is over before a lost device would matter."""
