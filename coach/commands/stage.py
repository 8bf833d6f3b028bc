"""Building the stage that the options ask for, and saying what is missing for it."""

from __future__ import annotations

import os
import queue
import sys
from collections import deque
from typing import TYPE_CHECKING

from coach.commands.files import Unreadable
from coach.language.phrasebook import Phrasebook, PhrasebookError, load
from coach.live import JsonPaper, LiveStage, Paper, Stage, TypedStage
from coach.sources import Lines, Listening, Source, input_lines
from coach.voices import NoVoice, PlayedVoice

if TYPE_CHECKING:
    from coach.sound.model import Ear

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
    ear = ear_for(args.ear, phrasebook)
    return TapeStage(recording, ear, TapeVoice(EngineMouth(), args.speak, inbox.append), paper, inbox)


def _live(args, phrasebook: Phrasebook, paper: Paper) -> Stage:
    inbox: queue.SimpleQueue = queue.SimpleQueue()
    sources: list[Source] = [_by_hand(args, phrasebook, paper)]
    try:
        sources.append(Listening(ear_for(args.ear, phrasebook), phrasebook))
    except Exception as fault:
        paper.show(_told(fault), "note")
    return LiveStage(inbox, _voice(args, phrasebook, paper, inbox), paper, sources)


def _by_hand(args, phrasebook: Phrasebook, paper: Paper) -> Source:
    ...


def _voice(args, phrasebook: Phrasebook, paper: Paper, inbox: queue.SimpleQueue):
    ...
