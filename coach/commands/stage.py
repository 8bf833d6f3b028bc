"""Building the stage that the options ask for, and saying what is missing for it."""

from __future__ import annotations

import os
import queue
import sys
from collections import deque
from functools import partial
from typing import TYPE_CHECKING

from coach.attention import Attention, Way, usual_way
from coach.commands.files import Unreadable
from coach.guide.model import Message
from coach.language.makers_words import own_words, with_words
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook, PhrasebookError, load
from coach.language.speak import sentence
from coach.live import JsonPaper, LiveStage, Paper, Stage, TypedStage
from coach.memory.place import home
from coach.sources import Keys, Lines, Listening, Source, input_lines
from coach.voices import NoVoice, PlayedVoice

if TYPE_CHECKING:
    from coach.page import Page
    from coach.sound.model import Ear

READY = "Ready."  # rendered once, never played
WORDS = "words.toml"  # the maker's own words, in the coach's folder; see coach/language/makers_words.py
COMMAND = "COACH_COMMAND"  # how the coach was called, where a script did it ("./start")


def command() -> str:
    """What a maker types to start the coach."""
    return os.environ.get(COMMAND, "coach")


def phrasebook_for(language: str) -> Phrasebook:
    """The phrasebook with the maker's own words; what is wrong with these is told. Raises Unreadable."""
    try:
        book = load(language)
    except PhrasebookError as error:
        raise Unreadable(str(error)) from None
    file = home() / WORDS
    try:
        words, fault = own_words(file.read_text("utf-8")) if file.is_file() else ({}, "")
    except (OSError, UnicodeDecodeError) as error:
        words, fault = {}, f"{WORDS} can't be read: {error}."
    book, faults = with_words(book, words)
    for told in filter(None, (fault, *faults)):
        print(told, file=sys.stderr, flush=True)
    return book


def stage_for(args, phrasebook: Phrasebook) -> Stage:
    """The stage for `--typed`, `--hear`, `--speak`, `--json`, `--page` and what this machine has.

    Raises SoundError where a recording that was asked for can't be used, and PageError where the page can't be shown; missing
    devices are only told.
    """
    paper = JsonPaper(sys.stdout) if args.json else Paper(sys.stdout)
    page = _page(args, paper)
    if page is not None:
        paper = page.paper(paper)
    try:
        if args.hear:
            return _tape(args, phrasebook, paper)
        if args.typed and (args.speak or args.json or not sys.stdin.isatty()):
            return _typed(args, paper, page)
        return _live(args, phrasebook, paper, page)
    except BaseException:
        if page is not None:
            page.close()
        raise


def _page(args, paper: Paper) -> Page | None:
    """The page, where one is asked for, and its address told."""
    if not (args.page or args.page_address):
        return None
    if args.hear:
        raise Unreadable("A page can't follow a recording, which runs faster than anyone reads.", "Leave out --hear, or --page.")
    from coach.page import Page

    page = Page(args.page_address, args.language, args.hand == "left")
    if args.json:
        print(page.told, file=sys.stderr, flush=True)
    else:
        paper.show(page.told, "note")
    return page


def _typed(args, paper: Paper, page: Page | None) -> Stage:
    inbox: deque = deque()
    lines = input_lines() if page is None else page.lines(input_lines())
    give_back = page.close if page is not None else lambda: None
    if not args.speak:
        return TypedStage(lines, NoVoice(inbox.append), paper, inbox, lambda: None, give_back)
    from coach.sound.mouth import EngineMouth
    from coach.tape import TapeVoice

    voice = TapeVoice(EngineMouth(), args.speak, inbox.append)
    return TypedStage(lines, voice, paper, inbox, voice.speak, give_back)


def _tape(args, phrasebook: Phrasebook, paper: Paper) -> Stage:
    from coach.sound.mouth import EngineMouth
    from coach.tape import Recording, TapeStage, TapeVoice

    recording = Recording(args.hear)
    inbox: deque = deque()
    ear = ear_for(args.ear, args.language)
    voice = TapeVoice(EngineMouth(), args.speak, inbox.append)
    return TapeStage(recording, ear, voice, paper, inbox, attention=_attention(args, None))


def _attention(args, ear: str | None) -> Attention:
    """As asked for, or as is best with this ear. Who made a recording meant the coach with all of it (ear: None)."""
    return Attention(Way(args.listen) if args.listen else usual_way(ear), tones=not args.no_tones)


def _live(args, phrasebook: Phrasebook, paper: Paper, page: Page | None) -> Stage:
    """Whatever there is of keys, microphone and loudspeaker; what is missing is told once, a line each."""
    inbox: queue.SimpleQueue = queue.SimpleQueue()
    missing: dict[str, None] = {}
    sources: list[Source] = []
    if not args.typed:
        _add_microphone(sources, args, phrasebook, missing)
    attention = _attention(args, sources[0].ear if sources else None)
    voice = _voice(args, phrasebook, inbox, missing)
    for text in missing:
        paper.show(text, "note")
    sources.append(_by_hand(args, phrasebook, paper))
    if page is not None:
        sources.append(page)
    return LiveStage(inbox, voice, paper, sources, attention)


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
