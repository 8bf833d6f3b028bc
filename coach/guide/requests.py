"""The requests that a maker can make: what value each takes and when it makes sense.

Wording is none of this room's business: the phrasebook says which words, typed words and keys mean which request.
"""

from __future__ import annotations

from dataclasses import dataclass

SITUATIONS = ("working", "paused", "asking", "speaking")  # what the coach is doing when it listens


@dataclass(frozen=True, slots=True)
class Asked:
    """A request of the table.

    takes: number or stitch (a catalogue id), or the words that are possible values; None for no value.
    when: situations in which it is listened for. moves: whether it can change the place (`undo` brings it back).
    """

    name: str
    takes: str | tuple[str, ...] | None = None
    when: tuple[str, ...] = ("working",)
    moves: bool = False


_TABLE = (
    Asked("next", moves=True),
    Asked("repeat", when=("working", "asking")),
    Asked("back", moves=True),
    Asked("count"),
    Asked("left"),
    Asked("where"),
    Asked("recap"),
    Asked("start_round", moves=True),
    Asked("go_round", takes="number", moves=True),
    Asked("by", takes=("stitch", "group", "round")),
    Asked("undo", moves=True),
    Asked("pause"),
    Asked("carry_on", when=("paused",)),
    Asked("slower"),
    Asked("faster"),
    Asked("louder"),
    Asked("quieter"),
    Asked("help"),
    Asked("what_is", takes="stitch"),
    Asked("finish"),
    Asked("stop", when=SITUATIONS),
    Asked("yes", when=("asking",)),
    Asked("no", when=("asking",)),
)

REQUESTS: dict[str, Asked] = {asked.name: asked for asked in _TABLE}

# What `help` offers, a handful at a time; asked again at once, it offers the next handful.
HELP = (
    ("next", "repeat", "back", "count", "pause"),
    ("left", "where", "recap", "go_round", "undo"),
    ("by", "slower", "louder", "what_is", "finish"),
)


def makes_sense(name: str, situation: str) -> bool:
    """Whether the request is listened for in this situation. Raises KeyError for a name that is none."""
    return situation in REQUESTS[name].when
