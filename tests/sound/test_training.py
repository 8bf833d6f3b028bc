"""What the coach's own ear learns from, made small: voices, a maker's own recordings, streams. Nothing is trained here."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest

from coach.language.phrasebook import load
from coach.sound.model import HEARING_RATE

pytest.importorskip("scipy", reason="scipy is not installed")
soundfile = pytest.importorskip("soundfile", reason="soundfile is not installed")
pytest.importorskip("espeakng_loader", reason="espeakng-loader is not installed")
pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")

from coach.sound.training import dataset, neural_voices, recordings, texts, voices  # noqa: E402

BOOK = load()
CLASSES = (*texts.phrases(BOOK), *texts.number_words(BOOK))


@pytest.fixture(scope="module")
def renderer():
    engine = voices.Renderer()
    yield engine
    engine.close()


@pytest.mark.parametrize("accent", sorted(set(voices.ACCENTS)))
def test_every_accent_can_be_said(renderer, accent, monkeypatch):
    """An accent that the engine doesn't know says nothing, and its voices would be missed by nobody."""
    monkeypatch.setattr(voices, "ACCENTS", (accent,))
    assert len(renderer.say("next step", voices.Voice("espeak", "m3"), 1)) > HEARING_RATE // 3


def test_a_seed_decides_how_fast_a_voice_speaks(renderer):
    """Never to the bit: espeak-ng says nothing twice quite alike."""
    voice = voices.Voice("espeak", "f2")
    once, again, otherwise = (len(renderer.say("go back", voice, seed)) for seed in (7, 7, 8))
    assert abs(once - again) < 160 < abs(once - otherwise)


def test_the_sounds_of_a_text(renderer):
    assert renderer.phonemes("next step") == "nˈɛkst stˈɛp"  # as espeak-ng writes it; no source
    assert renderer.phonemes("step", "no such voice") == ""


def test_no_voice_is_learned_and_judged():
    dice = random.Random(3)
    assert all(voices.choose(True, dice).is_held_back for _ in range(50))
    assert not any(voices.choose(False, dice).is_held_back for _ in range(50))
    names = ("af_bella", *neural_voices.HELD_BACK, "bm_lewis", "jf_alpha")
    assert {name for _ in range(80) for name in neural_voices.mixed(names, dice)} == {"af_bella", "bm_lewis", "jf_alpha"}


def test_a_mix_of_neural_voices_is_one_speaker():
    dice = random.Random(3)
    mixes = [neural_voices.mixed(("af_bella", "bm_lewis", "zf_xiaoyi"), dice) for _ in range(200)]
    assert all(abs(sum(shares.values()) - 1) < 1e-9 and len(shares) <= 2 for shares in mixes)
    assert 10 < sum("zf_xiaoyi" in shares for shares in mixes) < 60, "most often people whose language is English"


def test_what_the_neural_voices_say():
    said = neural_voices.lines(1, 40, random.Random(5))
    assert said == neural_voices.lines(1, 40, random.Random(5))
    assert {line.phrase for line in said} >= set(CLASSES)
    assert sum(line.phrase == "stop" for line in said) == 3, "short words are said more often"
    assert sum(not line.phrase for line in said) > 20


def recording(folder: Path, name: str, seconds: float = 0.6) -> None:
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    time = np.arange(int(seconds * HEARING_RATE)) / HEARING_RATE
    soundfile.write(file, 0.3 * np.sin(2 * np.pi * 300 * time) * np.hanning(len(time)), HEARING_RATE)


def test_a_makers_own_folder(tmp_path):
    for name in ("anna/next step.wav", "anna/go-back.2.flac", "other tv/anything at all.wav", "anna/other hum.wav", "anna/a.txt"):
        recording(tmp_path, name) if not name.endswith("txt") else (tmp_path / name).write_text("no sound")
    found = {(one.speaker, one.text) for one in recordings.own(tmp_path)}
    assert found == {("own anna", "next step"), ("own anna", "go back"), ("own other tv", ""), ("own anna", "")}


def test_a_makers_recordings_become_streams_with_their_phrase(tmp_path):
    recording(tmp_path, "anna/next step.wav")
    recording(tmp_path, "anna/other hum.wav")
    people = recordings.own(tmp_path)
    wanted = dataset.orders(texts.Sayings(BOOK, random.Random(5)), people, set(texts.words(BOOK)), CLASSES, 1, 1, 5)
    mine = [order for order in wanted if any(clip.recording for clip in order.clips)]
    assert len(mine) == 2, "two copies, differently spoiled"
    (stream, *_) = dataset.make(mine[:1], people, 1)
    assert {item.phrase for item in stream.items} == {"next step", ""}
    assert stream.features.shape[1] == 96 and stream.features.dtype == np.float16
    ends = [item.end for item in stream.items]
    assert ends == sorted(ends) and ends[-1] < len(stream.features) * 0.08 + 2


def test_streams_say_the_same_however_many_processes_make_them():
    wanted = dataset.orders(texts.Sayings(BOOK, random.Random(5)), [], set(texts.words(BOOK)), CLASSES, 1, 1, 5)[:6]
    one, two = (dataset.make(wanted, [], cores) for cores in (1, 2))
    for a, b in zip(one, two, strict=True):
        assert [(item.text, item.phrase) for item in a.items] == [(item.text, item.phrase) for item in b.items]
        assert abs(len(a.features) - len(b.features)) <= 6


def test_a_pool_that_can_make_nothing_says_so():
    """An order that can't be made ends the making; it doesn't wait for ever."""
    bad = dataset.Clip(texts.Line(""), recording=recordings.Recording("", "x", Path("no such file.wav"), 0))
    with pytest.raises(Exception, match="no such file"):
        dataset.make([dataset.Order((bad,), 1, 0)], [], 1)


def test_classes_are_found_with_their_blanks_filled_in():
    assert texts.class_of("go to round seventeen", CLASSES) == "go to round <number>"
    assert texts.class_of("next step", CLASSES) == "next step"
    assert texts.class_of("blow the horn", CLASSES) == ""
