"""Recaps, the maker's own notes, markers, stitches by number, and the state of the parts."""

from __future__ import annotations

from pathlib import Path

import pytest
from harbour_works import BODY, INC, SEAL, fabric, part, rnd, sc, works
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric as fabrics
from coach import notation
from coach.fabric.chunks import BY
from coach.fabric.tree import Loop, Run
from coach.guide.machine import answer, begin
from coach.guide.model import OwnNote, Place, Request, Settings, State
from coach.guide.places import done_in_round, length, stop_after, worked_at
from coach.guide.returning import recap
from coach.language.phrasebook import load
from coach.language.speak import sentence

ENGLISH = load("en")
PATTERNS = sorted((Path(__file__).parents[2] / "patterns").glob("*.md"))
NEXT, UNDO = Request("next"), Request("undo")
AT = State(Place(0, 0, 2, 4), 6)  # in the second repeat of (sc 2, inc) x 4


def led(work, *asked: Request, state: State = State()) -> State:
    for request in asked:
        state, _ = answer(work, state, request)
    return state


def keys(messages) -> list[str]:
    return [m.key for m in messages]


def told(work, state: State, name: str, value=None) -> list[str]:
    return keys(answer(work, state, Request(name, value))[1].messages)


def words(messages) -> int:
    return len(sentence(ENGLISH, messages).split())


def ends(work, by: str):
    """Every place at which the work can stand when so much is read out at once."""
    for p, part_ in enumerate(work.parts):
        for r, worked in enumerate(part_.rounds):
            steps = 0
            while steps < length(worked):
                yield Place(p, part_.make - 1, r, steps)
                steps = stop_after(work, Place(p, 0, r, steps), by)
    yield from (Place(len(work.parts), 0, 0, steps) for steps in range(len(work.assembly)))


class TestRecap:
    def test_what_is_told_in_which_order(self):
        assert keys(recap(SEAL, AT)) == ["part", "round", "repeats", "recap_repeats", "last_done", "do_next_again"]

    def test_the_numbers_are_those_of_the_place(self):
        told_ = {m.key: m.values for m in recap(SEAL, AT)}
        assert told_["recap_repeats"] == {"done": 5, "made": 16, "repeats": 1}
        assert told_["repeats"]["times"] == 4 and told_["last_done"]["repeat"][0] is not INC

    def test_what_comes_next_is_not_told_twice(self):
        whole_repeat = State(Place(0, 0, 2, 3), 6)
        assert "repeats" not in keys(recap(SEAL, whole_repeat))
        assert keys(recap(SEAL, State(Place(0, 0, 3), 16))) == ["part", "round", "last_round", "do_next"]

    def test_nothing_announced_yet_it_tells_what_would_be(self):
        (*_, then) = recap(SEAL, State(Place(0, 0, 2, 3), 3))
        assert then.values["time"] == 2 and sum(t.steps for t in then.values["repeat"]) == 3

    def test_in_a_note_at_a_pieces_end_and_in_the_assembly(self):
        assert keys(recap(SEAL, State(Place(0, 0, 3, 16), 17))) == ["part", "round", "done", "note"]
        assert keys(recap(SEAL, State(Place(0, 0, 5)))) == ["piece_done", "then_part"]
        assert keys(recap(SEAL, State(Place(2, 0, 0, 1), 2))) == ["assembly_at", "note"]

    @given(works, st.integers(0, 80), st.sampled_from(BY))
    def test_it_changes_nothing_and_ends_in_what_is_announced(self, work, n, by):
        state, _ = begin(work, State())
        state = led(work, Request("by", by), *[NEXT] * n, state=state)
        after, reply = answer(work, state, Request("recap"))
        assert after.having(said=()) == state.having(said=()) and reply.messages

    @pytest.mark.parametrize("path", PATTERNS, ids=[p.stem for p in PATTERNS])
    @pytest.mark.parametrize("by", BY)
    def test_twenty_five_words_at_most_at_every_place_of_the_coachs_own_patterns(self, path, by):
        """Where a note or a step of the making up comes next, it is the pattern's own words: these are not cut."""
        pattern = notation.read(path.read_text("utf-8"))
        for size in range(max(len(pattern.sizes), 1)):
            work = fabrics.work(pattern, size)
            for place in ends(work, by):
                state = State(place, stop_after(work, place, by), Settings(by))
                told_ = recap(work, state)
                text = sentence(ENGLISH, told_)
                worked = worked_at(work, place)
                if worked and place.steps < worked.steps:
                    assert len(text.split()) <= 25, text
                    assert {m.key for m in told_} & {"do_next", "do_next_time", "do_next_again"} and "Next: " in text
                    assert not place.steps or "Last: " in text
                elif worked or place.part == len(work.parts):
                    own = sum(len(str(m.values["text"]).split()) for m in told_ if m.key == "note")
                    assert len(text.split()) - own <= 14, text

    def test_after_a_new_start_it_comes_by_itself_once(self):
        state, reply = begin(SEAL, AT)
        assert keys(reply.messages) == ["title", *keys(recap(SEAL, AT))]
        assert answer(SEAL, state, NEXT)[1].messages[0].key == "steps_time"

    def test_the_longer_story_of_the_part(self):
        assert told(SEAL, AT.having(worked=7_500.0), "recap_part") == [
            "part", "part_rounds", "grown", "total", *keys(recap(SEAL, AT))[1:], "worked"]

    def test_the_story_has_the_notes_of_the_whole_part_each_once(self):
        notes = (OwnNote(Place(0, 0, 0), "in round one"), OwnNote(Place(0, 0, 2, 1), "here"), OwnNote(Place(1), "fin"))
        _, reply = answer(SEAL, AT.having(notes=notes), Request("recap_part"))
        assert [m.values["own"] for m in reply.messages if m.key.startswith("own_note")] == ["here", "in round one"]

    def test_in_the_assembly_the_story_is_the_recap(self):
        assert told(SEAL, State(Place(2)), "recap_part") == keys(recap(SEAL, State(Place(2))))


class TestNotes:
    def test_a_note_is_read_at_its_place_and_in_the_recap(self):
        state = led(SEAL, Request("note", "too tight"), state=AT)
        assert state.notes == (OwnNote(AT.place, "too tight"),)
        assert "own_note" in keys(recap(SEAL, state))
        away = led(SEAL, Request("go_round", 2), state=state)
        assert "own_note" not in keys(recap(SEAL, away))
        back, reply = answer(SEAL, led(SEAL, Request("go_round", 3), NEXT, state=away), Request("repeat"))
        assert keys(reply.messages)[0] == "own_note" and back.place.steps == 3

    def test_it_is_read_for_the_other_piece_too(self):
        state = State(Place(1, 0, 0, 0), 5, notes=(OwnNote(Place(1, 0, 1, 2), "half-way"),))
        _, reply = answer(SEAL, state.having(place=Place(1, 1, 0, 0)), NEXT)
        assert keys(reply.messages)[0] == "own_note"

    def test_an_empty_note_is_asked_for_and_all_can_be_heard(self):
        assert told(SEAL, AT, "note") == told(SEAL, AT, "note", "  ") == ["what_note"]
        assert told(SEAL, AT, "my_notes") == ["no_notes"]
        state = led(SEAL, *(Request("note", f"n{i}") for i in range(9)), state=AT)
        assert told(SEAL, state, "my_notes") == ["own_note_at"] * 5

    def test_the_words_are_kept_as_they_are(self):
        state = led(SEAL, Request("note", " Hook 4 {mm}. "), state=AT)
        _, reply = answer(SEAL, state, Request("my_notes"))
        assert sentence(ENGLISH, reply.messages) == "Your note at Body, round 3: Hook 4 {mm}."

    def test_it_can_be_undone(self):
        assert led(SEAL, Request("note", "x"), UNDO, state=AT).notes == ()

    def test_the_last_one_of_this_round_is_forgotten_first(self):
        state = led(SEAL, Request("note", "one"), Request("note", "two"), Request("go_round", 2), Request("note", "three"),
                    Request("go_round", 3), Request("forget_note"), state=AT)
        assert [n.text for n in state.notes] == ["one", "three"]
        away = led(SEAL, Request("go_round", 4), Request("forget_note"), state=state)
        assert [n.text for n in away.notes] == ["one"]
        assert [n.text for n in led(SEAL, UNDO, state=away).notes] == ["one", "three"]
        assert led(SEAL, Request("forget_note"), state=away).notes == () and told(SEAL, AT, "forget_note") == ["no_notes"]


class TestMarkers:
    def test_back_to_the_one_set_last_then_to_the_one_before(self):
        state = led(SEAL, Request("mark"), NEXT, Request("mark"), NEXT, NEXT, state=AT)
        once = led(SEAL, Request("go_marker"), state=state)
        twice = led(SEAL, Request("go_marker"), state=once)
        assert (once.place.steps, twice.place.steps) == (6, 4)
        assert led(SEAL, Request("go_marker"), state=twice).place == once.place

    def test_in_another_piece_what_is_left_is_kept(self):
        state = led(SEAL, Request("mark"), Request("next_part"), NEXT, state=AT)
        there = led(SEAL, Request("go_marker"), state=state)
        assert there.place == AT.place and there.left[-1][0] == state.place
        assert led(SEAL, Request("back"), state=there).place == state.place

    def test_the_same_place_is_marked_once_and_undone(self):
        state = led(SEAL, Request("mark"), Request("mark"), state=AT)
        assert state.markers == (AT.place,)
        assert led(SEAL, UNDO, UNDO, state=state).markers == ()
        assert told(SEAL, AT, "go_marker") == ["no_marker"]


class TestStitches:
    @given(works, st.integers(0, 30), st.integers(1, 30))
    def test_the_stitch_with_a_number_is_the_next_to_be_made(self, work, n, number):
        state, _ = begin(work, State())
        state = led(work, *[NEXT] * n, state=state)
        worked = worked_at(work, state.place)
        after, _ = answer(work, state, Request("go_stitch", number))
        if worked and 0 < number <= worked.made:
            made = done_in_round(work, after.place)
            assert made < number <= made + worked.step_at(after.place.steps).makes
            assert after.announced == stop_after(work, after.place, after.settings.by)
        else:
            assert after.place == state.place

    def test_what_there_is_not_is_said(self):
        assert told(SEAL, AT, "go_stitch") == ["which_one"]
        assert told(SEAL, AT, "go_stitch", 17) == told(SEAL, AT, "go_stitch", 0) == ["no_such_stitch"]
        assert told(SEAL, State(Place(2)), "go_stitch", 3) == ["no_rounds_here"]


class TestParts:
    def test_what_is_finished_what_remains_and_how_long(self):
        state = led(SEAL, Request("go_part", "flipper"), NEXT, NEXT, state=AT).having(worked=600.0)
        assert told(SEAL, state, "parts") == ["pieces_done", "part", "under_way", "part_of", "worked"]
        _, reply = answer(SEAL, state, Request("parts"))
        assert reply.messages[0].values == {"done": 1, "pieces": 3}

    def test_when_all_is_made(self):
        assert told(SEAL, State(Place(2)), "parts") == ["pieces_done"]

    def test_names_are_matched_by_their_letters(self):
        named = fabric(part("Left Fin", rnd(1, sc())), part("Right-Fin", rnd(1, sc())))
        assert led(named, Request("go_part", "right fin")).place == Place(1)
        assert told(named, State(), "go_part", "tail") == ["no_such_part", "part", "part"]
        assert told(named, State(), "go_part") == ["no_such_part", "part", "part"]

    def test_two_parts_of_one_name_are_made_one_after_the_other(self):
        twins = fabric(part("Fin", rnd(1, sc())), part("Body", rnd(1, sc())), part("Fin", rnd(1, sc())))
        state = led(twins, NEXT, Request("go_part", "fin"))
        assert state.place == Place(0, 0, 0)
        finished = led(twins, NEXT, Request("go_part", "fin"), state=state)
        assert finished.place == Place(2)

    def test_many_parts_are_told_in_part(self):
        fleet = fabric(*(part(f"Boat {i}", rnd(1, Loop(Run((sc(), INC)), 3))) for i in range(8)))
        assert told(fleet, State(), "parts").count("part") == 5 and told(fleet, State(), "parts")[-1] == "and_more"

    def test_time_is_told_in_hours_and_minutes(self):
        for seconds, minutes in ((29.0, None), (61.0, "1 minute of work."), (7_500.0, "2 hours and 5 minutes of work."),
                                 (3_600.0, "1 hour of work.")):
            _, reply = answer(fabric(BODY), State(worked=seconds), Request("parts"))
            assert (minutes in sentence(ENGLISH, reply.messages)) if minutes else reply.messages[-1].key != "worked"
