"""`coach sheet` and `coach bring`: to paper, and from it."""

from __future__ import annotations

from pathlib import Path

from coach.commands.check import load
from coach.commands.files import Unreadable
from coach.commands.stage import command


def run(args) -> int:
    return _sheet(args) if args.command == "sheet" else _bring(args)


def _sheet(args) -> int:
    from coach import sheets

    worked = load(args.pattern, args.size)
    path = Path(args.to)
    if path.is_dir():
        raise Unreadable(f"{path} is a folder.", f"Name a file in it, like {path / 'sheet.html'}.")
    sheets.write(worked, path)
    print(f"Written: {path}")
    return 0


def _bring(args) -> int:
    from coach.sheets import bring

    path = Path(args.file)
    if not path.is_file():
        raise Unreadable(f"There is no file {args.file}.", "Check its name and folder.")
    brought = bring.bring(path)
    print(f"Written: {brought}")
    print(f"Now: {command()} check {Path(brought).stem}")
    return 0
