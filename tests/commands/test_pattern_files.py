"""Patterns by path or name, and bad input: a message with a hint, exit code 2, never a traceback."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coach.commands.files import Unreadable, decoded, find, patterns, typed

ROOT = Path(__file__).parents[2]
ROUND = "Rnd 1: 6 sc in magic ring (6)\n"


# ---- bad input


BAD = {
    "missing": (None, "There is no file or pattern called bad.md.", "The patterns here are"),
    "empty": (b"", "bad.md is empty.", "Rnd 1"),
    "blank": (b" \n\n\t\n", "bad.md is empty.", "Rnd 1"),
    "binary": (bytes(range(256)) * 4, "bad.md is not text.", "coach bring"),
    "picture": (b"\x89PNG\r\n\x1a\n\0\0\0", "bad.md is a picture, not text.", "coach bring"),
    "photo": (b"\xff\xd8\xff\xe0\0\x10JFIF", "bad.md is a picture, not text.", "coach bring"),
    "document": (b"PK\x03\x04\x14\0", "bad.md is a document or an archive", "coach bring bad.md"),
    "pdf": (b"%PDF-1.7\n...", "bad.md is a PDF.", "coach bring"),
    "not UTF-8": (b"Rnd 1: 6 sc\nRnd 2: caf\xe9\n", "line 2 has a byte that does not belong", "UTF-8"),
    "too long": (b"Rnd 1: 6 sc in magic ring\n" * 400_000, "too long for a pattern", "own file"),
}


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("command", ["check", "work"])
def test_a_file_that_is_no_pattern(coach, home, kind, command):
    content, message, hint = BAD[kind]
    if content is not None:
        (home / "bad.md").write_bytes(content)
    done = coach(command, "bad.md", *(["--typed"] if command == "work" else []))
    assert done.returncode == 2
    assert message in done.err.splitlines()[0]
    assert hint in done.err
    assert done.out == ""


@pytest.mark.parametrize("command", ["check", "work"])
def test_a_directory_is_no_pattern(coach, home, command):
    (home / "wool").mkdir()
    (home / "wool" / "scarf.md").write_text(ROUND)
    done = coach(command, "wool")
    assert done.returncode == 2
    assert done.err.splitlines() == [
        "wool is a folder, not a pattern.", f"Name a file in it, like {Path('wool/scarf.md')}."]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(coach, home):
    (home / "secret.md").write_text(ROUND)
    (home / "secret.md").chmod(0)
    done = coach("check", "secret.md")
    assert done.returncode == 2
    assert "not allowed to read" in done.err


@pytest.mark.parametrize("ending", ["\r\n", "\r", "\n"])
def test_line_ends_of_every_system_are_read(ending):
    assert decoded(f"Rnd 1: 6 sc{ending}Rnd 2: 6 sc".encode(), "a.txt") == "Rnd 1: 6 sc\nRnd 2: 6 sc"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_marks_at_the_front_of_a_file_are_understood(encoding):
    assert decoded("Rnd 1: 6 sc – möwe".encode(encoding), "a.txt") == "Rnd 1: 6 sc – möwe"


def test_half_a_utf_16_file_is_no_text():
    with pytest.raises(Unreadable, match="not text"):
        decoded("Rnd 1".encode("utf-16") + b"\xd8", "a.txt")


# ---- patterns by name


def test_our_patterns_have_names(home):
    assert {"buoy", "seal", "puffin", "lighthouse", "dishcloth", "square", "cap"} <= set(patterns())
    assert find("seal") == find("seal.md") == ROOT / "patterns/seal.md"


def test_a_file_here_comes_before_a_pattern_of_that_name(home):
    (home / "seal").write_text(ROUND)
    assert find("seal") == Path("seal")


def test_a_pattern_in_the_folder_here_comes_before_ours(home):
    (home / "patterns").mkdir()
    (home / "patterns" / "seal.txt").write_text(ROUND)
    assert find("seal") == home / "patterns/seal.txt"


@pytest.mark.parametrize("name", ["", " "])
def test_no_name_is_no_folder(name):
    with pytest.raises(Unreadable, match="No pattern is named"):
        find(name)


def test_a_name_nearly_right_is_answered_with_the_right_one(home):
    with pytest.raises(Unreadable, match="Did you mean lighthouse?"):
        find("lighthuose")


# ---- what to type


def test_a_pattern_file_is_named_as_it_can_be_typed_from_here(home, monkeypatch):
    (home / "net bags").mkdir()
    monkeypatch.chdir(home)
    assert typed(str(home / "net bags" / "crab.txt")) == "'net bags/crab.txt'"
    assert typed(str(home / "crab.txt")) == "crab.txt"
    assert typed(str(ROOT / "patterns" / "seal.md")) == "seal"
    assert typed("-") == "-"
    monkeypatch.chdir(home / "net bags")
    assert typed(str(home / "crab.txt")) == str(home / "crab.txt")


def test_the_hint_of_a_work_with_faults_can_be_typed(coach, home):
    (home / "pots").mkdir()
    (home / "pots" / "crab.txt").write_text(ROUND + "Rnd 2: inc x 6 (13)\n")
    lines = coach("work", "pots/crab.txt", "--typed").out.splitlines()
    told = next(line for line in lines if "To see more" in line)
    assert told.endswith("coach check pots/crab.txt")
    assert coach(*told.split("coach ")[1].split()).returncode == 1
