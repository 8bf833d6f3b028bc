"""The page's own words, of which the phrasebook has none: headings, labels, what the browser itself has to say."""

from __future__ import annotations

import tomllib
from functools import cache
from html import escape
from importlib.resources import files
from string import Template

FALLBACK = "en"


@cache
def tables() -> dict[str, dict[str, str]]:
    return tomllib.loads(files("coach.page").joinpath("words.toml").read_text("utf-8"))


def words_for(language: str) -> dict[str, str]:
    """The words of a language; English ones where it has none."""
    found = tables()
    return {**found[FALLBACK], **found.get(language, {}), "language": language if language in found else FALLBACK}


def filled(page: str, words: dict[str, str], spoken: str) -> str:
    """The page with `$name` replaced by words, `$spoken` by the code of the language that the coach speaks.
    Raises KeyError for a word that there is none of."""
    return Template(page).substitute({name: escape(text) for name, text in words.items()}, spoken=escape(spoken))
