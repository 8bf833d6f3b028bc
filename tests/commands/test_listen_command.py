"""`coach listen` and the other commands that need sound, on a recording or without any."""

from __future__ import annotations

import json

import pytest

from coach.commands import check
from coach.commands.listen import of_any, of_pattern
from coach.conversation import Conversation
from coach.events import Listen
from coach.guide.model import Request
from coach.guide.requests import REQUESTS
from coach.language.phrasebook import load
from coach.topics import Working


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    """A recording of a maker who says "next step", something else, and "go to round twelve"."""
    import numpy as np

    from coach.sound.model import HEARING_RATE, Speech
    from coach.sound.mouth import EngineMouth
    from coach.sound.resample import resample
    from coach.sound.wav import write_wav

    quiet = np.random.default_rng(3).normal(0, 15, HEARING_RATE).astype(np.int16)
    pieces = [quiet]
    with EngineMouth("en-us+klatt3") as mouth:
        for words in ("next step", "the tide is coming in over the grey stones", "go to round twelve"):
            speech = mouth.say(words, 145)
            pieces += [resample(speech.samples, speech.rate, HEARING_RATE) // 2, quiet]
    path = tmp_path_factory.mktemp("listen") / "maker.wav"
    write_wav(path, Speech(np.concatenate(pieces), HEARING_RATE))
    return str(path)


def test_listen_json_has_exactly_the_fixed_fields(coach, recording):
    told = [json.loads(line) for line in coach("listen", recording, "--json").out.splitlines()]
    assert all(list(t) == ["start", "end", "text", "confidence", "request", "value", "acted"] for t in told)
    obeyed = [(t["text"], t["request"], t["value"]) for t in told if t["acted"]]
    assert obeyed == [("next step", "next", None), ("go to round twelve", "go_round", 12)]
    assert 0.5 < told[0]["start"] < told[0]["end"] < told[-1]["start"] < told[-1]["end"]


def test_listen_in_plain_lines(coach, recording):
    lines = coach("listen", recording).out.splitlines()
    assert lines[0].endswith(": next")
    assert lines[-1].endswith(": go_round 12")


def test_without_a_pattern_it_listens_for_every_request_with_numbers_and_counts():
    wanted, meaning = of_any(load("en"))
    asked = {meaning(words).name for words in wanted.spoken()}
    assert asked >= set(REQUESTS) - {"yes", "no", "go_part"}  # asked for by a question, and named by a pattern
    assert meaning("i have fifty nine") == Request("have", 59) and "i have fifty nine" in wanted.spoken()
    assert "i have sixty one" not in wanted.spoken()


def test_with_a_pattern_it_listens_as_a_session_does_at_its_start():
    wanted, meaning = of_pattern("seal", load("en"))
    assert {"go to the flipper", "go to round fourteen"} <= set(wanted.spoken())
    assert not {"go to round forty", "i have fifty nine", "carry on"} & set(wanted.spoken())
    assert meaning("go to the flipper").name == "go_part"
    topic = Working(check.load("seal"), load("en"))
    (first,) = (a for a in Conversation(topic).begin() if isinstance(a, Listen))
    assert wanted == first.grammar


def test_of_a_pattern_that_is_none(coach):
    done = coach("listen", "--pattern", "sael", "nowhere.wav")
    assert done.returncode == 2 and "Did you mean seal?" in done.err


@pytest.mark.parametrize("line, message", [
    (["listen", "nowhere.wav"], "There is no file nowhere.wav."),
    (["listen", "--ear", "shell", "nowhere.wav"], "--ear can't be shell: it is pocketsphinx or vosk."),
    (["work", "buoy", "--hear", "nowhere.wav"], "There is no file nowhere.wav."),
    (["work", "buoy", "--typed", "--speak", "no folder/coach.wav"], "can't be written"),
    (["models", "get", "nothing"], "There is no speech model nothing in the list."),
    (["models", "get"], "Which model?"),
    (["bring", "nowhere.pdf"], "There is no file nowhere.pdf."),
])
def test_sound_that_can_not_be_had_is_told_with_a_hint(coach, line, message):
    done = coach(*line)
    assert done.returncode == 2
    assert message in done.err.splitlines()[0]
    assert done.err.splitlines()[1]


def test_models_tells_what_can_be_had_and_how(coach):
    done = coach("models")
    assert done.returncode == 0
    assert "vosk-model-small-en-us-0.15: " in done.out
    assert "pocketsphinx" in done.out


def test_without_devices_or_a_terminal_it_says_what_is_missing_and_takes_typed_requests(coach, monkeypatch):
    """On a machine with sound it says nothing is missing; the rest is the same."""
    from coach.sound.devices import missing

    lacking = missing()
    if not any("microphone" in text or "PortAudio" in text for text in lacking):
        pytest.skip("there is a microphone here, and the session would go on with it")
    done = coach("work", "buoy", typed="next\n")
    assert done.returncode == 0
    lines = done.out.splitlines()
    assert lines[: len(lacking)] == list(lacking)
    assert lines[len(lacking)] == "Type a request and press enter, like: next."
    assert lines[-2].startswith("Round 1.")
    assert lines[-1] == "Your place is kept. Go on with: coach"
