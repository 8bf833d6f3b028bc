"""Stories of a whole work against the plainest model: lists of stitches, written out by hand, one entry a stitch.

Everything that moves the work is mixed: going on and back, rounds and stitches by number, parts in any order, pieces, sizes,
markers, notes, undo however far, restarts, and a pattern file that is changed meanwhile. After every step the place, the
counts, the pieces, the notes and the markers are those of the model, in memory and on disk, and so is the way back.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from coach import fabric, notation
from coach.guide import pieces
from coach.guide.model import Place, Request, Settings, State
from coach.guide.places import done_in_round, total
from coach.language.phrasebook import load
from coach.memory.journal import Journal
from coach.topics import Versions, Working

ENGLISH = load("en")
TEXT = """# Harbour set

Sizes: small (large)

## Body
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnd 3: (Sc, inc) x 6. (18)
Rnd 4: (Sc 2, dec) x 3 (4), sc in each st around.

## Fin (make 2)
Rnd 1: 4 (5) sc in magic ring. (4 (5))
Rnd 2: Inc x 4 (5). (8 (10))

## Tail
Rnd 1: 5 sc in magic ring. (5)
Rnd 2: Sc in each st around. (5)

## Assembly
Sew on the fins.
Sew on the tail.
"""
FLAG = "## Flag\nRnd 1: 3 sc in magic ring. (3)\n\n"
VERSIONS = {
    "begun": TEXT,
    "with a flag": TEXT.replace("## Body", f"{FLAG}## Body"),  # before everything else, so that all parts move
    "longer tail": TEXT.replace("Rnd 2: Sc in each st around. (5)\n", "Rnd 2: Sc in each st around. (5)\nRnd 3: Inc x 5. (10)\n"),
}
STEPS_OF_ASSEMBLY = 2


def written_out(version: str, size: int) -> dict[str, tuple[int, list[list[int]]]]:
    """name of each part: how many of it, and what each step of each round makes."""
    fin, shapings = (4, 5)[size], (3, 4)[size]
    body = [[1] * 6, [2] * 6, [1, 2] * 6, [1, 1, 1] * shapings + [1] * (18 - 4 * shapings)]
    found = {"Flag": (1, [[1] * 3])} if version == "with a flag" else {}
    tail = [[1] * 5, [1] * 5] + ([[2] * 5] if version == "longer tail" else [])
    return found | {"Body": (1, body), "Fin": (2, [[1] * fin, [2] * fin]), "Tail": (1, tail)}


class Naive:
    """Where the work stands: `place` is (part, piece, round, steps), and (None, 0, 0, steps) in the making up."""

    def __init__(self, version: str, size: int):
        self.size, self.version = size, version
        self.place = ("Body", 0, 0, 0)
        self.told = False
        self.made: set[tuple] = set()
        self.left: dict[tuple, tuple] = {}
        self.notes: list[tuple] = []
        self.markers: list[tuple] = []

    def copy(self) -> Naive:
        other = Naive(self.version, self.size)
        other.place, other.told, other.made, other.left = self.place, self.told, set(self.made), dict(self.left)
        other.notes, other.markers = list(self.notes), list(self.markers)
        return other

    @property
    def table(self) -> dict[str, tuple[int, list[list[int]]]]:
        return written_out(self.version, self.size)

    @property
    def rounds(self) -> list[list[int]]:
        return self.table[self.place[0]][1] if self.place[0] else []

    @property
    def round(self) -> list[int] | None:
        return self.rounds[self.place[2]] if self.place[0] and self.place[2] < len(self.rounds) else None

    @property
    def piece(self) -> tuple:
        return self.place[:2]

    def every_piece(self) -> list[tuple]:
        return [(name, i) for name, (make, _) in self.table.items() for i in range(make)]

    def can_be_told(self, place: tuple) -> bool:
        return place[3] < STEPS_OF_ASSEMBLY if place[0] is None else place[2] < len(self.table[place[0]][1])

    def go(self, place: tuple, told: bool | None = None) -> None:
        here = self.piece
        if here != place[:2] and here[0] is not None:
            self.left.pop(here, None)
            if (self.told or self.place[2:] != (0, 0)) and self.round is not None:
                self.left[here] = (self.place, self.told)
        self.made.discard(place[:2])
        if place[0] is not None and place[2] == len(self.table[place[0]][1]):
            self.made.add(place[:2])
        self.place, self.told = place, self.can_be_told(place) if told is None else told

    def upcoming(self) -> tuple | None:
        here = self.piece
        every = self.every_piece()
        open_ = [piece for piece in every if piece not in self.made and piece != here]
        at = every.index(here) if here in every else len(every)
        return next((piece for piece in open_ if every.index(piece) > at), open_[0] if open_ else None)

    def to_piece(self, piece: tuple) -> None:
        self.go(self.left[piece][0] if piece in self.left else (*piece, 0, 0))

    # what is asked; each says whether it changed the work

    def next(self) -> bool:
        name, piece, round_, steps = self.place
        if name is None:
            if steps == STEPS_OF_ASSEMBLY:
                return False
            self.go((None, 0, 0, steps + self.told))
        elif self.round is None:
            onward = self.upcoming()
            if onward is None:
                self.go((None, 0, 0, 0))
            elif onward in self.left:
                self.to_piece(onward)
            else:  # the first piece of all is told of before its first step
                self.go((*onward, 0, 0), told=onward != self.every_piece()[0])
        else:
            steps += self.told
            self.go((name, piece, round_ + 1, 0) if steps == len(self.round) else (name, piece, round_, steps))
        return True

    def go_round(self, number: int) -> bool:
        if self.place[0] is None or not 0 < number <= len(self.rounds):
            return False
        self.go((*self.piece, number - 1, 0))
        return True

    def start_round(self) -> bool:
        return self.place[0] is not None and self.go_round(min(self.place[2], len(self.rounds) - 1) + 1)

    def go_stitch(self, number: int) -> bool:
        if self.round is None or not 0 < number <= sum(self.round):
            return False
        steps = next(s for s in range(len(self.round)) if sum(self.round[: s + 1]) >= number)
        self.go((*self.place[:3], steps))
        return True

    def go_part(self, name: str) -> bool:
        if name not in self.table:
            return False
        open_ = [piece for piece in self.every_piece() if piece[0] == name and piece not in self.made]
        if self.piece in open_:
            return False
        if open_:
            self.to_piece(open_[0])
        else:
            make, rounds = self.table[name]
            self.go((name, make - 1, len(rounds), 0))
        return True

    def next_part(self) -> bool:
        piece = self.upcoming()
        if piece is None:
            return False
        self.to_piece(piece)
        return True

    def mark(self) -> bool:
        self.markers = [place for place in self.markers if place != self.place] + [self.place]
        return True

    def go_marker(self) -> bool:
        if not self.markers:
            return False
        at = self.markers.index(self.place) if self.place in self.markers else 0
        self.go(self.markers[at - 1])
        return True

    def note(self, text: str) -> bool:
        self.notes.append((self.place, text))
        return True

    def forget_note(self) -> bool:
        here = [i for i, (place, _) in enumerate(self.notes) if (place[0], place[2]) == (self.place[0], self.place[2])]
        if not self.notes:
            return False
        del self.notes[(here or range(len(self.notes)))[-1]]
        return True

    def ripped_round(self, number: int) -> bool:
        if self.place[0] is None or not 0 < number <= min(self.place[2] + 1, len(self.rounds)):
            return False
        self.go((*self.piece, number - 1, 0), told=False)
        return True


class Story(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.journal = Journal.open(self.folder / "journal.db")
        self.before_next: tuple | None = None  # where `back` leads, right after `next`
        self.waited = 0.0

    def teardown(self):
        self.journal.close()
        shutil.rmtree(self.folder)

    @initialize(size=st.integers(0, 1))
    def begin(self, size):
        self.size = size
        self.work = self.journal.begin("Harbour set", TEXT, "set.md", ("small", "large")[size])
        self.keys = {"begun": ""} | {v: self.journal.version(text) for v, text in VERSIONS.items() if v != "begun"}
        self.fabrics = {key: fabric.work(notation.read(VERSIONS[v]), size) for v, key in self.keys.items()}
        self.naive, self.history = Naive("begun", size), []
        start = State(settings=Settings("stitch"))
        self.journal.record(self.work, Request("where"), start)
        self.open(start)

    def open(self, state: State, offered: str | None = None):
        self.topic = Working(self.fabrics[state.pattern], ENGLISH, state, versions=Versions(self.fabrics.__getitem__, offered))
        self.topic.begin()

    def ask(self, name: str, value=None):
        self.before_next = None
        request = Request(name, value)
        self.topic.passed(7.0)
        self.waited += 7.0
        answer = self.topic.answer(request)
        assert answer.said or name == "stop"
        assert self.journal.record(self.work, request, answer.state, name, answer.said) is None

    def do(self, name: str, value=None):
        """The same asked of the coach and of the model."""
        before, then = self.naive.copy(), getattr(self.naive, name)
        if then() if value is None else then(value):
            self.history.append(before)
        self.ask(name, value)

    # ---- what the maker does

    @rule(times=st.integers(1, 12))
    def next(self, times):
        for _ in range(times):
            before = self.naive.copy()
            self.do("next")
            changed = self.naive.place != before.place or self.naive.told != before.told
            self.before_next = (before.place, before.told) if changed else None

    @rule()
    def back(self):
        if self.before_next is None:
            return
        self.history.append(self.naive.copy())
        left = dict(self.naive.left)
        self.naive.go(*self.before_next)
        self.naive.left = left
        self.ask("back")

    @rule(number=st.integers(0, 5))
    def go_round(self, number):
        self.do("go_round", number)

    @rule()
    def to_the_end_of_the_piece(self):
        self.do("go_round", len(self.naive.rounds))
        while self.naive.round is not None:
            self.do("next")

    @rule(number=st.integers(1, 19))
    def go_stitch(self, number):
        self.do("go_stitch", number)

    @rule()
    def start_the_round_again(self):
        self.do("start_round")

    @rule(name=st.sampled_from(["Body", "Fin", "Tail", "Flag"]))
    def go_part(self, name):
        self.do("go_part", name)

    @rule()
    def next_part(self):
        self.do("next_part")

    @rule()
    def mark(self):
        self.do("mark")

    @rule()
    def go_marker(self):
        self.do("go_marker")

    @rule(text=st.sampled_from(["too tight", "½ a stitch", "look again"]))
    def note(self, text):
        self.do("note", text)

    @rule()
    def forget_note(self):
        self.do("forget_note")

    @rule(number=st.integers(1, 4))
    def ripped_round(self, number):
        self.do("ripped_round", number)

    @rule(name=st.sampled_from(["where", "recap", "repeat", "under", "parts", "my_notes", "how_long_worked", "yes", "count", "stop"]))
    def only_ask(self, name):
        if name != "yes" or self.topic.state.asking is None:
            self.ask(name)

    @rule(times=st.sampled_from([1, 2, 5, 60]))
    def undo(self, times):
        for _ in range(min(times, len(self.history) + 1)):
            if self.history:
                self.naive = self.history.pop()
            self.ask("undo")

    # ---- what happens meanwhile

    @rule()
    def restart(self):
        self.journal.close()
        self.journal = Journal.open(self.folder / "journal.db")
        self.open(self.journal.resume(self.work))
        self.before_next = None

    @rule(version=st.sampled_from(list(VERSIONS)))
    def restart_with_another_pattern(self, version):
        """Only parts that are not finished become longer here, so the place is safe: but a tail that is finished."""
        for key in self.keys:
            self.journal.version(VERSIONS[key])
        state = self.journal.resume(self.work)
        key = self.keys[version]
        others = set(self.naive.table) - set(written_out(version, self.size))
        begun = {piece[0] for piece in (*self.naive.made, *self.naive.left)} | {self.naive.place[0]}
        long = version == "longer tail" or self.naive.version == "longer tail"
        if key in (state.pattern, state.passed_over) or others & begun or long and "Tail" in begun or self.naive.place[0] is None:
            return
        if any(place[0] in others or long and place[0] == "Tail" for place in (*self.naive.markers, *(p for p, _ in self.naive.notes))):
            return
        if not (self.naive.told or self.naive.made or self.naive.left or self.naive.place[2:] != (0, 0)) and "Flag" in (
                *self.naive.table, *written_out(version, self.size)):
            return  # nothing is begun: where the work begins is another part then
        self.history.append(self.naive.copy())
        self.naive.version = version
        self.open(state, key)
        self.before_next = None
        assert self.topic.state.asking is None and self.topic.state.pattern == key
        self.ask("where")

    # ---- what must hold

    def named(self, place: Place, pattern: str) -> tuple:
        parts = self.fabrics[pattern].parts
        return (parts[place.part].name if place.part < len(parts) else None, place.piece, place.round, place.steps)

    @invariant()
    def the_coach_and_the_disk_agree_with_the_lists(self):
        if not hasattr(self, "naive"):
            return
        state, naive = self.topic.state, self.naive
        work = self.topic.fabric
        assert work is self.fabrics[self.keys[naive.version]]
        assert self.named(state.place, state.pattern) == naive.place
        assert (state.announced > state.place.steps) == naive.told
        done = naive.round[: naive.place[3]] if naive.round else []
        assert done_in_round(work, state.place) == sum(done)
        assert total(work, state.place) == sum(map(sum, naive.rounds[: naive.place[2]])) + sum(done)
        assert {(work.parts[p].name, i) for p, i in pieces.made(work, state)} == naive.made
        assert [(self.named(n.place, state.pattern), n.text) for n in state.notes] == naive.notes
        assert [self.named(m, state.pattern) for m in state.markers] == naive.markers
        assert abs(state.worked - self.waited) < 1e-6 and abs(sum(s for _, s in state.spent) - self.waited) < 1e-6
        if self.journal.turns(self.work)[-1].kind == "turn":
            self.on_disk(self.journal.resume(self.work))

    def on_disk(self, state: State):
        chain, back = [], state.before
        while back is not None:
            chain.append((self.named(back.place, back.pattern), back.announced > back.place.steps, back.pattern))
            back = back.before
        assert chain == [(n.place, n.told, self.keys[n.version]) for n in reversed(self.history)]
        now = self.topic.state
        for name in ("place", "announced", "notes", "markers", "made", "left", "pattern", "settings", "spent", "worked"):
            assert getattr(state, name) == getattr(now, name), name


def test_any_story_of_a_work():
    run_state_machine_as_test(Story, settings=settings(max_examples=40, stateful_step_count=30, deadline=None))
