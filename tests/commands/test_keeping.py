"""What the maker hears when the place can't be saved, while it can't, and when it is saved again."""

from __future__ import annotations

import io
import sqlite3
from pathlib import Path

import pytest

from coach import fabric, notation
from coach.commands.work import keeper
from coach.conversation import Conversation
from coach.events import SpeechDone, Typed
from coach.language.phrasebook import load
from coach.live import Paper, Session
from coach.memory import schema
from coach.memory.journal import Journal
from coach.topics import Working
from coach.voices import NoVoice

TEXT = (Path(__file__).parents[2] / "patterns" / "buoy.md").read_text("utf-8")


class Spoken(NoVoice):
    """A voice that keeps what it is given to say."""

    def __init__(self) -> None:
        super().__init__(lambda item: None)
        self.said: list[str] = []

    def say(self, number: int, text: str) -> None:
        self.said.append(text)
        super().say(number, text)


class Disk:
    """A disk that can be write-protected and given back."""

    def __init__(self) -> None:
        self.open: list[sqlite3.Connection] = []
        self.works = True

    def connect(self, path: Path) -> sqlite3.Connection:
        con = schema.connect(path)
        self.open.append(con)
        self._set(con)
        return con

    def turn(self, works: bool) -> None:
        self.works = works
        for con in self.open:
            self._set(con)

    def _set(self, con: sqlite3.Connection) -> None:
        try:
            con.execute(f"PRAGMA query_only = {'OFF' if self.works else 'ON'}")
        except sqlite3.ProgrammingError:
            pass  # it was let go of


@pytest.fixture
def evening(tmp_path):
    """A session, its voice, the disk, and the journal."""
    disk = Disk()
    with Journal.open(tmp_path / "journal.db", connect=disk.connect) as journal:
        work = journal.begin("Mooring buoy", TEXT, "buoy.md")
        book = load("en")
        topic = Working(fabric.work(notation.read(TEXT)), book, journal.resume(work))
        voice = Spoken()
        session = Session(Conversation(topic), voice, Paper(io.StringIO()), keeper(journal, work, book))
        session.start()
        yield session, voice, disk, journal


def ask(session: Session, voice: Spoken, line: str) -> str:
    session.take(Typed(line))
    session.take(SpeechDone(session.conversation.number))
    return voice.said[-1]


def test_it_is_said_aloud_once_and_so_is_that_it_is_saved_again(evening):
    session, voice, disk, journal = evening
    assert ask(session, voice, "next").startswith("Round 1.")
    disk.turn(works=False)
    assert ask(session, voice, "next").startswith(
        "I may not write to the journal. Your place is kept in memory only. I will keep trying to save it. Round 2.")
    assert ask(session, voice, "next").startswith("Round 3.")  # said once; the work goes on
    disk.turn(works=True)
    assert ask(session, voice, "next").startswith("Your place is saved again. Single crochet")
    assert ask(session, voice, "go back").startswith("Round 3.")
    with Journal.open(journal.path) as other:
        (work,) = other.works()
        assert [turn.heard for turn in other.turns(work) if turn.request] == ["next"] * 4 + ["go back"]


def test_who_finishes_meanwhile_hears_that_nothing_is_saved(evening):
    session, voice, disk, _ = evening
    ask(session, voice, "next")
    disk.turn(works=False)
    assert ask(session, voice, "finished for now").startswith("Your place is not saved. I may not write to the journal. Buoy. Round 1.")


def test_who_finishes_after_it_is_saved_again_hears_that_it_is_kept(evening):
    session, voice, disk, _ = evening
    disk.turn(works=False)
    ask(session, voice, "next")
    disk.turn(works=True)
    assert ask(session, voice, "finished for now").startswith("Your place is kept. Buoy. Round 1.")
