"""Small works for the guide's tests, built by hand from the fabric's trees, and random ones; and walks through them."""

from __future__ import annotations

from hypothesis import strategies as st

from coach.fabric.model import Fabric, Worked, WorkedPart, Yarn
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, State
from coach.notation.model import NEXT, RING, Action, Fault, Group, Into, Note, Part, Pattern, Round, Stitch

V = Top("sc")


def sc(into: Into = NEXT, loop: str = "both") -> Leaf:
    return Leaf(Stitch("sc", into, loop), takes=int(into == NEXT), makes=1, tops=(V,))


INC = Leaf(Group((Stitch("sc"), Stitch("sc"))), takes=1, makes=2, tops=(V, V))
DEC = Leaf(Stitch("invdec"), takes=2, makes=1, tops=(V,))
JOIN = Leaf(Action("join"))


def rnd(number: int, tree: Tree, stated: int | None = None, same: bool = False, label: str = "",
        faults: tuple[Fault, ...] = (), readings: tuple[str, ...] = (), yarn: Yarn = Yarn(), **source: object) -> Worked:
    source = Round(label or f"Rnd {number}", number, source.pop("kind", "round"), source.pop("body", ()), **source)
    return Worked(source, tree, tree.takes, stated, same, readings, faults, yarn=yarn)


def part(name: str, *rounds: Worked, make: int = 1, notes: tuple[Note, ...] = ()) -> WorkedPart:
    return WorkedPart(Part(name, make, tuple(w.source for w in rounds), notes), rounds)


def fabric(*parts: WorkedPart, assembly: tuple[str, ...] = (), title: str = "Seal", text: str = "",
           notes: tuple[Note, ...] = (), abbreviations: tuple[tuple[str, str], ...] = ()) -> Fabric:
    pattern = Pattern(text, title, assembly=tuple(Note(t) for t in assembly), notes=notes, abbreviations=abbreviations)
    return Fabric(pattern, 0, parts, ())


BODY = part(
    "Body",
    rnd(1, Loop(sc(RING), 6), 6, foundation=(Action("ring"),)),
    rnd(2, Loop(INC, 6), 12),
    rnd(3, Loop(Run((Loop(sc(), 2), INC)), 4), 16),
    rnd(4, Loop(sc(), 16), 16, notes=(Note("Stuff firmly.", "stuff"),)),
    rnd(5, Loop(sc(), 16), 16, same=True),
)
FLIPPER = part("Flipper", rnd(1, Loop(sc(RING), 5), 5), rnd(2, Loop(sc(), 5), 5),
               make=2, notes=(Note("Use the grey yarn."),))
SEAL = fabric(BODY, FLIPPER, assembly=("Sew on the flippers.", "Weave in the ends."))


# ---- random works

leaves = st.sampled_from([sc(), sc(RING), INC, DEC, JOIN, Leaf(Stitch("dc"), takes=1, makes=1, tops=(Top("dc"),)),
                          Leaf(None, steps=0)])
trees = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=5).map(lambda found: Run(tuple(found))),
        st.builds(Loop, inner, st.integers(1, 7)),
    ),
    max_leaves=8,
)
notes = st.lists(st.just(Note("Feel the edge.")), max_size=2).map(tuple)


@st.composite
def parts(draw: st.DrawFn) -> WorkedPart:
    first = draw(st.integers(1, 3))
    found = draw(st.lists(st.tuples(trees, notes), max_size=4))
    rounds = (rnd(first + i, tree, notes=told) for i, (tree, told) in enumerate(found))
    return part(draw(st.sampled_from(["Body", "Fin", ""])), *rounds, make=draw(st.integers(1, 3)), notes=draw(notes))


works = st.builds(
    lambda found, steps: fabric(*found, assembly=("Sew it on.",) * steps),
    st.lists(parts(), max_size=3),
    st.integers(0, 2),
)


# ---- walks

def led(work, *asked: Request, state: State = State()) -> State:
    state, _ = begin(work, state)
    for request in asked:
        state, _ = answer(work, state, request)
    return state


def spot(state: State) -> tuple[Place, int]:
    return state.place, state.announced
