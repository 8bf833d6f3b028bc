"""Words that a maker teaches with three examples, on rendered speech; on people's recordings where there are any."""

from __future__ import annotations

import csv
from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rendered_speech import SHARED, session, silence, spoken

from coach.language.model import Grammar
from coach.sound import head
from coach.sound.errors import EarError
from coach.sound.listen import hear_recording
from coach.sound.own_words import OwnWords, distance
from coach.sound.verified_ear import VerifiedEar

pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")

RATES = (130, 150, 170)


def words() -> OwnWords:
    model = head.load()
    return OwnWords(model.weights["mean"], model.weights["spread"])


def taught(*texts: str) -> OwnWords:
    own = words()
    for text in texts:
        own.learn(text, [spoken(text, rate=rate) for rate in RATES])
    return own


def test_a_word_is_heard_again():
    own = taught("lighthouse")
    assert own.heard(own.embedded(spoken("lighthouse", rate=160)))[0] == "lighthouse"


@pytest.mark.parametrize("other", ["puffin", "count so far", "seal", "buoy"])
def test_another_word_is_not(other):
    own = taught("lighthouse")
    assert own.heard(own.embedded(spoken(other))) == ("", 0.0)


def test_the_nearest_of_several():
    own = taught("lighthouse", "puffin")
    assert own.heard(own.embedded(spoken("puffin", rate=160)))[0] == "puffin"


def test_too_few_examples():
    with pytest.raises(EarError, match="I need 3 examples of 'puffin', and have 2"):
        words().learn("puffin", [spoken("puffin"), spoken("puffin")])


def test_an_example_without_a_sound():
    with pytest.raises(EarError, match="can't hear 'puffin' in one of the examples. Say it again"):
        words().learn("puffin", [spoken("puffin"), silence(1), spoken("puffin")])


def test_silence_is_no_word():
    own = taught("puffin")
    assert own.heard(own.embedded(silence(1))) == ("", 0.0)


def test_an_ear_hears_it_when_it_is_in_the_grammar():
    class Deaf:
        name = "deaf"

        def listen_for(self, what):
            pass

        def feed(self, samples):
            return []

        finish = close = lambda self: []

    said = session("lighthouse", "puffin", rate=160)
    for grammar, expected in ((Grammar(("lighthouse",)), ["lighthouse"]), (Grammar(("go back",)), [])):
        ear = VerifiedEar(Deaf(), head.load(), own=taught("lighthouse"))
        ear.listen_for(grammar)
        assert [one.text for one in hear_recording(said, ear) if one.sure] == expected


rows = st.integers(1, 6).flatmap(
    lambda n: st.lists(st.lists(st.floats(-1, 1), min_size=3, max_size=3), min_size=n, max_size=n)
)


@given(rows, rows)
def test_distance_is_the_same_both_ways_and_none_to_itself(one, other):
    one, other = np.array(one) + 2, np.array(other) + 2  # away from the zero vector, which has no direction
    assert distance(one, other) == pytest.approx(distance(other, one))
    assert distance(one, one) == pytest.approx(0, abs=1e-6)


def test_stretched_in_time_is_nearly_the_same():
    row = np.random.default_rng(1).normal(0, 1, (6, 8))
    assert distance(row, np.repeat(row, 2, axis=0)) == pytest.approx(0, abs=1e-6)


def test_one_speakers_digits_against_each_other(capsys):
    """Two people whom nothing was trained on: three examples of each digit, the others judged."""
    if not (SHARED / "manifest.tsv").is_file():
        pytest.skip("no recordings of people in ../shared/speech")
    soundfile = pytest.importorskip("soundfile", reason="soundfile, which reads FLAC, is not installed")
    own = words()
    clips: dict[tuple[str, str], list[np.ndarray]] = defaultdict(list)
    with open(SHARED / "manifest.tsv", encoding="utf-8") as lines:
        for row in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE):
            if row["speaker"].startswith("fsdd"):
                clips[row["speaker"], row["transcript"]].append(soundfile.read(SHARED / row["file"], dtype="int16")[0])
    right = count = wrong = others = 0
    for (speaker, text), mine in clips.items():
        word = own.learn(text, mine[:3])
        own.words.clear()
        for (who, other), said in clips.items():
            for samples in said[3:] if who == speaker else []:
                is_near = word.distance(own.embedded(samples)) < word.reach
                right, count = right + (is_near and other == text), count + (other == text)
                wrong, others = wrong + (is_near and other != text), others + (other != text)
    with capsys.disabled():
        print(
            f"\n    taught with three examples: {right} of {count} heard, {wrong} of {others} other words taken for it",
            end="",
        )
    assert right >= 0.6 * count
    assert wrong <= 0.03 * others
