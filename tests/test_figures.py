"""How quick a session was: percentiles, the file, the sentences."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.figures import FILE, KEPT, Figures, as_text, read


def measured(words=(), sounds=()) -> Figures:
    figures = Figures()
    figures.word_to_action.extend(words)
    figures.action_to_sound.extend(sounds)
    return figures


def test_the_middle_and_nearly_the_worst():
    told = measured([n / 100 for n in range(1, 101)], [0.2]).as_json()
    assert told == {"word_to_action": {"count": 100, "p50": 0.5, "p95": 0.95},
                    "action_to_sound": {"count": 1, "p50": 0.2, "p95": 0.2}}


@given(st.lists(st.floats(0, 60), min_size=1))
def test_percentiles_are_values_that_were_measured(seconds):
    told = measured(seconds).as_json()["word_to_action"]
    assert {told["p50"], told["p95"]} <= {round(s, 3) for s in seconds}
    assert sum(s <= told["p95"] + 0.001 for s in seconds) >= 0.95 * len(seconds)


def test_in_sentences():
    assert as_text(measured([0.41, 0.62, 0.4]).as_json()) == [
        "From the end of a word to the action: 0.41 s, at most 0.62 s for 95 of 100 (3 measured).",
        "From there to the first sound: nothing measured."]


def test_those_of_the_last_session_are_kept(tmp_path):
    measured([0.5]).write(tmp_path)
    measured([0.3], [0.1]).write(tmp_path)
    measured().write(tmp_path)  # a typed session measures nothing, and takes nothing away
    assert read(tmp_path) == measured([0.3], [0.1]).as_json()


@pytest.mark.parametrize("text", [None, "", "[]", "{}", '{"word_to_action": {"count": 3}, "action_to_sound": 1}'])
def test_what_can_not_be_read_is_nothing_measured(tmp_path, text):
    if text is not None:
        (tmp_path / FILE).write_text(text)
    assert read(tmp_path) == Figures().as_json()


def test_a_long_evening_takes_no_more_room():
    assert len(measured(range(3 * KEPT)).word_to_action) == KEPT


def test_json_is_plain(tmp_path):
    measured([0.25], [0.125]).write(tmp_path)
    assert json.loads((tmp_path / FILE).read_text())["action_to_sound"] == {"count": 1, "p50": 0.125, "p95": 0.125}
