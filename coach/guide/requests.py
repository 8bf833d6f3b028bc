"""The requests that a maker can make: what value each takes and when it makes sense.

Wording is none of this room's business: the phrasebook says which words, typed words and keys mean which request.
"""

from __future__ import annotations

from dataclasses import dataclass

SITUATIONS = ("working", "paused", "asking", "speaking")  # what the coach is doing when it listens


@dataclass(frozen=True, slots=True)
class Asked:
    """A request of the table.

    takes: number (of a round), count (of stitches), stitch (a catalogue id, or a name that the pattern defines), part
    (a name), words (the maker's own), or the words that are possible values; None for no value.
    when: situations in which it is listened for. moves: whether it can change the place (`undo` brings it back).
    """

    name: str
    takes: str | tuple[str, ...] | None = None
    when: tuple[str, ...] = ("working",)
    moves: bool = False


_ANY = ("working", "asking")  # a question may be left unanswered

_TABLE = (
    Asked("next", when=_ANY, moves=True),
    Asked("repeat", when=_ANY),
    Asked("back", when=_ANY, moves=True),
    # how far it is
    Asked("count", when=_ANY),
    Asked("left", when=_ANY),
    Asked("rounds_left", when=_ANY),
    Asked("where", when=_ANY),
    Asked("recap", when=_ANY),
    Asked("recap_part", when=_ANY),
    Asked("read_round", when=_ANY),
    Asked("parts", when=_ANY),
    # going to places
    Asked("start_round", when=_ANY, moves=True),
    Asked("go_round", takes="number", when=_ANY, moves=True),
    Asked("go_stitch", takes="count", when=_ANY, moves=True),
    Asked("go_part", takes="part", when=_ANY, moves=True),
    Asked("next_part", when=_ANY, moves=True),
    Asked("mark", when=_ANY),
    Asked("go_marker", when=_ANY, moves=True),
    Asked("note", takes="words", when=_ANY),
    Asked("my_notes", when=_ANY),
    Asked("forget_note", when=_ANY),
    Asked("undo", when=_ANY, moves=True),
    # counting and repairing
    Asked("have", takes="count", when=_ANY, moves=True),
    Asked("what_else", when=_ANY),
    Asked("fix", when=_ANY),
    Asked("did", takes=("increase", "decrease"), when=_ANY),
    Asked("last", when=_ANY),
    Asked("under", when=_ANY),
    Asked("ripped", takes="count", when=_ANY, moves=True),
    Asked("ripped_round", takes="number", when=_ANY, moves=True),
    Asked("count_me", when=_ANY, moves=True),
    Asked("tap", when=_ANY, moves=True),
    Asked("pace", takes=("quick", "steady", "slow", "faster", "slower"), when=_ANY),
    # learning and planning
    Asked("teach", takes="stitch", when=_ANY),
    Asked("to_work", when=_ANY),
    Asked("read_notes", when=_ANY),
    Asked("how_big", takes=("part", "whole"), when=_ANY),
    Asked("yarn", when=_ANY),
    Asked("how_long", when=_ANY),
    Asked("how_long_worked", when=_ANY),
    Asked("swatch", takes="words", when=_ANY),
    Asked("gauge", takes="words", when=_ANY),
    # how the coach talks
    Asked("by", takes=("stitch", "group", "round"), when=_ANY),
    Asked("pause", when=_ANY),
    Asked("carry_on", when=("paused",)),
    Asked("slower", when=_ANY),
    Asked("faster", when=_ANY),
    Asked("louder", when=_ANY),
    Asked("quieter", when=_ANY),
    Asked("terms", takes=("US", "UK"), when=_ANY),
    Asked("hand", takes=("left", "right"), when=_ANY),
    Asked("breaks", takes=("on", "off"), when=_ANY),
    # how the coach listens: the conversation's own matter
    Asked("listen", takes=("attention", "open", "key", "now"), when=_ANY),
    Asked("tones", takes=("on", "off", "which"), when=_ANY),
    Asked("learn", takes="words", when=_ANY),
    Asked("forget", takes="words", when=_ANY),
    Asked("help", when=_ANY),
    Asked("what_is", takes="stitch", when=_ANY),
    Asked("finish", when=_ANY),
    Asked("stop", when=SITUATIONS),
    Asked("yes", when=("asking",)),
    Asked("no", when=("asking",)),
)

REQUESTS: dict[str, Asked] = {asked.name: asked for asked in _TABLE}

# What `help` offers, a handful at a time; asked again at once, it offers the next handful.
HELP = (
    ("next", "repeat", "back", "count", "pause"),
    ("recap", "left", "read_round", "go_round", "undo"),
    ("have", "did", "under", "ripped", "count_me"),
    ("mark", "note", "parts", "next_part", "recap_part"),
    ("by", "slower", "louder", "what_is", "finish"),
    ("listen", "tones", "learn", "forget", "faster"),
    ("rounds_left", "teach", "how_big", "yarn", "how_long"),
    ("terms", "hand", "swatch", "breaks", "read_notes"),
)


def makes_sense(name: str, situation: str) -> bool:
    """Whether the request is listened for in this situation. Raises KeyError for a name that is none."""
    return situation in REQUESTS[name].when
