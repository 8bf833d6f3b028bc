"""Lessons: how a stitch or a technique is worked, one step at a time, on top of the place of the work.

The rules in prose
------------------
- "How do I do that" teaches what is announced, and asked again after a lesson what is announced next to it; "teach me
  the magic ring" teaches anything that the catalogue or the pattern knows.
- In a lesson `next`, `back` and `repeat` go through its steps. After the last one the work goes on by itself where it
  was; `back` from there returns into the lesson.
- Whatever moves the work ends the lesson, and so does "back to work"; questions are answered and leave it as it is.
- The pattern's own notes ("read the notes") are heard in the same way, a portion for each step.
- The place never changes by a lesson. `undo` in it takes the lesson back; once it is over, there is nothing of it to
  undo.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from coach.fabric.changing import is_change
from coach.fabric.model import Fabric
from coach.fabric.sizes import in_size
from coach.guide import announce
from coach.guide.explain import explained
from coach.guide.messages import say
from coach.guide.model import Lesson, State
from coach.guide.moves import Answer, Messages, changed, standing
from coach.guide.places import own_steps, readings, readings_after, worked_at
from coach.notation.model import Chain, Into, Note, Pattern
from coach.stitches.catalogue import catalogue, stitch

BREATH = 12  # words of a definition's step
NOTES = "notes"  # what a lesson is of that reads the pattern's notes
LEARNT_ALWAYS = ("start", "technique")  # kinds of entries that can be asked for by voice in any work
_DECIDED_BY_THE_PATTERN = ("group", "decoration")  # kinds whose making patterns define in their own way
_ELSEWHERE = ("ring", "space", "hook", "chain", "tch", "between", "named")  # places that are no V
_MOVES = re.compile(r"\b(?:yo|yarn over|insert|pull|draw|\d+ ?\w+|ch)\b", re.IGNORECASE)
_TIMES = re.compile(r"(?<!\w)[\[(](?P<body>[^\[\]()]+)[\])]\s*(?:x\s*(?P<x>\d+)\b|(?P<n>\d+)\s*(?:times|x)\b)")
_TELLS_LOOPS = re.compile(r": \w+ loops|: \w+ are left")
_OF_A_NOTE = {
    "stuff": "stuff",
    "eyes": "safetyeye",
    "sew": "sew",
    "embroider": "embroider",
    "fasten_off": "fastenoff",
    "colour": "colour",
}
_IN_A_NOTE = (
    ("nose", r"embroider\w*\b[^.;]*\bnose\b"),
    ("embroider", r"embroider\w*(?![^.;]*\bnose\b)"),
    ("weave", r"\bweave\b"),
    ("close", r"\bhole\b"),
    ("fastenoff", r"\bfasten\w* off\b"),
    ("marker", r"\bmarker\b|\bmark the first\b"),
    ("safetyeye", r"\bsafety eye"),
    ("stuff", r"(?<!not )(?<!without )\bstuff"),
    ("sew", r"\bsew\b"),
)


# ---- what can be learnt


def own_stitches(pattern: Pattern) -> dict[str, str]:
    """The stitches that the pattern defines itself: name as written, and how it is worked."""
    words = catalogue().words(pattern.terms)
    found = {}
    for name, meaning in pattern.abbreviations:
        entry = catalogue().get(words.get(name.lower(), ""))
        own = entry is None or entry.kind in _DECIDED_BY_THE_PATTERN
        if own and len(meaning.split()) >= 4 and _MOVES.search(meaning) and meaning.lower() not in words:
            found.setdefault(name, meaning)
    return found


def always() -> tuple[str, ...]:
    """The ids of what can be learnt in any work, also where its pattern doesn't name it."""
    return tuple(entry.id for entry in catalogue().stitch if entry.kind in LEARNT_ALWAYS)


def clauses(meaning: str) -> tuple[str, ...]:
    """A definition in steps of about a breath, never parted inside brackets."""
    found: list[str] = []
    start = depth = 0
    for at, sign in enumerate(meaning):
        depth += (sign in "([") - (sign in ")]")
        ends = sign in ".;" and meaning[at + 1 : at + 2] in ("", " ")
        long = sign == "," and len(meaning[start:at].split()) >= BREATH / 2 and len(meaning[at:].split()) > 3
        if depth <= 0 and (ends or long):
            found.append(meaning[start:at].strip(" ,;"))
            start = at + 1
    found.append(meaning[start:].strip(" ,;."))
    return tuple(_TIMES.sub(_often_first, clause) for clause in found if clause)


def _often_first(repeat: re.Match[str]) -> str:
    """How often, then what: as instructions are spoken."""
    return f"{repeat['x'] or repeat['n']} times: {repeat['body']}"


def _before_work(fabric: Fabric) -> tuple[Messages, ...]:
    """What is needed, with what the names of colours stand for, and the notes, in the portions in which they are read.
    No caution comes with what is needed: that has its moment in the work."""
    pattern, size = fabric.pattern, fabric.size
    needed = readings(in_size((Note(entry.rstrip(".")) for entry in pattern.materials), pattern.sizes, size))
    return (
        *(tuple(say("own_step", text=n.text, terms=pattern.terms) for n in some) for some in needed),
        *(
            tuple(announce.note(fabric, n) for n in some)
            for some in readings(in_size(pattern.notes, pattern.sizes, size))
        ),
    )


def steps_of(fabric: Fabric, lesson: Lesson) -> int:
    """How many steps a lesson has; 0 for one that this pattern no longer has."""
    if lesson.of == NOTES:
        return len(_before_work(fabric))
    if lesson.own:
        return len(clauses(own_stitches(fabric.pattern).get(lesson.of, "")))
    entry = stitch(lesson.of)
    return len(entry.how) if entry else 0


def is_on(fabric: Fabric, state: State) -> bool:
    """Whether a lesson is going on (and not over)."""
    return state.lesson is not None and state.lesson.step < steps_of(fabric, state.lesson)


# ---- beginning


def how(fabric: Fabric, state: State, value: object) -> Answer:
    """Begin a lesson: about `value` (a catalogue id, or a name that the pattern defines), else about what is
    announced."""
    here = {} if isinstance(value, str) else announced_here(fabric, state)
    of = value if isinstance(value, str) else _taught(fabric, state, tuple(here))
    if of is None and is_on(fabric, state):
        return state, _step(fabric, state.lesson)
    own = {name.lower(): name for name in own_stitches(fabric.pattern)}.get((of or "").lower())
    lesson = Lesson(own, own=True) if own else Lesson(of or "")
    steps = steps_of(fabric, lesson)
    if not steps:
        return state, (say("which_lesson"),)
    after = changed(state, lesson=lesson, guess=state.guess)
    name = say("own_lesson", own=own, steps=steps) if own else say("lesson", stitch=lesson.of, steps=steps)
    into = here.get(of)
    place = (say("lesson_place", into=into),) if into is not None and into.kind in _ELSEWHERE and not own else ()
    return after, (name, *place, *_step(fabric, lesson), say("lesson_how"))


def _taught(fabric: Fabric, state: State, here: tuple[str, ...]) -> str | None:
    """Which of what is announced is taught: the first, in its lesson the same again, and after it the next."""
    if not here:
        return None
    of = state.lesson.of if state.lesson is not None else None
    after = here.index(of) + (not is_on(fabric, state)) if of in here else 0
    return here[after % len(here)]


def read_notes(fabric: Fabric, state: State, _: object) -> Answer:
    """What the pattern says before its first round: what is needed, remarks, notes, safety."""
    lesson = Lesson(NOTES)
    if not steps_of(fabric, lesson):
        return state, (say("no_pattern_notes"),)
    after = changed(state, lesson=lesson, guess=state.guess)
    return after, (say("pattern_notes"), *_step(fabric, lesson), say("lesson_how"))


def announced_here(fabric: Fabric, state: State) -> dict[str, Into | None]:
    """What "that" may be, and where the hook goes: a ring or chain that begins the round, the stitches announced, or
    what a note is about."""
    place = state.place
    worked = worked_at(fabric, place)
    if worked is None:
        note = (
            fabric.assembly[place.steps]
            if place.part >= len(fabric.parts) and place.steps < len(fabric.assembly)
            else None
        )
        return _named(_of_note(note) if note else ())
    if place.steps >= own_steps(worked):
        return _named(id for note in readings_after(worked)[place.steps - own_steps(worked)] for id in _of_note(note))
    if state.announced <= place.steps:
        return {}
    head = announce.round_head(fabric, place, again=True) if place.steps == 0 else ()
    begun = next((m.values["nodes"] for m in head if m.key == "foundation"), ())
    found = _named(("ch" if isinstance(node, Chain) else "ring" if node.kind == "ring" else None) for node in begun)
    trees = announce.announced_trees(fabric, state)
    if any(map(is_change, trees)):
        found.setdefault("colour", None)
    for id, node in explained(trees):
        found.setdefault(id, getattr(node, "into", None))
    return found


def _named(ids: Iterable[str | None]) -> dict[str, Into | None]:
    return dict.fromkeys(filter(None, ids))


def _of_note(note: Note) -> tuple[str, ...]:
    """What a note asks for, in its order."""
    found = ((at.start(), of) for of, words in _IN_A_NOTE if (at := re.search(words, note.text, re.IGNORECASE)))
    return tuple(of for _, of in sorted(found)) or tuple(filter(None, (_OF_A_NOTE.get(note.kind),)))


# ---- going along


def onward(fabric: Fabric, state: State) -> Answer:
    """The next step of the lesson; after the last one back to the work."""
    lesson = replace(state.lesson, step=state.lesson.step + 1)
    if lesson.step < steps_of(fabric, lesson):
        return state.having(lesson=lesson), _step(fabric, lesson)
    after = _left(state).having(lesson=lesson)
    return after, (say("lesson_over"), *standing(fabric, after))


def back(fabric: Fabric, state: State) -> Answer:
    """The step before; from the work into the lesson that was just over."""
    lesson = state.lesson
    if lesson.step == 0:
        return state, (say("lesson_first"), *_step(fabric, lesson))
    lesson = replace(lesson, step=lesson.step - 1)
    return state.having(lesson=lesson), _step(fabric, lesson)


def to_work(fabric: Fabric, state: State, _: object) -> Answer:
    """Leave the lesson, and say again what is to be done."""
    after = _left(state) if is_on(fabric, state) else state
    return after.having(lesson=None), standing(fabric, after)


def _left(state: State) -> State:
    """The state without the change that the lesson was, where nothing else was changed in it."""
    before = state.before
    if before is None or before.lesson == state.lesson or before.lesson is not None:
        return state
    kept = (
        state.place,
        state.announced,
        state.settings,
        state.terms,
        state.notes,
        state.markers,
        state.gauge,
        state.swatch,
    )
    same = kept == (
        before.place,
        before.announced,
        before.settings,
        before.terms,
        before.notes,
        before.markers,
        before.gauge,
        before.swatch,
    )
    return state.having(before=before.before) if same else state


def current(fabric: Fabric, state: State) -> Messages:
    """The step of the lesson that is going on; nothing where none is."""
    return _step(fabric, state.lesson) if is_on(fabric, state) else ()


def _step(fabric: Fabric, lesson: Lesson) -> Messages:
    if lesson.of == NOTES:
        return _before_work(fabric)[lesson.step]
    if lesson.own:
        text = clauses(own_stitches(fabric.pattern)[lesson.of])[lesson.step]
        return (say("own_step", text=text, terms=fabric.pattern.terms),)
    entry = stitch(lesson.of)
    told = say("lesson_step", lesson=lesson.of, at=lesson.step)
    on_hook = entry.loops_after(lesson.step)
    following = entry.how[lesson.step + 1] if lesson.step + 1 < len(entry.how) else ""
    if on_hook is None or _TELLS_LOOPS.search(entry.how[lesson.step]) or "loop is left" in following:
        return (told,)
    return (told, say("on_the_hook", loops=on_hook))
