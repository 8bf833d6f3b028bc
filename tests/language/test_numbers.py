"""Numbers as they are spoken."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.language.numbers import Numbers
from coach.language.phrasebook import load

ENGLISH = load("en").number


@pytest.mark.parametrize("number, forms", [
    (0, {"zero"}),
    (7, {"seven"}),
    (17, {"seventeen"}),
    (70, {"seventy"}),
    (42, {"forty two"}),
    (100, {"one hundred", "a hundred"}),
    (105, {"one hundred five", "one hundred and five", "a hundred five", "a hundred and five", "one oh five"}),
    (225, {"two hundred twenty five", "two hundred and twenty five", "two twenty five"}),
    (999, {"nine hundred ninety nine", "nine hundred and ninety nine", "nine ninety nine"}),
])
def test_every_way_to_say_a_number(number, forms):
    assert set(ENGLISH.spoken(number)) == forms


@given(st.integers(0, 999))
def test_what_is_said_for_a_number_is_understood_as_it(number):
    table = ENGLISH.table()
    assert {table[form] for form in ENGLISH.spoken(number)} == {number}


def test_no_words_mean_two_numbers():
    forms = [form for n in range(1000) for form in ENGLISH.spoken(n)]
    assert len(forms) == len(set(forms))


@pytest.mark.parametrize("number", [-1, 1000])
def test_numbers_outside_have_no_words(number):
    with pytest.raises(ValueError):
        ENGLISH.spoken(number)


def test_a_language_that_writes_numbers_in_one_word():
    """Sino-Korean numbers: tens and units without a space between them. From memory."""
    units = "영 일 이 삼 사 오 육 칠 팔 구 십 십일 십이 십삼 십사 십오 십육 십칠 십팔 십구".split()
    tens = "이십 삼십 사십 오십 육십 칠십 팔십 구십".split()
    hundreds = [[w] for w in "백 이백 삼백 사백 오백 육백 칠백 팔백 구백".split()]
    korean = Numbers(units=units, tens=tens, hundreds=hundreds, after_tens=[""], after_hundreds=[""])
    assert korean.spoken(25) == ("이십오",) and korean.spoken(125) == ("백이십오",)
    assert len(korean.table()) == 1000


def test_a_language_whose_numbers_end_at_ninety_nine_and_whose_tens_change_when_alone():
    """Native Korean numerals before a counter: 스무 코, but 스물한 코. From memory."""
    units = "영 한 두 세 네 다섯 여섯 일곱 여덟 아홉 열 열한 열두 열세 열네 열다섯 열여섯 열일곱 열여덟 열아홉".split()
    tens = "스물 서른 마흔 쉰 예순 일흔 여든 아흔".split()
    native = Numbers(units=units, tens=tens, tens_alone=["스무", *tens[1:]], after_tens=[""])
    assert native.spoken(20) == ("스무",) and native.spoken(21) == ("스물한",) and native.spoken(30) == ("서른",)
    assert native.highest == 99 and len(native.table()) == 100
    with pytest.raises(ValueError):
        native.spoken(100)


def test_ordinals_are_words_as_far_as_they_go():
    assert load("en").ordinal(2) == "second" and load("en").ordinal(31) == "number 31"


def test_numbers_that_sound_alike_and_the_same_after_a_hundred():
    assert ENGLISH.mistaken_for(17) == ENGLISH.mistaken_for(7) == (70,)
    assert ENGLISH.mistaken_for(70) == (7, 17)
    assert ENGLISH.mistaken_for(113) == (130,)
    assert ENGLISH.mistaken_for(20) == ()
