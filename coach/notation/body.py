"""The words of one round → its nodes, its stated counts, and the prose among them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from coach.notation import corners, prose
from coach.notation.actions import without_remarks
from coach.notation.building import Context, Own, Problem
from coach.notation.by_kind import by_kind
from coach.notation.colour_names import colours_first
from coach.notation.counts import read_counts, read_said, take_counts
from coach.notation.crossed import crossed
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.gathered import begun_anywhere, in_the_space_begun
from coach.notation.grammar import Grammar
from coach.notation.lexer import Token, tokens
from coach.notation.model import NEXT, Action, Chain, Count, Group, Node, Note, Repeat, Skip, Span, Stitch, Unread
from coach.notation.printer import is_increase
from coach.notation.shared_out import Shared, shared_out
from coach.notation.stitches import main_stitch
from coach.notation.unrepeated import unrepeated
from coach.stitches.catalogue import stitch

_RING = r"(?:mr|magic (?:ring|circle|loop)|adjustable ring)"
_MR = re.compile(
    rf"\s*+\(?\s*+(?:(?P<into>\d{{1,9}}) in(?:to)? (?:an? |the )?{_RING}"
    rf"|{_RING}\s*+(?:[,:]|with)?\s*+[(\[]?(?P<n>\d{{1,9}}))"
    r"\s*+(?=[\]).,;(\[=—-]|$)",
    re.IGNORECASE,
)
_REMARK = re.compile(r" --? ?(?=[a-z])(?:[^()\[\]{}\n\d]{12,200})(?=[(\[{]\d)", re.IGNORECASE)  # "-- careful, ... (32)"
_OFTEN = re.compile(r"(?:\bx ?|\*|inc|dec)\d+$|\b\d+ ?(?:x|times)$|(?:twice|thrice)$", re.IGNORECASE)
_ROUNDS_TOLD = re.compile(r"[(\[]\d{1,3} (?:rounds|rnds|rows|rds)(?: total| in all)?[)\]]", re.IGNORECASE)
_COUNT = re.compile(r"\((\d{1,6})\)\s*")


MOST_OF_AN_ORDER = 8  # tokens


@dataclass(slots=True)
class Body:
    """What was read of one round. standing: (whether the skipped chains of its foundation count, as which stitch)."""

    nodes: list[Node] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    stated: tuple[Count, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    standing: tuple[bool | None, str | None] = (None, None)


class BodyReader:
    """Reads the rounds of one part; what one round says (its stitch, a stitch defined at its first use) the next ones
    know.
    """

    def __init__(self, text: str, terms: str, special: dict[str, Own], dec: str | None, sizes: int):
        self.text, self.terms, self.special, self.dec, self.sizes = text, terms, dict(special), dec, sizes
        self.main: str | None = None
        self.shared = Shared()
        self.pattern: tuple[Node, ...] = ()  # what the rounds before work over and over, where this one goes on with it

    def tokens(self, text: str, start: int) -> list[Token]:
        return tokens(text, start, self.terms, frozenset(self.special), self.sizes)

    def read(self, text: str, start: int) -> Body:
        """The body that folded text holds; start: its offset."""
        if m := _MR.match(text):
            return self._magic(text, start, m)
        text = _ROUNDS_TOLD.sub(lambda m: " " * len(m[0]), text)
        if " -" in text:
            text = _REMARK.sub(lambda m: " " * len(m[0]) if not instructs(self.tokens(m[0], 0)) else m[0], text)
        out = Body()
        kept: list[Token] = []
        said: list[Count] = []
        for sentence, at in prose.sentences(text, start):
            if kept and (m := _COUNT.fullmatch(sentence)):
                kept += _bare_count(m, at)
                continue
            found = self.tokens(sentence, at)
            told = read_said(found) if kept and found[:1] and found[0].is_("you", "there") else []
            if (
                not told and not kept and (behind := _behind_an_order(sentence, found))
            ):  # "press flat, 5 sc through ..."
                self._note(at, next(t.start for t in found if t.is_(",", ";")), out)
                found = found[behind:]
            elif told or _is_prose(sentence, found, bool(kept)):
                self._note(at, at + len(sentence), out)
                said += told or read_said(found)
                continue
            if kept:
                kept.append(Token("mark", ".", at, at))
            kept.extend(found)
        kept = _with_their_times(kept)
        uncounted, counts = take_counts(kept)
        kept, counts = (kept, []) if counts and _only_a_ring(uncounted) else (uncounted, counts)
        c, standing = without_remarks(Cursor(colours_first(kept, self.text), text=self.text))
        out.stated = tuple(counts or said)
        main = main_stitch(c.tokens)
        named = {t.value for t in c.tokens if t.kind == "stitch"}
        self.main = main if named else self.main or main
        grammar = Grammar(self.text, self.special, main if main in named else self.main, self.dec)
        grammar.context.pattern, grammar.context.shared = self.pattern, self.shared
        nodes = by_kind(corners.in_order(grammar.items(c)), self.text)
        nodes = in_the_space_begun(begun_anywhere(nodes, self.text), self.text)
        nodes = unrepeated(nodes, text, tuple(grammar.context.totals))
        nodes = crossed(nodes) if " back " in text else nodes
        self.shared = grammar.context.shared
        nodes = shared_out(nodes, self.shared)
        self.main = grammar.context.told or self.main
        self.special.update(grammar.context.special)
        out.problems = grammar.problems
        out.stated += tuple(grammar.context.totals)
        out.stated = _in_stitches(out.stated, self.special)
        out.standing = grammar.context.standing if standing[0] is None else standing
        nodes = _left_behind(nodes) if out.stated else nodes
        out.nodes = _all_so_often(_all_around(self._sort_out(nodes, out), out.stated), out.stated, self.text)
        return out

    def start(self, text: str, at: int) -> list[Node] | None:
        """The nodes of a sentence before the first round; None when it holds words that are no instruction."""
        if m := _MR.match(text):
            body = self._magic(text, at, m)
            return None if body.problems or any(isinstance(n, Unread) for n in body.nodes) else body.nodes
        grammar = Grammar(self.text, self.special, "sc", self.dec)
        nodes = [
            n
            for n in grammar.items(Cursor(colours_first(self.tokens(text, at), self.text), text=self.text))
            if not (isinstance(n, Unread) and _harmless(n))
        ]
        if grammar.problems or not nodes or any(isinstance(n, Unread) for n in nodes):
            return None
        return nodes

    def _magic(self, text: str, start: int, m: re.Match) -> Body:
        """`MR 6`: six of the usual stitch in a magic ring."""
        rest = text[m.end() :]
        span = Span(start, start + m.end())
        stitches = Context(self.text).counted("sc", int(m["n"] or m["into"]), "both", span)
        out = self.read(rest, start + m.end()) if re.search(r"[a-z]", rest, re.IGNORECASE) else Body()
        if not out.nodes and not out.stated:
            _, counts = take_counts([Token("mark", ".", start, start), *self.tokens(rest, start + m.end())])
            out.stated = tuple(counts)
        out.nodes = [Action("ring", "", None, span), *stitches, *out.nodes]
        return out

    def _sort_out(self, nodes: list[Node], out: Body) -> list[Node]:
        """Fastening off becomes a note; what could not be read becomes a fault, unless it is harmless prose."""
        kept: list[Node] = []
        for node in nodes:
            if (
                isinstance(node, Action)
                and node.kind in ("fasten_off", "note")
                or isinstance(node, Unread)
                and _harmless(node)
            ):
                self._note(node.span.start, node.span.end, out)
            elif not (isinstance(node, Action) and node.kind == "note"):
                kept.append(node)
        return kept

    def _note(self, start: int, end: int, out: Body) -> None:
        if note := prose.note(self.text[start:end], start):
            out.notes.append(note)


_OF_A_RING = frozenset(
    "magic ring mr mc adjustable sliding lp around make work with start a an the : , . / - — =".split()
)


def _bare_count(m: re.Match, at: int) -> list[Token]:
    """The tokens of `(18)`, a sentence of its own, as most counts are: at its offset, behind a full stop."""
    start, end = at + m.start(1), at + m.end(1)
    number = Token("number", int(m[1]), start, end)
    return [Token("mark", ".", at, at), Token("mark", "(", start - 1, start), number, Token("mark", ")", end, end + 1)]


def _only_a_ring(found: list[Token]) -> bool:
    """`Magic ring. 6 sc`: nothing but the ring stands before what looks like a count, so that this is the work."""
    return all(t.is_(*_OF_A_RING) for t in found) and any(t.is_("ring", "mr", "mc", "magic") for t in found)


def _with_their_times(found: list[Token]) -> list[Token]:
    """`(sc, inc). X6`: how often it is worked belongs to what stands before the full stop."""
    return [t for i, t in enumerate(found) if t.value != "." or not _tell_how_often(found[i + 1 : i + 3])]


def _tell_how_often(two: list[Token]) -> bool:
    kinds = [t.kind for t in two]
    return kinds == ["word", "number"] and two[0].is_("x") or kinds == ["number", "word"] and two[1].is_("x", "times")


def _all_around(nodes: list[Node], stated: tuple[Count, ...]) -> list[Node]:
    """`Rnds 2-12: sc (5)`: a lone stitch with a count is worked all around."""
    alone = [i for i, n in enumerate(nodes) if not isinstance(n, (Action, Chain))]
    if len(alone) != 1 or not stated:
        return nodes
    node = nodes[alone[0]]
    if (
        not isinstance(node, (Stitch, Group))
        or node.into != NEXT
        or (isinstance(node, Group) and not is_increase(node))
        or stated[0].amount in (1, _made_once(node))
    ):
        return nodes
    return [*nodes[: alone[0]], Repeat((node,), AROUND, None, node.span), *nodes[alone[0] + 1 :]]


def _in_stitches(stated: tuple[Count, ...], special: dict[str, Own]) -> tuple[Count, ...]:
    """`7 V-sts, 2 dc`: so many stitches in all, where the pattern's own stitches are groups of them."""
    each = {c.kind: _made_by(special[c.kind].body) for c in stated if c.kind in special}
    if not any(n > 1 for n in each.values()) or any(isinstance(c.amount, tuple) for c in stated):
        return stated
    spaces = tuple(c for c in stated if c.kind and c.kind.startswith("space"))
    total = sum(c.amount * each.get(c.kind, 1) for c in stated if c not in spaces)
    return (Count(total, None, stated[0].span), *spaces)


def _made_by(body: tuple[Node, ...]) -> int:
    """Stitches among the nodes of a group."""
    times = [n.times.amount if isinstance(n, Repeat) else 1 for n in body]
    inside = [_made_by(n.body) if isinstance(n, (Repeat, Group)) else int(isinstance(n, Stitch)) for n in body]
    return sum(n * t for n, t in zip(inside, times, strict=True) if isinstance(t, int))


def _left_behind(nodes: list[Node]) -> list[Node]:
    """`hdc to last 3 hdc, turn`, with the count of what that makes: those are left."""
    last = next((i for i in range(len(nodes) - 1, -1, -1) if not isinstance(nodes[i], (Action, Chain))), None)
    node = nodes[last] if last is not None else None
    turned = any(isinstance(n, Action) and n.kind == "turn" for n in nodes[(last or 0) + 1 :])
    if not turned or not isinstance(node, Repeat) or node.times.kind != "fill" or not node.times.said:
        return nodes
    return [*nodes[: last + 1], Skip(node.times.amount, "rest", span=node.span), *nodes[last + 1 :]]


def _all_so_often(nodes: list[Node], stated: tuple[Count, ...], text: str) -> list[Node]:
    """`1 sc, inc x 6 (18)`: all of it is worked so often, where only that makes the stated count."""
    first = next((i for i, n in enumerate(nodes) if not isinstance(n, (Action, Chain))), len(nodes))
    *before, last = nodes[first:] or [None]
    if not before or not stated or not isinstance(last, Repeat) or last.times.kind != "exact" or len(last.body) != 1:
        return nodes
    if not _OFTEN.search(text, last.span.start, last.span.end):
        return nodes
    each, times = [_makes(n) for n in (*before, last.body[0])], last.times.amount
    if None in each or not isinstance(times, int) or times < 2 or stated[0].amount != times * sum(each):
        return nodes
    if stated[0].amount == sum(each[:-1]) + times * each[-1]:
        return nodes
    return [*nodes[:first], Repeat((*before, last.body[0]), last.times, None, before[0].span.to(last.span))]


def _makes(node: Node) -> int | None:
    """Stitches that plain stitches, increases and decreases into the next places make; None for anything else."""
    if isinstance(node, Repeat):
        one = _makes(node.body[0]) if len(node.body) == 1 and node.times.kind == "exact" else None
        return one * node.times.amount if one and isinstance(node.times.amount, int) else None
    if not isinstance(node, (Stitch, Group)) or node.into != NEXT or isinstance(node, Group) and not is_increase(node):
        return None
    return _made_once(node)


def _made_once(node: Stitch | Group) -> int:
    """Stitches that one working of a stitch or an increase makes."""
    if isinstance(node, Group):
        return is_increase(node)
    entry = stitch(node.stitch)
    return entry.makes if entry else 1


def _harmless(node: Unread) -> bool:
    return (
        prose.starts_as_prose(node.text) or prose.speaks_of_other_things(node.text) or not re.search(r"\w", node.text)
    )


def _behind_an_order(sentence: str, found: list[Token]) -> int:
    """The token where the work begins behind an order to the hands (`Stuff, then dec around`); 0 where none does."""
    if not prose.is_for_the_hands(sentence):
        return 0
    comma = next((i for i, t in enumerate(found) if t.is_(",", ";")), 0)
    begins = comma + 1 + (comma > 0 and comma + 1 < len(found) and found[comma + 1].is_("then", "and", "now"))
    worked = 0 < comma <= MOST_OF_AN_ORDER and begins < len(found) and not instructs(found[:comma])
    first = found[begins] if worked else None
    return begins if first and (first.kind in ("number", "stitch") or first.is_("(", "[", "*", "inc", "dec")) else 0


def _is_prose(sentence: str, found: list[Token], begun: bool) -> bool:
    if begun and len(found) > 1 and found[0].is_("(", "[", "<") and found[1].kind == "number":  # "(18)"
        return False
    if begun and found and found[0].is_("(", "[", "{", "<"):
        close = Cursor(found).closing()
        if close is not None and read_counts(found, 1, close):
            return False
    if prose.is_surely_prose(sentence):
        return True
    if instructs(found):
        return False
    return prose.starts_as_prose(sentence) or (begun and not _counts_only(found))


def instructs(found: list[Token]) -> bool:
    """Whether tokens hold anything that a hook does."""
    for i, token in enumerate(found):
        after = found[i + 1] if i + 1 < len(found) else None
        if token.kind in ("stitch", "space") or token.is_("inc", "dec", "skip", "turn", "join", "rep", "picot"):
            return True
        if token.is_("ch") and (
            after and (after.kind == "number" or after.is_("of")) or i and found[i - 1].kind == "number"
        ):
            return True
        if token.kind == "mark" and str(token.value)[0] == "*":
            return True
        if token.is_("unworked", "blo", "flo", "mr", "magic", "fsc", "mc", "cc") or (
            token.is_("lp") and i and found[i - 1].is_("back", "front")
        ):
            return True
        goes_on = i and found[i - 1].is_("going", "on", "continue", "continuing")
        if after and goes_on and token.is_("like", "in") and after.is_("this", "that"):
            return True
        if after and token.is_("patt", "pattern") and after.is_("to", "around", "across", "until"):
            return True
        if after and token.is_("same") and after.is_("all", "around", "across"):
            return True
        if after and token.is_("other", "opposite") and after.is_("side", "lp"):
            return True
        if after and token.is_("work", "do") and after.is_("this", "these"):
            return True
        further = found[i + 2] if i + 2 < len(found) else None
        if after and further and after.is_("in", "st") and further.is_("next", "each", "same", "ring", "in"):
            if token.kind == "number" or (token.kind == "word" and len(str(token.value)) <= 4) or after.is_("st"):
                return True
    return False


def _counts_only(found: list[Token]) -> bool:
    if len(found) > 1 and found[1].is_("of"):  # "Six of these are required."
        return False
    return bool(found) and (found[0].is_("(", "[", "<", "—", "-", "=", ">") or found[0].kind == "number")


def is_foundation_stitch(node: Node) -> bool:
    """Whether a node makes a chain and a stitch in one (fsc ...)."""
    if hasattr(node, "body"):
        return len(node.body) == 1 and is_foundation_stitch(node.body[0])
    return isinstance(node, Stitch) and node.stitch in ("fsc", "fhdc", "fdc", "ftr")
