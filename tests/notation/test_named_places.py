"""Places that only their names tell: kept as written, counted where the words count them, and nothing else taken for one."""

from __future__ import annotations

import pytest
from passages import body

from coach.fabric import work
from coach.language.phrasebook import load
from coach.language.steps import Steps
from coach.notation import read
from coach.notation.cursor import Cursor
from coach.notation.lexer import fold, tokens
from coach.notation.model import Into, Repeat, Stitch
from coach.notation.named_places import read_named

NAMED = [
    ("in next trefoil", "in next trefoil", None, False),
    ("in the 3rd scallop of the preceding row", "in the 3rd scallop of the preceding row", None, False),
    ("between 2 petals", "between 2 petals", None, False),
    ("in the middle of the next 3 purl of the preceding row", "in the middle of the next 3 purl of the preceding row", None,
        False),
    ("on each point", "on each point", None, True),
    ("in each of the 4 next trefoils", "one in each of the 4 next trefoils", 4, True),
    ("in the braid", "in the braid", None, False),
    ("over the 12 crosses", "over the 12 crosses", None, False),
]
NOT_NAMED = ["in next st", "in ring", "in the same way as before", "in each dc", "on the table", "in red", "in 3 sts"]


def named(words: str):
    c = Cursor(tokens(fold(words), 0, "UK"), 1, text=words)
    return read_named(c, words.split()[0], 0), c


@pytest.mark.parametrize(("words", "kept", "number", "each"), NAMED)
def test_kept_as_written(words, kept, number, each):
    found, c = named(words)
    assert found == (Into("named", words=kept), number, each)
    assert c.done


@pytest.mark.parametrize("words", NOT_NAMED)
def test_other_words_are_no_place(words: str):
    found, c = named(words)
    assert found is None and c.at == 1


def test_in_a_round_it_stands_where_any_place_does():
    assert body("1 tr in next trefoil, 8 ch, 1 tr in each of the 4 next trefoils", "UK terms.\n\n")[0] == Stitch(
        "dc", Into("named", words="in next trefoil"))


def test_what_is_worked_there_is_counted_and_what_it_takes_up_is_not():
    fabric = work(read("UK terms.\nCh 30, join.\nRound 1: 1 tr in next trefoil, 8 ch, 1 tr in each of the 4 next trefoils."))
    assert fabric.faults == ()
    (only,) = fabric.parts[0].rounds
    assert (only.made, only.takes, only.base) == (5, 0, None)
    assert isinstance(only.source.body[2], Repeat) and only.source.body[2].times.amount == 4


def test_it_is_spoken_as_written():
    fabric = work(read("UK terms.\nCh 30, join.\nRound 1: 1 tr in next trefoil, 8 ch, 2 tr in the braid."))
    said = Steps(load("en"), "UK").trees((fabric.parts[0].rounds[0].tree,))
    assert said == "Treble crochet in next trefoil, chain 8, then 2 treble crochet in the braid"
