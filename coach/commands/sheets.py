"""`coach sheet` and `coach bring`: to paper, and from it."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from coach.commands.check import load
from coach.commands.files import STANDARD_INPUT, Unreadable, patterns
from coach.commands.places import kept_place, written_place
from coach.fabric.model import Fabric

if TYPE_CHECKING:
    from coach.sheets import Place

KEPT = "kept"  # what --place means without a place


def run(args) -> int:
    return _sheet(args) if args.command == "sheet" else _bring(args)


def _sheet(args) -> int:
    from coach import sheets

    path = Path(args.to)
    folder = args.to.endswith(("/", "\\"))
    if path.is_dir() and not folder:
        raise Unreadable(
            f"{path} is a folder.",
            f"Name a file in it, like {path / 'sheet.html'}; or end it with a / for recordings in it.",
        )
    worked, place = _worked(args)
    wishes = sheets.Wishes(
        getattr(args, "kind", None),
        getattr(args, "part", None),
        place,
        getattr(args, "type_size", 20.0),
        getattr(args, "hand", "right") == "left",
        terms=getattr(args, "terms", None),
        written=worked.pattern.terms,
    )
    if folder or path.suffix.lower() == ".epub":
        from coach.sound.mouth import EngineMouth

        with EngineMouth() as mouth:
            wishes = replace(wishes, mouth=mouth)
            what = sheets.recordings(worked, path, wishes) if folder else sheets.write(worked, path, wishes)
    else:
        what = sheets.write(worked, path, wishes)
    other = wishes.terms and wishes.terms != wishes.written
    print(
        f"Written: {path}, {what}"
        + (f", in {wishes.terms} terms; the pattern is in {wishes.written} terms." if other else ".")
    )
    return 0


def _worked(args) -> tuple[Fabric, Place | None]:
    """The pattern, and the place to show in it."""
    size, written = getattr(args, "size", None), getattr(args, "place", None)
    if written == KEPT:
        return kept_place(args.pattern, size)
    worked = load(args.pattern, size)
    return worked, written_place(worked, written, getattr(args, "part", None)) if written else None


def _bring(args) -> int:
    from coach.commands.called import command
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
