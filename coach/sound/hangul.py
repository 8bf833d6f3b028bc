"""How Korean words sound, from their spelling, in the phonemes of `coach.sound.likeness`; a source for the confusable
lint.

Vosk's models have no dictionary that can be read, but Hangul is nearly phonemic. Done are the rules that change
phonemes most (Standard Pronunciation, National Institute of Korean Language; from memory): a final consonant is one of
seven, moves to a vowel behind it, becomes nasal before a nasal, palatal before 이; ㅎ makes its neighbour strong, or is
not heard. Lenis, tense and aspirated consonants are near each other, as they are in the ear: G and K, D and T.
"""

from __future__ import annotations

FIRST, LAST = "가", "힣"
INITIALS = "G K N D T L M B P S S _ JH CH CH K T P HH".split()
VOWELS = "AA|EH|Y AA|Y EH|AO|EH|Y AO|Y EH|OW|W AA|W EH|W EH|Y OW|UW|W AO|W EH|W IY|Y UW|UH|IY|IY".split("|")
# A final consonant, or two, by number: its sound before a consonant, and what moves to a vowel behind it.
CLOSED = "_ K K K N N N T L K M L L L P L M P P T T NG T T K T P T".split()
STAYS = "_ _ _ K N N _ _ _ L L L L L L _ _ _ P _ _ NG _ _ _ _ _ _".split()
MOVES = "_ G K S _ JH N D L G M B S T P L M B S S S _ JH CH K T P _".split()
NASAL = {"K": "NG", "T": "N", "P": "M"}
STRONG = {"G": "K", "D": "T", "B": "P", "JH": "CH", "K": "K", "T": "T", "P": "P", "CH": "CH", "S": "S"}
WITH_H = {6: "N", 15: "L", 27: "_"}  # ㄶ ㅀ ㅎ: what is left before a consonant
EE = 20  # the vowel ㅣ


def pronounce(text: str) -> list[list[str]]:
    """The one way of saying these words, as a list of phonemes; none where a letter is not Hangul."""
    letters = [letter for letter in text if not letter.isspace()]
    if not letters or not all(FIRST <= letter <= LAST for letter in letters):
        return []
    syllables = [(n // 588, n % 588 // 28, n % 28) for n in (ord(letter) - ord(FIRST) for letter in letters)]
    said: list[str] = []
    onset = INITIALS[syllables[0][0]]
    for number, (_, vowel, final) in enumerate(syllables):
        said += [p for p in (onset, *VOWELS[vowel].split()) if p != "_"]
        after = syllables[number + 1] if number + 1 < len(syllables) else None
        coda, onset = _joined(final, after) if after else (CLOSED[final], "_")
        said += [coda] if coda != "_" else []
    return [said]


def _joined(final: int, after: tuple[int, int, int]) -> tuple[str, str]:
    """The sounds between two vowels: what ends the syllable, what begins the next."""
    initial, coda = INITIALS[after[0]], CLOSED[final]
    if initial == "_":
        moved = MOVES[final]
        if after[1] == EE and moved in ("D", "T"):
            moved = "JH" if moved == "D" else "CH"  # 같이: gachi
        return STAYS[final], moved
    if final in WITH_H:
        return WITH_H[final], STRONG.get(initial, initial)
    if initial == "HH" and MOVES[final] in ("G", "D", "B", "JH", "S"):
        return STAYS[final], STRONG["D" if MOVES[final] == "S" else MOVES[final]]
    if initial in ("N", "M") and coda in NASAL:
        return NASAL[coda], initial
    if initial == "L" and coda in ("N", "L"):
        return "L", "L"
    return coda, STRONG.get(initial, initial) if coda in NASAL else initial
