"""The real engine speaks: length, loudness, rate, voices; and what happens when its process misbehaves."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from coach.sound.errors import MouthError
from coach.sound.model import Mouth, Speech
from coach.sound.mouth import EngineMouth, trimmed

SENTENCE = "Round three: one single crochet, then an increase, six times."


@pytest.fixture(scope="module")
def mouth() -> Iterator[EngineMouth]:
    with EngineMouth("en-us") as mouth:
        yield mouth


def loudness(speech: Speech) -> float:
    """Root mean square, 1 is full scale."""
    return float(np.sqrt(np.mean((speech.samples / 32_768) ** 2)))


def worker(tmp_path: Path, lines: str) -> list[str]:
    """The command of a worker that first does `lines` (`turn`: how many came before) and is then the real one."""
    script = tmp_path / "worker.py"
    script.write_text(
        "import os, sys, time\nfrom pathlib import Path\n"
        f"folder = Path({str(tmp_path)!r})\n"
        "turn = len(list(folder.glob('*.pid')))\n"
        "(folder / f'{turn}.new').write_text(str(os.getpid()))\n"
        "(folder / f'{turn}.new').rename(folder / f'{turn}.pid')\n"
        f"{lines}\n"
        "from coach.sound.mouth_worker import main\nmain()\n"
    )
    return [sys.executable, str(script)]


def started(tmp_path: Path) -> int:
    return len(list(tmp_path.glob("*.pid")))


def wait_for(condition, seconds: float = 20.0) -> None:
    until = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < until, "it did not happen"
        time.sleep(0.01)


HANGS = "print('{\"ready\": true}', flush=True); time.sleep(600)"


class TestSpeech:
    def test_is_a_mouth(self, mouth):
        spoken: Mouth = mouth
        assert spoken.say("Next.").rate >= 16_000

    def test_a_sentence_is_as_long_and_as_loud_as_speech_is(self, mouth):
        speech = mouth.say(SENTENCE)
        assert speech.samples.dtype == np.int16 and speech.samples.ndim == 1
        assert 2.5 < speech.seconds < 6  # ten words, at 175 a minute 3.4 seconds, and three pauses
        assert 0.03 < loudness(speech) < 0.3
        assert np.abs(speech.samples).max() > 5_000

    def test_a_longer_sentence_is_longer(self, mouth):
        assert mouth.say(SENTENCE).seconds > mouth.say("Round three.").seconds > mouth.say("Three.").seconds

    def test_a_faster_rate_is_shorter_whatever_was_said_before(self, mouth):
        lengths = {}
        for rate in (175, 300, 120, 400, 80, 240, 175):
            text = f"{SENTENCE} Then turn."
            lengths.setdefault(rate, mouth.say(text, rate).seconds)
        assert [rate for rate, _ in sorted(lengths.items(), key=lambda x: -x[1])] == sorted(lengths)

    def test_the_rate_is_in_words_a_minute(self, mouth):
        words = "one two three four five six seven eight nine ten eleven twelve"
        assert mouth.say(words, 350).seconds == pytest.approx(mouth.say(words, 175).seconds / 2, rel=0.25)

    def test_the_engines_silence_is_cut_off(self, mouth):
        speech = mouth.say("Chain two.")
        loud = np.flatnonzero(np.abs(speech.samples.astype(int)) > 500)
        assert loud[0] < 0.05 * speech.rate
        assert len(speech.samples) - loud[-1] < 0.15 * speech.rate

    @pytest.mark.parametrize("text", ["", "  ", "\n", "...", "-", "\ud800", "\x00"])
    def test_nothing_to_say_is_no_samples(self, mouth, text):
        assert len(mouth.say(text).samples) == 0

    @pytest.mark.parametrize(
        "text", ["one\ntwo", 'say "two"', "two\x00three", "caf\u00e9 <b>", "half \ud83d there", "[[h@'loU]]"]
    )
    def test_odd_characters_are_spoken_or_left_out(self, mouth, text):
        assert mouth.say(text).seconds > 0.2


class TestVoices:
    def test_there_are_voices_with_ids_and_languages(self, mouth):
        assert any("en-us" in voice.languages for voice in mouth.voices())

    def test_voices_differ(self, mouth):
        said = [mouth.say(SENTENCE)]
        for name in ("en-us+f3", "en-us+m3"):
            with EngineMouth(name) as other:
                said.append(other.say(SENTENCE))
        for one, other in ((0, 1), (0, 2), (1, 2)):
            size = min(len(said[one].samples), len(said[other].samples))
            a, b = (s.samples[:size].astype(float) for s in (said[one], said[other]))
            assert abs(a @ b) / np.sqrt((a @ a) * (b @ b)) < 0.5

    def test_pitch_changes_the_voice(self):
        with EngineMouth("en-us", pitch=20) as low, EngineMouth("en-us", pitch=80) as high:
            assert 60 < pitch(low.say("Arm.")) < pitch(high.say("Arm."))

    def test_a_voice_can_be_changed_and_changed_back(self, mouth):
        before = mouth.say("Seven.")
        mouth.voice = "en-us+f3"
        other = mouth.say("Seven.")
        mouth.voice = "en-us"
        assert mouth.say("Seven.") is before and not np.array_equal(other.samples, before.samples)

    def test_an_unknown_voice_is_said_and_does_no_harm(self):
        with EngineMouth("mumbling") as mouth:
            with pytest.raises(MouthError, match="no voice called mumbling"):
                mouth.say("Next.")
            mouth.voice = None
            assert mouth.say("Next.").seconds > 0.2


def pitch(speech: Speech) -> float:
    """In hertz, from the strongest lag of the autocorrelation between 60 and 250 hertz."""
    samples = speech.samples.astype(float)
    likeness = np.correlate(samples, samples, "full")[len(samples) - 1 :]
    first = speech.rate // 250
    return speech.rate / (first + likeness[first : speech.rate // 60].argmax())


class TestWorkerTrouble:
    def test_killed_in_mid_sentence_it_still_speaks(self, tmp_path):
        long = "Work one single crochet in each stitch around. " * 150
        with EngineMouth("en-us", command=worker(tmp_path, "")) as mouth:
            mouth.say("Ready.")
            got: list[Speech] = []
            saying = threading.Thread(target=lambda: got.append(mouth.say(long)))
            saying.start()
            time.sleep(0.3)  # it needs about two seconds
            os.kill(int((tmp_path / "0.pid").read_text()), signal.SIGTERM)
            saying.join()
            assert got[0].seconds > 300
            assert started(tmp_path) == 2

    def test_killed_between_two_sentences(self, tmp_path):
        with EngineMouth("en-us", command=worker(tmp_path, "")) as mouth:
            for turn in range(3):
                assert mouth.say(f"Round {turn}.").seconds > 0.3
                os.kill(int((tmp_path / f"{turn}.pid").read_text()), signal.SIGTERM)
            assert mouth.say("Done.").seconds > 0.2

    def test_a_hung_worker_is_replaced(self, tmp_path):
        with EngineMouth("en-us", command=worker(tmp_path, f"if turn == 0: {HANGS}")) as mouth:
            assert mouth.say("Next.").seconds > 0.2
            assert started(tmp_path) == 2

    @pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no way to make a process hang here")
    def test_one_that_is_frozen_is_replaced_also_for_a_long_sentence(self, tmp_path, capsys):
        with EngineMouth("en-us", command=worker(tmp_path, "")) as mouth:
            mouth.say("Ready.")
            os.kill(int((tmp_path / "0.pid").read_text()), signal.SIGSTOP)
            began = time.monotonic()
            assert mouth.say(f"{SENTENCE} {SENTENCE} {SENTENCE}").seconds > 6
            with capsys.disabled():
                print(f"\n    a hung speech worker was replaced after {time.monotonic() - began:.2f} s", end="")
            assert started(tmp_path) == 2

    @pytest.mark.parametrize(
        "bad",
        ["sys.exit(3)", "print('hello', flush=True)", "print('[1]', flush=True)",
         "print('{\"error\": \"no espeak\"}', flush=True); sys.exit(1)"],
        ids=["dies", "babbles", "answers no object", "has no engine"],
    )
    def test_a_worker_that_starts_badly_is_replaced(self, tmp_path, bad):
        lines = "if turn == 0:\n    " + bad
        with EngineMouth("en-us", command=worker(tmp_path, lines)) as mouth:
            assert mouth.say("Next.").seconds > 0.2

    def test_two_failures_are_an_error_and_the_next_sentence_has_a_new_chance(self, tmp_path):
        with EngineMouth("en-us", command=worker(tmp_path, "if turn < 2: sys.exit(1)")) as mouth:
            with pytest.raises(MouthError, match="speech engine does not work"):
                mouth.say("Next.")
            assert mouth.say("Next.").seconds > 0.2

    def test_a_worker_that_says_it_saved_but_did_not(self, tmp_path):
        lies = "print('{\"ready\": true}'); print('{\"saved\": \"nowhere.wav\"}', flush=True); time.sleep(9)"
        with EngineMouth("en-us", command=worker(tmp_path, lies)) as mouth:
            with pytest.raises(MouthError, match="nowhere.wav"):
                mouth.say("Next.")

    def test_a_program_that_is_not_there(self, tmp_path):
        with EngineMouth(command=[str(tmp_path / "nothing")]) as mouth:
            with pytest.raises(MouthError, match="can't be started"):
                mouth.say("Next.")

    def test_closed_while_someone_waits(self, tmp_path):
        mouth = EngineMouth(command=worker(tmp_path, HANGS))
        faults: list[MouthError] = []

        def wait() -> None:
            try:
                mouth.say("word " * 10_000)
            except MouthError as fault:
                faults.append(fault)

        waiting = threading.Thread(target=wait)
        waiting.start()
        wait_for(lambda: started(tmp_path) == 1)
        mouth.close()
        waiting.join()
        assert "closed" in str(faults[0])
        mouth.close()

    def test_nothing_stays_behind(self, tmp_path, monkeypatch):
        monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "temporary"))
        (tmp_path / "temporary").mkdir()
        with EngineMouth("en-us", command=worker(tmp_path, "")) as mouth:
            mouth.say("Next.")
            mouth.prepare(["Round four."])
            wait_for(lambda: mouth.prepared("Round four."))
            assert not list((tmp_path / "temporary").rglob("*.wav"))
        assert not list((tmp_path / "temporary").iterdir())
        for file in tmp_path.glob("*.pid"):
            with pytest.raises(OSError):
                os.kill(int(file.read_text()), 0)


class TestCache:
    def test_the_same_sentence_is_rendered_once(self, mouth):
        assert mouth.say("Increase.") is mouth.say("Increase.")
        assert mouth.say("Increase.") is not mouth.say("Increase.", 200)

    def test_it_is_shared_so_it_is_read_only(self, mouth):
        with pytest.raises(ValueError):
            mouth.say("Increase.").samples[0] = 1

    def test_the_one_used_longest_ago_goes_first(self):
        with EngineMouth("en-us", cached=2) as mouth:
            mouth.say("One."), mouth.say("Two."), mouth.say("One."), mouth.say("Three.")
            assert [mouth.prepared(text) for text in ("One.", "Two.", "Three.")] == [True, False, True]

    def test_prepared_sentences_are_there(self, mouth):
        texts = [f"Round {n}: six stitches." for n in range(10, 16)]
        mouth.prepare(texts)
        wait_for(lambda: all(mouth.prepared(text) for text in texts))
        assert mouth.say(texts[0]).seconds > 0.5

    def test_what_is_prepared_never_holds_up_what_is_said(self, tmp_path):
        """The worker ahead is hung for good, the one for now goes on."""
        with EngineMouth("en-us", command=worker(tmp_path, f"if turn > 0: {HANGS}")) as mouth:
            mouth.say("Ready.")
            mouth.prepare(["word " * 5_000])
            wait_for(lambda: started(tmp_path) == 2)
            assert mouth.say("Next.").seconds > 0.2
            assert started(tmp_path) == 2

    def test_later_wishes_replace_earlier_ones(self, mouth):
        mouth.prepare([f"Stitch {n}." for n in range(100)])
        mouth.prepare(["Fasten off."])
        wait_for(lambda: mouth.prepared("Fasten off."))
        assert not mouth.prepared("Stitch 99.")

    def test_what_cannot_be_prepared_is_silent(self, tmp_path):
        with EngineMouth("en-us", command=worker(tmp_path, "if 1 <= turn <= 2: sys.exit(1)")) as mouth:
            mouth.say("Ready.")
            mouth.prepare(["Bad.", "Good."])
            wait_for(lambda: mouth.prepared("Good."))
            assert not mouth.prepared("Bad.")

    def test_from_many_threads(self, mouth):
        texts = [f"{n} stitches." for n in range(20, 28)]
        got: dict[str, float] = {}
        threads = [threading.Thread(target=lambda t=t: got.update({t: mouth.say(t).seconds})) for t in texts]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert got == {text: mouth.say(text).seconds for text in texts}


class TestTrimmed:
    def test_silence_goes_and_a_little_stays(self):
        samples = np.concatenate([np.zeros(5_000), np.full(1_000, 900), np.zeros(5_000)]).astype(np.int16)
        kept = trimmed(Speech(samples, 10_000)).samples
        assert len(kept) == 100 + 1_000 + 600
        assert np.count_nonzero(kept) == 1_000

    def test_soft_sounds_inside_stay(self):
        samples = np.array([0, 900, 0, 10, 0, 900, 0], np.int16)
        assert np.array_equal(trimmed(Speech(samples, 100)).samples, samples[0:7])

    def test_only_silence_is_nothing(self):
        assert len(trimmed(Speech(np.full(400, 3, np.int16), 100)).samples) == 0
