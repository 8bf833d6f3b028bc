"""The second language: a maker works in Korean, and what is Korean about it is data.

Native numerals count stitches (열두 코), Sino-Korean ones number rounds (3단): National Institute of Korean Language, from
memory. Names of stitches: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric, notation
from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.language.understand import grammar, normal, understand
from coach.stitches.catalogue import catalogue
from coach.topics import Choosing, Working

KOREAN = load("ko")
PATTERNS = Path(__file__).parents[2] / "patterns"


def working(name: str) -> Working:
    return Working(fabric.work(notation.read((PATTERNS / f"{name}.md").read_text("utf-8"))), KOREAN)


def talk(topic: Working, *lines: str) -> str:
    """What the coach says to the last of these."""
    said = topic.begin().said
    for line in lines:
        request = topic.understand(line, typed=True)
        assert request is not None, line
        said = topic.answer(request).said
    return said


@pytest.mark.parametrize("lines, said", [
    (("다음",), "1단. 매직링 만들기. 고리에 짧은뜨기 여섯 코. 모두 여섯 코가 돼요."),
    (("다음", "다음 단계"), "2단. 다음 여섯 코에 각각 늘리기. 모두 열두 코가 돼요."),
    (("다음", "다음", "다음"), "3단. 짧은뜨기, 그다음 늘리기; 여섯 번 중 첫 번째."),
    (("다음", "다음", "다음", "다음", "지금까지 몇 코"), "열여덟 코 중 세 코 떴어요."),
    (("삼 단으로 가", "몇 코 남았어"), "열여덟 코 남았어요. 이다음에 반복이 다섯 번 남았어요."),
    (("5단",), "5단. 다음 스물네 코에 짧은뜨기. 모두 스물네 코가 돼요."),
    (("3단", "다섯 코 있어"), "다섯 코는 늘리기 안이에요. 그 앞은 네 코, 그것까지는 여섯 코예요."),
    (("3단", "코 있어"), None),
    (("다음", "다음", "취소"), "취소했어요. 1단. 매직링 만들기. 고리에 짧은뜨기 여섯 코. 모두 여섯 코가 돼요."),
    (("99단",), "여기는 1단부터 11단까지 있어요."),
    (("얼마나 커",), "너비 약 5.5센티미터, 높이 5센티미터. 도안의 게이지로 어림했어요."),
    (("메모: 바늘을 4밀리로 바꿈", "내 메모"), "바늘을 4밀리로 바꿈."),
    (("도와줘",), "이렇게 말할 수 있어요: 다음, 반복, 이전 단계, 지금까지 몇 코, 아니면 잠깐만."),
])
def test_the_buoy_in_korean(lines, said):
    if said is None:
        assert understand(KOREAN, lines[-1], typed=True) is None
    else:
        assert talk(working("buoy"), *lines).endswith(said)


@pytest.mark.parametrize("name", ["buoy", "seal", "puffin", "lighthouse", "dishcloth", "square", "cap"])
def test_every_pattern_of_ours_is_worked_to_its_end_in_korean(name):
    file = next(PATTERNS.glob(f"*{name}*.md"), None)
    assert file is not None
    topic = working(file.stem)
    said = [topic.begin().said]
    while "모두 끝났어요." not in said[-1]:
        answer = topic.answer(Request("next"))
        assert answer.said and answer.said != said[-1]
        said.append(answer.said)
    assert not any("{" in s or "}" in s for s in said)


@pytest.mark.parametrize("line, meant", [
    ("다음단계", Request("next")),
    ("  다음   단계. ", Request("next")),
    ("다시말해줘", Request("repeat")),
    ("이십오 단으로 가", Request("go_round", 25)),
    ("이십오단으로가", Request("go_round", 25)),
    ("열두 코 있어", Request("have", 12)),
    ("십이 코 있어", Request("have", 12)),
    ("스물한코있어", Request("have", 21)),
    ("스무 코 있어", Request("have", 20)),
    ("17 코 있어요", Request("have", 17)),
    ("백이십 코 있어", Request("have", 120)),
    ("세 코 풀었어", Request("ripped", 3)),
    ("열 단까지 풀었어", Request("ripped_round", 10)),
    ("한길긴뜨기 뭐야", Request("what_is", "dc")),
    ("한길 긴뜨기 뭐야", Request("what_is", "dc")),
    ("긴뜨기 뭐야", Request("what_is", "hdc")),
    ("single crochet 뭐야", Request("what_is", "sc")),
    ("메모너무빡빡해", Request("note", "너무빡빡해")),
    ("n", None),
    ("뭐", None),
])
def test_spaces_and_the_two_kinds_of_numbers_do_not_matter(line, meant):
    assert understand(KOREAN, line, typed=True) == meant


def test_a_note_that_is_spoken_is_written_down_with_its_spaces():
    assert understand(KOREAN, "메모 너무 빡빡해") == Request("note", "너무 빡빡해")
    assert understand(KOREAN, "메모 바늘을 바꿈") is None  # only a few can be spoken


class TestNumbers:
    @pytest.mark.parametrize("number, native, sino", [
        (1, "한", "일"), (2, "두", "이"), (12, "열두", "십이"), (20, "스무", "이십"), (21, "스물한", "이십일"),
        (34, "서른네", "삼십사"), (99, "아흔아홉", "구십구"),
    ])
    def test_stitches_are_counted_with_native_numerals(self, number, native, sino):
        assert KOREAN.spoken(number, counting=True) == ((native, sino) if number > 19 else (native,))
        assert KOREAN.spoken(number) == (sino,)

    def test_above_ninety_nine_there_are_no_native_ones(self):
        assert KOREAN.spoken(120, counting=True) == ("백이십",)
        assert KOREAN.filled("{n:count} 코", {"n": 120}) == "백이십 코"

    @pytest.mark.parametrize("number, words", [(1, "첫 번째"), (2, "두 번째"), (11, "열한 번째"), (21, "스물한 번째"),
                                               (120, "백이십 번째")])
    def test_what_is_in_a_row_is_numbered_with_native_numerals_but_for_the_first(self, number, words):
        assert KOREAN.filled("{n:nth} 코", {"n": number}) == f"{words} 코"

    @pytest.mark.parametrize("value", [1000, "18, 24", -1])
    def test_what_has_no_words_stays_as_it_is(self, value):
        assert KOREAN.filled("{n:count} 코", {"n": value}) == f"{value} 코"

    @given(st.integers(0, 999))
    def test_no_words_mean_two_numbers(self, n):
        for form in KOREAN.spoken(n, counting=True):
            assert KOREAN.number_words[form] == n

    def test_rounds_are_heard_in_sino_korean_and_stitches_in_both(self):
        heard = grammar(KOREAN, "working", 3, highest_count=2)
        assert heard.numbers == ("일", "이", "삼") and heard.counts == ("한", "두")


class TestLessons:
    @pytest.mark.parametrize("stitch", KOREAN.how)
    def test_a_lesson_has_the_steps_of_the_catalogue(self, stitch):
        assert len(KOREAN.how[stitch]) == len(catalogue()[stitch].how)

    def test_a_stitch_is_explained_in_korean(self):
        assert talk(working("buoy"), "다음", "짧은뜨기 뭐야").startswith("짧은뜨기. 다음 브이를")

    def test_what_has_no_korean_lesson_is_in_the_catalogues_own_words(self):
        assert catalogue()["popcorn"].how[0] in talk(working("buoy"), "팝콘뜨기 뭐야")


def test_a_pattern_is_chosen_by_number():
    topic = Choosing(["Seal", "Buoy"], KOREAN)
    assert "번호 1부터 번호 2까지" in topic.begin().said
    assert topic.understand("번호 이", typed=False) == topic.understand("이 번", typed=False) == Request("choose", 2)


def test_the_coach_never_says_its_own_name():
    for name in KOREAN.called:
        assert name not in str(KOREAN.say) and name == normal(name)


def test_a_patterns_own_words_stay_english_with_their_abbreviations_spoken_out():
    from coach.language.steps import Steps

    assert Steps(KOREAN).written("Sew at Rnd 9, 2 sc apart.", "US") == "Sew at round 9, 2 single crochet apart."
    assert Steps(KOREAN, "UK").written("2 dc apart.", "UK") == "2 double crochet apart."
