"""The table of messages is what the coach sends, no more and no less."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import coach
from coach.fabric.chunks import BY
from coach.guide.finishing import cautions
from coach.guide.messages import MESSAGES, say
from coach.guide.requests import REQUESTS
from coach.guide.slips import RANK

SOURCES = [p for p in Path(coach.__file__).parent.rglob("*.py") if p.name != "messages.py"]


def sent() -> set[str]:
    """Every key that the code names: strings, and those put together from sizes of chunks and kinds of slips."""
    found = {f"by_{by}" for by in BY} | {f"last_{shaping}" for shaping in REQUESTS["did"].takes}
    found |= {f"{begins}_{kind}" for begins in ("slip", "see", "work") for kind in RANK} | {"slip_skipped_of"}
    found |= {f"see_{kind}_alone" for kind in ("missed", "apart")}
    found |= {f"{name}_{value}" for name in ("hand", "breaks") for value in REQUESTS[name].takes}
    found |= {f"caution_{caution.id}" for caution in cautions().caution}
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
