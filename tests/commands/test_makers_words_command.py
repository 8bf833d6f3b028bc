"""A maker's words.toml in the coach's folder, through the command line. (COACH_HOME is a folder of the test's.)"""

from __future__ import annotations


def test_own_words_of_the_file_are_obeyed(coach, tmp_path, monkeypatch):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    (tmp_path / "words.toml").write_text('[words]\n"onward" = "next"\n"undo" = "next"\n', "utf-8")
    done = coach("work", "buoy", "--typed", typed="onward\n")
    assert "Round 1." in done.out
    assert "Undo means something else already." in done.err


def test_a_broken_file_of_words_is_told_and_the_work_goes_on(coach, tmp_path, monkeypatch):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    (tmp_path / "words.toml").write_bytes(b"\xff[words")
    done = coach("work", "buoy", "--typed", typed="next\n")
    assert "words.toml can't be read" in done.err
    assert "Round 1." in done.out
