"""Every message that the coach can send to the phrasebook, and the values that come with it.

A sentence for each stands in the `[say]` table of every phrasebook. `trees` are worked steps, `nodes` steps as
written, `repeat` steps in brief, `duration` seconds, `shaping` an increase or decrease, `kind` is round or row, `own`
the maker's own words, `text` are the pattern's own words in its `terms` (US or UK); all other values are numbers, names
or ids.
"""

from __future__ import annotations

from coach.fabric.model import Worked
from coach.guide.model import Message

MESSAGES: dict[str, tuple[str, ...]] = {
    # starting and going on
    "title": ("title",),
    "notes_offered": (),  # the pattern says more than was read out
    "say_next": (),  # how to hear the first step
    "pattern_changed": (),  # the kept place was no longer there, the nearest one is taken
    # the file of the pattern has changed since
    "file_changed": (),
    "only_words": (),
    "part_gone": ("part",),
    "part_new": ("part",),
    "part_make": ("part", "make", "before"),  # so many pieces now
    "round_gone": ("kind", "number", "label"),
    "round_new": ("kind", "number", "label"),
    "round_changed": ("kind", "number", "label"),
    "round_makes": ("kind", "number", "label", "made", "before"),
    "round_makes_still": ("kind", "number", "label", "made"),
    "making_up_changed": (),
    "more_changed": ("n",),
    "place_safe": (),
    "new_or_old": (),
    "new_taken": (),
    "made_otherwise": ("kind", "number", "label"),  # from this round on
    "old_kept": (),
    "old_for_now": (),  # the question was left unanswered
    "old_again": (),
    "part": ("part",),
    "part_of": ("part", "piece", "make"),  # one of several
    # choosing a pattern
    "choose": ("patterns", "last"),  # patterns: numbered titles; last: the highest number
    "which_size": ("sizes",),  # numbered
    "size_taken": ("size",),
    "none_of_these": (),  # what was answered is none of those to choose from
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
    "stated": ("stated",),  # of a round that can't be counted
    # a piece ends
    "piece_done": ("part",),
    "piece_done_of": ("part", "piece", "make"),
    "then_piece": ("piece", "make"),
    "then_part": ("part",),
    "then_part_of": ("part", "piece", "make"),
    "then_assembly": (),
    "all_done": (),
    # where the work stands
    "count": ("done", "made"),
    "uncounted": (),  # not all of the round, or of what is below it, could be read
    "done": ("done", "made"),
    "done_steps": ("done", "steps"),  # for a round that makes no stitches
    "left": ("left",),
    "left_steps": ("left",),
    "repeats_left": ("left",),
    "rounds_left": ("left",),
    "rows_left": ("left",),
    "pieces_left": ("left",),
    "total": ("total",),
    "assembly_at": ("done", "steps"),
    # the recap
    "repeats": ("repeat", "times"),
    "recap_repeats": ("done", "made", "repeats"),
    "recap_done": ("done", "made"),
    "last_done": ("repeat",),
    "last_round": ("kind", "number", "label", "made"),
    "last_round_uncounted": ("kind", "number", "label"),
    "do_next": ("trees",),
    "do_next_time": ("trees", "time", "times"),
    "do_next_again": ("repeat", "time", "times"),  # not for the first time in this round
    "part_rounds": ("done", "rounds"),
    "grown": ("first", "last"),  # stitches of the first and the last finished round
    "worked": ("duration",),  # seconds
    "part_worked": ("part", "duration"),
    # notes, markers, parts
    "own_note": ("own",),
    "own_note_at": ("part", "kind", "number", "label", "own"),
    "noted": ("own",),
    "what_note": (),
    "note_forgotten": ("own",),
    "no_notes": (),
    "marked": (),
    "marker_at": ("kind", "number", "label", "nth"),
    "no_marker": (),
    "which_one": ("highest",),
    "no_such_stitch": ("highest",),
    "no_such_part": (),
    "no_other_part": (),
    "pieces_done": ("done", "pieces"),
    "under_way": (
        "kind",
        "number",
        "label",
    ),
    "and_more": ("more",),
    # "I have seventeen": the place
    "how_many": (),
    "is_it_finished": (
        "kind",
        "number",
        "label",
    ),
    "is_it_before": ("kind", "number", "label", "made"),
    "inside": ("count", "before", "after", "shaping"),
    "several_fit": ("places",),
    "at_the_beginning": (),
    "after_nth": ("nth", "shaping"),
    "after_stitch": ("nth",),
    # the count of a finished round, and what may have gone wrong
    "right": ("count",),
    "as_stated": ("count", "made"),  # the pattern says so, its steps make another number
    "short": ("short", "made"),
    "over": ("over", "made"),
    "too_many": ("kind", "number", "label", "over", "made"),
    "unexplained": (),
    "two_slips": (),
    "slip_twice": (),
    "slip_missed": ("shaping",),
    "slip_apart": ("shaping",),
    "slip_few": (),
    "slip_many": (),
    "slip_fewer": (),
    "slip_more": (),
    "slip_join": (),
    "slip_turning": (),
    "slip_first": (),
    "slip_last": (),
    "slip_skipped": (),
    "slip_skipped_of": ("shaping",),
    "slip_extra": (),
    "slip_together": (),
    "see_missed": ("run",),  # so many stitches in a row with no increase
    "see_missed_alone": (),
    "see_apart": ("run",),
    "see_apart_alone": (),
    "see_few": ("left",),  # stitches of the round below that are left
    "see_repeats": ("times",),
    "see_ring": (),
    "see_join": (),
    "see_turning": (),
    "see_first": (),
    "see_last": (),
    "see_skipped": (),
    "see_extra": (),
    "see_together": (),
    "undo_to": (),
    "undo_n": ("n",),
    "undo_each": ("last", "each"),  # in the last repeat, and for each repeat before it
    "work_once_more": ("makes",),
    "work_one_more": (),
    "work_first": (),
    "work_last": (),
    "fix_or_else": (),
    "or_fix": (),
    "nothing_counted": (),
    "nothing_else": (),
    "repair_more": ("n",),
    "repair_apart": ("takes",),
    "repair_single": (),
    "repair_together": ("n",),
    "no_round_after": (),
    "then_next": (),  # a round that was repaired is finished by that
    "then_count": (),
    "shapings_off": ("off",),
    "plain_after": (),
    # ripping back
    "how_many_ripped": (),
    "which_ripped": (),
    "how_many_left": (),  # the coach can't know how many were worked
    "only_so_many": ("made",),  # stitches that could be taken out
    "inside_start": ("shaping",),
    "is_it_whole": (
        "kind",
        "number",
        "label",
    ),
    # looking at the work
    "nothing_done": (),
    "last_was": ("trees",),
    "stitch_number": ("nth",),
    "yes_the_last": (),
    "no_the_last": ("trees",),
    "last_increase": ("since",),
    "last_decrease": ("since",),
    "by_the_count": ("shaping", "counted", "without"),
    "nothing_under": (),
    "under_ring": (),
    "under_chain": ("nth",),
    "under_join": (),
    "under_row_end": ("nth",),
    "under_last_row": ("nth",),
    "under": ("nth", "stitch_name", "kind", "number", "label"),
    "under_space": ("nth", "chains", "kind", "number", "label"),
    "of_an_increase": ("nth", "shaping"),
    "a_decrease": ("shaping",),
    # counting along
    "call": ("nth",),
    "call_after": ("nth",),
    "nothing_to_count": (),
    "pace_is": ("seconds",),
    "pace_end": (),
    "which_pace": (),
    # lessons
    "lesson": ("stitch", "steps"),
    "own_lesson": ("own", "steps"),
    "lesson_step": ("lesson", "at"),  # step `at` of a catalogue entry, from 0
    "own_step": ("text", "terms"),
    "on_the_hook": ("loops",),
    "lesson_how": (),
    "lesson_place": ("into",),  # where the hook goes here, which is no V
    "pattern_notes": (),  # the pattern's own notes begin
    "no_pattern_notes": (),
    "lesson_first": (),
    "lesson_over": (),
    "which_lesson": (),
    # US and UK, left and right
    "terms_are": ("terms", "written"),
    "terms_as_written": ("terms",),
    "renamed": ("renamed", "written"),  # a stitch that is called otherwise in the pattern's terms
    "which_terms": (),
    "hand_left": (),
    "hand_right": (),
    "hand_words": (),
    "which_hand": (),
    # planning; width and height in centimetres
    "size": ("size", "sizes"),
    "size_round": ("width", "height"),
    "size_disc": ("width",),
    "size_flat": ("width", "height"),
    "size_square": ("width",),
    "size_edging": ("width", "height"),
    "ruffles": ("kind", "number", "label"),
    "reckoned_without": ("runs", "n"),
    "reckoned_as_written": ("runs", "n"),
    "reckoned_as_worked": ("runs", "n"),
    "no_size": (),
    "no_gauge": (),
    "yarn": ("low", "high"),
    "grams": ("low", "high"),
    "yarn_colour": ("colour", "low", "high"),
    "yarn_rest": ("low", "high"),
    "yarn_here": ("low", "high"),
    "filling": ("low", "high"),
    "by_the_gauge": (),
    "by_usual_gauge": (),
    "by_own_gauge": (),
    "by_yarn": ("yarn",),  # another yarn than the pattern's
    "by_hook": (),
    "by_swatch": (),
    "kept_that": (),
    "which_swatch": (),
    "which_gauge": (),
    "minutes_left": ("low", "high"),
    "hours_left": ("low", "high"),
    "by_own_pace": (),
    "by_usual_pace": (),
    "without_making_up": (),
    "stitches_all_made": (),
    # cautions, and the hands
    "caution_eyes": ("years",),
    "caution_cord": ("longest", "around"),
    "caution_filling": (),
    "caution_needle": (),
    "break_offer": (),
    "breaks_on": (),
    "breaks_off": (),
    "which_breaks": (),
    # answers to the other requests
    "undone": (),
    "nothing_to_undo": (),
    "at_the_start": (),
    "no_such_round": ("lowest", "highest"),
    "size_lacks": ("kind", "number", "label"),  # a round that other sizes have
    "which_round": (),
    "no_rounds_here": (),
    "by_stitch": (),
    "by_group": (),
    "by_round": (),
    "by_row": (),
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
    "place_kept": (),  # on disk
    "keys": (),  # which keys there are
    "lines": (),  # how to type
    "which_number": ("first", "second"),  # was heard? Numbers in words
    "cant_hear": ("words",),  # that the recogniser has no sound for
    "listening_attention": ("letters",),  # of the coach's name: it never says the name itself
    "listening_open": (),
    "listening_key": (),
    "learn_what": (),  # a word of the maker's own is to be learned: what shall it mean?
    "learn_word": ("own",),  # a phrase: the word for it, now
    "learn_again": (),
    "learn_last": (),
    "learned": ("own",),
    "learn_nothing": (),
    "learn_typed": (),  # how to type a word
    "learn_unknown": ("own",),
    "learn_unsayable": ("own",),
    "learn_taken": ("own",),  # it means something else already
    "forgotten": ("own",),
    "nothing_learned": (),
    "tones_on": (),
    "tones_off": (),
    "tones_are": (),  # the four tones follow in this order: heard, unsure, ears closed, microphone lost
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


def named(worked: Worked) -> dict[str, object]:
    """The values by which a message calls a round."""
    return {"kind": worked.source.kind, "number": worked.source.number, "label": worked.source.label}
