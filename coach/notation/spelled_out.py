"""What a round tells besides which other one it is like: `Same as Rnd 3: sc 24`, `Repeat Rnd 3, changing to B`."""

from __future__ import annotations

from collections.abc import Mapping

from coach.notation.body import Body, BodyReader
from coach.notation.model import Action, Round, Unread
from coach.notation.references import Reference
from coach.notation.walk import walk


def understood(body: Body) -> bool:
    """Whether it holds an instruction, and nothing that could not be read."""
    return bool(body.nodes) and not body.problems and not any(isinstance(n, Unread) for n in walk(tuple(body.nodes)))


def spelled_out(
    reference: Reference, text: str, start: int, reader: BodyReader, known: Mapping[int, Round]
) -> tuple[str, int, str] | None:
    """(words behind the colon that tell in full a round which is the same as one other, their offset, the label of that
    one); None where no words do. text: of the round, at this offset; known: the
    rounds before, by number."""
    like = known.get(reference.numbers[0]) if len(reference.numbers) == 1 else None
    if like is None or reference.extends or not reference.rest.lstrip().startswith(":"):
        return None
    at = len(text) - len(reference.rest.lstrip()) + 1
    return (text[at:], start + at, like.label) if understood(reader.read(text[at:], start + at)) else None


def colours_behind(reference: Reference, text: str, start: int, reader: BodyReader) -> tuple[Action, ...]:
    """The changes of colour that are told behind the reference, where nothing else is."""
    rest = reference.rest.lstrip(" .,;")
    if not rest:
        return ()
    body = reader.read(rest, start + len(text) - len(rest))
    changes = tuple(n for n in body.nodes if isinstance(n, Action) and n.kind == "colour")
    return changes if understood(body) and len(changes) == len(body.nodes) else ()
