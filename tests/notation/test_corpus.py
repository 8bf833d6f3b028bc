"""Passages as makers paste them, and the counts that come off the hook: the outside truth for reader and fabric.

Each file of `corpus/` is one theme. A case:

    text           the passage, one line or a small pattern
    made           counted stitches of each round, in order over all parts; -1: not claimed
    parts          the same as a list for each part; made_by_size: the same as a list for each size
    takes          stitches of the round below that each round takes up; -1: not claimed
    labels, names, make   of rounds and parts
    stitches       for each round the stitches ("dc") and spaces ("space 2": of two chains) of each named kind
    terms, size    default "US" and 0
    faults         the kinds of fault, warnings too; default none
    uncounted      labels of the rounds whose count can't be known (`made` is 0); default none where there is no fault

The wording is ours; the arithmetic was done by hand and again by a separate small calculator. Common practice, no
source, where the text doesn't say it: ch 3 and more stand for a stitch, ch 1 and ch 2 do not; joins, picots, chains of a
space and travelling slip stitches are not counted. A piece worked to a length only has its repeated rows once.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from pydantic import BaseModel, ConfigDict

from coach.fabric import work
from coach.notation import read

CORPUS = Path(__file__).parent / "corpus"
UNCLAIMED = -1


class Case(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    text: str
    made: list[int] | None = None
    parts: list[list[int]] | None = None
    made_by_size: list[list[int]] | None = None
    takes: list[int] | None = None
    labels: list[str] | None = None
    names: list[str] | None = None
    make: list[int] | None = None
    stitches: list[dict[str, int]] | None = None
    terms: str = "US"
    size: int = 0
    faults: list[str] = []
    uncounted: list[str] | None = None

    def for_sizes(self) -> list[Case]:
        """One case for each size that has its own counts."""
        if self.made_by_size is None:
            return [self]
        return [self.model_copy(update={"name": f"{self.name}, size {size + 1}", "size": size, "made": made})
                for size, made in enumerate(self.made_by_size)]


def cases() -> list[tuple[str, Case]]:
    """(theme, case) of every case in the corpus."""
    return [(path.stem, case) for path in sorted(CORPUS.glob("*.toml"))
            for data in tomllib.loads(path.read_text("utf-8"))["case"]
            for case in Case.model_validate(data).for_sizes()]


CASES = cases()


def differs(found: list[int], expected: list[int]) -> bool:
    """Whether the lists differ in a number that the case claims."""
    return len(found) != len(expected) or any(e not in (UNCLAIMED, f) for f, e in zip(found, expected))


@pytest.mark.parametrize(("theme", "case"), CASES, ids=[f"{theme}: {case.name}" for theme, case in CASES])
def test_passage(theme: str, case: Case):
    fabric = work(read(case.text), size=case.size)
    rounds = [r for part in fabric.parts for r in part.rounds]
    wrong = []

    def compare(what: str, found: list, expected: list | None):
        if expected is not None and (differs(found, expected) if what in ("made", "takes") else found != expected):
            wrong.append(f"{what}: found {found}, expected {expected}")

    compare("made", [r.made for r in rounds], case.made)
    compare("takes", [r.takes for r in rounds], case.takes)
    if case.uncounted is not None or not case.faults:
        compare("uncounted", [r.label for r in rounds if not r.counted], case.uncounted or [])
    compare("labels", [r.label for r in rounds], case.labels)
    compare("names", [part.name for part in fabric.parts], case.names)
    compare("make", [part.make for part in fabric.parts], case.make)
    if case.parts is not None:
        found = [[r.made for r in part.rounds] for part in fabric.parts]
        if len(found) != len(case.parts) or any(differs(f, e) for f, e in zip(found, case.parts)):
            wrong.append(f"parts: found {found}, expected {case.parts}")
    if case.stitches is not None:
        found = [{kind: r.tree.tally.get(kind, 0) for kind in claimed} for r, claimed in zip(rounds, case.stitches)]
        compare("stitches", found, case.stitches)
    compare("terms", [fabric.pattern.terms], [case.terms])
    compare("faults", sorted({f.kind for f in fabric.faults}), sorted(case.faults))

    if wrong:
        faults = [f"  line {f.line}, column {f.column}: {f.kind}: {f.message}" for f in fabric.faults]
        pytest.fail("\n".join([*wrong, "", case.text.strip(), "", *faults]), pytrace=False)


def test_the_corpus_is_large_and_its_names_are_unique():
    names = [case.name for _, case in CASES]
    assert len(names) == len(set(names))
    assert len(names) >= 320


def test_every_case_claims_a_count_of_each_round():
    for _, case in CASES:
        assert case.made or case.parts, case.name
        for claimed in (case.takes, case.labels, case.stitches):
            assert claimed is None or case.made is None or len(claimed) == len(case.made), case.name


def test_every_kind_of_fault_has_passages_that_fail_and_many_that_pass():
    kinds = {kind for _, case in CASES for kind in case.faults}
    assert kinds >= {"count", "short", "leaves", "repeat", "bracket", "unknown", "missing", "twice", "terms", "sizes",
                     "special", "turning", "assembly", "total", "ambiguous", "ruffle", "cup", "ring_decrease", "space",
                     "ring_again"}
    assert sum(not case.faults for _, case in CASES) > 250
