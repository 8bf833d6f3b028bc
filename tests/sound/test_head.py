"""The coach's own model: refused when it is not whole, and the same however its input comes."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.language.phrasebook import load as phrasebook
from coach.sound import head, listen
from coach.sound.embedding import SIZE
from coach.sound.errors import NoModel
from coach.sound.head import DESCRIPTION, WEIGHTS, Description, Head, Stream


@pytest.fixture
def copy(tmp_path) -> Path:
    return Path(shutil.copytree(head.OWN_MODEL, tmp_path / "ear"))


def changed(folder: Path, **values: object) -> None:
    file = folder / DESCRIPTION
    file.write_text(json.dumps(json.loads(file.read_text("utf-8")) | values), encoding="utf-8")


def test_the_committed_model_is_whole_and_small():
    model = head.load()
    assert (head.OWN_MODEL / WEIGHTS).stat().st_size < 1_000_000
    assert model.phrase("go back") is not None


def test_it_knows_most_of_the_phrasebook():
    """It is made anew when the phrasebook has grown; what it lacks is heard by the recogniser alone."""
    model = head.load()
    said = [phrase for heard in phrasebook().request for phrase in heard.say]
    known = [phrase for phrase in said if model.phrase(phrase) is not None]
    assert len(known) >= 0.9 * len(said)


def test_blanks_are_filled():
    model = head.load()
    assert model.phrase("go to round twenty one") == model.phrase("go to round two")
    assert model.phrase("what is a picot") is not None
    assert model.phrase("blow the horn") is None


def test_phrases_of_one_request_are_the_same():
    model = head.load()
    back = model.phrase("back")
    assert model.phrase("go back") in model.same(back)
    assert model.phrase("stop") not in model.same(back)


def test_no_model(tmp_path):
    with pytest.raises(NoModel, match="is not here. The recogniser is used without it"):
        head.load(tmp_path)


@pytest.mark.parametrize("at", [0, 100, 5_000, -1])
def test_one_wrong_byte_is_noticed(copy, at):
    data = bytearray((copy / WEIGHTS).read_bytes())
    data[at] ^= 0x40
    (copy / WEIGHTS).write_bytes(data)
    with pytest.raises(NoModel, match="damaged: its sum is wrong"):
        head.load(copy)


def test_half_a_file_is_noticed(copy):
    (copy / WEIGHTS).write_bytes((copy / WEIGHTS).read_bytes()[:1000])
    with pytest.raises(NoModel, match="damaged"):
        head.load(copy)


@pytest.mark.parametrize("text", ["", "{", "[1, 2]", '"ear"'])
def test_a_description_that_is_none(copy, text):
    (copy / DESCRIPTION).write_text(text, encoding="utf-8")
    with pytest.raises(NoModel):
        head.load(copy)


def test_another_version(copy):
    changed(copy, version=2)
    with pytest.raises(NoModel, match="another version"):
        head.load(copy)


@pytest.mark.parametrize("part", ["words", "phrases", "requests"])
def test_a_description_that_does_not_fit_the_weights(copy, part):
    told = json.loads((copy / DESCRIPTION).read_text("utf-8"))
    changed(copy, **{part: told[part][:-1]})
    with pytest.raises(NoModel, match="damaged"):
        head.load(copy)


def test_weights_that_are_no_numbers(copy):
    model = head.load(copy)
    weights = dict(model.weights)
    weights["bias1"] = np.full_like(weights["bias1"], np.nan)
    with pytest.raises(NoModel, match="bias1 has values that are no numbers"):
        Head(weights, model.description)


def test_a_damaged_model_leaves_the_recogniser_alone(copy, monkeypatch):
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    (copy / WEIGHTS).write_bytes(b"nothing")
    monkeypatch.setattr(head.load, "__defaults__", (copy,))
    alone = listen.best_ear(models={})
    assert alone.name == "pocketsphinx"
    assert alone.fault == "The model of the coach's own ear is damaged: its sum is wrong. The recogniser is used without it."


def test_nothing_is_wrong_with_an_ear_that_has_its_model():
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    assert listen.best_ear(models={}).fault == listen.best_ear(name="pocketsphinx").fault == ""


def test_saved_and_loaded(tmp_path):
    model = head.load()
    head.save(
        tmp_path / "new", {name: value.astype(np.float16) for name, value in model.weights.items()}, model.description
    )
    again = head.load(tmp_path / "new")
    assert again.description == model.description
    assert all(np.array_equal(again.weights[name], model.weights[name]) for name in model.weights)


@settings(max_examples=20, deadline=None)
@given(sizes=st.lists(st.integers(1, 9), min_size=1, max_size=30))
def test_the_pieces_change_nothing(sizes):
    model = head.load()
    rows = np.random.default_rng(3).normal(0, 8, (sum(sizes), SIZE)).astype(np.float32)
    words, phrases = model.of(rows)
    stream, at, found = Stream(model), 0, []
    for size in sizes:
        found.append(stream.feed(rows[at : at + size]))
        at += size
    assert np.allclose(np.concatenate([w for w, _ in found]), words, atol=1e-4)
    assert np.allclose(np.concatenate([p for _, p in found]), phrases, atol=1e-4)


def test_outputs_are_probabilities():
    words, phrases = head.load().of(np.random.default_rng(1).normal(0, 8, (5, SIZE)))
    assert np.allclose(np.exp(words).sum(1), 1, atol=1e-4) and np.allclose(phrases.sum(1), 1, atol=1e-4)


def test_a_description_needs_a_request_for_each_phrase():
    model = head.load()
    with pytest.raises(NoModel, match="don't match"):
        Head(model.weights, Description(model.description.words, model.description.phrases, ()))
