"""How a page may be set and worded, which changes nothing: functions of the text of its rounds."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial

_COUNT = re.compile(r"\. \((.+)\)$", re.MULTILINE)

VARIANTS = {
    "capitals": str.upper,
    "small letters": str.lower,
    "wide spaces": partial(re.sub, " ", "   "),
    "no-break spaces": partial(re.sub, " ", "\u00a0"),
    "space before commas": partial(re.sub, ",", " ,"),
    "no space behind commas": partial(re.sub, ", ", ","),
    "times sign": partial(re.sub, r"\) x (?=\d)", ") × "),
    "times close up": partial(re.sub, r"\) x (?=\d)", ") x"),
    "square brackets": lambda text: text.translate(str.maketrans("()", "[]")),
    "full-width digits": lambda text: text.translate(str.maketrans("0123456789", "０１２３４５６７８９")),
    "no stop before the count": partial(_COUNT.sub, r" (\1)"),
    "count behind a dash": partial(_COUNT.sub, r" — \1"),
    "count behind an equals sign": partial(_COUNT.sub, r" = \1"),
    "empty lines between rounds": partial(re.sub, "\n", "\n\n"),
    "bold labels": partial(re.sub, r"^((?:Rnd|Row) \d+[^:\n]*:)", r"**\1**", flags=re.MULTILINE),
}


def _each(*pairs: tuple[str, str]) -> Callable[[str], str]:
    """Every pattern of the pairs put into other words."""

    def worded(text: str) -> str:
        for pattern, words in pairs:
            text = re.sub(pattern, words, text, flags=re.MULTILINE)
        return text

    return worded


def _in_full(text: str) -> str:
    """Stitches by their whole names."""
    us = {"sc": "single crochet", "hdc": "half double crochet", "dc": "double crochet", "tr": "treble crochet"}
    uk = {"dc": us["dc"], "htr": "half treble crochet", "tr": us["tr"], "dtr": "double treble crochet"}
    names = uk if "UK terms" in text else us
    return re.sub(rf"(?<![-\w])({'|'.join(names)})(?![-\w])", lambda m: names[m[1]], text)


def _in_words(text: str) -> str:
    """Small numbers as words."""
    words = "zero one two three four five six seven eight nine ten eleven twelve".split()
    small = r"(?:[1-9]|1[0-2])(?!\d)"
    numbers = rf"(?<=next ){small}(?= sts)|(?<=last ){small}(?= sts)|(?<=\) x ){small}(?! \()"
    return re.sub(numbers, lambda m: words[int(m[0])], text)


# How the same is said in other words, from the phrases of ../shared/reference/pattern_grammar.md
WORDINGS = {
    "6 times": _each((r"\) x (\d+(?: \([\d, ]+\))?)", r") \1 times")),
    "skip": _each((r"\bsk\b", "skip")),
    "miss": _each((r"\bsk\b", "miss")),
    "3ch": _each((r"\bch (\d+)(?! \(\d)", r"\1ch")),
    "chain 3": _each((r"\bch (\d+)", r"chain \1")),
    "into": _each((r"\bin (next|each|same)\b", r"into \1")),
    "in the next": _each((r"\b(in|sk) (next|same|last)\b", r"\1 the \2")),
    "words spelt out": _each((r"\bst(s?)\b(?! to)", r"stitch\1"), (r"stitchs", "stitches"), (r"\bch(s)\b", r"chain\1"),
                             (r"\bsp(s?)\b", r"space\1"), (r"\bRnd", "Round"), (r"\b([rR])ep\b", r"\1epeat")),
    "names in full": _in_full,
    "numbers in words": _in_words,
    "full stops": _each((r", (join|turn)", r". \1")),
    "capitals behind labels": lambda text: re.sub(r"(?<=: )[a-z]", lambda m: m[0].upper(), text),
    "across": _each((r"\baround\b", "across")),
    "to end": _each((r"(\*|st) around\b", r"\1 to end")),
    "to the end of the row": _each((r"rep from \* around(?!, ending)", "repeat from * to the end of the row")),
    "here and throughout": _each((r"\(counts as (\w+)\)", r"(counts as first \1 here and throughout)")),
    "sl st to join": _each((r"\bjoin\b(?! with)", "sl st to join")),
    "join with sl st": _each((r"\bjoin\b(?! with)", "join with sl st in first st")),
    "stitches in the count": _each((r"\((\d+(?: \([\d, ]+\))?)\)$", r"(\1 sts)")),
    "brackets in place of stars": _each((r"\*([^*\n]*); rep from \* (around)(?!, ending)", r"[\1] \2")),
    "lines broken": _each((r"^((?:Row|Rnd)[^\n]{40,}?), ", r"\1,\n")),
}
