"""Pieces in any order."""

from __future__ import annotations

from itertools import product

import pytest
from harbour_works import BODY, SEAL, fabric, part, rnd, sc, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Loop
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, State
from coach.guide.pieces import every_piece, in_order, is_finished, made, made_at, onward, piece_of, taken_up, upcoming
from coach.guide.places import following

NEXT, BACK = Request("next"), Request("back")
TWO = fabric(part("Head", rnd(1, Loop(sc(), 3)), rnd(2, Loop(sc(), 3))), part("Fin", rnd(1, Loop(sc(), 2)), make=2))

moves = st.lists(st.sampled_from([NEXT, NEXT, NEXT, BACK, Request("next_part"), Request("go_part", "Fin"),
                                  Request("go_part", "Body"), Request("go_round", 1), Request("undo")]), max_size=40)


def led(work, *asked: Request, state: State = State()) -> State:
    for request in asked:
        state, _ = answer(work, state, request)
    return state


class TestInOrder:
    def test_pieces_are_those_of_every_part(self):
        assert every_piece(SEAL) == [(0, 0), (1, 0), (1, 1)]

    def test_before_a_place_all_is_finished_and_at_an_end_that_too(self):
        assert in_order(SEAL, Place(1, 1)) == ((0, 0), (1, 0))
        assert in_order(SEAL, Place(1, 1, 2)) == ((0, 0), (1, 0), (1, 1)) == in_order(SEAL, Place(2))
        assert is_finished(SEAL, Place(0, 0, 5))
        assert not is_finished(SEAL, Place(0, 0, 4)) and not is_finished(SEAL, Place(2))

    @given(works, st.integers(0, 60))
    def test_whoever_works_in_order_needs_no_list(self, work, n):
        state, _ = begin(work, State())
        state = led(work, *[Request("by", "round")], *[NEXT] * n, state=state)
        assert state.made is None and state.left == ()
        assert made(work, state) == in_order(work, state.place)
        if is_finished(work, state.place):
            assert onward(work, state)[0] == following(work, state.place)


class TestAnyOrder:
    @given(works, moves)
    def test_a_piece_is_finished_exactly_while_the_work_is_at_its_end_or_left_it_there(self, work, asked):
        state, _ = begin(work, State())
        ends = set()
        for request in asked:
            state, _ = answer(work, state, request)
            here, done = piece_of(state.place), made(work, state)
            ends |= {here} if is_finished(work, state.place) else set()
            assert list(done) == sorted(set(done)) and set(done) <= set(every_piece(work))
            if state.place.part < len(work.parts):
                assert (here in done) == is_finished(work, state.place)
            assert set(done) <= ends | set(in_order(work, state.place))

    @given(works, moves)
    def test_back_undoes_next_between_pieces_too(self, work, asked):
        state, _ = begin(work, State())
        state = led(work, *asked, state=state)
        there = led(work, NEXT, state=state)
        if (there.place, there.announced) == (state.place, state.announced):
            return
        again = led(work, BACK, state=there)
        assert (again.place, again.announced) == (state.place, state.announced)
        if all(part_.rounds for part_ in work.parts):  # one without rounds is finished by having been told
            assert made(work, again) == made(work, state)

    @pytest.mark.parametrize("rounds", list(product((True, False), repeat=3)))
    def test_it_does_on_every_way_through_three_parts(self, rounds):
        """All sequences of up to six: a part met again is either told of first, or gone on with where it was left."""
        work = fabric(*(part("Body", rnd(1, sc())) if some else part("Body") for some in rounds))
        for n in range(1, 7):
            for asked in product((NEXT, Request("next_part")), repeat=n):
                state = led(work, *asked, state=begin(work, State())[0])
                there = led(work, NEXT, state=state)
                if (there.place, there.announced) != (state.place, state.announced):
                    again = led(work, BACK, state=there)
                    assert (again.place, again.announced) == (state.place, state.announced), asked

    @given(works, st.integers(0, 30))
    def test_going_away_and_coming_back_is_to_the_same_place(self, work, n):
        state, _ = begin(work, State())
        state = led(work, *[NEXT] * n, state=state)
        away = led(work, Request("next_part"), state=state)
        if away.place.part >= len(work.parts) or piece_of(away.place) == piece_of(state.place):
            return
        kept = taken_up(away, piece_of(state.place))
        if not is_finished(work, state.place):
            assert kept == (state.place, state.announced) or state.place == Place(*piece_of(state.place))

    def test_every_piece_left_over_comes_before_the_assembly(self):
        state = led(TWO, Request("go_part", "fin"), NEXT)
        assert state.place == Place(1, 0, 1)  # the first fin is finished
        assert upcoming(TWO, state) == (1, 1)
        state = led(TWO, NEXT, NEXT, state=state)
        assert state.place == Place(1, 1, 1) and onward(TWO, state) == (Place(0, 0), 0)
        state = led(TWO, *[NEXT] * 4, state=state)
        assert state.place == Place(0, 0, 2) and upcoming(TWO, state) is None
        assert led(TWO, NEXT, state=state).place == Place(2)

    def test_going_back_into_a_finished_piece_takes_it_up_again(self):
        state = led(TWO, *[NEXT] * 3)
        assert made(TWO, state) == ((0, 0),)
        assert made(TWO, led(TWO, Request("go_round", 2), state=state)) == ()
        assert made_at(TWO, state, Place(0, 0, 1)) is None

    def test_back_never_goes_over_the_start_of_a_piece_into_one_that_is_not_finished(self):
        state = led(TWO, NEXT, Request("go_part", "fin"), Request("go_round", 1))
        after, reply = answer(TWO, state, BACK)
        assert after.place == state.place and reply.messages[0].key == "at_the_start"

    def test_directly_after_going_to_a_part_back_returns(self):
        state = led(TWO, NEXT, NEXT)
        back = led(TWO, Request("go_part", "fin"), BACK, state=state)
        assert (back.place, back.announced) == (state.place, state.announced)

    def test_a_part_that_is_told_in_notes_only_is_passed(self):
        work = fabric(BODY, part("Eyes"), part("Tail", rnd(1, sc())))
        state = led(work, Request("next_part"))
        assert state.place == Place(1) and made(work, state) == ((1, 0),)
        assert led(work, NEXT, state=state).place == Place(2)
