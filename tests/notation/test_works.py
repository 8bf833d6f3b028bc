"""Random works, printed as patterns, are read back as they were; what one changed number breaks is found out."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from making import works
from variants import VARIANTS, WORDINGS
from works import Work, comes_out, read_back

from coach.fabric import work
from coach.notation import read
from coach.notation.model import Action, Chain, Evenly, Group, Node, Repeat, Skip, Stitch


@settings(max_examples=150)
@given(works())
def test_the_same_rounds_and_counts_come_back(wanted: Work):
    read_back(wanted)


@settings(max_examples=150)
@given(works(), st.sampled_from([*VARIANTS, *WORDINGS]))
def test_setting_and_wording_change_nothing(wanted: Work, variant: str):
    pattern = read((VARIANTS | WORDINGS)[variant](wanted.page()))
    for size in range(wanted.sizes):
        comes_out(wanted, work(pattern, size))


# ---- one number changed


def test_a_changed_number_is_found_out():
    """Of every 100 works with one number changed, at least 98 are flagged, where the arithmetic can show it."""
    missed: list[str] = []
    seen = 0

    @settings(max_examples=250, deadline=None, database=None, derandomize=True)
    @given(works(), st.integers(0, 60), st.sampled_from((-2, -1, 1, 2, 5)))
    def gather(wanted: Work, which: int, by: int):
        nonlocal seen
        other = wanted.with_one_changed(which, by)
        if other is not None:
            seen += 1
            pattern = read(other.page())
            if not any(work(pattern, size).faults for size in range(other.sizes)):
                missed.append(other.page())

    gather()
    assert seen > 100
    assert len(missed) <= 0.02 * seen, "\n\n".join(missed)


# ---- what random works hold


def features(wanted: Work) -> set[str]:
    """The forms of patterns that a work has."""
    found = {wanted.kind, wanted.terms, f"{wanted.sizes} sizes"}
    for line in wanted.lines:
        found |= {"a colour in a label"} if line.colour else set()
        found |= {"a count by kinds"} if line.by_kind else set()
        found |= {"rows that repeat others"} if line.words else set()
        for node in flat(line.nodes):
            found |= set(named(node))
    return found


def flat(nodes: tuple[Node, ...]) -> list[Node]:
    return [found for n in nodes for found in (n, *flat(getattr(n, "body", ())))]


def named(node: Node):
    match node:
        case Chain(counts=True):
            yield "a chain that counts"
        case Chain(counts=False):
            yield "a chain that does not count"
        case Chain():
            yield "a chain space"
        case Stitch(stitch=id) | Group(body=(Stitch(stitch=id), *_)):
            yield id
            if getattr(node, "into", None) and node.into.kind != "next":
                yield f"into {node.into.kind}"
        case Repeat(cut=cut, times=times):
            yield "ending at **" if cut is not None else times.kind
        case Skip(what=what):
            yield f"skip {what}"
        case Evenly(stitch=kind):
            yield f"{kind} evenly"
        case Action(kind=kind, text=text):
            yield f"{kind} {text.split()[0]}" if kind == "colour" else kind
    if isinstance(node, Group) and any(isinstance(n, Chain) for n in node.body):
        yield "chains within a group"


WANTED = {
    "row", "round", "joined", "US", "UK", "1 sizes", "2 sizes", "3 sizes", "a colour in a label", "a count by kinds",
    "rows that repeat others", "a chain that counts", "a chain that does not count", "a chain space", "fpdc", "bpdc",
    "shell", "vst", "cl", "bobble", "dc3tog", "slst", "into space", "into same", "into hook", "into chain", "into last",
    "into ring", "into between", "into tch", "ending at **",
    "exact", "fill", "skip stitch", "skip space", "skip rest", "inc evenly", "dec evenly", "turn", "join", "other_side",
    "colour with", "colour change", "chains within a group",
}  # fmt: skip


def test_random_works_have_everything():
    found: set[str] = set()

    @settings(max_examples=600, deadline=None, database=None, derandomize=True)
    @given(works())
    def gather(wanted: Work):
        found.update(features(wanted))

    gather()
    assert found >= WANTED, WANTED - found

