"""Which colour is worked where, and so how much yarn of each.

Colours are named as the pattern names them ("a", "white"): at a round, at a change inside a round, or in a note ("Begin
with A", "Change to red"). A round's colour goes on until another is named. Nothing walks a round stitch by stitch.
"""

from __future__ import annotations

import re

from coach.fabric.gauge import Gauge
from coach.fabric.model import WorkedPart
from coach.fabric.needs import PartNeeds, Range
from coach.fabric.reckoned import stitches
from coach.fabric.shape import row_height
from coach.fabric.tree import Leaf, Loop, Tree
from coach.notation.colour_names import is_colour
from coach.notation.model import Action, Note, Round

UNNAMED = ""
_WITH = r"(?:colou?r |the |yarn )?(?!(?:an? )?[\d.]+ ?mm|an? [\w.]+ hook)(?P<colour>[\w-]+)"
_NOTED = re.compile(
    r"(?:\b(?:change|switch|back)(?: colou?r)? to |\b(?:begin|start|go on|work) with |^with |\b(?P<manner>work in ))"
    rf"{_WITH}",
    re.IGNORECASE,
)
_NO_COLOUR = frozenset(
    "row round rnd a-loop slip smaller larger size rs ws hook next last first back front both chain ch a-hook "
    "same right wrong rows rounds magic one two three double single stitch sc dc hdc tr it them this each".split()
)
_CHANGE = re.compile(
    r"^(?:with|using|in|(?:chang|switch)(?:e|ing)?(?: colou?r)?(?: to)?|pick(?:ing)? up|join|(?=(?:mc|cc|ca|cb)\b))"
    r"(?: colou?r\b| yarn\b)?\s*",
    re.IGNORECASE,
)
_PLACE = re.compile(r"\s+(?:yarn|(?:in|at) (?:the |any )?(?:last|next|first|same|any|end)\b.*|for .*)$|\s*:$")


def stitches_by_colour(tree: Tree, colour: str) -> tuple[dict[str, int], str]:
    """Stitches of a worked round in each colour, begun in `colour`; and the colour at its end."""
    if isinstance(tree, Leaf):
        if isinstance(tree.node, Action) and tree.node.kind == "colour":
            return {}, named(tree.node) or colour
        return ({colour: tree.makes} if tree.makes else {}), colour
    if isinstance(tree, Loop):
        if not tree.times:
            return {}, colour
        first, after = stitches_by_colour(tree.child, colour)
        again, end = (
            (first, after) if after == colour else stitches_by_colour(tree.child, after)
        )  # begun in the last colour
        return _sum(first, {c: n * (tree.times - 1) for c, n in again.items()}), end if tree.times > 1 else after
    found: dict[str, int] = {}
    for child in tree.children:
        more, colour = stitches_by_colour(child, colour)
        found = _sum(found, more)
    return found, colour


def shares(part: WorkedPart, gauge: Gauge) -> dict[str, float]:
    """What part of the fabric is worked in each colour; the sum is 1. One share, unnamed, where no colour is named."""
    areas: dict[str, float] = {}
    for worked in part.rounds:
        height = row_height(worked, gauge)
        counted = stitches_by_colour(worked.tree, worked.yarn.first)[0]
        for name, n in (counted if worked.counted else {worked.yarn.first: stitches(worked)}).items():
            areas[name] = areas.get(name, 0.0) + n * height
    whole = sum(areas.values())
    return {name: area / whole for name, area in areas.items()} if whole else {UNNAMED: 1.0}


def yarn_by_colour(parts: tuple[WorkedPart, ...], found: tuple[PartNeeds, ...], gauge: Gauge) -> dict[str, Range]:
    """Metres of yarn in each colour for all parts, as ranges; one unnamed colour where the pattern names none."""
    waiting = list(found)  # in the order of the parts, without those that have no stitches
    metres: dict[str, Range] = {}
    for part in parts:
        if not waiting or waiting[0].name != part.name:
            continue
        need = waiting.pop(0)
        for colour, share in shares(part, gauge).items():
            metres[colour] = metres.get(colour, Range(0, 0)).plus(need.yarn.times(share))
    return metres


def colour_named(source: Round, colour: str) -> str:
    """The colour that a round names before its first stitch, in its label or with its chain; `colour` where it names
    none."""
    if source.colour:
        colour = plain(source.colour)
    for node in source.foundation:
        if isinstance(node, Action) and node.kind == "colour":
            colour = named(node) or colour
    return colour


def noted(notes: tuple[Note, ...], colour: str) -> str:
    """The last colour that notes say to work in; `colour` where they say nothing of it."""
    for note in notes:
        for m in _NOTED.finditer(note.text):
            found = plain(m["colour"])
            if found not in _NO_COLOUR and (not m["manner"] or is_colour(found)):  # "work in pattern"
                colour = found
    return colour


def named(change: Action) -> str:
    """The colour that a change leads to; "" where it names none ("drop B")."""
    text, changes = _CHANGE.subn("", change.text)
    return plain(text) if changes else UNNAMED


def as_written(colour: str) -> str:
    """A colour's plain name as patterns write it: yarns are called A, B, C, or MC and CC."""
    return colour.upper() if re.fullmatch(r"[a-z]|[mc]c\d?|c[ab]", colour) else colour


def plain(colour: str) -> str:
    """A colour's bare name, in small letters."""
    return re.sub(r"^(?:colou?r|yarn|the)\s+", "", _PLACE.sub("", colour.lower().strip(" .,;:")))


def _sum(one: dict[str, int], other: dict[str, int]) -> dict[str, int]:
    both = {name: one.get(name, 0) + other.get(name, 0) for name in (*one, *(n for n in other if n not in one))}
    return {name: n for name, n in both.items() if n}
