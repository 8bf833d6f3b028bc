"""Cautions at the moment they matter, and breaks for the hands.

The rules in prose
------------------
- A caution is said once in a work, after the note of the pattern at which it matters, and never where the pattern
  itself gives it by then: what it says in its materials, or of other parts, nobody has heard. What is to be said, when
  and by which source stands in `cautions.toml`.
- A break is offered at most once an hour of work, after `next`, and only to those who want it ("skip the breaks"). Five
  minutes without a request are a break already.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib.resources import files

from pydantic import BaseModel, ConfigDict, Field

from coach.fabric.model import Fabric
from coach.guide.messages import say
from coach.guide.model import Message, Request, State
from coach.guide.moves import Answer, Messages, changed
from coach.notation.model import Note

_CM = {"cm": 1.0, "mm": 0.1, "in": 2.54, "inch": 2.54, "inches": 2.54}
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(cm|mm|in|inch|inches)\b", re.IGNORECASE)


class Caution(BaseModel):
    """One entry of `cautions.toml`, which explains the fields."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    kinds: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    stuffed: bool = False
    figures: dict[str, int] = {}
    source: str = Field(min_length=1)

    def concerns(self, note: Note) -> bool:
        """Whether this note is a moment for it."""
        return note.kind in self.kinds or self.named_in(note.text)

    def named_in(self, text: str) -> bool:
        return _any_of(self.words, text)

    def __hash__(self) -> int:
        return hash(self.id)


class Hands(BaseModel):
    """every: minutes of work between two offers; minutes: of a break."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    every: float
    minutes: float
    source: str = Field(min_length=1)


class Cautions(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    caution: tuple[Caution, ...]
    hands: Hands


@cache
def cautions() -> Cautions:
    """The cautions that come with the coach."""
    return Cautions.model_validate(tomllib.loads(files("coach.guide").joinpath("cautions.toml").read_text("utf-8")))


# ---- cautions


def with_cautions(fabric: Fabric, state: State, messages: Messages) -> tuple[State, Messages]:
    """The answer with the cautions that its notes call for, each the first time in this work."""
    if not any(m.key in ("note", "part", "part_of") for m in messages):
        return state, messages
    found: list[Message] = []
    told = list(state.cautioned)
    for message in messages:
        found.append(message)
        for caution in cautions().caution:
            if caution.id not in told and _matters(fabric, caution, message):
                told.append(caution.id)
                found.append(say(f"caution_{caution.id}", **caution.figures))
    return (state, messages) if len(found) == len(messages) else (state.having(cautioned=tuple(told)), tuple(found))


def _matters(fabric: Fabric, caution: Caution, message: Message) -> bool:
    note = None
    if message.key == "note":
        text = str(message.values["text"])
        note = next((n for n in _notes(fabric) if n.text == text), Note(text))
        if note.kind == "caution" or not caution.concerns(note) or _is_harmless(caution, note):
            return False
    elif (
        message.key not in ("part", "part_of")
        or caution.id != "cord"
        or not caution.named_in(str(message.values["part"]))
    ):
        return False
    if caution.stuffed and not any(n.kind == "stuff" and not _unstuffed(n) for n in _notes(fabric)):
        return False
    part = str(message.values.get("part", ""))
    return not any(_any_of(caution.unless, heard.text) for heard in _heard_by(fabric, note, part))


def _heard_by(fabric: Fabric, note: Note | None, name: str) -> Iterator[Note]:
    """The notes that are heard until one of the pattern's, and with it; None: until a part with this name begins."""
    if any(n is note for n in fabric.pattern.notes):  # the maker has them read
        yield from fabric.pattern.notes
        return
    yield from (n for n in fabric.pattern.notes if n.kind == "caution")
    for part in fabric.parts:
        for portion in (part.source.notes, *(worked.source.notes for worked in part.rounds)):
            yield from portion
            if any(n is note for n in portion) or (note is None and part.name == name):
                return
    yield from fabric.assembly


def _is_harmless(caution: Caution, note: Note) -> bool:
    """Whether the note calls for nothing: it says not to do so, or its cord is short, or is a tail to sew with."""
    if caution.id == "filling":
        return _unstuffed(note)
    if caution.id != "cord":
        return False
    lengths = [float(n) * _CM[unit.lower()] for n, unit in _LENGTH.findall(note.text)]
    short = bool(lengths) and max(lengths) <= caution.figures["longest"]
    return short or note.kind == "fasten_off" or "tail" in note.text.lower()


def _unstuffed(note: Note) -> bool:
    return bool(
        re.search(
            r"\b(?:not|never|don't|without)\b[^.]{0,12}\b(?:stuff|filling)|\bunstuffed\b", note.text, re.IGNORECASE
        )
    )


def _notes(fabric: Fabric) -> Iterator[Note]:
    yield from fabric.pattern.notes
    for part in fabric.parts:
        yield from part.source.notes
        for worked in part.rounds:
            yield from worked.source.notes
    yield from fabric.assembly


def _any_of(words: tuple[str, ...], text: str) -> bool:
    return bool(words) and re.search(rf"\b(?:{'|'.join(map(re.escape, words))})s?\b", text, re.IGNORECASE) is not None


# ---- breaks


def rest(state: State, request: Request, idle: float) -> tuple[State, Messages]:
    """What is offered for the hands after a request. idle: seconds since the request before, paused or not."""
    hands = cautions().hands
    if idle >= hands.minutes * 60:
        return state.having(rested=state.worked), ()
    due = state.worked - state.rested >= hands.every * 60
    if not due or not state.settings.breaks or request.name != "next" or state.counting or state.paused:
        return state, ()
    return state.having(rested=state.worked), (say("break_offer"),)


def breaks(fabric: Fabric, state: State, value: object) -> Answer:
    """Breaks are offered, or no longer."""
    if value not in ("on", "off"):
        return state, (say("which_breaks"),)
    return changed(state, settings=replace(state.settings, breaks=value == "on")), (say(f"breaks_{value}"),)
