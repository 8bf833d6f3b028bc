"""How rounds and pieces begin and end, in messages."""

from __future__ import annotations

from harbour_works import BODY, SEAL, fabric, part, rnd, sc

from coach.fabric.model import Yarn
from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.announce import announced_trees, left, read_round, round_head, welcome, where
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, State
from coach.notation.model import RING, Action, Chain, Fault, Note, Span, Unread

NEXT = Request("next")


def keys(messages) -> list[str]:
    return [m.key for m in messages]


def walk(work, nexts: int, state: State = State()):
    """What is said at each next, as keys."""
    state, reply = begin(work, state)
    said = [keys(reply.messages)]
    for _ in range(nexts):
        state, reply = answer(work, state, NEXT)
        said.append(keys(reply.messages))
    return said


def test_a_part_from_its_first_word_to_its_last():
    assert walk(SEAL, 11) == [
        ["title", "part", "say_next"],
        ["round", "foundation", "steps", "makes"],
        ["round", "steps", "makes"],
        ["round", "steps_time"],
        ["steps_time"],
        ["steps_time"],
        ["steps_time", "makes"],
        ["round", "steps", "makes"],
        ["note", "caution_filling"],
        ["round_same", "steps", "makes"],
        ["piece_done", "then_part"],
        ["part_of", "note"],
    ]


def test_the_second_piece_is_begun_without_the_notes_again():
    state = State(Place(1, 0, 1), 5)
    assert walk(SEAL, 3, state)[1:] == [
        ["piece_done_of", "then_piece"],
        ["part_of", "round", "foundation", "steps", "makes"],
        ["round", "steps", "makes"],
    ]


def test_the_last_piece_leads_to_the_assembly_and_that_to_the_end():
    state = State(Place(1, 1, 1), 5)
    end = ["all_done"]
    assert walk(SEAL, 5, state)[1:] == [["piece_done_of", "then_assembly"], ["note"], ["note", "caution_needle"], end, end]


def test_without_assembly_the_last_piece_is_the_end():
    assert walk(fabric(part("Buoy", rnd(1, sc()))), 3)[2:] == [["piece_done", "all_done"], ["all_done"]]


def test_a_part_without_rounds_is_told_with_its_notes():
    eyes = part("Eyes", notes=(Note("Cut two dots of felt."),))
    assert walk(fabric(part("Head", rnd(1, sc())), eyes, BODY), 4)[2:] == [
        ["piece_done", "then_part"],
        ["part", "note", "then_part"],
        ["part", "round", "foundation", "steps", "makes"],
    ]


def test_a_work_of_nothing_is_done():
    assert walk(fabric(), 1) == [["title", "all_done", "say_next"], ["all_done"]]


def test_cautions_of_the_pattern_come_first():
    work = fabric(BODY, notes=(Note("Small parts: not for a baby.", "caution"), Note("Made one winter.")))
    assert keys(welcome(work, Place())) == ["title", "note", "part", "notes_offered", "say_next"]


def test_notes_are_offered_where_there_is_more_than_was_said():
    for text, kind, offered in (("Level: Easy.", "note", False), ("Small parts: not for a baby.", "caution", False), ("Carry the yarn.", "note", True)):
        assert ("notes_offered" in keys(welcome(fabric(BODY, notes=(Note(text, kind),)), Place()))) == offered


class TestRoundHead:
    def test_side_and_colour_are_said_when_given(self):
        black, orange = Yarn("", "black", "black"), Yarn("black", "orange", "orange")
        work = fabric(part("Puffin", rnd(1, sc(), side="RS", yarn=black), rnd(2, sc(), side="WS", yarn=Yarn("black", "black", "black")),
                           rnd(3, sc(), yarn=orange)))
        heads = [keys(round_head(work, Place(round=r))) for r in range(3)]
        assert heads == [["round", "right_side", "colour"], ["round", "wrong_side"], ["round", "colour"]]

    def test_wrong_arithmetic_is_said_once_and_the_round_worked_as_written(self):
        fault = Fault("count", "error", 1, 1, 2, "This makes 5, not 6.")
        warning = Fault("shape", "warning", 1, 1, 2, "This may ruffle.")
        work = fabric(part("Fin", rnd(1, Loop(sc(), 5), 6, faults=(warning, fault, fault)), rnd(2, sc())))
        assert walk(work, 2)[1:] == [["round", "off", "steps", "makes_but"], ["round", "steps", "makes"]]
        assert round_head(work, Place())[1].values["text"] == "This makes 5, not 6."

    def test_the_reading_that_was_chosen_is_said(self):
        told = ("Six times in all.",)
        work = fabric(part("Fin", rnd(1, sc(), readings=told), rnd(2, sc(), same=True, readings=told)))
        assert keys(round_head(work, Place())) == ["round", "reading"]
        assert keys(round_head(work, Place(round=1))) == ["round_same"]


class TestRing:
    def test_a_ring_that_the_text_only_works_into_is_made_first(self):
        chained = part("Lamp", rnd(1, Run((Leaf(Chain(1)), Loop(sc(RING), 6)))), rnd(2, Loop(sc(RING), 6)))
        assert keys(round_head(fabric(chained), Place())) == ["round", "foundation"]

    def test_a_ring_that_is_made_is_not_made_twice(self):
        ringed = Run((Leaf(Action("ring")), Loop(sc(RING), 6)))
        work = fabric(part("Lamp", rnd(1, ringed), rnd(2, sc()), rnd(3, Run(()))))
        assert [keys(round_head(work, Place(round=r))) for r in range(3)] == [["round"]] * 3


class TestNotes:
    SHORT, LONG = Note("Feel the edge of it."), Note("word " * 23)

    def test_short_ones_are_read_together_and_long_ones_alone(self):
        work = fabric(part("Fin", rnd(1, sc(), notes=(self.SHORT, self.SHORT, self.LONG, self.SHORT)), rnd(2, sc())))
        assert walk(work, 5)[2:] == [["note", "note"], ["note"], ["note"], ["round", "steps", "makes"]]


class TestAsWritten:
    TEXT = "Rnd 1: wave the yarn about."
    ROUND = rnd(1, Run(()), body=(Unread("wave the yarn about", Span(7, 26)),), span=Span(0, 27))

    def test_a_round_without_steps_is_read_and_passed(self):
        work = fabric(part("Fin", self.ROUND, rnd(2, sc())), text=self.TEXT)
        assert walk(work, 2)[1:] == [["round", "as_written"], ["round", "steps", "makes"]]

    def test_its_words_are_the_patterns(self):
        work = fabric(part("Fin", self.ROUND), text=self.TEXT)
        assert read_round(work, Place())[1].values["text"] == "wave the yarn about"

    def test_a_round_without_a_body_is_read_from_after_its_label(self):
        work = fabric(part("Fin", rnd(1, Run(()), span=Span(0, 27))), text=self.TEXT)
        assert read_round(work, Place())[1].values["text"].strip() == "wave the yarn about."


class TestHowFar:
    def test_where_tells_piece_round_and_stitches(self):
        assert keys(where(SEAL, Place(1, 1, 1, 2))) == ["part_of", "round", "done"]

    def test_left_counts_stitches_and_repeats(self):
        stitches, repeats = left(SEAL, Place(0, 0, 2, 4))
        assert stitches.values == {"left": 11} and repeats.values == {"left": 2}

    def test_a_round_of_slip_stitches_is_counted_in_steps(self):
        edge = fabric(part("Edge", rnd(1, Loop(Leaf(Action("join")), 5))))
        assert left(edge, Place(steps=2))[0].values == {"left": 3}
        assert where(edge, Place(steps=2))[-1].values == {"done": 2, "steps": 5}

    def test_reading_it_back_gives_the_round_and_how_much_is_done(self):
        assert keys(read_round(SEAL, Place(0, 0, 2, 4))) == ["round", "steps", "makes", "done"]

    def test_at_a_pieces_end_they_say_that(self):
        for tell in (where, left, read_round):
            assert keys(tell(SEAL, Place(0, 0, 5))) == ["piece_done", "then_part"]

    def test_in_the_assembly_they_count_its_steps(self):
        assert keys(where(SEAL, Place(2, 0, 0, 1))) == ["assembly_at"]
        assert keys(read_round(SEAL, Place(2, 0, 0, 1))) == ["note"]


def test_the_steps_announced_are_those_up_to_the_announced_place():
    state = State(Place(0, 0, 2, 3), 6)
    assert sum(t.steps for t in announced_trees(SEAL, state)) == 3
    assert announced_trees(SEAL, State(Place(0, 0, 2, 3), 3)) == ()
    assert announced_trees(SEAL, State(Place(0, 0, 3, 16), 17)) == ()
