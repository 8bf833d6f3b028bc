"""Lessons: every step of every stitch, on top of a place that never changes by them."""

from __future__ import annotations

import pytest
from harbour_works import BODY, SEAL, fabric, led, part, rnd, sc, spot, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop
from coach.guide import lessons
from coach.guide.lessons import steps_of
from coach.guide.machine import answer, begin
from coach.guide.model import Lesson, Place, Request, State
from coach.language.phrasebook import load
from coach.language.speak import sentence
from coach.language.understand import understand
from coach.memory.states import from_json, to_json
from coach.notation.model import Action, Chain, Note, Pattern, Stitch
from coach.stitches.catalogue import catalogue

NEXT, BACK, UNDO, TO_WORK = Request("next"), Request("back"), Request("undo"), Request("to_work")
ALL = catalogue().stitch
ENGLISH = load("en")
WAVE = fabric(BODY, abbreviations=(("wave st", "sc in next st, ch 3, skip 1 st; then dc in the st below"), ("sc", "single crochet")))


def teach(what: str | None = None) -> Request:
    return Request("teach", what)


@pytest.mark.parametrize("entry", ALL, ids=lambda s: s.id)
class TestEveryEntry:
    def test_it_is_taught_step_by_step_and_then_the_work_goes_on(self, entry):
        start = led(SEAL, NEXT, NEXT)
        state, reply = answer(SEAL, start, teach(entry.id))
        said = [sentence(ENGLISH, reply.messages)]
        for _ in entry.how[1:]:
            state, reply = answer(SEAL, state, NEXT)
            said.append(sentence(ENGLISH, reply.messages))
            assert spot(state) == spot(start)
        for step, told in zip(entry.steps(), said, strict=True):
            assert step in told
        state, reply = answer(SEAL, state, NEXT)
        assert reply.messages[0].key == "lesson_over" and spot(state) == spot(start)
        assert state.before is start.before  # nothing of it is left to undo
        assert spot(answer(SEAL, state, NEXT)[0]) == spot(answer(SEAL, start, NEXT)[0])

    @pytest.mark.parametrize("terms", ["US", "UK"])
    def test_it_can_be_asked_for_by_each_of_its_names(self, entry, terms):
        for name in entry.words(terms):
            for line in (f"teach me {name}", f"how do i {name}", f"how do I make a {name}?"):
                if understand(ENGLISH, line, typed=True, terms=terms) == Request("fix"):
                    continue
                assert understand(ENGLISH, line, typed=True, terms=terms) == teach(entry.id), line


class TestOnTopOfThePlace:
    requests = st.sampled_from([NEXT, BACK, Request("repeat"), Request("count"), Request("where"), Request("recap"),
                                Request("louder"), teach("ring"), teach("tops")])

    @given(works, st.lists(st.just(NEXT), max_size=12), st.lists(st.sampled_from(["repeat", "count", "where", "help", "pause"]), max_size=6))
    def test_questions_and_pauses_leave_the_lesson_as_it_is(self, work, walked, asked):
        state = led(work, *walked, teach("ring"), NEXT)
        for name in asked:
            after, _ = answer(work, state, Request(name))
            if name == "pause":
                after, _ = answer(work, after, Request("carry_on"))
            assert (after.lesson, spot(after)) == (Lesson("ring", 1), spot(state))
            state = after

    @given(works, st.lists(st.just(NEXT), max_size=12), st.integers(0, 12))
    def test_back_to_work_says_what_is_to_be_done_and_leaves_nothing(self, work, walked, steps):
        start = led(work, *walked)
        state = led(work, teach("ring"), *[NEXT] * min(steps, 4), state=start)
        after, reply = answer(work, state, TO_WORK)
        assert after.lesson is None and spot(after) == spot(start)
        assert reply.messages == answer(work, start.having(before=None), TO_WORK)[1].messages

    @given(works, st.lists(st.just(NEXT), max_size=12), st.integers(0, 4))
    def test_undo_in_a_lesson_takes_the_lesson_back(self, work, walked, steps):
        start = led(work, *walked)
        state, _ = answer(work, start, teach("ring"))
        for _ in range(steps):
            state, _ = answer(work, state, NEXT)
        after, _ = answer(work, state, UNDO)
        assert after.lesson is None and spot(after) == spot(start) and after.before is start.before

    @given(st.lists(requests, max_size=15))
    def test_no_walk_through_lessons_moves_the_work_unless_they_are_over(self, asked):
        state = led(SEAL, NEXT, NEXT, teach("ring"))
        place = spot(state)
        for request in asked:
            on = lessons.is_on(SEAL, state)
            if not on and request in (NEXT, BACK):
                continue
            state, _ = answer(SEAL, state, request)
            assert spot(state) == place

    def test_a_change_inside_a_lesson_is_undone_before_the_lesson(self):
        state = led(SEAL, NEXT, teach("ring"), Request("louder"))
        once, _ = answer(SEAL, state, UNDO)
        assert once.lesson == Lesson("ring") and once.settings.volume == 0.9
        assert answer(SEAL, once, UNDO)[0].lesson is None

    def test_back_from_the_work_returns_into_a_lesson_that_was_just_over(self):
        over = led(SEAL, NEXT, teach("ring"), *[NEXT] * 5)
        assert not lessons.is_on(SEAL, over)
        assert answer(SEAL, over, BACK)[0].lesson == Lesson("ring", 4)
        assert answer(SEAL, over, NEXT)[0].lesson is None

    @pytest.mark.parametrize("request_", [Request("go_round", 3), Request("start_round"), Request("have", 6), Request("next_part"),
                                          Request("count_me")], ids=lambda r: r.name)
    def test_whatever_moves_the_work_ends_the_lesson(self, request_):
        assert led(SEAL, NEXT, teach("ring"), request_).lesson is None

    def test_it_is_kept_in_the_journal_and_taken_up_again(self):
        state = led(SEAL, NEXT, teach("ring"), NEXT)
        kept = from_json(to_json(state))
        assert kept.lesson == Lesson("ring", 1) and spot(kept) == spot(state)
        _, reply = begin(SEAL, kept)
        assert reply.messages[-1].key == "lesson_step" and reply.messages[-1].values == {"lesson": "ring", "at": 1}

    def test_counting_along_ends_where_a_lesson_begins(self):
        assert led(SEAL, NEXT, Request("count_me"), teach("sc")).counting == ""


class TestThat:
    """What "how do I do that" is about."""

    def taught(self, work, state: State) -> Lesson | None:
        return answer(work, state, teach())[0].lesson

    def test_the_ring_that_the_round_begins_with(self):
        assert self.taught(SEAL, led(SEAL, NEXT)) == Lesson("ring")

    def test_the_chain_that_the_row_begins_with(self):
        row = fabric(part("Mat", rnd(1, Loop(sc(), 6), kind="row", foundation=(Chain(7),))))
        assert self.taught(row, led(row, NEXT)) == Lesson("ch")

    def test_the_first_stitch_that_is_announced(self):
        assert self.taught(SEAL, led(SEAL, NEXT, NEXT)) == Lesson("inc")

    def test_nothing_is_announced_at_the_start(self):
        after, reply = answer(SEAL, led(SEAL), teach())
        assert after.lesson is None and [m.key for m in reply.messages] == ["which_lesson"]

    @pytest.mark.parametrize("note, of", [
        (Note("Stuff firmly.", "stuff"), "stuff"), (Note("Fit the eyes.", "eyes"), "safetyeye"),
        (Note("Embroider the eyes.", "eyes"), "embroider"), (Note("Fasten off and close the hole.", "fasten_off"), "fastenoff"),
        (Note("Do not stuff. Sew it flat.", "stuff"), "sew"), (Note("Embroider a nose over the face.", "embroider"), "nose"),
        (Note("Embroider three dots.", "embroider"), "embroider"), (Note("Mark the first stitch.", "note"), "marker"),
        (Note("Sew on the fin.", "sew"), "sew"), (Note("Weave in the end.", "note"), "weave"), (Note("Wait.", "note"), None),
    ])
    def test_what_a_note_is_about(self, note, of):
        work = fabric(part("Fin", rnd(1, Loop(sc(), 6), notes=(note,))))
        state = led(work, *[NEXT] * 2, Request("by", "round"))
        assert state.place.steps == 6
        assert self.taught(work, state) == (Lesson(of) if of else None)

    def test_a_note_that_asks_for_several_things_teaches_them_one_after_the_other(self):
        notes = (Note("Fasten off, close the hole and weave in the end.", "fasten_off"),)
        work = fabric(part("Fin", rnd(1, Loop(sc(), 6), notes=notes)))
        state = led(work, *[NEXT] * 2, Request("by", "round"))
        for of in ("fastenoff", "close", "weave", "fastenoff"):
            state = led(work, teach(), state=state)
            assert state.lesson == Lesson(of)
            state = led(work, *[NEXT] * steps_of(work, state.lesson), state=state)

    def test_an_assembly_step(self):
        state = State(Place(2, 0, 0, 1), 2)
        assert self.taught(SEAL, led(SEAL, state=state)) == Lesson("weave")


class TestOwnStitches:
    def test_it_is_taught_from_its_definition(self):
        state, reply = answer(WAVE, led(WAVE), teach("wave st"))
        assert state.lesson == Lesson("wave st", own=True)
        assert sentence(ENGLISH, reply.messages) == (
            "Wave st, as the pattern has it, 3 steps. Single crochet in next stitch, chain 3. Say next, or back to work.")

    def test_in_the_other_terms_it_is_called_as_there(self):
        _, reply = answer(WAVE, led(WAVE), teach("wave st"))
        assert "Double crochet in next stitch" in sentence(ENGLISH, reply.messages, "UK")

    def test_it_is_understood_by_its_name(self):
        own = tuple(lessons.own_stitches(WAVE.pattern))
        assert understand(ENGLISH, "teach me the wave st", own=own) == teach("wave st")
        assert understand(ENGLISH, "teach me the wave st") is None

    def test_a_stitch_of_that_name_is_explained_when_the_step_names_it(self):
        work = fabric(part("Mat", rnd(1, Loop(Leaf(Stitch("wave st"), takes=1, makes=1), 6))), abbreviations=WAVE.pattern.abbreviations)
        assert answer(work, led(work, NEXT), teach())[0].lesson == Lesson("wave st", own=True)

    @pytest.mark.parametrize("name, meaning, own", [
        ("sc", "single crochet, insert hook, yo, pull up a loop", False),  # a plain stitch is the catalogue's
        ("rnd", "round", False), ("inc", "increase, 2 sc in the same stitch", False),
        ("bobble", "4 dc together in one stitch", True), ("picot", "ch 4, sl st in first ch", True),
        ("MC", "the main colour of the work", False), ("limpet", "yo, insert hook, pull up a loop", True),
    ])
    def test_what_is_one(self, name, meaning, own):
        assert (name in lessons.own_stitches(Pattern("", abbreviations=((name, meaning),)))) == own

    @pytest.mark.parametrize("meaning, steps", [
        ("ch 3", ("ch 3",)),
        ("yo, insert hook. Pull up a loop; yo, pull through.", ("yo, insert hook", "Pull up a loop", "yo, pull through")),
        ("[yo, insert hook in st, yo and pull up a loop] 4 times, yo and pull through all",
         ("4 times: yo, insert hook in st, yo and pull up a loop", "yo and pull through all")),
        ("", ()),
    ])
    def test_a_definition_in_steps(self, meaning, steps):
        assert lessons.clauses(meaning) == steps

    @given(st.text(st.sampled_from("abc 12,.;()[]"), max_size=60))
    def test_no_word_of_a_definition_is_lost(self, meaning):
        def words(text: str) -> list[str]:
            return sorted("".join(c if c.isalnum() else " " for c in text).replace("times", "").split())

        assert words(" ".join(lessons.clauses(meaning))) == words(meaning)


class TestHands:
    @given(st.sampled_from([s.id for s in ALL if s.steps("left") != s.steps("right")]))
    def test_a_left_handed_maker_hears_every_direction_mirrored(self, id):
        state = led(SEAL, Request("hand", "left"), teach(id))
        entry = catalogue()[id]
        for at, step in enumerate(entry.steps("left")):
            said = sentence(ENGLISH, lessons._step(SEAL, Lesson(id, at)), hand=state.settings.hand)
            assert said.startswith(step)


def test_a_lesson_that_the_pattern_no_longer_has_is_over():
    state = led(SEAL, state=State(lesson=Lesson("wave st", own=True)))
    assert not lessons.is_on(SEAL, state)
    assert answer(SEAL, state, NEXT)[0].announced


def test_actions_that_are_no_stitches_can_be_taught():
    work = fabric(part("Mat", rnd(1, Leaf(Action("turn")))))
    assert answer(work, led(work, NEXT), teach())[0].lesson == Lesson("turn")
