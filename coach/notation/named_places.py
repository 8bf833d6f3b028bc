"""Places that a pattern names and no count of stitches tells: `in the next trefoil`, `between 2 petals`, `in the middle
of the next 3 purl`. They are kept as written; what is worked there is counted, what it takes up is not."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Amount, Into

_NOUNS = frozenset(
    "trefoil trefoils petal petals scallop scallops leaf leaves point points picot star stars cross crosses braid cord "
    "bar bars branch branches arch arches ray rays wedge wedges spot spots tuft tufts lozenge lozenges border cluster "
    "clusters motif motifs figure figures medallion medallions shell group groups arm armhole "
    "layers layer thicknesses".split()
)
_SAID_WITH = frozenset(
    "the a an of each next first last other single same this that both two small large in on previous preceding row "
    "rnd around ring center middle and you skip at end top edge side work under over back neck added st ch".split()
)
LONGEST = 16  # tokens


def read_named(c: Cursor, preposition: str, start: int) -> tuple[Into, Amount | None, bool] | None:
    """(place, how many of it, whether each of them is meant) behind a preposition; None (and no move) where no such
    place is named. start: the token of the preposition."""
    at = c.at
    each, number, noun = False, None, False
    middle = c.peek(c.is_("the")).is_("middle", "center")
    for _ in range(LONGEST):
        token = c.peek()
        if noun and token.kind in ("number", "space", "stitch") and not c.tokens[c.at - 1].is_("of", "the", "next"):
            break
        if token.is_("each"):
            each = True
        elif token.kind == "number" and number is None and not noun:
            number = token.value
        elif token.value in _NOUNS and token.kind in ("word", "stitch"):
            noun = True
        elif token.is_("st", "ch") and c.tokens[c.at - 1].is_("other", "added") and not each:
            noun = True  # "on the other chain stitches", "on the 2nd added stitch"
        elif token.kind not in ("number", "ordinal", "stitch") and not (
            token.kind == "word" and token.value in _SAID_WITH
        ):
            break
        c.take()
    while c.at > at and c.tokens[c.at - 1].is_("and", "in", "on", "work", "the", "a", "of", "next"):
        c.at -= 1
    if not (noun or middle) or c.at == at:
        c.at = at
        return None
    words = c.written(start)
    words = words[:1].lower() + words[1:]
    many = number if each and not preposition == "between" else None
    return Into("named", words=f"one {words}" if many else words), many, each
