"""A maker teaches a word by voice and uses it: whole sessions with the real ear and rendered speech, in virtual time."""

from __future__ import annotations

import json
import sys
from functools import partial
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent / "sound"))
from rendered_speech import session, silence, spoken  # noqa: E402

from coach.cli import main  # noqa: E402
from coach.language.model import Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar  # noqa: E402
from coach.sound.ear_process import EarProcess  # noqa: E402
from coach.sound.errors import EarError  # noqa: E402
from coach.sound.listen import best_ear  # noqa: E402
from coach.sound.model import HEARING_RATE, Speech  # noqa: E402
from coach.sound.wav import write_wav  # noqa: E402

pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")

RATES = (130, 150, 170)
GRAMMAR = grammar(load(), "working", 9, ("sc",))


@pytest.fixture
def coach(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COACH_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("COACH_DEBUG", "1")

    def held(*pieces: np.ndarray, json_: bool = True) -> list:
        """What a session prints that hears these pieces, a second of quiet around each."""
        quiet = silence(1.2)
        sound = np.concatenate([quiet, *(piece for said in pieces for piece in (said, quiet))])
        write_wav(tmp_path / "maker.wav", Speech(sound, HEARING_RATE))
        assert main(["work", "buoy", "--hear", str(tmp_path / "maker.wav"), *(["--json"] if json_ else [])]) == 0
        lines = capsys.readouterr().out.splitlines()
        return [json.loads(line) for line in lines] if json_ else lines
    held.home = tmp_path / "home"
    return held


def examples(word: str) -> list[np.ndarray]:
    return [spoken(word, rate=rate) for rate in RATES]


def test_a_word_is_taught_used_kept_and_forgotten(coach):
    lines = coach(spoken("learn my word"), spoken("next step"), *examples("lighthouse"), spoken("lighthouse", rate=160),
                  json_=False)
    assert [line for line in lines if line.startswith(">")] == ["> learn my word", "> next step", "> next step"]
    said = [line for line in lines if not line.startswith(">")]
    assert said[1:5] == ["What shall your word mean? Ask for it, as always.",
                         "Your word for next step: say it, or type it.", "Again, please.", "And once more."]
    assert said[5].startswith("Learned. It means next step")
    assert said[6].startswith("Round 1."), "the word itself, heard as what it means"
    again = coach(spoken("lighthouse", rate=155), spoken("forget my word"), spoken("lighthouse", rate=155))
    assert [line["request"] for line in again] == ["next", "forget"]


def test_what_was_kept_holds_no_sound(coach):
    coach(spoken("learn my word"), spoken("next step"), *examples("lighthouse"))
    with np.load(coach.home / "words.npz") as kept:
        assert {array.dtype for name, array in kept.items() if name != "texts"} == {np.dtype(np.float16)}
        assert all(array.shape[1] == 96 for name, array in kept.items() if name != "texts"), "rows of embeddings"
    assert not list(coach.home.glob("*.wav"))


def test_a_damaged_file_of_words_is_told_and_the_session_goes_on(coach, capsys):
    coach.home.mkdir()
    (coach.home / "words.npz").write_bytes(b"PK\3\4 nothing")
    assert [line["request"] for line in coach(spoken("next step"))] == ["next"]


# ---- in the ear's own process

@pytest.fixture
def ear(tmp_path):
    ear = EarProcess(partial(best_ear, GRAMMAR, own=tmp_path / "words.npz", models={}))
    ear.listen_for(GRAMMAR)
    yield ear
    ear.close()


def heard(ear) -> list[str]:
    """What is obeyed of a maker who says the word and then a request; the session goes on afterwards."""
    said = np.concatenate([session("lighthouse", "undo that", rate=160), silence(1.5)])
    return [one.text for at in range(0, len(said), 1600) for one in ear.feed(said[at : at + 1600]) if one.sure]


def test_a_word_is_learned_in_the_ears_process_and_outlives_it(ear):
    assert heard(ear) == ["undo that"]
    assert ear.learn("next step", examples("lighthouse")) == ""
    assert heard(ear) == ["next step", "undo that"]
    ear._child.kill()
    ear._child.join()
    assert heard(ear) == ["next step", "undo that"]
    assert ear.forget() == "next step" and ear.forget() == ""
    assert heard(ear) == ["undo that"]


def test_what_is_wrong_with_examples_comes_back_as_a_sentence(ear):
    unlike = [spoken("lighthouse"), spoken("count so far"), spoken("buoy")]
    assert "don't sound like one word" in ear.learn("next step", unlike)
    assert "can't hear" in ear.learn("next step", [silence(0.5)] * 3)


def test_it_is_heard_only_where_what_it_means_makes_sense(ear):
    ear.learn("next step", examples("lighthouse"))
    ear.listen_for(Grammar(tuple(phrase for phrase in GRAMMAR.phrases if phrase != "next step"), GRAMMAR.numbers))
    assert heard(ear) == ["undo that"]


def test_a_recogniser_alone_learns_no_word():
    ear = EarProcess(partial(best_ear, GRAMMAR, "pocketsphinx"))
    with pytest.raises(EarError, match="can't learn a word. Type it"):
        ear.learn("next step", examples("lighthouse"))
    assert ear.forget() == ""
    ear.close()
