"""The rehearsal: another voice asks, the real recogniser hears, the real coach answers."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coach import fabric, notation
from coach.cli import main
from coach.commands.files import patterns
from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.language.understand import understand
from coach.rehearse import LONGEST, PAUSE, TRIES, Ask, Maker, maker_mouth, phrase, rehearse, script
from coach.sound.mouth import EngineMouth
from coach.sound.pocketsphinx_ear import PocketsphinxEar
from coach.sound.wav import read_speech
from coach.tape import BLOCK, VOICE_RATE
from coach.topics import Working

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
ENGLISH = load("en")
TURN = re.compile(r'^(\d\d):(\d\d\.\d)  '
                  r'(coach: .+|maker: "[a-z ]+"   heard: [a-z ]+ \(\d\.\d\d\)(, not sure: a low tone)?)$')


@pytest.fixture(scope="module")
def mouth():
    with maker_mouth("en") as mouth:
        yield mouth


@pytest.fixture(scope="module")
def rehearsal(mouth):
    working = Working(BUOY, ENGLISH)
    out = io.StringIO()
    played = rehearse(working, script(working), PocketsphinxEar(), mouth, EngineMouth(), out)
    assert out.getvalue().splitlines() == list(played.lines)
    return played


# ---- the script

@pytest.mark.parametrize("name", patterns())
def test_each_of_our_patterns_has_a_script_of_requests_that_it_understands(name):
    working = Working(fabric.work(notation.read(patterns()[name].read_text("utf-8"))), ENGLISH)
    asks = script(working)
    spoken = working.grammar().spoken()
    for ask in asks:
        request = working.understand(ask.words, typed=False)
        assert request is not None
        assert ask.words in spoken or request.name == "carry_on"  # that is listened for while paused
    assert working.understand(asks[-1].words, typed=False).name == "finish"
    assert any(ask.over for ask in asks)


VALUES = {"go_round": 3, "ripped_round": 3, "go_stitch": 12, "have": 17, "ripped": 3, "go_part": "Left Fin",
          "note": "too tight"}


@pytest.mark.parametrize("heard", ENGLISH.request, ids=lambda h: h.name)
def test_every_request_has_words_for_a_script(heard):
    value = VALUES.get(heard.name, heard.value)
    words = phrase(ENGLISH, Request(heard.name, value))
    assert "<" not in words
    assert understand(ENGLISH, words, parts=("Left Fin",)) == Request(heard.name, value)
    assert len(words.split()) > 1


# ---- the maker

def moments(maker: Maker, speaking, seconds: float) -> list[np.ndarray]:
    return [maker.next(BLOCK, speaking) for _ in range(round(seconds / BLOCK))]


def loud(samples: np.ndarray) -> bool:
    return bool(np.abs(samples).max(initial=0) > 1000)


def test_the_maker_waits_until_the_coach_is_quiet_and_a_little_longer(mouth):
    maker = Maker([Ask("next step")], mouth)
    assert not any(map(loud, moments(maker, True, 5)))
    assert not any(map(loud, moments(maker, False, PAUSE - BLOCK)))
    assert any(map(loud, moments(maker, False, 1)))
    assert maker.began == pytest.approx(5 + PAUSE, abs=2 * BLOCK)


def test_the_maker_asks_again_until_answered_but_not_for_ever(mouth):
    maker = Maker([Ask("next step")], mouth)
    began = set()
    for _ in range(round(60 / BLOCK)):
        maker.next(BLOCK, False)
        if maker.asked:
            began.add(maker.began)
    assert len(began) == TRIES
    assert maker.over


def test_an_answered_maker_goes_on_to_the_next_line(mouth):
    maker = Maker([Ask("next step"), Ask("where am i")], mouth)
    moments(maker, False, PAUSE + 1.5)
    maker.answered()
    moments(maker, False, PAUSE + 0.5)
    assert maker.asked == Ask("where am i")


def test_the_maker_interrupts_only_who_is_speaking(mouth):
    maker = Maker([Ask("stop talking", over=1.0)], mouth)
    assert not any(map(loud, moments(maker, False, 3)))
    assert not any(map(loud, moments(maker, True, 0.9)))
    assert any(map(loud, moments(maker, True, 1)))


def test_the_maker_does_not_wait_for_ever_for_a_moment_that_does_not_come(mouth):
    maker = Maker([Ask("stop talking", over=1.0)], mouth)
    moments(maker, False, LONGEST + 1)
    assert maker.asked is not None


def test_the_room_is_never_digitally_silent_and_the_same_every_time(mouth):
    first, second = (np.concatenate(moments(Maker([Ask("next step")], mouth), False, 2)) for _ in range(2))
    assert (first == second).all()
    assert np.count_nonzero(first) > len(first) * 0.9


# ---- the whole

class AsIfFive(PocketsphinxEar):
    """An ear that hears five where six was said."""

    def feed(self, samples):
        for heard in super().feed(samples):
            yield replace(heard, text=heard.text.replace("six", "five"))


def test_what_is_heard_as_something_else_is_not_understood(mouth):
    working = Working(BUOY, ENGLISH)
    asks = [Ask("go to round six"), Ask("i am finished for now")]
    played = rehearse(working, asks, AsIfFive(), mouth, EngineMouth(), io.StringIO())
    assert (played.heard, played.asked) == (1, 2)
    wrong, right = (line for line in played.lines if "maker: " in line)
    assert "heard: go to round five (" in wrong and wrong.endswith("), something else")
    assert right.endswith(")")
    assert "Round 5." in played.lines[2]


def test_everything_that_is_asked_is_understood(rehearsal):
    assert rehearsal.heard == rehearsal.asked == len(script(Working(BUOY, ENGLISH)))


def test_how_quick_it_was_is_measured_for_each_that_was_understood(rehearsal):
    waited = rehearsal.figures.word_to_action
    assert len(waited) == rehearsal.heard
    assert min(waited) > 0
    assert len(rehearsal.figures.action_to_sound) == sum("coach: " in line for line in rehearsal.lines)


def test_turns_are_printed_with_their_times_in_order(rehearsal):
    times = []
    for line in rehearsal.lines:
        turn = TURN.match(line)
        assert turn, line
        times.append(60 * int(turn[1]) + float(turn[2]))
    assert times == sorted(times)
    assert times[-1] < rehearsal.session.seconds


def test_the_coach_is_interrupted_by_stop_and_says_no_more_of_that_sentence(rehearsal):
    at = next(i for i, line in enumerate(rehearsal.lines) if '"stop talking"' in line)
    before, after = rehearsal.lines[at - 1], rehearsal.lines[at + 1]
    assert "coach: " in before
    assert "maker: " in after


def test_the_recordings_are_the_session(rehearsal, tmp_path):
    rehearsal.write(tmp_path / "new" / "folder")
    found = {p.name for p in (tmp_path / "new" / "folder").iterdir()}
    assert found == {"session.wav", "maker.wav", "coach.wav", "transcript.txt"}
    session, maker, coach = (read_speech(tmp_path / "new/folder" / f"{n}.wav") for n in ("session", "maker", "coach"))
    assert session.rate == coach.rate == VOICE_RATE
    assert coach.seconds - 15 < maker.seconds <= coach.seconds  # the maker's last words come before the coach's
    assert session.seconds == pytest.approx(coach.seconds, abs=0.1)
    assert np.abs(session.samples.astype(int)).max() >= np.abs(coach.samples.astype(int)).max() * 0.9
    text = (tmp_path / "new/folder/transcript.txt").read_text("utf-8")
    assert text.splitlines() == list(rehearsal.lines)


def test_both_are_in_the_session_where_only_one_speaks(rehearsal):
    """In each hundredth of a second the mix is what both have then, up to the resampling of the maker."""
    def level(samples, rate):
        size = rate // 10
        blocks = samples[: len(samples) // size * size].reshape(-1, size).astype(float)
        return np.sqrt((blocks**2).mean(axis=1))
    session = level(rehearsal.session.samples, VOICE_RATE)
    coach = level(rehearsal.coach, VOICE_RATE)
    maker = level(rehearsal.maker, 16_000)
    n = min(map(len, (session, coach, maker)))
    wanted = np.sqrt(coach[:n] ** 2 + maker[:n] ** 2)
    clear = wanted > 200
    assert np.median(np.abs(session[:n][clear] / wanted[clear] - 1)) < 0.1


def test_the_command_prints_the_same_and_leaves_the_makers_own_works_alone(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COACH_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("COACH_DEBUG", "1")
    assert main(["rehearse", "--to", str(tmp_path / "to")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("00:00.0  coach: Mooring buoy.")
    understood, *quick, written = lines[-5:]
    assert understood.startswith("Understood ") and written.startswith("Written: ")
    asked = int(re.search(r"of (\d+) requests", understood)[1])
    assert [re.sub(r"\d+\.\d\d", "S", line) for line in quick] == [
        f"From the end of a word to the action: S s, at most S s for 95 of 100 ({asked} measured).",
        f"From there to the first sound: S s, at most S s for 95 of 100 ({lines.index(understood) - asked} measured).",
        "A microphone and a loudspeaker add their own."]
    assert (tmp_path / "to" / "session.wav").is_file()
    assert main(["works"]) == 0
    assert "no work in progress" in capsys.readouterr().out


def test_in_json(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COACH_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("coach.rehearse.script", lambda working: [Ask("next step"), Ask("where am i")])
    assert main(["rehearse", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["understood"], told["asked"]) == (2, 2)
    assert [line.split("  ", 1)[1].split(":")[0] for line in told["lines"]] == ["coach", "maker", "coach", "maker", "coach"]
    assert told["figures"]["word_to_action"]["count"] == 2 and told["figures"]["action_to_sound"]["count"] == 3
    assert told["figures"]["word_to_action"]["p50"] < told["seconds"]


def test_a_folder_that_can_not_be_made_is_told_before_anything_is_spoken(tmp_path, monkeypatch, capsys):
    monkeypatch.delenv("COACH_DEBUG", raising=False)
    (tmp_path / "file").write_text("")
    assert main(["rehearse", "--to", str(tmp_path / "file" / "below")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Name another folder with --to." in said.err


def test_a_text_without_rounds_is_told_before_anything_is_spoken(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    (tmp_path / "letter.txt").write_text("Dear harbour, hello there.", "utf-8")
    assert main(["rehearse", str(tmp_path / "letter.txt")]) == 2
    said = capsys.readouterr()
    assert "has no round that I can read." in said.err and "coach check" in said.err and not said.out
