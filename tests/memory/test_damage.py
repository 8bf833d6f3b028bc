"""A flipped or missing byte anywhere: the journal gives what was written, or is set aside, kept, and said."""

from __future__ import annotations

import os
import random
import re
import shutil
from datetime import datetime
from pathlib import Path

import pytest
from walks import TEXT, begin, places, walk

from coach.memory.damage import copy_of, set_aside
from coach.memory.journal import Journal

FLIPS = int(os.environ.get("COACH_TEST_FLIPS", "300"))
SAID = re.compile(r"The journal was damaged\. "
                  r"It is set aside as (journal-damaged-\d{4}-\d\d-\d\d-\d{6}(?:-\d+)?\.db)\. "
                  r"Works saved out of it: (\d)\. Please check your place\.")


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> Path:
    """A journal with three works of 30 requests each, closed."""
    path = tmp_path_factory.mktemp("sound") / "journal.db"
    with Journal.open(path) as journal:
        works = [begin(journal, title) for title in ("Seal", "Puffin", "Buoy")]
        states = [journal.resume(work) for work in works]
        for _ in range(10):
            states = [walk(journal, work, state, 3) for work, state in zip(works, states)]
    return path


def found(journal: Journal) -> dict[str, tuple[list[int], int, str]]:
    return {work.title: (places(journal.resume(work)), len(journal.turns(work)), work.text) for work in journal.works()}


SOUND = {title: (list(range(30, -1, -1)), 31, TEXT) for title in ("Seal", "Puffin", "Buoy")}


def opened(path: Path, damaged: bytes) -> tuple[dict, int | None]:
    """What a coach finds in a damaged journal, and how many works it says it saved (None: it saw no damage)."""
    shutil.rmtree(path.parent, ignore_errors=True)
    path.parent.mkdir()
    path.write_bytes(damaged)
    with Journal.open(path) as journal:
        works = found(journal)
        if journal.error is not None:
            assert journal.error.kind == "newer"  # the flipped byte is the version's: refused, kept, said
            assert journal.news() and path.read_bytes() == damaged
            return {}, 0
        work = begin(journal, "After")
        walk(journal, work, journal.resume(work), 2)  # the coach goes on
        news = journal.news()
        assert len(news) <= 1, news
        saved = None
        if news:
            name, saved = SAID.fullmatch(news[0]).groups()
            assert (path.parent / name).read_bytes() == damaged  # kept as it was
    with Journal.open(path) as journal:
        assert journal.news() == () and journal.error is None
        assert found(journal) == works | {"After": ([2, 1, 0], 3, TEXT)}
    return works, saved if saved is None else int(saved)


def as_true_as_can_be(works: dict) -> bool:
    """Every place that is told was once the place; what undo goes back through may be cut short, never changed."""
    return all(title in SOUND and text == TEXT and undo == list(range(undo[0], undo[0] - len(undo), -1))
               for title, (undo, _, text) in works.items())


def test_a_flipped_byte_anywhere_is_noticed_or_harmless(tmp_path, sound):
    data = sound.read_bytes()
    chance = random.Random(7)
    chosen = [*range(0, 100, 3), *chance.sample(range(100, len(data)), FLIPS)]
    harmless = set_aside_ones = all_saved = 0
    for at in chosen:
        damaged = bytearray(data)
        damaged[at] ^= 1 << chance.randrange(8) if at % 2 else 0xFF
        works, saved = opened(tmp_path / "flipped" / "journal.db", bytes(damaged))
        if saved is None:
            harmless += 1
            assert works == SOUND, f"byte {at}"
        else:
            set_aside_ones += 1
            all_saved += works == SOUND
            assert as_true_as_can_be(works), f"byte {at}: {works}"
    print(f"{len(chosen)} bytes flipped of {len(data)}: {harmless} harmless, {set_aside_ones} set aside, "
          f"of these {all_saved} with everything saved")
    assert harmless and set_aside_ones


def test_a_table_s_name_that_is_no_text_any_more_is_damage(tmp_path, sound):
    """SQLite's own message then holds bytes that are no UTF-8."""
    data = sound.read_bytes()
    start = data.index(b"CREATE TABLE turns")
    for at in range(start, start + 40, 3):
        works, saved = opened(tmp_path / "named" / "journal.db", data[:at] + b"\xb1" + data[at + 1:])
        assert saved is not None and as_true_as_can_be(works)


def test_a_journal_cut_off_anywhere_is_set_aside(tmp_path, sound):
    data = sound.read_bytes()
    for size in [1, 15, 16, 99, 100, 511, 512, 1000, *range(2048, len(data), 2048), len(data) - 1]:
        works, saved = opened(tmp_path / "cut" / "journal.db", data[:size])
        assert saved is not None, f"cut to {size}"
        assert as_true_as_can_be(works), f"cut to {size}: {works}"


@pytest.mark.parametrize("content", [b"# Buoy\n" * 1000, b"\0" * 5000, b"SQLite format 3\0" + b"\xff" * 3000])
def test_what_was_never_a_journal_is_set_aside(tmp_path, content):
    assert opened(tmp_path / "text" / "journal.db", content) == ({}, 0)


def test_an_empty_file_is_a_new_journal(tmp_path):
    assert opened(tmp_path / "empty" / "journal.db", b"") == ({}, None)


def test_a_whole_region_of_zeros_costs_no_work_that_lies_elsewhere(tmp_path, sound):
    data = bytearray(sound.read_bytes())
    data[-4096:] = bytes(4096)  # the page written last
    works, saved = opened(tmp_path / "zeros" / "journal.db", bytes(data))
    assert saved == len(works) >= 1
    assert as_true_as_can_be(works)


def test_damage_while_the_coach_runs_is_mended_from_memory(tmp_path):
    path = tmp_path / "journal.db"
    journal = Journal.open(path)
    work = begin(journal)
    state = walk(journal, work, journal.resume(work), 10)
    con = journal._file._con
    con.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    con.execute("UPDATE turns SET said = 'something else' WHERE id = 5")  # a row that its sum doesn't know
    assert places(journal.resume(work))[0] == 10
    (said,) = journal.news()
    assert SAID.fullmatch(said).group(2) == "1"
    state = walk(journal, work, state, 1)
    journal.close()
    with Journal.open(path) as again:
        assert places(again.resume(work)) == list(range(11, -1, -1))  # undo is whole: memory had what the disk had lost


def test_two_set_aside_in_one_second_have_two_names(tmp_path):
    now = datetime(2026, 5, 4, 3, 2, 1)
    names = []
    for content in ("one", "two", "three"):
        path = tmp_path / "journal.db"
        path.write_text(content)
        path.with_name("journal.db-wal").write_text(f"log of {content}")
        aside = set_aside(path, now)
        names.append(aside.name)
        assert aside.read_text() == content
        assert aside.with_name(aside.name + "-wal").read_text() == f"log of {content}"
        assert not path.exists() and not path.with_name("journal.db-wal").exists()
    assert names == ["journal-damaged-2026-05-04-030201.db", "journal-damaged-2026-05-04-030201-2.db",
                     "journal-damaged-2026-05-04-030201-3.db"]


def test_a_copy_has_its_log_and_leaves_the_original(tmp_path):
    (tmp_path / "journal.db").write_text("rows")
    (tmp_path / "journal.db-wal").write_text("newer rows")
    folder = tmp_path / "copy"
    folder.mkdir()
    copy = copy_of(tmp_path / "journal.db", folder)
    assert copy.read_text() == "rows"
    assert sorted(p.name for p in folder.iterdir()) == ["journal.db", "journal.db-wal"]


def test_a_flipped_byte_in_the_log_gives_an_earlier_place_and_never_a_false_one(tmp_path):
    """SQLite takes what follows a broken frame for unwritten, as after a power cut: that can't be noticed."""
    path = tmp_path / "live" / "journal.db"
    journal = Journal.open(path)
    work = begin(journal, "Seal")
    walk(journal, work, journal.resume(work), 30)
    log = path.with_name("journal.db-wal").read_bytes()  # as a killed coach leaves it
    rows = path.read_bytes()
    journal.close()
    chance = random.Random(11)
    lengths = set()
    for at in [*range(32), *chance.sample(range(32, len(log)), 40)]:
        broken = bytearray(log)
        broken[at] ^= 1 << chance.randrange(8)
        copy = tmp_path / "broken" / "journal.db"
        shutil.rmtree(copy.parent, ignore_errors=True)
        copy.parent.mkdir()
        copy.write_bytes(rows)
        copy.with_name("journal.db-wal").write_bytes(broken)
        with Journal.open(copy) as again:
            works = found(again)
        assert as_true_as_can_be(works), f"byte {at}: {works}"
        lengths.add(works["Seal"][1] if works else 0)
    assert len(lengths) > 5
