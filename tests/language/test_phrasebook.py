"""The phrasebook: complete, its sentences short, its phrases not to be mixed up; and files that are none."""

from __future__ import annotations

import re
import string
from importlib.resources import files

import pytest

from coach.guide.messages import MESSAGES
from coach.guide.model import Request
from coach.guide.requests import REQUESTS
from coach.language.phrasebook import PhrasebookError, languages, load, parse
from coach.language.understand import grammar, understand

BOOKS = [load(code) for code in languages()]
TEXT = files("coach.language").joinpath("en.toml").read_text("utf-8")
EXTRA = {"how", "place", "round", "ordinal", "ours", "theirs"}  # made by the language room itself
BREATH = 12  # words
ENGLISH = load("en")
CORE = {  # what can be asked for by voice in every language; the rest may be typed only
    "next", "repeat", "back", "count", "left", "where", "recap", "start_round", "go_round", "undo", "have", "pause",
    "carry_on", "slower", "faster", "louder", "quieter", "help", "what_is", "finish", "stop", "yes", "no",
}


def forms(template) -> list[str]:
    return [template] if isinstance(template, str) else [v for k, v in template.items() if k != "by"]


def fields(template: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(template) if name}


@pytest.mark.parametrize("book", BOOKS, ids=languages())
class TestEachLanguage:
    def test_sentences_use_only_values_that_come_with_the_message(self, book):
        for key, template in book.say.items():
            for form in forms(template):
                assert fields(form) <= set(MESSAGES[key]) | EXTRA, key

    def test_a_form_that_follows_a_number_has_that_number(self, book):
        for key, template in book.say.items():
            if not isinstance(template, str):
                assert template["by"] in MESSAGES[key] and "other" in template, key

    def test_nothing_is_longer_than_a_breath(self, book):
        for key, template in book.say.items():
            for form in forms(template):
                for breath in re.split(r"[.;:,!?]", form):
                    assert len(breath.split()) <= BREATH, key

    def test_each_request_has_a_spoken_phrase_a_typed_word_and_a_key(self, book):
        assert {heard.name for heard in book.request} == set(REQUESTS)
        for heard in book.request:
            assert heard.type and heard.key
        assert {heard.name for heard in book.request if heard.say} >= (set(REQUESTS) if book is ENGLISH else CORE)

    def test_each_request_has_a_form_of_two_words_or_three_syllables(self, book):
        for heard in filter(lambda heard: heard.say, book.request):
            assert any(len(phrase.split()) > 1 or len(phrase) >= 8 for phrase in heard.say), heard.name

    def test_a_key_is_one_request(self, book):
        found = [key for heard in book.request for key in heard.key]
        assert len(found) == len(set(found)) == len(book.keys)

    def test_the_coach_never_says_the_word_that_silences_it(self, book):
        words = {phrase for heard in book.request if heard.name == "stop" for phrase in heard.say}
        for key, template in book.say.items():
            for form in forms(template):
                assert not words & set(re.findall(r"\w+", form.lower())), key

    def test_values_of_requests_are_possible_ones(self, book):
        for heard in book.request:
            takes = REQUESTS[heard.name].takes
            assert heard.value in takes if isinstance(takes, tuple) else heard.value is None, heard.name


class TestALanguageThatLacksSomething:
    """It takes it from the English one: nobody has to write two hundred sentences before the first is heard."""

    LITTLE = """
name = "Seal"
called = ["arf"]
choose = ["<number>"]
say = { undone = "Arf {n:count}.", paused = "Arf." }
step = { comma = " " }
place = {}
stitch = {}
[number]
""" + TEXT[TEXT.index("units = ["):TEXT.index("# ---- What the maker says")] + """
[[request]]
name = "undo"
say = ["arf arf", "arf arf arf"]
type = ["a"]
"""

    @pytest.fixture
    def book(self):
        return parse(self.LITTLE, "seal.toml", load("en"))

    def test_sentences_and_steps(self, book):
        assert book.say["paused"] == "Arf." and book.say["slower"] == "Slower."
        assert book.step["comma"] == " " and book.step["turn"] == "turn"
        assert book.place["ring"] == "into the ring"

    def test_keys_of_its_own_requests(self, book):
        assert book.keys["u"].say == ("arf arf", "arf arf arf")

    def test_requests_that_it_lacks_can_be_typed_but_are_not_listened_for(self, book):
        assert understand(book, "go to round 5", typed=True) == Request("go_round", 5)
        assert understand(book, "next") is None
        assert {"arf arf", "arf arf arf"} == set(grammar(book, highest_round=9).spoken())
        assert book.keys["space"].offered == "next"

    def test_numbers_in_words_where_a_sentence_asks_for_them(self, book):
        assert book.filled("{n:count} {n:number} {n}", {"n": 21}) == "twenty one twenty one 21"

    def test_alone_it_is_none(self):
        with pytest.raises(PhrasebookError, match="request.0.key"):
            parse(self.LITTLE)


class TestForms:
    def test_one_and_many_and_none(self):
        book = load("en")
        said = [book.form(book.say["left"], {"left": n}) for n in (0, 1, 2)]
        assert said == ["No stitches left in this round.", "1 stitch left.", "2 stitches left."]


class TestWhatIsNoPhrasebook:
    def test_an_unknown_language_names_the_known_ones(self):
        with pytest.raises(PhrasebookError, match="'xx'.*en"):
            load("xx")

    @pytest.mark.parametrize("old, new, message", [
        ('paused = "Paused. Say carry on."\n', "", "lacks paused"),
        ('paused = "', 'singing = "La."\npaused = "', "never said: singing"),
        ('name = "undo"', 'name = "dance"', "no .*request.* for undo"),
        ('key = ["u"]', "", r"request\.\d+\.key"),
        ("[say]", "[say", "phrasebook: "),
        ('"zero", "one"', '"zero"', "number.units"),
    ])
    def test_a_spoilt_file_says_where(self, old, new, message):
        assert old in TEXT
        with pytest.raises(PhrasebookError, match=message):
            parse(TEXT.replace(old, new, 1))

    def test_the_file_itself_is_one(self):
        assert parse(TEXT).name == "English"

    def test_a_request_too_many_is_told(self):
        more = '\n[[request]]\nname = "dance"\nsay = ["dance", "dance now"]\ntype = ["d"]\nkey = ["d"]\n'
        with pytest.raises(PhrasebookError, match="for what is none: dance"):
            parse(TEXT + more)
