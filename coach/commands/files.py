"""Finding a pattern by path or bare name, and reading it as text. Whatever is wrong comes out as one plain message."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path

from coach.errors import CoachError

ENDINGS = (".md", ".markdown", ".txt")
LARGEST = 10_000_000  # bytes; the longest written patterns stay under a hundredth of this
STANDARD_INPUT = "-"
PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"BM", b"II*\0", b"MM\0*")  # PNG, JPEG, GIF, BMP, TIFF


class Unreadable(CoachError):
    """A file that can't be worked from."""


def folders() -> tuple[Path, ...]:
    """Where patterns are looked for by bare name: `patterns/` here, then the one that came with the coach."""
    found = dict.fromkeys(p.resolve() for p in (Path.cwd() / "patterns", Path(__file__).parents[2] / "patterns"))
    return tuple(p for p in found if p.is_dir())


def patterns() -> dict[str, Path]:
    """Every pattern that has a bare name, in the order of the names; a name met twice is the nearer one's."""
    found: dict[str, Path] = {}
    for folder in folders():
        for path in folder.iterdir():
            if path.suffix.lower() in ENDINGS and path.is_file() and not path.name.startswith((".", "README")):
                found.setdefault(path.stem, path)
    return dict(sorted(found.items()))


def find(name: str) -> Path:
    """The file for a path or bare name. Raises Unreadable."""
    if not name.strip():
        raise Unreadable("No pattern is named.", "Give a file, or the name of a pattern: lighthouse, say.")
    path = Path(name).expanduser()
    if path.is_dir():
        if name in (named := patterns()):  # a folder called like a pattern, given without a path
            return named[name]
        inside = sorted(p.name for p in path.iterdir() if p.suffix.lower() in ENDINGS)
        raise Unreadable(
            f"{name} is a folder, not a pattern.",
            f"Name a file in it, like {path / inside[0]}." if inside else "Name a pattern file.",
        )
    if path.exists():
        return path
    if not path.name or len(path.parts) > 1:
        raise Unreadable(f"There is no file {name}.", _near(name))
    for stem in (name, *(name[: -len(e)] for e in ENDINGS if name.lower().endswith(e))):
        if stem in (named := patterns()):
            return named[stem]
    raise Unreadable(f"There is no file or pattern called {name}.", _near(name))


def typed(file: str) -> str:
    """What to type for a pattern file: its bare name where it has one, else its path from here."""
    path = Path(file)
    named = next((name for name, known in patterns().items() if known.resolve() == path.resolve()), None)
    if file == STANDARD_INPUT or named:
        return named or file
    return shlex.quote(str(path.relative_to(Path.cwd()) if path.is_relative_to(Path.cwd()) else path))


def _near(name: str) -> str:
    known = list(patterns())
    near = get_close_matches(Path(name).stem.lower(), known, n=1)
    if near:
        return f"Did you mean {near[0]}?"
    return f"The patterns here are {_and(known)}." if known else "Check the name and the folder."


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def text_of(path: Path | str) -> str:
    """The text of a pattern file; `-` is standard input. Raises Unreadable for what is no text."""
    try:
        if str(path) == STANDARD_INPUT:
            data = sys.stdin.buffer.read(LARGEST + 1)
        else:
            with open(path, "rb") as file:
                data = file.read(LARGEST + 1)
    except PermissionError:
        raise Unreadable(
            f"I am not allowed to read {path}.", "Change its permissions, or copy it to your own folder."
        ) from None
    except OSError as error:
        raise Unreadable(f"I can't read {path}: {error.strerror or error}.", "Check the name and the disk.") from None
    return decoded(data, str(path))


def decoded(data: bytes, name: str) -> str:
    """A file's bytes as text, lines ended by a newline. Raises Unreadable."""
    if len(data) > LARGEST:
        raise Unreadable(
            f"{name} is too long for a pattern, more than {LARGEST // 1_000_000} megabytes.",
            "Name the pattern's own file.",
        )
    if data.startswith(b"%PDF"):
        raise Unreadable(f"{name} is a PDF.", f"Take the pattern out of it first: coach bring {name}")
    if data.startswith(PICTURES) or data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        raise Unreadable(
            f"{name} is a picture, not text.",
            "Words in a picture have to be typed. From a PDF, a web page or a document: coach bring FILE",
        )
    if data.startswith(b"PK\x03\x04"):
        raise Unreadable(
            f"{name} is a document or an archive, not text.", f"Take the pattern out of it first: coach bring {name}"
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        data = _from_utf16(data, name)
    if b"\0" in data:
        raise Unreadable(
            f"{name} is not text.", "The coach reads patterns as text files. For a PDF or a web page: coach bring FILE"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Unreadable(
            f"{name} is not UTF-8 text: line {line} has a byte that does not belong.", "Save it as UTF-8 and try again."
        ) from None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        raise Unreadable(f"{name} is empty.", "A pattern needs at least one round, like: Rnd 1: 6 sc in magic ring (6)")
    return text


def _from_utf16(data: bytes, name: str) -> bytes:
    """UTF-16 with its mark is what Windows' editor calls "Unicode": read it like the rest."""
    try:
        return data.decode("utf-16").encode()
    except UnicodeDecodeError:
        raise Unreadable(f"{name} is not text.", "Save it as UTF-8 and try again.") from None


def numbered(names: dict[str, Path]) -> Iterator[tuple[int, str, Path]]:
    """Patterns with the number they are chosen by, from 1."""
    for number, (name, path) in enumerate(names.items(), start=1):
        yield number, name, path
