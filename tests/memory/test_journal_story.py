"""Stories of works, undo, restarts, a second coach and a failing disk against the plainest model: lists.

The model of a work is the list of places that undo would go back through; the coach under test must give the same list
from memory and from disk after every step.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from walks import NEXT, UNDO, begin, places, step, undone

from coach.guide.model import Request
from coach.guide.model import Settings as Talk
from coach.memory import schema
from coach.memory.journal import Journal


class Story(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "journal.db"
        self.failing = False
        self.journal = Journal.open(self.path, connect=self.connect)
        self.model: dict[int, list[int]] = {}  # work: places, the last first
        self.states = {}  # work: the coach's state
        self.works = {}
        self.order: list[int] = []  # the work touched last first
        self.finished: set[int] = set()
        self.turns: dict[int, int] = {}
        self.talk = Talk()
        self.count = 0

    def teardown(self):
        self.journal.close()
        shutil.rmtree(self.folder)

    # What the disk does

    @initialize()
    def first_work(self):
        self.begin_another()

    @rule()
    def restart(self):
        if self.failing:
            self.disk_recovers()  # what was never on disk can't come back
        self.journal.close()
        self.journal = Journal.open(self.path, connect=self.connect)
        self.states = {work: self.journal.resume(self.works[work]) for work in self.states}

    @rule()
    def come_back_without_a_restart(self):
        for work in self.states:
            self.states[work] = self.journal.resume(self.works[work])

    def connect(self, path: Path):
        con = schema.connect(path)
        if self.failing:
            con.execute("PRAGMA query_only = ON")  # every write gives the error of a read-only disk
        return con

    @precondition(lambda self: not self.failing)
    @rule()
    def disk_fails(self):
        self.journal._file._con.execute("PRAGMA query_only = ON")
        self.failing = True

    @precondition(lambda self: self.failing)
    @rule()
    def disk_recovers(self):
        self.failing = False
        if self.journal._file._con is not None:
            self.journal._file._con.execute("PRAGMA query_only = OFF")
        assert self.journal.retry() is None

    # What the maker does

    @rule()
    def begin_another(self):
        work = begin(self.journal, f"Puffin {len(self.works)}")
        self.works[work.id] = work
        self.model[work.id] = [0]
        self.states[work.id] = self.journal.resume(work)
        self.turns[work.id] = 1
        self.order.insert(0, work.id)
        self.recorded(work.id, turn=False)

    @rule(which=st.integers(0, 9), jump=st.integers(1, 3))
    def go_on(self, which, jump):
        work = self.chosen(which)
        self.count += jump
        self.states[work] = step(self.states[work], self.count)
        self.model[work].insert(0, self.count)
        self.record(work, NEXT)

    @rule(which=st.integers(0, 9), likeness=st.booleans())
    def undo(self, which, likeness):
        work = self.chosen(which)
        if len(self.model[work]) > 1:
            state = self.states[work]
            self.states[work] = undone(state) if likeness else state.before
            self.model[work].pop(0)
            self.record(work, UNDO)

    @rule(which=st.integers(0, 9), back=st.integers(1, 20))
    def undo_far(self, which, back):
        work = self.chosen(which)
        for _ in range(min(back, len(self.model[work]) - 1)):
            self.states[work] = self.states[work].before
            self.model[work].pop(0)
        self.record(work, UNDO)

    @rule(which=st.integers(0, 9), more=st.integers(2, 4))
    def several_states_in_one_request(self, which, more):
        work = self.chosen(which)
        for _ in range(more):
            self.count += 1
            self.states[work] = step(self.states[work], self.count)
            self.model[work].insert(0, self.count)
        self.record(work, Request("go to round", 4))

    @rule(which=st.integers(0, 9), rate=st.integers(80, 400))
    def talk_faster(self, which, rate):
        work = self.chosen(which)
        self.states[work] = self.states[work].having(settings=Talk(rate=rate))  # no undo of its own
        self.record(work, Request("faster"))

    @rule(which=st.integers(0, 9))
    def repeat(self, which):
        self.record(self.chosen(which), Request("repeat"))

    @rule(which=st.integers(0, 9))
    def finish(self, which):
        work = self.chosen(which)
        assert (self.journal.finish(self.works[work]) is None) == (not self.failing)
        self.recorded(work)
        self.finished.add(work)

    # What must hold

    @invariant()
    def memory_and_disk_agree_with_the_lists(self):
        if not self.model:
            return
        self.agrees(self.journal)
        if not self.failing:
            with Journal.open(self.path) as other:
                self.agrees(other)
                for work, count in self.turns.items():
                    assert len(other.turns(self.works[work])) == count

    def agrees(self, journal):
        works = journal.works()
        assert [work.id for work in works] == self.order
        assert {work.id for work in works if work.finished} == self.finished
        latest = journal.latest()
        assert (latest and latest.id) == next((w for w in self.order if w not in self.finished), None)
        assert journal.settings() == self.talk
        for work in works:
            state = journal.resume(work)
            assert places(state) == self.model[work.id]
            assert state.settings == self.talk
            assert state.said == self.states[work.id].said

    def chosen(self, which: int) -> int:
        return list(self.model)[which % len(self.model)]

    def record(self, work, request):
        assert (self.journal.record(self.works[work], request, self.states[work], request.name, "") is None) == (
            not self.failing)
        self.talk = self.states[work].settings
        self.recorded(work)

    def recorded(self, work, turn=True):
        self.turns[work] += turn
        self.order.remove(work)
        self.order.insert(0, work)
        self.finished.discard(work)


def test_any_story_of_works_undo_and_restarts():
    run_state_machine_as_test(Story, settings=settings(max_examples=60, stateful_step_count=25, deadline=None))
