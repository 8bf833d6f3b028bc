"""The journal in the words of its promises: works, undo, settings, and coming back."""

from __future__ import annotations

import hashlib
import sqlite3
import time
from datetime import UTC, datetime

import pytest
from walks import NEXT, TEXT, UNDO, begin, places, step, undone, walk

from coach.guide.model import Request, Settings, State
from coach.memory.journal import Journal
from coach.memory.model import JournalError


@pytest.fixture
def path(tmp_path):
    return tmp_path / "harbour" / "journal.db"


def reopened(journal: Journal) -> Journal:
    journal.close()
    return Journal.open(journal.path)


def test_a_new_journal_is_empty_and_makes_its_folder(path):
    with Journal.open(path) as journal:
        assert (journal.works(), journal.latest(), journal.error, journal.news()) == ([], None, None, ())
        assert journal.settings() == Settings()
    assert path.exists()


def test_its_place_is_that_of_the_variable(monkeypatch, tmp_path):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    with Journal.open() as journal:
        assert journal.path == tmp_path / "journal.db"


def test_a_work_is_kept_as_it_was_begun(path):
    clock = iter(range(1000, 2000, 10))
    journal = Journal.open(path, clock=lambda: next(clock))
    work = journal.begin("Buoy", TEXT, "~/patterns/buoy.md", "Small", "UK")
    journal.record(work, NEXT, step(journal.resume(work)))
    (kept,) = reopened(journal).works()
    assert kept.id == work.id
    assert (kept.title, kept.text, kept.file, kept.size, kept.terms) == (
        "Buoy", TEXT, "~/patterns/buoy.md", "Small", "UK")
    assert kept.begun == datetime.fromtimestamp(1000, UTC)
    assert kept.touched == datetime.fromtimestamp(1010, UTC)
    assert not kept.finished


@pytest.mark.parametrize("size", [None, "", "M", 0, 2])
def test_a_size_is_a_name_a_number_or_nothing(path, size):
    journal = Journal.open(path)
    journal.begin("Cap", TEXT, "cap.md", size)
    assert reopened(journal).latest().size == size


def test_a_text_is_stored_once_under_its_hash(path):
    journal = Journal.open(path)
    for title in ("Left flipper", "Right flipper"):
        journal.begin(title, TEXT, "seal.md")
    journal.begin("Tail", TEXT + "Rnd 3: sc around (12)\n", "seal.md")
    journal.close()
    con = sqlite3.connect(path)
    hashes = {key for (key,) in con.execute("SELECT hash FROM texts")}
    con.close()
    assert len(hashes) == 2
    assert hashlib.sha256(TEXT.encode()).hexdigest() in hashes


def test_a_changed_pattern_is_on_disk_with_the_first_state_that_is_worked_from_it(path):
    with Journal.open(path) as journal:
        work = begin(journal)
        key = journal.version(TEXT + "Rnd 3: inc x 12 (24)\n")
        assert journal.text(work, key).endswith("(24)\n") and journal.text(work, "") == TEXT
        journal.record(work, NEXT, step(journal.resume(work)).having(pattern=key))
    with Journal.open(path) as journal:
        assert journal.text(work, journal.resume(work).pattern).endswith("(24)\n")
        assert journal.text(work, journal.resume(work).before.pattern) == TEXT == work.text  # the old one is never lost
        assert journal.text(work, "of nothing") is None
        journal.record(work, NEXT, step(journal.resume(work)).having(pattern=journal.version(TEXT)))
        assert journal.text(work, journal.resume(work).pattern) == TEXT  # one that is there already
    con = sqlite3.connect(path)
    assert con.execute("SELECT count(*) FROM texts").fetchone() == (2,)
    con.close()


def test_the_work_touched_last_comes_first(path):
    journal = Journal.open(path)
    seal, puffin, buoy = (begin(journal, title) for title in ("Seal", "Puffin", "Buoy"))
    walk(journal, seal, journal.resume(seal), 1)
    assert [w.title for w in journal.works()] == ["Seal", "Buoy", "Puffin"]
    assert reopened(journal).latest().title == "Seal"


def test_the_order_holds_when_the_clock_is_set_back(path):
    clock = iter([300.0, 200.0, 100.0])
    journal = Journal.open(path, clock=lambda: next(clock))
    begin(journal, "Seal")
    begin(journal, "Puffin")
    assert [w.title for w in reopened(journal).works()] == ["Puffin", "Seal"]


def test_a_finished_work_is_not_the_latest_until_it_is_taken_up_again(path):
    journal = Journal.open(path)
    seal, buoy = begin(journal, "Seal"), begin(journal, "Buoy")
    state = walk(journal, buoy, journal.resume(buoy), 3)
    assert journal.finish(buoy) is None
    journal = reopened(journal)
    assert [(w.title, w.finished) for w in journal.works()] == [("Buoy", True), ("Seal", False)]
    assert journal.latest().id == seal.id
    assert places(journal.resume(buoy)) == places(state)
    journal.record(buoy, UNDO, undone(journal.resume(buoy)))
    assert [(w.title, w.finished) for w in reopened(journal).works()] == [("Buoy", False), ("Seal", False)]


def test_every_request_is_told_with_what_was_heard_and_said(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = journal.resume(work)
    for request in (NEXT, Request("go to round", 5), Request("what is", "inc"), Request("go to round", 10**30)):
        state = step(state)
        journal.record(work, request, state, request.name, "Said.")
    journal.finish(work)
    turns = reopened(journal).turns(work)
    assert [t.kind for t in turns] == ["begin", "turn", "turn", "turn", "turn", "finish"]
    assert [t.request for t in turns[1:5]] == [
        NEXT, Request("go to round", 5), Request("what is", "inc"), Request("go to round", 10**30)]
    assert (turns[2].heard, turns[2].said) == ("go to round", "Said.")


def test_half_a_character_heard_does_not_stop_the_coach(path):
    journal = Journal.open(path)
    work = begin(journal)
    assert journal.record(work, Request("note", "\udce9"), step(State()), "not\udce9 \0", "\ud83d") is None
    turn = reopened(journal).turns(work)[-1]
    assert turn.heard == "not? \0"
    assert turn.request.value == "\udce9"


def test_undo_goes_back_however_far_after_a_restart(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 40)
    journal = reopened(journal)
    assert places(journal.resume(work)) == places(state) == list(range(40, -1, -1))
    for steps in range(39, -1, -1):
        state = undone(journal.resume(work))
        assert journal.record(work, UNDO, state) is None
        journal = reopened(journal)
        assert places(journal.resume(work)) == list(range(steps, -1, -1))
    assert journal.resume(work).before is None


@pytest.mark.parametrize("back", [lambda state: state.before, undone], ids=["the very state", "a likeness of it"])
def test_going_on_after_an_undo_forgets_what_was_undone(path, back):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 3)
    state = back(back(state))
    journal.record(work, UNDO, state)
    state = step(state, 9)
    journal.record(work, NEXT, state)
    assert places(reopened(journal).resume(work)) == [9, 1, 0]


def test_an_undo_adds_a_row_and_changes_none(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 3)
    con = sqlite3.connect(path)
    rows = con.execute("SELECT * FROM turns ORDER BY id").fetchall()
    journal.record(work, UNDO, state.before)
    after = con.execute("SELECT * FROM turns ORDER BY id").fetchall()
    con.close()
    assert after[:-1] == rows
    assert after[-1][7] is None and after[-1][9] == rows[-2][0]  # the state of two steps stands again


def test_a_request_that_changes_nothing_can_give_the_same_state(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 2)
    journal.record(work, Request("repeat"), state)
    assert places(reopened(journal).resume(work)) == [2, 1, 0]


def test_states_that_no_request_led_to_are_kept_for_undo(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = step(step(step(State(), 5), 6), 7)  # none of these was recorded
    journal.record(work, Request("go to round", 2), state)
    journal = reopened(journal)
    assert places(journal.resume(work)) == [7, 6, 5, 0]
    assert [t.kind for t in journal.turns(work)] == ["begin", "turn"]


def test_each_work_has_its_own_place(path):
    journal = Journal.open(path)
    seal, puffin = begin(journal, "Seal"), begin(journal, "Puffin")
    shared = State()  # one object in two works
    one, two = step(shared, 4), step(shared, 8)
    journal.record(seal, NEXT, one)
    journal.record(puffin, NEXT, two)
    journal.record(seal, NEXT, step(one, 5))
    journal = reopened(journal)
    assert places(journal.resume(seal)) == [5, 4, 0]
    assert places(journal.resume(puffin)) == [8, 0]


def test_how_the_coach_talks_is_kept_across_works(path):
    journal = Journal.open(path)
    seal = begin(journal, "Seal")
    walk(journal, seal, journal.resume(seal), 2)
    buoy = begin(journal, "Buoy")
    fast = Settings(by="stitch", rate=320, volume=0.4)
    journal.record(buoy, Request("faster"), journal.resume(buoy).having(settings=fast))
    journal = reopened(journal)
    assert journal.settings() == fast
    resumed = journal.resume(seal)
    assert resumed.settings == fast and places(resumed) == [2, 1, 0]
    assert journal.resume(begin(journal, "Puffin")).settings == fast
    journal.record(seal, NEXT, step(resumed))
    assert places(reopened(journal).resume(seal))[0] == 3


def test_said_comes_back_for_repeat(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 1)
    assert reopened(journal).resume(work).said == state.said != ()


def test_a_state_that_can_not_be_kept_is_refused_and_the_next_one_is_not(path):
    journal = Journal.open(path)
    work = begin(journal)
    with pytest.raises(TypeError):
        journal.record(work, Request("next"), State(place=object()))
    walk(journal, work, journal.resume(work), 1)
    assert places(reopened(journal).resume(work)) == [1, 0]


def test_a_closed_journal_says_so_and_loses_nothing_before(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 1)
    journal.close()
    error = journal.record(work, NEXT, step(state))
    assert error.kind == "closed" and error.sentence == str(error) == "The journal is closed."
    assert places(Journal.open(path).resume(work)) == [1, 0]


def test_a_work_begun_nowhere_starts_at_the_beginning(path):
    elsewhere = Journal.open(path.with_name("other.db"))
    work = begin(elsewhere)
    assert places(Journal.open(path).resume(work)) == [0]


def test_the_journal_waits_for_the_disk_and_writes_ahead(path):
    statements = []

    def connect(path):
        con = sqlite3.connect(path, isolation_level=None)
        con.set_trace_callback(statements.append)
        return con

    journal = Journal.open(path, connect=connect)
    con = journal._file._con
    assert con.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL
    assert con.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    work = begin(journal)
    statements.clear()
    journal.record(work, NEXT, step(State()))
    assert (statements[0], statements[-1]) == ("BEGIN IMMEDIATE", "COMMIT")  # one record, one transaction
    assert len([s for s in statements if s.startswith("COMMIT")]) == 1


# The disk fails


def test_where_no_journal_can_be_made_the_coach_goes_on_in_memory(tmp_path):
    tmp_path.joinpath("harbour").write_text("a file where the folder should be")
    path = tmp_path / "harbour" / "journal.db"
    journal = Journal.open(path)
    assert isinstance(journal.error, JournalError) and journal.error.kind == "unreachable"
    assert journal.error.path == path
    (sentence,) = journal.news()
    assert sentence == ("I can't open or make the journal. "
                        "Your place is kept in memory only. I will keep trying to save it.")
    work = begin(journal)
    state = journal.resume(work)
    for _ in range(5):
        state = step(state)
        assert journal.record(work, NEXT, state) is journal.error
    assert journal.record(work, UNDO, state.before).kind == "unreachable"
    assert places(journal.resume(work)) == [4, 3, 2, 1, 0]
    assert [w.title for w in journal.works()] == ["Buoy"] and journal.latest() == journal.works()[0]
    assert len(journal.turns(work)) == 7
    assert journal.news() == ()  # said once

    tmp_path.joinpath("harbour").unlink()
    assert journal.retry() is None and journal.error is None
    assert journal.news() == ("Your place is saved again.",)
    journal = reopened(journal)
    assert places(journal.resume(work)) == [4, 3, 2, 1, 0]
    assert len(journal.turns(work)) == 7


def test_a_full_journal_says_so_and_is_saved_when_there_is_room(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 1)
    con = journal._file._con
    (pages,) = con.execute("PRAGMA page_count").fetchone()
    con.execute(f"PRAGMA max_page_count = {pages}")  # SQLite's own limit gives the error of a full disk
    errors = []
    for _ in range(200):
        state = step(state)
        error = journal.record(work, NEXT, state, "next", "x" * 100)
        errors.append(error and error.kind)
    saved = errors.index("full")
    assert set(errors[saved:]) == {"full"}
    assert journal.news() == ("The disk is full. Your place is kept in memory only. I will keep trying to save it.",)
    other = Journal.open(path)
    assert places(other.resume(work))[0] == saved + 1  # the last that was acknowledged
    other.close()
    con.execute("PRAGMA max_page_count = 1000000")
    assert journal.record(work, NEXT, step(state)) is None
    assert journal.news() == ("Your place is saved again.",)
    assert places(reopened(journal).resume(work)) == list(range(202, -1, -1))


def test_a_journal_deleted_under_the_coach_is_written_anew_with_all_that_undo_needs(path):
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 5)
    try:
        for file in path.parent.iterdir():
            file.unlink()
    except PermissionError:
        pytest.skip("this system doesn't let an open file be deleted")
    state = walk(journal, work, state, 1)
    assert journal.news() == ("The journal was moved or deleted. I go on in a new one.",)
    journal = reopened(journal)
    assert [w.title for w in journal.works()] == ["Buoy"]
    assert places(journal.resume(work)) == [6, 5, 4, 3, 2, 1, 0]


def test_opening_and_coming_back_do_not_grow_with_the_square_of_the_work(path):
    """The cost of a record stays the same: counted in steps of SQLite's machine, not in time."""
    costs = []

    def cost(journal, work, state):
        steps = 0

        def count():
            nonlocal steps
            steps += 1

        journal._file._con.set_progress_handler(count, 1)
        walk(journal, work, state, 1)
        journal._file._con.set_progress_handler(None, 0)
        return steps

    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 2)
    costs.append(cost(journal, work, state))
    state = walk(journal, work, journal.resume(work), 600)
    costs.append(cost(journal, work, state))
    assert costs[1] <= costs[0] * 1.2
    assert len(places(reopened(journal).resume(work))) == 605


def test_times_are_in_utc_and_real(path):
    before = time.time()
    journal = Journal.open(path)
    work = begin(journal)
    assert before - 1 <= work.begun.timestamp() <= time.time() + 1
    assert work.begun.tzinfo is UTC
