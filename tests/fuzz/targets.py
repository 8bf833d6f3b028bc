"""What is fuzzed: functions of any bytes that raise when a promise is broken.

    pattern   a text is read and worked; every span lies inside it
    request   words, spoken and typed, are understood or not, however they are set
    printed   stitches or a whole work made of the bytes are printed and read back (see `programs` and `making`)
    brought   a file, as a text or a web page, becomes a pattern file or a sentence says why not
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "notation"), str(TESTS.parent)]

from making import works  # noqa: E402
from passages import plain, spans  # noqa: E402
from programs import makes, programs, takes  # noqa: E402
from promises import kept  # noqa: E402
from works import Work, read_back  # noqa: E402

from coach.fabric import work  # noqa: E402
from coach.guide.model import Request  # noqa: E402
from coach.guide.requests import REQUESTS  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import for_key, normal, understand  # noqa: E402
from coach.notation import read  # noqa: E402
from coach.notation.printer import write  # noqa: E402
from coach.sheets.bring import bring_data, kind_of  # noqa: E402
from coach.sheets.errors import SheetError  # noqa: E402
from coach.sheets.from_page import page  # noqa: E402

CORPUS = Path(__file__).parent / "corpus"
QUICK = 20_000  # characters that `bring` reads without a worker


def text_of(data: bytes) -> str:
    """The text of any bytes: UTF-8 where it is that, else each byte is a character."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def pattern(data: bytes) -> None:
    kept(text_of(data))


def request(data: bytes) -> None:
    text = text_of(data)
    for book in (load("en"), load("ko")):
        for typed in (False, True):
            for terms in ("US", "UK"):
                found, plain_ = (
                    understand(book, words, typed, terms, parts=("Body", "Left fin"), own=("limpet stitch",))
                    for words in (text, normal(text))
                )
                assert found is None or found.name in REQUESTS
                assert not normal(text) or _alike(found, plain_), (found, plain_)
        for_key(book, text)


def _alike(a: Request | None, b: Request | None) -> bool:
    """Whether they ask the same; what is typed is kept as it is typed."""
    if a is None or b is None:
        return a is b
    as_words = isinstance(a.value, str) and isinstance(b.value, str)
    return a.name == b.name and (normal(a.value) == normal(b.value) if as_words else a.value == b.value)


def printed(data: bytes) -> None:
    _round_trip.hypothesis.fuzz_one_input(data)


@settings(database=None, deadline=None)
@given(st.one_of(programs, works()))
def _round_trip(wanted: tuple | Work) -> None:
    if isinstance(wanted, Work):
        read_back(wanted)
        return
    below, made = sum(map(takes, wanted)), sum(map(makes, wanted))
    text = f"Rnd 1: {below} sc in magic ring. ({below})\nRnd 2: {write(wanted)}. ({made})"
    found = read(text)
    worked = work(found)
    assert plain(found.parts[0].rounds[1].body) == plain(wanted), text
    assert [(r.takes, r.made) for r in worked.parts[0].rounds[1:]] == [(below, made)], text
    assert not worked.faults, text


def brought(data: bytes) -> None:
    if kind_of(data, "buoy.txt") in ("text", "html"):
        taken = page(data).text
        assert isinstance(taken, str)
        data = taken.encode("utf-8", "surrogatepass") if kind_of(data, "buoy.txt") == "html" else data
    if kind_of(data, "buoy.txt") != "text" or len(data) > QUICK:
        return  # for a worker process
    try:
        found = bring_data(data, "buoy.txt")
    except SheetError as error:
        assert error.message.endswith(".") and error.hint
        return
    assert all(0 <= s.start <= s.end <= len(found.text) for s in spans(found.pattern))
    assert any(part.rounds for part in found.pattern.parts)
    assert all(line.strip() for line in found.told())


TARGETS: dict[str, Callable[[bytes], None]] = {t.__name__: t for t in (pattern, request, printed, brought)}
