"""`coach plan PATTERN`: size, yarn, filling and time, part by part; with another gauge the new size.

Every figure is a range or a round number, and it says by which gauge. JSON: {"file", "title", "size", "gauge":
{"width_cm", "height_cm", "stitch", "by"}, "parts": [{"name", "make", "kind", "width_cm", "widest", "height_cm",
"surface_cm2", "volume_cm3", "stitches", "yarn_m", "filling_g", "ruffles"}], "yarn_m", "yarn_g", "colours" (metres),
"colours_g", "filling_g", "minutes", "pace", "doubts"}; a range is [low, high]; pace: the maker's own stitches a minute,
or null; doubts: what the figures leave out or take on trust, as [part, sentence].
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from coach.commands.called import command
from coach.commands.check import with_rounds
from coach.commands.files import Unreadable
from coach.commands.pace import earlier_pace
from coach.fabric.colours import UNNAMED, yarn_by_colour
from coach.fabric.gauge import Gauge, weights
from coach.fabric.model import Fabric
from coach.fabric.needs import PACE, Needs, PartNeeds, Range, Swatch, needs
from coach.fabric.needs import grams as grams_of
from coach.fabric.other import Other, hook_named, other_gauge, yarn_named
from coach.fabric.reckoned import doubts, told
from coach.fabric.shape import widest
from coach.fabric.swatch import read_swatch
from coach.memory.journal import Journal
from coach.sheets.profile import size_in_words
from coach.stitches.spelling import spelled

BY = {
    "own": "your gauge",
    "pattern": "the pattern's gauge",
    "usual": "what is usual for this yarn",
    "yarn": "what is usual for that yarn",
    "hook": "the size of the hook (a swatch says it better)",
}
NAMES = ", ".join(weight.names[0] for weight in weights())


def run(args) -> int:
    """Plan `args.pattern`. Raises Unreadable where there is nothing to reckon with."""
    worked = with_rounds(args.pattern, args.size)
    other = _other(args, worked)
    swatch = _given(args.swatch, read_swatch, "swatch", "--swatch 20x20=9")
    with Journal.open() as journal:
        pace = earlier_pace(journal)
    found = needs(worked, other and other.gauge, swatch, pace, other and other.yarn)
    if found is None:
        raise Unreadable(
            "The pattern names neither a gauge nor a yarn weight.",
            f'Give your gauge: {command()} plan {args.pattern} --gauge "10 sc to 5 cm"',
        )
    if not found.parts:
        raise Unreadable(
            "There is nothing to reckon with: no round of it can be counted.", f"See: {command()} check {args.pattern}"
        )
    if args.json:
        print(json.dumps(as_json(args.pattern, worked, found, pace), ensure_ascii=False, indent=1))
    else:
        print("\n".join(as_text(worked, found, swatch, pace)))
    return 0


def _other(args, worked: Fabric) -> Other | None:
    """The gauge, or the yarn and the hook, that the options ask for. Raises Unreadable."""

    def read(text: str) -> Other | None:
        return other_gauge(text, worked.pattern, args.terms)

    yarn = _given(
        args.yarn, lambda text: text if yarn_named(f"{text} yarn") else None, "yarn", f"--yarn worsted (of {NAMES})"
    )
    hook = _given(args.hook, lambda text: text if hook_named(_hook(text)) else None, "hook", "--hook 4.5 (millimetres)")
    text = ", ".join(filter(None, (yarn and f"{yarn} yarn", hook and _hook(hook))))
    if not text:
        return _given(args.gauge, read, "gauge", '--gauge "10 sc to 5 cm"')
    if args.gauge is not None:
        raise Unreadable("A gauge is of one yarn and hook.", "Give either --gauge, or --yarn and --hook.")
    found = read(text)
    if found is None:
        raise Unreadable(
            "The pattern names neither a gauge nor a yarn weight, so a hook alone says nothing.",
            "Give the yarn too, like: --yarn worsted",
        )
    return found


def _hook(size: str) -> str:
    """`4.5` → `4.5 mm hook`; `H` → `H hook`."""
    return f"{size} mm hook" if size.replace(".", "").replace(",", "").isdigit() else f"{size} hook"


def _given(text: str | None, read, name: str, example: str):
    """What an option's text says; None where it was not given. Raises Unreadable."""
    if text is None:
        return None
    found = read(text)
    if found is None:
        raise Unreadable(f"I can't read the {name} {text!r}.", f"Write it like: {example}")
    return found


# ---- as text


def as_text(worked: Fabric, found: Needs, swatch: Swatch | None = None, pace: float | None = None) -> Iterator[str]:
    """Plain lines in reading order. pace: the maker's own stitches a minute, where it is known."""
    pattern = worked.pattern
    yield pattern.title or "A pattern without a title"
    if pattern.sizes:
        yield f"Size {pattern.sizes[worked.size]} of {', '.join(pattern.sizes)}."
    yield f"By {BY[found.gauge.said]}: {_gauge(found.gauge)}."
    for part in worked.parts:
        need = next((need for need in found.parts if need.name == part.name), None)
        if need or doubts(part).left_out:
            yield ""
            yield part.name + (f" (make {part.make})" if part.make > 1 else "")
            yield from (
                f"  {line}"
                for line in (_part(need) if need else ("Its size can't be told, and the sum below is without it.",))
            )
            yield from (f"  {line}" for line in told(part))
    yield ""
    yield "In all"
    grams = f", {_range(found.grams)} g" if found.grams else ""
    yield f"  Yarn: {_range(found.metres)} m{grams}{', by your swatch' if swatch else ''}."
    colours = yarn_by_colour(worked.parts, found.parts, found.gauge)
    if len(colours) > 1:
        for colour, metres in colours.items():
            weighs = f", {_range(grams_of(metres, found.weight))} g" if found.weight else ""
            named = spelled(colour[:1].upper() + colour[1:] or "No colour named", pattern.terms)
            yield f"  {named}: {_range(metres)} m{weighs}."
    if found.stuffing.high:
        yield f"  Filling: {_range(found.stuffing)} g."
    own = (
        f"your own pace, {pace:.0f} stitches a minute"
        if pace
        else f"a usual pace, {PACE[0]:g} to {PACE[1]:g} stitches a minute"
    )
    yield f"  Time: {_time(found.minutes)} at {own}; making up not counted."


def _gauge(gauge: Gauge) -> str:
    return f"a stitch is {gauge.width * 10:.1f} mm wide, a row {gauge.height * 10:.1f} mm high"


def _part(part: PartNeeds) -> Iterator[str]:
    shape = part.shape
    width, height = f"{shape.width:.1f}", f"{shape.height:.1f}"
    yield {
        "square": f"Size: about {width} cm along each side.",
        "flat": f"Size: about {width} cm wide, {height} cm long.",
        "oval": f"Size: a flat oval of about {width} by {height} cm.",
    }.get(
        shape.kind,
        f"Size: about {size_in_words(shape)}.",
    )
    if shape.ruffled:
        first, *more = shape.ruffled
        yield f"It ruffles {f'from {first} on' if more else f'at {first}'}: more stitches than lie flat."
    each = " for all of them" if part.make > 1 else ""
    yield f"Yarn: {_range(part.yarn)} m{each}. {part.stitches} stitches{each}."
    if part.stuffing.high:
        yield f"Filling: {_range(part.stuffing)} g{each}."


def _range(found: Range) -> str:
    digits = 0 if found.high >= 10 else 1
    low, high = f"{found.low:.{digits}f}", f"{found.high:.{digits}f}"
    return f"{low} to {high}" if float(low) else f"up to {high}"


def _time(minutes: Range) -> str:
    if minutes.high <= 90:
        return f"{minutes.low:.0f} to {minutes.high:.0f} minutes"
    return f"{minutes.low / 60:.1f} to {minutes.high / 60:.1f} hours"


# ---- as JSON


def as_json(name: str, worked: Fabric, found: Needs, pace: float | None = None) -> dict:
    pattern, gauge = worked.pattern, found.gauge
    colours = yarn_by_colour(worked.parts, found.parts, gauge)
    named = {colour: metres for colour, metres in colours.items() if colour != UNNAMED or len(colours) > 1}
    return {
        "file": name,
        "title": pattern.title,
        "size": pattern.sizes[worked.size] if pattern.sizes else None,
        "gauge": {
            "width_cm": round(gauge.width, 3),
            "height_cm": round(gauge.height, 3),
            "stitch": gauge.stitch,
            "by": gauge.said,
        },
        "parts": [_part_json(part) for part in found.parts],
        "yarn_m": _pair(found.metres),
        "yarn_g": _pair(found.grams) if found.grams else None,
        "colours": {colour: _pair(metres) for colour, metres in named.items()},
        "colours_g": {
            colour: _pair(grams_of(metres, found.weight)) for colour, metres in named.items() if found.weight
        },
        "filling_g": _pair(found.stuffing),
        "minutes": _pair(found.minutes),
        "pace": round(pace, 1) if pace else None,
        "doubts": [[part.name, sentence] for part in worked.parts for sentence in told(part)],
    }


def _part_json(part: PartNeeds) -> dict:
    shape = part.shape
    return {
        "name": part.name,
        "make": part.make,
        "kind": shape.kind,
        "width_cm": round(shape.width, 2),
        "widest": widest(shape) or None,
        "height_cm": round(shape.height, 2),
        "surface_cm2": round(shape.surface, 1),
        "volume_cm3": None if shape.volume is None else round(shape.volume, 1),
        "stitches": part.stitches,
        "yarn_m": _pair(part.yarn),
        "filling_g": _pair(part.stuffing),
        "ruffles": list(shape.ruffled),
    }


def _pair(found: Range) -> list[float]:
    return [round(found.low, 1), round(found.high, 1)]
