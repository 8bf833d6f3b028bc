"""Instructions of 1855 to 1918 as they were printed: what can't be read is a fault at its place, never a wrong reading.

The passages and the counts that they state or imply are in the folder `shared/reference/public_domain` beside the
repository (books out of copyright; its `index.toml` names each). Nothing of them is kept here: without the folder these
tests are skipped, and `corpus/old_handbooks.toml` goes the same way in sentences of our own.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

import pytest

from coach.fabric import work
from coach.fabric.model import Fabric, Worked
from coach.fabric.tree import Tree
from coach.notation import read
from coach.notation.model import Chain, Span

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
    assert read_lines / all_lines >= 0.88
    assert sound > 250 and sound / rounds >= 0.88


# ---- expected.toml: what each passage states or implies, and where in the work it is found

def made(fabric: Fabric, *numbers: int) -> list[int]:
    return [round_numbered(fabric, n).made for n in numbers]


def chain_of(fabric: Fabric, number: int = 1) -> int:
    """Chains that a round is worked into."""
    return next(n.count for n in round_numbered(fabric, number).source.foundation if isinstance(n, Chain))


def said(fabric: Fabric, number: int) -> int:
    """The total that a round is said to have."""
    return round_numbered(fabric, number).source.stated[0].amount


def closing(name: str, words: str) -> Fabric:
    """A passage up to the remark that begins with these words."""
    (path,) = PASSAGES.glob(f"{name}*.txt")
    return work(read(path.read_text("utf-8").split(words)[0]))


FOUND: dict[str, Callable[[Fabric], list[int]]] = {
    # Handbook of Wool Knitting and Crochet, 1918
    "hb03": lambda f: made(f, 1),
    "hb09": lambda f: made(f, 1, 2, 3),
    "hb11": lambda f: [leaf.makes for leaf in heavy(round_numbered(f, 1))],
    "hb15": lambda f: [round_numbered(f, 1).tree.spaces, chain_of(f)],
    "hb17": lambda f: [*made(f, 1, 3, 5, 7, 9), *(n // 3 for n in made(f, 1, 3, 5, 7))],  # a cross over three stitches
    "hb21": lambda f: made(f, 1, 2, 3, 4, 5),
    "hb23": lambda f: made(f, 2),
    "hb27": lambda f: [said(f, 1), round_numbered(f, 2).tree.tally["star"], *made(f, 3)],
    "hb29": lambda f: [made(f, 1)[0] - 1, said(f, 2)],  # without the chain that stands for a treble
    # Beeton's Book of Needlework, 1870
    "be04": lambda f: [*made(f, 1, 2), round_numbered(f, 3).tree.spaces, said(f, 13)],
    "be08": lambda f: [said(f, 1), 1 + made(f, 1)[0]],  # of the rays one is the chain it stands on
    "be10": lambda f: [n // 7 for n in (*made(f, *range(2, 13)), *made(closing("be10", " The pattern of"), 13))],
    # Encyclopedia of Needlework, 1880s
    "di04": lambda f: made(f, 1),
    "di06": lambda f: made(f, 1),
    "di08": lambda f: made(f, 5),
    # The Ladies' Work-Book, about 1855
    "wb05": lambda f: made(f, *range(2, 16)),
    "wb07": lambda f: [chain_of(f), said(f, 1), 3 * said(f, 1)],
    "wb09": lambda f: [*made(f, 30), 30 // 2],
    "wb11": lambda f: [183, 135, 1368],  # arithmetic without rows: worked in the test of squares below
    "wb13": lambda f: [round_numbered(f, 1).tree.spaces, chain_of(f)],
}
# Of these the text is not read to the last count; what tells it is a fault at its place: passage, counts found, line.
NOT_ALL = {"hb23": (1, 8), "di04": (1, 12), "di06": (1, 2)}


def heavy(worked: Worked) -> list[Tree]:
    """The runs of a row that make stitches."""
    return [child for child in worked.tree.children if child.makes]


def expected() -> dict[str, list[int]]:
    path = PASSAGES / "expected.toml"
    entries = tomllib.loads(path.read_text("utf-8"))["expected"] if path.is_file() else []
    return {entry["id"]: entry["counts"] for entry in entries}


def test_every_entry_is_looked_for():
    assert {id[:4] for id in expected()} == set(FOUND)


@pytest.mark.parametrize("passage", expected())
def test_counts_of_the_handbooks(passage: str):
    fabric, counts = fabric_of(passage), expected()[passage]
    found = FOUND[passage[:4]](fabric)
    many, line = NOT_ALL.get(passage[:4], (len(counts), None))
    faults = [(f.kind, f.line, f.message) for f in fabric.faults]
    assert found == counts[:many], faults
    assert line is None or line in {f.line for f in fabric.faults if f.severity == "error"}, faults


@dataclass(frozen=True)
class Check:
    """`made` of one round: any of these numbers. `source` is where the number comes from."""

    passage: str
    number: int
    made: tuple[int, ...]
    source: str

    def __str__(self) -> str:
        return f"{self.passage} {self.number}"


FURTHER = [  # what `index.toml` says of other rounds
    Check("hb11", 2, (148,), "3 more on each side of the shell"),
    Check("hb15", 2, (38,), "12 groups of 3 trebles, the last of 4, and the chain"),
    Check("hb15", 49, (12,), "the 12 loops of row 1, in each row of loops"),
    Check("hb25", 1, (37,), "derived: a treble in each of 37 chains, the first of them 3 chains"),
    Check("di10", 1, (8,), "8 trebles in all"),
    Check("di10", 2, (32,), "derived: 3 over each space and 1 over each treble"),
    Check("wb09", 2, (5,), "derived: row n has 2n + 1"),
    Check("wb09", 3, (7,), "derived: row n has 2n + 1"),
]


@pytest.mark.parametrize("check", FURTHER, ids=str)
def test_further_counts(check: Check):
    fabric = fabric_of(check.passage)
    assert round_numbered(fabric, check.number).made in check.made, check.source


@pytest.mark.parametrize(("squares", "stitches"), [(61, 183), (45, 135), (6 * 61 + 2 * 45, 1368)])
def test_squares_of_the_work_book_and_the_one_over(squares: int, stitches: int):
    """Its curtain: patterns of 61 squares, borders of 45, "the one over, always needed in square crochet"."""
    row = f"Make {stitches + 1} chain, turn back, work 1 l., 2 ch., 1 l. into 3rd loop, make {squares} squares."
    assert work(read(row)).faults == ()
    assert {f.kind for f in work(read(row.replace(f"{stitches + 1} chain", f"{stitches - 2} chain"))).faults} == {"total"}


@pytest.mark.parametrize(("passage", "source"), [
    ("be08", "Beeton 1870: says 8 rays, its trebles give 6"),
    ("wb07", "Ladies' Work-Book: says 138 squares on 386 chains, they need 414"),
])
def test_a_total_that_the_text_cannot_give_is_a_fault(passage: str, source: str):
    assert "total" in {f.kind for f in fabric_of(passage).faults}, source


@pytest.mark.parametrize(("passage", "number"), [("hb15", 1), ("wb13", 1), ("hb03", 1)])
def test_a_row_that_uses_its_whole_chain_has_no_fault(passage: str, number: int):
    """Stated and checked in index.toml: 52 = 8 + 11 x 4, 41 = 9 + 8 x 4, 54 = 4 + 25 x 2."""
    assert round_numbered(fabric_of(passage), number).sound
