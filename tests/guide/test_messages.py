"""The table of messages is what the coach sends, no more and no less."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import coach
from coach.fabric.chunks import BY
from coach.guide.messages import MESSAGES, say

SOURCES = [p for p in Path(coach.__file__).parent.rglob("*.py") if p.name != "messages.py"]


def sent() -> set[str]:
    """Every key that the code names: strings, and `say(f"by_{...}")` for each size of chunk."""
    found = {f"by_{by}" for by in BY}
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return found


def called() -> set[str]:
    """The keys of every direct `say("...")` and `Message("...")`."""
    found = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            match node:
                case ast.Call(func=ast.Name(id="say" | "Message"), args=[ast.Constant(value=key), *_]):
                    found.add(key)
    return found


def test_no_message_of_the_table_is_never_sent():
    assert set(MESSAGES) <= sent()


def test_every_message_sent_is_in_the_table():
    assert len(called()) > 30 and called() <= set(MESSAGES)


def test_a_message_needs_exactly_its_values():
    assert say("makes", made=18).values == {"made": 18}
    for wrong in ({}, {"made": 1, "more": 2}, {"mad": 1}):
        with pytest.raises(ValueError, match="makes"):
            say("makes", **wrong)
    with pytest.raises(ValueError, match="sing"):
        say("sing")
