"""One part's lines → its rounds and notes."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation import prose
from coach.notation.counts import take_counts
from coach.notation.cursor import Cursor
from coach.notation.grammar import Body, Grammar, Problem, main_stitch
from coach.notation.labels import INSIDE, Label, read_label
from coach.notation.lexer import tokens
from coach.notation.model import Action, Amount, Chain, Count, Node, Note, Repeat, Round, Span, Stitch, Times, Unread, for_size
from coach.notation.references import Reference, read_reference

EVEN = Repeat((Stitch("sc"),), Times("fill", 0, said=False))
_MR = re.compile(r"\s*(?:\(?\s*)?(?:mr|magic ring|magic circle|adjustable ring)\s*[,:]?\s*(\d+)\s*(?=[).,;(\[=—-]|$)", re.IGNORECASE)
_SIZES_ONLY = re.compile(r"\s*(?:for\s+)?sizes?\s+(.{1,40}?)\s+only\s*[:,.-]?\s*", re.IGNORECASE)
MOST_ROUNDS = 100_000  # of one part; a hostile "repeat 999999999 times" ends here


class Rounds:
    """Collects the rounds of one part. special: own stitches; sizes: names of the sizes; dec: what `dec` means here."""

    def __init__(self, text: str, folded: str, terms: str, special: dict[str, tuple[Node, ...]], sizes: tuple[str, ...], dec: str | None):
        self.text, self.folded, self.terms = text, folded, terms
        self.special, self.sizes, self.dec = special, sizes, dec
        self.rounds: list[Round] = []
        self.notes: list[Note] = []  # before the first round
        self.problems: list[Problem] = []
        self.foundation: tuple[Node, ...] = ()
        self.main: str | None = None
        self.kind = "round"
        self.only: tuple[int, ...] = ()

    # ---------------------------------------------------------------- blocks
    def add(self, text: str, start: int, label: Label | None) -> None:
        """One labelled instruction (text without its label), or with label None the prose or start between rounds."""
        if label is None:
            self._unlabelled(text, start)
            return
        kind = label.kind or ("row" if re.search(r"\bturn\b", text, re.IGNORECASE) else "round")
        self.kind = kind
        only = self._which(label.only) if label.only else self.only
        if m := _SIZES_ONLY.match(text):
            only = self._which(m[1])
            text, start = text[m.end():], start + m.end()
        reference = read_reference(text)
        numbers = label.numbers if label.numbers is not None else (self._next(),)
        span = Span(label.start, start + len(text.rstrip()))
        if reference is not None:
            self._refer(reference, numbers, label, kind, text, start, span, only)
            return
        body = self.body(text, start)
        foundation, nodes = _split_foundation(tuple(body.nodes))
        foundation, self.foundation = self.foundation + foundation, ()
        stated = tuple(replace(c, amount=self._for_all(c.amount, only)) for c in self.stated)
        self._missing_body(nodes, body, span)
        for i, number in enumerate(numbers):
            sizes = only or self._reaches(label, number)
            self.rounds.append(Round(
                self._label(kind, number, label), number, kind, nodes, stated, foundation if i == 0 else (), label.side, None, sizes,
                None, tuple(body.notes) if i == len(numbers) - 1 else (), span))
            if i == 0 and len(numbers) > 1 and foundation:
                foundation = ()

    def _missing_body(self, nodes: tuple[Node, ...], body: Body, span: Span) -> None:
        if not nodes and not self.foundation and not any(p.span.start >= span.start for p in self.problems):
            first = body.notes[0].span if body.notes else span
            self.problems.append(Problem("unknown", first, "No instruction could be read here.", "Write what to work, for example: Sc in each st around."))

    def _label(self, kind: str, number: int, label: Label) -> str:
        if label.base:
            return "Foundation row" if kind == "row" else "Foundation rnd"
        return f"{'Row' if kind == 'row' else 'Rnd'} {number}"

    def _next(self) -> int:
        return self.rounds[-1].number + 1 if self.rounds else 1

    def _reaches(self, label: Label, number: int) -> tuple[int, ...]:
        if not label.ends:
            return ()
        found = tuple(i for i in range(len(label.ends)) if label.ends[i] >= number)
        return () if len(found) == len(label.ends) else found

    def _for_all(self, amount: Amount, only: tuple[int, ...]) -> Amount:
        """A number for each size, where numbers are given for the named sizes only."""
        if isinstance(amount, int) or not only or len(amount) != len(only) or len(amount) == len(self.sizes):
            return amount
        named = dict(zip(only, amount))
        return tuple(named.get(i, amount[0]) for i in range(len(self.sizes)))

    def _which(self, words: str) -> tuple[int, ...]:
        names = {name.lower(): i for i, name in enumerate(self.sizes)}
        return tuple(names[w] for w in re.findall(r"[\w-]+", words.lower()) if w in names)

    # ---------------------------------------------------------------- references
    def _refer(self, ref: Reference, numbers: tuple[int, ...], label: Label | None, kind: str, text: str, start: int, span: Span, only: tuple[int, ...]) -> None:
        """Rounds that repeat others. With a label it says how many; without, the words do."""
        known = {r.number: r for r in self.rounds}
        targets = [known[n] for n in ref.numbers if n in known] if ref.numbers else self.rounds[-ref.last:] if ref.last else []
        lost = [n for n in ref.numbers if n not in known]
        if lost or not targets:
            what = " and ".join(str(n) for n in lost) or "before this one"
            self.problems.append(Problem("missing", span, f"This repeats {kind} {what}, which is not there.", "Check the number of the round it repeats."))
            if not targets:
                return
        found, counts = take_counts(tokens(fold_rest(ref.rest), start, self.terms)) if ref.rest else ([], [])
        stated = tuple(replace(c, span=span) for c in counts) if counts else ()
        turned = bool(re.search(r"\bturn\b", text, re.IGNORECASE))
        if label is None:
            numbers, per_size = self._how_many(ref, len(targets))
        else:
            per_size = None
        notes = (Note(f"Repeat {ref.until}".replace("Repeat for", "Work for"), "note", span),) if ref.until else ()
        if len(self.rounds) + len(numbers) > MOST_ROUNDS:
            self.problems.append(Problem("repeat", span, "That is more rounds than can be worked.", "Check how many times it is repeated."))
            numbers = numbers[:100]
        for i, number in enumerate(numbers):
            target = targets[i % len(targets)]
            sizes = only or (tuple(s for s, n in enumerate(per_size) if i < n) if per_size else self._reaches(label, number) if label else target.sizes)
            if per_size and len(sizes) == len(per_size):
                sizes = ()
            body = target.body if not ref.even else self._even(target, turned)
            own = target.stated if not ref.even and not stated and len(targets) == 1 and False else stated if len(targets) == 1 or i == len(numbers) - 1 else ()
            self.rounds.append(Round(f"{'Row' if kind == 'row' else 'Rnd'} {number}", number, kind, body, own, (), label.side if label else None, None, sizes,
                                     target.label, notes if i == len(numbers) - 1 else (), span))

    def _even(self, target: Round, turned: bool) -> tuple[Node, ...]:
        main = self.main or "sc"
        return (Repeat((Stitch(main),), Times("fill", 0, said=False), None, target.span),)

    def _how_many(self, ref: Reference, targets: int) -> tuple[tuple[int, ...], tuple[int, ...] | None]:
        amount: Amount = 1
        if ref.rows is not None:
            amount = ref.rows
        elif ref.times is not None:
            amount = ref.times * targets if isinstance(ref.times, int) else tuple(t * targets for t in ref.times)
        elif ref.until is not None or True:
            amount = targets
        most = min(amount if isinstance(amount, int) else max(amount), MOST_ROUNDS)
        first = self._next()
        return tuple(range(first, first + most)), None if isinstance(amount, int) else amount

    # ---------------------------------------------------------------- text without a label
    def _unlabelled(self, text: str, start: int) -> None:
        for sentence, at in prose.sentences(text, start):
            if m := _SIZES_ONLY.fullmatch(sentence):
                self.only = self._which(m[1])
                continue
            reference = read_reference(sentence)
            if reference and self.rounds:
                span = Span(at, at + len(sentence))
                if reference.even and reference.rows is None and reference.until is None and reference.times is None:
                    self._note(sentence, at)
                    continue
                self._refer(reference, (), None, self.rounds[-1].kind, sentence, at, span, ())
                continue
            if not prose.is_surely_prose(sentence):
                nodes = self._start(sentence, at)
                if nodes:
                    self.foundation += nodes
                    continue
            self._note(sentence, at)

    def _start(self, sentence: str, at: int) -> tuple[Node, ...]:
        """The nodes of a start (a chain, a ring, a foundation row of stitches); () when the sentence is none."""
        cut = re.match(r"\W*(?:foundation(?: ch(?:ain)?)?|to (?:start|begin)|start|begin(?:ning)?(?: ch(?:ain)?)?|base(?: ch(?:ain)?)?|set-?up)\s*[:—-]\s*|\W*(?:begin|start) (?:with|by)\s*(?:a|making)?\s*", sentence, re.IGNORECASE)
        offset = cut.end() if cut else 0
        body = Grammar(self.text, self.special, "sc")
        found = body.items(Cursor(tokens(sentence[offset:], at + offset, self.terms, frozenset(self.special))))
        if body.problems or not found or any(isinstance(n, Unread) for n in found):
            return ()
        starts = bool(self.foundation and any(isinstance(n, Action) and n.kind == "join" for n in found)) or any(isinstance(n, Chain) or (isinstance(n, Action) and n.kind == "ring") or _is_foundation_stitch(n) for n in found)
        plain = all(isinstance(n, (Chain, Action)) or _is_foundation_stitch(n) or (isinstance(n, Stitch) and n.stitch == "slst") for n in found)
        return tuple(found) if starts and plain else ()

    def _note(self, sentence: str, at: int) -> None:
        note = prose.note(self.text[at:at + len(sentence)], at)
        if note is None:
            return
        if self.rounds:
            last = self.rounds[-1]
            self.rounds[-1] = replace(last, notes=(*last.notes, note))
        else:
            self.notes.append(note)

    # ---------------------------------------------------------------- the body of a round
    def body(self, text: str, start: int) -> Body:
        """Instructions, notes and stated counts (in `self.stated`) of one round's text."""
        out = Body()
        if m := _MR.match(text):
            return self._magic(text, start, m)
        special = frozenset(self.special)
        kept: list = []
        for sentence, at in prose.sentences(text, start):
            found = tokens(sentence, at, self.terms, special)
            if prose.is_surely_prose(sentence) or (prose.starts_as_prose(sentence) and not _instructs(found)) or (kept and not _instructs(found) and not _counts_only(found)):
                if note := prose.note(self.text[at:at + len(sentence)], at):
                    out.notes.append(note)
                continue
            if kept:
                kept.append(_stop(at))
            kept.extend(found)
        kept, self.stated = take_counts(kept)
        main = main_stitch(kept)
        self.main = main if any(t.kind == "stitch" for t in kept) else self.main or main
        grammar = Grammar(self.text, self.special, self.main if not any(t.kind == "stitch" and t.value == main for t in kept) else main, self.dec)
        nodes = grammar.items(Cursor(kept))
        self.problems += grammar.problems
        out.nodes = self._sort_out(nodes, out)
        return out

    def _magic(self, text: str, start: int, m: re.Match) -> Body:
        """`MR 6`: six of the usual stitch in a magic ring."""
        out = Body()
        rest = self.body(text[m.end():], start + m.end()) if re.search(r"[a-z]", text[m.end():], re.IGNORECASE) else None
        if rest is None:
            _, self.stated = take_counts([_stop(start), *tokens(text[m.end():], start + m.end(), self.terms)])
        span = Span(start, start + m.end())
        out.nodes = [Action("ring", "", None, span), *Grammar(self.text, main="sc")._counted("sc", int(m[1]), "both", span)]
        if rest is not None:
            out.nodes += rest.nodes
            out.notes = rest.notes
        return out

    def _sort_out(self, nodes: list[Node], out: Body) -> list[Node]:
        """Fastening off becomes a note; what could not be read becomes a fault, unless it is harmless prose."""
        kept: list[Node] = []
        for node in nodes:
            if isinstance(node, Action) and node.kind == "fasten_off":
                if note := prose.note(self.text[node.span.start:node.span.end], node.span.start):
                    out.notes.append(note)
            elif isinstance(node, Unread) and (prose.starts_as_prose(node.text) or not re.search(r"\w", node.text)):
                if note := prose.note(node.text, node.span.start):
                    out.notes.append(note)
            else:
                kept.append(node)
        return kept


def fold_rest(text: str) -> str:
    """The words behind a reference, made an instruction so that a count at its end is one."""
    return ". " + re.sub(r"^[\s.,;:]+", "", text)


def _stop(at: int):
    from coach.notation.lexer import Token
    return Token("mark", ".", at, at)


def _instructs(found: list) -> bool:
    for i, token in enumerate(found):
        if token.kind in ("stitch", "space") or token.is_("inc", "dec", "skip", "turn", "join", "rep", "picot"):
            return True
        if token.is_("ch") and (i + 1 < len(found) and found[i + 1].kind == "number" or i and found[i - 1].kind == "number"):
            return True
        if token.kind == "mark" and str(token.value)[0] == "*":
            return True
        if token.is_("unworked", "blo", "flo", "mr", "magic", "fsc", "mc", "cc") or (token.is_("lp") and i and found[i - 1].is_("back", "front")):
            return True
        if token.kind == "number" and i + 2 < len(found) and found[i + 1].is_("in") and found[i + 2].is_("next", "each", "same", "ring"):
            return True
        if token.is_("other", "opposite") and i + 1 < len(found) and found[i + 1].is_("side", "lp"):
            return True
    return any(t.kind == "word" and len(str(t.value)) <= 4 and i + 2 < len(found) and found[i + 1].is_("in") and found[i + 2].is_("each", "next") for i, t in enumerate(found))


def _counts_only(found: list) -> bool:
    return bool(found) and found[0].is_("(", "[", "<", "—", "-", "=") or (bool(found) and found[0].kind == "number")


def _is_foundation_stitch(node: Node) -> bool:
    if isinstance(node, Repeat):
        return len(node.body) == 1 and _is_foundation_stitch(node.body[0])
    return isinstance(node, Stitch) and node.stitch in ("fsc", "fhdc", "fdc", "ftr")


def _split_foundation(nodes: tuple[Node, ...]) -> tuple[tuple[Node, ...], tuple[Node, ...]]:
    """The chain or ring that a round starts from, and the rest of it."""
    for i, node in enumerate(nodes):
        if isinstance(node, Action) and (node.kind == "ring" or (node.kind == "join" and node.text == "ring")):
            return nodes[:i + 1], nodes[i + 1:]
        if not isinstance(node, (Chain, Action)) and not (isinstance(node, Stitch) and node.stitch == "slst"):
            if _first_into(node) == "hook":
                return nodes[:i], nodes[i:]
            return (), nodes
    return (), nodes


def _first_into(node: Node) -> str | None:
    if isinstance(node, Repeat):
        return _first_into(node.body[0]) if node.body else None
    if isinstance(node, (Stitch,)):
        return node.into.kind
    return node.into.kind if hasattr(node, "into") and node.into else None


__all__ = ["Count", "INSIDE", "Rounds", "for_size", "read_label"]
