"""Which readers are tried at a word: only those that can read what begins with it."""

from __future__ import annotations

import pytest
from passages import cursor
from test_corpus import CASES

from coach.notation import read
from coach.notation.candidates import Candidates

# readers by the name of what they read
READERS = Candidates(("turn rotate", "turning"), (frozenset(("turn", "ch")), "a chain"), ("ch", "more chains"))


def tried(text: str) -> tuple[str, ...]:
    return READERS.at(cursor(text).peek())


class TestWhichAreTried:
    def test_those_that_begin_with_the_word(self):
        assert tried("rotate the work") == ("turning",)

    def test_in_the_order_in_which_they_were_given(self):
        assert tried("turn") == ("turning", "a chain")
        assert tried("chain 3") == ("a chain", "more chains")

    def test_none_for_a_word_that_none_begins_with(self):
        assert tried("flarp") == ()

    @pytest.mark.parametrize("text", ["3 sc", "sc", "ch-2 sp", "2nd ch", ""])
    def test_all_where_no_word_stands(self, text):
        assert tried(text) == READERS.every

    def test_a_mark_is_no_word(self):
        assert tried("(sc)") == READERS.every


@pytest.mark.parametrize("theme", sorted({theme for theme, _ in CASES}))
def test_with_all_readers_each_passage_is_read_the_same(theme, monkeypatch):
    texts = [case.text for of, case in CASES if of == theme]
    chosen = [read(text) for text in texts]
    monkeypatch.setattr(Candidates, "at", lambda self, token: self.every)
    assert [read(text) for text in texts] == chosen
