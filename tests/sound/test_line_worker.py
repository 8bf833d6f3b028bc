"""A process that answers lines, and the ways in which it may not."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator

import pytest

from coach.sound.line_worker import LineWorker, WorkerLost

ECHO = "import sys\nfor line in sys.stdin: print(line, end='', flush=True)"


@pytest.fixture
def start() -> Iterator[Callable[[str], LineWorker]]:
    started: list[LineWorker] = []

    def run(program: str) -> LineWorker:
        started.append(LineWorker([sys.executable, "-c", program]))
        return started[-1]

    yield run
    for worker in started:
        worker.kill()


def test_it_answers_one_line_with_one(start):
    worker = start(ECHO)
    for n in range(5):
        request = {"round": n, "text": "caf\u00e9\n\U0001f9f6"}
        assert worker.ask(request, 20) == request


def test_it_may_speak_first(start):
    assert start("print('{\"ready\": 1}')").hear(20) == {"ready": 1}


@pytest.mark.parametrize(
    "program, why",
    [
        ("import time; time.sleep(600)", "did not answer within 0.3 seconds"),
        ("input()", "ended without an answer"),
        ("input(); print('good morning')", "makes no sense"),
        ("input(); print('5')", "makes no sense"),
        ("input(); print('null')", "makes no sense"),
        ("import sys; input(); sys.stdout.buffer.write(b'\\xff\\n')", "makes no sense"),
    ],
)
def test_no_answer(start, program, why):
    worker = start(program)
    with pytest.raises(WorkerLost, match=why):
        worker.ask({}, 0.3 if "sleep" in program else 20)


def test_it_has_ended_long_ago(start):
    worker = start("")
    with pytest.raises(WorkerLost):
        worker.hear(20)
    with pytest.raises(WorkerLost, match="ended"):
        worker.ask({}, 20)


def test_it_can_be_killed_twice_and_while_it_hangs(start):
    worker = start("import time; time.sleep(600)")
    worker.kill()
    worker.kill()
    with pytest.raises(WorkerLost):
        worker.hear(20)


def test_what_it_writes_as_errors_is_not_shown(start, capfd):
    worker = start("import sys; print('noise', file=sys.stderr); print('{}')")
    assert worker.hear(20) == {}
    assert capfd.readouterr() == ("", "")


def test_the_package_is_found_from_anywhere(start, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PYTHONPATH", raising=False)
    assert start("import coach.sound.errors; print('{\"found\": true}')").hear(20) == {"found": True}
