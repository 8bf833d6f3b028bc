"""The coach's own model as a judge of what a recogniser proposes, on speech that the project renders itself.

How well people are heard is measured by tests/bench/bench_ear.py.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rendered_speech import VOICES, in_pieces, noise, session, silence, spoken

from coach.language.model import Grammar
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.listen import hear_recording
from coach.sound.model import HEARING_RATE, Utterance

pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")

from coach.sound import head  # noqa: E402
from coach.sound.pocketsphinx_ear import PocketsphinxEar  # noqa: E402
from coach.sound.verified_ear import EARLY_NUMBER, GOES_ON, WAIT, Candidate, Thresholds, VerifiedEar  # noqa: E402

REQUESTS = grammar(load(), "working", 45, ("sc", "hdc", "dc"))
ASKED = Grammar(("number <number>", "<number>", "stop"), tuple(load().number.spoken(n)[0] for n in range(1, 31)))
TALK = ("the boat came back to the harbour at night", "we looked at the puffin for a while", "could you turn that off")


@cache
def model() -> head.Head:
    return head.load()


class Recogniser:
    """An ear that says a given utterance when so many samples have come: the wrapper is tested without a recogniser."""

    name = "scripted"

    def __init__(self, *utterances: Utterance, after: float = 0.3) -> None:
        self._left = [(round((one.end + after) * HEARING_RATE), one) for one in utterances]
        self._heard = 0
        self.grammars: list[Grammar] = []

    def listen_for(self, what: Grammar) -> None:
        self.grammars.append(what)

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        self._heard += len(samples)
        found = [one for at, one in self._left if at <= self._heard]
        self._left = [(at, one) for at, one in self._left if at > self._heard]
        return found

    def finish(self) -> list[Utterance]:
        return [one for _, one in self._left]

    def missing_words(self, what: Grammar) -> list[str]:
        return ["amigurumi"]

    def close(self) -> None:
        self._left = []


def ear_for(what: Grammar = REQUESTS, **more) -> VerifiedEar:
    ear = VerifiedEar(PocketsphinxEar(), model(), **more)
    ear.listen_for(what)
    return ear


def acted(samples: np.ndarray, what: Grammar = REQUESTS) -> list[str]:
    return [one.text for one in hear_recording(samples, ear_for(what)) if one.sure]


@pytest.mark.parametrize(
    "said", ["go back", "count so far", "how many left", "start of the round", "go to round twelve"]
)
def test_requests_are_obeyed(said):
    assert acted(session(said)) == [said]


def test_a_conversation():
    assert acted(session("next step", "where am i", "undo that")) == ["next step", "where am i", "undo that"]


def test_talk_is_not_obeyed():
    assert acted(session(*TALK)) == []


def test_noise_is_not_obeyed():
    rumble = noise(6, 900)
    rumble[: HEARING_RATE * 2] = silence(2)
    assert acted(rumble) == []


def in_noise(*texts: str, below: float) -> np.ndarray:
    """Noise so many dB below the voice."""
    samples = session(*texts, pause=1.5)
    loud = np.sqrt(np.mean(samples[np.abs(samples) > 300].astype(float) ** 2)) / 10 ** (below / 20)
    beside = noise(len(samples) / HEARING_RATE + 1, loud)[: len(samples)]
    return np.clip(samples.astype(int) + beside, -32_768, 32_767).astype(np.int16)


@pytest.mark.parametrize("below", [20, 12])
def test_a_request_is_heard_in_noise_though_nothing_is_proposed(below):
    found = hear_recording(in_noise("how many left", below=below), _listening(Recogniser()))
    assert [one.text for one in found if one.sure] == ["how many left"]


@pytest.mark.parametrize("below", [40, 12])
def test_a_request_inside_of_a_sentence_is_none(below):
    sentence = "i wonder where am i going to find the other end of this long rope"
    assert [one for one in hear_recording(in_noise(sentence, below=below), _listening(Recogniser())) if one.sure] == []


def test_a_number_that_can_not_go_on_is_told_before_the_wait_is_over():
    decided: list[tuple[Candidate, float]] = []
    ear = ear_for(ASKED, judged=lambda candidate, now: decided.append((candidate, now)))
    hear_recording(session("seven", "nine", "twenty", voice="en-us+edward"), ear)
    waited = {one.text: now - one.end for one, now in decided if one.kind == "number" and one.score >= EARLY_NUMBER}
    assert waited.pop("twenty", WAIT) >= WAIT - 0.02
    assert waited and all(GOES_ON - 0.01 < seconds < WAIT for seconds in waited.values())


def test_a_number_is_heard_after_a_question_only():
    assert acted(session("seven"), ASKED) == ["seven"]
    assert acted(session("seven")) == []


def test_a_proposal_that_was_not_said_is_refused():
    """The recogniser is sure; the head has heard something else, which is obeyed in its place."""
    samples = session("how many left")
    end = 0.7 + len(spoken("how many left")) / HEARING_RATE
    lie = Utterance(0.7, end, "count so far", 0.9, True)
    found = hear_recording(samples, _listening(Recogniser(lie)))
    assert [one.text for one in found if one.sure] == ["how many left"]


def test_a_phrase_is_heard_that_the_recogniser_missed():
    found = hear_recording(session("how many left"), _listening(Recogniser()))
    assert [(one.text, one.sure) for one in found] == [("how many left", True)]


def test_a_phrase_that_could_go_on_is_waited_for():
    """ "Go back" may become "go back one": the head alone does not act before the pause has shown that it was all."""
    decided: list[tuple[Candidate, float]] = []
    ear = VerifiedEar(Recogniser(), model(), judged=lambda candidate, now: decided.append((candidate, now)))
    ear.listen_for(Grammar(("go back", "go back one", "where am i")))
    for voice in VOICES:  # no engine says the same twice; some sayings are sure only late
        hear_recording(session("go back", "where am i", voice=voice), ear)
    waited = [(one.text, now - one.end) for one, now in decided if one.kind == "phrase"]
    assert min(seconds for text, seconds in waited if text == "go back") >= WAIT
    assert min(seconds for text, seconds in waited if text == "where am i") < WAIT - 0.1


def test_the_same_proposal_is_obeyed_where_it_was_said():
    end = 0.7 + len(spoken("count so far")) / HEARING_RATE
    told = Utterance(0.7, end, "count so far", 0.2, False)  # the recogniser alone would not have dared
    found = hear_recording(session("count so far"), _listening(Recogniser(told)))
    assert [(one.text, one.sure) for one in found] == [("count so far", True)]


@pytest.mark.parametrize("sure", [True, False])
def test_a_phrase_that_the_model_does_not_know_passes_with_the_recognisers_verdict(sure):
    told = Utterance(0.7, 1.5, "blow the horn", 0.6, sure)
    found = hear_recording(session("where am i"), _listening(Recogniser(told), Grammar(("blow the horn",))))
    assert found == [told]


def test_one_sound_gives_one_utterance():
    """The word that the model hears itself and the recogniser's proposal are the same sound."""
    end = 0.7 + len(spoken("stop")) / HEARING_RATE
    found = hear_recording(
        session("stop"), _listening(Recogniser(Utterance(0.7, end, "stop", 0.9, True)), Grammar(("stop",)))
    )
    assert len([one for one in found if one.sure]) <= 1


def test_it_waits_no_longer_than_it_says():
    decided: list[tuple[Candidate, float]] = []
    ear = ear_for(judged=lambda candidate, now: decided.append((candidate, now)))
    hear_recording(session("go back", *TALK), ear)
    assert decided
    heard = [(one.end, now) for one, now in decided if one.kind != "proposed"]
    assert heard and all(now <= end + WAIT + 0.05 for end, now in heard)
    proposed = [(one.end, now) for one, now in decided if one.kind == "proposed"]
    assert proposed and all(now <= end + WAIT + 0.8 for end, now in proposed)  # 0.3: its pause; its ends are not exact


@settings(max_examples=6, deadline=None)
@given(sizes=st.lists(st.integers(1, 9000), min_size=1, max_size=5))
def test_the_pieces_change_nothing(sizes):
    samples = session("go back", "the boat came back", "stop")
    whole = _heard_in(samples, [len(samples)])
    assert _heard_in(samples, sizes) == whole
    assert [one.text for one in whole if one.sure][:1] == ["go back"]


def test_a_new_grammar_reaches_the_recogniser():
    recogniser = Recogniser()
    ear = VerifiedEar(recogniser, model())
    ear.listen_for(ASKED)
    assert recogniser.grammars == [ASKED]
    assert ear.missing_words(ASKED) == ["amigurumi"]
    assert ear.name == "scripted, verified"


def test_nothing_is_sure_with_thresholds_out_of_reach():
    samples = session("go back")
    found = hear_recording(samples, ear_for(thresholds=Thresholds(2, 2, 2)))
    assert [one for one in found if one.sure] == []


def _listening(recogniser: Recogniser, what: Grammar = REQUESTS) -> VerifiedEar:
    ear = VerifiedEar(recogniser, model())
    ear.listen_for(what)
    return ear


def _heard_in(samples: np.ndarray, sizes: list[int]) -> list[Utterance]:
    ear = ear_for(Grammar(("go back", "stop", "undo that")))
    found: list[Utterance] = []
    for piece in in_pieces(samples, sizes):
        found += ear.feed(piece)
    return found + ear.finish()
