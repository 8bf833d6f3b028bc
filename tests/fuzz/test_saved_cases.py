"""Every case that fuzzing found is tried again, and the targets are shown to notice a broken promise."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import targets  # noqa: E402
from targets import CORPUS, TARGETS, text_of  # noqa: E402

CASES = [path for target in TARGETS for path in sorted((CORPUS / target).glob("*"))]


@pytest.mark.parametrize("path", CASES, ids=lambda path: f"{path.parent.name}: {path.name}")
def test_saved_case(path: Path):
    TARGETS[path.parent.name](path.read_bytes())


def test_every_folder_of_cases_has_its_target():
    assert {path.name for path in CORPUS.iterdir()} <= TARGETS.keys()


@pytest.mark.parametrize("target", TARGETS)
@pytest.mark.parametrize("data", [b"", b"\0", b"Rnd 1: 6 sc in magic ring. (6)", b"\xff\xfe(", bytes(range(256)), b"<html>"])
def test_a_target_takes_any_bytes(target: str, data: bytes):
    TARGETS[target](data)


def test_bytes_are_text_whatever_they_are():
    assert text_of("½ × 6".encode()) == "½ × 6"
    assert text_of(b"\xbd x 6") == "½ x 6"


class TestABrokenPromiseIsNoticed:
    def test_of_a_reader_that_raises(self, monkeypatch):
        monkeypatch.setattr("promises.read", lambda text: text.no_such)
        with pytest.raises(AttributeError):
            targets.pattern(b"Rnd 1: 6 sc.")

    def test_of_a_span_outside_the_text(self, monkeypatch):
        found = targets.read("Rnd 1: 6 sc in magic ring. (6)")
        monkeypatch.setattr("promises.read", lambda text: found)
        with pytest.raises(AssertionError):
            targets.pattern(b"Rnd 1")

    def test_of_a_printer_that_forgets(self, monkeypatch):
        monkeypatch.setattr(targets, "write", lambda program: "sc")
        with pytest.raises(AssertionError):
            for n in range(40):
                targets.printed(bytes((n * k) % 256 for k in range(1, 400)))

    def test_of_a_request_that_there_is_not(self, monkeypatch):
        monkeypatch.setattr(targets, "REQUESTS", {})
        with pytest.raises(AssertionError):
            targets.request(b"next")

    def test_of_a_message_without_a_hint(self, monkeypatch):
        def fails(data: bytes, name: str):
            raise targets.SheetError("No.", "")

        monkeypatch.setattr(targets, "bring_data", fails)
        with pytest.raises(AssertionError):
            targets.brought(b"Rnd 1: 6 sc in magic ring. (6)")
