"""What a conversation can be about: working a pattern, or choosing one. Pure, like the conversation itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from coach.events import Answer
from coach.fabric.model import Fabric
from coach.guide import carried, machine
from coach.guide.explain import stitch_of
from coach.guide.finishing import rest
from coach.guide.hours import spent
from coach.guide.lessons import always, own_stitches
from coach.guide.messages import say
from coach.guide.model import Message, Reply, Request, State
from coach.guide.places import done_in_round, own_steps, part_at, total, worked_at
from coach.guide.requests import REQUESTS
from coach.guide.returning import recap
from coach.guide.revision import Revision
from coach.guide.slips import highest_count
from coach.guide.wording import terms_of
from coach.language.makers_words import with_words, without_word
from coach.language.model import NUMBER, Grammar
from coach.language.phrasebook import Phrasebook
from coach.language.speak import sentence
from coach.language.understand import grammar, normal, phrase, understand
from coach.notation.model import Group, Node, Pattern, Repeat, Stitch

ASIDE = ("repeat", "help", "finish", "stop", "listen", "tones")  # what can be asked while choosing
ASKED_FOR_A_NUMBER = {  # which request the answer to a question makes complete
    "how_many": "have",
    "how_many_left": "have",
    "how_many_ripped": "ripped",
    "which_one": "go_stitch",
    "which_ripped": "ripped_round",
}
LONGEST_NUMBER = 18  # digits
LONGEST_STEP = 300.0  # seconds between two requests that count as work; what is longer was a break


@dataclass(frozen=True, slots=True)
class Versions:
    """The versions of a work's pattern. fabric: gives one by its key (see `State.pattern`); offered: the key of what
    the file holds now, where that is another; choice: "new" or "old" where the maker has chosen between them
    already."""

    fabric: Callable[[str], Fabric]
    offered: str | None = None
    choice: str = ""


class Working:
    """Working a pattern: the guide says what, the phrasebook in which words."""

    def __init__(
        self,
        fabric: Fabric,
        phrasebook: Phrasebook,
        state: State = State(),
        terms: str | None = None,
        versions: Versions | None = None,
        told: tuple[str, ...] = (),
    ) -> None:
        """fabric: of the version that the state is of; terms: US or UK, unless the maker has asked for others, as the
        pattern is written where None; versions: where there may be several; told: keys of messages that were said while
        it was chosen, and need not be said at the beginning."""
        self._told = told
        self._versions = versions or Versions(lambda key: fabric)
        self.fabric = fabric
        self.phrasebook = phrasebook
        if terms and not state.terms and terms != fabric.pattern.terms:
            state = state.having(terms=terms)
        self.state = state
        self.step = ""  # announced now, in plain US abbreviations
        self._since = 0.0  # seconds since the last request
        self._idle = 0.0  # the same, pauses too

    @property
    def quiet(self) -> bool:
        return self.state.paused

    @property
    def terms(self) -> str:
        """US or UK, as stitches are called now."""
        return terms_of(self.fabric, self.state)

    @property
    def pace(self) -> float | None:
        return self.state.settings.pace if self.state.counting == "paced" else None

    def passed(self, seconds: float) -> None:
        self._since += 0.0 if self.state.paused else seconds
        self._idle += seconds

    def recap(self) -> Answer | None:
        """What is said after a long silence that began in the middle of a round; the state stays as it is."""
        worked, place = worked_at(self.fabric, self.state.place), self.state.place
        if worked is None or not 0 < place.steps < own_steps(worked) or self.state.paused or self.state.finished:
            return None
        messages = recap(self.fabric, self.state)
        return self._answer(self.state, messages)

    def begin(self) -> Answer:
        """Whoever begins has rested. Where the pattern file has changed, that is told."""
        state, offer, news = self.state.having(rested=self.state.worked), self._versions, ()
        if carried.is_asked(state):
            state = state.having(asking=None)
        if offer.offered not in (None, state.pattern) and (offer.choice or offer.offered != state.passed_over):
            fabric, state, news = carried.offered(
                self.fabric, offer.fabric(offer.offered), offer.offered, state, offer.choice
            )
            self._work_from(fabric)
        state, reply = machine.begin(self.fabric, state, news)
        return self._worded(state, replace(reply, messages=tuple(m for m in reply.messages if m.key not in self._told)))

    def understand(self, text: str, typed: bool) -> Request | None:
        request = understand(self.phrasebook, text, typed, self.terms, self._parts, self._own)
        return request or (self._number(text.strip()) if typed else None)

    def _number(self, text: str) -> Request | None:
        """A number that is typed alone answers a question for one; else it is that of a round to go to."""
        if not (text.isascii() and text.isdecimal() and len(text) <= LONGEST_NUMBER):
            return None
        asked = self.state.said[-1].key if self.state.said else ""
        return Request(ASKED_FOR_A_NUMBER.get(asked, "go_round"), int(text))

    def pressed(self, key: str) -> None:
        return None

    def answer(self, request: Request) -> Answer:
        state, reply = machine.answer(*self._version_for(request), request)
        if self._since:
            state = spent(state, min(self._since, LONGEST_STEP))
            self._since = 0.0
        state, offered = rest(state, request, self._idle)
        self._idle = 0.0
        return self._worded(state, Reply((*reply.messages, *offered), reply.step))

    def _version_for(self, request: Request) -> tuple[Fabric, State]:
        """The pattern and the state that a request is answered from: another version where it is taken up, or
        undone."""
        state = self.state
        if request.name == "yes" and carried.is_asked(state) and not state.paused:
            key = str(state.asking.value)
            revision = Revision(self.fabric, self._versions.fabric(key))
            state = carried.carried(revision, key, state).having(asking=state.asking)
            self._work_from(revision.new)
        if request.name == "undo" and state.before and state.before.pattern != state.pattern and not state.paused:
            self._work_from(self._versions.fabric(state.before.pattern))
        return self.fabric, state

    def _work_from(self, fabric: Fabric) -> None:
        self.fabric = fabric
        for known in ("name", "_parts", "_own", "_stitches"):  # of the other version
            self.__dict__.pop(known, None)

    def unknown(self, text: str) -> str:
        return self._answer(self.state, (Message("not_understood"),)).said

    def phrase(self, request: Request) -> str:
        words = phrase(self.phrasebook, request, self.terms)
        return words if self.understand(words, typed=False) == request else ""

    def word_and_meaning(self, line: str) -> tuple[str, str] | None:
        word, _, meaning = line.partition("=" if "=" in line else f" {self.phrasebook.means} ")
        return (word.strip(), meaning.strip()) if word.strip() and meaning.strip() else None

    def with_word(self, word: str, meaning: str) -> Message | None:
        self.phrasebook, faults = with_words(self.phrasebook, {word: meaning})
        return faults[0] if faults else None

    def without_word(self, word: str) -> str | None:
        self.phrasebook, gone = without_word(self.phrasebook, word)
        return gone or None

    def grammar(self) -> Grammar:
        """Numbers go as far as this place has rounds and stitches, so that nothing is heard that is not there."""
        part = part_at(self.fabric, self.state.place)
        rounds = part.rounds if part else ()
        situation = "paused" if self.state.paused else "asking" if self.state.asking else "working"
        near = rounds[max(self.state.place.round - 1, 0) : self.state.place.round + 1]
        return grammar(
            self.phrasebook,
            situation,
            max((r.source.number for r in rounds), default=0),
            self._stitches,
            self.terms,
            max(map(highest_count, near), default=0),
            self._parts,
            always(),
            self._own,
        )

    @cached_property
    def name(self) -> str:
        """A name of the coach that this pattern doesn't say."""
        return name_for(self.phrasebook, self.fabric.pattern.text)

    def aside(self, *messages: Message) -> Answer:
        return self._answer(self.state, messages)

    def sounds_like(self, request: Request) -> dict[str, Request]:
        if REQUESTS[request.name].takes not in ("number", "count") or not isinstance(request.value, int):
            return {}
        book, heard, counting = self.phrasebook, self.grammar(), REQUESTS[request.name].takes == "count"
        possible = {*(heard.counts if counting else heard.numbers)}
        others = [n for n in book.mistaken_for(request.value, counting) if book.spoken(n, counting)[0] in possible]
        return (
            {book.spoken(n, counting)[0]: replace(request, value=n) for n in (request.value, *others)} if others else {}
        )

    @cached_property
    def _parts(self) -> tuple[str, ...]:
        return tuple(part.name for part in self.fabric.parts)

    @cached_property
    def _own(self) -> tuple[str, ...]:
        return tuple(own_stitches(self.fabric.pattern))

    @cached_property
    def _stitches(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(stitches_in(self.fabric.pattern)))

    def _worded(self, state: State, reply: Reply) -> Answer:
        self.state, self.step = state, reply.step
        return self._answer(state, reply.messages)

    def _answer(self, state: State, messages: tuple[Message, ...]) -> Answer:
        return Answer(
            sentence(self.phrasebook, messages, self.terms, state.settings.hand),
            messages,
            state,
            state.settings.rate,
            state.settings.volume,
            state.finished,
        )


class Choosing:
    """Choosing a pattern, or one of its sizes, by its number or its name. A key with a digit is a number here."""

    quiet = False
    pace = None

    def __init__(self, titles: Iterable[str], phrasebook: Phrasebook, what: str = "pattern") -> None:
        """what: pattern or size; "next" takes the first size."""
        self.titles = tuple(titles)
        self.phrasebook = phrasebook
        self.name = name_for(phrasebook, " ".join(self.titles))
        self.chosen: int | None = None  # index of the pattern; None as long as none is, and when the maker left
        self._what = what
        self._aside = ASIDE if what == "pattern" else (*ASIDE, "next")

    def passed(self, seconds: float) -> None:
        pass

    def recap(self) -> None:
        return None

    def begin(self) -> Answer:
        listed = " ".join(f"{n}: {title}." for n, title in enumerate(self.titles, start=1))
        messages = (
            say("choose", patterns=listed, last=len(self.titles))
            if self._what == "pattern"
            else say("which_size", sizes=listed),
        )
        return Answer(sentence(self.phrasebook, messages), messages)

    def understand(self, text: str, typed: bool) -> Request | None:
        words = normal(text)
        if self._what == "size":
            words = self._named_size(words)
        named = [n for n, title in enumerate(self.titles, start=1) if words == normal(title)]
        if typed and not named and words:  # "cap" for the harbour cap
            named = [n for n, title in enumerate(self.titles, start=1) if f" {words} " in f" {normal(title)} "]
        if len(named) == 1:
            return Request("choose", named[0])
        for form in self.phrasebook.choose:
            before, _, after = form.partition(NUMBER)
            inside = words.removeprefix(before).removesuffix(after).strip()
            digits = inside.isdecimal() and inside.isascii()
            number = int(inside) if digits else self.phrasebook.number_words.get(inside)
            if number is not None:
                return Request("choose", number)
        request = understand(self.phrasebook, text, typed)
        return request if request and request.name in self._aside else None

    def _named_size(self, words: str) -> str:
        """A size as the pattern calls it: "size large" is L, and the other way round."""
        words = words.removeprefix(f"{self.phrasebook.size} ") if self.phrasebook.size else words
        return words if words in map(normal, self.titles) else self._other_names().get(words, words)

    def _other_names(self) -> dict[str, str]:
        """What else the sizes are called, and their titles: large is L and L large, and each has its place."""
        titles = [normal(title) for title in self.titles]
        usual = [(normal(name), normal(size)) for name, size in self.phrasebook.sizes.items()]
        found = {one: other for pair in usual for one, other in (pair, pair[::-1]) if other in titles}
        return dict(zip(self.phrasebook.number.ordinals, titles)) | found

    def pressed(self, key: str) -> Request | None:
        return Request("choose", int(key)) if key.isdecimal() and key.isascii() else None

    def answer(self, request: Request) -> Answer:
        match request:
            case Request("choose", int(number)) if 0 < number <= len(self.titles):
                self.chosen = number - 1
                return self._taken(self.titles[self.chosen])
            case Request("next") if self._what == "size":
                self.chosen = 0
                return self._taken(self.titles[0])
            case Request("finish"):
                return Answer("", over=True)
            case Request("stop"):
                return Answer("")
        return self.begin()

    def _taken(self, title: str) -> Answer:
        messages = (say("title", title=title) if self._what == "pattern" else say("size_taken", size=title),)
        return Answer(sentence(self.phrasebook, messages), messages, over=True)

    def sounds_like(self, request: Request) -> dict[str, Request]:
        return {}

    def aside(self, *messages: Message) -> Answer:
        return Answer(sentence(self.phrasebook, messages), messages)

    def unknown(self, text: str) -> str:
        return f"{sentence(self.phrasebook, (say('none_of_these'),))} {self.begin().said}"

    def grammar(self) -> Grammar:
        others = [
            p
            for p in grammar(self.phrasebook).phrases
            if (r := understand(self.phrasebook, p)) and r.name in self._aside
        ]
        numbers = tuple(form for n in range(1, len(self.titles) + 1) for form in self.phrasebook.number.spoken(n))
        names = (*map(normal, self.titles), *(self._other_names() if self._what == "size" else ()))
        return Grammar((*self.phrasebook.choose, *dict.fromkeys(names), *others), numbers)


def name_for(phrasebook: Phrasebook, text: str) -> str:
    """The first of the coach's names that is not in the text, which it may have to say."""
    said = f" {normal(text)} "
    return next((name for name in phrasebook.called if name not in said), phrasebook.called[-1])


def stitches_in(pattern: Pattern) -> Iterator[str]:
    """The catalogue ids of all that a maker of this pattern may ask about."""
    for part in pattern.parts:
        for round_ in part.rounds:
            yield from _explained((*round_.foundation, *round_.body))


def _explained(nodes: Iterable[Node]) -> Iterator[str]:
    for node in nodes:
        if found := stitch_of(node):
            yield found
        if isinstance(node, Stitch | Group) and node.into.kind == "ring":
            yield "ring"
        if isinstance(node, Repeat | Group):
            yield from _explained(node.body)


def report(topic: Working | Choosing, heard: str, request: Request | None, answer: Answer) -> dict[str, object]:
    """One line of `--json`: where the work stands after a request. At a piece's end its last round is finished;
    where no round is worked (choosing, assembly) its fields are null and 0."""
    line = {"heard": heard, "request": request.name if request else None}
    if not isinstance(topic, Working):
        nowhere = dict.fromkeys(("part", "piece", "round", "label")) | {"stitch": 0, "of": 0, "total": 0}
        return line | nowhere | {"step": "", "said": answer.said}
    fabric, place = topic.fabric, topic.state.place
    part, worked = part_at(fabric, place), worked_at(fabric, place)
    if part is not None and worked is None and part.rounds:
        worked, stitch = part.rounds[-1], part.rounds[-1].made
    else:
        stitch = done_in_round(fabric, place)
    return line | {
        "part": part.name if part else None,
        "piece": place.piece + 1 if part else None,
        "round": min(place.round + 1, len(part.rounds)) if part else None,
        "label": worked.label if worked else None,
        "stitch": stitch,
        "of": worked.made if worked else 0,
        "total": total(fabric, place),
        "step": topic.step,
        "said": answer.said,
    }
