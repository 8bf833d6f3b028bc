"""`coach work` and `coach` with typed requests: answers, JSON, going on where the work was left."""

from __future__ import annotations

import json

import pytest

from coach.guide.hours import spent
from coach.guide.model import Place, Request
from coach.memory.journal import Journal

ROUND = "Rnd 1: 6 sc in magic ring (6)\n"
WRONG = "# Wrong buoy\n\n## Buoy\n\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (13)\n"


def test_typed_requests_are_answered_one_a_line_and_the_end_says_how_to_go_on(coach):
    done = coach("work", "buoy", "--typed", typed="next\nnext\n")
    assert done.returncode == 0
    lines = done.out.splitlines()
    assert lines[0].startswith("Mooring buoy.")
    assert lines[1].startswith("Round 1.")
    assert lines[2].startswith("Round 2.")
    assert lines[3] == "Your place is kept. Go on with: coach"


def test_finished_for_now_tells_that_the_place_is_on_disk(coach):
    lines = coach("work", "buoy", "--typed", typed="next\nfinished for now\n").out.splitlines()
    assert lines[-2] == "Your place is kept. Buoy. Round 1. 0 of 6 stitches done. Until next time."
    assert lines[-1] == "Go on with: coach"


def test_a_start_script_is_named_as_the_way_to_go_on(coach, monkeypatch):
    monkeypatch.setenv("COACH_COMMAND", "./start")
    assert coach("work", "buoy", "--typed").out.splitlines()[-1] == "Your place is kept. Go on with: ./start"


def test_json_has_one_line_for_each_line_read_with_exactly_the_fixed_fields(coach):
    done = coach("work", "buoy", "--typed", "--json", typed="next\nflurb\n\ngo to round 5\nHow many left?\nnext")
    assert done.returncode == 0
    told = [json.loads(line) for line in done.out.splitlines()]
    fields = ["heard", "request", "part", "piece", "round", "label", "stitch", "of", "total", "step", "said"]
    assert all(list(line) == fields for line in told)
    assert [line["heard"] for line in told] == ["next", "flurb", "", "go to round 5", "How many left?", "next"]
    assert [line["request"] for line in told] == ["next", None, None, "go_round", "left", "next"]
    first, fifth, last = told[0], told[3], told[-1]
    assert [first[name] for name in ("part", "piece", "round", "label", "stitch")] == ["Buoy", 1, 1, "Rnd 1", 0]
    assert (fifth["round"], fifth["label"], fifth["of"], fifth["total"]) == (5, "Rnd 5", 24, 6 + 12 + 18 + 24)
    assert fifth["step"] == "sc 24"
    assert last["said"]


def test_at_the_end_of_a_piece_its_last_round_is_finished(coach):
    asked = "go to round 11\n" + "next\n" * 40
    told = [json.loads(line) for line in coach("work", "buoy", "--typed", "--json", typed=asked).out.splitlines()]
    ends = [t for t in told if t["round"] == 11 and t["stitch"] == t["of"] == 6]
    assert ends
    assert {t["total"] for t in ends} == {192}
    assert told[-1]["part"] is None
    assert told[-1]["said"] == "All done."


def test_the_work_goes_on_where_it_was_left_and_fresh_begins_anew(coach):
    coach("work", "buoy", "--typed", typed="go to round 7\n")
    assert "Round 7," in coach("work", "buoy", "--typed").out
    assert "Round 7," in coach("--typed").out
    fresh = coach("work", "buoy", "--typed", "--fresh", typed="where\n").out
    assert "Round 7," not in fresh
    assert "Round 1." in fresh


def test_a_part_that_is_called_like_the_work_is_listed_once(coach, home):
    (home / "float.txt").write_text(f"Little float\n{ROUND}Rnd 2: inc x 6 (12)\n")
    coach("work", "float.txt", "--typed", typed="next\n")
    assert coach("works").out.startswith("Little float. Round 1. 0 of 6 stitches done.")
    (home / "other.txt").write_text(f"# Little float two\n\n## Little float\n{ROUND}")
    coach("work", "other.txt", "--typed", typed="next\n")
    assert coach("works").out.startswith("Little float two: Little float. Round 1.")


def test_works_lists_the_works_in_progress_the_last_one_first(coach):
    assert "no work in progress" in coach("works").out
    coach("work", "seal", "--typed", typed="next\n")
    coach("work", "buoy", "--typed", typed="go to round 7\n")
    lines = coach("works").out.splitlines()
    assert lines[0].startswith("Mooring buoy: Buoy. Round 7,")
    assert lines[1].startswith("Harbour seal: ")
    buoy, seal = json.loads(coach("works", "--json").out)
    assert (buoy["title"], buoy["part"], buoy["round"]) == ("Mooring buoy", "Buoy", 7)
    assert buoy["total"] == 6 + 12 + 18 + 24 * 3
    assert seal["file"].endswith("seal.md")


@pytest.mark.parametrize("end", ["", "finished for now\n"])
def test_a_finished_work_is_not_taken_up_again(coach, end):
    lines = coach("work", "buoy", "--typed", typed="go to round 11\n" + "next\n" * 40 + end).out.splitlines()
    assert lines[-1].endswith("Mooring buoy is finished. Begin another with: coach")
    assert ("Your place is kept." in lines[-1]) is (end == "")  # else it was said
    assert coach("works", "--json").out.strip() == "[]"
    assert "Which pattern?" in coach("--typed").out


def test_a_work_that_was_undone_from_its_end_is_not_finished(coach):
    lines = coach("work", "buoy", "--typed", typed="go to round 11\n" + "next\n" * 40 + "back\n").out.splitlines()
    assert "All done." in lines
    assert lines[-1] == "Your place is kept. Go on with: coach"
    assert "Mooring buoy." in coach("--typed").out


def test_a_journal_that_cannot_be_kept_is_said_and_no_place_is_promised(coach, home):
    (home.parent / "home").write_text("a file where the folder should be")
    lines = coach("work", "buoy", "--typed", typed="next\n").out.splitlines()
    assert any(line.startswith("Round 1.") for line in lines)
    assert lines[-1].startswith("Your place is not saved. ")
    assert not any("Your place is kept." in line for line in lines)
    lines = coach("work", "buoy", "--typed", typed="next\nfinished for now\n").out.splitlines()
    assert lines[-2].startswith("Your place is not saved. I can't open or make the journal. Buoy. Round 1. ")
    assert not any("kept" in line for line in lines[-2:])
    works = coach("works")
    assert works.returncode == 2
    assert works.err.startswith("The works can't be read. ")


def test_how_much_is_read_at_once_and_the_terms_are_chosen(coach):
    one = coach("work", "buoy", "--typed", "--json", "--by", "stitch", "--terms", "uk", typed="go to round 5\n").out
    told = json.loads(one)
    assert told["step"] == "sc"
    assert "ouble crochet" in told["said"]
    whole = json.loads(coach("work", "buoy", "--typed", "--json", "--by", "round", typed="go to round 5\n").out)
    assert whole["step"] == "sc 24"


def test_without_a_command_the_patterns_are_offered_by_number_and_name(coach):
    done = coach("--typed", typed="help\nship\nHarbour seal\nnext\n")
    lines = done.out.splitlines()
    assert lines[0].startswith("Which pattern? Say number one to number ")
    assert "Harbour seal." in lines[0]
    assert lines[1] == lines[0] and lines[2] == f"That is none of them. {lines[0]}"
    assert lines[3] == "Harbour seal." and lines[4].startswith("Head. ")  # told once
    assert done.returncode == 0


def test_leaving_without_choosing_begins_nothing(coach):
    assert coach("--typed", typed="bye\n").out.splitlines()[-1] == "Nothing was begun. Start again with: coach"
    assert coach("--typed").returncode == 0
    assert json.loads(coach("works", "--json").out) == []


def test_strange_typed_bytes_are_a_line_like_any_other(coach):
    done = coach("work", "buoy", "--typed", "--json",
                 typed=b"\xffbuoy\x00\nnext\r\nn\xc3\xa9xt\n" + b"x" * 50_000 + b"\nnext")
    told = [json.loads(line) for line in done.out.splitlines()]
    assert [t["request"] for t in told] == [None, "next", None, None, "next"]


def test_an_unknown_language_names_those_there_are(coach):
    done = coach("work", "buoy", "--typed", "--language", "xx")
    assert done.returncode == 2
    assert "en" in done.err


def test_a_pattern_with_faults_is_worked_and_they_are_counted_first(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("work", "wrong.md", "--typed", typed="next\nnext\n")
    assert done.returncode == 0
    assert done.out.splitlines()[0] == "This pattern has a fault. To see more: coach check wrong.md"
    assert "Round 2." in done.out


def test_works_names_a_work_once_whose_part_is_called_the_same(coach, home):
    (home / "cone.md").write_text("# Cone\n\nCone\n\nRnd 1: 6 sc in magic ring. (6)\n")
    coach("work", "cone.md", "--typed", "--by", "round", typed="next\nnext\n")
    line = coach("works").out.splitlines()[0]
    assert line.startswith("Cone: ") and not line.startswith("Cone: Cone")


def test_works_tells_how_long_was_worked_and_at_which_part(coach, home):
    coach("work", "seal", "--typed", typed="next\n")
    with Journal.open(home.parent / "home" / "journal.db") as journal:
        work = journal.latest()
        state = spent(spent(journal.resume(work), 3_700.0).having(place=Place(1)), 1_300.0)
        journal.record(work, Request("go_part", "body"), state)
    line = coach("works").out.splitlines()[0]
    assert " Worked for 1 hour and 23 minutes (Head 1 hour and 2 minutes, Body 22 minutes). Last worked on " in line
    (told,) = json.loads(coach("works", "--json").out)
    assert (told["worked"], told["worked_at"]) == (5_000, {"Head": 3_700, "Body": 1_300})


def test_works_says_nothing_of_time_when_there_was_none(coach):
    coach("work", "buoy", "--typed", typed="next\n")
    assert "Worked for" not in coach("works").out


def test_a_new_work_in_several_sizes_asks_for_one(coach):
    lines = coach("work", "cap", "--typed", typed="flurb\nm\nnext\n").out.splitlines()
    asked = "Which size? 1: S. 2: M. 3: L. Say its number, or next for the first."
    assert lines[:3] == [asked, f"That is none of them. {asked}", "Size M."]
    assert lines[3].startswith("Harbour cap. Cap. ")
    with Journal.open() as journal:
        assert journal.latest().size == "M"
    assert coach("work", "cap", "--typed").out.startswith("Harbour cap. Size M, of S, M, L.")  # taken up: not asked again


def test_the_first_size_is_taken_by_next_and_one_of_the_command_line_is_not_asked_for(coach):
    assert coach("work", "cap", "--typed", typed="next\n").out.splitlines()[1] == "Size S."
    assert coach("work", "cap", "--typed", "--size", "L").out.startswith("Harbour cap. Size L, of S, M, L.")


def test_whoever_leaves_without_a_size_has_begun_nothing(coach):
    done = coach("work", "cap", "--typed", typed="finished for now\n")
    assert done.returncode == 0
    assert done.out.splitlines()[1:] == ["Nothing was begun. Start again with: coach work cap"]
    with Journal.open() as journal:
        assert journal.latest() is None


def test_choosing_a_pattern_tells_it_and_then_asks_for_its_size(coach):
    done = coach("--typed", "--json", typed="cap\n3\nnext\n")
    assert [(line["heard"], line["request"], line["said"]) for line in map(json.loads, done.out.splitlines())][:2] == [
        ("cap", "choose", "Harbour cap."), ("3", "choose", "Size L.")]
    told = coach("--fresh", "--typed", typed="buoy\n").out.splitlines()
    assert told[1:3] == ["Mooring buoy.", told[2]] and told[2].startswith("Buoy. ")
