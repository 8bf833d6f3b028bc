"""An ear on Vosk: better than pocketsphinx, in every language that there is a model for; see `coach/sound/models.py`.

    frames ─▶ live recogniser ─ the same whole phrase for STABLE looks, which can't go on? ─┐ (also while it is noisy)
    gate ── segment over ───────────────────────────────────────────────────────────────────┤
                                                                                             ▼
    segment ─▶ grammar recogniser ─ its best way through that is a complete phrase ─▶ how far behind the open one? ─▶
    sure

The grammar recogniser may lose to "[unk]" where the model has it (the Korean one has "<UNK>", which no sound was ever
heard as: in the grammar or not, all is heard the same). Even so a closed grammar takes too much for a request
(alphacep/vosk-api issue 1339), so a recogniser on the same model that knows no grammar hears the segment too. `behind`
is how much better that one explains the sound: the difference of the two log likelihoods, for a second of sound.

Measured with the Korean model and one of the speech engine's Korean voices (no people: there is no recording of
anybody's Korean), among the 555 phrases that can be said while working:

    at most so far behind                           -4   -2    0    2    4    6    8   10
    phrases that were obeyed, of 191                31   46   57   65   68   73   81   84
    that were taken for another                      2    3    7    8   10   10   12   13
    sentences that ask for nothing, obeyed, of 22    0    0    1    1    1    2    2    2

6 is used: it was read off other clips, of the same voices, before. With English nothing was measured: no package has
that model.

Words that the model lacks are heard as the words that they are made of: "짧은뜨기" as "짧은 뜨기".
"""

from __future__ import annotations

import json
import math
import sys
import unicodedata
from pathlib import Path
from typing import Any

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError, NoModel
from coach.sound.gate import GateSettings, Segment
from coach.sound.gated import GatedEar, spoken_part
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.model_packages import is_model
from coach.sound.phrases import Phrases, without, words

BEHIND = 6.0
"""A phrase this far behind the open recogniser, in log likelihood a second, has a confidence of a half."""
SLOPE = 3.0
"""How much further behind brings a confidence of a half to a quarter, about."""
SURE = 0.5
"""The least confidence of a phrase that is obeyed."""
WAYS = 10
"""Ways through the grammar that are looked at for one that is a complete phrase."""
LOOK = 0.1
"""Seconds of sound between two looks at what the live recogniser hears."""
STABLE = 3
"""Looks in a row with the same phrase after which it may have been said."""
ENDED = 0.15
"""Seconds of other sound after the last word of a phrase that has been said. Without it one syllable is enough, as a
closed grammar is sure of the rest."""
PARTS = 3
"""The most words that a word which the model lacks may be made of, each of two letters (jamo in Korean) at least."""
UNKNOWN = "[unk]"
FILLER, FILLERS = "<UNK>", 100_000
"""Vosk makes a bigram model of a grammar: any word may follow any other, at no great price, so what it hears is seldom
one whole phrase. A further "phrase" of so many fillers makes that dear: other words than the next one of a phrase come
from the counts of single words, and nearly all of these are fillers then. Kaldi's models have this one; it is never
heard."""


class VoskEar(GatedEar):
    """Hears the phrases of a grammar in the model's language. Not safe to use from several threads at once."""

    name = "vosk"

    def __init__(self, model: Path, settings: GateSettings = GateSettings()) -> None:
        """model: a model's folder. Raises EarError when vosk is not installed, NoModel when there is no model in it."""
        super().__init__(settings)
        self._vosk = _vosk()
        if not is_model(model):
            raise NoModel(f"There is no speech model in {model}.", "Get one with: coach models get")
        try:
            self._model = self._vosk.Model(str(model))
            self._open = self._recogniser(ways=1)
            _ways(
                self._open, Segment(0, np.zeros(HEARING_RATE // 2, np.int16))
            )  # the first time takes it a second more
        except Exception as fault:  # vosk raises nothing more special
            hint = f"Remove its folder and get it again. ({fault})"
            raise NoModel(f"The speech model {model.name} can't be used.", hint) from None
        self._spellings: dict[str, tuple[str, ...]] = {}
        self._phrase_of: dict[str, str] = {}  # spelled in words of the model: as it is in the grammar
        self._spelled_phrases = Phrases(Grammar(()))
        self._strict: Any = None
        self._live: _Live | None = None
        self._tried = ""  # the phrase that was taken as said in this segment, sure or not
        self._fed = 0  # samples that the grammar recogniser took so far: its times count them

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that are neither in the model nor made of words that are."""
        return [word for word in words(grammar) if not self._spelled(word)]

    def restart(self) -> None:
        super().restart()
        self._open = self._recogniser(ways=1)  # recognisers get used to a voice
        self._prepare(self._phrases.grammar)

    def _prepare(self, grammar: Grammar) -> Grammar:
        known = without(grammar, set(self.missing_words(grammar)))
        self._phrase_of, self._fed = {}, 0
        for phrase in Phrases(known):
            self._phrase_of.setdefault(self._in_words_of_the_model(phrase), phrase)
        phrases = list(self._phrase_of)
        self._spelled_phrases = Phrases(Grammar(tuple(phrases)))
        if self._model.vosk_model_find_word(UNKNOWN) >= 0:
            phrases.append(UNKNOWN)
        if self._model.vosk_model_find_word(FILLER) >= 0:
            phrases.append(" ".join([FILLER] * FILLERS))
        heard = json.dumps(phrases, ensure_ascii=False)
        self._strict = self._recogniser(heard, ways=WAYS) if known.phrases else None
        self._live = _Live(self._recogniser(heard)) if known.phrases else None
        return known

    def _spelled(self, word: str) -> tuple[str, ...]:
        """The word, or the fewest words of the model that it is made of; none where there are none."""
        if word not in self._spellings:
            self._spellings[word] = self._made_of(word, PARTS)
        return self._spellings[word]

    def _made_of(self, word: str, most: int) -> tuple[str, ...]:
        if self._model.vosk_model_find_word(word) >= 0:
            return (word,)
        found: tuple[str, ...] = ()
        for at in range(len(word) - 1, 0, -1) if most > 1 else ():
            first, rest = word[:at], word[at:]
            if min(len(unicodedata.normalize("NFD", part)) for part in (first, rest)) > 1 and self._made_of(first, 1):
                parts = self._made_of(rest, most - 1)
                if parts and not 0 < len(found) <= 1 + len(parts):
                    found = (first, *parts)
        return found

    def _in_words_of_the_model(self, phrase: str) -> str:
        return " ".join(part for word in phrase.split() for part in self._spelled(word))

    def _is_over(self, text: str) -> bool:
        """ "다음" can go on as "다음 으로", which is how "다음으로" is heard."""
        return self._spelled_phrases.is_over(self._in_words_of_the_model(text))

    def _recogniser(self, *grammar: str, ways: int = 0) -> Any:
        made = self._vosk.KaldiRecognizer(self._model, float(HEARING_RATE), *grammar)
        made.SetWords(True)
        made.SetMaxAlternatives(ways)
        return made

    def _said_so_far(self, frame: np.ndarray, first: bool) -> str:
        if self._live is None:
            return ""
        if first:
            self._tried = ""
            self._live.begin()
            frame = self._gate.so_far().samples
        said = self._phrase_of.get(self._live.hear(frame), "")
        if not said or said == self._tried or not self._is_over(said):
            return ""
        segment = self._gate.so_far()
        best, _, end = self._complete(segment)
        if best is None or self._phrase_of[best["text"].strip()] != said or end > segment.end - ENDED:
            return ""
        self._tried = said  # more sound behind it makes it no surer
        return said

    def _complete(self, segment: Segment) -> tuple[dict[str, Any] | None, float, float]:
        """The best way of hearing a segment that is a complete phrase, and when that starts and ends."""
        began, ways = self._fed / HEARING_RATE, _ways(self._strict, segment)
        self._fed += len(segment.samples)
        best = next((way for way in ways if way["text"].strip() in self._phrase_of and way.get("result")), None)
        if best is None:
            return None, 0.0, 0.0
        return best, *spoken_part(segment, best["result"][0]["start"] - began, best["result"][-1]["end"] - began)

    def _hear(self, segment: Segment) -> Utterance | None:
        if self._strict is None:
            return None
        best, start, end = self._complete(segment)
        if best is None:
            return None
        phrase = best["text"].strip()
        confidence = 1 / (1 + math.exp(min(99.0, (self._behind(phrase, segment) - BEHIND) / SLOPE)))
        return Utterance(start, end, self._phrase_of[phrase], round(confidence, 3), confidence >= SURE)

    def _behind(self, phrase: str, segment: Segment) -> float:
        """How much better than this phrase alone any words explain the sound. Alone, so that it doesn't depend on what
        else can be said; infinite where it can't be heard in it."""
        alone = _ways(self._recogniser(json.dumps([phrase], ensure_ascii=False), ways=WAYS), segment)
        likely = next((way["confidence"] for way in alone if way["text"].strip() == phrase), -math.inf)
        return (_ways(self._open, segment)[0]["confidence"] - likely) / (segment.end - segment.start)


class _Live:
    """A recogniser that hears a segment as it comes, and tells a text that has stayed the same for a while."""

    def __init__(self, recogniser: Any) -> None:
        self._recogniser = recogniser
        self.begin()

    def begin(self) -> None:
        """Another segment begins."""
        self._recogniser.Reset()
        self._waiting: list[np.ndarray] = []
        self._text, self._looks = "", 0

    def hear(self, samples: np.ndarray) -> str:
        """Take the next samples; give the text at each look at which it is stable, else nothing."""
        self._waiting.append(samples)
        if sum(map(len, self._waiting)) < LOOK * HEARING_RATE:
            return ""
        _same_dither()
        over = self._recogniser.AcceptWaveform(np.concatenate(self._waiting).tobytes())
        self._waiting = []
        text = "" if over else json.loads(self._recogniser.PartialResult())["partial"]
        self._looks = self._looks + 1 if text == self._text else 1
        self._text = text
        return text if self._looks >= STABLE else ""


def _ways(recogniser: Any, segment: Segment) -> list[dict[str, Any]]:
    """What a whole segment may be, the likeliest first: each a text, a confidence (log likelihood) and words with
    times."""
    _same_dither()
    if recogniser.AcceptWaveform(segment.samples.tobytes()):  # it found an end of its own; what follows is quiet
        return json.loads(recogniser.Result())["alternatives"]
    return json.loads(recogniser.FinalResult())["alternatives"]


def _same_dither() -> None:
    """Kaldi, inside Vosk, mixes in noise from the C library's `rand`: begin it anew, so that the same samples give the
    same words."""
    import ctypes

    library = ctypes.CDLL("msvcrt" if sys.platform == "win32" else None)
    library.srand(1)


def _vosk() -> Any:
    try:
        import vosk
    except (ImportError, OSError):  # OSError: its library doesn't load on this machine
        raise EarError("The speech recogniser Vosk is not installed.", "Install it with: pip install vosk") from None
    vosk.SetLogLevel(-1)
    return vosk
