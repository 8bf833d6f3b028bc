"""American and British spelling of the trade's words, which goes with the terms: color in US, colour in UK ones."""

from __future__ import annotations

import re

_COLOUR = re.compile(r"(?<!\{)\b(?P<col>colo)u?(?P<r>r(?:s|ed|ing|less|fast|way|ways|work)?)\b", re.IGNORECASE)


def spelled(text: str, terms: str) -> str:
    """The text with its colours spelled as in the terms, US or UK; capitals stay, and
    so do the names of a sentence's values, as {colour}."""

    def out(match: re.Match[str]) -> str:
        u = "" if terms != "UK" else "U" if match["col"].isupper() else "u"
        return f"{match['col']}{u}{match['r']}"

    return _COLOUR.sub(out, text)
