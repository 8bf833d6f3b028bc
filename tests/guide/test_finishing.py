"""Cautions once, at their moment, and breaks at most once an hour: time is an argument, so an evening takes milliseconds."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from harbour_works import SEAL, fabric, part, rnd, sc
from hypothesis import given
from hypothesis import strategies as st

from coach.conversation import Conversation
from coach.events import Say, SpeechDone, TimePassed, Typed
from coach.fabric.tree import Loop
from coach.guide.finishing import cautions, rest
from coach.guide.machine import answer, begin
from coach.guide.model import Request, Settings, State
from coach.language.phrasebook import load
from coach.memory.states import from_json, to_json
from coach.notation.model import Note
from coach.topics import Working

NEXT = Request("next")
ENGLISH = load("en")
SAFETY = Path(__file__).resolve().parents[3] / "shared" / "reference" / "safety.toml"


def walked(*notes: Note, assembly: tuple[str, ...] = (), name: str = "Head") -> list[str]:
    """The cautions heard on the way through a part with these notes."""
    work = fabric(part(name, rnd(1, Loop(sc(), 6), notes=notes)), assembly=assembly)
    state, reply = begin(work, State())
    heard = [m.key for m in reply.messages]
    for _ in range(12):
        state, reply = answer(work, state, NEXT)
        heard += [m.key for m in reply.messages]
    return [key for key in heard if key.startswith("caution_")]


STUFF, EYES = Note("Stuff the head firmly.", "stuff"), Note("Fit the eyes.", "eyes")


class TestMoments:
    @pytest.mark.parametrize("notes, heard", [
        ((EYES,), ["caution_eyes"]),
        ((STUFF,), ["caution_filling"]),
        ((STUFF, STUFF), ["caution_filling"]),
        ((STUFF, EYES), ["caution_filling", "caution_eyes"]),
        ((Note("Sew on a button."),), ["caution_eyes"]),
        ((Note("Leave off cords and small buttons if it is for a baby."),), []),
        ((Note("Do not stuff.", "stuff"),), []),
        ((Note("Weave in the end."),), []),  # a needle can't get lost in what is not filled
        ((STUFF, Note("Sew up the hole.", "sew")), ["caution_filling", "caution_needle"]),
        ((Note("Sew on a 30 cm cord."),), ["caution_cord"]), ((Note("Sew on a 12 inch ribbon."),), ["caution_cord"]),
        ((Note("Sew on a 200 mm ribbon."),), []), ((Note("Leave a 40 cm tail of cord."),), []),
        ((Note("Mind the magnets.", "caution"),), []),
    ])
    def test_once_each_where_they_matter(self, notes, heard):
        assert walked(*notes) == heard

    def test_a_part_that_is_a_cord(self):
        assert walked(name="Carrying strap") == ["caution_cord"] and walked(name="Head") == []

    @pytest.mark.parametrize("given_", ["For a child under three, sew the eyes.", "A button is a small part.", "Use embroidered eyes."])
    def test_none_that_the_pattern_gives_itself(self, given_):
        assert walked(EYES, Note(given_, "caution")) == []

    def test_what_the_pattern_says_where_nobody_has_heard_it_by_then_is_not_enough(self):
        later = fabric(part("Head", rnd(1, Loop(sc(), 6), notes=(EYES,))), assembly=("For a child under three embroider the eyes.",))
        in_the_notes = fabric(part("Head", rnd(1, Loop(sc(), 6), notes=(EYES,))), notes=(Note("Embroider the eyes for a small child."),))
        for work in (later, in_the_notes):
            state, heard = begin(work, State())[0], []
            for _ in range(4):
                state, reply = answer(work, state, NEXT)
                heard += [m.key for m in reply.messages if m.key.startswith("caution_")]
            assert heard == ["caution_eyes"]

    def test_a_part_that_says_it_at_its_beginning_needs_no_more(self):
        for said, told in ((Note("Leave off cords for a small child."), False), (Note("Mind the knot."), True)):
            state, reply = begin(fabric(part("Strap", rnd(1, sc()), notes=(said,))), State())
            assert ("caution_cord" in [m.key for m in reply.messages]) == told

    def test_once_only_also_after_undo_and_back_and_from_the_journal(self):
        work = fabric(part("Head", rnd(1, Loop(sc(), 6), notes=(EYES,)), rnd(2, Loop(sc(), 6), notes=(EYES,))))
        state, _ = begin(work, State())
        heard = []
        for name in ("next", "next", "undo", "next", "back", "next", "next", "next"):
            state, reply = answer(work, from_json(to_json(state), state.before), Request(name))
            heard += [m.key for m in reply.messages if m.key.startswith("caution_")]
        assert heard == ["caution_eyes"]

    def test_repeat_says_it_again_word_for_word(self):
        work = fabric(part("Head", rnd(1, Loop(sc(), 6), notes=(EYES,))))
        state, _ = begin(work, State())
        state, _ = answer(work, state, NEXT)
        state, first = answer(work, state, NEXT)
        assert answer(work, state, Request("repeat"))[1].messages == first.messages


class TestFigures:
    """Against ../shared/reference/safety.toml; each entry names the published source."""

    def test_every_caution_has_a_sentence_and_a_source(self):
        for caution in cautions().caution:
            assert f"caution_{caution.id}" in ENGLISH.say and len(caution.source) > 20
            if re.search(r"16 CFR|EN 71-1:2005", caution.source):
                assert "rules of your place decide" in ENGLISH.say[f"caution_{caution.id}"]

    def test_they_are_those_of_the_reference(self):
        if not SAFETY.is_file():
            pytest.skip("the reference facts are not here: ../shared/reference/safety.toml")
        facts = tomllib.loads(SAFETY.read_text("utf-8"))
        figures = {caution.id: caution.figures for caution in cautions().caution}
        assert f"under {figures['eyes']['years']} years" in facts["small_parts_us"]["rule"]  # 16 CFR 1501
        cords = facts["en_71_1"]["cords_seen"]  # EN 71-1:2005+A8 5.4
        assert f"at most {figures['cord']['longest'] * 10} mm" in cords and f"at most {figures['cord']['around'] * 10} mm" in cords
        assert "once per hour at most" in facts["breaks"]["voice"] and cautions().hands.every == 60  # HSE, by analogy


class TestBreaks:
    def evening(self, minutes: int, pause_at: int | None = None, **settings: object) -> list[int]:
        """The minutes at which a break is offered, with a request each minute."""
        conversation = Conversation(Working(LONG, ENGLISH, State(settings=Settings(by="stitch", **settings))))
        conversation.begin()
        found = []
        for minute in range(1, minutes + 1):
            conversation.take(SpeechDone(conversation.number))
            conversation.take(TimePassed(60.0 if minute != pause_at else 600.0))
            said = [a.text for a in conversation.take(Typed("next")) if isinstance(a, Say)]
            found += [minute] if any("break" in text for text in said) else []
        return found

    def test_once_an_hour_of_work(self):
        assert self.evening(185) == [60, 120, 180]

    def test_ten_minutes_away_are_a_break(self):
        assert self.evening(100, pause_at=30) == [90]

    def test_off_on_request_and_on_again(self):
        assert self.evening(130, breaks=False) == []
        state, reply = answer(SEAL, State(), Request("breaks", "off"))
        assert not state.settings.breaks and [m.key for m in reply.messages] == ["breaks_off"]
        assert answer(SEAL, state, Request("breaks", "on"))[0].settings.breaks
        assert answer(SEAL, state, Request("undo"))[0].settings.breaks

    def test_neither_on_nor_off_is_asked_back(self):
        after, reply = answer(SEAL, State(), Request("breaks", None))
        assert [m.key for m in reply.messages] == ["which_breaks"] and after == State(said=reply.messages)

    @given(st.lists(st.tuples(st.sampled_from(["next", "count", "pause"]), st.floats(0, 900)), max_size=60))
    def test_never_twice_in_an_hour_of_work(self, asked):
        state, last = State(), 0.0
        for name, seconds in asked:
            state = state.having(worked=state.worked + min(seconds, 300.0))
            state, offered = rest(state, Request(name), seconds)
            if offered:
                assert name == "next" and state.worked - last >= 3600
                last = state.worked

    def test_it_is_not_part_of_what_repeat_says(self):
        working = Working(LONG, ENGLISH, State(worked=0.0))
        working.begin()
        working.state = working.state.having(worked=3600.0)
        assert "break" in working.answer(NEXT).said
        assert "break" not in working.answer(Request("repeat")).said

    def test_whoever_begins_anew_has_rested(self):
        working = Working(LONG, ENGLISH, State(worked=9000.0))
        working.begin()
        assert "break" not in working.answer(NEXT).said


LONG = fabric(part("Rope", rnd(1, Loop(sc(), 1000))))
