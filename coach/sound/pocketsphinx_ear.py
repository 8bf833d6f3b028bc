"""An ear on pocketsphinx: works at once and offline, since its wheel has a US English model. 0.5 s to load, 130 MB.

    gate ─ segment ─▶ grammar decoder ─ complete phrase ─▶ confidence ─▶ Utterance
  gate ─ segment ─▶ grammar decoder ─ complete phrase ─▶ confidence ─▶ Utterance
                                                          ├ open decoder: any English words ─▶ phonemes ┐ likeness
                                                          └ phone loop: any phonemes ────────▶ phonemes ┘ to the phrase
The grammar decoder makes a request of every sound. So two that know nothing of the grammar hear the segment too,
and the confidence is the mean likeness of their phonemes to the phrase's. It is 0 where the phone loop hears more
phonemes than anyone can say in the phrase's time: then the phrase was fitted to longer talk.

Measured with the phrasebook's requests while working and rounds 1 to 45 (57 phrases), on recordings of people that none
of this was trained on: 180 clips of three phrases of three syllables, 28 of "stop" and "back", 84 of words that are no
request, 33 minutes of talk that asks for nothing. Per cent of clips obeyed; wrong actions in 10 minutes of talk:

    least confidence       none   0.34   0.40   0.45   0.50   0.60
    three syllables        98     90     85     79     76     58
    "stop" and "back"      46     18     18     11     11     4
    no request (wrong)     38     5      4      1      0      0
    talk (wrong actions)   59     3.1    1.5    0.9    0.6    0

0.40 is used. It was read off the same recordings, so expect it to be somewhat worse. One-syllable words are weak with
any setting: every request has a longer phrase. While people talk beside it, a wrong action every six or seven minutes
remains. Takes 0.09 of the time that speech lasts, on one core.
"""

from __future__ import annotations

from functools import cache
from itertools import islice, product
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError, NoModel
from coach.sound.gate import GateSettings, Segment
from coach.sound.gated import GatedEar, spoken_part
from coach.sound.likeness import likeness
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.phrases import without, words
from coach.sound.word_graph import word_graph

if TYPE_CHECKING:
    from pocketsphinx import Decoder

SURE = 0.4
"""The least confidence of a phrase that is obeyed."""
FASTEST = 15.0
"""Phonemes a second that a phrase can be said with; people who said phrases reached 13.4 (99 of 100)."""
HISS = 8.0
"""Level (root mean square, of 32768) of the noise that is mixed in before decoding. The model was trained on rooms and
microphones; digital silence inside a word, as engines and noise suppression make it, sounds like nothing it knows."""
FRAME_SECONDS = 0.01  # of the decoders' frames
PRONUNCIATIONS = 24  # of a phrase that are compared at most; each word may have several

# Words that makers say and the dictionary lacks, in its own phonemes (our own transcriptions).
MORE_WORDS = {
    "amigurumi": "AE M IH G UH R UW M IY",
    "blo": "B IY EH L OW",
    "chenille": "SH AH N IY L",
    "crochets": "K R OW SH EY Z",
    "flo": "EH F EH L OW",
    "hdc": "EY CH D IY S IY",
    "picot": "P IY K OW",
    "picots": "P IY K OW Z",
    "selvedge": "S EH L V IH JH",
    "slipknot": "S L IH P N AA T",
}


class PocketsphinxEar(GatedEar):
    """Hears US English phrases. Not safe to use from several threads at once."""

    name = "pocketsphinx"

    def __init__(self, settings: GateSettings = GateSettings()) -> None:
        """Raises EarError when pocketsphinx is not installed, NoModel when its model is not whole."""
        super().__init__(settings)
        model = _model_folder()
        self._grammar = _decoder(lm=None)
        # Narrow beams: half the time of the usual ones, and as good a judge.
        self._open = _decoder(fwdflat=False, bestpath=False, maxhmmpf=3000, maxwpf=20)
        self._phones = _decoder(
            lm=None, allphone=str(model / "en-us-phone.lm.bin"), lw=2.0, pip=0.3, beam=1e-20, pbeam=1e-20
        )
        for word, phonemes in MORE_WORDS.items():
            if self._grammar.lookup_word(word) is None:
                self._grammar.add_word(word, phonemes, False)
        self._listens = False  # a grammar with anything in it has been set

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard, because there is no pronunciation for them."""
        return [word for word in words(grammar) if self._grammar.lookup_word(word) is None]

    def _prepare(self, grammar: Grammar) -> Grammar:
        known = without(grammar, set(self.missing_words(grammar)))
        self._listens = bool(known.phrases)
        if self._listens:
            graph = word_graph(known.spoken())
            arcs = [(start, to, 1.0, *([word] if word else [])) for start, to, word in graph.arcs]
            self._grammar.add_fsg("requests", self._grammar.create_fsg("requests", graph.start, graph.end, arcs))
            self._grammar.activate_search("requests")  # at once: the search that it replaces is gone
        return known

    def _hear(self, segment: Segment) -> Utterance | None:
        if not self._listens:
            return None
        text, spoken = _decode(self._grammar, segment)
        if text not in self._phrases:
            return None
        phrase = [part for part in spoken if _is_word(part[0])]
        first, last = phrase[0][1] * FRAME_SECONDS, (phrase[-1][2] + 1) * FRAME_SECONDS
        said = sum(end - begin + 1 for _, begin, end in phrase) * FRAME_SECONDS
        confidence = self._confidence(segment, text, said)
        start, end = spoken_part(segment, first, last)
        return Utterance(start, end, text, round(confidence, 3), confidence >= SURE)

    def _confidence(self, segment: Segment, text: str, seconds: float) -> float:
        """How well two decoders that don't know the grammar agree with the phrase. seconds: that its words took."""
        wanted = self.pronunciations(text)
        phones = [phone for phone, *_ in _decode(self._phones, segment)[1] if phone != "SIL" and phone[0] != "+"]
        if len(phones) > FASTEST * seconds:
            return 0.0
        heard = [self._open.lookup_word(word) for word, *_ in _decode(self._open, segment)[1] if _is_word(word)]
        spelled = " ".join(p for p in heard if p).split()
        return (likeness(spelled, wanted) + likeness(phones, wanted)) / 2

    def pronunciations(self, text: str) -> list[list[str]]:
        """The ways of saying a phrase, each a list of phonemes; none where a word is not in the dictionary."""
        ways = [list(self._ways(word)) for word in text.split()]
        return [" ".join(choice).split() for choice in islice(product(*ways), PRONUNCIATIONS)]

    def _ways(self, word: str):
        number = 1
        while (phonemes := self._grammar.lookup_word(word if number == 1 else f"{word}({number})")) is not None:
            yield phonemes
            number += 1


def _model_folder() -> Path:
    try:
        import pocketsphinx
    except ImportError:
        raise EarError(
            "The speech recogniser pocketsphinx is not installed.", "Install it with: pip install pocketsphinx"
        ) from None
    folder = Path(pocketsphinx.get_model_path()) / "en-us"
    if not (folder / "en-us-phone.lm.bin").is_file():
        hint = "Install it again: pip install --force-reinstall pocketsphinx"
        raise NoModel("The speech model of pocketsphinx is not whole.", hint)
    return folder


def _decoder(**settings: object) -> Decoder:
    from pocketsphinx import Decoder

    try:
        return Decoder(samprate=float(HEARING_RATE), loglevel="FATAL", **settings)
    except (RuntimeError, ValueError) as fault:
        raise NoModel("The speech model of pocketsphinx can't be read.", f"({fault})") from None


def _decode(decoder: Decoder, segment: Segment) -> tuple[str, list[tuple[str, int, int]]]:
    """A whole segment at once, as if nothing had been heard before: the text, and (word, first frame, last frame)."""
    decoder.reinit_feat()  # forget the noise and the loudness of what came before
    decoder.start_utt()
    decoder.process_raw(_hissing(segment.samples), False, True)
    decoder.end_utt()
    said = decoder.hyp()
    if said is None:
        return "", []
    return said.hypstr, [(part.word, part.start_frame, part.end_frame) for part in decoder.seg()]


@cache
def _hiss() -> np.ndarray:
    """The same noise always, so that the same segment gives the same words."""
    return np.random.default_rng(0).normal(0.0, HISS, 10 * HEARING_RATE)


def _hissing(samples: np.ndarray) -> bytes:
    """The samples with noise mixed in, for a decoder."""
    return np.clip(np.rint(samples + np.resize(_hiss(), len(samples))), -32_768, 32_767).astype(np.int16).tobytes()


def _is_word(token: str) -> bool:
    """Whether this is a word and not silence, noise or a mark."""
    return token[0] not in "<[+"
