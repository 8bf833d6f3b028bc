"""An ear that acts on little else than requests: a recogniser proposes, the coach's own model verifies.

    sound ─┬─ recogniser ── "go back" ──────────────┐
           ├─ embeddings ─ head ─ phrases, words ───┼─▶ candidate ─ sure within WAIT? ─▶ Utterance
           │                └─ heard ─ contrast ────┤
           └─ gate ── a short sound on its own ─────┘

Five kinds of candidates are judged by what the head hears at the end of the speech and shortly after it:

- proposed: the recogniser's phrase, when the model has a class for it. A phrase that it doesn't know (a maker's own
  word, another language) passes with the recogniser's own verdict.
- word: a request of one word said on its own, which the recogniser often misses ("stop", "back", "next", "yes", "no").
- phrase: a longer request said on its own, without numbers in it: where the recogniser proposes nothing, or another.
- number: a number said on its own, only while a number alone is in the grammar (after a question).
- own: a word that the maker has taught (`own_words`), compared with the three examples, while it is in the grammar.

"On its own" is what the gate cuts out, or, where a noisy room leaves nothing to cut, what the head has heard and what
stands apart from the noise (see contrast.py).

A candidate is told as soon as it is sure, and WAIT seconds after its end at the latest. All work is done on blocks
of one size, counted from the first sample: the pieces that the samples come in change nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coach.language.model import NUMBER, Grammar
from coach.sound.contrast import Contrast
from coach.sound.embedding import Embedding, frame_at, time_of
from coach.sound.gate import Gate, GateSettings, level
from coach.sound.head import Head, Stream
from coach.sound.model import HEARING_RATE, Ear, Utterance
from coach.sound.numbers_heard import NumberReader
from coach.sound.own_words import BadExamples, OwnWords

BLOCK = HEARING_RATE // 50
"""Samples that are looked at together: a frame of the gate."""
WAIT = 0.56
"""Seconds after the end of speech in which the head may tell what it was (it has learned 0.04 to 0.44, and needs
0.06)."""
BEFORE = 0.15
"""The head is listened to from this much before the end, since a recogniser's ends are not exact."""
WORD_PAUSE = 0.16
"""Seconds of quiet after which a short sound is taken for a word."""
LONGEST_WORD, LONGEST_NUMBER, LONGEST_PHRASE = 1.1, 2.2, 2.8
"""Seconds, of sound said on its own."""
GOES_ON = 0.3
"""Seconds after which a word is over that longer requests begin with."""
EARLY_NUMBER = 0.8
"""A number that can't go on ("seven", not "twenty") is told as early where it scores so much."""
SPOTTED = 0.2
"""What the head hears with this score is looked at, whether the gate has cut it out or not."""
LETTER, SHORTEST, LONGEST_SPOTTED = (0.026, 0.11), 0.16, 0.9
"""Seconds that a letter of it takes, from and to; all of it at least SHORTEST, and up to LONGEST_SPOTTED always."""
TRUST = {"pocketsphinx": (6.0, 0.4)}
"""Recognisers whose own confidence counts too: how much (in log odds), and the confidence that speaks neither for the
phrase nor against it. Others' isn't comparable."""
KEPT = 120
"""Frames of the head that are remembered: 9.6 s."""


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The least scores (0 to 1) that are obeyed, by kind of candidate; what scores less than `doubt` of it isn't
    told at all. What they were read off stands in audio_models/ear/README.md (the phrases': the talk that also judges
    it); a word's is above what is left of the coach's own voice in an echo (0.33, tests/bench/bench_echo.py)."""

    proposed: float = 0.15
    word: float = 0.35
    phrase: float = 0.7
    number: float = 0.2
    doubt: float = 0.3
    own: float = 0.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something that may have been said. kind: "proposed", "word", "phrase", "number", "own", or "unknown" for a phrase
    that the model has no class for; recogniser: the recogniser's utterance where there is one."""

    kind: str
    start: float
    end: float
    text: str = ""
    recogniser: Utterance | None = None
    score: float = 0.0


class VerifiedEar:
    """Any ear, its utterances verified. Not safe to use from several threads at once."""

    def __init__(
        self,
        ear: Ear,
        head: Head,
        thresholds: Thresholds = Thresholds(),
        settings: GateSettings = GateSettings(),
        judged: Callable[[Candidate, float], None] | None = None,
        own: OwnWords | None = None,
    ) -> None:
        """own: words that the maker has taught; judged: is told each candidate that was decided and the seconds (of
        sound) at which it was. Raises EarError."""
        self.name, self.fault = f"{ear.name}, verified", own.fault if own is not None else ""
        self._ear, self._head, self.thresholds, self._judged = ear, head, thresholds, judged
        self._embedding, self._stream = Embedding(), Stream(head)
        self._gate = Gate(settings)
        self._rest = np.zeros(0, np.int16)
        self._clock = 0  # samples looked at
        self._frames = 0  # of the head
        self._words: list[np.ndarray] = []  # the last frames: log probabilities of words
        self._phrases: list[np.ndarray] = []  # and probabilities of phrases
        self._embeddings: list[np.ndarray] = []  # and embeddings
        self._contrast = Contrast()
        self._spotted: list[tuple[str, str, float]] = []  # kind, text, when: heard in noise, perhaps on its own
        self._own, self._own_listened = own, frozenset[str]()  # texts of taught words that can be meant now
        self._open: list[Candidate] = []
        self._taken_until = 0.0  # end of the last utterance told
        self._looked, self._alone_since = False, 0.0  # the gate's open segment has been made a candidate; its start
        self._alone: dict[str, dict[str, int]] = {
            "word": {},
            "phrase": {},
        }  # for "word" and "phrase": those of the grammar, and their outputs
        self._beginnings: set[str] = set()  # phrases and numbers that can go on
        self._numbers: NumberReader | None = None
        self._grammar = Grammar(())

    # ---- an Ear

    def listen_for(self, grammar: Grammar) -> None:
        """Replace what can be heard, from the next utterance on."""
        self._ear.listen_for(grammar)
        known = {phrase: output for phrase in grammar.phrases if (output := self._head.whole(phrase)) is not None}
        self._alone = {
            "word": {phrase: output for phrase, output in known.items() if " " not in phrase},
            "phrase": {phrase: output for phrase, output in known.items() if " " in phrase},
        }
        self._beginnings = {one for one in known for two in grammar.phrases if two.startswith(f"{one} ")}
        self._grammar = grammar
        self._listen_for_own()
        alone = NUMBER in grammar.phrases and grammar.numbers
        self._numbers = NumberReader(grammar.numbers, self._head.words) if alone else None
        if self._numbers is not None:
            said = [text.split() for text in self._numbers.texts]
            self._beginnings |= {" ".join(words[:n]) for words in said for n in range(1, len(words))}

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        """Take the next samples (16 kHz, int16, any number); give the utterances that are sure, or no longer can be."""
        joined = np.concatenate([self._rest, samples.astype(np.int16, copy=False)])
        whole = len(joined) // BLOCK * BLOCK
        self._rest = joined[whole:]
        found: list[Utterance] = []
        for at in range(0, whole, BLOCK):
            block = joined[at : at + BLOCK]
            self._clock += BLOCK
            self._take(self._ear.feed(block))
            self._hear(block)
            found += self._decide()
        return found

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""
        found = self.feed(np.zeros(-len(self._rest) % BLOCK, np.int16)) if len(self._rest) else []
        self._take(self._ear.finish())
        for _ in range(round((WAIT + 0.3) * HEARING_RATE / BLOCK)):
            self._clock += BLOCK
            self._hear(np.zeros(BLOCK, np.int16))
            found += self._decide()
        return found

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard."""
        return self._ear.missing_words(grammar)

    def close(self) -> None:
        """Give back what the ear holds."""
        self._ear.close()

    def learn(self, text: str, examples: Sequence[np.ndarray]) -> str:
        """Take a word of the maker's, which is heard as `text` from now on; gives why other examples (int16,
        HEARING_RATE) are needed, "" where they aren't. Raises EarError where it can't be learned at all."""
        try:
            self._taught_words().learn(text, examples)
        except BadExamples as fault:
            return str(fault)
        finally:
            self._listen_for_own()
        return ""

    def forget(self) -> str:
        """Forget the word that was learned last, and give its text; "" where there is none. Raises EarError."""
        try:
            return self._taught_words().forget()
        finally:
            self._listen_for_own()

    def _taught_words(self) -> OwnWords:
        if self._own is None:
            self._own = OwnWords(self._head.weights["mean"], self._head.weights["spread"])
        return self._own

    def _listen_for_own(self) -> None:
        if self._own is not None and self._own.words:
            self._own_listened = frozenset(self._own.words) & frozenset(self._grammar.spoken())
        else:
            self._own_listened = frozenset()

    # ---- candidates

    def _take(self, utterances: list[Utterance]) -> None:
        """What the recogniser proposes."""
        for one in utterances:
            if self._numbers is not None and one.text in self._numbers.texts:
                kind = "number"
            else:
                kind = "proposed" if self._head.phrase(one.text) is not None else "unknown"
            self._open.append(Candidate(kind, one.start, one.end, one.text, one))

    def _hear(self, block: np.ndarray) -> None:
        """The head's next frames, and sounds said on their own."""
        embeddings = self._embedding.feed(block)
        if len(embeddings):
            words, phrases = self._stream.feed(embeddings)
            self._frames += len(words)
            for kept, new in ((self._words, words), (self._phrases, phrases), (self._embeddings, embeddings)):
                kept.extend(new)
                del kept[:-KEPT]
            self._spot(len(words))
        self._contrast.add(level(block))
        self._look_for_spotted()
        for frame in self._gate.frames(block):
            segment = self._gate.step(frame)
            if segment is not None or self._gate.quiet_for < WORD_PAUSE:
                if self._looked and self._gate.is_open:
                    self._goes_on()
                self._looked = False
            elif not self._looked:
                self._looked = True
                margin = self._gate.settings.margin
                so_far = self._gate.so_far()
                self._alone_since = so_far.start + margin
                self._sound_alone(self._alone_since, so_far.end - min(margin, WORD_PAUSE))

    def _spot(self, count: int) -> None:
        """What the head has heard in the last frames, whatever the gate says."""
        recent = np.array(self._phrases[-count - 1 :])
        recent = (recent[1:] + recent[:-1]) / 2
        for kind, outputs in self._alone.items():
            texts = list(outputs)
            for row, column in np.argwhere(recent[:, list(outputs.values())] >= SPOTTED):
                if kind == "phrase" or texts[column] not in self._beginnings:  # "next" may be "next step"
                    self._spotted.append((kind, texts[column], time_of(self._frames - len(recent) + row)))

    def _look_for_spotted(self) -> None:
        """It becomes a candidate as soon as it stands apart from what is around it."""
        now, still = self._clock / HEARING_RATE, []
        for kind, text, when in self._spotted:
            shortest, longest = (len(text) * seconds for seconds in LETTER)
            apart = self._contrast.apart(when, max(shortest, SHORTEST), max(longest, LONGEST_SPOTTED))
            if apart is not None:
                self._open.append(Candidate(kind, *apart))
            elif now < when + WAIT:
                still.append((kind, text, when))
        self._spotted = still

    def _goes_on(self) -> None:
        """The sound was not over: what was taken for the whole of it is forgotten."""
        since = self._alone_since - BEFORE
        self._open = [one for one in self._open if one.recogniser is not None or one.start < since]

    def _sound_alone(self, start: float, end: float) -> None:
        length = end - start
        for kind, is_listened, longest in (
            ("word", self._alone["word"], LONGEST_WORD),
            ("phrase", self._alone["phrase"], LONGEST_PHRASE),
            ("number", self._numbers is not None, LONGEST_NUMBER),
            ("own", bool(self._own_listened), length),
        ):
            if is_listened and length <= longest:
                self._open.append(Candidate(kind, start, end))

    # ---- verdicts

    def _decide(self) -> list[Utterance]:
        now = self._clock / HEARING_RATE
        found, still_open = [], []
        for candidate in self._open:
            if candidate.start < self._taken_until - BEFORE:
                continue  # of a sound that has been acted on
            candidate = self._scored(candidate)
            is_late = now >= candidate.end + WAIT
            is_sure = self._is_sure(candidate)
            if not is_late and not (is_sure and self._is_over(candidate, now)):
                still_open.append(candidate)
                continue
            if self._judged is not None:
                self._judged(candidate, now)
            if is_sure:
                self._taken_until = candidate.end
            if (utterance := self._told(candidate, is_sure)) is not None:
                found.append(utterance)
        self._open = [one for one in still_open if one.start >= self._taken_until - BEFORE]
        return found

    def _told(self, candidate: Candidate, is_sure: bool) -> Utterance | None:
        if candidate.kind == "unknown":
            return candidate.recogniser
        doubtful = candidate.score >= self.thresholds.doubt * getattr(self.thresholds, candidate.kind)
        if not candidate.text or not (is_sure or (doubtful and candidate.kind == "proposed")):
            return None
        return Utterance(candidate.start, candidate.end, candidate.text, round(candidate.score, 3), is_sure)

    def _is_over(self, candidate: Candidate, now: float) -> bool:
        """Whether it can be acted on before anything else could follow."""
        if candidate.kind == "phrase":
            return candidate.text not in self._beginnings
        if candidate.kind == "word" and candidate.text in self._beginnings:
            return now >= candidate.end + GOES_ON  # "next", or the beginning of "next step"
        if candidate.kind == "number":
            is_early = now < candidate.end + GOES_ON or candidate.score < EARLY_NUMBER
            return not is_early and candidate.text not in self._beginnings
        return candidate.kind in ("proposed", "word", "unknown")

    def _is_sure(self, candidate: Candidate) -> bool:
        if candidate.kind == "unknown":
            return True  # nothing to wait for
        return bool(candidate.text) and candidate.score >= getattr(self.thresholds, candidate.kind)

    def _scored(self, candidate: Candidate) -> Candidate:
        first, last = self._window(candidate.end - BEFORE), self._window(candidate.end + WAIT)
        if candidate.kind == "unknown" or last <= first:
            return candidate
        if candidate.kind == "own":
            return self._taught(candidate)
        heard = np.array(self._phrases[max(0, first - 1) : last])
        heard = (heard[1:] + heard[:-1]) / 2 if len(heard) > 1 else heard
        if candidate.kind == "number":
            return self._number(candidate, heard, np.array(self._words[self._window(candidate.start) : last]))
        if candidate.kind == "proposed":
            output = self._head.phrase(candidate.text)
            assert output is not None
            return replace(
                candidate,
                score=self._with_confidence(float(heard[:, list(self._head.same(output))].sum(1).max()), candidate),
            )
        score, text = max((float(heard[:, n].max()), phrase) for phrase, n in self._alone[candidate.kind].items())
        return replace(candidate, text=text, score=score)

    def _with_confidence(self, score: float, candidate: Candidate) -> float:
        """The head's score and the recogniser's confidence together: they judge by different things."""
        confidence = candidate.recogniser.confidence if candidate.recogniser else None
        if confidence is None or self._ear.name not in TRUST:
            return score
        weight, fair = TRUST[self._ear.name]
        odds = (score + 1e-4) / (1 - score + 1e-4)
        return odds / (odds + float(np.exp(-weight * (confidence - fair))))

    def _taught(self, candidate: Candidate) -> Candidate:
        assert self._own is not None
        oldest = self._frames - len(self._embeddings)
        said = self._own.rows(np.array(self._embeddings), candidate.start, candidate.end, oldest)
        text, score = self._own.heard(said, self._own_listened)
        return replace(candidate, text=text, score=score)

    def _number(self, candidate: Candidate, heard: np.ndarray, words: np.ndarray) -> Candidate:
        """The surer of both outputs: a number of one word is a class of its own."""
        assert self._numbers is not None
        only = candidate.recogniser.text if candidate.recogniser else None
        found = [self._numbers.best(words, only)[::-1]]
        for text in self._numbers.texts if only is None else [only]:
            if (output := self._head.phrase(text)) is not None:
                found.append((float(heard[:, output].max()), text))
        score, text = max(found)
        return replace(candidate, text=text, score=score)

    def _window(self, seconds: float) -> int:
        """Where the head's frame of a time is among those remembered."""
        oldest = self._frames - len(self._phrases)
        return int(np.clip(int(np.ceil(frame_at(seconds))) - oldest, 0, len(self._phrases)))
