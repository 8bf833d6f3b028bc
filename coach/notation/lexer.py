"""Text → tokens of the trade. Every token keeps its span; nothing is lost and nothing is judged here.

Typographic variants (full-width letters, curly quotes, dashes, no-break spaces) are folded character for character, so
that offsets stay those of the text as given.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache

from coach.notation.model import Amount, Span
from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS, SYNONYMS, own_phrases, phrases

_FOLD = {
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "‹": "<",
    "›": ">",
    "×": "x",
    "✕": "x",
    "–": "-",
    "−": "-",
    "‐": "-",
    "‑": "-",
    "‒": "-",
    "—": "—",
    "―": "—",
    "＊": "*",
    "∗": "*",
    "✱": "*",
    "⁎": "*",
    "•": " ",
    "·": " ",
    "\u00a0": " ",
    "\u2009": " ",
    "\u202f": " ",
    "\u3000": " ",
    "\t": " ",
    "\r": " ",
    "\ufeff": " ",
    "\u200b": " ",
    "…": ".",
    "→": ">",
    "⇒": ">",
    "➔": ">",
    "➜": ">",
    "|": " ",
    "\\": " ",
    "☐": " ",
    "□": " ",
    "☑": " ",
    "✓": " ",
    "【": "[",
    "】": "]",
    "〔": "[",
    "〕": "]",
    "、": ",",
    "。": ".",
    "～": "-",
    "〜": "-",
}


_ASCII = str.maketrans({c: f for c, f in _FOLD.items() if c.isascii()})


_TABLE = re.compile(  # a row of a table: number, instruction, count
    r"(?m)^(?P<n>[ |]{0,4}(?:(?:r|rnd|row|round) ?)?\d{1,3}(?:-\d{1,3})? ?)\|(?P<told>[^|\n]{1,400})\|"
    r"(?P<count> {0,4}\d{1,5}(?: (?:sts?|stitches|sc|dc|hdc|tr))?[ |]{0,4}$)",
    re.IGNORECASE,
)


_MARKUP = re.compile(r"</?[a-z][a-z0-9]{0,9}(?: [^<>]{0,200})?/?>|&(?:[a-z]{2,8}|#\d{2,5});", re.IGNORECASE)
_SIGNS = {"&times;": "x", "&ndash;": "-", "&mdash;": "—", "&amp;": "&", "&rarr;": ">"}


def _plainly(m: re.Match) -> str:
    """What a tag or the name of a sign on a web page stands for, as long as it was."""
    return _SIGNS.get(m[0].lower(), "").ljust(len(m[0]))


def fold(text: str) -> str:
    """The text with every typographic variant replaced by its plain form, of the same length."""
    text = _MARKUP.sub(_plainly, text) if "</" in text or "&" in text else text
    text = _TABLE.sub(r"\g<n>:\g<told>=\g<count>", text) if "|" in text else text
    if text.isascii():
        return text.translate(_ASCII)
    return "".join(map(_folded, text))


@cache
def _folded(c: str) -> str:
    if c in _FOLD:
        return _FOLD[c]
    plain = c if c.isascii() else unicodedata.normalize("NFKC", c)
    return _FOLD.get(plain, plain) if len(plain) == 1 else c


@dataclass(slots=True)
class Token:
    """kind: number, ordinal, word (canonical form in `value`), stitch (catalogue id in `value`), space (`ch-3`:
    chains in
    `value`), measure (a length as written), mark (punctuation), end."""

    kind: str
    value: str | Amount
    start: int
    end: int

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)

    def is_(self, *values: str) -> bool:
        return self.value in values and self.kind in ("word", "mark")


_PLAIN = r"[A-Za-z]++(?![\w.'\u00ad-])"
_PIECE = re.compile(  # what a piece begins with is looked at first, so that few of these are tried in vain
    r"\s*+(?:"
    rf"(?P<words>(?-i:{_PLAIN}(?: {_PLAIN}){{0,3}}+))"
    r"|(?P<amount>\d{1,9}(?=[,)\]]))"
    r"|(?=[a-z\u00c0-\u024f])(?:"
    r"(?P<dotted>[dst]\.\s?c\.|h\.\s?d\.\s?c\.|(?:[a-z]\.){2,4}(?![a-z]))"
    r"|(?P<together>[a-z]{1,6}+\d{1,2}tog\b)"
    r"|(?P<space>(?:chs?|chain|chains)-\d{1,9}(?!\d))"
    r"|(?P<word>[a-z\u00c0-\u024f][a-z\u00ad'\u00c0-\u024f]*(?:-[a-z][a-z']*)*))"
    r"|(?=[\d½¼¾⅓⅔])(?:"
    r"(?P<measure>\d{1,6}(?:\.\d{1,4})?[½¼¾⅓⅔]?\s?(?:mm|cm|inch(?:es)?|metres?|meters?|yards?|yds?)\b"
    r"|\d{1,6}\.\d{1,4}|\d{0,6}[½¼¾⅓⅔])"
    r"|(?P<ordinal>\d{1,9}(?:st|nd|rd|th|d)\b)"
    r"|(?P<led>\d{1,9}-(?:chs?|chains?)\b"
    r"|\d{1,9}(?:chs?|chain)-?(?=(?: |(?<=-))(?:corner )?(?:sps?|spaces?|lps?|loops?|arch(?:es)?)\b)"
    r"|\d{1,9} (?:ch|chain)(?=[ -](?:corner )?(?:sp|space|lp|loop|arch)\b))"
    r"|(?P<named>\d{1,2}-?(?:dc|tr|hdc|sc|htr|dtr)[- ](?:clusters?|cl|bobbles?|bo|popcorns?|pc|shells?|sh|puffs?)\b)"
    r"|(?P<led_together>\d{1,2}-?(?:sc|hdc|dc|tr|htr|dtr)-?tog\b)"
    r"|(?P<number>\d+))"
    r"|(?P<mark>\*+|†+|[^\s\w]|_)"
    r"|(?P<other>\S)"
    r"|\Z)",
    re.IGNORECASE,
)
_DECORATION = ("'", '"', "`", "_")
_CUT = re.compile(r"-[\s'\"`_]")
Piece = tuple[tuple[str, str | int, int, int], ...]  # (kind, value, start, end) of its tokens, from where it starts


def pieces(text: str, start: int = 0) -> list[Token]:
    """The tokens of already folded text, before words are joined to stitch names. start: offset of the text."""
    found: list[Token] = []
    for m in _PIECE.finditer(text):
        form = m.lastgroup
        if form is None:  # the end
            break
        written = m[form]
        at = start + m.end() - len(written)
        for kind, value, a, b in _piece(form, written):
            found.append(Token(kind, value, at + a, at + b))
    return _rejoined(found, text, start)


@lru_cache(maxsize=4096)  # a page has few words, and each of them often; most of them in the same phrases
def _piece(form: str, written: str) -> Piece:
    """The tokens of what one group of `_PIECE` matched."""
    if form == "words" and " " in written:
        before, _, last = written.rpartition(" ")
        at = len(before) + 1
        return (*_piece(form, before), *((kind, value, at + a, at + b) for kind, value, a, b in _piece(form, last)))
    raw = written.lower()
    if form in ("words", "word"):
        return _word(raw if raw.isalpha() or raw in _KNOWN else raw.replace("\u00ad", "").rstrip("'"), len(written))
    if form == "dotted":
        return _word(re.sub(r"[.\s]", "", raw), len(written))
    if raw in _DECORATION:
        return ()
    kind, value = form, raw
    if form in ("number", "amount"):
        kind, value = "number", int(raw[:18])
    elif form == "ordinal":
        value = int(raw.rstrip("stndrh"))
    elif form in ("space", "led"):
        kind, value = "space", int(re.search(r"\d+", raw)[0])
    elif form in ("together", "named"):
        kind = "word"
    elif form == "led_together":  # "3dctog"
        kind, value = "word", re.sub(r"(\d+)-?(\w+?)-?tog", r"\2\1tog", raw)
    elif form == "other":
        kind = "mark"
    return ((kind, value, 0, len(written)),)


_KNOWN = {  # word: (kind, value) of its token
    **{word: ("word", canonical) for word, canonical in SYNONYMS.items()},
    **{word: ("ordinal", n) for word, n in ORDINAL_WORDS.items()},
    **{word: ("number", n) for word, n in NUMBER_WORDS.items()},
}


_RUN_TOGETHER = re.compile(r"(sc|hdc|dc|tr|inc|dec)(x|mr)")


def _word(raw: str, length: int) -> Piece:
    """A word of the trade, or the parts of one with hyphens. length: characters that it takes up as written."""
    if known := _KNOWN.get(raw):
        return ((*known, 0, length),)
    if m := _RUN_TOGETHER.fullmatch(raw):  # "6scmr", "incx6"
        return (*_word(m[1], len(m[1])), *((k, v, m.end(1) + a, m.end(1) + b) for k, v, a, b in _word(m[2], len(m[2]))))
    if "-" not in raw or raw in phrases("US").words:
        return (("word", raw, 0, length),)
    first, _, rest = raw.partition("-")
    if first in NUMBER_WORDS and rest in NUMBER_WORDS:
        return (("number", NUMBER_WORDS[first] + NUMBER_WORDS[rest], 0, length),)
    found, at = [], 0
    for part in raw.split("-"):
        found += [(kind, value, at + a, at + b) for kind, value, a, b in (_word(part, len(part)) if part else ())]
        at += len(part) + 1
    return tuple(found)


def _rejoined(found: list[Token], text: str, start: int) -> list[Token]:
    """A word that was cut with a hyphen at the end of a line is one word again, where that makes a word of the
    trade.
    """
    if not _CUT.search(text):
        return found
    out: list[Token] = []
    for token in found:
        if (
            token.kind == "word"
            and len(out) > 1
            and out[-1].is_("-")
            and out[-2].kind == "word"
            and (out[-1].end < token.start and out[-2].end == out[-1].start)
        ):
            a, b = out[-2].start - start, token.start - start
            joined = text[a : out[-2].end - start].lower() + text[b : token.end - start].lower()
            if joined in SYNONYMS or joined in phrases("US").vocabulary or joined in phrases("UK").vocabulary:
                out[-2:] = [Token("word", SYNONYMS.get(joined, joined), out[-2].start, token.end)]
                continue
        out.append(token)
    return out


def tokens(text: str, start: int, terms: str, special: frozenset[str] = frozenset(), sizes: int = 0) -> list[Token]:
    """Tokens of folded text, with the names and abbreviations of stitches joined to one token each.

    special: names of the pattern's own stitches, which win over the catalogue's; sizes: how many sizes there are.
    """
    found = pieces(text, start)
    names = phrases(terms)
    own = own_phrases(special)
    out: list[Token] = []
    i = 0
    while i < len(found):
        token = found[i]
        if token.value == "ch" and _is_space(found[i + 1 : i + 4]):  # "ch 2 sp"
            out.append(Token("space", found[i + 1].value, token.start, found[i + 1].end))
            i += 2
            continue
        if token.kind != "word" or not (
            (word := token.value) in names.first or special or word[0] <= "9" or word == "l"
        ):
            out.append(token)  # as most are
            i += 1
            continue
        taken, id = 0, ""
        if word[0] <= "9":
            id = own.led_by_number(word) or names.led_by_number(word) or ""
            taken = bool(id)
        elif word == "l" and out and out[-1].kind == "number" and i + 1 < len(found) and found[i + 1].is_("."):
            taken, id = 1, "dc"  # "9 l.": long stitches, in books of 1855
        else:
            if special and not (word == "x" and out and out[-1].is_(")", "]")):  # "(X, V) x 6"
                taken, id = own.longest(found, i)
            if not taken and word in names.first and (word != "st" or text[token.end - start :][:1] == "-"):
                taken, id = names.longest(found, i)  # "st-dc" is a standing dc, "in next st dc in next st" none
        if taken == 2 and found[i + 1].is_("dec") and out and out[-1].kind == "number" and _is_repeated(found, i + 2):
            taken, id = names.longest(found[: i + 1], i)  # "2sc dec x6": two stitches and a decrease
        if not taken:
            out.append(token)
            i += 1
            continue
        out.append(Token("stitch", id, token.start, found[i + taken - 1].end))
        i += taken
        if i < len(found) and found[i].value == "." and _abbreviated(out[-1], text, start):
            i += 1  # the full stop of an abbreviation: "s.c." or "tr. in"
    return sized(out, sizes)


def _is_space(behind: list[Token]) -> bool:
    """Whether tokens behind `ch` make it a space: `2 sp`, `2 corner sp`, `5 loop`."""
    nouns = behind[1:] if behind and behind[0].kind == "number" and isinstance(behind[0].value, int) else ()
    return bool(nouns) and (nouns[0].is_("sp", "lp") or nouns[0].is_("corner") and nouns[-1].is_("sp", "lp"))


def _is_repeated(found: list[Token], i: int) -> bool:
    return i < len(found) and found[i].is_("x", "times", "*")


_NEXT_STEP = re.compile(r"(?:rep\w*|join|turn|work|sc|hdc|dc|tr|htr|dtr|ch|sk|skip|miss|inc|dec|sl st|ss)\b")


def _abbreviated(token: Token, text: str, start: int) -> bool:
    """Whether a full stop behind this token belongs to it: the sentence goes on in lower case, with no step of its
    own."""
    rest = text[token.end - start + 1 :].lstrip()
    return token.end - token.start <= 4 and rest[:1].islower() and not _NEXT_STEP.match(rest)


_OPENS_SIZES = ("(", "[", "/", "-")


def sized(found: list[Token], sizes: int = 0, alone: bool = True) -> list[Token]:
    """`7 (8, 9)` in front of a noun is one number for each size; `31/35/39` and `31-35-39` are, where there are so
    many sizes.

    alone: so is a list of three and more that nothing follows.
    """
    if not any([token.kind == "number" and found[i].value in _OPENS_SIZES for i, token in enumerate(found[:-1], 1)]):
        return found
    out: list[Token] = []
    i = 0
    while i < len(found):
        values, j = _size_list(found, i, sizes) if found[i].kind == "number" else ((), i)
        chain = sizes > 1 and bool(out) and out[-1].is_("ch")  # "Ch 21 (25)": no count is stated behind a chain
        if values and (len(values) == sizes or chain or _counts_something(found, j, len(values) if alone else 0)):
            out.append(Token("number", values, found[i].start, found[j - 1].end))
            i = j
        else:
            out.append(found[i])
            i += 1
    return out


def _counts_something(found: list[Token], j: int, n: int) -> bool:
    """Whether the list of n numbers that ends before token j stands where one number would."""
    if j >= len(found):
        return n > 2
    after = found[j]
    if after.kind in ("stitch", "space") or after.is_(
        "st", "ch", "times", "x", "rnd", "row", "around", "more", "sp", "cm", "["
    ):
        return True
    return n > 2 and after.is_("in", ",", ".", ";", "(")


def _size_list(found: list[Token], i: int, sizes: int) -> tuple[tuple[int, ...], int]:
    """(numbers, index of the token behind them) of the list that starts at token i."""
    if not isinstance(found[i].value, int) or i + 2 >= len(found):
        return (), i
    if sizes > 1 and found[i + 1].is_("/") or sizes > 2 and found[i + 1].is_("-"):
        return _parted(found, i, sizes)
    if not found[i + 1].is_("(", "["):
        return (), i
    close = ")" if found[i + 1].value == "(" else "]"
    values, j = [found[i].value], i + 2
    while j + 1 < len(found) and found[j].kind == "number":
        values.append(found[j].value)
        if found[j + 1].is_(close):
            return tuple(values), j + 2
        if not found[j + 1].is_(",", ";", ":", "/", "-"):
            break
        j += 2
    return (), i


def _parted(found: list[Token], i: int, sizes: int) -> tuple[tuple[int, ...], int]:
    values, j, mark = [found[i].value], i + 1, str(found[i + 1].value)
    while j + 1 < len(found) and found[j].is_(mark) and found[j + 1].kind == "number":
        values.append(found[j + 1].value)
        j += 2
    return (tuple(values), j) if len(values) == sizes else ((), i)
