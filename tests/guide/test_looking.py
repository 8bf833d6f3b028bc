"""What was worked last, and what is below."""

from __future__ import annotations

import pytest
from harbour_works import DEC, INC, JOIN, SEAL, fabric, part, rnd, sc, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.tree import Leaf, Loop, Run
from coach.fabric.tree import leaves as every_step
from coach.guide.looking import last_done
from coach.guide.machine import answer
from coach.guide.model import OwnNote, Place, Request, State
from coach.guide.places import done_in_round, total
from coach.guide.shaping import is_increase
from coach.notation import read


def asked(work_, place: Place, name: str, value=None, announced: int | None = None):
    state = State(place, place.steps + 1 if announced is None else announced)
    after, reply = answer(work_, state, Request(name, value))
    assert (after.place, after.before) == (place, None)  # looking changes nothing
    return reply.messages


def keys(messages) -> list[str]:
    return [m.key for m in messages]


class TestLast:
    @given(works, st.integers(0, 3), st.integers(0, 60))
    def test_the_last_stitch_is_the_one_that_walking_made_last(self, work_, index, step):
        if not work_.parts or index >= len(work_.parts[0].rounds):
            return
        place = Place(round=index, steps=min(step, work_.parts[0].rounds[index].steps))
        walked = [leaf for w in work_.parts[0].rounds[:index] for leaf in every_step(w.tree) if leaf.steps]
        walked += [leaf for leaf in every_step(work_.parts[0].rounds[index].tree) if leaf.steps][: place.steps]
        making = [leaf for leaf in walked if leaf.makes]
        found = last_done(work_, place)
        assert (found and found[0].step_at(found[1])) is (making[-1] if making else None)

    def test_a_join_and_a_turn_are_no_stitches(self):
        joined = fabric(part("Cap", rnd(1, Run((sc(), INC, JOIN))), rnd(2, sc())))
        name, last, number = asked(joined, Place(round=1), "last")
        assert name.key == "round" and last.values["trees"] == (INC,) and number.values == {"nth": 3}

    def test_at_the_start_and_in_the_assembly_nothing_is_done(self):
        assert keys(asked(SEAL, Place(), "last")) == keys(asked(SEAL, Place(2), "last")) == ["nothing_done"]
        assert keys(asked(SEAL, Place(), "did", "decrease")) == ["nothing_done"]


class TestDidI:
    @pytest.mark.parametrize("steps, said", [
        (1, ["no_the_last"]),
        (3, ["yes_the_last"]),
        (5, ["no_the_last", "last_increase"]),
    ])
    def test_by_what_is_done(self, steps, said):  # of (sc 2, inc) x 4
        assert keys(asked(SEAL, Place(round=2, steps=steps), "did", "increase", announced=steps)) == said

    def test_since_when_in_stitches(self):
        *_, since = asked(SEAL, Place(round=2, steps=5), "did", "increase", announced=5)
        assert since.values == {"since": 2}

    def test_with_one_to_do_the_count_tells(self):
        *_, count = asked(SEAL, Place(round=2, steps=3), "did", "increase", announced=6)
        assert (count.values["counted"], count.values["without"]) == (8, 7)

    def test_with_a_decrease_to_do_there_are_more_without_it(self):
        work_ = fabric(part("Fin", rnd(1, Loop(Run((Loop(sc(), 2), DEC)), 6))))
        *_, count = asked(work_, Place(steps=3), "did", "decrease", announced=6)
        assert (count.values["counted"], count.values["without"]) == (6, 7)

    @given(works, st.integers(0, 3), st.integers(0, 60), st.integers(1, 9))
    def test_the_count_that_tells_is_true(self, work_, index, step, further):
        if not work_.parts or index >= len(work_.parts[0].rounds):
            return
        worked = work_.parts[0].rounds[index]
        place = Place(round=index, steps=min(step, worked.steps))
        announced = min(place.steps + further, worked.steps)
        found = [m for m in asked(work_, place, "did", "increase", announced=announced) if m.key == "by_the_count"]
        ahead = [i for i in range(place.steps, announced) if is_increase(worked.step_at(i))]
        assert bool(found) == bool(ahead)
        if ahead:
            assert found[0].values["counted"] == done_in_round(work_, Place(round=index, steps=ahead[-1] + 1))


class TestUnder:
    def text(self, *lines: str):
        return work(read("# Net\n\n## Net\n" + "\n".join(lines) + "\n"))

    def test_in_a_spiral_the_stitch_that_is_reached_and_whose_it_is(self):
        work_ = self.text("Rnd 1: 6 sc in magic ring. (6)", "Rnd 2: inc x 6. (12)", "Rnd 3: (sc, inc) x 6. (18)",
                          "Rnd 4: (sc, dec) x 6. (12)", "Rnd 5: sc in each st around. (12)")
        assert keys(asked(work_, Place(), "under")) == ["under_ring"]
        where, whose = asked(work_, Place(round=2, steps=3), "under")
        assert (where.values["nth"], where.values["number"]) == (4, 2)
        assert (whose.key, whose.values["nth"]) == ("of_an_increase", 2)
        assert keys(asked(work_, Place(round=4, steps=1), "under")) == ["under", "a_decrease"]

    @given(st.integers(1, 9), st.integers(2, 4), st.integers(0, 200))
    def test_the_number_is_that_of_walking(self, gap, n, step):
        worked = rnd(2, Loop(Run((Loop(sc(), gap), DEC)), n))
        work_ = fabric(part("Fin", rnd(1, Loop(sc(), worked.takes)), worked))
        place = Place(round=1, steps=step % worked.steps)
        taken = sum(worked.step_at(i).takes for i in range(place.steps))
        if worked.step_at(place.steps).at is not None:
            assert asked(work_, place, "under")[0].values["nth"] == taken + 1

    def test_rows_are_counted_from_where_this_one_starts(self):
        work_ = self.text("Row 1: Ch 4, sc in 2nd ch from hook and in next 2 chs, turn. (3)",
                          "Row 2: Ch 1, 2 sc in first st, sc in next 2 sts, turn. (4)",
                          "Row 3: Ch 1, sc in each st across. (4)")
        assert asked(work_, Place(), "under")[0].values == {"nth": 1}
        assert keys(asked(work_, Place(round=2, steps=2), "under")) == ["under"]
        stitch, whose = asked(work_, Place(round=2, steps=4), "under")
        assert stitch.values["nth"] == 4 and whose.values["nth"] == 2  # met second, though it was made first

    def test_spaces_are_counted_among_spaces(self):
        work_ = self.text("Row 1: Ch 6, sc in 2nd ch from hook and in next 4 chs, turn. (5)",
                          "Row 2: Ch 1, sc, (ch 3, sk 1, sc) twice, turn.",
                          "Row 3: Ch 1, sc, (2 sc in next ch-3 sp) twice, sc in last st.")
        (space,) = asked(work_, Place(round=2, steps=3), "under")
        assert space.key == "under_space" and (space.values["nth"], space.values["chains"]) == (2, 3)

    def test_chains_that_are_worked_one_by_one_are_places_as_stitches_are(self):
        work_ = self.text("Rnd 1: 15 sc in magic ring. (15)",
                          "Rnd 2: Sc 5, ch 5, skip 5 sts, sc 5. (15)",
                          "Rnd 3: Sc in each st and ch around. (15)")
        found = [asked(work_, Place(round=2, steps=step), "under")[0].values for step in (4, 5, 9, 10)]
        assert [(v["nth"], v["stitch_name"]) for v in found] == [(5, "sc"), (6, "ch"), (10, "ch"), (11, "sc")]

    def test_slip_stitches_at_the_start_move_it_along_and_the_stitches_are_counted_from_the_join(self):
        work_ = self.text("Rnd 1: 12 sc in magic ring, join. (12)",
                          "Rnd 2: Sl st in next 3 sts, ch 1, sc in same st, sc in next 11 sts, join. (12)")
        found = [asked(work_, Place(round=1, steps=steps), "under")[0].values["nth"] for steps in range(2, 14)]
        assert found == [4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2, 3]
        assert asked(work_, Place(round=1), "under")[0].values["nth"] == 4  # before the slip stitches: where they lead
        assert keys(asked(work_, Place(round=1, steps=14), "under")) == ["under_join"]

    def test_slip_stitches_into_the_corner_space(self):
        work_ = self.text("Rnd 1: Magic ring, ch 3 (counts as dc), 2 dc, ch 2, (3 dc, ch 2) x 3, join with sl st in top of ch 3. (12 dc)",
                          "Rnd 2: Sl st in next 2 dc and into ch-2 sp, ch 3 (counts as dc), (2 dc, ch 2, 3 dc) in same sp, "
                          "*(3 dc, ch 2, 3 dc) in next ch-2 sp; rep from * around, join with sl st in top of ch 3. (24 dc)")
        found = [asked(work_, Place(round=1, steps=steps), "under")[0] for steps in range(2, 7)]
        assert [(m.key, m.values["nth"]) for m in found] == [("under_space", n) for n in (1, 1, 2, 3, 4)]

    def test_a_chain_that_counts_stands_on_the_first_stitch(self):
        work_ = self.text("Rnd 1: Ch 4, join with sl st to form a ring, ch 3 (counts as dc), 11 dc in ring, join. (12)",
                          "Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around, join. (24)")
        assert [asked(work_, Place(round=1, steps=n), "under")[0].values["nth"] for n in range(13)] == [1, *range(1, 13)]
        assert keys(asked(work_, Place(steps=12), "under")) == ["under_join"]

    def test_where_nothing_goes_in_it_says_so(self):
        assert keys(asked(SEAL, Place(0, 0, 5), "under")) == keys(asked(SEAL, Place(2), "under")) == ["nothing_under"]
        odd = fabric(part("Rope", rnd(1, sc()), rnd(2, Leaf(None, makes=1))))
        assert keys(asked(odd, Place(round=1), "under")) == ["nothing_under"]


def test_a_round_is_read_back_with_the_notes_made_in_it():
    place = Place(0, 0, 2, 4)
    state = State(place, 6, notes=(OwnNote(Place(0, 0, 2, 9), "too tight"), OwnNote(Place(0, 0, 1, 0), "elsewhere")))
    _, reply = answer(SEAL, state, Request("read_round"))
    assert keys(reply.messages) == ["own_note", "round", "steps", "makes", "done"]
    assert reply.messages[-1].values["done"] == total(SEAL, place) - 18
