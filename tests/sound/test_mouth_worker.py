"""The worker as a process of its own, spoken to by its protocol; and its choice of a voice."""

from __future__ import annotations

import json
import subprocess
import sys
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from coach.sound.line_worker import LineWorker, WorkerLost, python_module
from coach.sound.mouth_worker import Refused, choose


@pytest.fixture
def worker() -> Iterator[LineWorker]:
    started = LineWorker(python_module("coach.sound.mouth_worker"))
    assert started.hear(20) == {"ready": True, "engine": "espeak" if sys.platform == "linux" else "nsss"}
    yield started
    started.kill()


def request(to: Path, text: str = "Next.", **others: object) -> dict[str, object]:
    return {"text": text, "rate": 175, "voice": None, "pitch": None, "to": str(to), **others}


class TestProtocol:
    def test_a_file_for_each_request_and_nothing_else_on_the_pipe(self, worker, tmp_path):
        for n in range(3):
            file = tmp_path / f"{n}.wav"
            assert worker.ask(request(file, f"Round {n}."), 20) == {"saved": str(file)}
            with wave.open(str(file)) as sound:
                assert sound.getnframes() > sound.getframerate() / 3

    def test_the_file_is_whole_when_the_answer_comes(self, worker, tmp_path):
        worker.ask(request(tmp_path / "long.wav", "single crochet " * 300), 60)
        with wave.open(str(tmp_path / "long.wav")) as sound:
            assert len(sound.readframes(sound.getnframes())) == 2 * sound.getnframes() > 2 * 100 * sound.getframerate()

    @pytest.mark.skipif(sys.platform != "linux", reason="espeak is Linux's engine")
    @pytest.mark.parametrize(("empty", "renderings"), [(0, 1), (1, 2), (2, 3), (5, 3)])
    def test_a_file_without_a_sample_is_rendered_again(self, tmp_path, empty, renderings):
        lines = json.dumps(request(tmp_path / "a.wav")) + "\n"
        command = [sys.executable, "-c", LOSING.format(empty=empty)]
        done = subprocess.run(command, input=lines, capture_output=True, text=True, timeout=60)
        assert done.stderr.split() == ["rendered"] * renderings and '"saved"' in done.stdout
        with wave.open(str(tmp_path / "a.wav")) as sound:
            assert (sound.getnframes() > 0) == (empty < renderings)

    def test_voices(self, worker):
        voices = worker.ask({"voices": True}, 20)["voices"]
        assert {"id", "name", "languages"} == set(voices[0])

    def test_an_unknown_voice_is_refused_and_work_goes_on(self, worker, tmp_path):
        assert worker.ask(request(tmp_path / "a.wav", voice="mumbling"), 20)["kind"] == "voice"
        assert "saved" in worker.ask(request(tmp_path / "a.wav"), 20)

    def test_after_an_error_of_the_engine_it_ends(self, worker):
        assert worker.ask({"text": 5}, 20)["kind"] == "engine"
        with pytest.raises(WorkerLost, match="ended"):
            worker.ask(request(Path("b.wav")), 20)

    def test_it_ends_with_its_input_and_takes_its_empty_folder_along(self, tmp_path):
        folder = tmp_path / "voice"
        folder.mkdir()
        lines = json.dumps(request(folder / "a.wav")) + "\n"
        command = [sys.executable, "-c", REMOVING]
        done = subprocess.run(command, input=lines, capture_output=True, text=True, timeout=60)
        assert done.returncode == 0 and not folder.exists()


# the real worker, but whoever reads the answer takes the file away, as the mouth does
REMOVING = """
import pathlib
from coach.sound import mouth_worker
answer = mouth_worker._answer
def taking(answers, value):
    if "saved" in value:
        pathlib.Path(value["saved"]).unlink()
    answer(answers, value)
mouth_worker._answer = taking
mouth_worker.main()
"""

# the real worker, but the first renderings lose their samples, as espeak's did on a busy machine
LOSING = """
import sys, wave
from coach.sound import mouth_worker
render, left = mouth_worker.Engine._render, [{empty}]
def losing(engine, text, rate, voice, pitch, to):
    render(engine, text, rate, voice, pitch, to)
    print("rendered", file=sys.stderr)
    left[0] -= 1
    if left[0] >= 0:
        with wave.open(to, "wb") as sound:
            sound.setparams((1, 2, 22050, 0, "NONE", None))
mouth_worker.Engine._render = losing
mouth_worker.main()
"""


@dataclass(frozen=True)
class Listed:
    id: str
    name: str
    languages: tuple[str, ...]


VOICES = (
    Listed("com.example.amy", "Amy", ("en_GB",)),
    Listed("com.example.bo", "Bo", ("en_US",)),
    Listed("com.example.cy", "Cy", ("en_US",)),
    Listed("com.example.dae", "Dae", ("ko_KR",)),
)


class TestChoosingAVoice:
    """Systems that don't have espeak's names."""

    @pytest.mark.parametrize(
        "wanted, chosen",
        [
            ("com.example.bo", "bo"), ("bo", "bo"), ("AMY", "amy"),
            ("en-us", "bo"), ("en_US", "bo"), ("en-us+f3", "cy"), ("en-gb", "amy"),
            ("en", "amy"), ("en-au", "amy"), ("en+m1", "cy"), ("ko", "dae"), ("ko+f2", "dae"),
        ],
    )
    def test_by_id_name_or_language(self, wanted, chosen):
        assert choose(wanted, VOICES) == f"com.example.{chosen}"

    @pytest.mark.parametrize("wanted", ["fi", "zed", "", "+f3"])
    def test_none(self, wanted):
        with pytest.raises(Refused) as fault:
            choose(wanted, VOICES)
        assert fault.value.kind == "voice"
