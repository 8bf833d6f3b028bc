"""How well people are heard, and how often their talk is taken for a request.

The recordings lie beside the repository, in ../shared/speech; where they are absent this is skipped; the same path is
walked with synthetic voices in test_pocketsphinx_ear.py. Only a part of them is heard, so that this takes seconds, unless
COACH_TEST_ALL is set; the figures for all of them are in coach/sound/pocketsphinx_ear.py and tests/bench.
"""

from __future__ import annotations

import csv
import os
from functools import cache

import numpy as np
import pytest
from rendered_speech import SHARED

from coach.language.model import Grammar
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.listen import hear_recording
from coach.sound.model import HEARING_RATE, Utterance

pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
soundfile = pytest.importorskip("soundfile", reason="soundfile, which reads FLAC, is not installed")
if not (SHARED / "manifest.tsv").is_file():
    pytest.skip("no recordings of people in ../shared/speech", allow_module_level=True)

from coach.sound.pocketsphinx_ear import PocketsphinxEar  # noqa: E402

REQUESTS = grammar(load(), "working", 45, ("sc", "hdc", "dc"))
ALL = bool(os.environ.get("COACH_TEST_ALL"))  # minutes in place of seconds
EVERY = {"oov-word": 3}  # of the clips, chosen evenly over words and speakers; 8 of the other kinds
TALK_SECONDS = 600 if ALL else 25  # of each recording of talk


@cache
def recordings(kind: str) -> list[tuple[str, np.ndarray]]:
    """(what was said, samples) of a kind in the manifest."""
    with open(SHARED / "manifest.tsv", encoding="utf-8") as lines:
        rows = [row for row in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE) if row["kind"] == kind]
    found = []
    for row in rows if ALL or kind == "talk" else rows[:: EVERY.get(kind, 8)]:
        samples, rate = soundfile.read(SHARED / row["file"], dtype="int16")
        assert rate == HEARING_RATE
        found.append((row["transcript"], samples[: TALK_SECONDS * HEARING_RATE]))
    return found


def with_phrases(*phrases: str) -> Grammar:
    return Grammar((*REQUESTS.phrases, *phrases), REQUESTS.numbers)


def heard(kind: str, what: Grammar) -> list[tuple[str, list[Utterance]]]:
    ear = PocketsphinxEar()
    ear.listen_for(what)
    return [(said, hear_recording(samples, ear)) for said, samples in recordings(kind)]


def told(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print(f"\n    {line}", end="")


def test_phrases_of_three_syllables(capsys):
    """They stand for our own requests, of which there are no recordings of people."""
    found = heard("proxy", with_phrases("computer", "view glass", "smart mirror"))
    right = sum(any(u.sure and u.text == said for u in utterances) for said, utterances in found)
    wrong = sum(any(u.sure and u.text != said for u in utterances) for said, utterances in found)
    told(f"people's phrases of three syllables: {right} of {len(found)} obeyed, {wrong} taken for another", capsys)
    assert right >= 0.75 * len(found)
    assert wrong <= 0.05 * len(found)


def test_talk_that_asks_for_nothing(capsys):
    minutes = sum(len(samples) for _, samples in recordings("talk")) / HEARING_RATE / 60
    acted = [u.text for _, utterances in heard("talk", REQUESTS) for u in utterances if u.sure]
    told(f"people's talk, {minutes:.0f} minutes: {len(acted)} wrong actions {acted}", capsys)
    assert len(acted) / minutes * 10 <= 5


def test_words_that_are_no_request(capsys):
    found = heard("oov-word", REQUESTS)
    acted = [said for said, utterances in found if any(u.sure for u in utterances)]
    told(f"people's other words: {len(acted)} of {len(found)} obeyed {acted}", capsys)
    assert len(acted) <= 0.15 * len(found)


def test_one_word_after_a_question(capsys):
    """With few words to choose from; one-syllable words are known to be weak, and this only guards against worse."""
    found = [(said, utterances) for said, utterances in heard("command", Grammar(("yes", "no", "stop", "go back")))
             if said in ("yes", "no", "stop")]
    right = sum(any(u.sure and u.text == said for u in utterances) for said, utterances in found)
    wrong = sum(any(u.sure and u.text != said for u in utterances) for said, utterances in found)
    told(f"people's yes, no, stop: {right} of {len(found)} obeyed, {wrong} taken for another", capsys)
    assert right >= 0.2 * len(found) and wrong <= 0.2 * len(found)
