"""Changes of colour where the hook makes them: with the last pull of the stitch before.

A pattern names a colour where its stitches begin ("with B, sc in next 12 sts"), or after the stitch that takes it up
("change to B in the last st"). Both are one thing on the hook, and no step of its own: whoever has finished the stitch
is too late. So in a worked round a change is a leaf without steps, and `changes` puts one after the stitch that makes
it: never where the colour is on already, and in a repeat for each time as it is. New yarn after the old one was cut is
joined with a step of its own.
"""

from __future__ import annotations

import re
from dataclasses import replace

from coach.fabric.colours import UNNAMED, as_written, colour_named, named, noted, stitches_by_colour
from coach.fabric.model import Worked, Yarn
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.notation.model import Action, Chain, Note, Part, Round

_ONLY_A_CHANGE = re.compile(
    r"^(?:(?:change|switch)(?: colou?r)? to|(?:(?:go on|continue|work) )?(?:with|in)) [^.,;]*[.]?$", re.IGNORECASE
)
_UNNAMED = re.compile(r"^(?:chang|switch)(?:e|ing)?(?: colou?rs?)?(?: in .*)?$", re.IGNORECASE)
_DROPPED = re.compile(r"^(?:drop|carry)", re.IGNORECASE)
_NO_PULL = ("turn", "marker", "note", "other_side")
_NEW_YARN = re.compile(r"\b(?:cut|break|fasten|join)\b", re.IGNORECASE)


def is_change(tree: Tree) -> bool:
    """Whether it is a change that is made with the step before it."""
    return isinstance(tree, Leaf) and not tree.steps and isinstance(tree.node, Action)


def with_yarn(part: Part, rounds: list[Worked]) -> tuple[Worked, ...]:
    """The rounds of a part, each with the colours at its ends; a note that only tells its change is part of it then."""
    if not any(map(_is_coloured, rounds)) and noted(part.notes, UNNAMED) == UNNAMED:
        return tuple(rounds)
    colour = noted(part.notes, UNNAMED)
    cut = False
    found: list[Worked] = []
    for worked in rounds:
        source, tree = worked.source, _stepless(worked.tree) if _mentions(worked.tree) else worked.tree
        first = first_colour(tree, colour_named(source, colour))
        if found and not cut:
            found[-1] = _leading_to(found[-1], first)
        before = found[-1].yarn.after if found else colour
        last = _end(tree, first)
        colour = noted(source.notes, last)
        cut = _is_cut_first((*_ends(source), *source.notes))
        if not cut:
            source = replace(source, notes=tuple(n for n in source.notes if not _is_change(n)))
        found.append(replace(worked, source=source, tree=tree, yarn=Yarn(before, first, last, _mentions(tree))))
    if found and not cut:
        found[-1] = _leading_to(found[-1], colour)
    return tuple(found)


def _is_coloured(worked: Worked) -> bool:
    """Whether a round, or what is said with it, names or changes a colour."""
    source = worked.source
    return _mentions(worked.tree) or colour_named(source, UNNAMED) != UNNAMED or noted(source.notes, UNNAMED) != UNNAMED


def _leading_to(worked: Worked, colour: str) -> Worked:
    """The round with the change, at its end, to the colour of the next."""
    yarn = worked.yarn
    if yarn.after == colour:
        return worked
    children = list(worked.tree.children) if isinstance(worked.tree, Run) else [worked.tree]
    _insert(children, _change_to(colour))
    return replace(worked, tree=Run(tuple(children)), yarn=replace(yarn, after=colour, changes=True))


def _insert(children: list[Tree], change: Leaf) -> None:
    """A change after the last pull of these: a turn or a marker is none, nor the chain before a turn."""
    at = len(children)
    while at and isinstance(children[at - 1], Leaf) and getattr(children[at - 1].node, "kind", "") in _NO_PULL:
        at -= 1
    if at > 1 and at < len(children) and _is_turning_chain(children[at - 1]):
        at -= 1
    children.insert(at or len(children), change)


def _is_turning_chain(tree: Tree) -> bool:
    """Whether it is a chain that brings the hook to the height of the next row, and so has its colour."""
    return isinstance(tree, Leaf) and isinstance(tree.node, Chain) and not tree.tops


def _ends(source: Round) -> list[Action]:
    return [n for n in source.body if isinstance(n, Action) and n.kind == "fasten_off"]


def _is_cut_first(told: tuple[Action | Note, ...]) -> bool:
    """Whether yarn is cut or joined before any change is told: what is cut after it is the yarn that was left."""
    for one in told:
        if isinstance(one, Note) and _is_change(one):
            return False
        if _NEW_YARN.search(one.text):
            return True
    return False


def _is_change(note: Note) -> bool:
    return _ONLY_A_CHANGE.match(note.text) is not None and noted((note,), UNNAMED) != UNNAMED


# ---- trees


def _mentions(tree: Tree) -> bool:
    """Whether a change is in it."""
    if isinstance(tree, Leaf):
        return _is_colour(tree) and (named(tree.node) != UNNAMED or _is_unnamed(tree))
    return any(map(_mentions, tree.children)) if isinstance(tree, Run) else _mentions(tree.child)


def _is_colour(tree: Tree) -> bool:
    return isinstance(tree, Leaf) and isinstance(tree.node, Action) and tree.node.kind == "colour"


def _is_unnamed(tree: Tree) -> bool:
    """Whether it is a change to a colour that isn't named."""
    return _is_colour(tree) and _UNNAMED.match(tree.node.text) is not None


def _stepless(tree: Tree) -> Tree:
    """The tree with its changes as leaves without steps, where a stitch before can make them."""
    if isinstance(tree, Leaf):
        return Leaf(tree.node, steps=0) if _mentions(tree) and not tree.node.text.startswith("join") else tree
    if isinstance(tree, Loop):
        return Loop(_stepless(tree.child), tree.times, tree.node)
    found: list[Tree] = []
    for child, after in zip(tree.children, (*tree.children[1:], None), strict=False):
        cut = bool(found) and isinstance(found[-1], Leaf) and getattr(found[-1].node, "kind", "") == "fasten_off"
        if _is_colour(child) and _DROPPED.match(child.node.text) and after is not None and _mentions(after):
            continue  # the change says it
        child = child if cut or (not found and _is_unnamed(child)) else _stepless(child)
        if is_change(child):
            _insert(found, child)
        else:
            found.append(child)
    return Run(tuple(found))


def first_colour(tree: Tree, colour: str) -> str:
    """The colour in which its first step is worked, come to in `colour`."""
    while not isinstance(tree, Leaf):
        if isinstance(tree, Loop):
            tree = tree.child
            continue
        for child in tree.children:
            if child.steps:
                break
            colour = _end(child, colour)
        else:
            return colour
        tree = child
    return colour


def colour_at(tree: Tree, step: int, colour: str) -> str:
    """The colour in which a step (from 0) is worked, in a tree come to in `colour`."""
    while not isinstance(tree, Leaf):
        if isinstance(tree, Loop):
            if step >= tree.child.steps:
                colour = _end(tree.child, colour)
            step %= tree.child.steps
            tree = tree.child
            continue
        for child in tree.children:
            if step < child.steps:
                break
            step -= child.steps
            colour = _end(child, colour)
        tree = child
    return colour


def _end(tree: Tree, colour: str) -> str:
    return stitches_by_colour(tree, colour)[1]


def changes(tree: Tree, colour: str, after: str) -> tuple[Tree, ...]:
    """The tree with each change right after the stitch that makes it.

    colour: on the hook when its first step is worked; after: that of the step which follows the tree.
    """
    if not _mentions(tree):
        return (tree,) if colour == after else (tree, _change_to(after))
    if isinstance(tree, Loop):
        return _repeated(tree, colour, after)
    if isinstance(tree, Leaf):  # new yarn, joined with a step of its own
        return (tree,)
    begun: list[tuple[Tree, str]] = []
    unnamed: dict[int, Tree] = {}  # after which child
    for child in tree.children:
        if child.steps:
            begun.append((child, first_colour(child, colour)))
        elif begun and _is_unnamed(child):
            unnamed[len(begun) - 1] = child
        colour = _end(child, colour)
    following = (*(first for _, first in begun[1:]), after)
    found: list[Tree] = []
    for n, ((child, first), then) in enumerate(zip(begun, following, strict=False)):
        found += changes(child, first, then)
        found += [unnamed[n]] if n in unnamed and first == then else []
    return tuple(found)


def _repeated(loop: Loop, colour: str, after: str) -> tuple[Tree, ...]:
    """Each time through as it is: the first may begin in another colour, the last may lead to another."""
    child, times = loop.child, loop.times
    if times == 1:
        return changes(child, colour, after)
    again = first_colour(child, _end(child, colour))
    end = _end(child, again)
    middle = Run(changes(child, again, again))
    if colour != again:
        rest = (
            changes(child, again, after) if times == 2 else _repeated(Loop(child, times - 1, loop.node), again, after)
        )
        return (*changes(child, colour, again), *rest)
    if end == again:
        return (Loop(middle, times, loop.node), *(() if after == end else (_change_to(after),)))
    if after == again:
        return (Loop(middle, times, loop.node),)
    head = middle if times == 2 else Loop(middle, times - 1, loop.node)
    return (head, *changes(child, again, after))


def begun_in(worked: Worked) -> tuple[Tree, ...]:
    """The colour that a round begins in, before its ring or chain, where that is not on yet."""
    yarn = worked.yarn
    return (_change_to(yarn.first),) if yarn.first != yarn.before else ()


def told_in_colours(worked: Worked) -> tuple[Tree, ...]:
    """A whole round: the colour it begins in where that is not on yet, and each change with the stitch that makes
    it."""
    return (*begun_in(worked), *changes(worked.tree, worked.yarn.first, worked.yarn.after))


def _change_to(colour: str) -> Leaf:
    return Leaf(Action("colour", f"change to {as_written(colour)}"), steps=0)
