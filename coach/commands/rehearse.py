"""`coach rehearse [PATTERN] [--to DIR]`: shows the whole coach on a machine without sound hardware."""

from __future__ import annotations

import io
import json
import sys
import tempfile
from pathlib import Path

from coach.commands.check import with_rounds
from coach.commands.files import Unreadable
from coach.commands.stage import ear_for, phrasebook_for
from coach.commands.work import keeper
from coach.figures import as_text
from coach.memory.journal import Journal
from coach.topics import Working


def run(args) -> int:
    from coach.rehearse import maker_mouth, rehearse, script
    from coach.sound.mouth import EngineMouth

    phrasebook = phrasebook_for(args.language)
    working = Working(with_rounds(args.pattern), phrasebook)
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
            io.StringIO() if args.json else sys.stdout,
            keeper(journal, work, phrasebook),
        )
    if folder:
        played.write(folder)
    status = 0 if played.heard == played.asked else 1
    figures, seconds = played.figures.as_json(), played.session.seconds
    if args.json:
        told = {"understood": played.heard, "asked": played.asked, "seconds": round(seconds, 1)}
        print(json.dumps(told | {"figures": figures, "lines": played.lines}, ensure_ascii=False, indent=1))
        return status
    print(f"Understood {played.heard} of {played.asked} requests in {seconds:.0f} seconds of session.")
    print("\n".join((*as_text(figures), "A microphone and a loudspeaker add their own.")))
    if folder:
        print(f"Written: {folder / 'session.wav'}, maker.wav, coach.wav and transcript.txt")
    return status


def folder_for(name: str) -> Path:
    """The folder to write to, made where it is not there yet. Raises Unreadable."""
    folder = Path(name).expanduser()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unreadable(f"I can't use {folder}: {error.strerror}.", "Name another folder with --to.") from None
    return folder
