"""`coach work PATTERN`: a work is begun or taken up again, and a conversation about it is held."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path, PurePath

from coach import notation
from coach.commands.called import command
from coach.commands.check import size_index
from coach.commands.files import ENDINGS, STANDARD_INPUT, Unreadable, find, text_of, typed
from coach.commands.pace import earlier_pace
from coach.commands.stage import phrasebook_for, stage_for
from coach.commands.versions import AS_IT_WAS, taken_up, versions_of
from coach.events import Save
from coach.fabric.model import Fabric
from coach.guide import wording
from coach.guide.messages import say
from coach.guide.model import State
from coach.guide.places import stop_after
from coach.language.phrasebook import Phrasebook
from coach.language.speak import sentence
from coach.live import Ended, Keep, Stage
from coach.memory.journal import Journal
from coach.memory.model import Work
from coach.notation.model import Pattern
from coach.topics import Choosing, Working

NOT_SAVED = "Your place is not saved."


def run(args) -> int:
    phrasebook = phrasebook_for(args.language)
    with Journal.open() as journal:
        found, notices = take_up(journal, args)
        stage = stage_for(args, phrasebook)
        try:
            return hold(args, stage, phrasebook, journal, found, notices)
        finally:
            stage.close()


@dataclass(frozen=True, slots=True)
class Draft:
    """A work that is not begun yet."""

    title: str
    text: str
    file: str
    pattern: Pattern


def take_up(journal: Journal, args) -> tuple[Work | Draft, list[str]]:
    """The work in progress for `args.pattern`, or a new one; and notices. Raises Unreadable."""
    if args.pattern == STANDARD_INPUT and args.typed:
        raise Unreadable("Standard input can't be the pattern and the requests.", "Save the pattern in a file.")
    in_progress = [] if args.fresh else [w for w in journal.works() if not w.finished and args.size in (None, w.size)]
    try:
        path = STANDARD_INPUT if args.pattern == STANDARD_INPUT else find(args.pattern)
        text = text_of(path)
    except Unreadable as fault:
        work = next((w for w in in_progress if _is_called(w, args.pattern)), None)
        if work is None:
            raise
        return work, [f"{fault.message} {AS_IT_WAS}"]
    file = path if path == STANDARD_INPUT else str(Path(path).resolve())
    pattern = notation.read(text)
    title = pattern.title or Path(args.pattern).stem
    for work in in_progress:
        if work.text == text if file == STANDARD_INPUT else work.file == file or _is_from_elsewhere(work, file, title):
            return work, []
    size_index(pattern, args.size)
    if not any(part.rounds for part in pattern.parts):
        raise Unreadable(f"{args.pattern} has no round that I can read.", f"See: {command()} check {args.pattern}")
    return Draft(title, text, file, pattern), []


def hold(
    args,
    stage: Stage,
    phrasebook: Phrasebook,
    journal: Journal,
    found: Work | Draft,
    notices: list[str],
    told: tuple[str, ...] = (),
) -> int:
    """Hold the conversation about a work; where a new one has several sizes, the maker is asked for one first."""
    if isinstance(found, Work):
        return coach(args, stage, phrasebook, journal, found, notices, told)
    size, sizes = args.size, found.pattern.sizes
    if size is None and len(sizes) > 1:
        asked = Choosing(sizes, phrasebook, "size")
        stage.hold(asked, notices=notices)
        if asked.chosen is None:
            stage.note(f"Nothing was begun. Start again with: {command()} work {typed(found.file)}")
            return 0
        size, notices, told = sizes[asked.chosen], [], (*told, "size")
    work = journal.begin(found.title, found.text, found.file, size, args.terms or found.pattern.terms)
    return coach(args, stage, phrasebook, journal, work, notices, told)


def _is_called(work: Work, name: str) -> bool:
    """Whether a name means a work whose pattern file is no longer there."""
    stem = Path(name).stem if Path(name).suffix.lower() in ENDINGS else Path(name).name
    return (
        work.file == str(Path(name).resolve())
        or name.casefold() == work.title.casefold()
        or stem == Path(work.file).stem
    )


def _is_from_elsewhere(work: Work, file: str, title: str) -> bool:
    """Whether a work was begun with this pattern on another machine, or in a folder that is gone."""
    return work.title == title and PurePath(work.file).name == Path(file).name and not Path(work.file).exists()


def coach(
    args,
    stage: Stage,
    phrasebook: Phrasebook,
    journal: Journal,
    work: Work,
    notices: list[str],
    told: tuple[str, ...] = (),
) -> int:
    """Hold the conversation about a work, from where it stands; gives the exit code. told: see `Working`."""
    worked, state, lost = taken_up(journal, work)
    state = with_options(worked, state, args.by, args.terms, args.hand).having(pace=earlier_pace(journal, work) or 0.0)
    versions, changed = versions_of(journal, work, state, args.changed or "")
    topic = Working(worked, phrasebook, state, args.terms or work.terms, versions, told)

    notices = [*notices, *lost, *changed]
    faults = sum(f.severity == "error" for f in worked.faults)
    if faults:
        notices = [
            *notices,
            f"This pattern has {'a fault' if faults == 1 else f'{faults} faults'}. "
            f"To see more: {command()} check {typed(work.file)}",
        ]
    try:
        ended = stage.hold(topic, keeper(journal, work, phrasebook), [*notices, *journal.news()])
    except KeyboardInterrupt:
        ended = Ended.INPUT
    if is_done(topic.fabric, topic.state):  # however it ended: else the next start had only "All done" to say
        journal.finish(work)
        stage.note(f"{_kept(journal, ended, phrasebook)}{work.title} is finished. Begin another with: {command()}")
    else:
        stage.note(f"{_kept(journal, ended, phrasebook)}Go on with: {command()}")
    return 0


def _kept(journal: Journal, ended: Ended, phrasebook: Phrasebook) -> str:
    """What to show of the place at the end, where it was not spoken."""
    return "" if ended is Ended.FINISHED else f"{kept(journal, phrasebook)} "


def kept(journal: Journal, phrasebook: Phrasebook) -> str:
    """What is true of the place: only what is on disk is kept."""
    if journal.error is not None:
        return f"{NOT_SAVED} {journal.error.sentence}"
    return sentence(phrasebook, [say("place_kept")])


def keeper(journal: Journal, work: Work, phrasebook: Phrasebook) -> Keep:
    """What writes each request to the journal, and says what the journal has to say."""

    def keep(save: Save) -> tuple[str, ...]:
        journal.record(work, save.request, save.answer.state, save.heard, save.answer.said)
        news = journal.news()
        return (kept(journal, phrasebook),) if save.answer.over else news

    return keep


def with_options(
    worked: Fabric, state: State, by: str | None, terms: str | None = None, hand: str | None = None
) -> State:
    """The state with what the command line asks for: terms, hand, and how much is read out at once, with what is
    announced."""
    if terms and terms != wording.terms_of(worked, state):
        state = state.having(terms=terms)
    if hand and hand != state.settings.hand:
        state = state.having(settings=replace(state.settings, hand=hand))
    if by is None or by == state.settings.by:
        return state
    announced = state.announced
    if announced > state.place.steps:
        announced = stop_after(worked, state.place, by)
    return state.having(settings=replace(state.settings, by=by), announced=announced)


def is_done(worked: Fabric, state: State) -> bool:
    """Whether every part and every step of the assembly is made."""
    place = state.place
    return place.part >= len(worked.parts) and place.steps >= len(worked.assembly)
