"""`coach check`: counts, faults with their place, JSON for scripts."""

from __future__ import annotations

import json

from coach.commands.check import fault_text
from coach.notation.model import Fault, Pattern, line_starts

ROUND = "Rnd 1: 6 sc in magic ring (6)\n"
WRONG = "# Wrong buoy\n\n## Buoy\n\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (13)\n"


def test_check_prints_every_round_with_its_count_and_exits_0(coach):
    done = coach("check", "buoy")
    assert done.returncode == 0
    assert "Mooring buoy" in done.out
    for label, made in [("Rnd 1", 6), ("Rnd 4", 24), ("Rnd 6", 24), ("Rnd 11", 6)]:
        assert f"  {label}: {made}\n" in done.out
    assert done.out.rstrip().endswith("11 rounds. No faults.")


def test_check_shows_a_fault_with_its_line_a_caret_under_the_place_and_a_hint(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("check", "wrong.md")
    assert done.returncode == 1
    lines = done.out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("Line 6, column "))
    assert ": error: " in lines[at]
    assert lines[at + 1] == "    Rnd 2: inc x 6 (13)"
    caret = lines[at + 2]
    assert set(caret.strip()) == {"^"}
    column = int(lines[at].split("column ")[1].split(":")[0])
    assert caret.index("^") == 4 + column - 1
    assert lines[-1] == "2 rounds. 1 error."


def test_check_json_has_exactly_the_fixed_fields(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("check", "wrong.md", "buoy", "--json")
    assert done.returncode == 1
    wrong, buoy = json.loads(done.out)
    assert list(wrong) == ["file", "title", "terms", "sizes", "parts", "faults"]
    assert (wrong["file"], wrong["title"], wrong["terms"], wrong["sizes"]) == ("wrong.md", "Wrong buoy", "US", [])
    assert list(wrong["parts"][0]) == ["name", "make", "rounds"]
    assert wrong["parts"][0]["rounds"][1] == {
        "label": "Rnd 2", "number": 2, "line": 6, "made": 12, "stated": 13, "takes": 6, "base": 6}
    (fault,) = wrong["faults"]
    assert list(fault) == ["line", "column", "end_column", "severity", "kind", "message", "hint"]
    assert (fault["line"], fault["severity"]) == (6, "error")
    assert buoy["faults"] == []
    assert [r["label"] for r in buoy["parts"][0]["rounds"]] == [f"Rnd {n}" for n in range(1, 12)]


def test_check_takes_standard_input(coach):
    done = coach("check", "-", typed=ROUND)
    assert done.returncode == 0
    assert "Rnd 1: 6" in done.out


def test_check_in_another_size(coach):
    small, large = (json.loads(coach("check", "cap", "--json", "--size", size).out)[0] for size in ("s", "L"))
    assert small["sizes"] == large["sizes"]
    made = [sum(r["made"] for p in cap["parts"] for r in p["rounds"]) for cap in (small, large)]
    assert made[0] < made[1]


def test_an_unknown_size_names_those_there_are(coach):
    done = coach("check", "cap", "--size", "giant")
    assert done.returncode == 2
    assert "no size giant" in done.err
    assert done.err.splitlines()[1] == "Its sizes are: S, M, L."


def test_check_has_no_colour_where_nobody_looks_at_a_terminal(coach, home):
    (home / "wrong.md").write_text(WRONG)
    assert "\x1b" not in coach("check", "wrong.md").out


def test_colour_is_an_extra_that_changes_no_words():
    text = "Rnd 1: 6 cs in ring\n"
    pattern = Pattern(text, lines=line_starts(text))
    fault = Fault("word", "error", 1, 10, 12, "I don't know cs.", "Do you mean sc?")
    plain, coloured = list(fault_text(pattern, fault)), list(fault_text(pattern, fault, colour=True))
    assert plain[0] == "Line 1, column 10: error: I don't know cs."
    assert plain[2] == "    " + " " * 9 + "^^"
    assert coloured[0] != plain[0]
    assert coloured[0].replace("\x1b[31m", "").replace("\x1b[0m", "") == plain[0]
    assert coloured[1:] == plain[1:]


def test_a_caret_stays_under_its_place_behind_a_tab():
    text = "\tRnd 1: 6 cs"
    fault = Fault("word", "error", 1, 11, 13, "I don't know cs.")
    assert list(fault_text(Pattern(text, lines=(0,)), fault))[2] == "    \t" + " " * 9 + "^^"


def test_an_unreadable_file_among_others_is_told_in_json_and_the_others_are_checked(coach):
    done = coach("check", "nowhere.md", "buoy", "--json")
    assert done.returncode == 2
    nowhere, buoy = json.loads(done.out)
    assert nowhere["faults"][0]["kind"] == "unreadable"
    assert list(nowhere) == list(buoy)
    assert buoy["title"] == "Mooring buoy"


def test_rows_are_counted_as_rows(coach, home):
    (home / "strap.md").write_text("# Strap\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. (10)\nRow 2: Ch 1, turn, sc "
        "across. (10)\n")
    assert coach("check", "strap.md").out.splitlines()[-1] == "2 rows. No faults."
    (home / "cap.md").write_text(f"# Cap\n\n## Crown\n\n{ROUND}\n## Strap\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch. (10)\n")
    assert coach("check", "cap.md").out.splitlines()[-1] == "1 round and 1 row. No faults."
