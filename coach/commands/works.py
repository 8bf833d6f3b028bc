"""`coach works`: the works in progress, the last one first, and where each stands; all of them as one file, and
back."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from coach.commands.called import command
from coach.commands.files import Unreadable
from coach.commands.stage import phrasebook_for
from coach.commands.versions import taken_up
from coach.events import Answer
from coach.guide.hours import SHORTEST
from coach.guide.model import Request
from coach.language.speak import duration
from coach.memory.journal import Journal
from coach.memory.model import JournalError, Work
from coach.memory.transfer import TakenIn
from coach.topics import Working, report

UNREADABLE = 2
MAKING_UP = "making up"
PLACE = ("part", "piece", "round", "label", "stitch", "of", "total")


def run(args) -> int:
    phrasebook = phrasebook_for(args.language)
    with Journal.open() as journal:
        try:
            if args.export_to:
                return export(journal, Path(args.export_to).expanduser())
            if args.import_from:
                found = journal.take_in(Path(args.import_from).expanduser())
                print(told(found), file=sys.stderr if args.json else sys.stdout)
        except JournalError as error:
            print(f"The works can't be moved. {error.sentence}", file=sys.stderr)
            return UNREADABLE
        works = [(work, _topic(journal, work, phrasebook)) for work in journal.works() if not work.finished]
        if journal.error is not None:
            print(f"The works can't be read. {journal.error.sentence}", file=sys.stderr)
            return UNREADABLE
    if args.json:
        print(json.dumps([_as_json(work, topic) for work, topic in works], ensure_ascii=False, indent=1))
        return 0
    if not works:
        print(f"There is no work in progress. Begin one with: {command()} work PATTERN")
    for work, topic in works:
        where = topic.answer(Request("where")).said if topic else "Its place can't be read."
        same = where.startswith((f"{work.title}.", f"{work.title}:"))  # the only part is called like the whole
        titled = where if same else f"{work.title}: {where}"
        print(f"{titled} {_time(topic)}Last worked on {work.touched.astimezone():%Y-%m-%d %H:%M}.")
    if works:
        print(f"Go on with the first of these: {command()}")
    return 0


def export(journal: Journal, path: Path) -> int:
    """All works into one file. Raises TransferError and JournalError."""
    works = journal.export(path)
    if not works:
        print(f"There is no work yet: {path} holds none.")
        return 0
    print(
        f"{'1 work is' if works == 1 else f'{works} works are'} in {path}. On the other machine: "
        f"{command()} works --import {path.name}"
    )
    return 0


def told(found: TakenIn) -> str:
    """What became of the works of a file."""
    one_or_many = (
        (found.added, "1 work was added.", "{n} works were added."),
        (
            found.further,
            "1 had gone further there, and goes on from there.",
            "{n} had gone further there, and go on from there.",
        ),
        (
            found.beside,
            "1 had gone on in another way there: it is kept beside yours.",
            "{n} had gone on in another way there: they are kept beside yours.",
        ),
        (found.known, "1 was here already.", "{n} were here already."),
    )
    sentences = [one if n == 1 else many.format(n=n) for n, one, many in one_or_many if n]
    return " ".join(sentences) or "There is no work in this file."


def _topic(journal: Journal, work: Work, phrasebook) -> Working | None:
    try:
        worked, state, _ = taken_up(journal, work)
        return Working(worked, phrasebook, state.having(paused=False), work.terms)
    except (JournalError, Unreadable):
        return None


def _time(topic: Working | None) -> str:
    """How long was worked, and at which of several parts, as a sentence; "" for less than half a minute."""
    if topic is None or topic.state.worked < SHORTEST:
        return ""
    book = topic.phrasebook
    parts = [f"{name or book.in_words('this_piece')} {duration(book, seconds)}" for name, seconds in _by_part(topic)]
    told = f" ({', '.join(parts)})" if len(parts) > 1 else ""
    return f"Worked for {duration(book, topic.state.worked)}{told}. "


def _by_part(topic: Working) -> list[tuple[str, float]]:
    """The parts that were worked at, and for how many seconds each."""
    names = [*(part.name for part in topic.fabric.parts), MAKING_UP]
    return [(names[min(part, len(names) - 1)], seconds) for part, seconds in topic.state.spent if seconds >= SHORTEST]


def _as_json(work: Work, topic: Working | None) -> dict:
    line = {
        "title": work.title,
        "file": work.file,
        "size": work.size,
        "terms": work.terms,
        "begun": work.begun.isoformat(),
        "touched": work.touched.isoformat(),
    }
    place = report(topic, "", None, Answer("")) if topic else {}
    time = (
        {"worked": round(topic.state.worked), "worked_at": {n: round(s) for n, s in _by_part(topic)}} if topic else {}
    )
    return line | {name: place.get(name) for name in PLACE} | time
