"""The names of the seven patterns, and how many sizes each has."""

from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "patterns"
SIZES = {"buoy": 1, "seal": 1, "puffin": 1, "lighthouse": 1, "dishcloth": 1, "square": 1, "cap": 3}
SEVEN = tuple(SIZES)
EVERY_SIZE = [(name, size) for name in SEVEN for size in range(SIZES[name])]


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.md").read_text("utf-8")
