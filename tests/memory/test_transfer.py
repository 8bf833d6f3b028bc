"""Works moved to another machine in one file: all of it arrives, and nothing that is there is lost."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walks import NEXT, TEXT, UNDO, begin, places, step, walk

from coach.guide.model import OwnNote, Place, Request, Settings, State
from coach.memory import schema
from coach.memory.journal import Journal
from coach.memory.model import JournalError
from coach.memory.transfer import TakenIn, TransferError


@pytest.fixture
def machines(tmp_path):
    """Journals of two machines."""
    with Journal.open(tmp_path / "here" / "journal.db") as here, Journal.open(tmp_path / "there" / "journal.db") as there:
        yield here, there


def file_of(journal: Journal, folder: Path, name: str = "works.coach") -> Path:
    journal.export(folder / name)
    return folder / name


def all_of(journal: Journal) -> dict:
    """Everything that a journal holds of its works."""
    found = {}
    for work in journal.works():
        state = journal.resume(work)
        chain = []
        while state is not None:
            chain.append(state)
            state = state.before
        found[work.id] = (work, chain, journal.turns(work), [journal.text(work, s.pattern) for s in chain])
    return found


RICH = State(Place(1, 0, 2, 3), 5, notes=(OwnNote(Place(0, 0, 1), "zu fest, ½"),), markers=(Place(0, 0, 1),), made=((0, 0),),
             left=((Place(0, 1, 1), 2),), worked=90.5, spent=((0, 60.0), (1, 30.5)), terms="UK", gauge="7 sc to 5 cm")
moves = st.lists(st.sampled_from(["next", "undo", "begin", "note", "version", "finish", "settings"]), max_size=25)


def tell(journal: Journal, story: list[str]) -> None:
    """Works on a journal as a story has it."""
    work = begin(journal)
    for n, move in enumerate(story):
        state = journal.resume(work)
        match move:
            case "begin":
                work = begin(journal, f"Puffin {n}")
            case "undo" if state.before:
                journal.record(work, UNDO, state.before, "undo", "Undone.")
            case "note":
                journal.record(work, Request("note", f"n{n}"), RICH.having(before=state), f"note n{n}", "Noted.")
            case "version":
                key = journal.version(f"{TEXT}Rnd 3: sc {n}\n")
                journal.record(work, Request("yes"), state.having(pattern=key, before=state), "yes", "The new pattern.")
            case "finish":
                journal.finish(work)
            case "settings":
                journal.record(work, Request("faster"), step(state).having(settings=Settings(rate=200 + n)), "faster")
            case _:
                journal.record(work, NEXT, step(state), "next", f"Step {n}.")


@settings(deadline=None, max_examples=25)
@given(moves)
def test_the_round_trip_brings_everything(tmp_path_factory, story):
    folder = tmp_path_factory.mktemp("trip")
    with Journal.open(folder / "a.db") as here, Journal.open(folder / "b.db") as there:
        tell(here, story)
        before = all_of(here)
        assert here.export(folder / "works") == len(before)
        assert there.take_in(folder / "works") == TakenIn(added=len(before))
        assert all_of(there) == before == all_of(here)
        assert (there.works(), there.latest(), there.settings()) == (here.works(), here.latest(), here.settings())
        assert there.take_in(folder / "works") == TakenIn(known=len(before)) and all_of(there) == before
        assert sorted(p.name for p in folder.iterdir() if p.name.startswith("works")) == ["works"]


@settings(deadline=None, max_examples=25)
@given(moves, moves, moves)
def test_next_to_other_works_none_is_lost(tmp_path_factory, story, other, further):
    folder = tmp_path_factory.mktemp("beside")
    with Journal.open(folder / "a.db") as here, Journal.open(folder / "b.db") as there:
        tell(here, story)
        tell(there, other)
        own = all_of(there)
        latest, talk = there.latest(), there.settings()
        there.take_in(file_of(here, folder))
        assert all_of(there) == own | {k: (w, [s.having(settings=talk) if i == 0 else s for i, s in enumerate(c)], t, x)
                                       for k, (w, c, t, x) in all_of(here).items()}
        assert there.settings() == talk
        assert there.latest() == latest or latest is None  # what was worked here stays what one goes on with
        tell(there, further)  # and the work goes on
        assert {work.id for work in there.works()} >= {*own, *all_of(here)}


def test_undo_goes_on_as_far_back_as_ever(machines, tmp_path):
    here, there = machines
    work = begin(here)
    walk(here, work, here.resume(work), 7)
    there.take_in(file_of(here, tmp_path))
    (arrived,) = there.works()
    state = there.resume(arrived)
    assert places(state) == [7, 6, 5, 4, 3, 2, 1, 0]
    walk(there, arrived, state.before.before, 2)
    assert places(there.resume(arrived)) == [7, 6, 5, 4, 3, 2, 1, 0]


def test_what_went_further_there_goes_on_from_there_and_back_again(machines, tmp_path):
    here, there = machines
    work = begin(here)
    walk(here, work, here.resume(work), 3)
    there.take_in(file_of(here, tmp_path))
    walk(there, work, there.resume(work), 4)
    assert here.take_in(file_of(there, tmp_path, "back")) == TakenIn(further=1)
    assert places(here.resume(work))[0] == 7 and len(here.turns(work)) == 8
    assert there.take_in(file_of(here, tmp_path)) == TakenIn(known=1)
    walk(here, work, here.resume(work), 1)
    assert there.take_in(file_of(here, tmp_path)) == TakenIn(further=1) and places(there.resume(work))[0] == 8


def test_what_went_on_differently_on_both_is_there_twice_once(machines, tmp_path):
    here, there = machines
    work = begin(here)
    walk(here, work, here.resume(work), 3)
    there.take_in(file_of(here, tmp_path))
    walk(here, work, here.resume(work), 2)
    walk(there, work, there.resume(work).before.before, 1)
    file = file_of(there, tmp_path)
    assert here.take_in(file) == TakenIn(beside=1)
    assert sorted(places(here.resume(w))[0] for w in here.works()) == [2, 5]
    assert here.latest().id == work.id
    assert here.take_in(file) == TakenIn(known=1) and len(here.works()) == 2


def test_an_empty_journal_is_a_file_too(machines, tmp_path):
    here, there = machines
    assert here.export(tmp_path / "none") == 0 and there.take_in(tmp_path / "none") == TakenIn()


def test_an_older_file_is_an_older_journal(machines, tmp_path):
    """As the coach wrote it before there were imports: made by hand, by the first step of the tables alone."""
    here, there = machines
    work = begin(here)
    walk(here, work, here.resume(work), 3)
    file = file_of(here, tmp_path)
    con = sqlite3.connect(file)
    con.execute("DROP TABLE imports")
    con.execute("PRAGMA user_version = 1")
    con.commit()
    con.close()
    before = file.read_bytes()
    assert there.take_in(file) == TakenIn(added=1) and places(there.resume(work))[0] == 3
    assert file.read_bytes() == before
    shutil.copyfile(file, tmp_path / "old.db")
    with Journal.open(tmp_path / "old.db") as old:  # and as a journal where it lies
        assert old.error is None and old.news() == () and places(old.resume(work))[0] == 3


class TestWhatCanNotBeTakenIn:
    @pytest.fixture
    def full(self, machines, tmp_path):
        """A journal with a work, and a sound file of another."""
        here, there = machines
        tell(here, ["next", "note", "version", "undo", "next"])
        begin(there)
        return there, file_of(here, tmp_path)

    def refused(self, journal: Journal, file: Path) -> str:
        before = all_of(journal)
        with pytest.raises(TransferError) as refused:
            journal.take_in(file)
        assert all_of(journal) == before and journal.error is None and journal.news() == ()
        assert refused.value.hint
        return refused.value.message

    def test_a_newer_file(self, full):
        journal, file = full
        con = sqlite3.connect(file)
        con.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
        con.close()
        assert self.refused(journal, file) == f"{file} was written by a newer coach."

    @pytest.mark.parametrize("text", [b"", b"# Seal\n\nRnd 1: 6 sc\n", b"SQLite format 3\0" + b"\0" * 900, b"\xff" * 5000])
    def test_a_foreign_file(self, full, tmp_path, text):
        other = tmp_path / "other"
        other.write_bytes(text)
        assert self.refused(full[0], other) == f"{other} is no file with works of the coach."

    def test_another_program_s_database(self, full, tmp_path):
        con = sqlite3.connect(tmp_path / "recipes.db")
        con.execute("CREATE TABLE recipes (id INTEGER)")
        con.close()
        assert "is no file with works" in self.refused(full[0], tmp_path / "recipes.db")

    def test_a_file_that_is_not_there_or_a_folder(self, full, tmp_path):
        assert self.refused(full[0], tmp_path / "none") == f"There is no file {tmp_path / 'none'}."
        assert "There is no file" in self.refused(full[0], tmp_path)

    def test_a_file_cut_off_anywhere(self, full, tmp_path):
        journal, file = full
        data = file.read_bytes()
        for end in range(100, len(data), 3001):
            (tmp_path / "cut").write_bytes(data[:end])
            assert "damaged" in self.refused(journal, tmp_path / "cut"), end

    def test_a_byte_changed_anywhere(self, full, tmp_path):
        """Refused, or of no consequence: what is taken in is what was written."""
        _, file = full
        data, refusals = file.read_bytes(), 0
        with Journal.open(tmp_path / "sound.db") as sound:
            sound.take_in(file)
            whole = all_of(sound)
        for n, at in enumerate(range(16, len(data), 397)):
            spoilt = tmp_path / "spoilt"
            spoilt.write_bytes(data[:at] + bytes([data[at] ^ 0x55]) + data[at + 1 :])
            with Journal.open(tmp_path / f"fresh-{n}.db") as fresh:
                try:
                    fresh.take_in(spoilt)
                except TransferError:
                    refusals += 1
                    assert fresh.works() == [] and fresh.error is None
                else:
                    assert all_of(fresh) == whole, at
        assert refusals

    def test_a_row_that_leads_nowhere(self, full, tmp_path):
        journal, file = full
        con = sqlite3.connect(file)
        (last,) = con.execute("SELECT max(id) FROM turns").fetchone()
        row = con.execute(f"SELECT {schema.TURN} FROM turns WHERE id = ?", (last,)).fetchone()
        row = (*row[:7], None, None, 10**9)
        con.execute("DELETE FROM turns WHERE id = ?", (last,))
        con.execute(f"INSERT INTO turns VALUES ({','.join('?' * 11)})", (*row, schema.checksum(row)))
        con.commit()
        con.close()
        assert "damaged" in self.refused(journal, file)


class TestWhatCanNotBeWritten:
    def test_over_another_file(self, machines, tmp_path):
        (tmp_path / "seal.md").write_text("# Seal")
        with pytest.raises(TransferError, match="is there already"):
            machines[0].export(tmp_path / "seal.md")
        assert (tmp_path / "seal.md").read_text() == "# Seal"

    def test_over_an_older_export_it_is(self, machines, tmp_path):
        here, there = machines
        file = file_of(here, tmp_path)
        begin(here)
        assert here.export(file) == 1 and there.take_in(file) == TakenIn(added=1)

    def test_where_there_is_no_folder(self, machines, tmp_path):
        with pytest.raises(TransferError, match="can't write"):
            machines[0].export(tmp_path / "none" / "works")
        assert machines[0].error is None and machines[0].news() == ()

    def test_what_is_not_on_disk_yet(self, tmp_path):
        (tmp_path / "home").write_text("a file where the folder should be")
        with Journal.open(tmp_path / "home" / "journal.db") as journal:
            begin(journal)
            for do in (journal.export, journal.take_in):
                with pytest.raises(JournalError):
                    do(tmp_path / "works")
        assert not (tmp_path / "works").exists()


def test_the_state_of_a_work_is_json_of_plain_values(machines, tmp_path):
    """So that a later coach can read it whatever becomes of the classes."""
    here, _ = machines
    tell(here, ["note"])
    con = sqlite3.connect(file_of(here, tmp_path))
    for (state,) in con.execute("SELECT state FROM turns WHERE state IS NOT NULL"):
        assert json.loads(state)["is"] == "State"
    con.close()
