"""What the reader promises whatever the text: nothing is raised, and every span, fault and count is one that can be."""

from __future__ import annotations

from passages import spans

from coach.fabric import work
from coach.fabric.changing import told_in_colours
from coach.fabric.model import Fabric
from coach.notation import read
from coach.notation.printer import write


def kept(text: str) -> Fabric:
    """Reads and works a text in two sizes, and asserts what is promised of any."""
    pattern = read(text)
    assert pattern.text == text
    for span in spans(pattern):
        assert 0 <= span.start <= span.end <= len(text)
    lines = text.split("\n")
    for fabric in (work(pattern), work(pattern, 2)):
        for fault in fabric.faults:
            assert 1 <= fault.line <= len(lines)
            assert 1 <= fault.column < fault.end_column <= max(fault.column + 1, len(lines[fault.line - 1]) + 1)
            assert fault.message.strip() and fault.severity in ("error", "warning")
        for part in fabric.parts:
            for worked in part.rounds:
                assert worked.made >= 0 and worked.steps >= 0
                assert not worked.steps or worked.step_at(worked.steps // 2).steps
                assert worked.made_before(worked.steps) == worked.made
                assert all(tree.steps >= 0 for tree in told_in_colours(worked))
                assert isinstance(write(worked.source.body), str)
    return fabric
