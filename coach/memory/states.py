"""States as JSON and back.

Plain values are written as they are, a tuple as a list, and every other value as an object whose "is" names its class.
What a later coach adds to a state gets its default where it is missing; what this coach doesn't know is left out.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from coach.guide.model import State

IS = "is"
ATOMS = (bool, int, float, str)  # written as they are
TREES = {  # not dataclasses: the arguments of their constructors, and the attributes that hold them
    "Leaf": {
        "node": "node",
        "takes": "takes",
        "moves": "moves",
        "makes": "makes",
        "tops": "made_tops",
        "at": "at",
        "tally": "tally",
        "steps": "steps",
    },
    "Run": {"children": "children"},
    "Loop": {"child": "child", "times": "times", "node": "node"},
}


def to_json(state: State) -> str:
    """The state without what was before it. Raises TypeError for a value that can't be kept."""
    return json.dumps(_plain(state.having(before=None)), separators=(",", ":"), check_circular=False)


def from_json(text: str, before: State | None = None) -> State:
    """The state that `to_json` wrote, with the state that undo brings back. Raises ValueError where it isn't one."""
    try:
        state = json.loads(text, object_hook=_object)
    except (TypeError, KeyError, AttributeError, RecursionError) as error:
        raise ValueError(str(error)) from error
    if not isinstance(state, State):
        raise ValueError("not a state")
    return state if before is None else state.having(before=before)


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, (bool, int, float, str)):
        return value
    if isinstance(value, tuple):
        return [_plain(v) for v in value]
    if isinstance(value, list):
        return {IS: "list", "of": [_plain(v) for v in value]}
    if isinstance(value, (set, frozenset)):
        return {IS: type(value).__name__, "of": sorted((_plain(v) for v in value), key=repr)}
    if isinstance(value, dict):
        if all(isinstance(k, str) for k in value) and IS not in value:
            return {k: _plain(v) for k, v in value.items()}
        return {IS: "dict", "of": [[_plain(k), _plain(v)] for k, v in value.items()]}
    name = type(value).__name__
    if _classes().get(name) is not type(value):
        raise TypeError(f"a {name} can't be kept in the journal")
    if name in TREES:
        return {IS: name} | {key: _plain(getattr(value, held)) for key, held in TREES[name].items()}
    plain: dict[str, Any] = {IS: name}
    for field in _fields(type(value)):
        held = getattr(value, field)
        plain[field] = held if held is None or type(held) in ATOMS else _plain(held)
    return plain


@cache
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def _object(found: dict[str, Any]) -> Any:
    """Called by the JSON reader for every object, the innermost first."""
    values = {key: _tuple(value) for key, value in found.items()}
    name = values.pop(IS, None)
    if name is None:
        return values
    if name in BAGS:
        return BAGS[name](values["of"])
    kind = _classes()[name]
    known = TREES[name] if name in TREES else {f.name for f in fields(kind) if f.init}
    return kind(**{key: value for key, value in values.items() if key in known})


class Kept(list):
    """A list that was a list when it was kept: the JSON reader's own lists were tuples."""


BAGS = {"list": Kept, "set": set, "frozenset": frozenset, "dict": dict}


def _tuple(value: Any) -> Any:
    return tuple(map(_tuple, value)) if type(value) is list else value


@cache
def _classes() -> dict[str, type]:
    """Every class of value that a state may hold, by name."""
    from coach.fabric import model as fabric
    from coach.fabric import tree
    from coach.guide import model as guide
    from coach.notation import model as notation

    found: dict[str, type] = {name: getattr(tree, name) for name in TREES}
    for module in (notation, tree, fabric, guide):
        found |= {name: kind for name, kind in vars(module).items() if isinstance(kind, type) and is_dataclass(kind)}
    return found
