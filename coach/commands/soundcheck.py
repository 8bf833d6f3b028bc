"""`coach soundcheck`: devices, levels, and whether the coach hears itself; what it finds is used from then on.

With `--figures` nothing is measured: it tells how quick the last session was.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from coach import figures
from coach.memory import sound_settings
from coach.memory.place import home
from coach.memory.sound_settings import SoundSettings

if TYPE_CHECKING:
    from coach.sound.check import SoundCheck


def run(args) -> int:
    """Measure, tell, and keep what is to be kept. Nothing that can't be measured is an error."""
    if args.figures:
        last = figures.read(home())
        print(json.dumps(last, indent=1) if args.json else "\n".join(figures.as_text(last)))
        return 0
    from coach.sound.check import soundcheck
    from coach.sound.mouth import EngineMouth

    kept, fault = sound_settings.read(home())
    asked = {name: getattr(args, name) for name in ("microphone", "loudspeaker")}
    wanted = replace(kept, **{name: value for name, value in asked.items() if value is not None})
    with EngineMouth() as mouth:
        found = soundcheck(
            mouth,
            wanted.microphone or None,
            wanted.loudspeaker or None,
            ask=None if args.json else lambda text: print(text, flush=True),
        )
    chosen = settings_for(found, wanted)
    if chosen != kept:
        fault = sound_settings.write(home(), chosen)
    if args.json:
        told = {"hears_itself": found.hears_itself, "advice": (*found.advice, *filter(None, [fault]))}
        print(json.dumps(asdict(found) | told | {"settings": asdict(chosen)}, indent=1))
        return 0
    print("\n".join((*as_text(found), *found.advice, *filter(None, [fault]))))
    return 0


def settings_for(found: SoundCheck, wanted: SoundSettings) -> SoundSettings:
    """What a check means for the sessions from now on: devices that were found, and whether they are apart."""
    return replace(
        wanted,
        microphone=wanted.microphone if found.microphone else "",
        loudspeaker=wanted.loudspeaker if found.loudspeaker else "",
        apart=(found.microphone, found.loudspeaker) if found.apart else (),
    )


def as_text(found: SoundCheck) -> list[str]:
    """The figures, a line each."""
    lines = [
        f"{name}: {device or 'none'}."
        for name, device in (("Microphone", found.microphone), ("Loudspeaker", found.loudspeaker))
    ]
    for name, levels in (("The room", found.room), ("Your voice", found.maker)):
        if levels is not None:
            lines.append(f"{name}: {abs(levels.quiet):.0f} to {abs(levels.loud):.0f} dB below full scale.")
    if found.hears_itself:
        echo = found.echo
        lines.append(f"The coach's voice comes back after {echo.delay:.2f} seconds, at {echo.gain:.0f} dB.")
        lines.append("That is taken out of what I hear, so stop is heard over it.")
    return lines
