"""The words of written patterns: numbers, synonyms, and names of stitches in both terminologies."""

from __future__ import annotations

import pytest

from coach.notation.lexer import pieces, tokens
from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS, SYNONYMS, phrases
from coach.stitches.catalogue import catalogue


class TestNumbers:
    def test_numbers_in_words(self):
        numbers = {"one": 1, "two": 2, "three": 3, "seven": 7, "eleven": 11, "twelve": 12, "twenty": 20, "ninety": 90}
        assert {word: NUMBER_WORDS[word] for word in numbers} == numbers
        assert NUMBER_WORDS["dozen"] == 12

    def test_ordinals_in_words(self):
        ordinals = {"first": 1, "second": 2, "third": 3, "fifth": 5, "twelfth": 12, "twentieth": 20}
        assert {word: ORDINAL_WORDS[word] for word in ordinals} == ordinals

    @pytest.mark.parametrize(("word", "number"), [("twenty-one", 21), ("thirty-six", 36), ("ninety-nine", 99)])
    def test_tens_and_ones(self, word, number):
        assert [t.value for t in pieces(word)] == [number]


class TestSynonyms:
    @pytest.mark.parametrize(("words", "one"), [
        ("st sts stitch stitches", "st"), ("ch chs chain chains", "ch"), ("rep repeat repeated", "rep"),
        ("sk skip miss", "skip"),
        ("in into", "in"), ("each every", "each"), ("around round", "around"), ("rem remaining", "remain"),
        ("colour color", "color"),
        ("inc increase", "inc"), ("dec decrease", "dec"), ("sp sps space spaces", "sp"), ("next following", "next"),
        ("tog together", "together"),
    ])
    def test_words_of_one_meaning_are_one(self, words, one):
        assert {SYNONYMS[word] for word in words.split()} == {one}

    def test_no_word_has_two_meanings_of_its_own(self):
        assert all(SYNONYMS.get(canonical, canonical) == canonical for canonical in SYNONYMS.values())

    def test_british_and_american_spelling_are_the_same(self):
        assert SYNONYMS["colour"] == SYNONYMS["color"]


class TestStitchNames:
    """Every stitch that a pattern can name is found by each of its names."""

    @pytest.mark.parametrize("word", ["s", "ss s", "bobble s"])
    def test_the_letter_of_a_plural_alone_is_no_name(self, word):
        last = tokens(word, 0, "US")[-1]
        assert (last.kind, last.value) == ("word", "s")

    MADE = ("stitch", "increase", "decrease", "group", "decoration")

    @pytest.mark.parametrize("terms", ["US", "UK"])
    def test_the_standard_abbreviation_of_every_stitch(self, terms):
        own = catalogue().words(terms)
        for entry in catalogue().stitch:
            word = entry.abbreviation(terms).lower()
            if entry.kind in self.MADE and own[word] == entry.id and entry.id not in ("ch", "inc", "dec", "inc3",
                "picot"):
                assert [(t.kind, t.value) for t in tokens(word, 0, terms)] == [("stitch", entry.id)], word

    @pytest.mark.parametrize("terms", ["US", "UK"])
    def test_the_full_name_of_every_stitch(self, terms):
        own = catalogue().words(terms)
        for entry in catalogue().stitch:
            name = entry.name(terms).lower()
            if entry.kind in ("stitch", "decrease") and own[name] == entry.id and entry.id != "ch":
                found = [t for t in tokens(name, 0, terms) if t.kind == "stitch"]
                assert [t.value for t in found] == [entry.id], name

    @pytest.mark.parametrize(("us", "uk", "id"), [
        ("sc", "dc", "sc"), ("hdc", "htr", "hdc"), ("dc", "tr", "dc"), ("tr", "dtr", "tr"),
        ("sc2tog", "dc2tog", "sc2tog"), ("dc3tog", "tr3tog", "dc3tog")])
    def test_the_same_stitch_in_both_terms(self, us, uk, id):
        assert tokens(us, 0, "US")[0].value == tokens(uk, 0, "UK")[0].value == id

    @pytest.mark.parametrize("n", [2, 3, 4, 5, 6])
    def test_any_number_together(self, n):
        assert tokens(f"dc{n}tog", 0, "US")[0].value == f"dc{n}tog"
        assert tokens(f"tr{n}tog", 0, "UK")[0].value == f"dc{n}tog"

    def test_plurals_are_the_same(self):
        assert [t.value for t in tokens("3 bobbles", 0, "US")] == [3, "bobble"]
        assert [t.value for t in tokens("2 single crochets", 0, "US")] == [2, "sc"]

    def test_the_longest_name_goes_first(self):
        assert [t.value for t in tokens("half double crochet", 0, "US")] == ["hdc"]
        assert [t.value for t in tokens("half treble crochet", 0, "UK")] == ["hdc"]


class TestNearest:
    @pytest.mark.parametrize(("typo", "meant"), [("arround", "around"), ("bobbel", "bobble"), ("puf", "puff"), ("shel",
        "shell"), ("skipp", "skip"), ("togehter", "together")])
    def test_a_slip_of_the_pen_has_its_word_nearby(self, typo, meant):
        assert meant in phrases("US").nearest(typo)

    def test_nothing_is_near_to_nonsense(self):
        assert phrases("US").nearest("xyzzyqwv") == []

    def test_at_most_so_many(self):
        assert len(phrases("US").nearest("sc", 2)) <= 2


@pytest.mark.parametrize(("typed", "meant"), [("dce", "dec"), ("hlaf", "half"), ("incr", "inc"), ("stich", "stitch")])
def test_a_slip_of_the_fingers_is_told_what_it_may_be(typed: str, meant: str):
    assert meant in phrases("US").nearest(typed)
