"""One part's lines → its rounds and notes."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation import per_size, prose, unlabelled
from coach.notation.as_part import Made, as_part
from coach.notation.body import Body, BodyReader, instructs, is_foundation_stitch
from coach.notation.bounds import LONGEST_ROUND, MOST_UNWRITTEN, Room
from coach.notation.building import Own, Problem
from coach.notation.changed import not_read, read_change
from coach.notation.counts import read_said, read_total, take_counts
from coach.notation.cursor import Cursor
from coach.notation.established import established, pattern_for
from coach.notation.foundations import (
    SAMPLE,
    START,
    first_into,
    names_a_stitch,
    split_foundation,
    tells_of_a_chain,
    with_standing,
)
from coach.notation.labels import Label, read_label
from coach.notation.lexer import Token
from coach.notation.model import Action, Chain, Count, Node, Note, Round, Span, Stitch
from coach.notation.per_size import ALL_SIZES, SIZE_NAMES, SIZES_FIRST, SIZES_ONLY, for_all, of_each, reaches, which
from coach.notation.plain_rounds import read_plain_rounds, tells_rounds
from coach.notation.proceeding import Proceeding, read_proceeding
from coach.notation.references import Reference, cut_reference, read_reference, told
from coach.notation.repeated_rounds import grows, how_many, worked_again
from coach.notation.spelled_out import colours_behind, spelled_out, understood

_ROUND_ENDS = re.compile(
    r"(?=.*\w)\W*?(?P<turn>turn\b)?\W*?(?P<count>[(\[]\d{1,5}(?: \w{1,9})?[)\]]|\d{1,5} st\w{0,7})?[\s.]*",
    re.IGNORECASE,
)
_TURN = re.compile(r"\bturn\b", re.IGNORECASE)


class Rounds:
    """Collects the rounds of one part. special: own stitches; sizes: names of the sizes; dec: what `dec` means here."""

    def __init__(
        self,
        text: str,
        terms: str,
        special: dict[str, Own],
        sizes: tuple[str, ...],
        dec: str | None,
        room: Room | None = None,
    ):
        self.text, self.sizes = text, sizes
        self.room = room or Room()
        self.reader = BodyReader(text, terms, special, dec, len(sizes))
        self.rounds: list[Round] = []
        self.by_number: dict[int, Round] = {}
        self.behind: dict[int, list[Note]] = {}  # notes behind the round with this index
        self.notes: list[Note] = []  # before the first round
        self.problems: list[Problem] = []
        self.foundation: tuple[Node, ...] = ()
        self.unnumbered: Round | None = None  # a first round that has no label
        self.alternating = 0  # the number of a round that every second one behind it repeats; 0: none
        self.before_first: Round | None = None  # that, where the first round with a label is number 1
        self.only: tuple[int, ...] = ()
        self.made: Made = {}  # the rounds of the parts before
        self.free = False  # the text has no labels at all
        self.called: dict[str, tuple[int, ...]] = {}  # the last "inc row", "dec row"
        self.listed = False  # a label named rounds out of their order

    def in_order(self) -> tuple[Round, ...]:
        """The rounds by their numbers, where a label listed some ahead (`Rounds 3, 5 and 7`)."""
        self._take_unnumbered(None)
        rounds = [
            replace(r, notes=(*r.notes, *self.behind[i])) if i in self.behind else r for i, r in enumerate(self.rounds)
        ]
        if self.listed and len({r.number for r in rounds}) == len(rounds):
            rounds.sort(key=lambda r: r.number)
        return tuple(rounds)

    def _append(self, round: Round) -> None:
        self.rounds.append(round)
        self.by_number[round.number] = round

    # ---------------------------------------------------------------- blocks
    def add(self, text: str, start: int, label: Label | None) -> None:
        """One labelled instruction (text without its label), or with label None the prose or start between rounds."""
        if len(text) > LONGEST_ROUND:
            left_out = Span(start + LONGEST_ROUND, start + len(text))
            message = "This is too long for one round; the rest of it was left out."
            self.problems.append(Problem("long", left_out, message, "Split it into several rounds."))
            text = text[:LONGEST_ROUND]
        if label is None:
            self._unlabelled(text, start)
            return
        kind = label.kind or ("row" if _TURN.search(text) else "round")
        only = which(label.only, self.sizes) if label.only else self.only
        if m := SIZES_ONLY.match(text):
            only = which(m[1], self.sizes)
            text, start = text[m.end() :], start + m.end()
        first = self._next()
        numbers = (
            label.numbers
            if label.numbers is not None
            else tuple(range(first, first + min(label.count, 2 * MOST_UNWRITTEN)))
        )
        if wrong := per_size.too_few(label, self.sizes):
            self.problems.append(wrong)
        if label.numbers is None and label.ends:  # "Next 3 (4, 5) rnds:"
            label = replace(label, ends=tuple(first - 1 + n for n in label.ends))
        in_sizes = (*numbers, *label.bracket) if label.bracket and len(label.bracket) + 1 == len(self.sizes) else ()
        numbers = self._with_room(in_sizes or numbers, Span(label.start, label.end))
        self._take_unnumbered(numbers[0])
        self._alternate_before(numbers[0])
        self.alternating = numbers[0] if label.alternate else self.alternating
        _ = label.name and self.called.update({label.name: numbers[-1:]})
        pairs = zip(numbers, numbers[1:], strict=False) if len(numbers) > 1 else ()
        apart = any(b - a > 1 for a, b in pairs)  # others come between: a count is for the first
        self.listed = self.listed or (apart and not in_sizes)
        span = Span(label.start, start + len(text.rstrip()))
        if copied := as_part(text, self.made, numbers, span):
            for round in copied:
                self._append(round)
            return
        reference, like = read_reference(text), None
        if reference is not None and (full := spelled_out(reference, text, start, self.reader, self.by_number)):
            text, start, like = full
        elif reference is not None:
            self._refer(reference, numbers, label, kind, text, start, span, only)
            return
        text, further = cut_reference(text)
        span = Span(label.start, start + len(text.rstrip())) if further else span
        self.reader.pattern = pattern_for(text, self.rounds, numbers[0])
        body = self.reader.read(text, start)
        self.problems += body.problems
        self._take_what_stands_before(body.nodes)
        foundation, nodes = split_foundation(tuple(body.nodes), not self.rounds and not self.foundation)
        foundation, self.foundation = with_standing(self.foundation + foundation, body.standing), ()
        stated = (
            tuple(replace(c, amount=for_all(c.amount, only, self.sizes)) for c in body.stated) if only else body.stated
        )
        self._missing_body(nodes or foundation, body, span)
        if len(label.bracket) == 1 and not in_sizes and not stated:  # "Rnd 3 (18): ..."
            stated = (Count(label.bracket[0], None, Span(label.start, label.end)),)
        for i, number in enumerate(numbers):
            own = of_each(stated, i, len(numbers), self.sizes) if not i or not apart or in_sizes else ()
            self._append(
                Round(
                    self._label(kind, number, label),
                    number,
                    kind,
                    nodes,
                    own,
                    foundation if i == 0 else (),
                    label.side,
                    label.colour or None,
                    only or ((i,) if in_sizes else reaches(label, number)),
                    like,
                    tuple(body.notes) if i == len(numbers) - 1 else (),
                    span,
                )
            )
        if further:
            self._unlabelled(further, start + len(text))

    def _with_room(self, numbers: tuple[int, ...], span: Span) -> tuple[int, ...]:
        kept = self.room.take(numbers)
        if len(kept) < len(numbers):
            self.problems.append(
                Problem(
                    "repeat", span, "That is more rounds than can be worked.", "Check how many times it is repeated."
                )
            )
        return kept

    def _missing_body(self, nodes: tuple[Node, ...], body: Body, span: Span) -> None:
        only_ends = bool(body.notes) and all(n.kind == "fasten_off" for n in body.notes)  # "R9: fasten off"
        if not nodes and not body.problems and not only_ends:
            first = body.notes[0].span if body.notes else span
            self.problems.append(
                Problem(
                    "unknown",
                    first,
                    "No instruction could be read here.",
                    "Write what to work, for example: Sc in each st around.",
                )
            )

    def _label(self, kind: str, number: int, label: Label) -> str:
        if label.title:
            return label.title
        if label.base:
            return "Foundation row" if kind == "row" else "Foundation rnd"
        return unlabelled.name_of(kind, number)

    def _next(self) -> int:
        return self.rounds[-1].number + 1 if self.rounds else 2 if self.unnumbered else 1

    def _take_unnumbered(self, number: int | None) -> None:
        """A start that was worked without a label is the first round, unless a label says that another one is."""
        first, self.unnumbered = self.unnumbered, None
        if first is None or self.rounds:
            return
        if number == 1:
            self.before_first = first
        else:
            self._append(first)

    def _alternate_before(self, number: int) -> None:
        """The row before this one where an earlier label told it, too (`Row 2 and all even rows:`)."""
        told = self.by_number.get(self.alternating)
        between = self._next()
        if told is not None and between == number - 1 and (between - told.number) % 2 == 0:
            name = unlabelled.name_of(told.kind, between)
            self._append(replace(told, number=between, label=name, same_as=told.label, foundation=(), notes=()))

    def _take_what_stands_before(self, nodes: list[Node]) -> None:
        """`Work 6 dc into a ring. Round 1: 2 dc into each dc`: a round of its own, where the first is worked into it;
        else it says what the first one says again. nodes: of the first round."""
        before, self.before_first = self.before_first, None
        if before is None:
            return
        worked = [n for n in nodes if not isinstance(n, (Chain, Action)) and first_into(n) is not None]
        if worked and first_into(worked[0]) in ("next", "first") and not any(isinstance(n, Chain) for n in before.body):
            name = "Foundation row" if before.kind == "row" else "Foundation rnd"
            self._append(replace(before, number=0, label=name))
        else:
            self.foundation += tuple(n for n in (*before.foundation, *before.body) if isinstance(n, (Chain, Action)))

    # ---------------------------------------------------------------- references
    def _refer(
        self,
        ref: Reference,
        numbers: tuple[int, ...],
        label: Label | None,
        kind: str,
        text: str,
        start: int,
        span: Span,
        only: tuple[int, ...],
    ) -> None:
        """Rounds that repeat others. With a label it says how many; without, the words do."""
        ref = replace(ref, numbers=self.called.get(ref.called, ())) if ref.called else ref
        turn = established(self.rounds, numbers[0] if numbers else self._next()) if ref.patterned else []
        targets = turn or self._targets(ref, kind, span)
        if not targets:
            return
        kind = targets[0].kind if label and label.bare else kind
        if (
            label is None and not ref.extends or ref.until and label is None
        ):  # worked to a length: the rounds are there already
            self._note(text, start)
            return
        stated = self._stated_of(ref, text, start, span)
        change = (
            read_change(self.reader.tokens(ref.rest, start + len(text) - len(ref.rest)), self.text) if label else None
        )
        colours = colours_behind(ref, text, start, self.reader) if label else ()
        otherwise = change is None and not colours and label is not None
        if otherwise and (wrong := not_read(ref.rest, start + len(text) - len(ref.rest), targets[-1].label)):
            self.problems.append(wrong)
        per_size: tuple[int, ...] | None = None
        if label is None:
            numbers, per_size = how_many(ref, len(targets), self._next())
            numbers = self._with_room(numbers, span)
        notes = (Note(told(ref.until), "note", span),) if ref.until else ()
        for i, number in enumerate(numbers):
            target = targets[i % len(targets)]
            last = i == len(numbers) - 1
            if per_size:
                sizes = tuple(s for s, n in enumerate(per_size) if i < n)
                sizes = () if len(sizes) == len(per_size) else sizes
            else:
                sizes = reaches(label, number) if label else () if ref.even else target.sizes
            self._append(
                Round(
                    unlabelled.name_of(kind, number),
                    number,
                    kind,
                    worked_again(ref, target, ref.of or self.reader.main or "sc", span, change, i + 1)
                    + (colours if last else ()),
                    of_each(stated, i, len(numbers), self.sizes)
                    if last or (len(targets) == 1 and not grows(ref, target, stated))
                    else (),
                    (),
                    label.side if label else None,
                    (label.colour if label else "") or (None if ref.even or ref.ends else target.colour),
                    tuple([s for s in sizes if s in only]) if only and sizes else only or sizes,
                    None if ref.ends or change else target.label,
                    notes if last else (),
                    span,
                )
            )

    def _targets(self, ref: Reference, kind: str, span: Span) -> list[Round]:
        """The rounds pointed at; those that are not there are a fault."""
        known = self.by_number
        lost = [n for n in ref.numbers if n not in known]
        targets = (
            [known[n] for n in ref.numbers if n in known]
            if ref.numbers
            else self.rounds[-ref.last :]
            if ref.last
            else []
        )
        if lost or not targets:
            what = " and ".join(str(n) for n in lost[:3]) or "before this one"
            self.problems.append(
                Problem(
                    "missing",
                    span,
                    f"This repeats {kind} {what}, which is not there.",
                    "Check the number of the round it repeats.",
                )
            )
        return targets

    def _stated_of(self, ref: Reference, text: str, start: int, span: Span) -> tuple[Count, ...]:
        rest = re.sub(r"^[\s.,;:]+", "", ref.rest)
        if not rest:
            return ()
        at = start + len(text.rstrip()) - len(rest.rstrip())
        found = [Token("mark", ".", at, at), *self.reader.tokens(rest, at)]
        counts = take_counts(found)[1] or read_total(Cursor(found, 1), self.text) or []
        return tuple(replace(c, span=span) for c in counts)

    # ---------------------------------------------------------------- text without a label
    def _of_sizes(self, named: str, text: str, start: int) -> bool:
        """`All sizes: Work 3 rounds even.`; `Size L only: ...` is of this instruction alone. False where it is none."""
        label = read_label(text, start)
        if not (label or read_reference(text) or tells_rounds(text)):
            return False
        before, self.only = self.only, which(named, self.sizes) if named else ()
        if label:
            self.add(text[label.end - start :], label.end, label)
        else:
            self._unlabelled(text, start)
        self.only = before if named else ()
        return True

    def _unlabelled(self, text: str, start: int) -> None:
        m = SIZES_FIRST.match(text)
        if m and self._of_sizes(m["only"] or "", text[m.end() :], start + m.end()):
            return
        found = prose.sentences(text, start, self.free)
        for sentence, at in unlabelled.again_joined(found, text, start) if self.free else found:
            if not self.rounds and (copied := as_part(sentence, self.made, None, Span(at, at + len(sentence)))):
                for round in copied:
                    self._append(round)
                continue
            if m := SIZES_ONLY.fullmatch(sentence):
                self.only = which(m[1], self.sizes)
                continue
            if ALL_SIZES.fullmatch(sentence):
                self.only = ()
                continue
            if m := SIZE_NAMES.match(sentence):  # "S (M, L): Ch 21 (25, 29)."
                sentence, at = sentence[m.end() :], at + m.end()
            if (self.unnumbered or self.free and self.rounds) and (ends := _ROUND_ENDS.fullmatch(sentence)):
                self._end(bool(ends["turn"]), take_counts(self.reader.tokens(". " + (ends["count"] or ""), at))[1])
                continue
            if (self.rounds or self.unnumbered) and (ahead := read_proceeding(sentence)) and self._proceed(ahead, at):
                continue
            reference = read_reference(sentence) if self.rounds or self.unnumbered else None
            if reference is None and self.rounds and tells_rounds(sentence):
                reference = read_plain_rounds(self.reader.tokens(sentence, at), sentence, at)
            if reference and (reference.extends or not reference.even):
                self._take_unnumbered(None)
                behind = (
                    reference.rest.lstrip(" ;,.") if reference.up_to else ""
                )  # "until you have 8 ribs; chain 11 ..."
                end = at + len(sentence) - len(behind)
                self._refer(reference, (), None, self.rounds[-1].kind, sentence, at, Span(at, end), self.only)
                if behind:
                    self._unread(behind, end)
            elif prose.is_surely_prose(sentence) or not (self._start(sentence, at) or self._go_on(sentence, at)):
                self._state(read_said(self.reader.tokens(sentence, at)))
                self._note(sentence, at)
                if (name := unlabelled.called(sentence)) and instructs(
                    self.reader.tokens(sentence[name.end() :], at + name.end())
                ):
                    self.problems.append(unlabelled.unknown_label(name, at))
                elif short := unlabelled.short_for_a_start(sentence, at):
                    self.problems.append(short)
                elif tells_rounds(sentence) and not self.free:
                    self._unread(sentence, at)
                elif unlabelled.is_like_a_round(text[: at - start], text[at - start :]) and not self.free:
                    if instructs(self.reader.tokens(sentence, at)):
                        self.problems.append(unlabelled.not_understood(sentence, at))

    def _go_on(self, sentence: str, at: int) -> bool:
        """In a text without labels each sentence that a hook can follow is a round of its own; False when it is
        none."""
        if not self.free or not (self.rounds or self.unnumbered or self.foundation):
            return False
        body = self.reader.read(sentence, at)
        nodes = [n for n in body.nodes if not isinstance(n, (Action, Chain))]
        if not (nodes and understood(body)):
            self._unread(sentence, at)
            return False
        self._take_unnumbered(None)
        number, foundation, self.foundation = self._next(), self.foundation, ()
        span = Span(at, at + len(sentence.rstrip()))
        kind = unlabelled.kind_of(foundation, tuple(body.nodes), self.rounds[-1] if self.rounds else None)
        told = body.stated, foundation, None
        self._append(Round(unlabelled.name_of(kind, number), number, kind, tuple(body.nodes), *told, span=span))
        return True

    def _unread(self, sentence: str, at: int) -> None:
        """An instruction between the rounds that has no label and is not understood."""
        if (self.rounds or self.unnumbered) and instructs(self.reader.tokens(sentence, at)):
            self.problems.append(unlabelled.not_understood(sentence, at))

    def _proceed(self, ahead: Proceeding, at: int) -> bool:
        """The rows that one sentence tells; False where its instruction is not understood."""
        body = self.reader.read(ahead.told, at + ahead.at)
        if not understood(body):
            return False
        self._take_unnumbered(None)
        kind, span = self.rounds[-1].kind, Span(at + ahead.at, at + ahead.at + len(ahead.told))
        numbers = self._with_room(tuple(range(self._next(), ahead.rows + 1)), span)
        for number in numbers:
            stated = (Count(ahead.stated, None, span),) if ahead.stated and number == ahead.rows else ()
            self._append(Round(unlabelled.name_of(kind, number), number, kind, tuple(body.nodes), stated, span=span))
        return bool(numbers)

    def _end(self, turned: bool, counts: list[Count]) -> None:
        """`(18).`, `Turn. (10)` behind the last round of a text without labels."""
        self._state(counts)
        if not turned:
            return
        last = self.unnumbered or self.rounds[-1]
        told = replace(last, label=f"Row {last.number}", kind="row", body=(*last.body, Action("turn", span=last.span)))
        if self.unnumbered:
            self.unnumbered = told
        else:
            self.rounds[-1] = told
            self.by_number[told.number] = told

    def _state(self, counts: list[Count]) -> None:
        """What a sentence says of the round before it, where that round says nothing itself."""
        last = self.unnumbered or (self.rounds[-1] if self.rounds else None)
        if not counts or last is None or last.stated:
            return
        told = replace(last, stated=tuple(counts))
        if self.unnumbered:
            self.unnumbered = told
        else:
            self.rounds[-1] = told
            self.by_number[told.number] = told

    def _start(self, sentence: str, at: int) -> bool:
        """A start (a chain, a ring, a foundation row of stitches) is kept for the first round; False when it is
        none.
        """
        cut = START.match(sentence)
        if m := SAMPLE.match(sentence):  # "chain a multiple of 4 plus 3 (23 ch in the sample)"
            sentence = " " * m.start("sample") + m["sample"]
        offset = cut.end() if not m else m.start("sample")
        nodes = self.reader.start(sentence[offset:], at + offset)
        if nodes is None or tells_of_a_chain(nodes) or self.free and names_a_stitch(nodes, sentence):
            return False
        if cut["ring"] or cut["a_ring"]:
            nodes = [replace(n, text="ring") if isinstance(n, Action) and n.kind == "join" else n for n in nodes]
        begins = any(
            isinstance(n, Chain) or (isinstance(n, Action) and n.kind in ("ring", "join")) or is_foundation_stitch(n)
            for n in nodes
        )
        worked = next((n for n in nodes if not isinstance(n, Action)), nodes[0])
        in_ring = not self.rounds and first_into(worked) == "ring"  # "(with red,) 6 sc in a magic ring"
        if not (begins or in_ring) or (
            self.rounds and not isinstance(nodes[0], (Chain, Action)) and not is_foundation_stitch(nodes[0])
        ):
            return False
        if all(
            isinstance(n, (Chain, Action)) or is_foundation_stitch(n) or (isinstance(n, Stitch) and n.stitch == "slst")
            for n in nodes
        ):
            if (
                any(isinstance(n, Chain) or n.kind == "ring" for n in nodes if isinstance(n, (Chain, Action)))
                or self.foundation
                or any(is_foundation_stitch(n) for n in nodes)
            ):
                self.foundation += tuple(nodes)
                return True
            return False
        foundation, body = split_foundation(tuple(nodes))
        if self.rounds or self.unnumbered or not (foundation or self.foundation or in_ring):
            return False
        read = self.reader.read(sentence[offset:], at + offset)
        further = split_foundation(tuple(read.nodes))
        foundation, body = further if further[1] else (foundation, body)  # "magic ring: 6 sc" is no count
        foundation = with_standing(self.foundation + foundation, read.standing)
        kind, span = unlabelled.kind_of(foundation, body), Span(at, at + len(sentence.rstrip()))
        self.unnumbered = Round(unlabelled.name_of(kind, 1), 1, kind, body, read.stated, foundation, span=span)
        self.foundation = ()
        return True

    def _note(self, sentence: str, at: int) -> None:
        note = prose.note(self.text[at : at + len(sentence)], at)
        if note is None:
            return
        if self.rounds:
            self.behind.setdefault(len(self.rounds) - 1, []).append(note)
        else:
            self.notes.append(note)
