"""Whole runs of `coach work --page`: the page of a process, its journal, its end."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys

import pytest
from held import ROOT, Events, Run, fetch, free_port

from coach.cli import main
from coach.memory.journal import Journal


def ask(run: Run, typed: str) -> int:
    return fetch(run.url, "requests", "POST", json.dumps({"typed": typed}))[0]


def test_requests_from_the_page_and_typed_ones_are_one_conversation(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        events.until("Mooring buoy.")
        assert ask(run, "next") == 202
        events.until("Round 1.")
        run.type("next")
        assert events.until("Round 2.")["heard"] == "next"
        assert ask(run, "go back") == 202
        events.until("Round 1.")
        code, out = run.end()
    assert code == 0
    lines = out.splitlines()
    assert [line.partition(".")[0] for line in lines] == [
        "Mooring buoy",
        "Round 1",
        "Round 2",
        "Round 1",
        "Your place is kept",
    ]
    assert events.next()[1]["note"].startswith("Your place is kept.")
    assert events.next()[0] == "over"


def test_each_request_of_the_page_has_its_json_line(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--json", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        events.until("Mooring buoy.")
        ask(run, "next")
        events.until("Round 1.")
        ask(run, "flurb")
        assert events.next()[1]["note"]
        code, out = run.end()
    told = [json.loads(line) for line in out.splitlines()]
    assert [(line["heard"], line["request"]) for line in told] == [("next", "next"), ("flurb", None)]


def test_what_the_page_shows_is_in_the_journal_and_survives_a_kill(tmp_path):
    """Promise 1: when the page shows the answer, the request has been written down; kill -9 then, and it goes on there.
    (A kill shows what the program does, not what a power cut would.)"""
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        events.until("Mooring buoy.")
        for typed in ("go to round 4", "next", "mark this"):
            ask(run, typed)
            _, shown = events.next()
            assert shown["heard"] == typed
            with Journal.open(tmp_path / "journal.db") as journal:
                assert journal.turns(journal.latest())[-1].said == shown["said"]
        run.process.kill()
        run.process.wait()
    with Run(tmp_path, "--typed", "--page-address", "127.0.0.1:0") as run:
        again = Events(run.url).until("Mooring buoy.")
    assert (
        (again["round"], again["stitch"], again["total"])
        == (shown["round"], shown["stitch"], shown["total"])
        == (4, 4, 40)
    )


def test_a_pattern_is_chosen_on_the_page(tmp_path):
    with Run(tmp_path, "--typed", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        first = events.until("Which pattern?")
        seal = next(b for b in first["requests"] if "seal" in b["label"].lower())
        ask(run, seal["typed"])
        assert events.until("Head. Mark")["chart"] == 0
        assert fetch(run.url, "chart/0")[0] == 200


def test_finished_for_now_on_the_page_ends_the_coach(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        events.next()
        ask(run, "finished for now")
        events.until("Your place is kept.")
        assert run.process.wait(20) == 0


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals on Windows")
def test_ctrl_c_ends_the_page_with_the_coach(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", "127.0.0.1:0") as run:
        events = Events(run.url)
        events.next()
        run.process.send_signal(signal.SIGINT)
        assert events.next()[0] in ("state", "over")
        assert run.process.wait(20) == 0


def test_page_alone_is_an_address_of_this_machine(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--page") as run:
        assert run.url.startswith("http://127.0.0.1:")
        assert fetch(run.url)[0] == 200


def test_for_other_devices_the_secret_is_told(tmp_path):
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", f"0.0.0.0:{free_port()}") as run:
        assert len(run.url.rstrip("/").rpartition("/")[2]) == 16


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--page-address", "harbour:wall"], "harbour:wall is no address for the page."),
        (["--page", "--hear", "me.wav"], "A page can't follow a recording"),
    ],
)
def test_what_can_not_be_is_said_in_a_sentence(tmp_path, monkeypatch, capsys, args, said):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    monkeypatch.delenv("COACH_DEBUG", raising=False)
    monkeypatch.chdir(ROOT)
    assert main(["work", "buoy", "--typed", *args]) == 2
    assert capsys.readouterr().err.startswith(said)


def test_without_a_page_its_room_is_not_even_loaded(tmp_path):

    code = (
        "import sys; from coach.cli import main; main(sys.argv[1:]); "
        "sys.exit('http.server' in sys.modules or 'coach.page' in sys.modules)"
    )
    env = os.environ | {"PYTHONPATH": str(ROOT), "COACH_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code, "work", "buoy", "--typed"], input=b"", capture_output=True, env=env, timeout=60
    )
    assert done.returncode == 0
