"""Every message that the coach can send to the phrasebook, and the values that come with it.

A sentence for each stands in the `[say]` table of every phrasebook. `trees` are worked steps, `nodes` steps as
written, `kind` is round or row, `text` are the pattern's own words in its `terms` (US or UK); all other values are
numbers, names or ids.
"""

from __future__ import annotations

from coach.guide.model import Message

MESSAGES: dict[str, tuple[str, ...]] = {
    # starting and going on
    "title": ("title",),
    "say_next": (),  # how to hear the first step
    "pattern_changed": (),  # the kept place was no longer there, the nearest one is taken
    "part": ("part",),
    "part_of": ("part", "piece", "make"),  # one of several
    # choosing a pattern
    "choose": ("patterns", "last"),  # patterns: numbered titles; last: the highest number
    # a round begins
    "round": ("kind", "number", "label"),
    "round_same": ("kind", "number", "label"),
    "right_side": (),
    "wrong_side": (),
    "colour": ("colour",),
    "off": ("text", "terms"),  # the pattern's arithmetic is wrong in this round
    "reading": ("text", "terms"),  # which of two readings was chosen
    "foundation": ("nodes",),
    # what to do
    "steps": ("trees",),
    "steps_time": ("trees", "time", "times"),
    "as_written": ("text", "terms"),
    "note": ("text", "terms"),
    "makes": ("made",),
    "makes_but": ("made", "stated"),
    # a piece ends
    "piece_done": ("part",),
    "piece_done_of": ("part", "piece", "make"),
    "then_piece": ("piece", "make"),
    "then_part": ("part",),
    "then_assembly": (),
    "all_done": (),
    # where the work stands
    "count": ("done", "made"),
    "done": ("done", "made"),
    "done_steps": ("done", "steps"),  # for a round that makes no stitches
    "left": ("left",),
    "left_steps": ("left",),
    "repeats_left": ("left",),
    "total": ("total",),
    "assembly_at": ("done", "steps"),
    # answers to the other requests
    "undone": (),
    "nothing_to_undo": (),
    "at_the_start": (),
    "no_such_round": ("lowest", "highest"),
    "which_round": (),
    "no_rounds_here": (),
    "by_stitch": (),
    "by_group": (),
    "by_round": (),
    "by_what": (),
    "paused": (),
    "still_paused": (),
    "slower": (),
    "faster": (),
    "louder": (),
    "quieter": (),
    "slowest": (),
    "fastest": (),
    "loudest": (),
    "quietest": (),
    "help": ("requests", "page"),
    "what_is": ("stitch",),
    "which_stitch": (),
    "finished": (),
    "nothing_asked": (),
    "not_understood": (),
    # the coach itself
    "keys": (),  # which keys there are
    "lines": (),  # how to type
    "microphone_lost": (),
    "microphone_back": (),
    "loudspeaker_lost": (),
    "loudspeaker_back": (),
}


def say(key: str, **values: object) -> Message:
    """A message of the table. Raises ValueError when key and values don't belong together."""
    if MESSAGES.get(key) != tuple(values):
        raise ValueError(f"message {key!r} with {tuple(values)}")
    return Message(key, values)
