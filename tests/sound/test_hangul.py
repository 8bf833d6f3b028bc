"""Korean spelling to sounds. The pronunciations are those of the Standard Pronunciation, from memory."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.language.phrasebook import load
from coach.sound.confusable import APART, NUMBERS_APART, confusable, mixed_numbers
from coach.sound.hangul import pronounce
from coach.sound.likeness import VOWELS

KOREAN = load("ko")


@pytest.mark.parametrize("written, as_if_written", [
    ("다음으로", "다으므로"), ("열어", "여러"), ("읽어", "일거"), ("읽다", "익따"), ("같이", "가치"), ("먹는", "멍는"), ("십만", "심만"),
    ("신라", "실라"), ("좋아", "조아"), ("좋다", "조타"), ("많아", "마나"), ("많다", "만타"), ("급해", "그패"), ("국화", "구콰"), ("있어", "이써"),
    ("닫아", "다다"), ("앉아", "안자"), ("없이", "업씨"), ("값", "갑"), ("부엌", "부억"), ("밖", "박"), ("앞", "압"), ("낮", "낟"), ("꽃", "꼳"),
    ("여덟", "여덜"), ("삶", "삼"), ("못 해", "모태"), ("맏이", "마지"),
])
def test_what_is_written_sounds_like(written, as_if_written):
    assert pronounce(written) == pronounce(as_if_written)


@pytest.mark.parametrize("word, phonemes", [
    ("코", "K OW"), ("사슬", "S AA S UH L"), ("원", "W AO N"), ("강", "G AA NG"), ("예", "Y EH"),
])
def test_phonemes_are_those_of_likeness(word, phonemes):
    assert pronounce(word) == [phonemes.split()]


@pytest.mark.parametrize("text", ["", "buoy", "3단", "ㅋㅋ"])
def test_what_is_not_hangul_has_no_pronunciation(text):
    assert pronounce(text) == []


@given(st.text(st.characters(min_codepoint=0xAC00, max_codepoint=0xD7A3), min_size=1, max_size=8))
def test_every_syllable_has_its_vowel(text):
    (said,) = pronounce(text)
    assert sum(phoneme in VOWELS for phoneme in said) == len(text) and "_" not in said


def test_the_requests_of_the_phrasebook_can_be_told_apart():
    assert confusable(KOREAN, pronounce) == []
    assert any(pair.apart >= APART for pair in confusable(KOREAN, pronounce, 2.1))


def test_a_phrase_that_is_too_near_another_is_found():
    requests = tuple(h.model_copy(update={"say": ("그만", "한 코씨")}) if h.name == "stop" else h for h in KOREAN.request)
    near = confusable(KOREAN.model_copy(update={"request": requests}), pronounce)
    assert {"한 코씨", "한 코씩"} in [{pair.one, pair.other} for pair in near]


def test_numbers_that_sound_alike_are_those_of_the_phrasebook():
    assert mixed_numbers(KOREAN, pronounce, 99) == sorted(KOREAN.number.twins)
    counting = KOREAN.model_copy(update={"number": KOREAN.count})
    assert mixed_numbers(counting, pronounce, 99) == sorted(KOREAN.count.twins)
    assert (1, 2) in KOREAN.number.twins and (3, 4) in KOREAN.count.twins and NUMBERS_APART < APART
