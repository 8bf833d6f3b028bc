"""`coach works --export` and `--import`: works moved to another machine, as a maker does it."""

from __future__ import annotations

import json

import pytest


@pytest.fixture
def machine(coach, home, monkeypatch):
    """Runs the coach on one of several machines, each with its own journal."""
    def run(name: str, *args: str, typed: str = ""):
        monkeypatch.setenv("COACH_HOME", str(home.parent / name))
        return coach(*args, typed=typed)
    return run


def lines(done) -> list[str]:
    assert done.returncode == 0, done.err
    return done.out.splitlines()


def test_works_go_to_another_machine_and_on_from_where_they_were(machine, home):
    (home / "mine.md").write_text("# Little buoy\n\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n")
    machine("desk", "work", "mine.md", "--typed", "--hand", "left", typed="go to round 3\nnote too tight\nmark this\nfaster\n")
    machine("desk", "work", "buoy", "--typed", typed="go to round 7\n")
    told = lines(machine("desk", "works", "--export", "my_works"))
    assert told == ["2 works are in my_works. On the other machine: coach works --import my_works"]
    (home / "mine.md").unlink()  # the pattern is not on the other machine
    arrived = lines(machine("boat", "works", "--import", "my_works"))
    assert arrived[0] == "2 works were added."
    assert arrived[1].startswith("Mooring buoy: Buoy. Round 7,") and arrived[2].startswith("Little buoy: ")
    assert "Round 7," in lines(machine("boat", "--typed"))[0]
    mine = lines(machine("boat", "work", "little buoy", "--typed", typed="my notes\nundo\nundo\nmy notes\n"))
    assert mine[0].endswith("I go on with the pattern as it was.") and "Round 3." in mine[1]
    assert "too tight" in mine[2] and "too tight" in mine[5]


def test_before_the_first_work_nothing_is_taken_along(machine):
    assert lines(machine("desk", "works", "--export", "my_works")) == ["There is no work yet: my_works holds none."]
    assert lines(machine("boat", "works", "--import", "my_works"))[0] == "There is no work in this file."


def test_the_same_pattern_in_another_folder_is_known_again(machine, home):
    (home / "a").mkdir()
    (home / "b").mkdir()
    for folder in ("a", "b"):
        (home / folder / "mine.md").write_text("# Little buoy\n\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n")
    machine("desk", "work", "a/mine.md", "--typed", typed="go to round 2\n")
    machine("desk", "works", "--export", "my_works")
    (home / "a" / "mine.md").unlink()
    machine("boat", "works", "--import", "my_works")
    assert "Round 2." in lines(machine("boat", "work", "b/mine.md", "--typed"))[0]


def test_works_that_are_there_stay_and_stay_first(machine):
    machine("desk", "work", "seal", "--typed", typed="next\n")
    machine("desk", "works", "--export", "my_works")
    machine("boat", "work", "buoy", "--typed", typed="next\n")
    told = lines(machine("boat", "works", "--import", "my_works"))
    assert [line.partition(":")[0] for line in told] == ["1 work was added.", "Mooring buoy", "Harbour seal", "Go on with the first of these"]
    assert lines(machine("boat", "works", "--import", "my_works"))[0] == "1 was here already."


def test_what_went_on_on_both_machines_is_told(machine):
    machine("desk", "work", "buoy", "--typed", typed="next\n")
    machine("desk", "works", "--export", "my_works")
    machine("boat", "works", "--import", "my_works")
    machine("boat", "work", "buoy", "--typed", typed="next\nnext\n")
    machine("boat", "works", "--export", "back")
    assert lines(machine("desk", "works", "--import", "back"))[0] == "1 had gone further there, and goes on from there."
    machine("desk", "work", "buoy", "--typed", typed="next\n")
    machine("boat", "work", "buoy", "--typed", typed="go to round 9\n")
    machine("boat", "works", "--export", "back")
    assert lines(machine("desk", "works", "--import", "back"))[0] == "1 had gone on in another way there: it is kept beside yours."


def test_in_json_the_list_stays_a_list(machine):
    machine("desk", "work", "buoy", "--typed", typed="next\n")
    machine("desk", "works", "--export", "my_works")
    done = machine("boat", "works", "--import", "my_works", "--json")
    assert [work["title"] for work in json.loads(done.out)] == ["Mooring buoy"] and done.err == "1 work was added.\n"


@pytest.mark.parametrize("name, text, told", [
    ("none", None, "There is no file none.\nCheck the name and the folder."),
    ("seal.md", "# Seal\n", "seal.md is no file with works of the coach.\nOne is made with: coach works --export FILE"),
])
def test_what_can_not_be_taken_in_is_told(machine, home, name, text, told):
    if text:
        (home / name).write_text(text)
    done = machine("boat", "works", "--import", name)
    assert (done.returncode, done.err.strip()) == (2, told)


def test_nothing_is_written_over(machine, home):
    (home / "seal.md").write_text("# Seal\n")
    done = machine("desk", "works", "--export", "seal.md")
    assert (done.returncode, done.err.strip()) == (2, "seal.md is there already, and is something else.\nChoose another name.")
    assert (home / "seal.md").read_text() == "# Seal\n"


def test_only_one_way_at_a_time(machine):
    done = machine("desk", "works", "--export", "a", "--import", "b")
    assert done.returncode == 2 and "not allowed with" in done.err


def test_a_folder_that_is_not_there_is_named(coach, tmp_path):
    done = coach("works", "--export", str(tmp_path / "no folder" / "my_works"))
    assert done.returncode == 2 and f"there is no folder {tmp_path / 'no folder'}." in done.err
