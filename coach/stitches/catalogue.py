"""The stitch catalogue: what every stitch is called, takes up, makes and how it is worked.

The data is `catalogue.toml`; ids are the US abbreviations. Nothing here knows of patterns.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib.resources import files

from pydantic import BaseModel, ConfigDict, Field

STRAIGHT = {way: way for way in ("left", "right", "clockwise", "counterclockwise")}  # directions in `how`
MIRRORED = {"left": "right", "right": "left", "clockwise": "counterclockwise", "counterclockwise": "clockwise"}


class Stitch(BaseModel):
    """One entry of the catalogue.

    us, uk: its full names; us_also, uk_also: further full names in use; of the abbreviations the first is the standard
    one; takes: stitches of the round below it takes up; makes: the stitches it makes as the trade counts them;
    tops: places it leaves for the next round ("dc", "space 1"), its own id once for each stitch made when empty;
    height: in chains; turning_chain: chains that bring the hook to its height; counts: whether that chain usually
    counts as a stitch; actions: as in the reference vocabulary (yo, insert, draw_up, through:2 ...);
    how: spoken working steps, in words of touch, with {left} and {right} for the hand (see `steps`); does: how many of
    the actions each of them is; symbol: chart symbol name.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    us: str
    us_abbreviations: tuple[str, ...]
    us_also: tuple[str, ...] = ()
    uk: str
    uk_abbreviations: tuple[str, ...]
    uk_also: tuple[str, ...] = ()
    kind: str = "stitch"  # stitch, increase, decrease, group, decoration, start, technique
    takes: int = Field(ge=0)
    makes: int = Field(ge=0)
    of: str | None = None  # the plain stitch that an increase, decrease or cluster is made of
    tops: tuple[str, ...] = ()
    height: float = 0
    turning_chain: int = 0
    counts: bool = False
    actions: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    does: tuple[int, ...] = ()
    symbol: str = ""
    source: str = ""

    def name(self, terms: str = "US") -> str:
        return self.uk if terms == "UK" else self.us

    def words(self, terms: str = "US") -> tuple[str, ...]:
        """Everything it is called in these terms: name, abbreviations, further names."""
        if terms == "UK":
            return (self.uk, *self.uk_abbreviations, *self.uk_also)
        return (self.us, *self.us_abbreviations, *self.us_also)

    def steps(self, hand: str = "right") -> tuple[str, ...]:
        """How it is worked by a right- or a left-handed maker."""
        return directed(self.how, hand)

    def loops_after(self, step: int) -> int | None:
        """Loops on the hook after this step of `how` (from 0), where the step changes their number."""
        if not self.does or not self.does[step]:
            return None
        seen = (1, *loops(self.actions))
        done = sum(self.does[: step + 1])
        return seen[done] if seen[done] != seen[done - self.does[step]] else None

    def abbreviation(self, terms: str = "US") -> str:
        return (self.uk_abbreviations if terms == "UK" else self.us_abbreviations)[0]


def directed(steps: tuple[str, ...], hand: str = "right") -> tuple[str, ...]:
    """Steps with directions put in for the hand that holds the hook."""
    return tuple(step.format_map(MIRRORED if hand == "left" else STRAIGHT) for step in steps)


def loops(actions: tuple[str, ...], on_hook: int = 1) -> list[int]:
    """Loops on the hook after each action; a wrap counts as one."""
    seen = []
    for action in actions:
        verb, _, n = action.partition(":")
        if verb in ("yo", "draw_up", "pick_up_loop", "pull_dropped_through"):
            on_hook += 1
        elif verb in ("through", "through_stitch_and"):
            on_hook -= int(n) - 1
        elif verb == "drop_loop":
            on_hook -= 1
        seen.append(on_hook)
    return seen


class Catalogue(BaseModel):
    """All stitches by id."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    stitch: tuple[Stitch, ...]

    def __contains__(self, id: str) -> bool:
        return id in self._by_id()

    def __getitem__(self, id: str) -> Stitch:
        return self._by_id()[id]

    def get(self, id: str) -> Stitch | None:
        return self._by_id().get(id)

    @cache  # noqa: B019 - there is one catalogue, and it is frozen
    def _by_id(self) -> dict[str, Stitch]:
        return {s.id: s for s in self.stitch}

    @cache  # noqa: B019
    def words(self, terms: str) -> dict[str, str]:
        """Every name and abbreviation in these terms (lower case) to its id."""
        found: dict[str, str] = {}
        for s in self.stitch:
            for word in s.words(terms):
                found.setdefault(word.lower(), s.id)
        return found

    def __hash__(self) -> int:
        return id(self)


@cache
def catalogue() -> Catalogue:
    """The catalogue that comes with the coach."""
    data = tomllib.loads(files("coach.stitches").joinpath("catalogue.toml").read_text("utf-8"))
    return Catalogue.model_validate(data)


@cache
def stitch(id: str) -> Stitch | None:
    """The entry for an id; `dc4tog` and the like, which the file need not list, are made from their plain stitch."""
    found = catalogue().get(id)
    if found is not None:
        return found
    if numbered := _NUMBERED.fullmatch(id):
        return _numbered(id, int(numbered["n"]), numbered["of"], numbered["noun"])
    m = re.fullmatch(r"(sc|hdc|dc|tr|dtr|trtr)(\d{1,2})tog", id)
    if not m or int(m[2]) < 2:
        return None
    plain, n = catalogue()[m[1]], int(m[2])
    leg = plain.actions[:-1]
    legs = leg * n
    on_hook = loops(legs)[-1]
    return plain.model_copy(
        update={
            "id": id,
            "us": f"{plain.us} {n} together",
            "uk": f"{plain.uk} {n} together",
            "us_abbreviations": (id,),
            "uk_abbreviations": (f"{plain.uk_abbreviations[0]}{n}tog",),
            "kind": "decrease",
            "takes": n,
            "makes": 1,
            "of": plain.id,
            "tops": (),
            "actions": (*legs, f"through:{on_hook}"),
            "does": (len(leg), len(leg) * (n - 1), 1),
            "how": (
                "Work the plain stitch in the next V until one pull is left.",
                f"Do the same in the {n - 1} after it: {on_hook} loops."
                if n > 2
                else f"Do the same in the V after it: {on_hook} loops.",
                "Catch the yarn and pull it through all of them.",
            ),
            "source": "common practice, no source",
        }
    )


_NUMBERED = re.compile(r"(?P<n>\d{1,2})-(?P<of>sc|hdc|dc|tr|dtr|trtr) (?P<noun>\w+)")


def _numbered(id: str, n: int, of: str, noun: str) -> Stitch | None:
    """`7-dc shell`, `4-tr cluster`: a group of the catalogue with another number of stitches, or of another stitch."""
    usual, plain = catalogue().get(noun), catalogue()[of]
    if usual is None or usual.kind != "group" or not 2 <= n:
        return None
    fan = usual.makes > 1
    tell = f"As the {usual.us}, with {n} of {plain.us}."
    return usual.model_copy(
        update={
            "id": id,
            "us": f"{n} {plain.us} {usual.us}",
            "uk": f"{n} {plain.uk} {usual.uk}",
            "us_abbreviations": (id,),
            "uk_abbreviations": (f"{n}-{plain.uk_abbreviations[0]} {noun}",),
            "us_also": (),
            "uk_also": (),
            "of": of,
            "makes": n if fan else usual.makes,
            "tops": (of,) * n if fan else usual.tops,
            "height": plain.height,
            "turning_chain": plain.turning_chain,
            "actions": (),
            "does": (),
            "how": (tell, *usual.how),
            "source": usual.source,
        }
    )
