"""An audio book: EPUB 3 with media overlays, so that each round is heard while its words are shown; or a folder of
recordings.

After EPUB 3.3 (W3C): a package document, a navigation document, one XHTML file a chapter with its SMIL overlay, MP3
audio. A chapter is a heading with what stands under it; every line of it, a round above all, is one recording.
"""

from __future__ import annotations

import io
import uuid
import wave
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coach.sheets.errors import SheetError, installing
from coach.sheets.lines import Line, spoken

if TYPE_CHECKING:
    from coach.sheets import Wishes

RATE = 160  # words a minute; the player can change it
PAUSE, END = 0.35, 0.8  # seconds between sentences, and after a line


@dataclass(slots=True)
class Recording:
    """A line as shown, as said, and as samples (int16, mono) at `rate` a second."""

    line: Line
    text: str
    samples: Any
    rate: int

    @property
    def seconds(self) -> float:
        return len(self.samples) / self.rate


def dressed(lines: Iterable[Line], wishes: Wishes) -> bytes:
    """The book as EPUB. Raises SheetError where there is no voice or no MP3 encoder."""
    chapters = _chapters(_record(lines, wishes))
    title = chapters[0][0].text
    files: dict[str, str | bytes] = {"style.css": STYLE}
    number = 0
    for c, chapter in enumerate(chapters, 1):
        texts, pars = [], []
        for recording in chapter:
            number += 1
            audio = f"audio/{number:04d}.mp3"
            files[audio] = mp3(recording)
            texts.append(_element(recording, number))
            pars.append(
                f'<par id="par{number}"><text src="chapter{c}.xhtml#line{number}"/>'
                f'<audio src="{audio}" clipBegin="0s" clipEnd="{recording.seconds:.3f}s"/></par>'
            )
        files[f"chapter{c}.xhtml"] = _xhtml(chapter[0].text, _listed(texts), wishes.language)
        files[f"chapter{c}.smil"] = SMIL.format(c=c, pars="\n".join(pars))
    files["nav.xhtml"] = _xhtml(f"{title}: contents", _nav(chapters), wishes.language)
    files["package.opf"] = _package(title, chapters, files, wishes.language)
    return _zipped(files)


def folder(lines: Iterable[Line], wishes: Wishes, to: Path) -> int:
    """Write each line as a WAV file, named so that they sort in reading order, and a playlist; gives how many. Raises
    SheetError."""
    names = []
    chapter = 0
    try:
        to.mkdir(parents=True, exist_ok=True)
        for k, recording in enumerate(_record(lines, wishes), 1):
            chapter += recording.line.kind in ("title", "heading")
            what = recording.line.label if recording.line.kind == "round" else recording.line.text
            name = f"{chapter:02d}-{k:03d}-{_file_name(what)}.wav"
            with wave.open(str(to / name), "wb") as file:
                file.setnchannels(1)
                file.setsampwidth(2)
                file.setframerate(recording.rate)
                file.writeframes(recording.samples.astype("<i2").tobytes())
            names.append(name)
        (to / "playlist.m3u8").write_text("#EXTM3U\n" + "\n".join(names) + "\n", "utf-8")
    except OSError as error:
        raise SheetError(
            f"I can't write into {to}: {error.strerror or error}.", "Check the folder and the disk."
        ) from None
    return len(names)


def _file_name(text: str) -> str:
    return (
        "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in text.lower()).split())[:40].strip("-")
        or "line"
    )


# ---------------------------------------------------------------- sound
def _record(lines: Iterable[Line], wishes: Wishes) -> list[Recording]:
    import numpy as np

    if wishes.mouth is None:
        raise SheetError("An audio book needs a voice, and none was given.", "Write an .html or .txt file instead.")
    made = []
    for line in lines:
        if line.kind == "key":
            continue
        text = spoken(line, wishes.terms or wishes.written, wishes.language, wishes.written)
        pieces, rate = [], 22_050
        for sentence in _sentences(text):
            speech = wishes.mouth.say(sentence, RATE)
            rate = speech.rate
            pieces += [speech.samples, np.zeros(int(PAUSE * rate), np.int16)]
        pieces.append(np.zeros(int(END * rate), np.int16))
        made.append(Recording(line, text, np.concatenate(pieces), rate))
    return made


def _sentences(text: str) -> list[str]:
    """Sentences; the engine's own pauses between them are uneven."""
    parts = text.replace("? ", "?\n").replace("! ", "!\n").replace(". ", ".\n").split("\n")
    return [p for p in (part.strip() for part in parts) if any(c.isalnum() for c in p)]


def mp3(recording: Recording) -> bytes:
    """The recording as MP3. Raises SheetError where the encoder is not installed."""
    try:
        import soundfile
    except (ImportError, OSError):
        raise SheetError(
            "An audio book needs the package soundfile, which is not installed.",
            installing("soundfile", "write a folder of recordings: --to FOLDER/"),
        ) from None
    out = io.BytesIO()
    soundfile.write(out, recording.samples, recording.rate, format="MP3", subtype="MPEG_LAYER_III")
    return out.getvalue()


# ---------------------------------------------------------------- words
def _chapters(recordings: list[Recording]) -> list[list[Recording]]:
    chapters: list[list[Recording]] = []
    for recording in recordings:
        if recording.line.kind in ("title", "heading") or not chapters:
            chapters.append([])
        chapters[-1].append(recording)
    return chapters


def _element(recording: Recording, number: int) -> tuple[str, str]:
    """(list it belongs to or "", element)."""
    kind = recording.line.kind
    tag = {"title": "h1", "heading": "h1", "round": "li", "item": "li"}.get(kind, "p")
    group = {"round": "ol", "item": "ul"}.get(kind, "")
    return group, f'<{tag} id="line{number}">{escape(recording.text)}</{tag}>'


def _listed(elements: list[tuple[str, str]]) -> str:
    out: list[str] = []
    open_list = ""
    for group, element in elements:
        if group != open_list:
            out += [f"</{open_list}>"] * bool(open_list) + [f"<{group}>"] * bool(group)
            open_list = group
        out.append(element)
    return "\n".join(out + [f"</{open_list}>"] * bool(open_list))


def _nav(chapters: list[list[Recording]]) -> str:
    out = ["<h1>Contents</h1>", '<nav epub:type="toc" id="toc" aria-label="Contents">', "<ol>"]
    number = 0
    for c, chapter in enumerate(chapters, 1):
        rounds = []
        for recording in chapter:
            number += 1
            if recording.line.kind == "round":
                rounds.append(f'<li><a href="chapter{c}.xhtml#line{number}">{escape(recording.line.label)}</a></li>')
        inner = f"<ol>{''.join(rounds)}</ol>" if rounds else ""
        out.append(f'<li><a href="chapter{c}.xhtml">{escape(chapter[0].text)}</a>{inner}</li>')
    return "\n".join([*out, "</ol>", "</nav>"])


# ---------------------------------------------------------------- files
STYLE = """body { font-family: sans-serif; line-height: 1.6; }
ol, ul { list-style: none; padding: 0; } li, p { margin: .7em 0; }
.speaking { background: #ffe45c; color: #000; }
"""
SMIL = """<?xml version="1.0" encoding="utf-8"?>
<smil xmlns="http://www.w3.org/ns/SMIL" xmlns:epub="http://www.idpf.org/2007/ops" version="3.0">
<body><seq id="seq{c}" epub:textref="chapter{c}.xhtml#all">
{pars}
</seq></body>
</smil>
"""
CONTAINER = """<?xml version="1.0" encoding="utf-8"?>
<container xmlns="urn:oasis:names:tc:opendocument:xmlns:container" version="1.0">
<rootfiles><rootfile full-path="book/package.opf" media-type="application/oebps-package+xml"/></rootfiles>
</container>
"""


def _xhtml(title: str, body: str, language: str) -> str:
    return (
        f'<?xml version="1.0" encoding="utf-8"?>\n<!DOCTYPE html>\n<html xmlns="http://www.w3.org/1999/xhtml" '
        f'xmlns:epub="http://www.idpf.org/2007/ops" lang="{language}" '
        f'xml:lang="{language}">\n<head><title>{escape(title)}</title>'
        f'<link rel="stylesheet" type="text/css" href="style.css"/></head>\n<body>\n<main id="all">\n{body}\n</main>\n'
        "</body>\n</html>\n"
    )


def _package(title: str, chapters: list[list[Recording]], files: dict[str, str | bytes], language: str) -> str:
    lengths = [sum(r.seconds for r in chapter) for chapter in chapters]
    name = uuid.uuid5(uuid.NAMESPACE_OID, "\n".join(r.text for chapter in chapters for r in chapter))
    meta = [
        f'<dc:identifier id="id">urn:uuid:{name}</dc:identifier>',
        f"<dc:title>{escape(title)}</dc:title>",
        f"<dc:language>{language}</dc:language>",
        f'<meta property="dcterms:modified">{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}</meta>',
        f'<meta property="media:duration">{sum(lengths):.3f}s</meta>',
        '<meta property="media:active-class">speaking</meta>',
    ]
    meta += [
        f'<meta property="media:duration" refines="#smil{c}">{seconds:.3f}s</meta>'
        for c, seconds in enumerate(lengths, 1)
    ]
    meta += [
        f'<meta property="schema:{key}">{value}</meta>'
        for key, value in (
            ("accessMode", "textual"),
            ("accessMode", "auditory"),
            ("accessModeSufficient", "textual"),
            ("accessModeSufficient", "auditory"),
            ("accessibilityFeature", "synchronizedAudioText"),
            ("accessibilityFeature", "tableOfContents"),
            ("accessibilityFeature", "structuralNavigation"),
            ("accessibilityFeature", "readingOrder"),
            ("accessibilityHazard", "none"),
            (
                "accessibilitySummary",
                "Every line is text and speech at once; each round is one recording that can be gone to from "
                "the contents.",
            ),
        )
    ]
    items = [
        '<item id="nav" href="nav.xhtml" media-type="application/xhtml+xml" properties="nav"/>',
        '<item id="style" href="style.css" media-type="text/css"/>',
    ]
    for c in range(1, len(chapters) + 1):
        items += [
            f'<item id="chapter{c}" href="chapter{c}.xhtml" media-type="application/xhtml+xml" '
            f'media-overlay="smil{c}"/>',
            f'<item id="smil{c}" href="chapter{c}.smil" media-type="application/smil+xml"/>',
        ]
    items += [
        f'<item id="a{Path(file).stem}" href="{file}" media-type="audio/mpeg"/>'
        for file in files
        if file.startswith("audio/")
    ]
    spine = "".join(f'<itemref idref="chapter{c}"/>' for c in range(1, len(chapters) + 1))
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n<package xmlns="http://www.idpf.org/2007/opf" version="3.0" '
        'unique-identifier="id" '
        f'xml:lang="{language}" prefix="schema: http://schema.org/">\n<metadata '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/">\n'
        + "\n".join(meta)
        + "\n</metadata>\n<manifest>\n"
        + "\n".join(items)
        + f"\n</manifest>\n<spine>{spine}</spine>\n</package>\n"
    )


def _zipped(files: dict[str, str | bytes]) -> bytes:
    """The container: its type comes first and is not compressed (EPUB 3.3, 4.2)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr(zipfile.ZipInfo("mimetype"), "application/epub+zip", zipfile.ZIP_STORED)
        book.writestr("META-INF/container.xml", CONTAINER)
        for name, content in files.items():
            book.writestr(
                f"book/{name}", content, zipfile.ZIP_STORED if name.endswith(".mp3") else zipfile.ZIP_DEFLATED
            )
    return out.getvalue()
