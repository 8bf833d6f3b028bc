"""Speech as numbers: a stream and a recording give the same."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rendered_speech import in_pieces, session

from coach.sound.embedding import CHUNKS, MEL_SAMPLES, REACH, SIZE, STEP, Embedding, EmbeddingModel
from coach.sound.errors import EarError
from coach.sound.model import HEARING_RATE

pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")


@settings(max_examples=10, deadline=None)
@given(sizes=st.lists(st.integers(1, 20_000), min_size=1, max_size=4))
def test_the_pieces_change_nothing(sizes):
    samples = session("go back")
    whole = Embedding().feed(samples)
    stream = Embedding()
    assert np.array_equal(np.concatenate([stream.feed(piece) for piece in in_pieces(samples, sizes)]), whole)


@pytest.mark.parametrize("batch", [1, 7, 16])
def test_many_at_once_are_the_same_as_one_by_one(batch):
    samples = session("count so far")
    assert np.allclose(EmbeddingModel(batch).of(samples.astype(np.float32)), Embedding().feed(samples), atol=1e-3)


def test_the_first_comes_when_there_is_enough_sound():
    enough = (CHUNKS - 1) * STEP + MEL_SAMPLES
    assert REACH == enough / HEARING_RATE
    stream = Embedding()
    assert stream.feed(np.zeros(enough - 1, np.int16)).shape == (0, SIZE)
    assert stream.feed(np.zeros(1, np.int16)).shape == (1, SIZE)
    assert stream.feed(np.zeros(STEP, np.int16)).shape == (1, SIZE)


def test_too_little_sound_gives_nothing():
    assert EmbeddingModel().of(np.zeros(100, np.float32)).shape == (0, SIZE)


def test_without_the_package(monkeypatch):
    monkeypatch.setitem(sys.modules, "pyopen_wakeword.openwakeword", None)
    with pytest.raises(EarError, match="pip install pyopen-wakeword"):
        EmbeddingModel()
