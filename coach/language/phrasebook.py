"""The phrasebook of a language: what the coach says and what it understands, from one data file `<code>.toml`.

    [say]      message key -> sentence; a table {by, zero, one, other} where the form follows a number
    [step]     how steps are put into words; [place] where the hook goes; [stitch] shorter names of stitches
    [written]  words in a pattern's own sentences that are said otherwise
    called     names of the coach, which open its ears; it never says them
    choose     phrases that choose one of several, with <number> in them
    notes      the maker's own notes that can be spoken
    [number]   the words that numbers are made of
    [[request]] a request with its phrases, typed words and keys

    PhrasebookError ─ no such language, or a file that is no phrasebook: the message says where and what
"""

from __future__ import annotations

import tomllib
from functools import cache, cached_property
from importlib.resources import files

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from coach.guide.messages import MESSAGES
from coach.guide.requests import REQUESTS
from coach.language.numbers import Numbers

Form = str | dict[str, str]


class PhrasebookError(ValueError):
    """A phrasebook that can't be had; its text is a sentence for the maker."""


class Heard(BaseModel):
    """Words for a request (with a value, where the words say it). shown: how help offers it (else the first phrase)."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    value: str | None = None
    say: tuple[str, ...] = Field(min_length=2)
    type: tuple[str, ...] = Field(min_length=1)
    key: tuple[str, ...] = Field(min_length=1)
    shown: str = ""

    @property
    def offered(self) -> str:
        return self.shown or self.say[0]


class Phrasebook(BaseModel):
    """All the words of one language."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))

    name: str
    called: tuple[str, ...] = Field(min_length=1)
    one: tuple[int, ...] = ()
    choose: tuple[str, ...]
    notes: tuple[str, ...] = ()
    say: dict[str, Form]
    step: dict[str, Form | dict[str, tuple[str, str]]]
    place: dict[str, str]
    stitch: dict[str, str] = {}
    written: dict[str, str] = {}
    number: Numbers
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
        key = "zero" if number == 0 and "zero" in template else "one" if number in self.one else "other"
        return template.get(key, template["other"])

    def form(self, template: Form, values: dict[str, object]) -> str:
        """The template in the form that its number asks for, with the values put in."""
        return self.chosen(template, values).format_map(values)

    def in_words(self, template: str, **values: object) -> str:
        """A phrase of [step]."""
        return self.form(self.step[template], values)

    def ordinal(self, number: int) -> str:
        words = self.number.ordinals
        return words[number - 1] if 0 < number <= len(words) else self.in_words("nth", n=number)

    @cached_property
    def keys(self) -> dict[str, Heard]:
        """Each single key ("space", "n") and what it asks for."""
        return {key: heard for heard in self.request for key in heard.key}

    @cached_property
    def number_words(self) -> dict[str, int]:
        return self.number.table()


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
    return parse(files("coach.language").joinpath(f"{language}.toml").read_text("utf-8"), f"{language}.toml")


def parse(text: str, where: str = "phrasebook") -> Phrasebook:
    """A phrasebook from the text of its file. Raises PhrasebookError with the place."""
    try:
        return Phrasebook.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise PhrasebookError(f"{where}: {error}") from error
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(p) for p in first["loc"])
        raise PhrasebookError(f"{where}: {place + ': ' if place else ''}{first['msg']}") from error
