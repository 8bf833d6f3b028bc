"""`coach sheet` and `coach bring`: a pattern onto paper, and a page into a pattern file."""

from __future__ import annotations

import sys
from pathlib import Path

from coach import sheets
from coach.commands.check import load
from coach.commands.files import Unreadable
from coach.sheets.bring import bring
from coach.sheets.errors import SheetError

FAULTS, UNREADABLE = 1, 2


def run(args) -> int:
    """Do `args.command`; gives the exit code."""
    try:
        return _bring(Path(args.file)) if args.command == "bring" else _sheet(args)
    except (SheetError, Unreadable) as error:
        print(f"{error.message}\n{error.hint}".strip(), file=sys.stderr)
        return UNREADABLE


def _sheet(args) -> int:
    kind = sheets.write(load(args.pattern, args.size), Path(args.to))
    print(f"Wrote {args.to}: {kind}.")
    return 0


def _bring(path: Path) -> int:
    """Into patterns/ here, never over a file that is there."""
    brought = bring(path)
    folder = Path.cwd() / "patterns"
    folder.mkdir(exist_ok=True)
    target = next(p for p in _names(folder, path.stem) if not p.exists())
    target.write_text(brought.text, "utf-8")
    pattern = brought.pattern
    rounds = sum(len(part.rounds) for part in pattern.parts)
    print(f"Wrote {target}: {pattern.title or path.stem}, {len(pattern.parts)} {'part' if len(pattern.parts) == 1 else 'parts'}, {rounds} rounds and rows.")
    for part in pattern.parts:
        print(f"  {part.name}{f' (make {part.make})' if part.make > 1 else ''}: {len(part.rounds)}")
    for fault in pattern.faults:
        print(f"Line {fault.line}: {fault.message}")
    print(f"Now check it with: coach check {target.stem}")
    return FAULTS if pattern.faults else 0


def _names(folder: Path, stem: str):
    yield folder / f"{stem}.md"
    n = 2
    while True:
        yield folder / f"{stem}-{n}.md"
        n += 1
