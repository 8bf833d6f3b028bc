"""Steps in words: worked trees and nodes as written, for a chunk or a whole round.

A stitch worked into the next stitches has its number last ("single crochet in the next 6"), one worked several times
into one place has it first ("6 single crochet into the ring"); a repeat of several steps is a sentence of its own that
begins with how often. Numbers are always digits, which every speech engine reads right.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from coach.fabric.tree import Leaf, Tree
from coach.guide.explain import increase
from coach.language.items import NO_CHANGE, Cycle, Item, bare, folded, items_of, loosened, merged, plain_times
from coach.language.names import Names, capital
from coach.notation.model import (
    NEXT,
    Action,
    Amount,
    Chain,
    Evenly,
    Group,
    Into,
    Node,
    Repeat,
    Skip,
    Stitch,
    Unread,
)
from coach.stitches.catalogue import stitch as stitch_of
from coach.stitches.spelling import spelled

ITEMS_IN_A_SENTENCE = 4
_COLOUR = re.compile(
    r"^(?:with|using|in|(?:chang|switch)(?:e|ing)?(?: colou?r)?(?: to)?|pick(?:ing)? up)\b(?: colou?r\b| yarn\b)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Steps(Names):
    """Puts steps into the words of a language, with US or UK names of stitches."""

    # ---- whole passages

    def trees(self, trees: tuple[Tree, ...]) -> str:
        """Worked steps; sentences are parted by ". ", the last one is left open."""
        return self.passage(items_of(trees))

    def brief(self, trees: tuple[Tree, ...]) -> str:
        """Worked steps in the fewest words, for who has heard them in full: "2 single crochet, increase"."""
        return self.book.in_words("comma").join(self._briefly(item) for item in merged(items_of(trees)))

    def _briefly(self, item: Item | Cycle) -> str:
        if isinstance(item, Cycle):
            inside = self.book.in_words("comma").join(map(self._briefly, item.items))
            return inside if item.n == 1 else self.book.in_words("inner_loop", n=item.n, body=inside)
        match item.node:
            case Stitch():
                name = self.name(item.node.stitch)
            case Group():
                name = self._group_briefly(item.node)
            case _:
                return self.phrase(item)
        return name if item.n == 1 else self.book.in_words("several", stitch=name, n=item.n)

    def _group_briefly(self, node: Group) -> str:
        stitches = [i for i in merged(loosened(node.body)) if isinstance(i, Item) and isinstance(i.node, Stitch)]
        many = sum(i.n for i in stitches)
        if node.into.kind == "next" and many in (2, 3) and len(merged(loosened(node.body))) == 1:
            return self.book.in_words("increase")
        return self.book.in_words("shell", n=many) if many else self.phrase(Item(node, 1))

    def shaping(self, leaf: Leaf) -> str:
        """What an increase, a decrease or a group in one place is called for short."""
        if leaf.makes < 2:
            return self.book.in_words("decrease" if leaf.takes > 1 else "increase")
        return self.book.in_words("shell", n=leaf.makes) if leaf.makes > 3 else self.book.in_words("increase")

    def nodes(self, nodes: tuple[Node, ...]) -> str:
        """Steps as written. Of a foundation chain it is the skipped chains that count as a stitch."""
        said = self.passage(
            [Item(bare(replace(n, counts=None, stands_for=None) if isinstance(n, Chain) else n), 1) for n in nodes]
        )
        skipped = next((n.stands_for for n in nodes if isinstance(n, Chain) and n.stands_for), None)
        return f"{said}. {capital(self.book.in_words('skipped_for', stitch=self.name(skipped)))}" if skipped else said

    def passage(self, items: list[Item | Cycle]) -> str:
        sentences: list[str] = []
        row: list[str] = []
        for item in folded(items):
            if isinstance(item, Cycle) and item.n > 1:
                sentences += self._row(row), self.book.in_words("loop", n=item.n, body=self.inline(item.items))
                sentences += [self._changing("change_last_time", item.change)] if item.change else []
                row = []
            else:
                row.append(self.phrase(item))
                if len(row) == ITEMS_IN_A_SENTENCE or item.change:
                    sentences.append(self._row(row))
                    row = []
        sentences.append(self._row(row))
        return ". ".join(capital(s) for s in sentences if s)

    def _row(self, phrases: list[str]) -> str:
        comma, then = self.book.in_words("comma"), self.book.in_words("then")
        return then.join(filter(None, (comma.join(phrases[:-1]), *phrases[-1:])))

    def inline(self, items: tuple[Item | Cycle, ...]) -> str:
        return self._row([self.phrase(i) for i in folded(items)])

    def phrase(self, item: Item | Cycle) -> str:
        if isinstance(item, Cycle):
            inside = self.inline(item.items)
            said = inside if item.n == 1 else self.book.in_words("inner_loop", n=item.n, body=inside)
        else:
            said = self.step(item.node, item.n, item.goes_on)
        if item.change is None:
            return said
        one = isinstance(item, Item) and item.n == 1
        return self.book.in_words("comma").join(
            (said, self._changing("changing_one" if one else "changing", item.change))
        )

    def _changing(self, template: str, change: Action) -> str:
        colour = self.colour(_COLOUR.sub("", change.text) or self.book.in_words("colour_other"))
        return self.book.in_words(template, text=colour)

    def colour(self, name: str) -> str:
        """A colour as it is said: yarns are called A, B, C, or MC and CC."""
        named = re.sub(r"\s+in (?:the )?last\b.*|\s*:$", "", self.written(name, self.terms))
        return spelled(re.sub(r"\b(?:[a-z]|[mc]c|c[ab])\b", lambda m: m[0].upper(), named), self.terms)

    # ---- one step

    def step(self, node: Node, n: int = 1, goes_on: bool = True) -> str:
        """A step worked n times."""
        match node:
            case Stitch():
                return self._stitch(node, n, goes_on)
            case Group():
                return self._group(node, n, goes_on)
            case Chain():
                return self._times(self._chain(node), n)
            case Skip():
                return self._skip(node, n)
            case Repeat():
                return self._times(self._repeat(node), n)
            case Evenly():
                name = self.name("inc" if node.stitch == "inc" else "sc2tog")
                return self.book.in_words("evenly", stitch=name, n=_number(node.count))
            case Unread():
                return self.book.in_words("unread", text=self.written(node.text, self.terms))
            case Action():
                return self._times(self._action(node), n)

    def _times(self, phrase: str, n: int) -> str:
        return phrase if n == 1 else self.book.in_words("times", stitch=phrase, n=n)

    def _stitch(self, node: Stitch, n: int, goes_on: bool) -> str:
        entry = stitch_of(node.stitch)
        if entry and entry.kind == "increase" and entry.of and node.stitch not in self.book.stitch:
            return self._group(Group((Stitch(entry.of, SAME_LOOP, node.loop),) * entry.makes, node.into), n, goes_on)
        name = self.name(node.stitch)
        if node.into == NEXT or node.into.kind == "next":
            loops = self.book.step["in_loop"].get(node.loop)
            if loops and not _in_the_name(node):
                return self.book.filled(loops[n > 1], {"stitch": name, "n": n})
            return name if n == 1 else self._next(name, n, *((entry.kind, entry.takes) if entry else ("stitch", 1)))
        if node.loop in self.book.step["in_loop"] and not _in_the_name(node):
            name = self.book.filled(self.book.step["in_loop"][node.loop][0], {"stitch": name, "n": 1})
        return self._put(name, node.into, n, goes_on)

    def _next(self, name: str, n: int, kind: str, takes: int) -> str:
        if takes != 1:
            return self.book.in_words("times", stitch=name, n=n)
        return self.book.in_words("next" if kind == "stitch" else "each", stitch=name, n=n)

    def _put(self, name: str, into: Into, n: int, goes_on: bool) -> str:
        if n == 1:
            return self.book.in_words("put", stitch=name, place=self.place(into))
        each = {"space": "each_space", "chain": "each_chain", "row end": "each_row_end"}.get(into.kind)
        if each and goes_on and not into.corner:
            return self.book.in_words(each, stitch=name, n=n)
        return self.book.in_words("put_many", stitch=name, place=self.place(into), n=n)

    def _group(self, node: Group, n: int, goes_on: bool) -> str:
        known = increase(node)
        if known and known in self.book.stitch:
            return self.name(known) if n == 1 else self.book.in_words("each", stitch=self.name(known), n=n)
        inside = [replace(i, goes_on=False) if isinstance(i, Item) else i for i in merged(loosened(node.body))]
        if len(inside) == 1 and isinstance(inside[0], Item) and isinstance(inside[0].node, Stitch):
            stitch = inside[0].node
            name, many = self.name(stitch.stitch), inside[0].n
            if many > 1:
                name = self.book.in_words("several", stitch=name, n=many)
            loops = self.book.step["in_loop"].get(stitch.loop)
            if loops and not _in_the_name(stitch):
                return self.book.filled(loops[n > 1], {"stitch": name, "n": n})
            template = "put"
        else:
            name, template = self._row_of_group(inside), "all"
        if n > 1 and goes_on:
            each = {"space": "each_space", "row end": "each_row_end"}.get(node.into.kind, "each")
            return self.book.in_words(each, stitch=name, n=n)
        return self._times(self.book.in_words(template, stitch=name, place=self.place(node.into)), n)

    def _row_of_group(self, items: list[Item | Cycle]) -> str:
        said = []
        for item in items:
            if isinstance(item, Item) and isinstance(item.node, Stitch):
                name = self.name(item.node.stitch)
                said.append(name if item.n == 1 else self.book.in_words("several", stitch=name, n=item.n))
            else:
                said.append(self.phrase(item))
        return self.book.in_words("comma").join(said)

    def _chain(self, node: Chain) -> str:
        if node.stands_for:
            key, more = ("chain_for_and", node.more) if node.more else ("chain_for", 0)
            return self.book.in_words(key, n=_number(node.count), stitch=self.name(node.stands_for), more=_number(more))
        return self.book.in_words("chain_counts" if node.counts else "chain", n=_number(node.count))

    def _skip(self, node: Skip, n: int) -> str:
        if node.what == "rest":
            return self.book.in_words("skip_rest")
        if node.first:
            return self.book.in_words("skip_first", n=_number(node.count))
        count = node.count if isinstance(node.count, int) else _number(node.count)
        return self.book.in_words(f"skip_{node.what}", n=count * n if isinstance(count, int) else count)

    def _repeat(self, node: Repeat) -> str:
        if plain := plain_times(node):
            return self.step(*plain)
        if node.times.kind == "kinds":
            return self._row([self._of_kind(b) for b in node.body if isinstance(b, Repeat)])
        body = self._within(node)
        times = node.times
        if times.kind == "exact":
            return self.book.in_words("inner_loop", n=_number(times.amount), body=body)
        told = {"space": "fill_space", "last space": "fill_last_space", "made": "fill_made"}
        template = told.get(times.kind, "fill" if times.amount else "fill_all")
        return self.book.in_words(template, n=_number(times.amount), body=body)

    def _within(self, node: Repeat) -> str:
        return self._row([self.step(i.node, i.n) for i in merged([Item(bare(b), 1) for b in node.body])])

    def _of_kind(self, node: Repeat) -> str:
        """What is worked on each stitch (or in each space) of a kind of the round below."""
        first, into = node.body[0], getattr(node.body[0], "into", NEXT)
        body = self._within(replace(node, body=(replace(first, into=NEXT), *node.body[1:])))
        if not into.stitch:
            return self.book.in_words("in_each_space", body=body)
        return self.book.in_words("in_each", stitch=self.name(into.stitch), body=body)

    def _action(self, node: Action) -> str:
        if node.kind == "colour":
            said = self.colour(_COLOUR.sub("", node.text))
            if not said:
                return spelled(self.book.in_words("colour_unnamed"), self.terms)
            return said if NO_CHANGE.match(said) else self.book.in_words("colour", text=said)
        if node.kind == "join" and node.text == "ring":
            return self.book.in_words("join_ring")
        if node.kind == "join" and node.into and node.into.number:
            return self.book.in_words("join_in", place=self.place(node.into))
        return self.book.in_words(
            node.kind if node.kind in self.book.step else "note", text=self.written(node.text, self.terms)
        )

    # ---- names

    def place(self, into: Into) -> str:
        """Where the hook goes."""
        if into.words:
            return self.written(into.words, self.terms)
        key, number = into.kind, _number(into.number) if into.number is not None else None
        if into.corner:
            key = "corner" if into.kind in ("space", "next") and into.stitch is None else "corner_stitch"
        elif number is not None and key in ("space", "tch", "chain", "between"):
            key = f"{key}_of"
        elif key == "last" and into.stitch == "ch":
            key = "last_chain"
        nth = self.book.ordinal(number if isinstance(number, int) else 2)
        return self.book.filled(
            self.book.place.get(key.replace(" ", "_"), self.book.place["next"]), {"n": number, "nth": nth}
        )


SAME_LOOP = NEXT  # inside a group the place is the group's


def _in_the_name(node: Stitch) -> bool:
    """Whether a post stitch is called so already ("front post double crochet")."""
    return node.loop.endswith("post") and node.stitch.startswith(("fp", "bp"))


def _number(amount: Amount) -> int | str:
    """The number, or the numbers of all sizes."""
    return amount if isinstance(amount, int) else ", ".join(map(str, amount))
