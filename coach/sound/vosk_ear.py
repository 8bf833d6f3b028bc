"""An ear on Vosk: better than pocketsphinx where a model for it is in `audio_models/`.

    gate ─ segment ─▶ grammar recogniser ─ complete phrase? ─▶ open recogniser, same model: did it hear much the same?

The grammar recogniser may lose to "[unk]" where the model has it. Even so a closed grammar takes too much for a request
(alphacep/vosk-api issue 1339), so the open recogniser must agree before a phrase is sure.

No English model could be had while this was written: with a Korean one it is tested that words, times, chunks and
grammars work, and nothing is known about accuracy. SURE and AGREES were chosen by reason, not measured.
"""

from __future__ import annotations

import json
import sys
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from coach.language.model import Grammar
from coach.sound.errors import EarError, NoModel
from coach.sound.gate import GateSettings, Segment
from coach.sound.gated import GatedEar, spoken_part
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.phrases import Phrases, without, words

SURE = 0.7
"""The least mean confidence of a phrase's words; Vosk gives 0 to 1 for each."""
AGREES = 0.6
"""The least likeness of the open recogniser's text to the phrase, in letters: "next stop" agrees with "next step"."""
UNKNOWN = "[unk]"


class VoskEar(GatedEar):
    """Hears the phrases of a grammar in the model's language. Not safe to use from several threads at once."""

    name = "vosk"

    def __init__(self, model: Path, settings: GateSettings = GateSettings()) -> None:
        """model: a model's folder. Raises EarError when vosk is not installed, NoModel when there is no model in it."""
        super().__init__(settings)
        self._vosk = _vosk()
        if not (model / "am" / "final.mdl").is_file():
            raise NoModel(f"There is no speech model in {model}.", "Get one with: coach models get")
        try:
            self._model = self._vosk.Model(str(model))
            self._open = self._recogniser()
        except Exception as fault:  # vosk raises nothing more special
            hint = f"Remove its folder and get it again. ({fault})"
            raise NoModel(f"The speech model {model.name} can't be used.", hint) from None
        self._strict: Any = None
        self._fed = 0  # samples that the grammar recogniser took so far: its times count them

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that the model doesn't know."""
        return [word for word in words(grammar) if self._model.vosk_model_find_word(word) < 0]

    def _prepare(self, grammar: Grammar) -> Grammar:
        known = without(grammar, set(self.missing_words(grammar)))
        phrases = list(Phrases(known))
        if self._model.vosk_model_find_word(UNKNOWN) >= 0:
            phrases.append(UNKNOWN)
        self._strict = self._recogniser(json.dumps(phrases, ensure_ascii=False)) if known.phrases else None
        self._fed = 0
        return known

    def _recogniser(self, *grammar: str) -> Any:
        made = self._vosk.KaldiRecognizer(self._model, float(HEARING_RATE), *grammar)
        made.SetWords(True)
        return made

    def _hear(self, segment: Segment) -> Utterance | None:
        if self._strict is None:
            return None
        began, heard = self._fed / HEARING_RATE, _words(self._strict, segment)
        self._fed += len(segment.samples)
        text = " ".join(word["word"] for word in heard)
        if text not in self._phrases:
            return None
        confidence = sum(word["conf"] for word in heard) / len(heard)
        sure = confidence >= SURE and self._agreement(segment, text) >= AGREES
        start, end = spoken_part(segment, heard[0]["start"] - began, heard[-1]["end"] - began)
        return Utterance(start, end, text, round(confidence, 3), sure)

    def _agreement(self, segment: Segment, text: str) -> float:
        """How much of the phrase a recogniser that doesn't know the grammar hears too, 0 to 1."""
        heard = " ".join(word["word"] for word in _words(self._open, segment))
        return SequenceMatcher(None, heard, text, autojunk=False).ratio()


def _words(recogniser: Any, segment: Segment) -> list[dict[str, Any]]:
    """The words of a whole segment, each with conf, start and end."""
    _same_dither()
    results = []
    if recogniser.AcceptWaveform(segment.samples.tobytes()):  # it found an end of its own
        results.append(recogniser.Result())
    results.append(recogniser.FinalResult())
    return [word for result in results for word in json.loads(result).get("result", ())]


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
