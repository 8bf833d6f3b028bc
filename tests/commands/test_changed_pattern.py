"""A pattern file that was changed while the work lay there: told, kept, asked, and never lost."""

from __future__ import annotations

import json
import sqlite3

import pytest

BEGUN = """# Little buoy

Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: sc in each st around (18)
Rnd 5: sc in each st around (18)
"""
WIDER = BEGUN.replace("Rnd 4: sc in each st around (18)", "Rnd 4: (sc 2, inc) x 6 (24)").replace(
    "Rnd 5: sc in each st around (18)", "Rnd 5: sc in each st around (24)")
QUESTION = "Go on with the new pattern, or keep the old one? Say yes for new, no for old."
LATER = BEGUN + "Rnd 6: (sc, dec) x 6 (12)\n"


@pytest.fixture
def work(coach, home):
    """Writes the pattern anew and works on it: the lines that are printed."""
    def run(text: str | None, typed: str, *options: str) -> list[str]:
        if text is not None:
            (home / "mine.md").write_text(text)
        done = coach("work", "mine.md", "--typed", *options, typed=typed)
        assert done.returncode == 0, done.err
        return done.out.splitlines()
    return run


def test_rounds_added_at_the_end_are_told_and_taken_up(work):
    work(BEGUN, "go to round 3\nnext\n")
    lines = work(LATER, "go to round 6\n")
    assert lines[0] == ("The pattern file has changed. Round 6 is new. I go on with the new one: your place is the same. "
                        "Little buoy. Piece. Round 3. 3 of 18, 1 repeat done. Last: increase. "
                        "Next: single crochet, increase; 2 of 6.")
    assert lines[1].startswith("Round 6. ")


def test_a_round_that_was_worked_and_is_another_now_is_asked_about(work):
    work(BEGUN, "go to round 5\nnext\n")
    lines = work(WIDER, "where am I\n")
    assert "Round 4 has changed: it makes 24 now, it made 18. Round 5 has changed: it makes 24 now, it made 18." in lines[0]
    assert lines[0].endswith(QUESTION)
    assert "18 of 18 stitches done" in lines[1] or "finished" in lines[1]  # any other request is obeyed, with the old one


@pytest.mark.parametrize("answer, made", [("yes", "24"), ("y", "24"), ("no", "18"), ("nope", "18")])
def test_the_maker_chooses_and_is_not_asked_again(work, answer, made):
    work(BEGUN, "go to round 5\n")
    first = work(WIDER, f"{answer}\n")
    assert first[1].startswith("The new pattern." if made == "24" else "I keep the old pattern.")
    again = work(None, "read the round\n")
    assert QUESTION not in again[0] and f"That makes {made}." in again[1]


def test_unanswered_it_is_asked_at_the_next_start(work):
    work(BEGUN, "go to round 5\n")
    assert work(WIDER, "next\n")[0].endswith(QUESTION)
    assert work(None, "next\n")[0].endswith(QUESTION)


def test_the_old_pattern_comes_back_by_undo_and_stays(work):
    work(BEGUN, "go to round 4\ngo to round 5\n")
    lines = work(WIDER, "yes\nundo\nread the round\nundo\nread the round\n")
    assert lines[2].startswith("Undone. That is the old pattern again.")
    assert "That makes 18." in lines[3] and lines[4].startswith("Undone. Round 4") and "That makes 18." in lines[5]
    again = work(None, "read the round\n")
    assert QUESTION not in again[0] and "That makes 18." in again[1]


def test_no_can_be_undone_and_then_it_is_asked_again(work):
    work(BEGUN, "go to round 4\ngo to round 5\n")
    lines = work(WIDER, "no\nundo\nyes\nundo\n")
    assert lines[2] == f"Undone. {QUESTION}"
    assert lines[3].startswith("The new pattern.") and lines[4].startswith("Undone. That is the old pattern again.")


def test_a_second_change_is_asked_about_again(work):
    work(BEGUN, "go to round 5\n")
    work(WIDER, "no\n")
    other = WIDER.replace("Rnd 5: sc in each st around (24)", "Rnd 5: (sc 2, dec) x 6 (18)")
    assert work(other, "")[0].endswith(QUESTION)
    assert QUESTION not in work(BEGUN, "")[0]  # as it was begun


def test_back_to_the_first_version_after_the_new_one_was_taken(work):
    work(BEGUN, "go to round 5\n")
    work(WIDER, "yes\n")
    assert work(BEGUN, "")[0].endswith(QUESTION)
    assert "That makes 18." in work(None, "yes\nread the round\n")[2]


@pytest.mark.parametrize("choice, made", [("new", "24"), ("old", "18")])
def test_the_choice_can_be_made_on_the_command_line(work, choice, made):
    work(BEGUN, "go to round 5\n")
    lines = work(WIDER, "read the round\n", "--changed", choice)
    assert QUESTION not in lines[0] and f"That makes {made}." in lines[1]
    assert f"That makes {made}." in work(None, "read the round\n")[1]
    assert "That makes 24." in work(None, "read the round\n", "--changed", "new")[1]


def test_words_alone_change_nothing(work):
    work(BEGUN, "go to round 3\nnext\n")
    same = BEGUN.replace("(sc, inc) x 6", "*1 sc, inc in next st; rep from * 6 times in all").replace("# Little", "Red yarn.\n\n# Little")
    first = work(same, "")[0]
    assert first.startswith("The pattern file has changed. Its stitches are the same.") and "Round 3. 3 of 18" in first


def test_without_a_command_it_is_told_too(coach, work, home):
    work(BEGUN, "go to round 5\n")
    (home / "mine.md").write_text(WIDER)
    assert coach("--typed").out.splitlines()[0].endswith(QUESTION)
    assert "Round 5" in coach("works").out


def test_a_file_that_is_gone_or_spoilt_does_not_stop_the_work(coach, work, home):
    work(BEGUN, "go to round 5\n")
    (home / "mine.md").unlink()
    for name in ("mine.md", "mine", "little buoy"):
        done = coach("work", name, "--typed", typed="read the round\n")
        assert done.out.splitlines()[0].endswith("I go on with the pattern as it was."), done.out + done.err
        assert "That makes 18." in done.out
    for spoilt in (b"\xff\xfe\x00", b"", b"just words\n"):
        (home / "mine.md").write_bytes(spoilt)
        assert "I go on with the pattern as it was." in coach("work", "mine.md", "--typed").out.splitlines()[0]
    assert coach("work", "another", "--typed").returncode == 2


def test_in_json_each_line_tells_the_version_worked_from(coach, work, home):
    work(BEGUN, "go to round 5\n")
    (home / "mine.md").write_text(WIDER)
    done = coach("work", "mine.md", "--typed", "--json", typed="yes\nundo\n")
    told = [json.loads(line) for line in done.out.splitlines()]
    assert [(t["request"], t["round"], t["of"]) for t in told] == [("yes", 5, 24), ("undo", 5, 18)]


def test_another_text_on_standard_input_is_another_work(coach):
    for text in (BEGUN, WIDER, BEGUN):
        assert coach("work", "-", typed=text).returncode == 0
    assert len(json.loads(coach("works", "--json").out)) == 2


def test_a_changed_pattern_that_is_lost_from_the_journal_is_told_and_the_first_one_taken(coach, work, home):
    work(BEGUN, "go to round 5\n")
    work(WIDER, "yes\n")
    con = sqlite3.connect(home.parent / "home" / "journal.db")
    con.execute("DELETE FROM texts WHERE text LIKE '%(24)%'")
    con.commit()
    con.close()
    (home / "mine.md").unlink()
    lines = work(None, "read the round\n")
    assert any("can't be read from the journal" in line for line in lines) and "That makes 18." in lines[-2]
