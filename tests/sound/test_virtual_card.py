"""The live stream over a virtual sound card: real PortAudio, real clock. Skipped where pulseaudio is not installed.

The card is a sound server of the test's own, in a folder of its own; each scenario runs in a process of its own, as
PortAudio looks at its surroundings once. On Debian the packages pulseaudio, pulseaudio-utils, libasound2-plugins and
libportaudio2 are needed.
"""

from __future__ import annotations

import json
import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from coach.sound.levels import echo
from coach.sound.model import Speech
from coach.sound.mouth import EngineMouth
from coach.sound.resample import resample
from coach.sound.wav import write_wav

if not (shutil.which("pulseaudio") and shutil.which("pactl") and shutil.which("parec")):
    pytest.skip("pulseaudio is not installed: no virtual sound card", allow_module_level=True)

HOME = Path(__file__).parents[2]
RATE = 16_000
LONGEST = 100.0  # seconds that a scenario may take; then it is ended, and its test fails
ALSA = Path("/usr/share/alsa/alsa.conf")


class VirtualCard:
    """A loudspeaker "spk" that can be recorded, and a microphone "mic" that hears what is played into "room"."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.chmod(0o700)
        (folder / "asoundrc").write_text("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        self.surroundings = {
            **os.environ,
            "XDG_RUNTIME_DIR": str(folder), "HOME": str(folder), "PYTHONPATH": str(HOME),
            "ALSA_CONFIG_PATH": f"{ALSA}:{folder / 'asoundrc'}",
        }  # fmt: skip
        self.server: subprocess.Popen[bytes] | None = None

    def plug_in(self) -> None:
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "-L", "module-native-protocol-unix"]
        for module in (
            "module-null-sink sink_name=spk rate=48000 channels=1",
            "module-null-sink sink_name=room rate=48000 channels=1",
            "module-remap-source source_name=mic master=room.monitor",
        ):
            command += ["-L", module]
        quiet = subprocess.DEVNULL
        self.server = subprocess.Popen(command, env=self.surroundings, stdin=quiet, stdout=quiet, stderr=quiet)
        for _ in range(100):
            if self.control("set-default-sink", "spk") and self.control("set-default-source", "mic"):
                return
            time.sleep(0.1)
        self.unplug()
        pytest.skip("the sound server does not start here")

    def unplug(self) -> None:
        if self.server is not None:
            self.server.kill()
            self.server.wait()
            self.server = None

    def control(self, *words: str) -> bool:
        return subprocess.run(["pactl", *words], env=self.surroundings, capture_output=True, timeout=20).returncode == 0

    def record(self, source: str, file: Path) -> subprocess.Popen[bytes]:
        """Raw samples into a file; it runs when this returns."""
        command = ["parec", "-d", source, f"--rate={RATE}", "--channels=1", "--format=s16le"]
        with file.open("wb") as out:
            recorder = subprocess.Popen(command, env=self.surroundings, stdout=out)
        for _ in range(100):
            if file.stat().st_size:
                return recorder
            time.sleep(0.1)
        recorder.kill()
        pytest.skip("the sound server does not record here")

    def play(self, file: Path) -> None:
        subprocess.run(["paplay", "-d", "room", str(file)], env=self.surroundings, check=True, timeout=60)

    def start(self, scenario: str) -> subprocess.Popen[str]:
        command = [sys.executable, "-u", "-c", COMMON + scenario]
        pipe = subprocess.PIPE
        noise = subprocess.DEVNULL  # PortAudio complains there when the server goes
        running = subprocess.Popen(command, env=self.surroundings, stdin=pipe, stdout=pipe, stderr=noise, text=True)
        timer = threading.Timer(LONGEST, running.kill)
        timer.daemon = True
        timer.start()
        return running


COMMON = """
import json, queue, sys, time
import numpy as np
from coach.sound.microphone import Microphone
from coach.sound.player import LivePlayer
from coach.sound.mouth import EngineMouth
def show(event):
    print(json.dumps({"event": type(event).__name__} | {n: getattr(event, n) for n in event.__slots__}), flush=True)
def say(**values): print(json.dumps(values), flush=True)
"""


@pytest.fixture
def card(tmp_path) -> Iterator[VirtualCard]:
    made = VirtualCard(tmp_path)
    made.plug_in()
    yield made
    made.unplug()


@pytest.fixture(scope="module")
def sentence() -> Speech:
    with EngineMouth("en-us") as mouth:
        return mouth.say("Work two single crochet in the next stitch, six times.")


def events(running: subprocess.Popen[str], until: str) -> list[dict[str, Any]]:
    """What the scenario tells, up to an event or value of that name."""
    assert running.stdout is not None
    told = []
    for line in running.stdout:
        told.append(json.loads(line))
        if told[-1].get("event") == until or until in told[-1]:
            return told
    raise AssertionError(f"it ended without {until}: {told}")


def end(running: subprocess.Popen[str]) -> None:
    assert running.stdin is not None
    running.stdin.close()
    try:
        running.wait(20)
    finally:
        running.kill()


SPEAK = """
player = LivePlayer(show)
time.sleep(1)  # the server's start may stall; the coach's stream is open long before it speaks, too
with EngineMouth("en-us") as mouth:
    player.play(mouth.say("Work two single crochet in the next stitch, six times."))
    if %s:
        time.sleep(1.5)
        player.stop()
    while player.speaking: time.sleep(0.01)
time.sleep(1)
player.close()
say(over=True)
"""


def spoken(card: VirtualCard, stop: bool) -> tuple[np.ndarray, list[dict[str, Any]]]:
    file = card.folder / "loudspeaker.raw"
    recorder = card.record("spk.monitor", file)
    running = card.start(SPEAK % stop)
    told = events(running, "over")
    end(running)
    recorder.terminate()
    recorder.wait()
    data = file.read_bytes()
    return np.frombuffer(data[: len(data) // 2 * 2], np.int16), told


def test_the_loudspeaker_plays_the_sentence_whole(card, sentence):
    recorded, told = spoken(card, stop=False)
    assert [t["event"] for t in told[:-1]] == ["Played", "Quiet"]
    assert told[0]["heard"] == told[0]["length"] == pytest.approx(sentence.seconds, abs=0.01)
    loud = np.flatnonzero(np.abs(recorded.astype(int)) > 100)
    assert (loud[-1] - loud[0]) / RATE == pytest.approx(sentence.seconds, abs=0.15)
    start = max(0, int(loud[0]) - RATE // 10)
    assert echo(resample(sentence.samples, sentence.rate, RATE), recorded[start:], RATE).sureness > 40


def test_stop_silences_within_a_fifth_of_a_second(card, sentence):
    """Measured in what the loudspeaker played, not by a clock: it ends where the player says that it was heard to."""
    recorded, told = spoken(card, stop=True)
    assert 0.5 < told[0]["heard"] < 2 < told[0]["length"]
    loud = np.flatnonzero(np.abs(recorded.astype(int)) > 100)
    assert (loud[-1] - loud[0]) / RATE < told[0]["heard"] + 0.2


LISTEN = """
heard = queue.SimpleQueue()
microphone = Microphone(heard.put, show)
heard.get(timeout=10)
say(ready=True)
sys.stdin.read()
blocks = []
while not heard.empty(): blocks.append(heard.get())
microphone.close()
np.save(%r, np.concatenate(blocks))
say(over=True)
"""


def test_the_microphone_hears_what_is_said_in_the_room(card, sentence, tmp_path):
    write_wav(tmp_path / "maker.wav", sentence)
    running = card.start(LISTEN % str(tmp_path / "heard.npy"))
    events(running, "ready")
    card.play(tmp_path / "maker.wav")
    time.sleep(0.5)
    assert running.stdin is not None
    running.stdin.close()
    events(running, "over")
    running.wait(20)
    heard = np.load(tmp_path / "heard.npy")
    loud = np.flatnonzero(np.abs(heard.astype(int)) > 100)
    start = max(0, int(loud[0]) - RATE // 10)
    found = echo(resample(sentence.samples, sentence.rate, RATE), heard[start:], RATE)
    assert found.sureness > 40 and found.gain == pytest.approx(0, abs=1)


WATCH = """
heard = queue.SimpleQueue()
microphone = Microphone(heard.put, show)
player = LivePlayer(show)
heard.get(timeout=10)
say(ready=True)
import threading
over = threading.Event()
threading.Thread(target=lambda: (sys.stdin.read(), over.set()), daemon=True).start()
while not over.wait(0.1):
    microphone.look(); player.look()
microphone.close(); player.close()
say(over=True)
"""


def test_unplugged_and_plugged_in_again(card):
    """The whole sound server goes and comes back."""
    running = card.start(WATCH)
    events(running, "ready")
    card.unplug()
    lost = events(running, "DeviceLost") + events(running, "DeviceLost")
    assert sorted(t["kind"] for t in lost if t["event"] == "DeviceLost") == ["loudspeaker", "microphone"]
    card.plug_in()
    back = events(running, "DeviceBack") + events(running, "DeviceBack")
    assert sorted(t["kind"] for t in back if t["event"] == "DeviceBack") == ["loudspeaker", "microphone"]
    end(running)


SESSION = """
from coach.cli import main
sys.exit(main(["work", "buoy", "--listen", "open", "--figures"]))
"""


class Told:
    """What a session prints, line by line."""

    def __init__(self, running: subprocess.Popen[str]) -> None:
        self.running = running
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.running.stdout is not None
        for line in self.running.stdout:
            self._lines.put(line)

    def until(self, text: str, seconds: float = LONGEST) -> list[str]:
        """The lines up to one with this text; [] where none comes in time."""
        found, until = [], time.monotonic() + seconds
        while not (found and text in found[-1]):
            try:
                found.append(self._lines.get(timeout=max(0.0, until - time.monotonic())))
            except queue.Empty:
                return []
        return found

    def type(self, line: str) -> None:
        assert self.running.stdin is not None
        self.running.stdin.write(f"{line}\n")
        self.running.stdin.flush()


def test_a_whole_session_with_unplugging(card, tmp_path):
    """Microphone in, loudspeaker out, the real clock, the real ear: what is said in the room is done and answered; the card
    goes and comes back, and typed lines go on meanwhile."""
    said = {}
    with EngineMouth("en-us+m1") as maker:
        for number, text in enumerate(("next step", "count so far")):
            said[text] = tmp_path / f"{number}.wav"
            write_wav(said[text], maker.say(text, 145))
    card.surroundings["COACH_HOME"] = str(tmp_path / "home")
    told = Told(card.start(SESSION))

    def asked(text: str, answer: str) -> bool:
        """Said in the room until it is answered: the coach may still be speaking, or the server have stalled."""
        for _ in range(4):
            card.play(said[text])
            if any(answer in line for line in told.until(answer, 5.0)):
                return True
        return False

    try:
        begun = told.until("Say next for the first step.")
        assert begun and not any("There is no" in line for line in begun)
        told.until("never printed", 12.0)  # it speaks, and hears nothing but stop and its name
        assert asked("next step", "Round 1.")
        card.unplug()
        assert told.until("The microphone is gone.")
        told.type("count")
        assert told.until("0 so far, of 6.")
        card.plug_in()
        assert told.until("The microphone is back.")
        told.until("never printed", 4.0)
        assert asked("count so far", "0 so far, of 6.")
        told.type("bye")
        figures = told.until("From there to the first sound")
        assert any("From the end of a word to the action: " in line and "measured" in line for line in figures)
    finally:
        end(told.running)
