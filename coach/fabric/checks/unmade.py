"""assembly: the assembly uses a part that is made nowhere.

Fails:

    ## Body
    Rnd 1: 6 sc in magic ring. (6)

    ## Assembly
    Sew the tail to the body.

Passes:

    ## Body
    Rnd 1: 6 sc in magic ring. (6)

    ## Tail
    Rnd 1: 4 sc in magic ring. (4)

    ## Assembly
    Sew the tail to the body.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.fabric.model import Fabric
from coach.notation.model import Fault

_USED = re.compile(
    r"\b(?:sew|attach|join|stitch|pin)\s+(?:on\s+)?(?:the|both|each|an?)\s+(?:two\s+)?(?P<name>[a-z]+)\b", re.IGNORECASE
)
_IRREGULAR = {"feet": "foot", "teeth": "tooth", "leaves": "leaf"}
BODY_PARTS = frozenset(
    "arm leg head body ear tail wing fin flipper beak foot nose muzzle horn hat brim crown base roof lamp handle "
    "strap pocket sleeve spike shell snout "
    "mane antler paw hoof trunk tusk claw tentacle antenna stem petal "
    "belly door window mast sail flag anchor rope ring band collar".split()
)


def unmade(fabric: Fabric) -> Iterator[Fault]:
    names = {_stem(word) for part in fabric.parts for word in re.findall(r"[a-z]+", part.name.lower())}
    if not names:
        return
    for note in fabric.assembly:
        for m in _USED.finditer(note.text):
            name = _stem(m["name"].lower())
            if name in BODY_PARTS and name not in names:
                yield fabric.pattern.fault(
                    "assembly",
                    "error",
                    note.span,
                    f'The assembly uses "{m["name"]}", but no part of that name is made.',
                    "Look for the missing part, or for another name of it.",
                )


def _stem(word: str) -> str:
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word
