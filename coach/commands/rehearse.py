"""`coach rehearse [PATTERN] [--to DIR]`: shows the whole coach on a machine without sound hardware."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from coach.commands.check import load
from coach.commands.files import Unreadable
from coach.commands.stage import ear_for, phrasebook_for
from coach.commands.work import keeper
from coach.memory.journal import Journal
from coach.topics import Working


def run(args) -> int:
    from coach.rehearse import maker_mouth, rehearse, script
    from coach.sound.mouth import EngineMouth

    phrasebook = phrasebook_for(args.language)
    working = Working(load(args.pattern), phrasebook)
    pattern = working.fabric.pattern
    folder = folder_for(args.to) if args.to else None
    with (
        tempfile.TemporaryDirectory() as own,
        Journal.open(Path(own) / "journal.db") as journal,
        maker_mouth(args.language) as maker,
    ):
        work = journal.begin(pattern.title, pattern.text, args.pattern)  # as always, but not among the maker's works
        ear = ear_for(args.ear, args.language)
        played = rehearse(
            working,
            script(working),
            ear,
            maker,
            EngineMouth(phrasebook.voice or None),
            sys.stdout,
            keeper(journal, work),
        )
    print(f"Understood {played.heard} of {played.asked} requests in {played.session.seconds:.0f} seconds of session.")
    if folder:
        played.write(folder)
        print(f"Written: {folder / 'session.wav'}, maker.wav, coach.wav and transcript.txt")
    return 0 if played.heard == played.asked else 1


def folder_for(name: str) -> Path:
    """The folder to write to, made where it is not there yet. Raises Unreadable."""
    folder = Path(name).expanduser()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unreadable(f"I can't use {folder}: {error.strerror}.", "Name another folder with --to.") from None
    return folder
