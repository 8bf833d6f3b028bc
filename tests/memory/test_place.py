"""Where the journal lies."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_data_dir

from coach.memory.place import HOME_VARIABLE, home, journal_path


def test_the_variable_decides(monkeypatch, tmp_path):
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path))
    assert home() == tmp_path
    assert journal_path() == tmp_path / "journal.db"


def test_a_tilde_is_the_users_folder(monkeypatch):
    monkeypatch.setenv(HOME_VARIABLE, "~/yarn")
    assert home() == Path.home() / "yarn"


def test_else_the_systems_folder(monkeypatch):
    monkeypatch.setenv(HOME_VARIABLE, "")
    assert home() == Path(user_data_dir("crochet-coach", appauthor=False))
    assert home().name == "crochet-coach"
