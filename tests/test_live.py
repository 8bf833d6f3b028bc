"""Sessions and stages: what a conversation asks for is done, in order, by the voice, the paper and the journal."""

from __future__ import annotations

import io
import json
import queue
import time
from collections import deque
from pathlib import Path

import pytest

from coach import fabric, notation
from coach.attention import Attention, Way
from coach.conversation import Conversation
from coach.events import Heard, Notice, Quit, Save, SpeechDone, Typed
from coach.figures import Figures
from coach.language.phrasebook import load
from coach.live import Ended, JsonPaper, LiveStage, Paper, Session, TypedStage
from coach.memory.journal import Journal
from coach.sources import Lines
from coach.topics import Choosing, Working
from coach.voices import NoVoice

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
ENGLISH = load("en")


def buoy() -> Working:
    return Working(BUOY, ENGLISH)


class Witness:
    """A voice that writes down when it is asked for what; nobody hears it."""

    def __init__(self, diary: list):
        self.diary = diary
        self.speaking = False

    def say(self, number, text):
        self.speaking = True
        self.diary.append(("say", text))

    def silence(self):
        self.speaking = False
        self.diary.append(("silence",))

    def tone(self, kind):
        self.diary.append(("tone", kind))

    def adjust(self, rate, volume):
        self.diary.append(("adjust", rate))

    def look(self): ...

    def events(self, item):
        return [item]

    def close(self):
        self.diary.append(("close",))


# ---- a session

def test_the_journal_has_the_request_when_the_voice_is_asked_to_answer(tmp_path):
    """Promise 1, through the whole session: at the moment of speaking another process would read the request."""
    diary = []
    with Journal.open(tmp_path / "journal.db") as journal:
        work = journal.begin("Mooring buoy", BUOY.pattern.text, "buoy.md")

        class Looking(Witness):
            def say(self, number, text):
                with Journal.open(tmp_path / "journal.db") as other:
                    diary.append([turn.said for turn in other.turns(work)][-1])
                super().say(number, text)

        def keep(save: Save):
            journal.record(work, save.request, save.answer.state, save.heard, save.answer.said)
            return journal.news()

        session = Session(Conversation(buoy()), Looking(diary), Paper(io.StringIO()), keep)
        session.start()
        diary.clear()
        for line in ("next", "count", "undo"):
            session.take(Typed(line))
    spoken = [entry[1] for entry in diary if isinstance(entry, tuple) and entry[0] == "say"]
    in_journal = [entry for entry in diary if isinstance(entry, str)]
    assert len(spoken) == 3
    assert in_journal == spoken


def test_what_the_journal_has_to_say_is_said_before_the_answer_and_once():
    diary, out = [], io.StringIO()
    news = [["The disk is full."], [], []]
    session = Session(Conversation(buoy()), Witness(diary), Paper(out), lambda save: news.pop(0))
    session.start()
    session.take(Typed("next"))
    session.take(Typed("next"))
    said = [entry[1] for entry in diary if entry[0] == "say"]
    assert said[1].startswith("The disk is full. Round 1.")
    assert said[2].startswith("Round 2.")
    assert said == out.getvalue().splitlines()


def test_news_before_an_answer_without_words_are_said_with_the_next():
    diary = []
    news = [["The disk is full."], [], []]
    session = Session(Conversation(buoy()), Witness(diary), Paper(io.StringIO()), lambda save: news.pop(0))
    session.start()
    session.take(Typed("stop"))
    session.take(Typed("next"))
    assert diary[-1][1].startswith("The disk is full.")


def test_a_session_is_over_when_the_last_answer_has_been_heard():
    voice = Witness([])
    session = Session(Conversation(buoy()), voice, Paper(io.StringIO()))
    session.start()
    assert not session.over
    session.take(Typed("finished for now"))
    assert not session.over
    voice.speaking = False
    assert session.over


def test_an_unsure_word_is_a_tone_and_no_line():
    diary, out = [], io.StringIO()
    session = Session(Conversation(buoy()), Witness(diary), Paper(out))
    session.start()
    session.take(SpeechDone(1, ago=1.0))
    before = out.getvalue()
    session.take(Heard("next", sure=False))
    assert diary[-1] == ("tone", "unsure")
    assert out.getvalue() == before


# ---- paper

def test_a_line_for_the_maker_and_a_line_for_the_coach():
    out = io.StringIO()
    paper = Paper(out)
    paper.show("next step", "heard")
    paper.show("Round 1.")
    paper.show("The microphone is back.", "note")
    assert out.getvalue() == "> next step\nRound 1.\nThe microphone is back.\n"


def test_json_gives_one_line_for_a_line_whatever_it_leads_to():
    out, inbox = io.StringIO(), deque()
    lines = ["next", "flurb", "", "stop", "count"]
    stage = TypedStage(iter(lines), NoVoice(inbox.append), JsonPaper(out), inbox, lambda: None)
    assert stage.hold(buoy()) is Ended.INPUT
    told = [json.loads(line) for line in out.getvalue().splitlines()]
    assert [(t["heard"], t["request"]) for t in told] == [
        ("next", "next"), ("flurb", None), ("", None), ("stop", "stop"), ("count", "count")]
    assert told[1]["said"] == "I don't know that. Say help."
    assert told[2]["said"] == told[3]["said"] == ""
    assert {t["step"] for t in told} == {told[0]["step"]}  # nothing after the first moved the place


def test_json_of_a_choice_has_no_place_yet():
    out, inbox = io.StringIO(), deque()
    stage = TypedStage(iter(["two"]), NoVoice(inbox.append), JsonPaper(out), inbox, lambda: None)
    topic = Choosing(["Mooring buoy", "Seal"], ENGLISH)
    assert stage.hold(topic) is Ended.FINISHED
    told = json.loads(out.getvalue())
    assert (told["request"], told["part"], told["round"], told["stitch"]) == ("choose", None, None, 0)
    assert topic.chosen == 1


# ---- the typed stage

def test_two_conversations_are_held_one_after_another_on_one_input():
    out, inbox = io.StringIO(), deque()
    lines = iter(["one", "next", "bye", "left over"])
    stage = TypedStage(lines, NoVoice(inbox.append), Paper(out), inbox, lambda: None)
    assert stage.hold(Choosing(["Mooring buoy"], ENGLISH)) is Ended.FINISHED
    assert stage.hold(buoy()) is Ended.FINISHED
    assert out.getvalue().splitlines()[-1].endswith("Until next time.")


def test_notices_come_first():
    out, inbox = io.StringIO(), deque()
    stage = TypedStage(iter([]), NoVoice(inbox.append), Paper(out), inbox, lambda: None)
    stage.hold(buoy(), notices=["The journal was damaged."])
    assert out.getvalue().startswith("The journal was damaged.\nMooring buoy.")


# ---- the live stage

def live(lines, out, diary=None):
    inbox = queue.SimpleQueue()
    voice = NoVoice(inbox.put) if diary is None else Witness(diary)
    return LiveStage(inbox, voice, Paper(out), [Lines(iter(lines))])


def test_a_live_session_takes_what_its_sources_give_and_ends_with_them():
    out = io.StringIO()
    stage = live(["next", "where am i"], out)
    assert stage.hold(buoy()) is Ended.INPUT
    lines = out.getvalue().splitlines()
    assert lines[1].startswith("Round 1.")
    assert "Round 1." in lines[2]
    stage.close()


def test_a_live_session_ends_when_the_maker_says_so():
    def lines():
        yield "finished for now"
        time.sleep(60)  # a terminal that stays open
    out = io.StringIO()
    assert live(lines(), out).hold(buoy()) is Ended.FINISHED


def test_how_to_listen_is_written_down_when_it_was_asked_for_and_only_then():
    kept, out, inbox = [], io.StringIO(), queue.SimpleQueue()

    def keep_ears(ears: Attention) -> str:
        kept.append((ears.way, ears.tones))
        return "" if len(kept) < 3 else "How I listen is not kept: the disk is full."

    lines = ["next", "wait for your name", "no more tones", "count", "always listen"]
    stage = LiveStage(inbox, NoVoice(inbox.put), Paper(out), [Lines(iter(lines))], keep_ears=keep_ears)
    stage.hold(buoy())
    assert kept == [(Way.ATTENTION, True), (Way.ATTENTION, False), (Way.OPEN, False)]
    assert "How I listen is not kept: the disk is full. I listen all the time." in out.getvalue()


class Said(Lines):
    """A source whose lines are heard, each half a second long and 0.3 seconds ago."""

    def start(self, post):
        super().start(lambda typed: post(typed and Heard(typed.text, began=0.8, lasted=0.5)))


def test_how_quick_it_was_is_measured_from_the_end_of_the_word_to_the_answer():
    figures, inbox = Figures(), queue.SimpleQueue()
    said = Said(iter(["next step", "what a day", "undo that"]))
    stage = LiveStage(inbox, NoVoice(inbox.put), Paper(io.StringIO()), [said], Attention(apart=True),
                      apart=lambda: True, figures=figures)
    stage.hold(buoy())
    assert len(figures.word_to_action) == 2, "what does nothing is not measured"
    assert all(0.3 <= seconds < 3.0 for seconds in figures.word_to_action)


def test_notices_are_spoken_when_nothing_else_is():
    diary: list = []
    out = io.StringIO()
    inbox = queue.SimpleQueue()

    class Quick(NoVoice):
        def say(self, number, text):
            diary.append(text)
            super().say(number, text)

    stage = LiveStage(inbox, Quick(inbox.put), Paper(out), [Lines(iter([]))])
    inbox.put(Notice("The loudspeaker is back."))
    stage.hold(buoy(), notices=["The journal was damaged."])
    assert "The journal was damaged." in out.getvalue()
    assert "The loudspeaker is back." in out.getvalue()
    assert len(diary) >= 1


def test_the_end_of_the_speech_before_does_not_open_the_ears_of_the_next_conversation():
    """The first conversation's last speech is still playing when the second begins to speak."""
    out = io.StringIO()
    stage = live(["one"], out)
    stage.hold(Choosing(["Mooring buoy"], ENGLISH))
    spoken = stage._number
    second = Conversation(buoy(), spoken)
    second.begin()
    assert second.number > spoken
    second.take(SpeechDone(spoken))
    assert second.take(Heard("next step")) == ()


def test_quit_is_the_last_thing_of_a_conversation():
    conversation = Conversation(buoy())
    conversation.begin()
    assert isinstance(conversation.take(Typed("bye"))[-1], Quit)


def test_a_stage_gives_its_devices_back():
    diary: list = []
    live([], io.StringIO(), diary).close()
    assert diary[-1] == ("close",)


@pytest.mark.parametrize("kind", ["said", "note", "heard"])
def test_every_kind_of_line_reaches_paper_at_once(kind):
    """A braille display shows it now, not when a buffer is full."""
    class Slow(io.StringIO):
        flushed = 0

        def flush(self):
            self.flushed += 1
    out = Slow()
    Paper(out).show("Round 1.", kind)
    assert out.flushed
