"""The paper of the page: what is printed is what is shown, and not before it is saved."""

from __future__ import annotations

import io
import json

from held import choosing, working

from coach.conversation import Conversation
from coach.events import Typed
from coach.live import JsonPaper, Paper, Session
from coach.page.board import Board
from coach.page.paper import PagePaper


class Silent:
    """A voice that speaks nothing and is never done."""

    speaking = False

    def say(self, number, text): ...

    def silence(self): ...

    def tone(self, kind): ...

    def adjust(self, rate, volume): ...


class Recorded(Board):
    """A board that remembers."""

    def __init__(self) -> None:
        super().__init__()
        self.views: list[dict] = []

    def lay(self, text: str) -> None:
        super().lay(text)
        self.views.append(json.loads(text))


def session(topic, board, paper=None, keep=lambda save: ()):
    found = Session(Conversation(topic), Silent(), PagePaper(paper or Paper(io.StringIO()), board), keep)
    found.start()
    return found


def test_each_answer_is_one_view_with_the_words_heard_and_said():
    board = Recorded()
    talk = session(working(), board)
    talk.take(Typed("next"))
    talk.take(Typed("how many left"))
    assert [(v["heard"], v["said"][:8]) for v in board.views] == [
        ("", "Mooring "),
        ("next", "Round 1."),
        ("how many left", "6 stitch"),
    ]


def test_the_request_is_saved_before_the_page_shows_where_it_led():
    """Promise 1, for the eye."""
    board, seen = Recorded(), []
    talk = session(working(), board, keep=lambda save: seen.append((save.heard, len(board.views))) or ())
    talk.take(Typed("next"))
    talk.take(Typed("next"))
    assert seen == [("next", 1), ("next", 2)]
    assert len(board.views) == 3


def test_an_answer_without_words_changes_the_page_too():
    board = Recorded()
    talk = session(working(), board)
    talk.take(Typed("next"))
    talk.take(Typed("count me through"))
    assert board.views[-1]["situation"] == "counting"
    talk.take(Typed("stop"))
    assert board.views[-1]["heard"] == "stop"
    assert board.views[-1]["situation"] == "working"


def test_a_note_is_shown_until_something_is_said():
    board = Recorded()
    talk = session(working(), board)
    talk.take(Typed("flurb"))
    assert board.views[-1]["note"] == "I don't know that. Say help."
    assert board.views[-1]["said"].startswith("Mooring buoy.")
    talk.take(Typed("next"))
    assert board.views[-1]["note"] == ""


def test_the_paper_behind_shows_the_same_as_without_a_page():
    plain, behind = io.StringIO(), io.StringIO()
    alone = Session(Conversation(working()), Silent(), Paper(plain))
    alone.start()
    watched = session(working(), Recorded(), Paper(behind))
    for line in ("next", "flurb", "count so far", "undo"):
        alone.take(Typed(line))
        watched.take(Typed(line))
    assert behind.getvalue() == plain.getvalue() != ""


def test_json_lines_are_the_same_as_without_a_page():
    out = io.StringIO()
    paper = PagePaper(JsonPaper(out), Recorded())
    talk = Session(Conversation(working()), Silent(), paper)
    talk.start()
    for line in ("next", "flurb"):
        talk.take(Typed(line))
        paper.end_of_line(line)
    first, second = map(json.loads, out.getvalue().splitlines())
    assert (first["request"], first["of"]) == ("next", 6)
    assert (second["heard"], second["request"], second["said"]) == ("flurb", None, "I don't know that. Say help.")


def test_what_is_shown_before_any_conversation_is_on_no_page():
    board = Recorded()
    PagePaper(Paper(io.StringIO()), board).show("Keys: space is next.", "note")
    assert board.views == []


def test_another_topic_begins_with_an_empty_page():
    board = Recorded()
    paper = PagePaper(Paper(io.StringIO()), board)
    for topic in (choosing(), working()):
        Session(Conversation(topic), Silent(), paper).start()
    assert [v["situation"] for v in board.views] == ["choosing", "working"]
    assert "Which" not in board.views[1]["said"]
