"""US and UK terms: one word, one stitch, within each; and the table between them."""

from __future__ import annotations

import re

import pytest

from coach.stitches.catalogue import catalogue

ALL = catalogue().stitch


@pytest.mark.parametrize("terms", ["US", "UK"])
def test_no_word_means_two_stitches(terms):
    owner: dict[str, str] = {}
    for stitch in ALL:
        for word in stitch.words(terms):
            assert owner.setdefault(word.lower(), stitch.id) == stitch.id, f"{word} is {owner[word.lower()]} and {stitch.id}"
    assert catalogue().words(terms) == owner


@pytest.mark.parametrize("terms", ["US", "UK"])
def test_every_entry_has_a_name_and_its_standard_abbreviation_finds_it(terms):
    words = catalogue().words(terms)
    for stitch in ALL:
        assert stitch.name(terms)
        assert words[stitch.abbreviation(terms).lower()] == stitch.id
        assert words[stitch.name(terms).lower()] == stitch.id
        assert len(set(w.lower() for w in stitch.words(terms))) == len(stitch.words(terms)), stitch.id


@pytest.mark.parametrize(("us", "uk"), [
    # designer's table Crochet Terms by Country and teaching pages (seen)
    ("ch", "ch"), ("sl st", "ss"), ("sc", "dc"), ("hdc", "htr"), ("dc", "tr"), ("tr", "dtr"), ("dtr", "trtr"),
    ("sc2tog", "dc2tog"), ("dc2tog", "tr2tog"), ("FPdc", "FPtr"),
    # from memory
    ("trtr", "quadtr"), ("fsc", "fdc"), ("hdc2tog", "htr2tog"), ("BPdc", "BPtr"), ("esc", "edc"), ("edc", "etr"),
    ("rev sc", "rev dc"), ("fdc", "ftr"), ("sk", "miss"), ("dc inc", "tr inc"), ("sc inc", "dc inc"),
])
def test_us_and_uk(us, uk):
    assert catalogue().words("US")[us.lower()] == catalogue().words("UK")[uk.lower()]


@pytest.mark.parametrize("word", ["dc", "tr", "dtr", "trtr", "dc2tog", "tr2tog", "fpdc", "fptr", "edc", "fdc", "dc inc"])
def test_the_words_that_mean_different_stitches_on_the_two_sides(word):
    assert catalogue().words("US")[word] != catalogue().words("UK")[word]


def test_single_crochet_is_no_uk_word():
    # two teaching pages (seen): an sc in the text means US terms
    uk = catalogue().words("UK")
    assert not [w for w in uk if re.search(r"\bsc\b|single crochet|\bhdc\b|half double", w)]
    assert "htr" not in catalogue().words("US")


def test_the_table_of_the_reference(reference):
    # ../shared/reference/abbreviations.toml [[us_uk]]: Craft Yarn Council list and a designer's table, status for each there
    us_words, uk_words = catalogue().words("US"), catalogue().words("UK")
    compared = 0
    for row in reference("abbreviations.toml")["us_uk"]:
        us = us_words.get(row["us_abbr"].lower())
        if us is None:
            continue  # yarn over, gauge, color: no stitches
        compared += 1
        for abbreviation in row["uk_abbr"].lower().split(" / "):
            assert uk_words[abbreviation] == us, row
    assert compared >= 17


@pytest.mark.parametrize("group", ["stitch", "decrease", "post", "start", "loop", "shaping", "marker"])
def test_the_standard_list_of_abbreviations(reference, group):
    # the same file [[abbr]]: Craft Yarn Council master list, from memory and partly seen
    words = catalogue().words("US")
    not_stitches = {"bp", "fp"}  # front and back post are said of another stitch
    for row in reference("abbreviations.toml")["abbr"]:
        if row["group"] != group:
            continue
        given = re.split(r", | or ", row["abbr"]) + (row["aka"].split(", ") if "aka" in row else [])
        for abbreviation in given:
            assert abbreviation.lower() in words or abbreviation.lower() in not_stitches, row
