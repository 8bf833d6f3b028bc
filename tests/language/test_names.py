"""What stitches are called, and a pattern's own words as they are said."""

from __future__ import annotations

import pytest

from coach.language.names import Names, capital
from coach.language.phrasebook import load
from coach.stitches.catalogue import stitch

ENGLISH = Names(load("en"))
BRITISH = Names(load("en"), "UK")
KOREAN = Names(load("ko"))


@pytest.mark.parametrize("id, us, uk", [
    ("sc", "single crochet", "double crochet"),
    ("tr", "treble crochet", "double treble crochet"),
    ("inc", "increase", "increase"),
    ("dc2tog", "double crochet two together", "treble two together"),
    ("dc7tog", "double crochet 7 together", "treble crochet 7 together"),
    ("wobble", "wobble", "wobble"),  # the pattern's own
])
def test_a_stitch_has_its_name_in_either_terms(id, us, uk):
    assert (ENGLISH.name(id), BRITISH.name(id)) == (us, uk)


def test_a_lesson_is_mirrored_for_the_left_hand_and_said_in_the_language():
    ring = stitch("ring")
    right, left = ENGLISH.how(ring), ENGLISH.how(ring, "left")
    assert "fingers of the left hand" in right[0] and "fingers of the right hand" in left[0] and right[1:] == left[1:]
    assert KOREAN.how(ring)[0] != right[0] and len(KOREAN.how(ring)) == len(right)


def test_words_of_a_pattern_stay_english_in_a_language_without_words_for_them():
    assert KOREAN.written("6 sc in the next st", "US") == ENGLISH.written("6 sc in the next st", "US")


def test_a_capital_at_the_start_and_nowhere_else():
    assert [capital(text) for text in ("round 3", "Round B", "", "é")] == ["Round 3", "Round B", "", "É"]


class TestWordsOfThePattern:
    @pytest.mark.parametrize("written, said", [
        ("Work 6 sc, 2 hdc and an inc in the next st.",
         "Work 6 single crochet, 2 half double crochet and an increase in the next stitch."),
        ("Leave 20 cm of yarn.", "Leave 20 centimetres of yarn."),
        ("Sew the fins on\nat Rnd 9.", "Sew the fins on at round 9."),
        ("sc2tog twice", "decrease twice"),
        ("Stuff the head.", "Stuff the head."),
        ("Sew the star beside the crab.", "Sew the star beside the crab."),
        ("Sl st in 2 ch-sps; weave in.", "Slip stitch in 2 chain-spaces; weave in."),
    ])
    def test_abbreviations_are_spoken_out(self, written, said):
        assert ENGLISH.written(written, "US") == said

    def test_british_words_in_the_terms_of_the_maker(self):
        assert ENGLISH.written("6 dc, 2 tr", "UK") == "6 single crochet, 2 double crochet"
        assert BRITISH.written("6 dc, 2 tr", "UK") == "6 double crochet, 2 treble crochet"


@pytest.mark.parametrize("written, said", [
    ("Fasten off, leaving a 20 cm tail.", "Fasten off, leaving a 20 centimetre tail."),
    ("Leave a 1 cm gap, or 1 cm more.", "Leave a 1 centimetre gap, or 1 centimetre more."),
    ("About 14 cm long, with a 3.5 mm hook.", "About 14 centimetres long, with a 3.5 millimetre hook."),
    ("Two 8 mm eyes, 10 g of grey, 100 yds.", "Two 8 millimetre eyes, 10 grams of grey, 100 yards."),
    ("A 20 cm (8 in) tail, 0.5 cm wide.", "A 20 centimetre (8 in) tail, 0.5 centimetres wide."),
    ("20cm tail, 3sc in each.", "20 centimetre tail, 3 single crochet in each."),
    ("Sl st in 3rd ch from hook, or the 1st st.", "Slip stitch in 3rd chain from hook, or the 1st stitch."),
    ("With g, begin at m.", "With g, begin at m."),  # yarns, no measures
])
def test_measures_in_the_patterns_words_have_the_form_that_belongs_there(written, said):
    assert ENGLISH.written(written, "US") == said
