"""`coach` without a command: goes on with the last work, or offers the patterns by voice."""

from __future__ import annotations

from argparse import Namespace

from coach import notation
from coach.commands.called import command
from coach.commands.files import Unreadable, patterns, text_of
from coach.commands.stage import phrasebook_for, stage_for
from coach.commands.work import hold, take_up
from coach.language.phrasebook import Phrasebook
from coach.live import Stage
from coach.memory.journal import Journal
from coach.topics import Choosing


def run(args) -> int:
    phrasebook = phrasebook_for(args.language)
    with Journal.open() as journal:
        work, notices, told = (None if args.fresh else journal.latest()), [], ()
        stage = stage_for(args, phrasebook)
        try:
            if work is None:
                pattern = choose(stage, phrasebook)
                if pattern is None:
                    stage.note(f"Nothing was begun. Start again with: {command()}")
                    return 0
                work, notices = take_up(journal, Namespace(**vars(args) | {"pattern": pattern}))
                told = ("title",)
            return hold(args, stage, phrasebook, journal, work, notices, told)
        finally:
            stage.close()


def choose(stage: Stage, phrasebook: Phrasebook) -> str | None:
    """The path of the pattern that the maker chooses, or None. Raises Unreadable where there is none to choose."""
    offered = {str(path): title for path in patterns().values() if (title := title_of(path)) is not None}
    if not offered:
        raise Unreadable("There are no patterns here to choose from.", f"Name one: {command()} work FILE")
    topic = Choosing(offered.values(), phrasebook)
    stage.hold(topic)
    return None if topic.chosen is None else list(offered)[topic.chosen]


def title_of(path) -> str | None:
    """A pattern's title; None for a file that can't be read, which is no reason to offer nothing."""
    try:
        return notation.read(text_of(path)).title or path.stem
    except Unreadable:
        return None
