"""Recaps are cut to length, what matters least first."""

from __future__ import annotations

from coach import fabric, notation
from coach.guide.model import Message, OwnNote, Place, State
from coach.guide.returning import recap
from coach.language.phrasebook import load
from coach.language.recaps import MOST, is_recap, within
from coach.language.speak import sentence

ENGLISH = load("en")


def told(rounds: str, round_: int = 0, steps: int = 0, stop: int | None = None, notes: tuple[str, ...] = ()) -> str:
    work = fabric.work(notation.read(f"# Net\n\n{rounds}\n"))
    place = Place(0, 0, round_, steps)
    stop = work.parts[0].rounds[round_].steps if stop is None else stop
    state = State(place, stop, notes=tuple(OwnNote(place, text) for text in notes))
    return sentence(ENGLISH, recap(work, state))


CAP = "Rnd 1: 64 hdc in magic ring (64)\nRnd 2: (hdc 7, 2 hdc in next st) x 8 (72)"


def test_a_short_one_is_said_in_full():
    assert told("Rnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)", 1, 0, 1) == (
        "Piece. Round 2. Last: round 1, with 6. Next: increase.")


def test_first_the_next_steps_are_put_in_brief():
    text = told(CAP, 1, 63, 64)
    assert text == ("Piece. Round 2. 8 times: 7 half double crochet, increase. 70 of 72, 7 repeats done. "
                    "Last: half double crochet. Next: increase; 8 of 8.") and len(text.split()) <= MOST


def test_never_where_that_would_leave_out_the_loop():
    text = told("Rnd 1: 24 sc in magic ring (24)\nRnd 2: (sc 2 BLO, dec BLO) x 6 (18)", 1, 7, 8)
    assert text.endswith("Next: single crochet in the back loop; 3 of 6.") and len(text.split()) <= MOST
    assert "6 times" not in text  # what the round repeats is left out instead


def test_last_the_end_of_the_next_steps():
    text = told("Rnd 1: 12 sc in magic ring (12)\n"
                "Rnd 2: sc, hdc, dc, tr, dc, hdc, (sc, ch 2, sc) in next st, (dc, ch 1, dc) in next st, sc 4")
    assert len(text.split()) <= MOST
    long = told("Rnd 1: 12 sc in magic ring (12)\n"
                "Rnd 2: sc, hdc, dc, tr, dc, hdc, (sc, ch 2, sc) in next st, (dc, ch 1, dc) in next st, sc 4", 1)
    assert long.endswith(", and so on.") and len(long.split()) <= MOST and "Next: single crochet, half double crochet" in long


def test_own_notes_are_neither_counted_nor_cut():
    note = "the left fin is a little smaller than the right one, so the next time count the last repeat twice over"
    assert told(CAP, 1, 63, 64, notes=(note,)).endswith(f"Next: increase; 8 of 8. Your note: {note}.")


def test_it_is_cut_between_two_steps():
    text = ", ".join(["one two three"] * 20)
    (cut,) = within((Message("do_next", {"trees": ()}),), lambda message, brief=False: text, lambda text: f"{text}, and so on.")
    assert cut == ", ".join(["one two three"] * 7) + ", and so on."
    assert len(cut.split()) <= MOST


def test_other_answers_are_never_cut():
    work = fabric.work(notation.read("# Net\n\nRnd 1: 6 sc in magic ring (6)\n"))
    assert is_recap(recap(work, State(announced=6))) and not is_recap(())
