"""`coach check`: every round with its count, every fault with its line, a caret and a hint.

Plain text in reading order for a screen reader; colour only on a terminal that wants it. The JSON is fixed: see DESIGN.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator

from coach import fabric, notation
from coach.commands.called import as_typed
from coach.commands.files import STANDARD_INPUT, Unreadable, find, text_of
from coach.fabric.model import Fabric, Worked, WorkedPart
from coach.notation.model import Fault, Pattern

CLEAN, FAULTS, UNREADABLE = 0, 1, 2
COLOURS = {"error": "\x1b[31m", "warning": "\x1b[33m"}
PLAIN = "\x1b[0m"


def run(args) -> int:
    """Check `args.files`, in `args.size` (a name, or None for the first size); the worst file gives the exit code."""
    code, told = CLEAN, []
    colour = wants_colour(sys.stdout)
    for i, name in enumerate(args.files):
        try:
            worked = load(name, args.size)
        except Unreadable as error:
            code = UNREADABLE
            if args.json:
                told.append(unreadable(name, error))
            else:
                print(as_typed(f"{error.message}\n{error.hint}".strip()), file=sys.stderr)
            continue
        code = max(code, FAULTS if worked.faults else CLEAN)
        if args.json:
            told.append(as_json(name, worked))
        else:
            print("\n" * (i > 0) + "\n".join(as_text(worked, colour)))
    if args.json:
        print(json.dumps(told, ensure_ascii=False, indent=1))
    return code


def load(name: str, size: str | None = None) -> Fabric:
    """The pattern of this path or bare name, worked in this size. Raises Unreadable."""
    text = text_of(STANDARD_INPUT if name == STANDARD_INPUT else find(name))
    pattern = notation.read(text)
    if not any(part.rounds for part in pattern.parts) and not pattern.faults:
        raise Unreadable(f"{name} has no round that I can read.", "A round looks like: Rnd 1: 6 sc in magic ring (6)")
    return fabric.work(pattern, size_index(pattern, size))


def with_rounds(name: str, size: str | None = None) -> Fabric:
    """The same, of a pattern that has rounds. Raises Unreadable for one that has only faults."""
    worked = load(name, size)
    if not any(part.rounds for part in worked.parts):
        from coach.commands.called import command

        raise Unreadable(f"{name} has no round that I can read.", f"See: {command()} check {name}")
    return worked


def size_index(pattern: Pattern, name: str | None) -> int:
    """Which of the pattern's sizes has this name (None: the first). Raises Unreadable for a size it does not have."""
    if name is None:
        return 0
    folded = [s.casefold() for s in pattern.sizes]
    if name.casefold() in folded:
        return folded.index(name.casefold())
    if not pattern.sizes:
        raise Unreadable("This pattern has one size only.", "Leave out --size.")
    raise Unreadable(f"This pattern has no size {name}.", f"Its sizes are: {', '.join(pattern.sizes)}.")


def wants_colour(stream) -> bool:
    """Colour is an extra: a terminal that is not dumb, and no NO_COLOR."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


# ---- as text


def as_text(worked: Fabric, colour: bool = False) -> Iterator[str]:
    pattern = worked.pattern
    yield pattern.title or "A pattern without a title"
    size = f" Size {pattern.sizes[worked.size]} of {', '.join(pattern.sizes)}." if pattern.sizes else ""
    yield f"{pattern.terms} terms.{size}"
    for part in worked.parts:
        yield ""
        yield part.name + (f" (make {part.make})" if part.make > 1 else "")
        for round_ in part.rounds:
            yield f"  {round_.label}: {_counted(round_)}"
            yield from (f"    {reading}" for reading in round_.readings)
    for fault in worked.faults:
        yield ""
        yield from fault_text(pattern, fault, colour)
    yield ""
    yield _summary(worked)


def _counted(round_: Worked) -> str:
    if not round_.counted:
        return "not counted" + (f", written as {round_.stated}" if round_.stated is not None else "")
    if round_.stated is None or round_.stated == round_.made:
        return str(round_.made)
    return f"{round_.made}, written as {round_.stated}"


def fault_text(pattern: Pattern, fault: Fault, colour: bool = False) -> Iterator[str]:
    """The place, the line as written with a caret under it, the message, the hint."""
    severity = f"{COLOURS[fault.severity]}{fault.severity}{PLAIN}" if colour else fault.severity
    yield f"Line {fault.line}, column {fault.column}: {severity}: {fault.message}"
    line = source_line(pattern, fault.line)
    if line.strip():
        lead = "".join("\t" if c == "\t" else " " for c in line[: fault.column - 1])  # tabs keep the caret in place
        yield f"    {line}"
        yield f"    {lead}{'^' * max(1, min(fault.end_column, len(line) + 1) - fault.column)}"
    if fault.hint:
        yield f"    Hint: {fault.hint}"


def source_line(pattern: Pattern, line: int) -> str:
    lines = pattern.text.split("\n")  # as the reader counts them; splitlines knows more line ends
    return lines[line - 1] if 0 < line <= len(lines) else ""


def _summary(worked: Fabric) -> str:
    kinds = [round.source.kind for part in worked.parts for round in part.rounds]
    errors = sum(f.severity == "error" for f in worked.faults)
    warnings = len(worked.faults) - errors
    found = [_many(n, word) for n, word in ((errors, "error"), (warnings, "warning")) if n]
    counted = [_many(n, word) for word in ("round", "row") if (n := kinds.count(word))]
    return (
        f"{' and '.join(counted) or _many(0, 'round')}. {' and '.join(found).capitalize() if found else 'No faults'}."
    )


def _many(n: int, word: str) -> str:
    return f"{n} {word}{'' if n == 1 else 's'}"


# ---- as JSON


def as_json(name: str, worked: Fabric) -> dict:
    pattern = worked.pattern
    return {
        "file": name,
        "title": pattern.title,
        "terms": pattern.terms,
        "sizes": list(pattern.sizes),
        "parts": [_part_json(pattern, part) for part in worked.parts],
        "faults": [_fault_json(fault) for fault in worked.faults],
    }


def _part_json(pattern: Pattern, part: WorkedPart) -> dict:
    rounds = [
        {
            "label": r.label,
            "number": r.source.number,
            "line": pattern.where(r.source.span)[0],
            "made": r.made if r.counted else None,
            "stated": r.stated,
            "takes": r.takes if r.counted else None,
            "base": r.base,
        }
        for r in part.rounds
    ]
    return {"name": part.name, "make": part.make, "rounds": rounds}


def _fault_json(fault: Fault) -> dict:
    return {
        "line": fault.line,
        "column": fault.column,
        "end_column": fault.end_column,
        "severity": fault.severity,
        "kind": fault.kind,
        "message": fault.message,
        "hint": fault.hint,
    }


def unreadable(name: str, error: Unreadable) -> dict:
    """A file that could not be read, in the same shape: its one fault says why."""
    fault = Fault("unreadable", "error", 1, 1, 2, error.message, error.hint)
    return {"file": name, "title": "", "terms": "US", "sizes": [], "parts": [], "faults": [_fault_json(fault)]}
