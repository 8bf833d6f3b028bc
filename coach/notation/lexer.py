"""Text → tokens of the trade. Every token keeps its span; nothing is lost and nothing is judged here.

Typographic variants (full-width letters, curly quotes, dashes, no-break spaces) are folded character for character, so
that offsets stay those of the text as given.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from coach.notation.model import Amount, Span
from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS, SYNONYMS, phrases

_FOLD = {
    "‘": "'", "’": "'", "“": '"', "”": '"', "‹": "<", "›": ">", "×": "x", "✕": "x", "–": "-", "−": "-", "‐": "-", "‑": "-", "‒": "-",
    "—": "—", "―": "—", "＊": "*", "∗": "*", "✱": "*", "⁎": "*", "•": " ", "·": " ", "\u00a0": " ", "\u2009": " ", "\u202f": " ",
    "\u3000": " ", "\t": " ", "\r": " ", "\ufeff": " ", "\u200b": " ", "…": ".", "†": "†",
}


def fold(text: str) -> str:
    """The text with every typographic variant replaced by its plain form, of the same length."""
    if text.isascii():
        return text.replace("\t", " ").replace("\r", " ")
    out = []
    for c in text:
        if c.isascii():
            out.append(" " if c in "\t\r" else c)
        elif c in _FOLD:
            out.append(_FOLD[c])
        else:
            plain = unicodedata.normalize("NFKC", c)
            out.append(plain if len(plain) == 1 else c)
    return "".join(out)


@dataclass(frozen=True, slots=True)
class Token:
    """kind: number, ordinal, word (canonical form in `value`), stitch (catalogue id in `value`), space (`ch-3`: chains in
    `value`), mark (punctuation), end."""

    kind: str
    value: str | Amount
    start: int
    end: int

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)

    def is_(self, *values: str) -> bool:
        return self.kind in ("word", "mark") and self.value in values


_PIECE = re.compile(
    r"(?P<ordinal>\d{1,9}(?:st|nd|rd|th)\b)"
    r"|(?P<together>(?:(?:[a-z]{1,6}))\d{1,2}tog\b)"
    r"|(?P<space>(?:chs?|chain|chains)-\d{1,9}(?!\d))"
    r"|(?P<led>\d{1,9}[- ]?(?:chs?|chain)(?=[ -](?:corner )?(?:sps?|spaces?|lps?|loops?|arch(?:es)?)\b))"
    r"|(?P<number>\d+)"
    r"|(?P<word>[a-z\u00c0-\u024f][a-z\u00ad'\u00c0-\u024f]*(?:-[a-z][a-z']*)*)"
    r"|(?P<mark>\*+|†+|[^\s\w]|_)"
    r"|(?P<other>\S)",
    re.IGNORECASE,
)
_HYPHENATED = re.compile(r"(?<=[a-z])-\s*\n\s*(?=[a-z])", re.IGNORECASE)


def pieces(text: str, start: int = 0) -> list[Token]:
    """The tokens of already folded text, before words are joined to stitch names. start: offset of the text."""
    found = []
    for m in _PIECE.finditer(text):
        kind, raw = m.lastgroup, m.group().lower().replace("\u00ad", "")
        a, b = start + m.start(), start + m.end()
        if kind == "number":
            found.append(Token("number", int(raw[:18]), a, b))
        elif kind == "ordinal":
            found.append(Token("ordinal", int(raw[:-2]), a, b))
        elif kind == "space":
            found.append(Token("space", int(raw.rpartition("-")[2]), a, b))
        elif kind == "led":
            found.append(Token("space", int(re.match(r"\d+", raw)[0]), a, b))
        elif kind == "word":
            found.extend(_word(raw, a, b))
        elif kind == "together":
            found.append(Token("word", raw, a, b))
        else:
            found.append(Token("mark", raw, a, b))
    return found


def _word(raw: str, start: int, end: int) -> list[Token]:
    if raw in NUMBER_WORDS:
        return [Token("number", NUMBER_WORDS[raw], start, end)]
    if raw in ORDINAL_WORDS:
        return [Token("ordinal", ORDINAL_WORDS[raw], start, end)]
    if raw in SYNONYMS:
        return [Token("word", SYNONYMS[raw], start, end)]
    if "-" in raw and raw not in phrases("US").words:
        first, _, rest = raw.partition("-")
        if first in NUMBER_WORDS and rest in NUMBER_WORDS:
            return [Token("number", NUMBER_WORDS[first] + NUMBER_WORDS[rest], start, end)]
        if first and rest:
            return [*_word(first, start, start + len(first)), *_word(rest, start + len(first) + 1, end)]
    return [Token("word", raw, start, end)]


def tokens(text: str, start: int, terms: str, special: frozenset[str] = frozenset()) -> list[Token]:
    """Tokens of folded text, with the names and abbreviations of stitches joined to one token each.

    special: names of the pattern's own stitches, which win over the catalogue's.
    """
    found = pieces(text, start)
    names = phrases(terms)
    out: list[Token] = []
    i = 0
    while i < len(found):
        token = found[i]
        if token.kind == "word":
            taken, id = names.longest(found, i, special)
            if taken:
                out.append(Token("stitch", id, token.start, found[i + taken - 1].end))
                i += taken
                if i < len(found) and found[i].kind == "mark" and found[i].value == "." and _abbreviated(out[-1], text, start):
                    i += 1  # the full stop of an abbreviation: "s.c." or "tr. in"
                continue
        out.append(token)
        i += 1
    return _sized(out)


def _abbreviated(token: Token, text: str, start: int) -> bool:
    """Whether a full stop behind this token belongs to it: the sentence goes on in lower case."""
    rest = text[token.end - start + 1 :].lstrip()
    return token.end - token.start <= 4 and bool(rest) and (rest[0].islower() and not rest.startswith(("rep", "join", "turn")))


def _sized(found: list[Token]) -> list[Token]:
    """`7 (8, 9)` in front of a noun is one number for each size."""
    out: list[Token] = []
    i = 0
    while i < len(found):
        token = found[i]
        values, j = _size_list(found, i)
        if values and (j == len(found) and len(values) > 2 or j < len(found) and (
            found[j].kind in ("stitch", "space") or found[j].is_("st", "ch", "times", "x", "rnd", "row", "more", "sp", "cm", "in", ",", ".", ";", "[", "(")
        ) and (len(values) > 2 or not found[j].is_(",", ".", ";", "in", "("))):
            out.append(Token("number", values, token.start, found[j - 1].end))
            i = j
        else:
            out.append(token)
            i += 1
    return out


def _size_list(found: list[Token], i: int) -> tuple[tuple[int, ...], int]:
    if found[i].kind != "number" or i + 2 >= len(found) or not found[i + 1].is_("(", "["):
        return (), i
    close = ")" if found[i + 1].value == "(" else "]"
    values, j = [found[i].value], i + 2
    while j + 1 < len(found) and found[j].kind == "number":
        values.append(found[j].value)
        if found[j + 1].is_(close):
            return tuple(values), j + 2
        if not found[j + 1].is_(",", ":", "/", "-"):
            break
        j += 2
    return (), i
