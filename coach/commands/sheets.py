"""`coach sheet` and `coach bring`: to paper, and from it."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path

from coach.commands.check import load
from coach.commands.files import STANDARD_INPUT, Unreadable, patterns
from coach.fabric.model import Fabric


def run(args) -> int:
    return _sheet(args) if args.command == "sheet" else _bring(args)


def _sheet(args) -> int:
    from coach import sheets

    worked = load(args.pattern, getattr(args, "size", None))
    path = Path(args.to)
    folder = args.to.endswith(("/", "\\"))
    if path.is_dir() and not folder:
        raise Unreadable(
            f"{path} is a folder.",
            f"Name a file in it, like {path / 'sheet.html'}; or end it with a / for recordings in it.",
        )
    part = getattr(args, "part", None)
    place = place_of(worked, args.place, part) if getattr(args, "place", None) else None
    wishes = sheets.Wishes(
        getattr(args, "kind", None),
        part,
        place,
        getattr(args, "type_size", 20.0),
        getattr(args, "hand", "right") == "left",
        terms=worked.pattern.terms,
    )
    if folder or path.suffix.lower() == ".epub":
        from coach.sound.mouth import EngineMouth

        with EngineMouth() as mouth:
            wishes = replace(wishes, mouth=mouth)
            what = sheets.recordings(worked, path, wishes) if folder else sheets.write(worked, path, wishes)
    else:
        what = sheets.write(worked, path, wishes)
    print(f"Written: {path}, {what}.")
    return 0


def place_of(worked: Fabric, written: str, part: str | None):
    """`5:12` → round 5, stitch 12 of the part (the first where none is named). Raises Unreadable."""
    from coach.sheets import Place

    found = re.fullmatch(r"(\d{1,6}):(\d{1,9})", written.strip())
    if not found:
        raise Unreadable(f"{written} is no place.", "Write the round and the stitch, like: --place 5:12")
    names = [p.name.casefold() for p in worked.parts]
    index = (
        names.index(part.casefold())
        if part and part.casefold() in names
        else next((i for i, p in enumerate(worked.parts) if p.rounds), 0)
    )
    return Place(index, int(found[1]), int(found[2]))


def _bring(args) -> int:
    from coach.commands.stage import command
    from coach.sheets import bring

    if args.file == STANDARD_INPUT:
        brought = bring.bring_data(sys.stdin.buffer.read(bring.LARGEST + 1), "brought")
        name = brought.pattern.title or "brought"
    else:
        brought = bring.bring(Path(args.file))
        name = Path(args.file).stem
    path = new_file(Path.cwd() / "patterns", name)
    try:
        path.parent.mkdir(exist_ok=True)
        with open(path, "x", encoding="utf-8", newline="\n") as file:
            file.write(brought.text)
    except OSError as error:
        raise Unreadable(
            f"I can't write {path}: {error.strerror or error}.", "Check the folder and the disk."
        ) from None
    for sentence in brought.told():
        print(sentence)
    print(f"Written: {path}")
    print(f"Now: {command()} check {path.stem}")
    return 0


def new_file(folder: Path, name: str) -> Path:
    """A file of this name that is not there yet: `net-float.md`, `net-float-2.md` ..."""
    plain = "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())[:60].strip("-") or "brought"
    taken = ({p.stem.lower() for p in folder.iterdir()} if folder.is_dir() else set()) | set(patterns())
    return folder / f"{next(n for n in (plain, *(f'{plain}-{i}' for i in range(2, 10_000))) if n not in taken)}.md"
