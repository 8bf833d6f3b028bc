"""Instructions of 1855 to 1918 as they were printed: what can't be read is a fault at its place, never a wrong reading.

The passages and the counts that they state or imply are in the folder `shared/reference/public_domain` beside the
repository (books out of copyright; its `index.toml` names each). Nothing of them is kept here: without the folder these
tests are skipped, and `corpus/old_handbooks.toml` goes the same way in sentences of our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

import pytest

from coach.fabric import work
from coach.fabric.model import Fabric, Worked
from coach.notation import read
from coach.notation.model import Span

PASSAGES = Path(__file__).resolve().parents[3] / "shared" / "reference" / "public_domain"
FILES = sorted(PASSAGES.glob("*.txt"))

pytestmark = pytest.mark.skipif(not FILES, reason="the passages in ../shared/reference/public_domain are not here")


def fabric_of(name: str) -> Fabric:
    (path,) = PASSAGES.glob(f"{name}*.txt")
    return work(read(path.read_text("utf-8")))


def round_numbered(fabric: Fabric, number: int) -> Worked:
    """The first round or row with this number; a failure that names the rounds found where there is none."""
    rounds = [r for part in fabric.parts for r in part.rounds]
    for r in rounds:
        if r.source.number == number:
            return r
    pytest.fail(f"no round {number} among {[r.label for r in rounds]}", pytrace=False)


def spans(value: object) -> Iterator[Span]:
    """Every span in a value, however deep."""
    if isinstance(value, Span):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from spans(item)
    elif is_dataclass(value):
        for f in fields(value):
            yield from spans(getattr(value, f.name))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_span_and_fault_lies_inside_the_text(path: Path):
    text = path.read_text("utf-8")
    fabric = work(read(text))
    assert fabric.pattern.text == text
    for span in spans(fabric.pattern):
        assert 0 <= span.start <= span.end <= len(text)
    lines = text.split("\n")
    for fault in fabric.faults:
        assert 1 <= fault.line <= len(lines)
        end = len(lines[fault.line - 1]) + 1  # a fault of what is not there stands one past the line
        assert 1 <= fault.column <= end and fault.column < fault.end_column <= max(fault.column + 1, end)
        assert fault.message and fault.severity in ("error", "warning")


def test_the_share_of_lines_read(capsys: pytest.CaptureFixture):
    """A line with words counts as read when no error begins on it; lines of prose between rounds count too."""
    read_lines = all_lines = sound = rounds = 0
    for path in FILES:
        text = path.read_text("utf-8")
        fabric = work(read(text))
        faulty = {f.line for f in fabric.faults if f.severity == "error"}
        wordy = {i for i, line in enumerate(text.split("\n"), 1) if line.strip()}
        all_lines += len(wordy)
        read_lines += len(wordy - faulty)
        worked = [r for part in fabric.parts for r in part.rounds]
        rounds += len(worked)
        sound += sum(r.sound for r in worked)
    with capsys.disabled():
        print(f"\npublic-domain passages: {read_lines} of {all_lines} lines without an error "
              f"({read_lines / all_lines:.0%}), {sound} of {rounds} rounds sound")
    assert rounds > 50
    assert read_lines / all_lines > 0.5


@dataclass(frozen=True)
class Check:
    """`made` of one round: any of these numbers. `source` is where the number comes from."""

    passage: str
    number: int
    made: tuple[int, ...]
    source: str

    def __str__(self) -> str:
        return f"{self.passage} {self.number}"


CHECKS = [
    # Handbook of Wool Knitting and Crochet, 1918
    Check("hb03", 1, (26,), "stated: 26 doubles over a chain of 54"),
    Check("hb11", 1, (142, 143), "derived: 68 trebles, 6 of the shell, 68; the missed chains stand for one or none"),
    Check("hb15", 1, (12,), "stated: a double at each of 12 loops over a chain of 52"),
    Check("hb21", 1, (21,), "derived: 9, 3 and 9 around a chain of 11"),
    Check("hb21", 2, (23,), "derived: 10, 3 and 10"),
    Check("hb23", 2, (10,), "stated: a double in each of 10 doubles"),
    Check("hb25", 1, (37,), "derived: a treble in each of 37 chains, the first of them 3 chains"),
    Check("hb29", 1, (20,), "stated: 19 trebles, and 3 chains for a treble"),
    # Beeton's Book of Needlework, 1870
    Check("be04", 1, (30,), "stated: 30 over the circle of chains"),
    # The Ladies' Work-Book, about 1855
    Check("wb09", 2, (5,), "derived: row n has 2n + 1"),
    Check("wb09", 3, (7,), "derived: row n has 2n + 1"),
    Check("wb13", 1, (9, 10), "stated: 9 spaces over a chain of 41, a long stitch at each; the turning chain stands for one or none"),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_counts_of_the_handbooks(check: Check):
    fabric = fabric_of(check.passage)
    found = round_numbered(fabric, check.number)
    faults = [(f.kind, f.line, f.message) for f in fabric.faults]
    assert found.made in check.made, f"{check.source}; found {found.made}; {faults}"


@pytest.mark.parametrize(("passage", "source"), [
    ("be08", "Beeton 1870: says 8 rays, its trebles give 6"),
    pytest.param("wb07", "Ladies' Work-Book: says 138 squares on 386 chains, they need 414",
        marks=pytest.mark.xfail(strict=True, reason="it counts squares that no step of the row names")),
])
def test_a_total_that_the_text_cannot_give_is_a_fault(passage: str, source: str):
    assert "total" in {f.kind for f in fabric_of(passage).faults}, source


@pytest.mark.parametrize(("passage", "number"), [("hb15", 1), ("wb13", 1), ("hb03", 1)])
def test_a_row_that_uses_its_whole_chain_has_no_fault(passage: str, number: int):
    """Stated and checked in index.toml: 52 = 8 + 11 x 4, 41 = 9 + 8 x 4, 54 = 4 + 25 x 2."""
    assert round_numbered(fabric_of(passage), number).sound
