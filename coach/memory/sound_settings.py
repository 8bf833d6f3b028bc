"""How this machine listens and sounds, kept between sessions: the file sound.json in the coach's folder.

These belong to a room and its devices; how the coach talks (rate, volume, hand) goes with the journal.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from coach.whole import write_whole

FILE = "sound.json"


@dataclass(frozen=True, slots=True)
class SoundSettings:
    """listen: attention, open or key, as in `coach.attention.Way` ("": as is best with the ear); tones: whether short
    tones are to be heard; microphone, loudspeaker: parts of their names ("": the usual ones).

    As `coach soundcheck` has found out: apart: the names of a microphone and a loudspeaker that it does not hear.
    """

    listen: str = ""
    tones: bool = True
    microphone: str = ""
    loudspeaker: str = ""
    apart: tuple[str, ...] = ()


def read(folder: Path) -> tuple[SoundSettings, str]:
    """The settings kept in a folder, and a sentence about what can't be read ("" for nothing)."""
    try:
        found = json.loads((folder / FILE).read_text("utf-8"))
    except FileNotFoundError:
        return SoundSettings(), ""
    except (OSError, ValueError) as error:
        return SoundSettings(), f"{FILE} can't be read, so I listen as usual: {error}."
    if not isinstance(found, dict):
        return SoundSettings(), f"{FILE} holds no settings, so I listen as usual."
    usual = asdict(SoundSettings())
    values = {name: tuple(v) if isinstance(v, list) else v for name, v in found.items() if name in usual}
    if wrong := [name for name, value in values.items() if not _fits(value, usual[name])]:
        return SoundSettings(), f"{FILE} has no sense in {', '.join(wrong)}, so I listen as usual."
    return SoundSettings(**values), ""


def _fits(value: object, usual: object) -> bool:
    return type(value) is type(usual) and (not isinstance(value, tuple) or all(isinstance(part, str) for part in value))


def write(folder: Path, settings: SoundSettings) -> str:
    """Keep the settings, whole or not at all; a sentence where that fails."""
    values = {field.name: getattr(settings, field.name) for field in fields(settings)}
    try:
        write_whole(folder / FILE, json.dumps(values, ensure_ascii=False, indent=1) + "\n")
    except OSError as error:
        return f"How I listen is not kept: {error.strerror or error}."
    return ""
