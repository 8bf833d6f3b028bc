"""Journals of older and newer coaches, and files that are none."""

from __future__ import annotations

import sqlite3

import pytest
from walks import TEXT, begin, places, walk

from coach.memory import schema
from coach.memory.journal import Journal
from coach.memory.model import Damaged, JournalError


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.db"


def version_of(path) -> int:
    con = sqlite3.connect(path)
    try:
        return con.execute("PRAGMA user_version").fetchone()[0]
    finally:
        con.close()


def kept(path, steps: int = 5):
    """A journal with one work, closed."""
    with Journal.open(path) as journal:
        work = begin(journal)
        walk(journal, work, journal.resume(work), steps)
    return work


def test_the_version_stands_in_the_file(path):
    kept(path)
    assert version_of(path) == len(schema.STEPS)


@pytest.mark.parametrize("steps", range(len(schema.STEPS)))
def test_a_journal_of_every_older_version_becomes_one_of_this(path, steps):
    con = sqlite3.connect(path, isolation_level=None)
    for statements in schema.STEPS[:steps]:
        for statement in statements:
            con.execute(statement)
    con.execute(f"PRAGMA user_version = {steps}")
    con.execute(f"PRAGMA application_id = {schema.APPLICATION if steps else 0}")
    con.close()
    kept(path)
    assert version_of(path) == len(schema.STEPS)


def test_an_older_journal_keeps_its_works_when_a_step_is_added(path, monkeypatch):
    work = kept(path)
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, ("CREATE TABLE markers (work INTEGER, name TEXT)",)))
    with Journal.open(path) as journal:
        assert journal.error is None and journal.news() == ()
        assert [w.text for w in journal.works()] == [TEXT]
        assert places(journal.resume(work)) == [5, 4, 3, 2, 1, 0]
    assert version_of(path) == len(schema.STEPS)


def test_a_step_that_fails_leaves_the_older_journal_as_it_was(path, monkeypatch):
    work = kept(path)
    version = version_of(path)
    before = path.read_bytes()
    steps = schema.STEPS
    monkeypatch.setattr(schema, "STEPS", (*steps, ("CREATE TABLE markers (work INTEGER)", "CREATE TABLE works (id)")))
    con = schema.connect(path)
    with pytest.raises(sqlite3.OperationalError, match="works already exists"):
        schema.prepare(con, path)
    con.close()
    assert path.read_bytes() == before and version_of(path) == version
    monkeypatch.setattr(schema, "STEPS", steps)
    with Journal.open(path) as journal:
        assert places(journal.resume(work))[0] == 5


def test_a_newer_journal_is_refused_and_left_as_it_is(path, monkeypatch):
    kept(path)
    con = sqlite3.connect(path)
    con.execute("CREATE TABLE charts (id INTEGER)")
    con.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
    con.commit()
    con.close()
    before = path.read_bytes()
    journal = Journal.open(path)
    assert journal.error.kind == "newer"
    assert journal.error.sentence == (
        "This journal was written by a newer coach. Please update the coach. I leave the journal as it is.")
    (sentence,) = journal.news()
    assert sentence.startswith(journal.error.sentence)
    assert journal.works() == []
    work = begin(journal)  # the maker can go on, in memory
    assert places(journal.resume(work)) == [0]
    journal.close()
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == ["journal.db"]


def test_a_database_of_another_program_is_not_taken_for_a_journal(path):
    con = sqlite3.connect(path)
    con.execute("CREATE TABLE recipes (id INTEGER)")
    con.commit()
    con.close()
    con = schema.connect(path)
    with pytest.raises(Damaged):
        schema.prepare(con, path)
    con.close()
    with Journal.open(path) as journal:
        assert "is set aside as" in journal.news()[0]
        assert journal.error is None
    aside = [p for p in path.parent.iterdir() if p.name != "journal.db"]
    con = sqlite3.connect(aside[0])
    assert con.execute("SELECT name FROM sqlite_master").fetchall() == [("recipes",)]
    con.close()


def test_a_transaction_is_all_or_nothing(path):
    con = schema.connect(path)
    schema.prepare(con, path)
    with pytest.raises(KeyError), schema.transaction(con):
        con.execute("INSERT INTO texts VALUES ('a', 'b')")
        raise KeyError
    assert con.execute("SELECT count(*) FROM texts").fetchone() == (0,)
    con.close()


def test_a_row_is_what_was_written_or_it_is_damaged():
    row = (1, 7, "turn", 12.5, '["next",null]', "next", "Two.", "{}", None, None)
    assert schema.checked((*row, schema.checksum(row))) == row
    for i in range(len(row)):
        changed = row[:i] + ("x",) + row[i + 1:]
        with pytest.raises(Damaged):
            schema.checked((*changed, schema.checksum(row)))


def test_prepare_refuses_by_raising(path):
    kept(path)
    con = schema.connect(path)
    con.execute("PRAGMA user_version = 99")
    with pytest.raises(JournalError) as refused:
        schema.prepare(con, path)
    con.close()
    assert refused.value.kind == "newer" and "99" in refused.value.detail
