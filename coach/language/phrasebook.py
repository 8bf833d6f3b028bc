"""The phrasebook of a language: what the coach says and what it understands, from one data file `<code>.toml`.

    [say]      message key -> sentence; a table {by, zero, one, other} where the form follows a number
    [step]     how steps are put into words; [place] where the hook goes; [stitch] shorter names of stitches
    [task]     techniques as one asks how to do them, and their ids in the catalogue
    [unit], [before_noun]  measures in them, and where these stand before a noun
    [written]  words in a pattern's own sentences that are said otherwise (none: those sentences stay English)
    [how]      how a stitch is worked, step by step as in the catalogue; the catalogue's own words for those not in it
    voice      the speech engine's voice for this language; maker_voices: those that ask in a rehearsal
    spaced     whether spaces between words matter in what the maker says and types
    called     names of the coach, which open its ears; it never says them
    choose     phrases that choose one of several, with <number> in them
    size       a word that may stand before that of a size; sizes: what these are called, and as patterns name them
    notes      the maker's own notes that can be spoken
    yarns      weights of yarn as they are called, and as the standard names them
    hooks      sizes of hooks as they are called, and in millimetres
    means      what stands in a typed line between a maker's own word and its meaning ("=" does, too)
    [number]   the words that numbers are made of; [count] those that count stitches, where they are others. A sentence
               says a number in words where it asks for them: {n:number}, {n:count}, {n:nth}; in digits otherwise
    [[request]] a request with its phrases, typed words and keys

What another phrasebook than the English one lacks is taken from that: a sentence, the keys of a request, or a whole
request, which can then be typed but not spoken.

    PhrasebookError ─ no such language, or a file that is no phrasebook: the message says where and what
"""

from __future__ import annotations

import string
import tomllib
from functools import cache, cached_property
from importlib.resources import files
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from coach.guide.messages import MESSAGES
from coach.guide.requests import REQUESTS
from coach.language.numbers import Numbers

FALLBACK = "en"
Form = str | dict[str, str]


class PhrasebookError(ValueError):
    """A phrasebook that can't be had; its text is a sentence for the maker."""


class Heard(BaseModel):
    """Words for a request (with a value, where the words say it). shown: how help offers it (else the first phrase)."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    value: str | None = None
    say: tuple[str, ...] = Field(min_length=2)  # none for a request that the language lacks
    type: tuple[str, ...] = Field(min_length=1)
    key: tuple[str, ...] = Field(min_length=1)
    shown: str = ""

    @property
    def offered(self) -> str:
        return self.shown or (*self.say, *self.type)[0]


class Phrasebook(BaseModel):
    """All the words of one language."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))

    name: str
    voice: str = ""
    maker_voices: tuple[str, ...] = ()
    spaced: bool = True
    called: tuple[str, ...] = Field(min_length=1)
    one: tuple[int, ...] = ()
    choose: tuple[str, ...]
    size: str = ""
    sizes: dict[str, str] = {}
    notes: tuple[str, ...] = ()
    yarns: dict[str, str] = {}
    hooks: dict[str, float] = {}
    means: str = "="
    own: dict[str, str] = {}
    say: dict[str, Form]
    step: dict[str, Form | dict[str, tuple[str, str]]]
    place: dict[str, str]
    stitch: dict[str, str] = {}
    written: dict[str, str] = {}
    task: dict[str, str] = {}
    unit: dict[str, tuple[str, str]] = {}
    before_noun: dict[str, tuple[str, ...]] = {}
    how: dict[str, tuple[str, ...]] = {}
    number: Numbers
    count: Numbers | None = None
    request: tuple[Heard, ...]

    @model_validator(mode="after")
    def _complete(self) -> Phrasebook:
        if missing := MESSAGES.keys() - self.say.keys():
            raise ValueError(f"[say] lacks {', '.join(sorted(missing))}")
        if unknown := self.say.keys() - MESSAGES.keys():
            raise ValueError(f"[say] has sentences that are never said: {', '.join(sorted(unknown))}")
        names = {heard.name for heard in self.request}
        if missing := REQUESTS.keys() - names:
            raise ValueError(f"no [[request]] for {', '.join(sorted(missing))}")
        if unknown := names - REQUESTS.keys():
            raise ValueError(f"[[request]] for what is none: {', '.join(sorted(unknown))}")
        return self

    def __hash__(self) -> int:
        return id(self)

    def chosen(self, template: Form, values: dict[str, object]) -> str:
        """The template in the form that its number asks for."""
        if isinstance(template, str):
            return template
        number = values[template["by"]]
        key = "zero" if number == 0 else "half" if number == 0.5 else "one" if number in self.one else "other"
        return template.get(key, template["other"])

    def amount(self, number: float) -> str:
        """A whole number, or one with a half."""
        whole = int(number)
        if number == whole:
            return str(whole)
        return self.in_words("half", n=whole) if whole else self.in_words("one_half")

    def form(self, template: Form, values: dict[str, object]) -> str:
        """The template in the form that its number asks for, with the values put in."""
        return self.filled(self.chosen(template, values), values)

    def filled(self, template: str, values: dict[str, object]) -> str:
        """A template with the values put in."""
        return self._formatter.vformat(template, (), values)

    def in_words(self, template: str, **values: object) -> str:
        """A phrase of [step]."""
        return self.form(self.step[template], values)

    def ordinal(self, number: int) -> str:
        words = self.number.ordinals
        return words[number - 1] if 0 < number <= len(words) else self.in_words("nth", n=number)

    def spoken(self, number: int, counting: bool = False) -> tuple[str, ...]:
        """Every way to say a number, the usual one first. counting: a number of stitches. Raises ValueError."""
        others = self.number.spoken(number)
        if not counting or self.count is None or number > self.count.highest:
            return others
        own = self.count.spoken(number)
        return own if number <= self.count.alone_to else tuple(dict.fromkeys((*own, *others)))

    def mistaken_for(self, number: int, counting: bool = False) -> tuple[int, ...]:
        """The numbers that sound like this one."""
        tables = (self.number, self.count) if counting and self.count else (self.number,)
        return tuple(dict.fromkeys(n for table in tables for n in table.mistaken_for(number)))

    @cached_property
    def _formatter(self) -> _Formatter:
        return _Formatter(self)

    @cached_property
    def keys(self) -> dict[str, Heard]:
        """Each single key ("space", "n") and what it asks for."""
        return {key: heard for heard in self.request for key in heard.key}

    @cached_property
    def number_words(self) -> dict[str, int]:
        """Every spoken number, also of stitches, to the number."""
        return self.number.table() | (self.count.table() if self.count else {})


class _Formatter(string.Formatter):
    """Puts values into templates, numbers in words where the template asks for them."""

    def __init__(self, book: Phrasebook) -> None:
        self._book = book

    def format_field(self, value: Any, format_spec: str) -> str:
        if format_spec == "nth":
            return self._book.ordinal(value)
        if format_spec in self._book.step:  # a number with its unit
            return self._book.in_words(format_spec, n=value)
        if isinstance(value, float) and not format_spec:
            return self._book.amount(value)
        if format_spec not in ("number", "count"):
            return super().format_field(value, format_spec)
        try:
            return self._book.spoken(value, format_spec == "count")[0]
        except (ValueError, TypeError):  # higher than words go, or the numbers of several sizes
            return str(value)


@cache
def languages() -> tuple[str, ...]:
    """The codes of the languages that there are phrasebooks for."""
    folder = files("coach.language").iterdir()
    return tuple(sorted(f.name.removesuffix(".toml") for f in folder if f.name.endswith(".toml")))


@cache
def load(language: str = "en") -> Phrasebook:
    """The phrasebook of a language. Raises PhrasebookError."""
    if language not in languages():
        raise PhrasebookError(f"I have no phrasebook for {language!r}; I have: {', '.join(languages())}.")
    text = files("coach.language").joinpath(f"{language}.toml").read_text("utf-8")
    return parse(text, f"{language}.toml", None if language == FALLBACK else load(FALLBACK))


def parse(text: str, where: str = "phrasebook", fallback: Phrasebook | None = None) -> Phrasebook:
    """A phrasebook from the text of its file. fallback: has what this one lacks. Raises PhrasebookError with the
    place."""
    try:
        data = tomllib.loads(text)
        return Phrasebook.model_validate(data) if fallback is None else _completed(data, fallback)
    except tomllib.TOMLDecodeError as error:
        raise PhrasebookError(f"{where}: {error}") from error
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(p) for p in first["loc"])
        raise PhrasebookError(f"{where}: {place + ': ' if place else ''}{first['msg']}") from error


def _completed(data: dict[str, Any], fallback: Phrasebook) -> Phrasebook:
    """The phrasebook of these data, and of the other one what they lack."""
    asked = {(r.get("name"), r.get("value")) for r in data.get("request", ())}
    keys = {(heard.name, heard.value): heard.key for heard in fallback.request}
    own = [{"key": keys.get((r.get("name"), r.get("value")), ()), **r} for r in data.get("request", ())]
    lacking = [
        heard.model_copy(update={"say": (), "type": (*heard.say, *heard.type)})
        for heard in fallback.request
        if (heard.name, heard.value) not in asked
    ]
    words = {table: {**getattr(fallback, table), **data.get(table, {})} for table in ("say", "step", "place")}
    return Phrasebook.model_validate({**data, **words, "request": [*own, *lacking]})
