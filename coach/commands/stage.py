"""Building the stage that the options ask for, and saying what is missing for it."""

from __future__ import annotations

import os
import queue
import sys
from collections import deque
from functools import partial
from typing import TYPE_CHECKING

from coach.commands.files import Unreadable
from coach.guide.model import Message
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook, PhrasebookError, load
from coach.language.speak import sentence
from coach.live import JsonPaper, LiveStage, Paper, Stage, TypedStage
from coach.sources import Keys, Lines, Listening, Source, input_lines
from coach.voices import NoVoice, PlayedVoice

if TYPE_CHECKING:
    from coach.sound.model import Ear

READY = "Ready."  # rendered once, never played
COMMAND = "COACH_COMMAND"  # how the coach was called, where a script did it ("./start")


def command() -> str:
    """What a maker types to start the coach."""
    return os.environ.get(COMMAND, "coach")


def phrasebook_for(language: str) -> Phrasebook:
    """Raises Unreadable."""
    try:
        return load(language)
    except PhrasebookError as error:
        raise Unreadable(str(error)) from None


def stage_for(args, phrasebook: Phrasebook) -> Stage:
    """The stage for `--typed`, `--hear`, `--speak`, `--json` and what this machine has.

    Raises SoundError where a recording that was asked for can't be used; missing devices are only told.
    """
    paper = JsonPaper(sys.stdout) if args.json else Paper(sys.stdout)
    if args.hear:
        return _tape(args, phrasebook, paper)
    if args.typed and (args.speak or args.json or not sys.stdin.isatty()):
        return _typed(args, paper)
    return _live(args, phrasebook, paper)


def _typed(args, paper: Paper) -> Stage:
    inbox: deque = deque()
    if not args.speak:
        return TypedStage(input_lines(), NoVoice(inbox.append), paper, inbox, lambda: None)
    from coach.sound.mouth import EngineMouth
    from coach.tape import TapeVoice

    voice = TapeVoice(EngineMouth(), args.speak, inbox.append)
    return TypedStage(input_lines(), voice, paper, inbox, voice.speak)


def _tape(args, phrasebook: Phrasebook, paper: Paper) -> Stage:
    from coach.sound.mouth import EngineMouth
    from coach.tape import Recording, TapeStage, TapeVoice

    recording = Recording(args.hear)
    inbox: deque = deque()
    ear = ear_for(args.ear, args.language)
    return TapeStage(recording, ear, TapeVoice(EngineMouth(), args.speak, inbox.append), paper, inbox)


def _live(args, phrasebook: Phrasebook, paper: Paper) -> Stage:
    """Whatever there is of keys, microphone and loudspeaker; what is missing is told once, a line each."""
    inbox: queue.SimpleQueue = queue.SimpleQueue()
    missing: dict[str, None] = {}
    sources: list[Source] = []
    if not args.typed:
        _add_microphone(sources, args, phrasebook, missing)
    voice = _voice(args, phrasebook, inbox, missing)
    for text in missing:
        paper.show(text, "note")
    sources.append(_by_hand(args, phrasebook, paper))
    return LiveStage(inbox, voice, paper, sources)


def _by_hand(args, phrasebook: Phrasebook, paper: Paper) -> Source:
    if not args.typed and sys.stdin is not None and sys.stdin.isatty():
        source, key = Keys(phrasebook, sys.stdout), "keys"
    else:
        source, key = Lines(input_lines()), "lines"
    paper.show(sentence(phrasebook, [Message(key)]), "note")
    return source


def _add_microphone(sources: list[Source], args, phrasebook: Phrasebook, missing: dict[str, None]) -> None:
    from coach.sound.ear_process import EarProcess
    from coach.sound.errors import SoundError

    try:
        sources.append(Listening(lambda: EarProcess(partial(ear_for, args.ear, args.language)), phrasebook))
    except SoundError as fault:
        missing[str(fault)] = None


def _voice(args, phrasebook: Phrasebook, inbox: queue.SimpleQueue, missing: dict[str, None]):
    from coach.sound.errors import SoundError
    from coach.sound.mouth import EngineMouth
    from coach.sound.player import FilePlayer, LivePlayer

    mouth = EngineMouth()
    try:
        mouth.say(READY)  # the engine has started: opening a loudspeaker stalls on some machines that are busy
        player_for = (lambda tell: FilePlayer(args.speak, tell)) if args.speak else LivePlayer
        return PlayedVoice(mouth, player_for, inbox.put, phrasebook)
    except SoundError as fault:
        mouth.close()
        if args.speak:
            raise
        missing[str(fault)] = None
        return NoVoice(inbox.put)


def ear_for(name: str | None, language: str, grammar: Grammar = Grammar(())) -> Ear:
    """The ear of that name, or the best there is; it is fed with samples and told what can be said. Raises EarError."""
    from coach.sound.listen import best_ear

    return best_ear(grammar, name, language=language)
