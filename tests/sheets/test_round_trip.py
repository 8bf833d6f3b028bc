"""Our own patterns go out as sheets and come back as the same patterns: parts, rounds, counts, colours, lists."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from coach import sheets
from coach.fabric import work
from coach.fabric.model import Fabric
from coach.notation import read
from coach.sheets.bring import Brought, bring
from coach.sheets.lines import lines, steps_of

PATTERNS = sorted((Path(__file__).parents[2] / "patterns").glob("*.md"))
NAMES = [path.stem for path in PATTERNS]


@cache
def pattern(name: str, size: int = 0) -> Fabric:
    (path,) = (path for path in PATTERNS if path.stem == name)
    return work(read(path.read_text("utf-8")), size)


def brought(fabric: Fabric, folder: Path, ending: str, **wishes) -> Brought:
    """What is taken out of the sheet of a pattern."""
    sheet = folder / f"sheet{ending}"
    sheets.write(fabric, sheet, sheets.Wishes(written=fabric.pattern.terms, **wishes))
    return bring(sheet)


def rounds(fabric: Fabric) -> list[tuple]:
    """All that is to be worked: of each part its name and rounds, of each round label, counts, steps and colours."""
    terms = fabric.pattern.terms
    return [(part.name, part.make, [(worked.label, worked.source.kind, worked.made, worked.takes, worked.stated or worked.made,
                                     worked.yarn.first.lower(), worked.yarn.after.lower(), steps_of(worked, terms).lower())
                                    for worked in part.rounds]) for part in fabric.parts]


def same(out: Fabric, back: Brought) -> None:
    again = work(back.pattern)
    assert [fault.message for fault in again.faults] == []
    assert rounds(again) == rounds(out)
    assert (back.pattern.title, back.pattern.terms) == (out.pattern.title, out.pattern.terms)
    assert (back.pattern.materials, back.pattern.gauge) == (out.pattern.materials, out.pattern.gauge)
    assert [note.text for note in back.pattern.assembly] == [note.text for note in out.pattern.assembly]
    heard = [note.text for note in back.pattern.notes]
    assert heard[-len(out.pattern.notes):] == [note.text for note in out.pattern.notes]  # before them: how to read the sheet


@pytest.mark.parametrize("ending", [".html", ".txt"])
@pytest.mark.parametrize("name", NAMES)
def test_a_page_or_a_text(name, ending, tmp_path):
    same(pattern(name), brought(pattern(name), tmp_path, ending))


@pytest.mark.parametrize("points", [14, 20, 40])
@pytest.mark.parametrize("name", NAMES)
def test_large_print_as_a_pdf(name, points, tmp_path):
    pytest.importorskip("reportlab", reason="a PDF needs reportlab")
    same(pattern(name), brought(pattern(name), tmp_path, ".pdf", type_size=points))


@pytest.mark.parametrize("name", NAMES)
def test_what_is_brought_prints_the_same_rounds_once_more(name, tmp_path):
    out = pattern(name)
    again = work(brought(out, tmp_path, ".html").pattern)
    printed = [[(line.label, line.text, line.count) for line in lines(fabric) if line.kind == "round"]
               for fabric in (out, again)]
    assert printed[0] == printed[1]


@pytest.mark.parametrize("size", [0, 1, 2])
@pytest.mark.parametrize("ending", [".html", ".txt"])
def test_each_size_of_a_pattern_in_sizes(size, ending, tmp_path):
    cap = pattern("cap", size)
    back = brought(cap, tmp_path, ending)
    assert work(back.pattern).faults == ()
    assert rounds(work(back.pattern)) == rounds(cap)
    left = [r.label for r in cap.parts[0].source.rounds if r.sizes and size not in r.sizes]
    assert ("Go straight on to Rnd 24." in back.text) is ("Rnd 23" in left)


@pytest.mark.parametrize("name", NAMES)
def test_rounds_put_into_the_other_terms_are_read_in_these(name, tmp_path):
    """The gauge and the remarks stay in the pattern's own terms, so that the mixture is told."""
    out = pattern(name)
    other = "US" if out.pattern.terms == "UK" else "UK"
    back = work(brought(out, tmp_path, ".html", terms=other).pattern)
    assert back.pattern.terms == other
    assert [[steps_of(w, other).lower() for w in part.rounds] for part in back.parts] == [
        [steps_of(w, other).lower() for w in part.rounds] for part in out.parts]
    assert {fault.kind for fault in back.faults} <= {"terms"}
