"""A process that answers one line of JSON with one line of JSON, and that can be killed at any moment.

Reading has a time limit. Not every operating system can wait for a pipe with one, so a thread reads and a queue waits.
"""

from __future__ import annotations

import json
import os
import queue
import subprocess
import sys
import threading
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import coach

_NO_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # Windows would open a console for it


class WorkerLost(Exception):
    """The process ended, did not answer in time, or answered something that is no JSON object."""


class LineWorker:
    """One process. It is started at once and not waited for; `ask` is for one thread at a time."""

    def __init__(self, command: Sequence[str]) -> None:
        """command: the program and its arguments. Raises WorkerLost when it can't be started."""
        try:
            self._process = subprocess.Popen(
                list(command),
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=_environment(),
                creationflags=_NO_WINDOW,
            )
        except OSError as fault:
            raise WorkerLost(f"it can't be started: {fault}") from None
        self._lines: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        threading.Thread(target=self._read, name="worker answers", daemon=True).start()

    @property
    def pid(self) -> int:
        return self._process.pid

    def ask(self, request: dict[str, Any], seconds: float) -> dict[str, Any]:
        """The answer to a request. Raises WorkerLost when there is none within `seconds`; then only `kill` is left."""
        try:
            assert self._process.stdin is not None
            self._process.stdin.write(json.dumps(request).encode() + b"\n")
            self._process.stdin.flush()
        except (OSError, ValueError):
            raise WorkerLost("it has ended") from None
        return self.hear(seconds)

    def hear(self, seconds: float) -> dict[str, Any]:
        """The next line that the worker says by itself. Raises WorkerLost as `ask` does."""
        try:
            line = self._lines.get(timeout=seconds)
        except queue.Empty:
            raise WorkerLost(f"it did not answer within {seconds:.1f} seconds") from None
        if not line:
            self._lines.put(b"")  # for whoever asks again
            raise WorkerLost("it ended without an answer")
        try:
            answer = json.loads(line)
        except ValueError:
            answer = None
        if not isinstance(answer, dict):
            raise WorkerLost("its answer makes no sense")
        return answer

    def kill(self) -> None:
        """End it now, whatever it is doing. Can be called twice."""
        self._process.kill()
        self._process.wait()
        assert self._process.stdin is not None
        with suppress(OSError):  # what was still to be written to it is no matter now
            self._process.stdin.close()

    def _read(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as answers:
            for line in answers:
                self._lines.put(line)
        self._lines.put(b"")


def _environment() -> dict[str, str]:
    """This process's, with the package importable wherever the coach was started from."""
    home = str(Path(coach.__file__).parent.parent)
    paths = [home, *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths), "PYTHONIOENCODING": "utf-8"}


def python_module(name: str) -> tuple[str, ...]:
    """The command that runs a module with this Python."""
    return (sys.executable, "-m", name)
