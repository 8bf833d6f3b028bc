"""A conversation that is held while a page shows it, and clients that look at the page."""

from __future__ import annotations

import http.client
import io
import json
import os
import queue
import re
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

from coach import fabric, notation
from coach.language.phrasebook import load
from coach.live import LiveStage, Paper
from coach.page import Page
from coach.topics import Choosing, Working
from coach.voices import NoVoice

ROOT = Path(__file__).parents[2]
ENGLISH = load("en")
PATIENCE = 20  # seconds after which a test gives up waiting for what must come


def working(name: str = "buoy") -> Working:
    text = (ROOT / "patterns" / f"{name}.md").read_text("utf-8")
    return Working(fabric.work(notation.read(text)), ENGLISH)


def choosing() -> Choosing:
    return Choosing(("Mooring buoy", "Harbour seal"), ENGLISH)


class Held:
    """A live conversation in a thread of its own, with a page and nothing else. kept: what was saved, in order."""

    def __init__(self, topic, at: str = "127.0.0.1:0") -> None:
        self.topic = topic
        self.kept: list = []
        self.out = io.StringIO()
        self.page = Page(at)
        self.url = self.page.url
        self.port = self.page._server.port
        inbox: queue.SimpleQueue = queue.SimpleQueue()
        self.post = inbox.put
        self._stage = LiveStage(inbox, NoVoice(inbox.put), self.page.paper(Paper(self.out)), [self.page])
        self._thread = threading.Thread(target=self._hold, daemon=True)
        self._thread.start()

    def _hold(self) -> None:
        self._stage.hold(self.topic, self._keep)

    def _keep(self, save):
        self.kept.append(save)
        return ()

    def __enter__(self) -> Held:
        return self

    def __exit__(self, *_) -> None:
        self._stage.close()
        self._thread.join(PATIENCE)

    # ---- as a client

    def fetch(self, path: str = "", method: str = "GET", body: str | bytes | None = None, **headers: str | None):
        """(status, headers, text). A header that is None is left out."""
        return fetch(self.url, path, method, body, **headers)

    def ask(self, typed: str) -> int:
        return self.fetch("requests", "POST", json.dumps({"typed": typed}))[0]

    def watch(self) -> Events:
        return Events(self.url)


def fetch(url: str, path: str = "", method: str = "GET", body: str | bytes | None = None, **headers: str | None):
    where = urlsplit(url)
    sent = {"Host": where.netloc}
    if method == "POST":
        sent |= {"Origin": f"http://{where.netloc}", "Content-Type": "application/json"}
    sent |= {name.replace("_", "-"): value for name, value in headers.items()}
    line = http.client.HTTPConnection(where.hostname, where.port, timeout=PATIENCE)
    try:
        line.putrequest(
            method, where.path + path if not path.startswith("/") else path, skip_host=True, skip_accept_encoding=True
        )
        data = body.encode() if isinstance(body, str) else body
        if data is not None and "Content-Length" not in sent and "Transfer-Encoding" not in sent:
            sent["Content-Length"] = str(len(data))
        for name, value in sent.items():
            if value is not None:
                line.putheader(name, value)
        line.endheaders(data)
        answer = line.getresponse()
        return answer.status, answer.headers, answer.read().decode()
    finally:
        line.close()


class Events:
    """The stream of the page's views."""

    def __init__(self, url: str) -> None:
        where = urlsplit(url)
        self._line = http.client.HTTPConnection(where.hostname, where.port, timeout=PATIENCE)
        self._line.request("GET", where.path + "events")
        self.answer = self._line.getresponse()

    def next(self) -> tuple[str, dict]:
        """The next event that is no beat. Raises ConnectionError at the end, AssertionError where none comes."""
        until = time.monotonic() + PATIENCE
        while True:
            assert time.monotonic() < until, "nothing new came"
            lines = []
            while (line := self.answer.readline()) not in (b"\n", b""):
                lines.append(line.decode().rstrip("\n"))
            if not lines:
                raise ConnectionError("the stream has ended")
            name, data = lines[0].removeprefix("event: "), lines[1].removeprefix("data: ")
            if name != "beat":
                return name, json.loads(data)

    def until(self, said: str) -> dict:
        """The first view in which the coach has said this."""
        while True:
            name, view = self.next()
            assert name == "state", f"it ended before this was said: {said}"
            if said in view["said"]:
                return view

    def close(self) -> None:
        self.answer.close()
        self._line.close()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Run:
    """`python -m coach ...` with a page, typed requests and an own journal."""

    def __init__(self, home: Path, *args: str) -> None:
        env = os.environ | {"PYTHONPATH": str(ROOT), "COACH_HOME": str(home), "PYTHONUTF8": "1"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "coach", *args],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=env,
            cwd=home,
        )
        told = self.process.stderr.readline() if "--json" in args else self.process.stdout.readline()
        found = re.search(r"http://\S+", told)
        assert found, told + self.process.communicate(timeout=PATIENCE)[1]
        self.url = found[0]

    def type(self, line: str) -> None:
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def end(self) -> tuple[int, str]:
        """No more is typed; (exit code, what was printed)."""
        out, err = self.process.communicate(timeout=PATIENCE)
        assert "Traceback" not in out + err
        return self.process.returncode, out

    def __enter__(self) -> Run:
        return self

    def __exit__(self, *_) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.communicate()
