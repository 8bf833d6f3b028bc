"""What a maker is told to type: ./start where that started the coach."""

from __future__ import annotations

import pytest

from coach.commands.called import as_typed, command
from coach.sound.listen import _how_to_get


@pytest.fixture(params=["coach", "./start", "python start"])
def typed(request, monkeypatch) -> str:
    monkeypatch.setenv("COACH_COMMAND", request.param)
    return request.param


def test_hints_of_the_rooms_name_what_was_typed(typed):
    assert command() == typed
    for words in ("bring FILE", "models lists them", "works --export FILE", "check scarf", "models get"):
        assert as_typed(f"Then: coach {words}.") == f"Then: {typed} {words}."
    assert as_typed(_how_to_get("en")) == f"Get one with: {typed} models get vosk-model-small-en-us-0.15"


@pytest.mark.parametrize(
    "text",
    [
        "The coach works without it.",
        "the coach listens for its name",
        "A coach that checks.",
        "coach.wav",
        "I can't write coach works.txt.",
        "my: coaching",
    ],
)
def test_other_sentences_stay_as_they_are(text, monkeypatch):
    monkeypatch.setenv("COACH_COMMAND", "./start")
    assert as_typed(text) == text


def test_errors_and_help_say_it_so(coach, monkeypatch, tmp_path):
    monkeypatch.setenv("COACH_COMMAND", "./start")
    (tmp_path / "page.pdf").write_bytes(b"%PDF-1.4 a scan")
    (tmp_path / "works").write_text("no works")
    told = coach("check", str(tmp_path / "page.pdf")).err
    assert told.splitlines()[1].startswith("Take the pattern out of it first: ./start bring ")
    told = coach("works", "--import", str(tmp_path / "works")).err
    assert told.splitlines()[1] == "One is made with: ./start works --export FILE"
    assert "./start check scarf" in coach("bring", "--help").out
    assert "./start models lists them" in " ".join(coach("--help").out.split())
