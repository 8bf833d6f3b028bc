"""The place to show in a chart: the one kept of a work in progress, or one as written."""

from __future__ import annotations

import re
from pathlib import Path

from coach.commands.called import command
from coach.commands.files import STANDARD_INPUT, Unreadable, find
from coach.fabric.model import Fabric
from coach.guide.places import done_in_round
from coach.memory.model import JournalError
from coach.sheets import Place

EXAMPLES = (
    'Write it like: --place "Head, Rnd 5, 12" or --place 5:12. '
    "Only --place, at the end of the line, takes the place that is kept."
)
_ROUND = r"(?:(?:rnd|round|row|r)\.?\s*)?(?P<round>\d{1,6})\s*(?:[:,]\s*(?:st(?:itch)?\.?\s*)?(?P<stitch>\d{1,9})\s*)?"
_WRITTEN = (re.compile(_ROUND, re.IGNORECASE), re.compile(rf"(?P<part>.+?)\s*,\s*{_ROUND}", re.IGNORECASE))


def kept_place(name: str, size: str | None) -> tuple[Fabric, Place]:
    """The pattern of the work in progress for a path or bare name, as it is worked, and where it stands. Raises
    Unreadable."""
    from coach.commands.versions import taken_up
    from coach.memory.journal import Journal

    file = name if name == STANDARD_INPUT else str(Path(find(name)).resolve())
    with Journal.open() as journal:
        for work in sorted(journal.works(), key=lambda work: work.finished):  # all of it made: at its end
            if work.file != file or size not in (None, work.size):
                continue
            try:
                worked, state, _ = taken_up(journal, work)
            except JournalError as error:
                raise Unreadable(f"The place can't be read. {error.sentence}") from None
            return worked, shown(worked, state.place)
        if journal.error is not None:
            raise Unreadable(f"The place can't be read. {journal.error.sentence}")
    raise Unreadable(
        f"{name} is not being worked, so no place is kept.", f"Begin with: {command()} work {name}. {EXAMPLES}"
    )


def shown(worked: Fabric, place) -> Place:
    """A place of the guide as one of the chart: after the last stitch where a piece, or all, is made."""
    part = min(place.part, len(worked.parts) - 1)
    rounds = worked.parts[part].rounds
    if place.part > part or place.round >= len(rounds):
        return Place(part, len(rounds), rounds[-1].made if rounds else 0)
    return Place(part, place.round + 1, done_in_round(worked, place))


def written_place(worked: Fabric, written: str, part: str | None) -> Place:
    """`Head, Rnd 5, 12`, `5:12`, `Rnd 5`: part (else `part`, else the first that has rounds), the round's number as
    written, the stitches made (0). Raises Unreadable."""
    found = next((m for shape in _WRITTEN if (m := shape.fullmatch(written.strip()))), None)
    if not found:
        raise Unreadable(f"{written} is no place.", EXAMPLES)
    index = _part(worked, found.groupdict().get("part", part))
    number = int(found["round"])
    rounds = worked.parts[index].rounds
    at = next((i for i, r in enumerate(rounds, 1) if r.source.number == number), number)
    return Place(index, at, int(found["stitch"] or 0))


def _part(worked: Fabric, name: str | None) -> int:
    names = [part.name.casefold() for part in worked.parts]
    if name is None:
        return next((i for i, part in enumerate(worked.parts) if part.rounds), 0)
    if name.casefold() not in names:
        raise Unreadable(
            f"There is no part called {name}.", f"The parts are: {', '.join(part.name for part in worked.parts)}."
        )
    return names.index(name.casefold())
