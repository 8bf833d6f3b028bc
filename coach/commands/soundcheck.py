"""`coach soundcheck`: devices, levels, and whether the coach hears itself."""

from __future__ import annotations

import json
from dataclasses import asdict


def run(args) -> int:
    from coach.sound.check import SoundCheck, soundcheck
    from coach.sound.mouth import EngineMouth

    if not args.json:
        print("Please be quiet for a moment.", flush=True)
    with EngineMouth() as mouth:
        found: SoundCheck = soundcheck(mouth, ask=None if args.json else lambda text: print(text, flush=True))
    if args.json:
        print(json.dumps(asdict(found) | {"hears_itself": found.hears_itself, "advice": found.advice}, indent=1))
        return 0
    for name, device in (("Microphone", found.microphone), ("Loudspeaker", found.loudspeaker)):
        print(f"{name}: {device or 'none'}.")
    for name, levels in (("The room", found.room), ("Your voice", found.maker)):
        if levels is not None:
            print(f"{name}: {levels.quiet:.0f} to {levels.loud:.0f} dB below full scale.".replace("-", ""))
    if found.echo is not None and found.echo.heard:
        print(f"The coach's voice comes back after {found.echo.delay:.2f} seconds, at {found.echo.gain:.0f} dB.")
    for sentence in found.advice:
        print(sentence)
    return 0
