"""Which sentences are prose, and of what kind; where one sentence ends and the next begins."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import rounds

from coach.notation import read
from coach.notation.model import Span
from coach.notation.prose import is_surely_prose, kind_of, note, sentences, starts_as_prose


@pytest.mark.parametrize(("sentence", "kind"), [
    ("Fasten off, leaving a long tail for sewing.", "fasten_off"),
    ("Break off the yarn.", "fasten_off"),
    ("Cut yarn.", "fasten_off"),
    ("Stuff firmly.", "stuff"),
    ("Begin stuffing the seal and go on as you work.", "stuff"),
    ("Insert the safety eyes between rounds 8 and 9, six stitches apart.", "eyes"),
    ("Add eyes.", "eyes"),
    ("Caution: small parts are not for children under three.", "caution"),
    ("Sew the fins to the body.", "sew"),
    ("Whip stitch the edges together.", "sew"),
    ("Attach the lamp.", "sew"),
    ("Embroider the beak with satin stitch.", "embroider"),
    ("Change to white.", "colour"),
    ("Join colour B.", "colour"),
    ("The seal is worked from the nose.", "note"),
    ("Tip: count every round.", "note"),
])
def test_the_kind_of_a_sentence(sentence, kind):
    assert kind_of(sentence) == kind


@pytest.mark.parametrize("sentence", [
    "Stuff before the last 3 sc.", "Tip: the sc2tog lies flatter through the front loops.",
    "Photo 3 shows the ch-2 sp.", "Note: ch 3 counts as dc throughout.",
    "Sew the 12 sts of the fin on.", "Fasten off.", "You have 18 sc now.", "Count your stitches.",
    "Check that there are 24 sts.", "See the dc on page 2.",
])
def test_prose_whatever_stitches_it_names(sentence):
    assert is_surely_prose(sentence)


@pytest.mark.parametrize("sentence", ["Sc in each st around.", "Ch 1, turn.", "(Sc, inc) x 6.", "6 sc in magic ring.",
    "*Dc, ch 2; rep from * around.", "Turn, ch 1, sc in each st."])
def test_an_instruction_is_not_prose(sentence):
    assert not is_surely_prose(sentence)


@pytest.mark.parametrize("sentence", ["The work will curl.", "If it cups, use a larger hook.",
    "This is the right side.", "Turn the work inside out.", "Mark the first stitch.", "Here the colours meet."])
def test_it_may_only_start_as_prose(sentence):
    assert starts_as_prose(sentence)
    assert not is_surely_prose(sentence)


class TestSentences:
    @pytest.mark.parametrize(("text", "parts"), [
        ("Sc in each st around. Stuff.", ["Sc in each st around.", "Stuff."]),
        ("Sc in each st (18). Stuff firmly.", ["Sc in each st (18).", "Stuff firmly."]),
        ("One sentence only", ["One sentence only"]),
        ("Do it! Do it again? Yes.", ["Do it!", "Do it again?", "Yes."]),
        ("", []),
    ])
    def test_each_ends_at_its_stop(self, text, parts):
        found = [s for s, _ in sentences(text, 0)]
        assert [f.lstrip(" (") for f in found] == parts

    def test_a_stop_in_brackets_ends_none(self):
        text = "Sc in each st (not too tight. Take care) around. Stuff."
        assert len(sentences(text, 0)) == 2

    def test_a_stop_before_a_small_letter_ends_none(self):
        assert len(sentences("Work in d.c. all around. Stuff.", 0)) == 2

    @given(st.text(max_size=120), st.integers(0, 1000))
    def test_each_lies_where_it_says(self, text, start):
        at = start
        for sentence, offset in sentences(text, start):
            assert text[offset - start:offset - start + len(sentence)] == sentence
            assert offset >= at
            at = offset + len(sentence)


class TestNote:
    def test_it_is_clean_and_knows_its_place(self):
        found = note("  - Stuff   the\n seal. ", 40)
        assert (found.text, found.kind, found.span) == ("Stuff the seal.", "stuff", Span(40, 63))

    @pytest.mark.parametrize("text", ["", "   ", "***", "- ", "..."])
    def test_nothing_is_none(self, text):
        assert note(text, 0) is None


class TestInAPattern:
    """Between instructions, prose becomes a note of the round before it and changes no stitch."""

    @pytest.mark.parametrize("prose", [
        "Stuff firmly.", "Tip: count every round.", "The work will begin to cup.",
        "Insert the safety eyes between rounds 1 and 2.",
        "Sew the fins on with the 12 sts of their edge.", "You should now have a small bowl.", "Check your gauge here.",
    ])
    @pytest.mark.parametrize("join", [" ", "\n", "\n\n"])
    def test_between_rounds(self, prose, join):
        first, second = rounds(f"Rnd 1: 6 sc in magic ring. (6){join}{prose}\nRnd 2: 2 sc in each st around. (12)")
        assert [n.text.rstrip(".") for n in first.notes] == [prose.rstrip(".")]
        assert len(second.body) == 1 and not second.notes

    @pytest.mark.parametrize("caption", ["Photo 3: the first increase", "Page 2 of 6", "- 7 -",
        "[Picture: the seal from above]"])
    def test_captions_and_page_numbers_are_left_out(self, caption):
        first, second = rounds(f"Rnd 1: 6 sc in magic ring. (6)\n{caption}\nRnd 2: 2 sc in each st around. (12)")
        assert not first.notes and len(second.body) == 1

    def test_before_the_first_round_it_belongs_to_the_part(self):
        (part,) = read("## Fin\n\nThe fin is worked flat and sewn together.\n\nRnd 1: 6 sc in magic ring.").parts
        assert [n.text for n in part.notes] == ["The fin is worked flat and sewn together."]
