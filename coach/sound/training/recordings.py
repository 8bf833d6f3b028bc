"""Recordings of people to learn from: the shared folder's, where a licence allows it, and a maker's own.

A maker's folder holds `NAME/phrase.wav` (or .flac): `anna/next step.wav`, `anna/next step.2.wav`; what is in a
folder of
the name `other` or begins with `other` is no request, however long.
"""

from __future__ import annotations

import csv
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from coach.sound.model import HEARING_RATE

LICENCES = {"Apache-2.0", "CC-BY-4.0", "CC0-1.0", "MIT", "public domain"}  # not the share-alike ones
FOLDS = 3
TALK_FOLD = {
    "orders-00": 0,
    "mixed-01": 0,
    "orders-01": 1,
    "reading-00": 1,
    "orders-02": 2,
    "orders-03": 2,
    "mixed-00": 2,
}
PIECE = 12.0  # seconds of talk that are looked at together


@dataclass(frozen=True, slots=True)
class Recording:
    """What somebody said; text "" where it is no request. fold: which part of the people it belongs to (-1: in all)."""

    text: str
    speaker: str
    file: Path
    fold: int
    first: int = 0
    last: int | None = None

    def samples(self) -> np.ndarray:
        """Float samples at HEARING_RATE."""
        import soundfile

        values, rate = soundfile.read(self.file, dtype="float64", start=self.first, stop=self.last, always_2d=True)
        if rate == HEARING_RATE:
            return values[:, 0]
        from scipy.signal import resample_poly

        return resample_poly(values[:, 0], HEARING_RATE, rate)


def fold_of(speaker: str) -> int:
    """Always the same for a speaker."""
    return hashlib.sha256(speaker.encode()).digest()[16] % FOLDS  # the 16th byte parts these speakers evenly


def shared(folder: Path) -> list[Recording]:
    """Those of the shared folder that may be learned from: not the proxies, which are judged."""
    found = []
    with open(folder / "manifest.tsv", encoding="utf-8") as lines:
        for row in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE):
            file = folder / row["file"]
            if row["licence"] not in LICENCES or row["kind"] == "proxy" or not file.is_file():
                continue
            if row["kind"] == "talk":
                found += _pieces(file, TALK_FOLD.get(file.stem, fold_of(file.stem)), float(row["seconds"]))
            else:
                found.append(Recording(row["transcript"], row["speaker"], file, fold_of(row["speaker"])))
    return found


def _pieces(file: Path, fold: int, seconds: float) -> list[Recording]:
    size = int(PIECE * HEARING_RATE)
    return [
        Recording("", f"talk {file.stem}", file, fold, at, at + size)
        for at in range(0, int(seconds * HEARING_RATE) - size // 2, size)
    ]


def own(folder: Path) -> list[Recording]:
    """A maker's own."""
    found = []
    for file in sorted(folder.rglob("*")):
        if file.suffix.lower() not in (".wav", ".flac", ".ogg"):
            continue
        text = re.sub(r"[-_]+", " ", re.sub(r"\.\d+$", "", file.stem)).lower().strip()
        speaker = file.relative_to(folder).parts[0]
        is_other = speaker.startswith("other") or text.startswith("other")
        found.append(Recording("" if is_other else text, f"own {speaker}", file, -1))
    return found
