"""Building the stage that the options ask for, and saying what is missing for it."""

from __future__ import annotations

import queue
import sys
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from coach.attention import Attention, Way, usual_way
from coach.commands.called import as_typed
from coach.commands.files import Unreadable
from coach.events import KeepWord
from coach.figures import Figures, as_text
from coach.guide.model import Message
from coach.language.makers_words import changed, own_words, with_words
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook, PhrasebookError, load
from coach.language.speak import sentence
from coach.live import JsonPaper, LiveStage, Paper, Stage, TypedStage
from coach.memory import sound_settings
from coach.memory.place import home
from coach.memory.sound_settings import SoundSettings
from coach.sources import Keys, Lines, Listening, Source, input_lines
from coach.voices import NoVoice, PlayedVoice
from coach.whole import write_whole

if TYPE_CHECKING:
    from coach.page import Page
    from coach.sound.echo import EchoCanceller
    from coach.sound.model import Ear

T = TypeVar("T")
READY = "Ready."  # rendered once, never played
TAUGHT = "words.npz"  # what the ear has learned of the maker's own words, in the same folder
WORDS = "words.toml"  # the maker's own words, in the coach's folder; see coach/language/makers_words.py


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
    for told in filter(None, (fault, *(sentence(book, [wrong]) for wrong in faults))):
        print(told, file=sys.stderr, flush=True)
    return book


def stage_for(args, phrasebook: Phrasebook) -> Stage:
    """The stage for `--typed`, `--hear`, `--speak`, `--json`, `--page` and what this machine has.

    Raises SoundError where a recording or a device that was asked for can't be used, and PageError where the page can't
    be shown; other devices that are missing are only told.
    """
    paper = JsonPaper(sys.stdout) if args.json else Paper(sys.stdout)
    page = _page(args, paper)
    if page is not None:
        paper = page.paper(paper)
    try:
        if args.hear:
            return _tape(args, phrasebook, paper)
        if args.typed and (args.speak or args.json or not sys.stdin.isatty()):
            return _typed(args, phrasebook, paper, page)
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
        raise Unreadable(
            "A page can't follow a recording, which runs faster than anyone reads.", "Leave out --hear, or --page."
        )
    from coach.page import Page

    page = Page(args.page_address, args.language, args.hand == "left")
    if args.json:
        print(page.told, file=sys.stderr, flush=True)
    else:
        paper.show(page.told, "note")
    return page


def _typed(args, phrasebook: Phrasebook, paper: Paper, page: Page | None) -> Stage:
    inbox: deque = deque()
    lines = input_lines() if page is None else page.lines(input_lines())
    give_back = page.close if page is not None else lambda: None
    if not args.speak:
        return TypedStage(lines, NoVoice(inbox.append), paper, inbox, lambda: None, give_back, keep_word)
    from coach.sound.mouth import EngineMouth
    from coach.tape import TapeVoice

    voice = TapeVoice(EngineMouth(phrasebook.voice or None), args.speak, inbox.append)
    return TypedStage(lines, voice, paper, inbox, voice.speak, give_back, keep_word)


def _tape(args, phrasebook: Phrasebook, paper: Paper) -> Stage:
    from coach.sound.mouth import EngineMouth
    from coach.tape import Recording, TapeStage, TapeVoice

    recording = Recording(args.hear)
    inbox: deque = deque()
    ear = ear_for(args.ear, args.language)
    if ear.fault:
        print(as_typed(ear.fault), file=sys.stderr, flush=True)
    figures = Figures()
    voice = TapeVoice(EngineMouth(phrasebook.voice or None), args.speak, inbox.append, figures.action_to_sound.append)
    # who made a recording meant the coach with all of it, unless they say otherwise
    attention = _attention(SoundSettings(args.listen or "", args.tones is not False), None)
    return TapeStage(
        recording,
        ear,
        voice,
        paper,
        inbox,
        attention=attention,
        keep_word=keep_word,
        figures=figures,
        give_back=lambda: _tell(figures, args, paper),
    )


def _tell(figures: Figures, args, paper: Paper) -> None:
    for line in as_text(figures.as_json()) if args.figures else ():
        paper.show(line, "note")


def _attention(wanted: SoundSettings, ear: str | None) -> Attention:
    """As wanted, or as is best with this ear (None: no microphone)."""
    return Attention(Way(wanted.listen) if wanted.listen in set(Way) else usual_way(ear), wanted.tones)


def _live(args, phrasebook: Phrasebook, paper: Paper, page: Page | None) -> Stage:
    """Whatever there is of keys, microphone and loudspeaker; what is missing is told once, a line each."""
    inbox: queue.SimpleQueue = queue.SimpleQueue()
    kept, fault = sound_settings.read(home())
    told: dict[str, None] = dict.fromkeys(filter(None, [fault]))
    canceller = _canceller()
    microphone = None if args.typed else _microphone(args, kept, phrasebook, told, canceller)
    figures = Figures()
    voice = _voice(args, kept, phrasebook, inbox, told, figures, canceller)
    wanted = _with_options(kept, args)
    if wanted != kept:
        told |= dict.fromkeys(filter(None, [sound_settings.write(home(), wanted)]))
    for text in told:
        paper.show(as_typed(text), "note")
    by_hand = _by_hand(args, phrasebook, paper)
    attention = _attention(wanted, microphone.ear if microphone else None)

    def are_apart() -> bool:
        devices = (microphone.device, voice.device) if microphone is not None else ()
        apart = bool(devices) and wanted.apart == devices
        canceller.on = not apart
        return apart

    def tell_figures() -> None:
        with suppress(OSError):  # nobody's place depends on them
            figures.write(home())
        _tell(figures, args, paper)

    sources = filter(None, [microphone, by_hand, page])
    return LiveStage(
        inbox, voice, paper, sources, attention, keep_ears, are_apart, figures, tell_figures, microphone, keep_word
    )


def _with_options(kept: SoundSettings, args) -> SoundSettings:
    """What the options ask for is kept from now on."""
    asked = {name: getattr(args, name) for name in ("listen", "tones", "microphone", "loudspeaker")}
    return replace(kept, **{name: value for name, value in asked.items() if value is not None})


def keep_ears(ears: Attention) -> str:
    """Write down how to listen from now on; a sentence where that fails."""
    kept, _ = sound_settings.read(home())
    wanted = replace(kept, listen=str(ears.way), tones=ears.tones)
    return sound_settings.write(home(), wanted) if wanted != kept else ""


def keep_word(word: KeepWord) -> str:
    """Write down what a word of the maker's means from now on; a sentence where that fails."""
    file = home() / WORDS
    try:
        text = file.read_text("utf-8") if file.is_file() else ""
        _, fault = own_words(text)
        if not fault:
            write_whole(file, changed(text, word.word, word.meaning))
    except (OSError, UnicodeDecodeError) as error:
        fault = f"{WORDS} can't be written: {error}."
    return fault and f"That holds until the end only. {fault}"


def _by_hand(args, phrasebook: Phrasebook, paper: Paper) -> Source:
    if not args.typed and sys.stdin is not None and sys.stdin.isatty():
        source, key = Keys(phrasebook, sys.stdout), "keys"
    else:
        source, key = Lines(input_lines()), "lines"
    paper.show(sentence(phrasebook, [Message(key)]), "note")
    return source


def _canceller() -> EchoCanceller:
    """What takes the coach out of the microphone."""
    from coach.sound.echo import EchoCanceller

    return EchoCanceller()


def _microphone(
    args, kept: SoundSettings, phrasebook: Phrasebook, told: dict[str, None], canceller: EchoCanceller
) -> Listening | None:
    """Raises NoDevice where one was asked for by a name that is none."""
    from coach.sound.ear_process import EarProcess
    from coach.sound.errors import NoDevice, SoundError

    def open_(name: str | None) -> Listening:
        ear = partial(ear_for, args.ear, args.language)
        return Listening(lambda: EarProcess(ear), phrasebook, name, cleaned=canceller.feed)

    try:
        listening = _by_name(args.microphone, kept.microphone, open_, told)
    except SoundError as fault:
        if isinstance(fault, NoDevice) and args.microphone:
            raise
        told[str(fault)] = None
        return None
    if listening.fault:
        told[listening.fault] = None
    return listening


def _voice(
    args,
    kept: SoundSettings,
    phrasebook: Phrasebook,
    inbox: queue.SimpleQueue,
    told: dict[str, None],
    figures: Figures,
    canceller: EchoCanceller,
):
    """Raises NoDevice where one was asked for by a name that is none, and what a file for `--speak` raises."""
    from coach.sound.errors import NoDevice, SoundError
    from coach.sound.mouth import EngineMouth
    from coach.sound.player import FilePlayer, LivePlayer

    mouth = EngineMouth(phrasebook.voice or None)

    def open_(name: str | None) -> PlayedVoice:
        live = partial(LivePlayer, name=name, played=canceller.played)
        player_for = (lambda tell: FilePlayer(args.speak, tell)) if args.speak else live
        return PlayedVoice(mouth, player_for, inbox.put, phrasebook, figures.action_to_sound.append)

    try:
        mouth.say(READY)  # the engine has started: opening a loudspeaker stalls on some machines that are busy
        return _by_name(args.loudspeaker, kept.loudspeaker, open_, told)
    except SoundError as fault:
        mouth.close()
        if args.speak or isinstance(fault, NoDevice) and args.loudspeaker:
            raise
        told[str(fault)] = None
        return NoVoice(inbox.put)


def _by_name(asked: str | None, kept: str, open_: Callable[[str | None], T], told: dict[str, None]) -> T:
    """A device by the name asked for now, or the one kept; where that one is not there, the usual one."""
    from coach.sound.errors import NoDevice

    try:
        return open_((kept if asked is None else asked) or None)
    except NoDevice as fault:
        if asked is not None or not kept:
            raise
        opened = open_(None)
        told[f"{fault.message} I take the usual one."] = None
        return opened


def ear_for(name: str | None, language: str, grammar: Grammar = Grammar(())) -> Ear:
    """The ear of that name, or the best there is; it is fed with samples and told what can be said. Raises EarError."""
    from coach.sound.listen import best_ear

    return best_ear(grammar, name, language=language, own=home() / TAUGHT)
